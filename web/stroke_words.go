package web

import (
	"strconv"
	"strings"

	"marram.example/api/command"
	"marram.example/events"
)

// Words of a stroke for people. They say what was logged and interpret nothing.

// Lies are what a stroke can be played from.
func (p *strokesPage) Lies() []strokeLie { return strokeLies() }

// Ends are where a stroke can finish, besides the hole: the tee comes again only with
// stroke and distance.
func (p *strokesPage) Ends() []strokeLie { return strokeLies()[1:] }

// Unit is that of a distance from the lie that the form has.
func (p *strokesPage) Unit() string { return p.Units.Unit(p.Form.V("lie")) }

// Green is the unit on the green.
func (p *strokesPage) Green() string { return p.Units.Unit(events.LieGreen) }

// Long is the unit elsewhere.
func (p *strokesPage) Long() string { return p.Units.Unit(events.LieFairway) }

// Length is the length of the hole with its unit, or empty.
func (p *strokesPage) Length() string {
	if p.Hole.LengthM == 0 {
		return ""
	}
	return p.Units.Distance(float64(p.Hole.LengthM), events.LieTee)
}

// Line says a stroke that was logged in one line.
func (p *strokesPage) Line(x playedStroke) string {
	out := p.lies(x.Lie, x.Distance)
	if x.Club != "" {
		out += ", " + clubWords(x.Club)
	}
	return out
}

// After says what became of it.
func (p *strokesPage) After(x playedStroke) string {
	var parts []string
	if x.Strike != "" {
		parts = append(parts, x.Strike+" strike")
	}
	if x.GoodEnough != nil {
		parts = append(parts, map[bool]string{true: "good enough", false: "not good enough"}[*x.GoodEnough])
	}
	if m := missWords(x.Miss, p.Units); m != "" {
		parts = append(parts, m)
	}
	if x.Penalty > 0 {
		parts = append(parts, count(x.Penalty, "penalty stroke", "penalty strokes"))
	}
	switch f := x.Finish; {
	case f == nil && x.Last:
		parts = append(parts, "not finished")
	case f != nil && f.Holed:
		parts = append(parts, "holed")
	case f != nil && x.Last:
		parts = append(parts, "to "+strings.ToLower(lieName(f.Lie))+", "+p.Units.edit(f.Distance, f.Lie)+" "+p.Units.Unit(f.Lie)+" to go")
	}
	return strings.Join(parts, ", ")
}

// missWords say on which side a stroke finished: "long left", "8 m right".
func missWords(m command.Miss, u units) string {
	by := func(amount float64, side string) string {
		if amount == 0 {
			return side
		}
		return u.edit(amount, events.LieFairway) + " " + u.Unit(events.LieFairway) + " " + side
	}
	side, length := m.Side, m.Length
	switch {
	case side == events.MissOnLine && length == events.MissLevel:
		return "on target"
	case side == "" && length == events.MissLevel:
		return "level"
	}
	var parts []string
	if length != "" && length != events.MissLevel {
		parts = append(parts, by(m.LengthBy, length))
	}
	switch {
	case side == events.MissOnLine:
		parts = append(parts, "on line")
	case side != "":
		parts = append(parts, by(m.SideBy, side))
	}
	if m.SideBy > 0 || m.LengthBy > 0 {
		return strings.Join(parts, ", ")
	}
	return strings.Join(parts, " ")
}

// strokeCell is one cell of a grid of which one tap says two things.
type strokeCell struct {
	Value string
	Words string // on the cell
	Name  string // for who does not see where it stands
}

// Judged are strike and outcome: strikes down, good enough or not across.
func (p *strokesPage) Judged() [][]strokeCell {
	var out [][]strokeCell
	for _, s := range []string{events.StrikeGood, events.StrikeFair, events.StrikePoor} {
		out = append(out, []strokeCell{
			{s + ".yes", s + " strike", s + " strike, good enough"}, {s + ".no", s + " strike", s + " strike, not good enough"},
		})
	}
	return out
}

// Missed is where a stroke can finish, seen from its target: long is at the top.
func (p *strokesPage) Missed() [][]strokeCell {
	var out [][]strokeCell
	for _, l := range []string{events.MissLong, events.MissLevel, events.MissShort} {
		var row []strokeCell
		for _, s := range []string{events.MissLeft, events.MissOnLine, events.MissRight} {
			w := missWords(command.Miss{Side: s, Length: l}, p.Units)
			short := strings.TrimSuffix(w, " on line")
			row = append(row, strokeCell{l + "." + s, short, w})
		}
		out = append(out, row)
	}
	return out
}

// judgedOf is the cell of a stroke; empty where it has none.
func judgedOf(x command.Stroke) string {
	if x.Strike == "" || x.GoodEnough == nil {
		return ""
	}
	return x.Strike + map[bool]string{true: ".yes", false: ".no"}[*x.GoodEnough]
}

// missedOf is likewise the cell of its miss.
func missedOf(m command.Miss) string {
	if m.Side == "" || m.Length == "" {
		return ""
	}
	return m.Length + "." + m.Side
}

// Words say what a hole comes to: the score that follows from its strokes, or the
// number of putts where they alone were logged.
func (s strokeSum) Words() string {
	n, hole := strconv.Itoa(s.N), strconv.Itoa(s.Hole)
	switch {
	case !s.Any:
		return ""
	case s.Differs:
		return "Strokes say " + n + ", the card says " + scoreWords(s.OnCard)
	case s.Whole && s.Entered:
		return n + " entered on hole " + hole
	case s.Whole:
		return "Strokes say " + n + " on hole " + hole + ", the card says nothing yet"
	case s.Putts == s.N:
		return count(s.Putts, "putt", "putts") + " on hole " + hole
	default:
		return count(s.N, "stroke", "strokes") + " logged on hole " + hole + ", not yet from the tee into the hole"
	}
}
