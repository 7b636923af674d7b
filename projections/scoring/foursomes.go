package scoring

import "marram.example/events"

// Foursomes is two partners who play one ball in alternate strokes, one teeing off on odd, the other on even holes (Rules
// of Golf 22).
func Foursomes() Side {
	return Side{
		Name: events.SideFoursomes, Rule: "Rules of Golf 22", Fewest: 2, Most: 2, OneBall: true, Counting: oneBall,
		Words: func(int, int) string { return "one ball, alternate strokes" },
	}
}
