package scoring

import (
	"fmt"
	"strings"

	"marram.example/events"
)

// CutResult says who plays on after a cut, with the arithmetic.
type CutResult struct {
	// Through and Missed are ids, best first. Who has no total, or a status, is in neither.
	Through, Missed []string
	// Line is the total of the last one through; nil where nobody is.
	Line *int
	// Words is the arithmetic.
	Words string
}

// MakeCut applies a cut to a ranking over the rounds so far, as [Rank] gives it. Who fulfils one of the conditions is
// through: a place among the first so many, or a total within so many strokes, points or holes of the lead. With
// TiesIn everybody whose total equals that of the last place counted is through, whatever a countback made of it; else
// a position that is shared across the line is out as a whole. The committee states the conditions; the Rules of Golf
// know none. A cut without a condition, and negative figures, are refused with an error of field "cut".
func MakeCut(cut events.Cut, places []Place, format Format) (CutResult, error) {
	if cut.Places < 0 || cut.Within != nil && *cut.Within < 0 || cut.Places == 0 && cut.Within == nil {
		return CutResult{}, refuse("cut", "", "state how many places are through, or within how much of the lead, or both")
	}
	var standing []Place
	for _, p := range places {
		if p.Position > 0 && p.HasValue {
			standing = append(standing, p)
		}
	}
	if len(standing) == 0 {
		return CutResult{Words: "nobody has a total"}, nil
	}
	byPlace := placesThrough(cut, standing)
	lead := standing[0].Value
	within := 0
	if cut.Within != nil {
		for within < len(standing) && distance(standing[within].Value, lead) <= *cut.Within {
			within++
		}
	}
	n := max(byPlace, within)
	result := CutResult{Words: cutWords(cut, standing, byPlace, within, format.Unit)}
	for i, p := range standing {
		if i < n {
			result.Through = append(result.Through, p.ID)
		} else {
			result.Missed = append(result.Missed, p.ID)
		}
	}
	if n > 0 {
		line := standing[n-1].Value
		result.Line = &line
	}
	return result, nil
}

// placesThrough is how many are through by their place.
func placesThrough(cut events.Cut, standing []Place) int {
	n := min(cut.Places, len(standing))
	if n == 0 || n == len(standing) {
		return n
	}
	if cut.TiesIn {
		for n < len(standing) && standing[n].Value == standing[n-1].Value {
			n++
		}
		return n
	}
	for n > 0 && standing[n-1].Position == standing[cut.Places].Position {
		n--
	}
	return n
}

func distance(a, b int) int {
	if a < b {
		return b - a
	}
	return a - b
}

func cutWords(cut events.Cut, standing []Place, byPlace, within int, unit Unit) string {
	var parts []string
	if cut.Places > 0 {
		text := fmt.Sprintf("the first %d", cut.Places)
		switch {
		case byPlace > cut.Places:
			text += fmt.Sprintf(" and who ties with them on %d: %d through", standing[byPlace-1].Value, byPlace)
		case byPlace < cut.Places && byPlace < len(standing):
			text += fmt.Sprintf(": a tie across the line is out, %d through", byPlace)
		default:
			text += fmt.Sprintf(": %d through", byPlace)
		}
		parts = append(parts, text)
	}
	if cut.Within != nil {
		parts = append(parts, fmt.Sprintf("within %d %s of the lead of %d: %d through", *cut.Within, unit, standing[0].Value, within))
	}
	words := strings.Join(parts, "; ")
	if n := max(byPlace, within); n > 0 {
		words += fmt.Sprintf("; the line is %d", standing[n-1].Value)
	}
	return words
}
