package projections_test

import (
	"fmt"
	"math/big"
	"strings"

	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

// The functions here translate a case into calls of the exported functions that the service uses, and nothing else.

func courseHandicapFrom(in inputs) (handicap.Course, error) {
	holes, err := in.integerOr("holes", 18)
	if err != nil {
		return handicap.Course{}, err
	}
	index, err := in.scaled("handicap_index", 10)
	if err != nil {
		return handicap.Course{}, err
	}
	slope, err := in.integer("slope")
	if err != nil {
		return handicap.Course{}, err
	}
	rating, err := in.scaled("course_rating", 10)
	if err != nil {
		return handicap.Course{}, err
	}
	par, err := in.integer("par")
	if err != nil {
		return handicap.Course{}, err
	}
	course, _, err := handicap.CourseHandicap(holes, handicap.Index(index), handicap.Slope(slope), handicap.Rating(rating), par,
		handicap.WithRatingLessPar)
	return course, err
}

func courseHandicapCase(in inputs) (answers, error) {
	course, err := courseHandicapFrom(in)
	if err != nil {
		return nil, err
	}
	return answers{"unrounded": big.NewRat(course.Num, course.Den), "course_handicap": course.Rounded()}, nil
}

func playingHandicapCase(in inputs) (answers, error) {
	var course handicap.Course
	var err error
	if in.has("course_handicap") {
		course, err = in.course("course_handicap")
	} else {
		course, err = courseHandicapFrom(in)
	}
	if err != nil {
		return nil, err
	}
	hundredths, err := in.scaled("allowance", 100)
	if err != nil {
		return nil, err
	}
	difference, err := in.integerOr("par_difference", 0)
	if err != nil {
		return nil, err
	}
	allowance := handicap.Allowance(hundredths)
	playing, _, err := handicap.PlayingHandicap(course, allowance, difference)
	if err != nil {
		return nil, err
	}
	unrounded, err := allowance.Of(course)
	if err != nil {
		return nil, err
	}
	return answers{"unrounded": big.NewRat(unrounded.Num, unrounded.Den), "playing_handicap": int(playing)}, nil
}

func allowanceCase(in inputs) (answers, error) {
	format, err := in.text("format")
	if err != nil {
		return nil, err
	}
	count, err := in.integerOr("count", 0)
	if err != nil {
		return nil, err
	}
	of, err := in.integerOr("of", 0)
	if err != nil {
		return nil, err
	}
	switch {
	case format == "pinehurst":
		format = "chapman" // two names of one row of the table
	case format == "scramble" && of == 0:
		count, of = 0, count
	case strings.HasPrefix(format, "best_of_") && !in.has("of"):
		of = 4 // the table knows no other team
	}
	recommended, err := handicap.AllowanceFor(format, count, of)
	if err != nil {
		return nil, err
	}
	percents := make([]any, len(recommended.Percents))
	for i, allowance := range recommended.Percents {
		percents[i] = big.NewRat(int64(allowance), 100)
	}
	return answers{"percents": percents}, nil
}

func strokesReceivedCase(in inputs) (answers, error) {
	playing, err := in.integer("playing_handicap")
	if err != nil {
		return nil, err
	}
	indexes, err := in.integers("stroke_index")
	if err != nil {
		return nil, err
	}
	strokes, err := handicap.StrokesReceived(handicap.Playing(playing), indexes)
	return answers{"strokes": list(strokes)}, err
}

func roundTenthCase(in inputs) (answers, error) {
	values, err := in.list("values")
	if err != nil {
		return nil, err
	}
	rounded := make([]any, len(values))
	for i, value := range values {
		exact, err := rational("values", value)
		if err != nil {
			return nil, err
		}
		if !exact.Num().IsInt64() || !exact.Denom().IsInt64() {
			return nil, fmt.Errorf("values: %v has too many digits", value)
		}
		tenths, err := handicap.RoundTenth(exact.Num().Int64(), exact.Denom().Int64())
		if err != nil {
			return nil, err
		}
		rounded[i] = big.NewRat(tenths, 10)
	}
	return answers{"rounded": rounded}, nil
}

func scored(formatName string, in, course inputs) (scoring.Result, error) {
	format, err := scoring.FormatByName(formatName)
	if err != nil {
		return scoring.Result{}, err
	}
	card, err := in.card(course)
	if err != nil {
		return scoring.Result{}, err
	}
	return format.Score(card, scoring.Net)
}

func strokePlayCase(in inputs) (answers, error) {
	result, err := scored("stroke_play", in, in)
	if err != nil {
		return nil, err
	}
	answer := answers{"gross": nil, "net": nil, "out": grossOf(result.Out), "in": grossOf(result.In)}
	if result.Complete {
		answer["gross"], answer["net"] = result.Total.Gross, result.Value
	}
	strokes, net := make([]any, len(result.Holes)), make([]any, len(result.Holes))
	for i, hole := range result.Holes {
		strokes[i] = hole.Received
		if hole.Score.State == scoring.Holed {
			net[i] = hole.Net
		}
	}
	answer["strokes"], answer["net_by_hole"] = strokes, net
	return answer, nil
}

// grossOf is the gross of one half of a card, null while a hole of it has no score.
func grossOf(half scoring.Sum) any {
	if half.Scored < half.Holes || half.Holes == 0 {
		return nil
	}
	return half.Gross
}

func stablefordCase(in inputs) (answers, error) {
	result, err := scored("stableford", in, in)
	if err != nil {
		return nil, err
	}
	points := make([]any, len(result.Holes))
	for i, hole := range result.Holes {
		points[i] = hole.Points
	}
	return answers{"points": points, "total": result.Value, "out": result.Out.Points, "in": result.In.Points}, nil
}

func countbackCase(in inputs) (answers, error) {
	name, err := in.text("format")
	if err != nil {
		return nil, err
	}
	format, err := scoring.FormatByName(name)
	if err != nil {
		return nil, err
	}
	terms, err := in.countbackTerms()
	if err != nil {
		return nil, err
	}
	cards, err := in.list("cards")
	if err != nil {
		return nil, err
	}
	contenders := make([]scoring.Contender, len(cards))
	for i, value := range cards {
		player, _ := value.(map[string]any)
		id, err := inputs(player).text("id")
		if err != nil {
			return nil, err
		}
		result, err := cardOrSide(format, player, in)
		if err != nil {
			return nil, err
		}
		contenders[i] = scoring.Contender{ID: id, Card: &result}
	}
	result, err := format.Countback(contenders, terms)
	if err != nil {
		return nil, err
	}
	order := make([]any, len(result.Order))
	for i, group := range result.Order {
		order[i] = list(group)
	}
	answer := answers{"order": order, "decided_by": nil}
	if by := result.DecidedBy(); by != "" {
		answer["decided_by"] = by
	}
	return answer, nil
}

func positionsCase(in inputs) (answers, error) {
	text, err := in.text("direction")
	if err != nil {
		return nil, err
	}
	direction, err := scoring.ParseDirection(text)
	if err != nil {
		return nil, err
	}
	given, ok := in["totals"].(map[string]any)
	if !ok {
		return nil, fmt.Errorf("totals: %v is not an object", in["totals"])
	}
	ids, totals := make([]string, 0, len(given)), make([]*int, 0, len(given))
	for id, value := range given {
		var total *int
		if value != nil {
			// A ranking compares whole numbers; totals with shares of a point are scaled to a common unit first.
			number, err := inputs(given).scaled(id, 1000)
			if err != nil {
				return nil, err
			}
			total = &number
		}
		ids, totals = append(ids, id), append(totals, total)
	}
	positions := map[string]any{}
	for i, text := range scoring.Positions(totals, direction) {
		positions[ids[i]] = nil
		if text != "" {
			positions[ids[i]] = text
		}
	}
	return answers{"positions": positions}, nil
}

func teeTimesCase(in inputs) (answers, error) {
	text, err := in.text("first")
	if err != nil {
		return nil, err
	}
	first, err := scoring.ParseClock(text)
	if err != nil {
		return nil, err
	}
	interval, err := in.integer("interval_minutes")
	if err != nil {
		return nil, err
	}
	groups, err := in.integer("groups")
	if err != nil {
		return nil, err
	}
	empty, err := in.integerOr("empty_interval_after", 0)
	if err != nil {
		return nil, err
	}
	minutes, err := scoring.TeeTimes(first, interval, groups, empty)
	if err != nil {
		return nil, err
	}
	times := make([]any, len(minutes))
	for i, minute := range minutes {
		times[i] = scoring.ClockText(minute)
	}
	return answers{"times": times}, nil
}
