package api

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/shots"
)

// invented is a card of three par fours with two strokes received on the first.
func invented(format string, scores ...events.Score) *card.State {
	k := &card.State{Format: format, StartingHole: 1, PlayerID: "p"}
	for i, s := range scores {
		h := card.HoleLine{Hole: events.Hole{Number: i + 1, Par: 4, LengthM: 300}, Player: s}
		if i == 0 {
			h.Received = 2
		}
		k.Holes = append(k.Holes, h)
	}
	return k
}

// Scores of the field are capped where a format lets players pick up, for everybody in
// the same way, and a hole that was not finished has none.
func TestScoresOfTheField(t *testing.T) {
	t.Parallel()
	scores := []events.Score{{Strokes: 11}, {Strokes: 7}, {None: events.PickedUp}, {None: events.NoScore}, {None: events.Excluded}, {}, {Strokes: 3}}
	for name, c := range map[string]struct {
		format  string
		maximum events.Maximum
		want    []int
	}{
		"stroke play":      {events.StrokePlay, events.Maximum{}, []int{11, 7, 0, 0, 0, 0, 3}},
		"stableford":       {events.Stableford, events.Maximum{}, []int{8, 6, 6, 0, 0, 0, 3}},
		"double par":       {events.MaximumScore, events.Maximum{Kind: events.DoublePar}, []int{8, 7, 8, 0, 0, 0, 3}},
		"net double bogey": {events.MaximumScore, events.Maximum{Kind: events.NetDoubleBogey}, []int{8, 6, 6, 0, 0, 0, 3}},
		"so many strokes":  {events.MaximumScore, events.Maximum{Kind: events.FixedStrokes, Strokes: 9}, []int{9, 7, 9, 0, 0, 0, 3}},
		"par/bogey":        {events.ParBogey, events.Maximum{}, []int{11, 7, 0, 0, 0, 0, 3}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			k := invented(c.format, scores...)
			k.Maximum = c.maximum
			k.Strokes = []card.StrokeLine{{ID: "s", Hole: 1, Stroke: events.Stroke{Lie: events.LieTee, DistanceM: 300}}}
			r := scoresOf(k, "card", 0)
			var got []int
			for _, h := range r.Holes {
				got = append(got, h.Score)
				require.Empty(t, h.Strokes, "nobody else's strokes go into a review")
			}
			require.Equal(t, c.want, got)
		})
	}
}

// The baseline is matched so that the tees add up to the score that the handicap
// averages: course rating, course handicap and three strokes, of nine holes half.
func TestMatchedBaseline(t *testing.T) {
	t.Parallel()
	table, err := shots.Named(published)
	require.NoError(t, err)
	holes := func(n int) (out []shots.Hole) {
		for i := range n {
			out = append(out, shots.Hole{Number: i + 1, Par: 4, Length: 280 + 10*float64(i)})
		}
		return out
	}
	full := shots.Round{Holes: holes(18), CourseRating: 70.2, CourseHandicap: 14.25}
	nine := shots.Round{Holes: holes(9), CourseRating: 35.4, CourseHandicap: 6.5}
	tees := func(b *shots.Baseline, rounds ...shots.Round) float64 {
		sum := 0.0
		for _, r := range rounds {
			for _, h := range r.Holes {
				e, _, err := b.Expected(shots.Position{Lie: events.LieTee, Distance: h.Length})
				require.NoError(t, err)
				sum += e
			}
		}
		return sum
	}
	for want, rounds := range map[float64][]shots.Round{70.2 + 14.25 + 3: {full}, 35.4 + 6.5 + 1.5: {nine}, 70.2 + 14.25 + 3 + 35.4 + 6.5 + 1.5: {full, nine}} {
		b, err := matched(table, rounds)
		require.NoError(t, err)
		require.InDelta(t, want, tees(b, rounds...), 1e-9)
		require.False(t, b.Published())
	}
	unrated := full
	unrated.CourseRating = 0
	short := full
	short.Holes = append(holes(17), shots.Hole{Number: 18, Par: 4})
	for name, rounds := range map[string][]shots.Round{"no rounds": nil, "no rating": {unrated}, "a hole without length": {short}} {
		b, err := matched(table, rounds)
		require.NoError(t, err, name)
		require.Nil(t, b, name)
	}
	b, err := matched(table, []shots.Round{unrated, full})
	require.NoError(t, err)
	require.InDelta(t, 70.2+14.25+3, tees(b, full), 1e-9, "what has no figures is passed over")
}
