package web_test

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/events"
)

// sheets are the media of the style sheets that a page is coloured with.
func (v *visitor) sheets() (dark, sun string) {
	v.t.Helper()
	for _, n := range all(v.page, "link") {
		switch attr(n, "id") {
		case "dark-sheet":
			dark = attr(n, "media")
		case "sun-sheet":
			sun = attr(n, "media")
		}
	}
	require.NotEmpty(v.t, dark, v.at)
	require.NotEmpty(v.t, sun, v.at)
	return dark, sun
}

// chosenTheme is the name of the one that the switch shows as chosen.
func (v *visitor) chosenTheme() string {
	v.t.Helper()
	var out []string
	for _, b := range all(v.page, "button") {
		if attr(b, "name") == "theme" && attr(b, "aria-pressed") == "true" {
			out = append(out, words(b))
		}
	}
	return strings.Join(out, ", ")
}

// switchTo sends the switch of the page as a browser does, which names the page that
// it comes from.
func (v *visitor) switchTo(theme string) *visitor {
	v.t.Helper()
	require.NotNil(v.t, v.form("/theme"))
	return v.switchFrom(v.base+v.at, theme)
}

func (v *visitor) switchFrom(referer, theme string) *visitor {
	v.t.Helper()
	q, err := http.NewRequest(http.MethodPost, v.base+"/theme", strings.NewReader(url.Values{"theme": {theme}}.Encode()))
	require.NoError(v.t, err)
	q.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	q.Header.Set("Referer", referer)
	return v.take(v.client.Do(q))
}

func TestColoursAreSwitchedWithoutScript(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	v := m.holder(0, events.RolePlayer)
	const whatever = "screen and (prefers-color-scheme: dark)"
	dark, sun := v.sheets()
	assert.Equal(t, whatever, dark)
	assert.Contains(t, sun, "(prefers-contrast: more)")
	assert.Equal(t, "As the device", v.chosenTheme())
	for _, at := range []string{"/", m.at(0) + "?hole=7", m.at(0) + "/strokes", "/competitions/" + m.competition + "/board?ranking=gross", "/players/" + m.players[0], "/sign-in", "/cards/" + m.card(1)} {
		v.reads(at)
		before := v.at
		v.switchTo("sun")
		require.Equal(t, http.StatusOK, v.status)
		assert.Equal(t, before, v.at, "back where one was")
		dark, sun = v.sheets()
		assert.Equal(t, []string{"not all", "screen", "Bright sun"}, []string{dark, sun, v.chosenTheme()}, at)
		v.switchTo("dark")
		dark, sun = v.sheets()
		assert.Equal(t, []string{"screen", "not all", "Dark"}, []string{dark, sun, v.chosenTheme()}, at)
		v.switchTo("light")
		dark, sun = v.sheets()
		assert.Equal(t, []string{"not all", "not all", "Light"}, []string{dark, sun, v.chosenTheme()}, at)
		v.switchTo("")
		dark, _ = v.sheets()
		assert.Equal(t, []string{whatever, "As the device"}, []string{dark, v.chosenTheme()}, at)
	}
	v.reads("/").switchTo("sun")
	v.reads("/competitions/" + m.competition + "/board?screen=1")
	assert.Empty(t, v.chosenTheme(), "nothing is pressed on a wall")
	_, sun = v.sheets()
	assert.Equal(t, "screen", sun, "the colours hold there too")
	r, _ := v.get("/competitions/"+m.competition+"/board", nil)
	assert.Contains(t, r.Header.Values("Vary"), "Cookie", "no cache gives one visitor the colours of another")

	v.reads("/").switchTo("plaid")
	assert.Equal(t, http.StatusUnprocessableEntity, v.status)
	assert.Contains(t, v.words(), "no such colours")
	assert.Equal(t, "Bright sun", v.reads("/").chosenTheme())
}

