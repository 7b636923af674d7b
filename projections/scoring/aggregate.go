package scoring

import (
	"fmt"

	"marram.example/events"
)

// Aggregate is a side of which every ball counts, on each hole or as whole rounds (Rules of Golf 24.2, Committee
// Procedures 9D).
func Aggregate() Side {
	return Side{
		Name: events.SideAggregate, Rule: "Rules of Golf 24.2", Fewest: 2, Most: 4, ByRound: true,
		Counting: func(_, balls int) int { return balls },
		Words:    func(_, balls int) string { return fmt.Sprintf("all %d balls added up", balls) },
	}
}
