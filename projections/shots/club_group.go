package shots

import (
	"slices"
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
func GroupOf(club string) string {
	if !slices.Contains(events.Clubs(), club) {
		return ""
	}
	kind, number, _ := strings.Cut(club, "-")
	switch {
	case kind == "driver":
		return GroupDriver
	case kind == "wood":
		return GroupWoods
	case kind == "hybrid":
		return GroupHybrids
	case kind == "putter":
		return GroupPutter
	case kind == "iron" && number <= "4":
		return GroupLongIrons
	case kind == "iron" && number <= "7":
		return GroupMidIrons
	case kind == "iron":
		return GroupShortIrons
	default:
		return GroupWedges
	}
}
