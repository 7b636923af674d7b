package projections_test

import (
	"encoding/json"
	"fmt"
	"math/big"

	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

// inputs of one case. Every reader refuses a missing or misshapen value with an error, as the service's own decoder does.
type inputs map[string]any

func (in inputs) has(key string) bool { return in[key] != nil }

func (in inputs) rational(key string) (*big.Rat, error) { return rational(key, in[key]) }

func rational(key string, value any) (*big.Rat, error) {
	number, ok := value.(json.Number)
	if !ok {
		return nil, fmt.Errorf("%s: %v is not a number", key, value)
	}
	exact, ok := new(big.Rat).SetString(number.String())
	if !ok {
		return nil, fmt.Errorf("%s: %s is not a number", key, number)
	}
	return exact, nil
}

// scaled reads a number as a whole count of 1/unit.
func (in inputs) scaled(key string, unit int64) (int, error) {
	value, err := in.rational(key)
	if err != nil {
		return 0, err
	}
	return whole(key, value.Mul(value, big.NewRat(unit, 1)))
}

func whole(key string, value *big.Rat) (int, error) {
	if !value.IsInt() || !value.Num().IsInt64() {
		return 0, fmt.Errorf("%s: too many decimals or too large", key)
	}
	return int(value.Num().Int64()), nil
}

func (in inputs) integer(key string) (int, error) { return in.scaled(key, 1) }

// integerOr is integer with a value for a key that is left out.
func (in inputs) integerOr(key string, otherwise int) (int, error) {
	if !in.has(key) {
		return otherwise, nil
	}
	return in.integer(key)
}

func (in inputs) text(key string) (string, error) {
	text, ok := in[key].(string)
	if !ok {
		return "", fmt.Errorf("%s: %v is not a text", key, in[key])
	}
	return text, nil
}

func (in inputs) list(key string) ([]any, error) {
	list, ok := in[key].([]any)
	if !ok {
		return nil, fmt.Errorf("%s: %v is not a list", key, in[key])
	}
	return list, nil
}

func (in inputs) integers(key string) ([]int, error) {
	list, err := in.list(key)
	if err != nil {
		return nil, err
	}
	numbers := make([]int, len(list))
	for i, value := range list {
		exact, err := rational(key, value)
		if err != nil {
			return nil, err
		}
		if numbers[i], err = whole(key, exact); err != nil {
			return nil, err
		}
	}
	return numbers, nil
}

func (in inputs) course(key string) (handicap.Course, error) {
	value, err := in.rational(key)
	if err != nil {
		return handicap.Course{}, err
	}
	if !value.Num().IsInt64() || !value.Denom().IsInt64() {
		return handicap.Course{}, fmt.Errorf("%s: too many digits", key)
	}
	return handicap.NewCourse(value.Num().Int64(), value.Denom().Int64())
}

// scores reads a card's gross scores; null is a hole without a score.
func (in inputs) scores() ([]scoring.Score, error) {
	list, err := in.list("scores")
	if err != nil {
		return nil, err
	}
	scores := make([]scoring.Score, len(list))
	for i, value := range list {
		if value == nil {
			scores[i] = scoring.Score{State: scoring.NoScore}
			continue
		}
		exact, err := rational("scores", value)
		if err != nil {
			return nil, err
		}
		strokes, err := whole("scores", exact)
		if err != nil {
			return nil, err
		}
		scores[i] = scoring.Strokes(strokes)
	}
	return scores, nil
}

// card reads the player's scores and handicap from the inputs, and the course from course.
func (in inputs) card(course inputs) (scoring.Card, error) {
	par, err := course.integers("par")
	if err != nil {
		return scoring.Card{}, err
	}
	index, err := course.integers("stroke_index")
	if err != nil {
		return scoring.Card{}, err
	}
	scores, err := in.scores()
	if err != nil {
		return scoring.Card{}, err
	}
	maximum, err := course.maximum()
	if err != nil {
		return scoring.Card{}, err
	}
	playing, err := in.integerOr("playing_handicap", 0)
	return scoring.Card{Par: par, StrokeIndex: index, Scores: scores, Playing: handicap.Playing(playing), Maximum: maximum}, err
}

func list[T any](values []T) []any {
	answer := make([]any, len(values))
	for i, value := range values {
		answer[i] = value
	}
	return answer
}
