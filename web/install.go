package web

import (
	"encoding/json"
	"net/http"

	"github.com/labstack/echo/v4"
)

// manifest is what a phone reads before it puts the club on its home screen (W3C
// Web Application Manifest).
type manifest struct {
	ID         string         `json:"id"`
	Name       string         `json:"name"`
	ShortName  string         `json:"short_name"`
	Lang       string         `json:"lang"`
	StartURL   string         `json:"start_url"`
	Scope      string         `json:"scope"`
	Display    string         `json:"display"`
	ThemeColor string         `json:"theme_color"`
	Background string         `json:"background_color"`
	Icons      []manifestIcon `json:"icons"`
}

type manifestIcon struct {
	Src     string `json:"src"`
	Sizes   string `json:"sizes"`
	Type    string `json:"type"`
	Purpose string `json:"purpose,omitempty"`
}

// startAt is where the home screen leads: to the cards that this phone holds.
const startAt = "/cards"

// paper is the ground of a page while it loads: --paper of base.css.
const paper = "#fbf8f1"

// shortName is as many whole words of the club's name as fit under an icon, which
// is about twelve letters; a first word that is longer is left to the phone to cut.
func shortName(club string) string {
	const room = 12
	last := 0
	for i, r := range club {
		if r != ' ' {
			continue
		}
		if len([]rune(club[:i])) > room {
			break
		}
		last = i
	}
	if last == 0 || len([]rune(club)) <= room {
		return club
	}
	return club[:last]
}

// iconAddress is where an icon lies outside the fingerprint, so that a phone that
// installed the page months ago still finds it.
func iconAddress(name string) string { return "/static/icons/" + name }

func (w *Web) manifest(c echo.Context) error {
	png := func(name, sizes, purpose string) manifestIcon {
		return manifestIcon{Src: iconAddress(name), Sizes: sizes, Type: "image/png", Purpose: purpose}
	}
	body, err := json.Marshal(manifest{
		ID: "/", Name: w.club, ShortName: shortName(w.club), Lang: "en", StartURL: startAt, Scope: "/", Display: "standalone",
		ThemeColor: lightBars, Background: paper,
		Icons: []manifestIcon{
			{Src: iconAddress("icon.svg"), Sizes: "any", Type: "image/svg+xml"},
			png("icon_192.png", "192x192", ""), png("icon_512.png", "512x512", ""), png("icon_maskable_512.png", "512x512", "maskable"),
		},
	})
	if err != nil {
		return err
	}
	return keptADay(c, "application/manifest+json", body)
}

// favicon answers browsers that ask at the root without having read a page, such
// as for the description of the API.
func (w *Web) favicon(c echo.Context) error {
	f := w.assets.files["icon_192.png"]
	return keptADay(c, f.kind, f.body)
}

// keptADay answers with what changes with the club's name or the program alone.
func keptADay(c echo.Context, kind string, body []byte) error {
	c.Response().Header().Set(echo.HeaderCacheControl, "public, max-age=86400")
	return c.Blob(http.StatusOK, kind, body)
}
