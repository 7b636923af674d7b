package projections_test

import (
	"fmt"
	"math/big"

	"marram.example/projections/handicap"
)

// The functions here translate a handicap case into calls of the exported functions that the service uses.

func sideHandicapCase(in inputs) (answers, error) {
	format, err := in.text("format")
	if err != nil {
		return nil, err
	}
	courses, err := in.courses("course_handicaps")
	if err != nil {
		return nil, err
	}
	percents, err := handicap.SideAllowances(format, len(courses))
	if err != nil {
		return nil, err
	}
	difference, err := in.integerOr("par_difference", 0)
	if err != nil {
		return nil, err
	}
	unrounded, playing, _, err := handicap.SidePlaying(courses, percents, difference)
	if err != nil {
		return nil, err
	}
	return answers{"unrounded": big.NewRat(unrounded.Num, unrounded.Den), "playing_handicap": int(playing)}, nil
}

// courses reads a list of unrounded course handicaps.
func (in inputs) courses(key string) ([]handicap.Course, error) {
	values, err := in.list(key)
	if err != nil {
		return nil, err
	}
	courses := make([]handicap.Course, len(values))
	for i, value := range values {
		if courses[i], err = (inputs{key: value}).course(key); err != nil {
			return nil, err
		}
	}
	return courses, nil
}

func matchStrokesCase(in inputs) (answers, error) {
	playing, err := in.matchHandicaps()
	if err != nil {
		return nil, err
	}
	offLowest := true
	if value, given := in["off_lowest"]; given {
		var ok bool
		if offLowest, ok = value.(bool); !ok {
			return nil, fmt.Errorf("off_lowest: %v is not true or false", value)
		}
	}
	strokes, _, err := handicap.MatchStrokes(playing, offLowest)
	if err != nil {
		return nil, err
	}
	return answers{"playing_handicaps": wholes(playing), "strokes": wholes(strokes)}, nil
}

// matchHandicaps reads the players' rounded playing handicaps, or works them out from course handicaps and allowance.
func (in inputs) matchHandicaps() ([]handicap.Playing, error) {
	if !in.has("course_handicaps") {
		numbers, err := in.integers("playing_handicaps")
		if err != nil {
			return nil, err
		}
		playing := make([]handicap.Playing, len(numbers))
		for i, number := range numbers {
			playing[i] = handicap.Playing(number)
		}
		return playing, nil
	}
	courses, err := in.courses("course_handicaps")
	if err != nil {
		return nil, err
	}
	hundredths, err := in.scaled("allowance", 100)
	if err != nil {
		return nil, err
	}
	playing := make([]handicap.Playing, len(courses))
	for i, course := range courses {
		if playing[i], _, err = handicap.PlayingHandicap(course, handicap.Allowance(hundredths), 0); err != nil {
			return nil, err
		}
	}
	return playing, nil
}

func wholes[T ~int](values []T) []any {
	answer := make([]any, len(values))
	for i, value := range values {
		answer[i] = int(value)
	}
	return answer
}

// courseOrNone reads a course handicap that is null before the player has an index. The key must be there.
func (in inputs) courseOrNone(key string) (*handicap.Course, error) {
	value, given := in[key]
	if given && value == nil {
		return nil, nil
	}
	course, err := in.course(key)
	return &course, err
}

func netDoubleBogeyCase(in inputs) (answers, error) {
	course, err := in.courseOrNone("course_handicap")
	if err != nil {
		return nil, err
	}
	par, err := in.integer("par")
	if err != nil {
		return nil, err
	}
	index, err := in.integer("stroke_index")
	if err != nil {
		return nil, err
	}
	maximum, _, err := handicap.NetDoubleBogey(course, par, index)
	if err != nil {
		return nil, err
	}
	return answers{"maximum": maximum}, nil
}

// adjustedGrossCase takes a hole without a score for one that was started and not holed out.
func adjustedGrossCase(in inputs) (answers, error) {
	course, err := in.courseOrNone("course_handicap")
	if err != nil {
		return nil, err
	}
	par, err := in.integers("par")
	if err != nil {
		return nil, err
	}
	index, err := in.integers("stroke_index")
	if err != nil {
		return nil, err
	}
	values, err := in.list("scores")
	if err != nil {
		return nil, err
	}
	holes := make([]handicap.HoleForHandicap, len(values))
	for i, value := range values {
		holes[i].State = handicap.Started
		if value == nil {
			continue
		}
		holes[i].State = handicap.HoledOut
		if holes[i].Strokes, err = (inputs{"scores": value}).integer("scores"); err != nil {
			return nil, err
		}
	}
	score := handicap.ScoreForHandicap{Par: par, StrokeIndex: index, Course: course, Holes: holes}
	result, err := score.Adjust()
	if err != nil {
		return nil, err
	}
	adjusted := make([]any, len(result.Holes))
	for i, hole := range result.Holes {
		adjusted[i] = hole.Counts
	}
	answer := answers{"adjusted": adjusted, "total": nil}
	if result.Total != nil {
		answer["total"] = *result.Total
	}
	return answer, nil
}

func stablefordToAdjustedGrossCase(in inputs) (answers, error) {
	par, err := in.integer("par")
	if err != nil {
		return nil, err
	}
	holes, err := in.integerOr("holes", 18)
	if err != nil {
		return nil, err
	}
	course, err := in.course("course_handicap")
	if err != nil {
		return nil, err
	}
	points, err := in.integer("points")
	if err != nil {
		return nil, err
	}
	total, _, err := handicap.StablefordToAdjustedGross(par, holes, course, points)
	if err != nil {
		return nil, err
	}
	return answers{"total": total}, nil
}

