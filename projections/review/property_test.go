package review

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/projections/shots"
)

// drawDistance is mostly a distance, and now and then what no phone should send.
func drawDistance(t *rapid.T, name string) float64 {
	if rapid.IntRange(0, 60).Draw(t, name+" odd") == 0 {
		return rapid.SampledFrom([]float64{0, -3, math.NaN(), math.Inf(1), 1e9, 1e-300}).Draw(t, name)
	}
	return math.Exp(rapid.Float64Range(math.Log(0.1), math.Log(520)).Draw(t, name))
}

func drawAmount(t *rapid.T, name string) float64 {
	if rapid.IntRange(0, 200).Draw(t, name+" odd") == 0 {
		return rapid.SampledFrom([]float64{math.NaN(), math.Inf(-1), 1e200}).Draw(t, name)
	}
	return rapid.Float64Range(-40, 40).Draw(t, name)
}

func drawStroke(t *rapid.T, id string) shots.Stroke {
	lies := []string{events.LieTee, events.LieFairway, events.LieRough, events.LieSand, events.LieRecovery, events.LieGreen, events.LieGreen}
	s := shots.Stroke{
		ID: id, From: shots.Position{Lie: rapid.SampledFrom(lies).Draw(t, "lie"), Distance: drawDistance(t, "distance")},
		Club:       rapid.SampledFrom(append(events.Clubs(), "", "broom")).Draw(t, "club"),
		Commitment: rapid.IntRange(0, 6).Draw(t, "commitment"),
		Strike:     rapid.SampledFrom([]string{"", events.StrikePoor, events.StrikeFair, events.StrikeGood}).Draw(t, "strike"),
		Intent:     rapid.Bool().Draw(t, "intent"),
		At:         rapid.Int64Range(0, 1<<41).Draw(t, "at"),
		Miss: shots.Miss{
			Side:   rapid.SampledFrom([]string{"", events.MissLeft, events.MissRight, events.MissRight, events.MissOnLine}).Draw(t, "side"),
			Length: rapid.SampledFrom([]string{"", events.MissShort, events.MissShort, events.MissLong, events.MissLevel}).Draw(t, "length"),
			Across: drawAmount(t, "across"), Along: drawAmount(t, "along"),
		},
	}
	if rapid.IntRange(0, 9).Draw(t, "penalised") == 0 {
		s.Penalty = rapid.IntRange(-1, 3).Draw(t, "penalty")
	}
	if rapid.Bool().Draw(t, "timed") {
		seconds := drawAmount(t, "seconds")
		s.Seconds = &seconds
	}
	if rapid.Bool().Draw(t, "judged") {
		enough := rapid.Bool().Draw(t, "enough")
		s.GoodEnough = &enough
	}
	if rapid.Bool().Draw(t, "finished") {
		s.Finish = &shots.Position{Lie: rapid.SampledFrom(append(lies, "")).Draw(t, "finish"), Distance: drawDistance(t, "left")}
	}
	return s
}

func drawRound(t *rapid.T, id string) shots.Round {
	r := shots.Round{
		ID: id, Date: fmt.Sprintf("2031-0%d-1%d", rapid.IntRange(1, 9).Draw(t, "month"), rapid.IntRange(0, 9).Draw(t, "day")),
		CourseRating: rapid.SampledFrom([]float64{0, 70.2, 35.4, math.NaN()}).Draw(t, "rating"), CourseHandicap: rapid.Float64Range(-4, 40).Draw(t, "handicap"),
	}
	kind := rapid.SampledFrom([]string{"nothing", "scores", "strokes", "both", "both"}).Draw(t, "kind")
	for i := range rapid.IntRange(0, 18).Draw(t, "holes") {
		h := shots.Hole{Number: i + 1, Par: rapid.SampledFrom([]int{3, 4, 4, 5}).Draw(t, "par"), Length: rapid.SampledFrom([]float64{0, 150, 330, 470}).Draw(t, "length")}
		if rapid.IntRange(0, 80).Draw(t, "odd par") == 0 {
			h.Par = 0
		}
		if kind == "scores" || kind == "both" {
			h.Score = rapid.SampledFrom([]int{0, 2, 3, 4, 5, 6, 7, -1, 200}).Draw(t, "score")
		}
		if kind == "strokes" || kind == "both" {
			for n := range rapid.IntRange(0, 6).Draw(t, "strokes") {
				s := drawStroke(t, fmt.Sprintf("%s-%d-%d", id, i, n))
				if n == 0 && rapid.IntRange(0, 3).Draw(t, "teed up") > 0 {
					s.From = shots.Position{Lie: events.LieTee, Distance: 330}
				}
				h.Strokes = append(h.Strokes, s)
			}
			h.Holed = rapid.Bool().Draw(t, "holed")
		}
		r.Holes = append(r.Holes, h)
	}
	return r
}

