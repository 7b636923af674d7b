package shots

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestCheckRefusesWhatCannotBePlayed(t *testing.T) {
	t.Parallel()
	at := func(lie string, distance float64) Hole {
		h := invented(4, yards("tee", 400), yards("fairway", 150), feet(10), holed)
		h.Strokes[1].From = Position{Lie: lie, Distance: distance}
		return h
	}
	cheaper := at("rough", 90)
	cheaper.Strokes[1].Penalty = -1
	pickedUp := invented(4, yards("tee", 400), yards("fairway", 150), feet(10))
	pickedUp.Strokes[1].Finish.Distance = -3
	for name, c := range map[string]struct {
		hole  Hole
		field string
	}{
		"unknown lie":                       {at("cart path", 90), "lie"},
		"no lie":                            {at("", 90), "lie"},
		"zero":                              {at("rough", 0), "distance"},
		"negative":                          {at("rough", -1), "distance"},
		"infinite":                          {at("rough", math.Inf(1)), "distance"},
		"not a number":                      {at("rough", math.NaN()), "distance"},
		"where it was picked up":            {pickedUp, "distance"},
		"a penalty that gives strokes back": {cheaper, "penalty"},
	} {
		var in *InputError
		require.ErrorAs(t, c.hole.Check(), &in, name)
		require.Equal(t, c.field, in.Field, name)
		_, err := Gained(c.hole, named(t, "broadie-2012"))
		require.ErrorAs(t, err, &in, name)
		require.Equal(t, c.field, in.Field, name)
	}
	require.NoError(t, at("rough", 90).Check())
	require.NoError(t, Hole{Number: 1, Par: 4}.Check())
}
