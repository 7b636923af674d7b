package web

import (
	"slices"
	"unicode/utf8"
)

// slope draws who moves: the order as played on the left, the order under the
// other terms on the right, a line between them for each entry.
type slope struct {
	Width, Height int
	Left, Right   int // where the lines begin and end
	LabelLeft     int // where the names on the left end
	LabelRight    int // where those on the right begin
	Lines         []slopeLine
}

// slopeLine is one entry.
type slopeLine struct {
	From, To    int // heights
	TextFrom    int // of the letters' foot
	TextTo      int
	Class       string // up, down or same
	Was, Now    string // position and name, cut to fit
	Name, Words string
}

// The drawing's frame, in units.
const (
	slopeWide  = 360
	slopeStep  = 24
	slopeLeft  = 150
	slopeRight = 210
	slopeGap   = 8
	slopeTop   = 14
	slopeName  = 12 // letters of a name that fit
)

func slopeOf(lines []whatIfLine) *slope {
	out := &slope{
		Width: slopeWide, Height: slopeStep*len(lines) + 4, Left: slopeLeft, Right: slopeRight, LabelLeft: slopeLeft - slopeGap, LabelRight: slopeRight + slopeGap,
	}
	for _, l := range lines {
		from, to := slopeTop+slopeStep*l.WhatIfRow.Played.Order, slopeTop+slopeStep*l.WhatIf.Order
		name := cutTo(l.Name, slopeName)
		out.Lines = append(out.Lines, slopeLine{
			From: from, To: to, TextFrom: from + 5, TextTo: to + 5, Class: l.Way, Name: l.Name, Words: l.Words,
			Was: name + " " + either(l.WhatIfRow.Played.Position, "–"), Now: either(l.WhatIf.Position, "–") + " " + name,
		})
	}
	// Who moves lies over who does not.
	slices.SortStableFunc(out.Lines, func(a, b slopeLine) int { return weight(a.Class) - weight(b.Class) })
	return out
}

func weight(class string) int {
	if class == "same" {
		return 0
	}
	return 1
}

// cutTo shortens a name to so many letters.
func cutTo(s string, n int) string {
	if utf8.RuneCountInString(s) <= n {
		return s
	}
	return string([]rune(s)[:n-1]) + "…"
}
