package web

import (
	"net/http"
	"net/url"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/events"
)

// themeCookie keeps which colours a browser wants. It says nothing of anybody and
// is no secret; the script of the switch writes it as well, so that the colours
// change where there is no signal.
const themeCookie = "theme"

// themeLife is how long a browser keeps its colours, in seconds.
const themeLife = 365 * 24 * 60 * 60

// theme is one way of colouring every page. The style sheets of all of them are
// part of every page and switched by their media, so that the right one holds
// before the first line is drawn, and a change needs neither network nor reload.
type theme struct {
	Key     string // in the cookie; empty for the one that follows the device
	Name    string
	Schemes string // value of the color-scheme meta: what the browser draws by itself
	Dark    string // media of dark.css
	Sun     string // media of sun.css
	Bars    string // colour of the browser's own bars; empty for what the device wants
}

const (
	sheetOff  = "not all" // the media of a sheet that is not in force
	sheetOn   = "screen"  // paper keeps its own colours
	lightBars = "#ffffff" // --raised of base.css
	darkBars  = "#13262e" // --raised of dark.css
)

// themes are those that a visitor may choose from; the first is that of who never chose.
var themes = [...]theme{
	{
		Key: "", Name: "As the device", Schemes: "light dark", Dark: "screen and (prefers-color-scheme: dark)",
		Sun: "screen and (prefers-contrast: more) and (prefers-color-scheme: light)",
	},
	{Key: "light", Name: "Light", Schemes: "light", Dark: sheetOff, Sun: sheetOff, Bars: lightBars},
	{Key: "dark", Name: "Dark", Schemes: "dark", Dark: sheetOn, Sun: sheetOff, Bars: darkBars},
	{Key: "sun", Name: "Bright sun", Schemes: "light", Dark: sheetOff, Sun: sheetOn, Bars: lightBars},
}

// themeOf is the theme that a browser asks for; an unknown one is none.
func themeOf(c echo.Context) theme {
	k, err := c.Cookie(themeCookie)
	if err != nil {
		return themes[0]
	}
	for _, t := range themes {
		if t.Key == k.Value {
			return t
		}
	}
	return themes[0]
}

// Themes are all of them, for the switch.
func (v view) Themes() []theme { return themes[:] }

// LightBars and DarkBars colour the browser's own bars where it follows the device.
func (view) LightBars() string { return lightBars }

// DarkBars is the other one.
func (view) DarkBars() string { return darkBars }

// setTheme keeps the colours that a visitor chose and goes back to where they were.
func (w *Web) setTheme(c echo.Context) error {
	key := c.FormValue("theme")
	for _, t := range themes {
		if t.Key != key {
			continue
		}
		age := themeLife
		if key == "" {
			age = -1
		}
		c.SetCookie(&http.Cookie{Name: themeCookie, Value: key, Path: "/", MaxAge: age, SameSite: http.SameSiteLaxMode}) //nolint:gosec // a script reads and writes it, see themeCookie
		return c.Redirect(http.StatusSeeOther, w.cameFrom(c))
	}
	return events.Invalid("theme", "unknown_theme", "there are no such colours")
}

// cameFrom is the page of ours that a form was sent from, without its secrets
// standing in the form. A page that answered a form has no address to go back to;
// the nearest page above it has.
func (w *Web) cameFrom(c echo.Context) string {
	u, err := url.Parse(c.Request().Referer())
	if err != nil || u.Host != c.Request().Host {
		return "/"
	}
	if w.isPage(u.Path) {
		return ownAddress(u.RequestURI(), "/")
	}
	for at := u.EscapedPath(); at != ""; at = at[:strings.LastIndex(at, "/")] {
		if w.isPage(at) {
			return ownAddress(at, "/")
		}
	}
	return "/"
}

// isPage reports whether an address is one to look at.
func (w *Web) isPage(path string) bool {
	for _, p := range w.routes {
		if fits(strings.Split(p, "/"), strings.Split(path, "/")) {
			return true
		}
	}
	return false
}

// fits reports whether a path is one of a route's.
func fits(route, path []string) bool {
	if len(route) != len(path) {
		return false
	}
	for i, part := range route {
		if part != path[i] && (!strings.HasPrefix(part, ":") || path[i] == "") {
			return false
		}
	}
	return true
}

// pagesOf are the routes of all pages.
func pagesOf(e *echo.Echo) (out []string) {
	for _, r := range e.Routes() {
		if r.Method == http.MethodGet && !strings.Contains(r.Path, "*") && !strings.HasPrefix(r.Path, "/api/") {
			out = append(out, r.Path)
		}
	}
	return out
}
