package scoring

import "marram.example/events"

// Greensomes is two partners who both tee off, choose one ball and play on in alternate strokes (Committee Procedures 9B).
func Greensomes() Side {
	return Side{
		Name: events.SideGreensomes, Rule: "Committee Procedures 9B", Fewest: 2, Most: 2, OneBall: true, Counting: oneBall,
		Words: func(int, int) string { return "both tee off, then one ball in alternate strokes" },
	}
}
