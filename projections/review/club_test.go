package review

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/projections/shots"
)

// club fits what so many invented players logged in so many rounds each.
func club(t *testing.T, players, rounds int) *shots.Fit {
	t.Helper()
	var obs []shots.Observation
	left := 0
	for p := range players {
		for n := range rounds {
			r := invented(fmt.Sprintf("club-%d-%d", p, n), "2031-03-02", uint64(1000*p+n), 0.2*float64(p%5))
			some, out := shots.Observations([]shots.Round{r}, fmt.Sprint("p", p))
			obs, left = append(obs, some...), left+out
		}
	}
	f, err := shots.FitClub(broadie().Stretched("level", "level (derived)", 1.2), obs, left)
	require.NoError(t, err)
	return f
}

func TestTheClubsOwnBaselineIsShownWithItsBand(t *testing.T) {
	t.Parallel()
	f := club(t, 12, 10)
	own := history(3)
	r := reviewOf(t, Input{Own: own, Baseline: f.Baseline(), Club: f, Published: broadie()})
	c := r.Club
	require.NotNil(t, c)
	require.Equal(t, broadie().Label(), c.Published)
	require.Equal(t, []int{12, 300, 10}, []int{c.Players, c.MinStrokes, c.MinPlayers})
	require.Equal(t, f.Strokes, c.Strokes)
	enough := map[string]bool{}
	for i, l := range c.Lies {
		enough[l.Lie] = l.Enough
		require.Equal(t, f.Lies[i].Strokes, l.Strokes)
		if !l.Enough {
			assert.Empty(t, l.Points, l.Lie)
			assert.Positive(t, l.MissingStrokes+l.MissingPlayers, l.Lie)
			continue
		}
		require.Greater(t, len(l.Points), 2, l.Lie)
		assert.NotNil(t, l.Points[0].Fitted)
		assert.NotNil(t, l.Points[len(l.Points)-1].Fitted, "nothing beyond the last value")
		before := 0.0
		for _, p := range l.Points {
			at := shots.Position{Lie: l.Lie, Distance: p.Distance}
			published, _, err := broadie().Expected(at)
			require.NoError(t, err)
			assert.InDelta(t, published, p.Published, 1e-12)
			assert.Greater(t, p.Distance, before)
			before = p.Distance
			if p.Fitted == nil {
				assert.Nil(t, p.Low)
				assert.Nil(t, p.High)
				continue
			}
			fitted, _, err := f.Baseline().Expected(at)
			require.NoError(t, err)
			low, high := f.Band(at)
			assert.InDelta(t, fitted, *p.Fitted, 1e-12)
			assert.InDelta(t, low, *p.Low, 1e-12)
			assert.InDelta(t, high, *p.High, 1e-12)
			assert.Less(t, *p.Low, *p.Fitted)
			assert.Less(t, *p.Fitted, *p.High)
		}
	}
	require.Equal(t, map[string]bool{"tee": true, "fairway": true, "rough": true, "sand": false, "recovery": false, "green": true}, enough)

	// By hand, of the first strokes and of all.
	sum, n, firsts := 0.0, 0, 0.0
	for _, round := range own {
		for _, h := range round.Holes {
			for i, s := range h.Strokes {
				low, high := f.Band(s.From)
				if high > low {
					sum, n = sum+(high-low)/2, n+1
				}
				if i == 0 {
					require.Less(t, low, high, "hole %d of %s", h.Number, round.ID)
					firsts += (high - low) / 2
				}
			}
		}
	}
	require.InDelta(t, sum/float64(n), *c.OffStroke, 1e-12)
	require.InDelta(t, firsts/3, *c.OffRound, 1e-12)
	require.Nil(t, reviewOf(t, Input{Own: own, Baseline: broadie()}).Club, "another baseline")
}

// Where few strokes are, or those of few players, the point is the middle of a range
// that was fixed before anybody played, and its value the published one.
func TestNobodysOwnStrokesAreShown(t *testing.T) {
	t.Parallel()
	var obs []shots.Observation
	observe := func(player int, distance, strokes float64, n int) {
		for range n {
			obs = append(obs, shots.Observation{Lie: events.LieFairway, Distance: distance, Strokes: strokes, Player: fmt.Sprint("p", player)})
		}
	}
	for p := range 12 {
		observe(p, 151, 3, 20)
		observe(p, 95, 3, 20)
	}
	observe(0, 121.31, 9, 1)  // one stroke
	observe(1, 136.77, 2, 40) // many, of one player
	observe(2, 212.3, 8, 9)   // beyond all the others
	f, err := shots.FitClub(broadie(), obs, 0)
	require.NoError(t, err)
	c := reviewOf(t, Input{Own: history(1), Baseline: f.Baseline(), Club: f, Published: broadie()}).Club
	for _, l := range c.Lies {
		if l.Lie != events.LieFairway {
			require.Empty(t, l.Points)
			continue
		}
		var shown, without []float64
		for _, p := range l.Points {
			if p.Fitted != nil {
				shown = append(shown, p.Distance)
			} else {
				without = append(without, p.Distance/shots.Yard)
			}
		}
		require.InDeltaSlice(t, []float64{95, 151}, shown, 1e-9)
		require.InDeltaSlice(t, []float64{130, 150}, without, 1e-9)
	}
	require.Nil(t, c.OffRound, "no band from the tee")
}
