package web_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/events"
)

// small lists what is to be pressed on a page and is smaller than a thumb in a glove
// wants it: 48 px. A link within a sentence may be as its text is (WCAG 2.2, 2.5.8); a
// box to tick or to choose by is as large as its label.
const small = `[...document.querySelectorAll("button, a, summary, select, textarea, input, .chips label, .grid label, .chip")].filter((x) => {
	if (x.tagName === "INPUT" && (["radio", "checkbox", "hidden"].includes(x.type))) return false;
	if (x.tagName === "A" && getComputedStyle(x).display === "inline" && x.parentElement.textContent.trim() !== x.textContent.trim()) return false;
	if (x.matches(".skip") || x.closest("[hidden]")) return false;
	const r = x.getBoundingClientRect();
	return r.width > 0 && r.height > 0 && (r.width < 47.5 || r.height < 47.5);
}).map((x) => { const r = x.getBoundingClientRect(); return x.outerHTML.slice(0, 120) + " " + Math.round(r.width) + "x" + Math.round(r.height); })`

// Whatever is pressed on the course is large enough, upright and across, in every
// theme; the keys of a hole are all on the screen without scrolling, and low.
func TestPagesOfThePhoneAreForAThumb(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	m := medal(t, 4)
	season := m.season(1, func(int, int, int) int { return 1 })
	m.logRound(season[0][0], 3)
	m.open()
	m.play(func(entry int) int { return []int{11, 18, 7, 3}[entry] })
	mine := &visits{m: m, v: m.holder(0, events.RolePlayer)}
	for card, role := range map[string]events.Role{season[0][0]: events.RolePlayer, m.card(1): events.RoleMarker} {
		token, err := m.commands.CardLink(ctx, card, role)
		require.NoError(t, err)
		mine.v.reads("/c/" + token)
	}
	duelled, match := duel(t)
	duelled.matchHoles(match, "AB-")
	side := &visits{m: duelled, v: duelled.holderOfMatch(match, duelled.entries[0])}
	card, other := mine.front(t), side.front(t)
	pages := map[string]struct{ at, keys string }{
		"card":    {card + m.at(0), "#keys button"},
		"whole":   {card + m.at(1), ""},
		"strokes": {card + m.at(0) + "/strokes", ""},
		"rows":    {card + m.at(0) + "/strokes/rows", ""},
		"review":  {card + "/cards/" + season[0][0] + "/review", ""},
		"cards":   {card + "/cards", ""},
		"match":   {other + "/matches/" + match, ".who-won button"},
	}
	browser := chromium(t)
	for _, size := range [][2]int64{{360, 640}, {740, 360}} {
		phone := tab(t, browser, size[0], size[1])
		for name, p := range pages {
			run(t, phone, chromedp.Navigate(p.at))
			for _, theme := range []string{"light", "sun"} {
				run(t, phone, chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`document.getElementById("sun-sheet").media = %q === "sun" ? "screen" : "not all"`, theme)))
				what := fmt.Sprintf("%s at %dx%d, %s", name, size[0], size[1], theme)
				assert.Empty(t, run(t, phone, chromedp.Evaluate[[]string](small)), what)
				assert.LessOrEqual(t, run(t, phone, chromedp.Evaluate[int64](`document.documentElement.scrollWidth`)), size[0], what)
				if p.keys == "" {
					continue
				}
				keys := run(t, phone, chromedp.Evaluate[[]float64](fmt.Sprintf(`[...document.querySelectorAll(%q)].flatMap((x) => { const r = x.getBoundingClientRect(); return [r.top, r.bottom]; })`, p.keys)))
				require.NotEmpty(t, keys, what)
				for _, y := range keys {
					assert.LessOrEqual(t, y, float64(size[1]), "%s: a key is below the screen", what)
				}
				if size[1] > size[0] {
					assert.Greater(t, keys[0], float64(size[1])*0.4, "%s: keys lie low", what)
				}
			}
		}
	}
}
