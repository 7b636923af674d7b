package web

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
)

//go:embed templates/*.html
var templateFiles embed.FS

// page is what the layout needs around a page's own data.
type page struct {
	Title       string      // of the window; the club's name follows
	Body        string      // class of the body, for pages with a look of their own
	Styles      []string    // files under static beside base.css
	Scripts     []string    // ES modules under static
	Competition *placeInNav // sets the row of links of a competition
	Private     bool        // shows what only this visitor may see: never kept by a cache
	Bare        bool        // without the club's header and with a small footer
	Screen      bool        // hangs on a wall: bare, and nothing to press
	Refresh     int         // seconds after which the page asks again where there is no script; 0 for never
	Data        any         // of the page's template
}

// placeInNav says which of a competition's pages is shown.
type placeInNav struct {
	ID    string
	Name  string
	Date  string // YYYY-MM-DD
	Here  string // terms, entries, start-sheet, board or result
	Board bool   // whether this visitor may watch the board

	Practice bool // its rounds are practice
}

// view is what the layout and every page template is executed with.
type view struct {
	page
	Club      string
	ShortClub string // under an icon
	Who       command.Who
	Path      string // of this page, to come back to after signing in
	Theme     theme
}

// Desk reports whether the visitor is the committee.
func (v view) Desk() bool { return isCommittee(v.Who) }

// parse reads every page template into a set of its own with layout and parts:
// files whose names begin with an underscore.
func parse(funcs template.FuncMap) (map[string]*template.Template, error) {
	base, err := template.New("").Funcs(funcs).Funcs(deskFuncs()).ParseFS(templateFiles, "templates/_*.html")
	if err != nil {
		return nil, fmt.Errorf("parse the layout: %w", err)
	}
	names, err := fs.Glob(templateFiles, "templates/*.html")
	if err != nil {
		return nil, fmt.Errorf("list the pages: %w", err)
	}
	pages := make(map[string]*template.Template, len(names))
	for _, file := range names {
		name := path.Base(file)
		if strings.HasPrefix(name, "_") {
			continue
		}
		set, err := base.Clone()
		if err != nil {
			return nil, fmt.Errorf("copy the layout: %w", err)
		}
		if pages[name], err = set.ParseFS(templateFiles, file); err != nil {
			return nil, fmt.Errorf("parse %s: %w", name, err)
		}
	}
	return pages, nil
}

// render writes a page. It is built in memory first, so that a fault in a
// template never leaves half a page on the screen.
func (w *Web) render(c echo.Context, status int, name string, p page) error {
	set, ok := w.pages[name]
	if !ok {
		return fmt.Errorf("no page %q", name)
	}
	var out bytes.Buffer
	v := view{page: p, Club: w.club, ShortClub: shortName(w.club), Who: w.who(c), Path: c.Request().URL.Path, Theme: themeOf(c)}
	if err := set.ExecuteTemplate(&out, "layout", v); err != nil {
		return fmt.Errorf("write page %s: %w", name, err)
	}
	h := c.Response().Header()
	if p.Private || status != http.StatusOK || v.Who.Role != "" {
		h.Set(echo.HeaderCacheControl, "no-store")
	} else {
		sum := sha256.Sum256(out.Bytes())
		tag := `W/"` + hex.EncodeToString(sum[:8]) + `"`
		h.Set(echo.HeaderCacheControl, "no-cache")
		h.Add(echo.HeaderVary, echo.HeaderCookie)
		h.Set("ETag", tag)
		if c.Request().Header.Get("If-None-Match") == tag {
			return c.NoContent(http.StatusNotModified)
		}
	}
	return c.HTMLBlob(status, out.Bytes())
}
