package shots

import (
	"embed"
	"fmt"
	"strconv"
	"strings"
	"sync"
)

//go:embed baselines/*.csv
var baselineFiles embed.FS

const (
	sourceMark   = "# source: "
	baselineHead = "lie,distance,unit,strokes"
)

// about says what people are told of each embedded file: its label, and whether its values stand in a publication.
var about = []struct {
	name, label string
	published   bool
}{
	{"broadie-2012", "PGA TOUR 2003–2010 (published)", true},
	{"derived-scratch-men", "Scratch, men (derived, not published)", false},
	{"derived-scratch-women", "Scratch, women (derived, not published)", false},
	{"derived-bogey-men", "Bogey golfer, men (derived, not published)", false},
	{"derived-bogey-women", "Bogey golfer, women (derived, not published)", false},
	{"course-rating-scratch-men", "Scratch, men: length of the hole alone (computed, tees only)", false},
	{"course-rating-scratch-women", "Scratch, women: length of the hole alone (computed, tees only)", false},
	{"course-rating-bogey-men", "Bogey golfer, men: length of the hole alone (computed, tees only)", false},
	{"course-rating-bogey-women", "Bogey golfer, women: length of the hole alone (computed, tees only)", false},
}

var embedded = sync.OnceValues(func() (map[string]*Baseline, error) {
	all := make(map[string]*Baseline, len(about))
	for _, a := range about {
		text, err := baselineFiles.ReadFile("baselines/" + a.name + ".csv")
		if err != nil {
			return nil, fmt.Errorf("baseline %s: %w", a.name, err)
		}
		b, err := ParseBaseline(a.name, string(text))
		if err != nil {
			return nil, err
		}
		b.label, b.published = a.label, a.published
		all[a.name] = b
	}
	return all, nil
})

// Named returns the embedded baseline of that name, an *InputError with the field baseline when there is none.
func Named(name string) (*Baseline, error) {
	all, err := embedded()
	if err != nil {
		return nil, err
	}
	b, ok := all[name]
	if !ok {
		return nil, refuse("baseline", "one of "+strings.Join(Names(), ", "), "%q is not a baseline", name)
	}
	return b, nil
}

// Names returns the names of the embedded baselines, the published one first.
func Names() []string {
	names := make([]string, len(about))
	for i, a := range about {
		names[i] = a.name
	}
	return names
}

// ParseBaseline reads a table of expected strokes: a first line "# source: ..." that says where it comes from, the heading
// lie,distance,unit,strokes, then a row each, the rows of a lie together and in ascending order of distance. Distances on the
// green are in feet (ft), all others in yards (yd).
//
// Nothing is repaired or left out: whatever is not as described is an error that names the line. So is a value below
// one stroke, and a lie whose last row is below the one before, because nothing could be said beyond it. Values that fall with
// distance within the table are taken as they are, as published ones do.
func ParseBaseline(name, text string) (*Baseline, error) {
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	source, ok := strings.CutPrefix(lines[0], sourceMark)
	if !ok || strings.TrimSpace(source) == "" {
		return nil, fileError(name, 1, "must begin with %q and say where the values come from", sourceMark)
	}
	if len(lines) < 2 || lines[1] != baselineHead {
		return nil, fileError(name, 2, "must be %s", baselineHead)
	}
	b := &Baseline{name: name, label: name, source: source}
	var x, y [lies][]float64
	previous := -1
	for i, line := range lines[2:] {
		number := i + 3
		lie, distance, strokes, err := parseRow(name, number, line)
		if err != nil {
			return nil, err
		}
		rows := len(x[lie])
		if rows > 0 && (lie != previous || distance <= x[lie][rows-1]) {
			return nil, fileError(name, number, "rows of a lie stand together, each further than the one before")
		}
		x[lie], y[lie] = append(x[lie], distance), append(y[lie], strokes)
		previous = lie
	}
	if previous < 0 {
		return nil, fileError(name, 3, "there are no rows")
	}
	for lie := range lies {
		rows := len(x[lie])
		if rows == 0 {
			continue
		}
		if rows == 1 {
			return nil, fileError(name, len(lines), "%s has one row, two are needed", lieNames[lie])
		}
		if y[lie][rows-1] < y[lie][rows-2] {
			return nil, fileError(name, len(lines), "%s falls at its end, so that nothing can be said beyond it", lieNames[lie])
		}
		b.curves[lie] = newCurve(unitOf(lie), x[lie], y[lie])
	}
	b.joinTee()
	return b, nil
}

// Limits of a row, wide enough for any hole.
const (
	furthestRow = 2000 // yards or feet
	mostStrokes = 20
)

func parseRow(name string, number int, line string) (lie int, distance, strokes float64, err error) {
	fields := strings.Split(line, ",")
	if len(fields) != 4 {
		return 0, 0, 0, fileError(name, number, "has %d fields, a row has 4", len(fields))
	}
	if lie = lieIndex(fields[0]); lie < 0 {
		return 0, 0, 0, fileError(name, number, "lie: %q is not a lie", fields[0])
	}
	unit := "yd"
	if lie == green {
		unit = "ft"
	}
	if fields[2] != unit {
		return 0, 0, 0, fileError(name, number, "unit: %q, distances of %s are in %s", fields[2], fields[0], unit)
	}
	distance, ok := decimal(fields[1])
	if _, decimals, _ := strings.Cut(fields[1], "."); !ok || len(decimals) > 3 || distance <= 0 || distance > furthestRow {
		return 0, 0, 0, fileError(name, number, "distance: %q is not above 0 and up to %d with at most 3 decimals", fields[1], furthestRow)
	}
	strokes, ok = decimal(fields[3])
	if !ok || strokes < 1 || strokes > mostStrokes {
		return 0, 0, 0, fileError(name, number, "strokes: %q is not a number from 1 to %d", fields[3], mostStrokes)
	}
	return lie, distance, strokes, nil
}

// decimal reads digits with at most one point between them, and no other way of writing a number.
func decimal(text string) (float64, bool) {
	if strings.Trim(text, "0123456789") != "" && strings.Trim(text, "0123456789") != "." || len(text) > 20 {
		return 0, false
	}
	number, err := strconv.ParseFloat(text, 64)
	return number, err == nil && text[0] != '.' && text[len(text)-1] != '.'
}

func fileError(name string, line int, format string, args ...any) error {
	return fmt.Errorf("baseline %s: %w", name, refuse(fmt.Sprintf("line %d", line), "", format, args...))
}
