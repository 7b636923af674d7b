package web

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
)

func TestALineIsReadAsItIsMeant(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]holeLine{
		"": {},
		"t 380 driver, f 120 iron-8, g 6, g 0.5": {Strokes: []lineStroke{
			{"tee", 380, "driver", 0}, {"fairway", 120, "iron-8", 0}, {"green", 6, "", 0}, {"green", 0.5, "", 0},
		}},
		"T380 D +1 , Tee 380 3w,v 150yd, s 12 SW,g 30ft x": {Open: true, Strokes: []lineStroke{
			{"tee", 380, "driver", 1}, {"tee", 380, "wood-3", 0}, {"recovery", 137.16, "", 0}, {"sand", 12, "sand-wedge", 0}, {"green", 9.144, "", 0},
		}},
		"g 6, g 1, x":            {Open: true, Strokes: []lineStroke{{"green", 6, "", 0}, {"green", 1, "", 0}}},
		"rough 90 +2 hybrid-4 x": {Open: true, Strokes: []lineStroke{{"rough", 90, "hybrid-4", 2}}},
	} {
		got, wrong := parseLine(text, metric)
		require.Nil(t, wrong, text)
		assert.Equal(t, want, got, text)
	}
	got, wrong := parseLine("t 400 dr, g 18", imperial)
	require.Nil(t, wrong)
	assert.Equal(t, []lineStroke{{"tee", 365.76, "driver", 0}, {"green", 5.4864, "", 0}}, got.Strokes, "yards, and feet on the green")
}

func TestALineSaysWhichStrokeIsWrongAndWhy(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]struct {
		stroke int
		rule   string
	}{
		"t 380 driver,, g 6":       {2, "nothing stands between two commas"},
		"t 380, q 120":             {2, `"q" is no lie`},
		"t 380, f":                 {2, `"f" cannot be read`},
		"t 380, 6":                 {2, `"6" cannot be read`},
		"t 0":                      {1, "above 0"},
		"t 1501":                   {1, "at most 1500 m"},
		"t 380 spoon":              {1, `"spoon" is no club`},
		"t 380 driver putter":      {1, "one word too many"},
		"t 380 +5":                 {1, "+1 to +4"},
		"t 380 +1 +1":              {1, `"+1" is one word too many`},
		"t 380 x, g 6":             {1, "x stands after the last stroke alone"},
		"t 380, x, g 6":            {2, `"x" cannot be read`},
		"x":                        {1, `"x" cannot be read`},
		"t 380 iron-0":             {1, `"iron-0" is no club`},
		"t -5":                     {1, "cannot be read"},
		"t 380 +999999999999":      {1, "+1 to +4"},
		"g 1 x, x":                 {1, "x stands after the last stroke alone"},
		strings.Repeat("g 1,", 41): {41, "at most 40"},
	} {
		_, wrong := parseLine(text, metric)
		if assert.NotNil(t, wrong, text) {
			assert.Equal(t, want.stroke, wrong.Stroke, text)
			assert.Contains(t, wrong.Rule, want.rule, text)
		}
	}
}

// anyLine draws strokes that a line can say, in distances of either unit.
func anyLine(r *rand.Rand) holeLine {
	var out holeLine
	lies, clubs := strokeLies(), append([]string{""}, events.Clubs()...)
	for range r.IntN(8) {
		unit := []string{"m", "yd", "ft"}[r.IntN(3)]
		d := math.Ceil(r.Float64()*500*100) / 100
		if r.IntN(2) == 0 {
			d = math.Ceil(d)
		}
		if r.IntN(5) == 0 {
			d = r.Float64()*3 + 0.001
		}
		x := lineStroke{Lie: lies[r.IntN(len(lies))].Lie, DistanceM: toMetres(d, unit), Club: clubs[r.IntN(len(clubs))]}
		if r.IntN(6) == 0 {
			x.Penalty = 1 + r.IntN(card.MostStrokePenalty)
		}
		out.Strokes = append(out.Strokes, x)
	}
	out.Open = len(out.Strokes) > 0 && r.IntN(3) == 0
	return out
}

func TestALineReadsBackAsTheSame(t *testing.T) {
	t.Parallel()
	for seed := range uint64(20_000) {
		r := rand.New(rand.NewPCG(seed, 7))
		want := anyLine(r)
		for _, u := range []units{metric, imperial} {
			text := formatLine(want, u)
			got, wrong := parseLine(text, u)
			require.Nil(t, wrong, "%s %q", u, text)
			require.Equal(t, want, got, "%s %q", u, text)
		}
	}
}