// Where the switch leads back to is a page of ours, and one that can be asked for.
func TestTheSwitchLeadsToNoOtherPlace(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	for from, to := range map[string]string{
		"":                                     "/",
		"https://elsewhere.example/cards/x":    "/",
		m.server.URL + m.at(0) + "/scores":     m.at(0), // a page that answered a form
		m.server.URL + m.at(0) + "?hole=3":     m.at(0) + "?hole=3",
		m.server.URL + "/no/such/page":         "/",
		m.server.URL + "//elsewhere.example/x": "/",
		"%zz":                                  "/",
	} {
		v := m.visit().switchFrom(from, "sun")
		assert.Equal(t, http.StatusOK, v.status, from)
		assert.Equal(t, to, v.at, from)
	}
}

// media pretends that the device wants something.
func media(t *testing.T, tab context.Context, features ...string) {
	t.Helper()
	var all []*emulation.MediaFeature
	for i := 0; i < len(features); i += 2 {
		all = append(all, &emulation.MediaFeature{Name: features[i], Value: features[i+1]})
	}
	run(t, tab, chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: all})
		return err
	}))
}

// paperOf and inkOf are the colours that a page is painted in.
const (
	paperOf = `getComputedStyle(document.body).backgroundColor`
	inkOf   = `getComputedStyle(document.body).color`
)

func TestColoursAreSwitchedOnThePage(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	phone := tab(t, chromium(t), 360, 740)
	ask := func(js string) string { return run(t, phone, chromedp.Evaluate[string](js)) }
	at := m.server.URL + "/competitions/" + m.competition + "/board"
	run(t, phone, chromedp.Navigate(at))
	const light, dark, white, black = "rgb(251, 248, 241)", "rgb(12, 26, 32)", "rgb(255, 255, 255)", "rgb(0, 0, 0)"
	media(t, phone, "prefers-color-scheme", "light")
	assert.Equal(t, light, ask(paperOf))
	media(t, phone, "prefers-color-scheme", "dark")
	assert.Equal(t, dark, ask(paperOf), "as the device")
	media(t, phone, "prefers-color-scheme", "light", "prefers-contrast", "more")
	assert.Equal(t, []string{white, black}, []string{ask(paperOf), ask(inkOf)}, "the device wants more contrast")
	media(t, phone, "prefers-color-scheme", "dark")

	press := func(theme string) {
		run(t, phone, chromedp.Click(chromedp.CSS(`.themes button[value="`+theme+`"]`)))
	}
	run(t, phone, chromedp.Evaluate[chromedp.Void](`window.samePage = true`))
	press("sun")
	assert.Equal(t, []string{white, black}, []string{ask(paperOf), ask(inkOf)})
	press("light")
	assert.Equal(t, light, ask(paperOf))
	assert.Equal(t, "Light", ask(`[...document.querySelectorAll('.themes [aria-pressed="true"]')].map((b) => b.textContent).join()`))
	assert.Equal(t, "true", ask(`String(window.samePage)`), "nothing is loaded again")
	press("sun")
	run(t, phone, chromedp.Navigate(m.server.URL+"/"))
	assert.Equal(t, "screen", ask(`document.getElementById("sun-sheet").media`), "the next page comes in them")
	assert.Equal(t, white, ask(paperOf))
	press("")
	assert.Equal(t, dark, ask(paperOf))

	// Colours that the device forces reach drawings and what is chosen.
	media(t, phone, "forced-colors", "active", "prefers-color-scheme", "dark")
	assert.Equal(t, "true", ask(`(() => {
		const probe = Object.assign(document.body.appendChild(document.createElement("i")), {className: "soft"});
		probe.style.cssText = "forced-color-adjust: none; color: var(--ink); background: CanvasText";
		const s = getComputedStyle(probe);
		return String(s.color === s.backgroundColor);
	})()`), "ink is the device's text")

	// Nothing moves where no motion is wanted.
	media(t, phone, "prefers-reduced-motion", "reduce")
	moving := `[...document.querySelectorAll("*")].filter((x) => { const s = getComputedStyle(x); return s.transitionDuration !== "0s" || s.animationName !== "none"; }).length.toString()`
	assert.Equal(t, "0", ask(moving))
	media(t, phone, "prefers-reduced-motion", "no-preference")
	assert.NotEqual(t, "0", ask(moving), "the question finds what moves")
}
