package web_test

import (
	"bytes"
	"context"
	"encoding/json"
	"image/png"
	"net/http"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/events"
)

func TestThePagesCanBeInstalled(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	v := m.visit().reads("/")
	at := map[string]string{}
	for _, n := range all(v.page, "link") {
		at[attr(n, "rel")] = attr(n, "href")
	}
	require.Equal(t, "/manifest.webmanifest", at["manifest"])
	r, body := v.get(at["manifest"], nil)
	require.Equal(t, http.StatusOK, r.StatusCode)
	assert.Equal(t, "application/manifest+json", r.Header.Get("Content-Type"))
	assert.Equal(t, "public, max-age=86400", r.Header.Get("Cache-Control"))
	var is struct {
		ID, Name, Lang, Display, Scope string
		ShortName                      string `json:"short_name"`
		StartURL                       string `json:"start_url"`
		ThemeColor                     string `json:"theme_color"`
		Background                     string `json:"background_color"`
		Icons                          []struct{ Src, Sizes, Type, Purpose string }
	}
	require.NoError(t, json.Unmarshal(body, &is))
	assert.Equal(t, "Thrumsay Links (invented)", is.Name)
	assert.Equal(t, "Thrumsay", is.ShortName, "whole words that fit under an icon")
	assert.Equal(t, []string{"/", "/", "standalone", "/cards", "en"}, []string{is.ID, is.Scope, is.Display, is.StartURL, is.Lang})
	base := colours(t, staticText(t, v, "base.css"))
	assert.Equal(t, []string{base["raised"], base["paper"]}, []string{is.ThemeColor, is.Background}, "as the pages are")
	purposes := map[string]bool{}
	for _, i := range is.Icons {
		purposes[i.Sizes+i.Purpose] = true
		r, body := v.get(i.Src, map[string]string{"Accept-Encoding": "identity"})
		require.Equal(t, http.StatusOK, r.StatusCode, i.Src)
		assert.Equal(t, i.Type, r.Header.Get("Content-Type"), i.Src)
		if i.Type == "image/png" {
			p, err := png.DecodeConfig(bytes.NewReader(body))
			require.NoError(t, err)
			assert.Contains(t, i.Sizes, "x")
			assert.Equal(t, p.Width, p.Height)
			assert.Contains(t, map[int]string{192: "192x192", 512: "512x512"}[p.Width], i.Sizes)
		}
	}
	assert.Equal(t, map[string]bool{"any": true, "192x192": true, "512x512": true, "512x512maskable": true}, purposes)
	for _, other := range []string{at["icon"], at["apple-touch-icon"], "/favicon.ico"} {
		r, body := v.get(other, map[string]string{"Accept-Encoding": "identity"})
		assert.Equal(t, http.StatusOK, r.StatusCode, other)
		assert.Contains(t, []string{"image/png", "image/svg+xml"}, r.Header.Get("Content-Type"), other)
		assert.NotEmpty(t, body)
	}

	// A browser agrees, under the content security policy of the pages.
	phone := tab(t, chromium(t), 360, 740)
	run(t, phone, chromedp.Navigate(m.server.URL))
	got := run(t, phone, func(ctx context.Context, target *chromedp.Target) (page.GetAppManifestResult, error) {
		return cdp.Call(ctx, target, page.GetAppManifest, page.GetAppManifestParams{})
	})
	assert.Empty(t, got.Errors)
	assert.Equal(t, m.server.URL+"/manifest.webmanifest", got.URL)
	assert.NotEmpty(t, got.Data)
}

func staticText(t *testing.T, v *visitor, name string) string {
	t.Helper()
	_, body := v.get("/static/any/"+name, map[string]string{"Accept-Encoding": "identity"})
	require.NotEmpty(t, body)
	return string(body)
}

// The home screen leads to the card that may be written on, or to all that the
// browser holds.
func TestTheHomeScreenLeadsToTheCards(t *testing.T) {
	t.Parallel()
	m := medal(t, 4)
	m.open()
	v := m.visit().reads("/cards")
	assert.Equal(t, "/cards", v.at)
	assert.Contains(t, v.words(), "This phone holds no card")
	v.wellMade()
	assert.NotContains(t, v.reads("/").words(), "Your cards")

	v = m.holder(0, events.RolePlayer)
	assert.Contains(t, v.reads("/").words(), "Your cards")
	assert.Equal(t, m.at(0), v.reads("/cards").at, "the one card, at once")
	assert.Contains(t, words(v.page), "Your card")

	token, err := m.commands.CardLink(context.Background(), m.card(1), events.RoleMarker)
	require.NoError(t, err)
	v.reads("/c/" + token)
	v.reads("/cards").wellMade()
	var held []string
	for _, a := range all(byClass(v.page, "held")[0], "a") {
		held = append(held, attr(a, "href"))
	}
	assert.Equal(t, []string{m.at(0), m.at(1)}, held, "the own one first")
	assert.Contains(t, v.words(), "Your own card,")
	assert.Contains(t, v.words(), "write on it")
	assert.Equal(t, "no-store", must(v.get("/cards", nil)).Header.Get("Cache-Control"))

	m.returned(m.card(0))
	assert.Equal(t, m.at(1), v.reads("/cards").at, "one is left to write on")
	m.returned(m.card(1))
	assert.Contains(t, v.reads("/cards").words(), "To read")
	_, err = m.commands.RenewLink(context.Background(), by(), m.card(0), events.RolePlayer)
	require.NoError(t, err)
	v.reads("/cards")
	assert.Contains(t, v.words(), "1 link opens nothing any more")
	assert.NotContains(t, v.words(), "Your own card")
}

func must(a answer, _ []byte) answer { return a }

func TestTheHomeScreenLeadsToAMatch(t *testing.T) {
	t.Parallel()
	m, match := duel(t)
	v := m.holderOfMatch(match, m.entries[0])
	assert.Equal(t, "/matches/"+match, v.reads("/cards").at)
	_, err := m.commands.ConcedeMatch(context.Background(), by(), match, command.ConcedeMatch{Side: "B", Reason: "went home"})
	require.NoError(t, err)
	v.reads("/cards")
	assert.Equal(t, "/cards", v.at)
	assert.Contains(t, v.words(), "against")
	assert.Contains(t, v.words(), "To read")
}
