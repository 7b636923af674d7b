package draw

import (
	"marram.example/events"
)

// Matches makes the start sheet of a round of matches: each pair of entries is one group, in the order given, with the
// start that the terms say. In a match nobody marks a card, so that no marker is named (Rules of Golf 3.2). A pair with
// an empty second id is a bye: a group of one, so that its neighbour on the sheet is known to meet it next.
func Matches(pairs [][2]string, terms events.Terms) ([]events.Group, error) {
	playing := 0
	for _, p := range pairs {
		if p[1] != "" {
			playing++
		}
	}
	starts, err := Starts(max(1, playing), terms)
	if err != nil {
		return nil, err
	}
	groups := make([]events.Group, len(pairs))
	next := 0
	for i, p := range pairs {
		groups[i] = starts[0]
		groups[i].Places = []events.GroupSlot{{EntryID: p[0]}}
		if p[1] != "" {
			groups[i] = starts[next]
			groups[i].Places = []events.GroupSlot{{EntryID: p[0]}, {EntryID: p[1]}}
			next++
		}
		groups[i].Number = i + 1
	}
	return groups, nil
}
