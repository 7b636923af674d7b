package shots

import (
	"fmt"

	"marram.example/events"
)

// Cell is a set of strokes and what they gained.
type Cell struct {
	N        int      `json:"n"`
	Mean     float64  `json:"mean"`     // strokes gained a stroke
	Interval Interval `json:"interval"` // of Mean, Student's t, 95 %; the mean itself below 2
	Total    float64  `json:"total"`
}

func cellOf(gained []float64) Cell {
	return Cell{N: len(gained), Mean: Mean(gained), Interval: MeanInterval(gained), Total: total(gained)}
}

// StrikeLevel is what strokes of one strike gained, whatever was thought of where they finished.
type StrikeLevel struct {
	Strike string `json:"strike"` // poor, fair or good
	Cell
	GoodEnough Count `json:"good_enough"` // of those of which it was said
}

// Square sets strike against outcome: was the stroke struck well, and was where it finished good enough to go on with? A strike
// that is only fair stands with the poor ones, as the question is whether it was good.
type Square struct {
	N            int  `json:"n"`             // strokes of which both were said
	GoodEnough   Cell `json:"good_enough"`   // good strike, good enough
	Plan         Cell `json:"plan"`          // good strike, not good enough: target, club or luck
	Forgiven     Cell `json:"forgiven"`      // strike not good, good enough all the same
	StrikeItself Cell `json:"strike_itself"` // strike not good, not good enough

	// Strikes are the three levels, poor first; Cost is what a poor strike costs against a good one, strokes a stroke, and
	// CostTotal that times the poor strikes. CostTest exchanges good and poor within a phase of the game only, so that a player
	// who putts better than they drive is not misread.
	Strikes   []StrikeLevel `json:"strikes"`
	Cost      Effect        `json:"cost"`
	CostTotal float64       `json:"cost_total"`
	CostTest  Test          `json:"cost_test"`

	// Saved are the strikes that were not good and yet good enough, of all that were not good: descriptive.
	Saved         Count    `json:"saved"`
	SavedShare    float64  `json:"saved_share"`
	SavedInterval Interval `json:"saved_interval"` // Wilson, 95 %

	// Difference is how much oftener a good strike was good enough than another one.
	Difference         float64  `json:"difference"`
	DifferenceInterval Interval `json:"difference_interval"` // Newcombe, 95 %
	Fisher             float64  `json:"fisher"`              // exact two-sided p-value of the 2 x 2
	HowSure            string   `json:"how_sure"`            // that strike and outcome go together, by Fisher
	TooFew             string   `json:"too_few,omitempty"`   // about the 2 x 2
}

// StrikeAndOutcome works out the 2 x 2 and what it cost. Strokes of which a part was not said count where they can.
func StrikeAndOutcome(gains []Gain) Square {
	var cells [2][2][]float64 // not good or good; not good enough or good enough
	byStrike := map[string][]float64{}
	enough := map[string]Count{}
	var compared []float64
	var good []bool
	var phases []int
	for _, g := range gains {
		strike := g.Stroke.Strike
		if strike != events.StrikePoor && strike != events.StrikeFair && strike != events.StrikeGood {
			continue
		}
		byStrike[strike] = append(byStrike[strike], g.Gained)
		if strike != events.StrikeFair {
			compared, good, phases = append(compared, g.Gained), append(good, strike == events.StrikeGood), append(phases, phaseIndex(g.Phase))
		}
		if g.Stroke.GoodEnough == nil {
			continue
		}
		row, column, count := 0, 0, enough[strike]
		if strike == events.StrikeGood {
			row = 1
		}
		count.Chances++
		if *g.Stroke.GoodEnough {
			column = 1
			count.Done++
		}
		enough[strike] = count
		cells[row][column] = append(cells[row][column], g.Gained)
	}
	s := Square{
		GoodEnough: cellOf(cells[1][1]), Plan: cellOf(cells[1][0]), Forgiven: cellOf(cells[0][1]), StrikeItself: cellOf(cells[0][0]),
		Cost:     BootstrapDifference(byStrike[events.StrikeGood], byStrike[events.StrikePoor], Seed),
		CostTest: PermuteDifference(compared, good, phases, Seed),
	}
	for _, strike := range []string{events.StrikePoor, events.StrikeFair, events.StrikeGood} {
		s.Strikes = append(s.Strikes, StrikeLevel{Strike: strike, Cell: cellOf(byStrike[strike]), GoodEnough: enough[strike]})
	}
	s.CostTotal = s.Cost.Value * float64(len(byStrike[events.StrikePoor]))
	s.associate()
	return s
}

// associate fills in what follows from the four counts.
func (s *Square) associate() {
	a, b, c, d := s.GoodEnough.N, s.Plan.N, s.Forgiven.N, s.StrikeItself.N
	s.N = a + b + c + d
	s.Saved = Count{Done: c, Chances: c + d}
	if c+d > 0 {
		s.SavedShare = float64(c) / float64(c+d)
	}
	s.SavedInterval = Wilson(c, c+d)
	s.Difference, s.DifferenceInterval = Newcombe(a, a+b, c, c+d)
	s.Fisher = Fisher(a, b, c, d)
	s.HowSure = HowSure(s.Fisher)
	if a+b < leastOfGroup || c+d < leastOfGroup {
		s.HowSure = SureTooFew
		s.TooFew = tooFewOf(a+b, "good strikes", c+d, fmt.Sprintf("others with an outcome: they are compared from %d of each on", leastOfGroup))
	}
}

func phaseIndex(p Phase) int {
	for i, other := range Phases() {
		if p == other {
			return i
		}
	}
	return -1
}
