package web_test

import (
	"context"
	"net/url"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"marram.example/events"
)

// mustBrowse starts a real browser that has the cookies of a visitor.
func mustBrowse(t *testing.T, v *visitor) context.Context {
	t.Helper()
	path, err := exec.LookPath("chromium")
	require.NoError(t, err, "this test needs Chromium: make test installs it")
	allocator, end := chromedp.NewExecAllocator(t.Context(), chromedp.ExecPath(path), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.NoFirstRun, chromedp.UserDataDir(t.TempDir()), chromedp.WSURLReadTimeout(time.Minute),
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-dev-shm-usage", true))
	t.Cleanup(end)
	ctx, quit := chromedp.NewContext(allocator)
	t.Cleanup(quit)
	require.NoError(t, chromedp.Do(ctx)) // the browser lives as long as the context of its first step
	at, err := url.Parse(v.base)
	require.NoError(t, err)
	for _, k := range v.client.Jar.Cookies(at) {
		_, err := chromedp.Call(ctx, network.SetCookie, network.SetCookieParams{Name: k.Name, Value: k.Value, URL: v.base})
		require.NoError(t, err)
	}
	ctx, cancel := context.WithTimeout(ctx, time.Minute)
	t.Cleanup(cancel)
	return ctx
}

// says evaluates an expression on the page.
func says(t *testing.T, ctx context.Context, expression string) string {
	t.Helper()
	s, err := chromedp.Run(ctx, chromedp.Evaluate[string](expression))
	require.NoError(t, err)
	return s
}

// typed presses keys one after the other, wherever the page put the focus.
func typed(t *testing.T, ctx context.Context, keys string) {
	t.Helper()
	for _, k := range keys {
		if k == '\r' {
			enter := input.DispatchKeyEventParams{Type: input.DispatchKeyEventTypeKeyDown, Key: "Enter", Code: "Enter", Text: "\r", WindowsVirtualKeyCode: 13}
			_, err := chromedp.Call(ctx, input.DispatchKeyEvent, enter) // as one press, which the page may keep from going on
			require.NoError(t, err)
			enter.Type, enter.Text = input.DispatchKeyEventTypeKeyUp, ""
			_, err = chromedp.Call(ctx, input.DispatchKeyEvent, enter)
			require.NoError(t, err)
			continue
		}
		require.NoError(t, chromedp.Do(ctx, chromedp.KeyEvent(string(k))))
	}
}

const (
	theScores = `[...document.querySelectorAll("tr[data-hole] input")].map(i => i.value).join(" ")`
	theTotals = `["gross", "net", "thru"].map(s => document.querySelector("[data-sum=" + s + "]").textContent).join(" ")`
	theFocus  = `document.activeElement.name || document.activeElement.textContent`
)

// TestAPaperCardIsTypedInWithoutTouchingAnythingElse types eighteen holes and
// hands the card in by keyboard alone: no tab, no mouse.
func TestAPaperCardIsTypedInWithoutTouchingAnythingElse(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	v := m.secretary()
	m.open()
	before := m.state(0)
	received := before.Figures.PlayingHandicap
	ctx := mustBrowse(t, v)
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate(v.base+"/desk/cards/"+m.card(0)), chromedp.WaitVisible("[data-paper]")))
	require.Equal(t, "scores[0]", says(t, ctx, theFocus), "the first hole waits for its number")

	// x is no score; a mistyped 9 is taken back; 10 takes two digits; a one needs Enter.
	typed(t, ctx, "x49\b\b5")
	require.Equal(t, "scores[2]", says(t, ctx, theFocus))
	typed(t, ctx, "4410"+"4444"+"555555555"+"5")
	require.Equal(t, "4 5 4 4 10 4 4 4 4 5 5 5 5 5 5 5 5 5", says(t, ctx, theScores))
	gross := 4 + 5 + 4 + 4 + 10 + 4*4 + 9*5
	unlikely := says(t, ctx, `document.querySelector("[data-confirm]").hidden ? "" : document.querySelector("[data-unlikely]").textContent`)
	if par := before.Holes[4].Par; par <= 4 {
		require.Equal(t, "10 on hole 5", unlikely)
		require.Equal(t, "confirmed", says(t, ctx, theFocus))
		typed(t, ctx, "\r") // yes, it is meant
	} else {
		require.Empty(t, unlikely)
	}
	require.Equal(t, strings.Join([]string{strconv.Itoa(gross), strconv.Itoa(gross - received), "18"}, " "), says(t, ctx, theTotals))
	require.Equal(t, "Certify and return the card", says(t, ctx, theFocus))
	typed(t, ctx, "\r")
	require.NoError(t, chromedp.Do(ctx, chromedp.WaitVisible("#find")))
	require.Contains(t, says(t, ctx, `document.querySelector(".carried").textContent`), m.state(0).Receipt)
	require.Equal(t, "q", says(t, ctx, theFocus), "ready for the next name")
	after := m.state(0)
	require.Equal(t, events.StatusReturned, after.Status())
	require.Equal(t, 10, after.Holes[4].Counting().Strokes)
	require.Equal(t, 5, after.Holes[17].Counting().Strokes)
}

// TestAOneMovesOnWithEnterAlone types a hole in one, a ball picked up and a hole
// without a score.
func TestAOneMovesOnWithEnterAlone(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	v := m.secretary()
	m.open()
	ctx := mustBrowse(t, v)
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate(v.base+"/desk/cards/"+m.card(1)), chromedp.WaitVisible("[data-paper]")))
	typed(t, ctx, "1")
	require.Equal(t, "scores[0]", says(t, ctx, theFocus), "it may become ten and more")
	typed(t, ctx, "\rp-")
	require.Equal(t, "scores[3]", says(t, ctx, theFocus))
	require.Equal(t, "1 P -", strings.TrimSpace(says(t, ctx, theScores)))
	require.Equal(t, "3", strings.Fields(says(t, ctx, theTotals))[2], "three holes entered")
	require.Empty(t, m.state(1).Played(), "nothing is stored before the card is sent")
}

// TestTwoScorecardsFitOnASheet prints the cards as a browser does.
func TestTwoScorecardsFitOnASheet(t *testing.T) {
	t.Parallel()
	m := medal(t, 6)
	v := m.secretary()
	m.open()
	ctx := mustBrowse(t, v)
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate(v.base+"/desk/competitions/"+m.competition+"/print"), chromedp.WaitVisible(".scorecard")))
	byStyle := true
	pdf, err := chromedp.Run(ctx, chromedp.PrintToPDF(func(p *page.PrintToPDFParams) { p.PreferCSSPageSize = &byStyle }))
	require.NoError(t, err)
	require.Equal(t, 3, strings.Count(string(pdf), "/Type /Page\n"), "six cards, two on a sheet")
}
