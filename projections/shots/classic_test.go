package shots

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func classicOf(holes ...Hole) Classic { return ClassicOf([]Round{{Holes: holes}}) }

func penalised(h Hole, stroke int) Hole {
	h.Strokes[stroke].Penalty = 1
	return h
}

// broken is a hole whose log says nothing of its last stroke's end.
func broken(h Hole) Hole {
	h.Holed = false
	h.Strokes[len(h.Strokes)-1].Finish = nil
	return h
}

func TestFairways(t *testing.T) {
	t.Parallel()
	drive := func(par int, to Position) Hole { return invented(par, yards("tee", 350), to, holed) }
	for name, c := range map[string]struct {
		hole Hole
		want Count
	}{
		"fairway":                   {drive(4, yards("fairway", 100)), Count{1, 1}},
		"green":                     {drive(4, feet(30)), Count{1, 1}},
		"holed":                     {invented(4, yards("tee", 300), holed), Count{1, 1}},
		"first cut":                 {drive(4, yards("rough", 100)), Count{0, 1}},
		"sand":                      {drive(5, yards("sand", 100)), Count{0, 1}},
		"dropped in the fairway":    {penalised(drive(4, yards("fairway", 100)), 0), Count{0, 1}},
		"out of bounds":             {penalised(invented(4, yards("tee", 350), yards("tee", 350), yards("fairway", 90), holed), 0), Count{0, 1}},
		"a par 3":                   {drive(3, yards("fairway", 10)), Count{}},
		"picked up after the drive": {invented(4, yards("tee", 350), yards("fairway", 90)), Count{1, 1}},
		"nothing known":             {broken(invented(4, yards("tee", 350), holed)), Count{}},
		"a penalty, nothing else":   {broken(penalised(invented(4, yards("tee", 350), holed), 0)), Count{0, 1}},
		"putts only":                {invented(4, feet(10), holed), Count{}},
	} {
		require.Equal(t, c.want, classicOf(c.hole).FairwaysHit, name)
	}
}

func TestGreensAndScrambles(t *testing.T) {
	t.Parallel()
	tee := yards("tee", 380)
	withScore := func(h Hole, score int) Hole {
		h.Score = score
		return h
	}
	for name, c := range map[string]struct {
		hole            Hole
		green, scramble Count
	}{
		"in two on a par 4":                {invented(4, tee, yards("fairway", 100), feet(20), feet(1), holed), Count{1, 1}, Count{}},
		"in three on a par 4, par":         {invented(4, tee, yards("rough", 100), yards("rough", 10), feet(3), holed), Count{0, 1}, Count{1, 1}},
		"in three, bogey":                  {invented(4, tee, yards("rough", 100), yards("rough", 10), feet(9), feet(1), holed), Count{0, 1}, Count{0, 1}},
		"a chip holed for par":             {invented(3, tee, yards("rough", 10), yards("rough", 9), holed), Count{0, 1}, Count{1, 1}},
		"holed from the fairway in two":    {invented(4, tee, yards("fairway", 100), holed), Count{1, 1}, Count{}},
		"a penalty on the way":             {penalised(invented(4, tee, yards("fairway", 100), feet(20), holed), 0), Count{0, 1}, Count{1, 1}},
		"putted off the green":             {invented(4, tee, yards("fairway", 100), feet(20), yards("fairway", 4), feet(3), holed), Count{1, 1}, Count{}},
		"on in two, the fairway again":     {invented(5, tee, yards("fairway", 240), feet(60), holed), Count{1, 1}, Count{}},
		"picked up beside the green":       {invented(4, tee, yards("fairway", 100), yards("sand", 9), yards("sand", 8)), Count{0, 1}, Count{0, 1}},
		"picked up on the green in two":    {invented(4, tee, yards("fairway", 100), feet(2)), Count{1, 1}, Count{}},
		"picked up after the drive":        {invented(4, tee, yards("fairway", 100)), Count{0, 1}, Count{0, 1}},
		"broken off after the drive":       {broken(invented(4, tee, yards("fairway", 100), holed)), Count{}, Count{}},
		"broken off when missed, no score": {broken(invented(4, tee, yards("fairway", 100), yards("sand", 9), holed)), Count{0, 1}, Count{}},
		"broken off when missed, par":      {withScore(broken(invented(4, tee, yards("fairway", 100), yards("sand", 9), holed)), 4), Count{0, 1}, Count{1, 1}},
		"broken off when missed, double":   {withScore(broken(invented(4, tee, yards("fairway", 100), yards("sand", 9), holed)), 6), Count{0, 1}, Count{0, 1}},
		"putts only":                       {withScore(invented(4, feet(20), feet(1), holed), 4), Count{}, Count{}},
		"a hole in one on a par 3":         {invented(3, yards("tee", 150), holed), Count{1, 1}, Count{}},
	} {
		got := classicOf(c.hole)
		require.Equal(t, c.green, got.Greens, name)
		require.Equal(t, c.scramble, got.Scrambles, name)
	}
}

