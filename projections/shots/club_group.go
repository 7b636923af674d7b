package shots

import (
	"strings"

	"marram.example/events"
)

// Groups of clubs whose strokes miss alike, so that their directions are pooled.
const (
	GroupDriver     = "driver"
	GroupWoods      = "woods"
	GroupHybrids    = "hybrids"
	GroupLongIrons  = "long irons"  // 1 to 4
	GroupMidIrons   = "mid irons"   // 5 to 7
	GroupShortIrons = "short irons" // 8 and 9
	GroupWedges     = "wedges"
	GroupPutter     = "putter"
)

// Groups lists the groups of clubs, the longest first.
func Groups() []string {
	return []string{GroupDriver, GroupWoods, GroupHybrids, GroupLongIrons, GroupMidIrons, GroupShortIrons, GroupWedges, GroupPutter}
}

// GroupOf says which group a club of events.Clubs belongs to; empty for any other.
func GroupOf(club string) string { return groupOf[club] }

var groupOf = func() map[string]string {
	groups := map[string]string{}
	for _, club := range events.Clubs() {
		kind, number, _ := strings.Cut(club, "-")
		group := GroupWedges
		switch {
		case kind == "driver":
			group = GroupDriver
		case kind == "wood":
			group = GroupWoods
		case kind == "hybrid":
			group = GroupHybrids
		case kind == "putter":
			group = GroupPutter
		case kind == "iron" && number <= "4":
			group = GroupLongIrons
		case kind == "iron" && number <= "7":
			group = GroupMidIrons
		case kind == "iron":
			group = GroupShortIrons
		}
		groups[club] = group
	}
	return groups
}()
