package review

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/projections/shots"
)

func reviewOf(t *testing.T, in Input) Review {
	t.Helper()
	r, err := Of(in)
	require.NoError(t, err)
	return r
}

func card() shots.Round { return invented("card-1", "2031-07-05", 3, 0) }

func words(r Review) string {
	var all []string
	for _, s := range r.Sentences {
		all = append(all, s.Sure+" | "+s.Figure+" | "+s.Words)
	}
	return strings.Join(all, "\n")
}

func TestARoundIsToldInThreeSentences(t *testing.T) {
	own := card()
	r := reviewOf(t, Input{Own: []shots.Round{own}, One: true, Past: history(12), Field: field(own, 23), Baseline: matched()})
	assert.Equal(t, `clear | phases | Tee shots cost you 3.6 strokes against what your handicap predicts, more than anything else. Clear: one round, between 2.3 and 4.8.
clear | patterns | 12 of 14 drives missed right; with your earlier rounds 149 of 182. Clear: luck alone rarely does that.
likely | phases | In all you were 3.2 strokes worse than in your 12 rounds before. Likely: between 0.4 and 6.1 (80 of 100).`, words(r))
	right := 0
	for _, round := range append(history(12), own) {
		for _, h := range round.Holes {
			for _, x := range h.Strokes {
				if x.Club == "driver" && x.Miss.Side == events.MissRight {
					right++
				}
			}
		}
	}
	assert.Equal(t, 149, right)
	require.NotNil(t, r.First)
	assert.Equal(t, "tee", r.First.Area)
	assert.Equal(t, 13, r.First.Rounds, "the plan rests on the rounds before too")
	assert.NotNil(t, r.First.Usual)
}

func TestARoundWithScoresOnlyIsToldFromScores(t *testing.T) {
	own := scoresOnly(card())
	r := reviewOf(t, Input{Own: []shots.Round{own}, One: true, Field: field(own, 23), Baseline: matched()})
	assert.Equal(t, `counted | holes | You took 79 on 18 holes: 11.9 strokes fewer than the field of 24 averaged there.
counted | classic | Par 3s cost most: 3 over par on 4 holes, 3.8 on average.
counted | classic | You were never under par on the hole after one over par; there were 6 chances.`, words(r))
	assert.Nil(t, r.First)
	assert.Contains(t, r.FirstNot, "No strokes are logged")

	r = reviewOf(t, Input{Own: []shots.Round{own}, One: true, Baseline: matched()})
	assert.Contains(t, words(r), "counted | classic | You took 79 on 18 holes, 7 over par: 2.0 strokes fewer than your handicap averages.")
}

func TestOneHoleIsEnoughForThreeSentences(t *testing.T) {
	own := scoresOnly(card())
	own.Holes = own.Holes[:1]
	r := reviewOf(t, Input{Own: []shots.Round{own}, One: true, Baseline: matched()})
	require.Len(t, r.Sentences, 3)
	for _, s := range r.Sentences {
		assert.Equal(t, SureCounted, s.Sure, s.Words)
	}
}

func TestPuttsAloneGivePutting(t *testing.T) {
	own := puttsOnly(card())
	r := reviewOf(t, Input{Own: []shots.Round{own}, One: true, Baseline: matched()})
	assert.True(t, r.Title.Putts)
	assert.Equal(t, string(shots.PhasePutting), r.Sentences[0].Item)
	for _, p := range r.Phases[:3] {
		assert.Zero(t, p.N)
		assert.Zero(t, p.Rounds, "what was not logged is no round with nothing gained")
		assert.Equal(t, shots.SureTooFew, p.Sure)
	}
	for _, a := range r.Areas {
		assert.Contains(t, a.Key, "putts")
	}
}

// A round with putts alone says nothing about the usual long game, and is not taken
// as one in which nothing was lost there.
func TestRoundsLoggedInPartAreNotTakenForWholeOnes(t *testing.T) {
	past := history(7)
	for i := range 3 {
		past[i] = puttsOnly(past[i])
	}
	r := reviewOf(t, Input{Own: []shots.Round{card()}, One: true, Past: past, Baseline: matched()})
	assert.Nil(t, r.Phases[0].Usual, "four rounds with a long game are too few")
	require.NotNil(t, r.Phases[3].Usual)
	assert.Equal(t, 7, r.Phases[3].Usual.Rounds)
	assert.Nil(t, r.Total.Usual)
}

