package scoring

import (
	"fmt"

	"marram.example/events"
)

// BestOf is a team of which the best so many balls count, on each hole or as whole rounds; their number is stated by the
// terms and may differ from hole to hole (Rules of Golf 24.2, Committee Procedures 9D). The arithmetic takes teams of
// any size; Most is what one card has room for.
func BestOf() Side {
	return Side{
		Name: events.SideBestOf, Rule: "Rules of Golf 24.2", Fewest: 2, Most: 4, ByRound: true,
		Counting: func(stated, _ int) int { return stated },
		Words:    func(count, balls int) string { return fmt.Sprintf("the best %d of %d balls", count, balls) },
	}
}