func parBogeyToPointsCase(in inputs) (answers, error) {
	result, err := in.integer("result")
	if err != nil {
		return nil, err
	}
	holes, err := in.integerOr("holes", 18)
	if err != nil {
		return nil, err
	}
	points, _, err := handicap.ParBogeyToPoints(result, holes)
	if err != nil {
		return nil, err
	}
	return answers{"points": points}, nil
}

// scoreDifferentialCase answers nine holes with the same unrounded figure twice: they stay unrounded.
func scoreDifferentialCase(in inputs) (answers, error) {
	holes, err := in.integerOr("holes", 18)
	if err != nil {
		return nil, err
	}
	gross, err := in.integer("adjusted_gross")
	if err != nil {
		return nil, err
	}
	rating, err := in.scaled("course_rating", 10)
	if err != nil {
		return nil, err
	}
	slope, err := in.integer("slope")
	if err != nil {
		return nil, err
	}
	pcc, err := in.integerOr("pcc", 0)
	if err != nil {
		return nil, err
	}
	exact, _, err := handicap.ScoreDifferential(holes, gross, handicap.Rating(rating), handicap.Slope(slope), pcc)
	if err != nil {
		return nil, err
	}
	unrounded := big.NewRat(exact.Num, exact.Den)
	answer := answers{"unrounded": unrounded, "differential": unrounded}
	if holes == 18 {
		answer["differential"] = tenths(exact.Rounded())
	}
	return answer, nil
}

func tenths[T ~int](value T) *big.Rat { return big.NewRat(int64(value), 10) }

// differentials reads differentials on record, which have one decimal.
func (in inputs) differentials() ([]handicap.Differential, error) {
	const key = "differentials"
	values, err := in.list(key)
	if err != nil {
		return nil, err
	}
	differentials := make([]handicap.Differential, len(values))
	for i, value := range values {
		number, err := (inputs{key: value}).scaled(key, 10)
		if err != nil {
			return nil, err
		}
		differentials[i] = handicap.Differential(number)
	}
	return differentials, nil
}

// indexOrNone reads an index that is null or left out where there is none.
func (in inputs) indexOrNone(key string) (*handicap.Index, error) {
	if !in.has(key) {
		return nil, nil
	}
	number, err := in.scaled(key, 10)
	index := handicap.Index(number)
	return &index, err
}

func (in inputs) exactDifferential() (handicap.ExactDifferential, error) {
	const key = "differential"
	value, err := in.rational(key)
	if err != nil {
		return handicap.ExactDifferential{}, err
	}
	if !value.Num().IsInt64() || !value.Denom().IsInt64() {
		return handicap.ExactDifferential{}, fmt.Errorf("%s: too many digits", key)
	}
	return handicap.NewExactDifferential(value.Num().Int64(), value.Denom().Int64())
}

func handicapIndexCase(in inputs) (answers, error) {
	differentials, err := in.differentials()
	if err != nil {
		return nil, err
	}
	low, err := in.indexOrNone("low_index")
	if err != nil {
		return nil, err
	}
	estimate, err := handicap.EstimateIndex(differentials, low)
	if err != nil {
		return nil, err
	}
	return answers{"uncapped": tenths(estimate.Uncapped), "index": tenths(estimate.Index), "cap": string(estimate.Cap)}, nil
}

// capCase rounds the average to a tenth first, as the rules do before they look at the caps.
func capCase(in inputs) (answers, error) {
	value, err := in.rational("average")
	if err != nil {
		return nil, err
	}
	if !value.Num().IsInt64() || !value.Denom().IsInt64() {
		return nil, fmt.Errorf("average: %s has too many digits", value)
	}
	average, err := handicap.RoundTenth(value.Num().Int64(), value.Denom().Int64())
	if err != nil {
		return nil, err
	}
	low, err := in.indexOrNone("low_index")
	if err != nil {
		return nil, err
	}
	index, limit, _, err := handicap.CapIndex(handicap.Index(average), low)
	if err != nil {
		return nil, err
	}
	return answers{"index": tenths(index), "cap": string(limit)}, nil
}

func exceptionalScoreCase(in inputs) (answers, error) {
	index, err := in.scaled("handicap_index", 10)
	if err != nil {
		return nil, err
	}
	differential, err := in.exactDifferential()
	if err != nil {
		return nil, err
	}
	reduction, _, err := handicap.ExceptionalReduction(handicap.Index(index), differential, handicap.UnroundedDifferential)
	if err != nil {
		return nil, err
	}
	return answers{"reduction": reduction}, nil
}

func indexAfterScoreCase(in inputs) (answers, error) {
	before, err := in.differentials()
	if err != nil {
		return nil, err
	}
	differential, err := in.exactDifferential()
	if err != nil {
		return nil, err
	}
	inEffect, err := in.indexOrNone("handicap_index")
	if err != nil {
		return nil, err
	}
	low, err := in.indexOrNone("low_index")
	if err != nil {
		return nil, err
	}
	after, _, err := handicap.IndexAfterScore(before, differential, inEffect, low, handicap.UnroundedDifferential)
	if err != nil {
		return nil, err
	}
	return answers{"reduction": after.Reduction, "index": tenths(after.Estimate.Index)}, nil
}