func TestAdviceNeverComparesWithProfessionals(t *testing.T) {
	own := []shots.Round{card()}
	r := reviewOf(t, Input{Own: own, One: true, Past: history(7), Baseline: broadie()})
	assert.Equal(t, "broadie-2012", r.Baseline.Name)
	assert.Equal(t, "against the rest of your own game", r.First.Against)
	assert.Contains(t, r.Sentences[0].Words, "against the rest of your own game")
	assert.Equal(t, FigureAreas, r.Sentences[0].Figure, "the phases are against the table asked for, so the sentence opens another figure")

	r = reviewOf(t, Input{Own: own, One: true, Baseline: broadie(), Matched: matched()})
	assert.Equal(t, "against what your handicap predicts", r.First.Against)
	assert.Equal(t, "matched", matched().Name())

	few := own[0]
	few.Holes = few.Holes[:6]
	r = reviewOf(t, Input{Own: []shots.Round{few}, One: true, Baseline: broadie()})
	assert.Equal(t, broadie().Label(), r.Baseline.Advice, "with so few strokes there is no level of their own")
}

func TestTheFieldIsComparedHoleByHole(t *testing.T) {
	own := card()
	r := reviewOf(t, Input{Own: []shots.Round{own}, One: true, Field: field(own, 23), Baseline: matched()})
	sum := 0.0
	for _, h := range r.Holes {
		sum += *h.FieldGained
		assert.InDelta(t, sum, *h.FieldRunning, 1e-9)
		assert.NotNil(t, h.ForHandicap)
	}
	require.NotNil(t, r.Field)
	assert.InDelta(t, r.Field.Gained, sum, 1e-9)
	assert.InDelta(t, r.Field.Mean-float64(r.Field.Score), sum, 1e-9)
	assert.Equal(t, 24, r.Field.Players)

	alone := reviewOf(t, Input{Own: []shots.Round{own}, One: true, Field: []shots.Round{own}, Baseline: matched()})
	assert.Nil(t, alone.Field, "a field of one is no field")
}

func TestAHoleWithALieThatIsNoneIsLeftOut(t *testing.T) {
	own := card()
	own.Holes[2].Strokes[1].From.Lie = "cart path"
	r := reviewOf(t, Input{Own: []shots.Round{own}, One: true, Baseline: matched()})
	assert.Equal(t, "a lie is none", r.Holes[2].LeftOut)
	assert.Empty(t, r.Holes[0].LeftOut)
}

func TestWhatIsLeftOutIsSaid(t *testing.T) {
	own := card()
	own.Holes[2].Strokes[1].From.Distance = -4
	own.Holes[4].Strokes = nil
	last := &own.Holes[6]
	last.Holed, last.Strokes[len(last.Strokes)-1].Finish = false, nil
	r := reviewOf(t, Input{Own: []shots.Round{own}, One: true, Baseline: matched(), LeftOut: []LeftOut{{What: "rounds", N: 1, Why: "still in play"}}})
	assert.Equal(t, []LeftOut{
		{What: "holes", N: 1, Why: "their strokes: a distance is missing or out of reach"},
		{What: "strokes", N: 1, Why: "where they finished is not known"},
		{What: "holes", N: 1, Why: "no strokes are logged on them"},
		{What: "rounds", N: 1, Why: "still in play"},
	}, r.Counted.LeftOut)
	assert.Equal(t, "a distance is missing or out of reach", r.Holes[2].LeftOut)
	assert.Nil(t, r.Holes[2].Gained)
	assert.Equal(t, 16, r.Counted.HolesLogged)
	assert.Equal(t, 15, r.Counted.HolesWhole)
	assert.False(t, r.Title.Whole)

	tees, err := shots.Named("course-rating-bogey-men")
	require.NoError(t, err)
	r = reviewOf(t, Input{Own: []shots.Round{card()}, One: true, Baseline: tees})
	assert.Equal(t, []LeftOut{{What: "holes", N: 18, Why: "their strokes: the baseline has no value for one of the positions"}}, r.Counted.LeftOut)
	require.Len(t, r.Sentences, 3)
}

func TestAHoleWhoseStrokesDifferFromTheCardSaysSo(t *testing.T) {
	own := card()
	own.Holes[3].Score++
	r := reviewOf(t, Input{Own: []shots.Round{own}, One: true, Baseline: matched()})
	for i, h := range r.Holes {
		assert.Equal(t, i == 3, h.Differs, "hole %d", h.Number)
	}
}

