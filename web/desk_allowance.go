package web

import (
	"fmt"
	"strconv"
	"strings"

	"marram.example/api/command"
	"marram.example/events"
)

// byCommittee is the source of an allowance that nobody published.
const byCommittee = "committee"

// played is what decides which allowance is published: how holes count, who plays
// together, and how many balls of how many count.
type played struct {
	Format, Side string
	Size, Count  int
}

// preset is a published allowance: one percentage, or one for each player of a side
// that plays one ball, the lowest handicap first.
type preset struct {
	Percents []int  `json:"percents"`
	Source   string `json:"source"`
}

// published finds the recommended allowance of what is played (Rules of
// Handicapping, Appendix C); none where nothing is published for it.
func (p played) published() (preset, bool) {
	in := command.Preset{Format: p.Format, Side: p.Side}
	if p.Side != "" {
		in.SideSize = p.Size
	}
	if p.Side == events.SideBestOf {
		if p.Count == 0 {
			return preset{}, false
		}
		in.Count = p.Count
	}
	t, err := command.PresetFor(in)
	if err != nil || t.AllowanceSource == byCommittee {
		return preset{}, false
	}
	if events.OneBall(p.Side) {
		return preset{Percents: t.SideAllowances, Source: t.AllowanceSource}, true
	}
	return preset{Percents: []int{t.AllowancePercent}, Source: t.AllowanceSource}, true
}

// Says is the allowance in words, with its source.
func (p preset) Says() string {
	return fmt.Sprintf("%s (%s)", percentWords(p.Percents), p.Source)
}

func percentWords(percents []int) string {
	words := make([]string, len(percents))
	for i, n := range percents {
		words[i] = strconv.Itoa(n) + "%"
	}
	if len(words) > 1 {
		return strings.Join(words, ", ") + ", the lowest handicap first"
	}
	return strings.Join(words, "")
}

// sizeOf is how many players a side has: two where it cannot be anything else.
func sizeOf(side string, chosen int) int {
	switch side {
	case "":
		return 1
	case events.SideScramble, events.SideBestOf, events.SideAggregate:
		return min(max(chosen, 2), 4)
	default:
		return 2
	}
}

// byStrokes reports whether cards of a format are compared by strokes, so that a
// difference in par between tees has to be made good (Rules of Handicapping 6.2b).
func byStrokes(format string) bool { return format == events.StrokePlay || format == events.MatchPlay }

// everyPublished is every recommended allowance by what is played, for the script that
// fills the fields in when something else is chosen.
func everyPublished() map[string]preset {
	out := map[string]preset{}
	for _, format := range formats() {
		for _, side := range sides() {
			for size := 1; size <= 4; size++ {
				if sizeOf(side.Value, size) != size {
					continue
				}
				for counting := range size {
					p := played{format.Value, side.Value, size, counting}
					if found, ok := p.published(); ok {
						out[p.key()] = found
					}
				}
			}
		}
	}
	return out
}

// key names what is played where the script looks it up.
func (p played) key() string {
	switch {
	case events.OneBall(p.Side):
		return fmt.Sprintf("%s %d", p.Side, p.Size)
	case p.Side == events.SideBestOf:
		return fmt.Sprintf("%s %s %d of %d", p.Format, p.Side, p.Count, p.Size)
	case p.Side == events.SideAggregate:
		return fmt.Sprintf("%s %s %d", p.Format, p.Side, p.Size)
	default:
		return strings.TrimSpace(p.Format + " " + p.Side)
	}
}
