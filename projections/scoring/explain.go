package scoring

import (
	"fmt"
	"strconv"
	"strings"

	"marram.example/projections/handicap"
)

// ExplainHole shows the arithmetic of the hole at a place of the card, of a player or of a side. It refuses nothing: a
// result comes from [Format.Score] or [ScoreSide], whose format exists.
func (r Result) ExplainHole(place int) handicap.Line {
	format, err := FormatByName(r.Format)
	if err != nil {
		return handicap.Line{}
	}
	h := r.Holes[place]
	if r.Balls == nil || h.Score.State == Excluded {
		return format.ExplainHole(h)
	}
	side, err := SideByName(r.Side)
	if err != nil {
		return handicap.Line{}
	}
	balls := make([]string, len(r.Balls))
	for i := range r.Balls {
		balls[i] = fmt.Sprintf("ball %d %s", i+1, figureText(&r.Balls[i].Holes[place], format))
	}
	line := handicap.Line{Label: fmt.Sprintf("Hole %d", h.Hole), Arithmetic: strings.Join(balls, ", "), Rule: side.Rule}
	switch {
	case len(h.By) == 0 && h.Score.Entered():
		line.Arithmetic += ": no score for the side"
	case len(h.By) == 0:
		line.Arithmetic += ": not decided yet"
	default:
		line.Arithmetic += ": " + countingText(r, place, h, format)
	}
	return line
}

// figureText is what a ball's hole comes to in the format's unit, or why it comes to nothing.
func figureText(h *HoleResult, format Format) string {
	switch {
	case !h.Score.Entered(), !h.Counts() && format.EveryHole:
		return h.Score.String()
	case format.Unit == UnitHoles:
		return signed(h.Figure)
	default:
		return strconv.Itoa(h.Figure)
	}
}

// countingText says which balls count and what they add up to.
func countingText(r Result, place int, h HoleResult, format Format) string {
	figures, numbers := make([]string, len(h.By)), make([]string, len(h.By))
	for n, i := range h.By {
		figures[n] = figureText(&r.Balls[i].Holes[place], format)
		numbers[n] = strconv.Itoa(i + 1)
	}
	text := "ball " + numbers[0] + " counts"
	if len(numbers) > 1 {
		text = fmt.Sprintf("balls %s count, %s = %s", strings.Join(numbers, " and "), strings.Join(figures, " + "), figureText(&h, format))
	}
	if len(h.Equal) > 0 {
		equal := make([]string, len(h.Equal))
		for n, i := range h.Equal {
			equal[n] = strconv.Itoa(i + 1)
		}
		text += fmt.Sprintf("; ball %s is as good", strings.Join(equal, " and "))
	}
	return text
}

// ExplainTotal shows the arithmetic of the whole card, of a player or of a side.
func (r Result) ExplainTotal() handicap.Explanation {
	format, err := FormatByName(r.Format)
	if err != nil {
		return nil
	}
	lines := format.ExplainTotal(r)
	side, err := SideByName(r.Side)
	if err != nil || r.Side == "" {
		return lines
	}
	count := 0
	for _, h := range r.Holes {
		count = max(count, len(h.By))
	}
	return append(handicap.Explanation{{Label: "The side's score", Arithmetic: side.Words(count, max(1, len(r.Balls))), Rule: side.Rule}}, lines...)
}