func TestSandSavesAndUpAndDown(t *testing.T) {
	t.Parallel()
	far, tee := yards("fairway", 150), yards("tee", 380)
	for name, c := range map[string]struct {
		hole         Hole
		sand, upDown Count
	}{
		"out and in":                        {invented(4, tee, far, yards("sand", 12), feet(6), holed), Count{1, 1}, Count{1, 1}},
		"holed out":                         {invented(4, tee, far, yards("sand", 12), holed), Count{1, 1}, Count{1, 1}},
		"two putts":                         {invented(4, tee, far, yards("sand", 12), feet(6), feet(1), holed), Count{0, 1}, Count{0, 1}},
		"a second bunker stroke spoils it":  {invented(4, tee, far, yards("sand", 12), yards("sand", 11), feet(6), holed), Count{0, 1}, Count{0, 1}},
		"even where that goes in":           {invented(4, tee, far, yards("sand", 12), yards("sand", 11), holed), Count{0, 1}, Count{0, 1}},
		"known before the hole is over":     {broken(invented(4, tee, far, yards("sand", 12), yards("sand", 11), holed)), Count{0, 1}, Count{0, 1}},
		"whatever the score":                {invented(4, tee, far, far, far, far, yards("sand", 12), feet(6), holed), Count{1, 1}, Count{1, 1}},
		"a penalty in them":                 {penalised(invented(4, tee, far, yards("sand", 12), feet(6), holed), 2), Count{0, 1}, Count{0, 1}},
		"a fairway bunker is none":          {invented(4, tee, yards("sand", 60), feet(6), holed), Count{}, Count{}},
		"50 yards are greenside":            {invented(4, tee, yards("sand", 50), feet(6), holed), Count{1, 1}, Count{1, 1}},
		"a chip":                            {invented(4, tee, far, yards("rough", 12), feet(6), holed), Count{}, Count{1, 1}},
		"a chip into sand, saved":           {invented(4, tee, far, yards("rough", 12), yards("sand", 10), holed), Count{1, 1}, Count{1, 1}},
		"a chip into sand, out and in":      {invented(4, tee, far, yards("rough", 12), yards("sand", 10), feet(4), holed), Count{1, 1}, Count{0, 1}},
		"picked up after the sand":          {invented(4, tee, far, yards("sand", 12), feet(6)), Count{0, 1}, Count{0, 1}},
		"broken off in the sand":            {broken(invented(4, tee, far, yards("sand", 12), holed)), Count{}, Count{}},
		"broken off after two, still known": {broken(invented(4, tee, far, yards("sand", 12), feet(6), feet(1), holed)), Count{0, 1}, Count{0, 1}},
		"a short par 3 from the tee":        {invented(3, yards("tee", 45), feet(6), holed), Count{}, Count{}},
	} {
		got := classicOf(c.hole)
		require.Equal(t, c.sand, got.SandSaves, name)
		require.Equal(t, c.upDown, got.UpAndDown, name)
	}
}

func TestPuttingCounts(t *testing.T) {
	t.Parallel()
	tee := yards("tee", 150)
	c := classicOf(
		invented(3, tee, feet(40), feet(6), feet(2), holed),       // green, three putts
		invented(3, tee, feet(20), feet(2), holed),                // green, two
		invented(3, tee, yards("fairway", 3), feet(2), holed),     // a putter from the fringe would be no putt
		invented(3, tee, feet(30), yards("fairway", 5), holed),    // green, one, then holed from off it
		invented(3, tee, holed),                                   // green, none
		broken(invented(3, tee, feet(20), feet(3), holed)),        // two so far
		broken(invented(3, tee, feet(50), feet(9), feet(8), tee)), // three so far
		invented(4, feet(20), feet(2), holed),                     // putts only
	)
	require.Equal(t, 14, c.Putts)
	require.Equal(t, 2, c.ThreePutts)
	require.Equal(t, Count{4, 6}, c.ThreePuttFree)
	require.Equal(t, Count{6, 7}, c.Greens)
	require.Equal(t, 6, c.PuttsOnGreens, "holes of which all putts are known")
	require.InDelta(t, 6.0/4, *c.PuttsPerGreen, 1e-12)
	require.Nil(t, classicOf(invented(4, feet(20), holed)).PuttsPerGreen)
}

