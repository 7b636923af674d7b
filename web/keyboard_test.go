package web_test

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/events"
)

// keyboard is a page that is used by keys alone.
type keyboard struct {
	t   *testing.T
	tab context.Context
}

func (k keyboard) press(key string) { run(k.t, k.tab, chromedp.KeyEvent(key)) }

func (k keyboard) ask(js string) string {
	k.t.Helper()
	return run(k.t, k.tab, chromedp.Evaluate[string](js))
}

// wait waits for a condition on the page.
func (k keyboard) wait(js string) {
	k.t.Helper()
	require.Eventually(k.t, func() bool {
		ctx, cancel := context.WithTimeout(k.tab, patience)
		defer cancel()
		ok, err := chromedp.Run(ctx, chromedp.Evaluate[bool](js))
		return err == nil && ok
	}, patience, 20*time.Millisecond, "%s", js)
}

// focused says what holds the focus, and what is wrong with how: not to be seen, no
// mark around it, covered, or before what came earlier in the page.
const focused = `(() => {
	const x = document.activeElement;
	if (!x || x === document.body) return "";
	const s = getComputedStyle(x), r = x.getBoundingClientRect();
	const wrong = [];
	if (s.outlineStyle === "none" || parseFloat(s.outlineWidth) < 2) wrong.push("no mark around it");
	if (r.bottom <= 0 || r.top >= innerHeight || r.width === 0) wrong.push("off the screen");
	else {
		const y = (Math.max(r.top, 0) + Math.min(r.bottom, innerHeight)) / 2;
		const top = document.elementFromPoint(r.left + r.width / 2, y);
		if (!(x.contains(top) || top?.contains(x))) wrong.push("covered by " + top?.outerHTML.slice(0, 60));
	}
	if (x.tabIndex > 0) wrong.push("out of order");
	if (window.before?.isConnected && window.before !== x && !(window.before.compareDocumentPosition(x) & Node.DOCUMENT_POSITION_FOLLOWING)) wrong.push("before " + window.before.textContent.trim());
	window.before = x;
	return x.tagName + " " + (x.getAttribute("aria-label") || x.textContent).trim().replace(/\s+/g, " ") + (wrong.length ? " WRONG: " + wrong.join(", ") : "");
})()`

// walk goes from the top of the page to its end with the tab key.
func (k keyboard) walk() (stops []string) {
	k.t.Helper()
	run(k.t, k.tab, chromedp.Evaluate[chromedp.Void](`document.activeElement?.blur(); window.before = null; scrollTo(0, 0);`))
	run(k.t, k.tab, chromedp.Evaluate[chromedp.Void](`document.body.tabIndex = -1; document.body.focus(); document.body.removeAttribute("tabindex")`))
	for range 120 {
		k.press(kb.Tab)
		stop := k.ask(focused)
		if stop == "" { // the browser's own bars come next
			return stops
		}
		assert.NotContains(k.t, stop, "WRONG")
		stops = append(stops, stop)
	}
	require.Fail(k.t, "the focus is caught", "%v", stops)
	return nil
}

// reach goes on with the tab key until something has the focus.
func (k keyboard) reach(what string) {
	k.t.Helper()
	run(k.t, k.tab, chromedp.Evaluate[chromedp.Void](`window.before = null`))
	for range 120 {
		k.press(kb.Tab)
		if k.ask(focused) == what {
			return
		}
	}
	require.Fail(k.t, "not reached", what)
}

// A card is written, certified and returned by keys alone.
func TestACardByKeyboard(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	m := medal(t, 3)
	m.open()
	m.play(func(entry int) int { return []int{16, 3, 3}[entry] })
	holder := &visits{m: m, v: m.holder(0, events.RolePlayer)}
	k := keyboard{t, tab(t, chromium(t), 360, 640)}
	run(t, k.tab, chromedp.Navigate(holder.front(t)+m.at(0)))
	k.wait(`document.querySelector("#hole-number").textContent.trim() === "17"`)
	stops := k.walk()
	require.Greater(t, len(stops), 30)
	assert.Equal(t, "A Skip to the page", stops[0])
	assert.Subset(t, stops, []string{"A Log strokes", "BUTTON 1−3", "BUTTON Picked up", "SUMMARY 10 or more", "A Hole 16", "A Hole 18", "BUTTON Bright sun"})
	assert.Equal(t, "0", k.ask(`String(document.querySelectorAll('[aria-live="assertive"], [role="alert"]').length)`), "nothing interrupts who listens")

	// Two holes: one key each, and the page says politely what was taken and what is next.
	par := k.ask(`document.querySelector("#hole-par").textContent`)
	key := k.ask(`[...document.querySelectorAll("#keys .at-par")].map((x) => x.textContent).join()`)
	k.reach("BUTTON " + key)
	k.press(kb.Enter)
	k.wait(`document.querySelector("#hole-number").textContent.trim() === "18"`)
	assert.Equal(t, "status", k.ask(`document.getElementById("said").getAttribute("role")`))
	assert.Contains(t, k.ask(`document.getElementById("said").textContent`), par+" on hole 17. Now hole 18, par")
	assert.Contains(t, k.ask(focused), "BUTTON "+par, "the focus stays on the keys")
	k.press(" ")
	k.wait(`document.getElementById("sums").innerText.startsWith("18")`)
	k.wait(`!document.querySelector(".waiting")`)
	state := m.state(0)
	require.Equal(t, fmt.Sprint(state.Holes[16].Player.Strokes), par)
	for _, hole := range []int{17, 18} {
		n := m.state(0).Holes[hole-1].Player.Strokes
		require.NotZero(t, n)
		_, err := m.commands.EnterScore(ctx, as(events.RoleMarker, m.card(0)), m.card(0), enter(hole, &n))
		require.NoError(t, err)
	}
	again := func() {
		run(t, k.tab, chromedp.Evaluate[chromedp.Void](`document.dispatchEvent(new Event("visibilitychange"))`))
	}
	again()
	k.wait(`document.querySelector('[data-send="certification"]') !== null`)
	k.walk()

	// What comes by itself takes the focus from nobody.
	k.reach("A Hole 9")
	run(t, k.tab, chromedp.Evaluate[chromedp.Void](`document.activeElement.dataset.old = "1"`))
	again()
	k.wait(`document.querySelector("[data-old]") === null`)
	assert.Equal(t, "A Hole 9", k.ask(`document.activeElement.tagName + " " + document.activeElement.textContent.trim()`))

	run(t, k.tab, chromedp.Evaluate[chromedp.Void](`document.querySelector(".skip").focus()`))
	k.reach("BUTTON I certify these hole scores")
	k.press(kb.Enter)
	k.wait(`document.getElementById("all").innerText.includes("has certified") || document.getElementById("all").innerText.includes("You have certified")`)
	k.wait(`document.activeElement.closest(".hand-in") !== null`)
	require.True(t, m.state(0).CertifiedPlayer)
	_, err := m.commands.Certify(ctx, as(events.RoleMarker, m.card(0)), m.card(0), events.RoleMarker)
	require.NoError(t, err)
	again()
	k.wait(`document.querySelector('[data-send="return"]') !== null`)
	k.reach("BUTTON Return the card")
	k.press(kb.Enter)
	k.wait(`document.querySelector(".receipt") !== null`)
	require.True(t, m.state(0).Returned)
	k.wait(`document.activeElement.closest(".receipt") !== null`)
	k.walk()
}