func drawRounds(t *rapid.T, name string, most int) []shots.Round {
	var out []shots.Round
	for i := range rapid.IntRange(0, most).Draw(t, name) {
		out = append(out, drawRound(t, fmt.Sprintf("%s-%d", name, i)))
	}
	return out
}

func drawInput(t *rapid.T) Input {
	baselines := append(shots.Names(), "broadie-2012", "broadie-2012", "matched", "matched")
	name := rapid.SampledFrom(baselines).Draw(t, "baseline")
	in := Input{
		Own: drawRounds(t, "own", 3), One: rapid.Bool().Draw(t, "one"), Past: drawRounds(t, "past", 7), Practice: rapid.Bool().Draw(t, "practice"),
		Field: drawRounds(t, "field", 3), Units: rapid.SampledFrom([]string{"", Metres, Yards}).Draw(t, "units"), Baseline: matched(),
	}
	if name != "matched" {
		b, err := shots.Named(name)
		require.NoError(t, err)
		in.Baseline = b
		if rapid.Bool().Draw(t, "matched too") {
			in.Matched = matched()
		}
	}
	if rapid.Bool().Draw(t, "corridor") {
		in.Corridors = []CorridorInput{{
			Group: rapid.SampledFrom(shots.Groups()).Draw(t, "group"), Left: rapid.Float64Range(0.1, 40).Draw(t, "left edge"), Right: rapid.Float64Range(0, 40).Draw(t, "right edge"),
			CostLeft: rapid.Float64Range(0, 2).Draw(t, "cost left"), CostRight: rapid.Float64Range(0, 2).Draw(t, "cost right"),
		}}
	}
	return in
}

var (
	surenesses = []string{shots.SureClear, shots.SureLikely, shots.SureHint, shots.SureTooFew, SureCounted}
	figures    = []string{
		FigurePhases, FigureAreas, FigureHoles, FigureClubs, FigureStrokes, FigurePatterns, FigurePutts, FigureSquare, FigureCommitment,
		FigureRoutine, FigureClassic, FigureCompare, FigureRounds, FigurePlan, FigureCounted,
	}
)

// Whatever the phones send, there is a review that JSON can hold, its parts add up,
// and it has three sentences where anything was played.
func TestAnyRoundsGiveAReviewThatAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t)
		r, err := Of(in)
		require.NoError(t, err)
		_, err = json.Marshal(r)
		require.NoError(t, err, "NaN or an infinity stands in the review")

		played := r.Title.Scored > 0 || r.Title.Logged
		if !played {
			require.Empty(t, r.Sentences)
		} else {
			require.Len(t, r.Sentences, 3)
		}
		said := map[string]bool{}
		for _, s := range r.Sentences {
			require.NotEmpty(t, s.Words)
			require.LessOrEqual(t, utf8.RuneCountInString(s.Words), longest, s.Words)
			require.Contains(t, surenesses, s.Sure)
			require.Contains(t, figures, s.Figure)
			require.False(t, said[s.Words], "twice: %s", s.Words)
			said[s.Words] = true
		}
		for _, a := range r.Plan {
			require.LessOrEqual(t, utf8.RuneCountInString(a.Words), longest, a.Words)
			require.Greater(t, a.Loss, 0.0)
			require.NotEqual(t, shots.SureTooFew, a.Sure)
			require.Positive(t, a.Needed)
			require.Positive(t, a.After)
		}
		require.Equal(t, r.First == nil, r.FirstNot != "")
		require.Equal(t, len(r.Plan) > 0, r.First != nil)

		phases, n := 0.0, 0
		for _, p := range r.Phases {
			phases += p.Total
			n += p.N
		}
		require.InDelta(t, r.Total.Total, phases, 1e-9)
		require.Equal(t, r.Total.N, n)
		require.Equal(t, r.Counted.Compared, n)
		areas := 0.0
		for _, a := range r.Areas {
			areas += a.Total
		}
		require.InDelta(t, r.AreasTotal, areas, 1e-9)
		if in.Baseline.Name() == "matched" {
			require.InDelta(t, r.Total.Total, areas, 1e-9)
		}
		for _, lines := range [][]GainLine{r.Clubs, r.Bands} {
			sum, n := 0.0, 0
			for _, l := range lines {
				sum += l.Total
				n += l.N
			}
			require.InDelta(t, r.Total.Total, sum, 1e-9)
			require.Equal(t, r.Total.N, n)
		}
		if in.One {
			holes := 0.0
			for i, h := range r.Holes {
				if h.Gained == nil {
					continue
				}
				holes += *h.Gained
				require.InDelta(t, holes, *h.Running, 1e-9)
				if own := in.Own[0].Holes[i]; h.Whole {
					require.InDelta(t, *h.Expected-float64(own.Counted()), *h.Gained, 1e-9)
				}
			}
			require.InDelta(t, r.Total.Total, holes, 1e-9)
		}
	})
}