func TestProximityPenaltiesAndScores(t *testing.T) {
	t.Parallel()
	tee := yards("tee", 380)
	c := classicOf(
		penalised(invented(4, tee, yards("rough", 150), feet(30), holed), 0),
		penalised(invented(4, tee, yards("fairway", 150), yards("rough", 20), feet(1), holed), 1), // a drop: not where it finished
		invented(4, tee, yards("fairway", 150), yards("rough", 30), feet(1), holed),
		invented(4, tee, yards("fairway", 150), yards("rough", 31), feet(1), holed),
		invented(4, tee, yards("fairway", 150), holed),
	)
	require.Equal(t, Proximity{N: 3, Median: 30 * Foot}, c.Proximity)
	require.Equal(t, 2, c.Penalties)
	require.Equal(t, map[Phase]int{PhaseOffTheTee: 1, PhaseApproach: 1}, c.PhasePenalties)

	// Rounds with scores only; a score on the card counts before what the strokes add up to.
	scores := ClassicOf([]Round{
		{Holes: []Hole{
			{Par: 4, Score: 5}, {Par: 3, Score: 2}, {Par: 5, Score: 8}, {Par: 4}, {Par: 4, Score: 6},
			invented(4, tee, yards("rough", 20), yards("rough", 21)), // picked up
			{Par: 4, Score: 5},
		}},
		{Holes: []Hole{{Par: 3, Score: 2}, {Par: 5, Score: 3}, invented(4, tee, feet(9), feet(1), holed)}},
	})
	require.Equal(t, Count{1, 2}, scores.BounceBack, "a hole that says nothing is no chance, one picked up is; no round goes on in the next")
	require.Equal(t, []ParAverage{{3, 2, 2}, {4, 4, 4.75}, {5, 2, 5.5}}, scores.Averages)
	require.Equal(t, Distribution{EagleOrBetter: 1, Birdie: 3, Bogey: 2, DoubleBogey: 1, Worse: 1}, scores.Distribution)
	require.Equal(t, 2, scores.HolesLogged)
	require.Equal(t, 8, scores.HolesScored)
}

// TestEveryMeasureIsDefined: what is counted is said.
func TestEveryMeasureIsDefined(t *testing.T) {
	t.Parallel()
	body, err := json.Marshal(classicOf())
	require.NoError(t, err)
	var measures map[string]any
	require.NoError(t, json.Unmarshal(body, &measures))
	for _, d := range Definitions() {
		require.Contains(t, measures, d.Key)
		require.NotEmpty(t, d.Counts)
	}
	require.Equal(t, []any{}, measures["averages"], "lists are never null")
}

// TestCountsHoldTogether for any holes whatever.
func TestCountsHoldTogether(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var holes []Hole
		for n := range rapid.IntRange(0, 9).Draw(t, "holes") {
			holes = append(holes, drawHole(t, n+1))
		}
		c := classicOf(holes...)
		for _, count := range []Count{c.FairwaysHit, c.Greens, c.Scrambles, c.SandSaves, c.UpAndDown, c.BounceBack, c.ThreePuttFree} {
			require.LessOrEqual(t, count.Done, count.Chances)
			require.LessOrEqual(t, count.Chances, len(holes))
			require.GreaterOrEqual(t, count.Done, 0)
		}
		require.LessOrEqual(t, c.Scrambles.Chances, c.Greens.Chances-c.Greens.Done)
		require.LessOrEqual(t, c.SandSaves.Chances, c.HolesLogged)
		require.Equal(t, c.ThreePutts, c.ThreePuttFree.Chances-c.ThreePuttFree.Done)
		byPhase := 0
		for _, n := range c.PhasePenalties {
			byPhase += n
		}
		require.Equal(t, c.Penalties, byPhase)
		d := c.Distribution
		require.Equal(t, c.HolesScored, d.EagleOrBetter+d.Birdie+d.Par+d.Bogey+d.DoubleBogey+d.Worse)
	})
}
