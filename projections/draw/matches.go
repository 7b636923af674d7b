package draw

import (
	"marram.example/events"
)

// Matches makes the start sheet of a round of matches: each pair of entries is one group, in the order given, with the
// start that the terms say. In a match nobody marks a card, so that no marker is named (Rules of Golf 3.2). A pair with
// an empty second id is a bye and gets no group.
func Matches(pairs [][2]string, terms events.Terms) ([]events.Group, error) {
	var playing [][2]string
	for _, p := range pairs {
		if p[1] != "" {
			playing = append(playing, p)
		}
	}
	if len(playing) == 0 {
		return nil, nil
	}
	groups, err := Starts(len(playing), terms)
	if err != nil {
		return nil, err
	}
	for i, p := range playing {
		groups[i].Places = []events.GroupSlot{{EntryID: p[0]}, {EntryID: p[1]}}
	}
	return groups, nil
}
