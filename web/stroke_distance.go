package web

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"marram.example/events"
)

// edit writes a distance from a lie for a field: as it was typed where that had at
// most two decimals in this unit, else as pages show it.
func (u units) edit(metres float64, lie string) string {
	v := math.Round(u.In(metres, lie)*100) / 100
	if toMetres(v, u.Unit(lie)) == toMetres(metres, "m") {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	if s := u.Figure(metres, lie); s != "0" {
		return s
	}
	return strconv.FormatFloat(metres/perUnit(u.Unit(lie)), 'f', 4, 64)
}

var distanceForm = regexp.MustCompile(`^[0-9]{0,4}(?:[.,][0-9]{0,6})?$`)

// readDistance reads a number that somebody typed, as metres.
func readDistance(field, text, unit string) (float64, *events.Error) {
	text = strings.TrimSpace(text)
	n, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if !distanceForm.MatchString(text) || err != nil {
		return 0, events.Invalid(field, "malformed", fmt.Sprintf("%q is no distance; write a number such as 120 or 6.5", text))
	}
	return toMetres(n, unit), nil
}