// The order in which the past came changes nothing.
func TestTheOrderOfPastRoundsChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t)
		before := encoded(t, in)
		in.Past = rapid.Permutation(in.Past).Draw(t, "order")
		if !in.One {
			in.Own = rapid.Permutation(in.Own).Draw(t, "own order")
		}
		require.Equal(t, before, encoded(t, in))
	})
}

func encoded(t require.TestingT, in Input) string {
	r, err := Of(in)
	require.NoError(t, err)
	text, err := json.Marshal(r)
	require.NoError(t, err)
	return string(text)
}

// again are rounds that went exactly like those before.
func again(rounds []shots.Round, times int) []shots.Round {
	var out []shots.Round
	for n := range times {
		for _, r := range rounds {
			r.ID = fmt.Sprintf("%s-%d", r.ID, n)
			out = append(out, r)
		}
	}
	return out
}

// Rounds that went exactly like those before make nothing less sure.
func TestMoreOfTheSameNeverMakesLessSure(t *testing.T) {
	surer := []string{shots.SureTooFew, shots.SureHint, shots.SureLikely, shots.SureClear}
	at := func(word string) int { return slices.Index(surer, word) }
	rapid.Check(t, func(t *rapid.T) {
		own := drawRounds(t, "own", 4)
		few, err := Of(Input{Own: own, Baseline: matched()})
		require.NoError(t, err)
		more, err := Of(Input{Own: again(own, rapid.IntRange(2, 5).Draw(t, "times")), Baseline: matched()})
		require.NoError(t, err)
		for i, lines := range [][]GainLine{{few.Total}, few.Phases, few.Areas, few.Clubs, few.Bands} {
			then := [][]GainLine{{more.Total}, more.Phases, more.Areas, more.Clubs, more.Bands}[i]
			require.Len(t, then, len(lines))
			for j, l := range lines {
				m := then[j]
				require.GreaterOrEqual(t, at(m.Sure), at(l.Sure), "%s, %d strokes, then %d", l.Label, l.N, m.N)
				if l.N > 1 {
					require.LessOrEqual(t, m.Interval.High-m.Interval.Low, l.Interval.High-l.Interval.Low+1e-9, l.Label)
				}
			}
		}
		require.Len(t, more.Patterns, len(few.Patterns))
		for i, p := range few.Patterns {
			assert.GreaterOrEqual(t, at(more.Patterns[i].Sure), at(p.Sure), p.Label)
			assert.GreaterOrEqual(t, at(more.Patterns[i].SureAlong), at(p.SureAlong), p.Label)
		}
	})
}

// Against the player's own level all of their strokes together gain nothing.
func TestTheOwnLevelIsZeroAltogether(t *testing.T) {
	for _, in := range []Input{
		{Own: history(3), Baseline: broadie()},
		{Own: []shots.Round{invented("a", "2031-09-09", 3, 0)}, One: true, Past: history(7), Baseline: broadie()},
	} {
		c := newComposer(in)
		require.Equal(t, "level", c.advice.Name())
		sum := 0.0
		for _, g := range c.plan {
			require.Len(t, g.advised, len(g.gains))
			for _, x := range g.advised {
				sum += x.Gained
			}
		}
		assert.InDelta(t, 0, sum, 1e-8)
	}
}