// anyLogged draws strokes with fields that a line cannot say.
func anyLogged(r *rand.Rand) []command.LoggedStroke {
	h := anyLine(r)
	out := make([]command.LoggedStroke, len(h.Strokes))
	yes := r.IntN(2) == 0
	for i, x := range h.Strokes {
		out[i] = command.LoggedStroke{StrokeID: string(rune('a' + i)), Stroke: command.Stroke{
			Lie: x.Lie, Distance: x.DistanceM, Unit: "m", Club: x.Club, Penalty: x.Penalty, Strike: []string{"", "poor", "good"}[r.IntN(3)],
			Miss: command.Miss{Side: "left", SideBy: 3, Unit: "m"}, GoodEnough: &yes, Commitment: r.IntN(6), Word: "kept", Aim: "the mast",
		}}
		switch {
		case i == len(h.Strokes)-1 && !h.Open:
			out[i].Finish = &command.Finish{Holed: true}
		case r.IntN(2) == 0:
			out[i].Finish = &command.Finish{Lie: "rough", Distance: 40, Unit: "m"}
		}
	}
	return out
}

func TestALineThatIsSavedUnchangedLosesNothing(t *testing.T) {
	t.Parallel()
	for seed := range uint64(5_000) {
		r := rand.New(rand.NewPCG(seed, 8))
		stood := anyLogged(r)
		u := []units{metric, imperial}[r.IntN(2)]
		h, wrong := parseLine(formatLine(lineOf(stood), u), u)
		require.Nil(t, wrong)
		require.Equal(t, stood, onLine(stood, h))
	}
}

func TestAChangedLineKeepsWhatItCannotSay(t *testing.T) {
	t.Parallel()
	good := true
	stood := []command.LoggedStroke{
		{StrokeID: "a", Stroke: command.Stroke{Lie: "tee", Distance: 380, Unit: "m", Club: "driver", Strike: "poor", GoodEnough: &good}},
		{StrokeID: "b", Stroke: command.Stroke{Lie: "fairway", Distance: 120, Unit: "m", Word: "thin", Finish: &command.Finish{Lie: "green", Distance: 6, Unit: "m"}}},
		{StrokeID: "c", Stroke: command.Stroke{Lie: "green", Distance: 6, Unit: "m", Finish: &command.Finish{Holed: true}}},
	}
	change := func(text string) []command.LoggedStroke {
		h, wrong := parseLine(text, metric)
		require.Nil(t, wrong)
		return onLine(stood, h)
	}
	ids := func(x []command.LoggedStroke) (out []string) {
		for _, s := range x {
			out = append(out, s.StrokeID)
		}
		return out
	}
	one := change("t 380 driver, f 125 iron-8, g 6, g 0.4")
	assert.Equal(t, []string{"a", "b", "c", ""}, ids(one), "a corrected distance keeps its stroke, another putt is new")
	assert.Equal(t, "poor", one[0].Strike)
	assert.Equal(t, "thin", one[1].Word)
	assert.InDelta(t, 125, one[1].Distance, 0)
	assert.Nil(t, one[2].Finish, "what is no longer the last stroke was not holed")
	assert.True(t, one[3].Finish.Holed)
	assert.Equal(t, []string{"a", "", "b", "c"}, ids(change("t 380 driver, r 200, f 120, g 6")))
	assert.Equal(t, []string{"b", "c"}, ids(change("f 120, g 6")))
	open := change("t 380 driver, f 120, x")
	assert.Equal(t, []string{"a", "b"}, ids(open))
	assert.Equal(t, "green", open[1].Finish.Lie)
	assert.Nil(t, change("t 380 driver, f 120, g 6 x")[2].Finish)
	assert.True(t, stood[2].Finish.Holed, "what stood is not written to")
}

func FuzzLine(f *testing.F) {
	for _, s := range []string{"t 380 driver, f 120 iron-8, g 6, g 0.5", "t380 d+1", "g 1 x", "v 12yd pw +4, x", "t 99999.999999", "0", ",", "t 380 iron-8 x"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, u := range []units{metric, imperial} {
			h, wrong := parseLine(text, u)
			if wrong != nil {
				require.NotEmpty(t, wrong.Rule)
				require.Positive(t, wrong.Stroke)
				continue
			}
			require.LessOrEqual(t, len(h.Strokes), card.MostStrokes)
			for _, x := range h.Strokes {
				require.True(t, x.DistanceM > 0 && x.DistanceM <= card.MostDistanceM, text)
			}
			again, wrong := parseLine(formatLine(h, u), u)
			require.Nil(t, wrong, text)
			require.Equal(t, h, again, text)
			lineWords(h, u)
		}
	})
}
