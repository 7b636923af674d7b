package scoring

import "marram.example/events"

// Scramble is two to four players who all play from the spot that they choose, stroke after stroke: one score for the
// side (Committee Procedures 9C).
func Scramble() Side {
	return Side{
		Name: events.SideScramble, Rule: "Committee Procedures 9C", Fewest: 2, Most: 4, OneBall: true, Counting: oneBall,
		Words: func(int, int) string { return "everybody plays from the chosen spot, one score" },
	}
}
