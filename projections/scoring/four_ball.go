package scoring

import "marram.example/events"

// FourBall is two partners who each play their own ball; the better one counts on every hole. One score is enough for a
// hole (Rules of Golf 23.2). Where both are equal the first partner's counts and nothing depends on it.
func FourBall() Side {
	return Side{
		Name: events.SideFourBall, Rule: "Rules of Golf 23.2", Fewest: 2, Most: 2, Counting: oneBall,
		Words: func(int, int) string { return "the better of two balls on each hole" },
	}
}
