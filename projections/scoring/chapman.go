package scoring

import "marram.example/events"

// Chapman is two partners who both tee off, play the second stroke with each other's ball, then choose one ball and play
// on in alternate strokes (Committee Procedures 9B).
func Chapman() Side {
	return Side{
		Name: events.SideChapman, Rule: "Committee Procedures 9B", Fewest: 2, Most: 2, OneBall: true, Counting: oneBall,
		Words: func(int, int) string {
			return "both tee off, swap balls for the second stroke, then one ball in alternate strokes"
		},
	}
}
