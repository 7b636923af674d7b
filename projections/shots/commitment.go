package shots

// Committed is the commitment from which on a stroke counts as committed: 4 of 5.
const Committed = 4

// CommitmentLevel is what strokes of one commitment gained.
type CommitmentLevel struct {
	Commitment int `json:"commitment"` // 1 to 5
	Cell
}

// Commitment sets how committed the player was before a stroke against what the stroke gained. Strokes gained already allow for
// how hard the stroke was. It is observed, not tried: a player may be less committed where the trouble is.
type Commitment struct {
	N         int               `json:"n"` // strokes of which it was said
	Levels    []CommitmentLevel `json:"levels"`
	Low       Cell              `json:"low"`        // 1 to 3
	High      Cell              `json:"high"`       // 4 and 5
	Effect    Effect            `json:"effect"`     // high less low, strokes a stroke
	Test      Test              `json:"test"`       // high against low, exchanged within a phase of the game
	Rank      Test              `json:"rank"`       // Spearman's correlation of commitment and strokes gained
	SeenAbove float64           `json:"seen_above"` // strokes a stroke: the smallest difference seen 4 times in 5 with so many strokes; 0 where none can be
}

// CommitmentAgainstResult works it out of the strokes whose commitment was said.
func CommitmentAgainstResult(gains []Gain) Commitment {
	levels := make([][]float64, 6)
	var gained, said []float64
	var high []bool
	var phases []int
	for _, g := range gains {
		level := g.Stroke.Commitment
		if level < 1 || level > 5 {
			continue
		}
		levels[level] = append(levels[level], g.Gained)
		gained, said = append(gained, g.Gained), append(said, float64(level))
		high, phases = append(high, level >= Committed), append(phases, phaseIndex(g.Phase))
	}
	c := Commitment{N: len(gained)}
	var groups [2][]float64
	for level := 1; level <= 5; level++ {
		c.Levels = append(c.Levels, CommitmentLevel{Commitment: level, Cell: cellOf(levels[level])})
		group := 0
		if level >= Committed {
			group = 1
		}
		groups[group] = append(groups[group], levels[level]...)
	}
	c.Low, c.High = cellOf(groups[0]), cellOf(groups[1])
	c.Effect = BootstrapDifference(groups[1], groups[0], Seed)
	c.Test = PermuteDifference(gained, high, phases, Seed)
	c.Rank = PermuteSpearman(said, gained, Seed)
	if c.Effect.TooFew == "" {
		c.SeenAbove = c.Test.seenAbove()
	}
	return c
}