func TestComparisonWithTheLastRounds(t *testing.T) {
	r := reviewOf(t, Input{Own: []shots.Round{card()}, One: true, Past: history(12), Baseline: matched()})
	require.Len(t, r.Compare, 3)
	for i, n := range []int{5, 10, 12} {
		assert.Equal(t, n, r.Compare[i].Rounds)
		assert.InDelta(t, r.Total.Total-r.Compare[i].Total.PerRound, *r.Compare[i].Total.Difference, 1e-9)
		require.Len(t, r.Compare[i].Phases, 4)
	}
	assert.Equal(t, 20, r.Compare[2].Last)
	assert.Empty(t, reviewOf(t, Input{Own: []shots.Round{card()}, One: true, Baseline: matched()}).Compare)

	many := reviewOf(t, Input{Own: history(8), Past: history(20)[:0], Baseline: matched()})
	require.Len(t, many.Compare, 2)
	assert.Nil(t, many.Compare[0].Total.Interval, "three rounds before the last five are too few to say")
	assert.NotNil(t, many.Compare[0].Total.Difference)
	assert.Nil(t, many.Compare[1].Total.Difference, "there is nothing before all of them")
}

func TestTheTrendIsALineThroughTheRounds(t *testing.T) {
	var rounds []shots.Round
	for i, r := range history(8) { // the newest first: each round before it took a stroke more
		r = scoresOnly(r)
		for j := range r.Holes {
			r.Holes[j].Score = 4
		}
		r.Holes[0].Score = 4 + i
		rounds = append(rounds, r)
	}
	r := reviewOf(t, Input{Own: rounds, Baseline: matched()})
	require.NotNil(t, r.Trend)
	assert.Equal(t, "against_handicap", r.Trend.Of)
	assert.InDelta(t, 10, r.Trend.PerTen, 1e-9)
	assert.Equal(t, shots.SureClear, r.Trend.Sure)
	assert.InDelta(t, 70.4+7.6+3-72-7, r.Trend.First, 1e-9)
	assert.Equal(t, rounds[7].ID, r.Rounds[0].Card, "the oldest first")
	assert.Nil(t, reviewOf(t, Input{Own: rounds[:4], Baseline: matched()}).Trend)
}

// No claim goes beyond its interval: a line that may rise or fall is no level game.
func TestATrendThatMayBeLuckIsNone(t *testing.T) {
	r := reviewOf(t, Input{Own: history(20), Baseline: matched()})
	require.Equal(t, shots.SureHint, r.Trend.Sure)
	assert.Contains(t, r.Trend.Words, "no trend can be told from luck")
}

// "More than anything else" is about every line that stands on the page, not about the
// four phases alone.
func TestMoreThanAnythingElseHoldsAgainstEveryLine(t *testing.T) {
	phase := func(key string) string {
		for _, a := range areas {
			if a.key == key {
				return string(a.phase)
			}
		}
		return key
	}
	said, lesser := 0, 0
	for seed := range uint64(40) {
		r := reviewOf(t, Input{Own: []shots.Round{invented("card-1", "2031-07-05", seed, 0)}, One: true, Baseline: matched()})
		for _, s := range r.Sentences {
			if s.Figure != FigurePhases || !strings.Contains(s.Words, " cost you ") {
				continue
			}
			own := r.Phases[slices.IndexFunc(r.Phases, func(l GainLine) bool { return l.Key == s.Item })]
			more := slices.ContainsFunc(append(slices.Clone(r.Phases), r.Areas...), func(l GainLine) bool {
				return phase(l.Key) != own.Key && l.PerRound <= own.PerRound
			})
			if more {
				lesser++
				assert.NotContains(t, s.Words, "more than anything else", "seed %d", seed)
			} else if strings.Contains(s.Words, "more than anything else") { // a long sentence leaves it out
				said++
			}
		}
	}
	assert.Positive(t, said)
	assert.Positive(t, lesser, "some round has a worse line elsewhere")
}

// What cost most is said even where too few strokes were played to say more.
func TestTheLargestLossOfFewStrokesIsSaidAsSuch(t *testing.T) {
	own := card()
	own.Holes = own.Holes[:9]
	r := reviewOf(t, Input{Own: []shots.Round{own}, One: true, Baseline: matched()})
	assert.Equal(t, "Tee shots cost you 1.9 strokes against what your handicap predicts, more than anything else. Too few strokes to say whether that was luck.",
		r.Sentences[0].Words)
	assert.Equal(t, shots.SureTooFew, r.Sentences[0].Sure)
}

func TestACorridorIsAnsweredWithAnAim(t *testing.T) {
	r := reviewOf(t, Input{
		Own: history(6), Baseline: matched(), Corridors: []CorridorInput{{Group: shots.GroupDriver, Left: 20, Right: 15, CostLeft: 0.3, CostRight: 2}},
	})
	drives := r.Patterns[0]
	require.Equal(t, shots.GroupDriver, drives.Group)
	require.NotNil(t, drives.Corridor)
	require.NotNil(t, drives.Corridor.Aim)
	assert.Positive(t, drives.Corridor.Bias, "they leak to the right")
	assert.Negative(t, drives.Corridor.Aim.Offset, "so the aim is left")
	assert.Less(t, drives.Corridor.Aim.Cost, drives.Corridor.Aim.CostNow)
	assert.Regexp(t, `^Aim \d+ m left of the target: about \d+ of 20 then`, drives.Corridor.Words)
	for _, p := range r.Patterns[1:] {
		assert.Nil(t, p.Corridor)
	}
}

