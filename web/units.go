package web

import (
	"math"
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"marram.example/events"
	"marram.example/projections/shots"
)

// units is what distances are shown in: metres, or yards with feet on the green.
type units string

const (
	metric   units = "m"
	imperial units = "yd"
)

// unitsCookie holds a device's preference.
const unitsCookie = "units"

// unitsOf is what the visitor's device prefers; metres where it has not said.
func unitsOf(c echo.Context) units {
	if k, err := c.Cookie(unitsCookie); err == nil && units(k.Value) == imperial {
		return imperial
	}
	return metric
}

// Unit is the unit of a distance from a lie: m, yd or ft.
func (u units) Unit(lie string) string {
	switch {
	case u != imperial:
		return "m"
	case lie == "green":
		return "ft"
	default:
		return "yd"
	}
}

// In is so many metres in the unit of a lie, as a number.
func (u units) In(metres float64, lie string) float64 {
	switch u.Unit(lie) {
	case "ft":
		return metres / shots.Foot
	case "yd":
		return metres / shots.Yard
	default:
		return metres
	}
}

// Figure writes a distance from a lie without its unit: metres on the green with one
// decimal, everything else whole.
func (u units) Figure(metres float64, lie string) string {
	v := u.In(metres, lie)
	if u == metric && lie == "green" {
		return plainFloat(math.Round(v*10) / 10)
	}
	return plainFloat(math.Round(v))
}

// Distance writes a distance from a lie with its unit.
func (u units) Distance(metres float64, lie string) string {
	return u.Figure(metres, lie) + " " + u.Unit(lie)
}

// plainFloat writes a number with the decimals that it has and a true minus sign.
func plainFloat(v float64) string {
	if v == 0 {
		return "0" // also for what was rounded from below
	}
	s := strconv.FormatFloat(math.Abs(v), 'f', -1, 64)
	if v < 0 {
		return "\u2212" + s
	}
	return s
}

// setUnits keeps the preference of a device, and leads back to the page.
func (w *Web) setUnits(c echo.Context) error {
	u := units(c.FormValue("units"))
	if u != metric && u != imperial {
		return events.Invalid("units", "unknown", "distances are shown in m or yd")
	}
	c.SetCookie(&http.Cookie{
		Name: unitsCookie, Value: string(u), Path: "/", MaxAge: 400 * 24 * 60 * 60, HttpOnly: true, Secure: c.Scheme() == "https", SameSite: http.SameSiteLaxMode,
	})
	return c.Redirect(http.StatusSeeOther, ownAddress(c.FormValue("back"), "/"))
}