func TestYardsAreSaidInYards(t *testing.T) {
	r := reviewOf(t, Input{Own: history(6), Baseline: matched(), Units: Yards})
	for _, l := range append(r.Areas, r.Bands...) {
		assert.NotRegexp(t, `\d m\b`, l.Label)
	}
	for _, s := range append(r.Best, r.Worst...) {
		assert.NotRegexp(t, `\d m\b`, s.Words)
	}
}

func TestAPracticeRoundCarriesTheCaution(t *testing.T) {
	r := reviewOf(t, Input{Own: []shots.Round{card()}, One: true, Baseline: matched(), Practice: true})
	assert.Contains(t, r.Caution, "Rules of Golf 4.3a")
	assert.Empty(t, reviewOf(t, Input{Own: []shots.Round{card()}, One: true, Baseline: matched()}).Caution)
}

func TestInputThatIsNone(t *testing.T) {
	for _, c := range []struct {
		field string
		in    Input
	}{
		{"baseline", Input{}},
		{"units", Input{Baseline: matched(), Units: "ells"}},
		{"group", Input{Baseline: matched(), Corridors: []CorridorInput{{Group: "brooms", Left: 1, Right: 1}}}},
		{"right", Input{Baseline: matched(), Corridors: []CorridorInput{{Group: shots.GroupDriver, Left: 5, Right: -5}}}},
		{"cost_left", Input{Baseline: matched(), Corridors: []CorridorInput{{Group: shots.GroupDriver, Left: 5, Right: 5, CostLeft: -1}}}},
	} {
		_, err := Of(c.in)
		var refused *shots.InputError
		require.ErrorAs(t, err, &refused)
		assert.Equal(t, c.field, refused.Field)
	}
}

func TestEveryStrokeHasOneArea(t *testing.T) {
	for _, c := range []struct {
		par  int
		from shots.Position
		area string
	}{
		{4, shots.Position{Lie: events.LieTee, Distance: 330}, "tee"},
		{3, shots.Position{Lie: events.LieTee, Distance: 150}, "150_to_200_yd"},
		{3, shots.Position{Lie: events.LieTee, Distance: 30}, "50_to_100_yd"},
		{5, shots.Position{Lie: events.LieFairway, Distance: 200.0000001 * shots.Yard}, "150_to_200_yd"},
		{5, shots.Position{Lie: events.LieRough, Distance: 201 * shots.Yard}, "beyond_200_yd"},
		{4, shots.Position{Lie: events.LieSand, Distance: 50 * shots.Yard}, "short_sand"},
		{4, shots.Position{Lie: events.LieSand, Distance: 51 * shots.Yard}, "50_to_100_yd"},
		{4, shots.Position{Lie: events.LieRecovery, Distance: 20}, "short_grass"},
		{4, shots.Position{Lie: events.LieGreen, Distance: 3 * shots.Foot}, "putts_to_3_ft"},
		{4, shots.Position{Lie: events.LieGreen, Distance: 10 * shots.Foot}, "putts_3_to_10_ft"},
		{4, shots.Position{Lie: events.LieGreen, Distance: 6}, "putts_10_to_20_ft"},
		{4, shots.Position{Lie: events.LieGreen, Distance: 7}, "putts_beyond_20_ft"},
	} {
		at := areaOf(&shots.Gain{From: c.from, Phase: shots.PhaseOf(c.par, c.from)})
		assert.Equal(t, c.area, areas[at].key, "%v", c.from)
	}
}

func TestTheGlossaryNamesEachWordOnce(t *testing.T) {
	seen := map[string]bool{}
	for _, term := range Glossary() {
		assert.False(t, seen[term.Key], term.Key)
		seen[term.Key] = true
		assert.NotEmpty(t, term.Title)
		assert.True(t, strings.HasSuffix(term.Words, "."), term.Key)
		assert.LessOrEqual(t, len(term.Words), 450, term.Key)
	}
	for _, p := range shots.Phases() {
		assert.True(t, seen[string(p)], p)
	}
	for _, figure := range []string{FigureAreas, FigurePatterns, FigurePutts, FigureSquare, FigureCommitment, FigureRoutine, FigurePlan} {
		assert.True(t, seen[figure], figure)
	}
}
