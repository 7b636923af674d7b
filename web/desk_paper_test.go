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

// TestACardOfTwoBallsIsTypedDownItsColumns types a four-ball card by keyboard alone:
// one player's column, then the other's, where an empty field is left with Enter.
func TestACardOfTwoBallsIsTypedDownItsColumns(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	at := clubByForm(v)
	chosen(v, at, "side", "four_ball").ok()
	v.reads(at + "/entries")
	v.form(at+"/entries").set("player_id", "0101").set("partners[0].player_id", "0102").ok()
	drawnFirst(v, at)
	card := v.cardsByName(at)["Ailsa Machair and Bram Oxeye"]
	ctx := mustBrowse(t, v)
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate(v.base+card), chromedp.WaitVisible("[data-paper]")))
	require.Equal(t, "scores[0]", says(t, ctx, theFocus))
	typed(t, ctx, strings.Repeat("4", 17)+"\r")
	require.Equal(t, "partners[0][0]", says(t, ctx, theFocus), "the partner's column comes next")
	typed(t, ctx, "5"+strings.Repeat("\r", 16)+"5")
	require.Equal(t, "Certify and return the card", says(t, ctx, theFocus))
	// 85%: Ailsa receives a stroke on indexes 1 to 4, Bram on 1 to 10; 4-1 on hole 1 beats 5-1.
	net := 4*3 + 13*4 + 5
	require.Equal(t, strconv.Itoa(net), says(t, ctx, `document.querySelector("[data-sum=net]").textContent`))
	require.Equal(t, "0 0 0 1", says(t, ctx, `[1, 5, 17, 18].map(h => document.querySelector("tr[data-hole='" + h + "'] .counts").dataset.ball).join(" ")`))
	typed(t, ctx, "\r")
	require.NoError(t, chromedp.Do(ctx, chromedp.WaitVisible("#find")))
	v.reads(card)
	require.Contains(t, v.words(), strconv.Itoa(net)+" net 18 of 18 holes", "the service counts the same")
}

// TestTheTermsFollowWhatIsChosen looks at fields that come and go, and at what is
// published for a choice, while it is made.
func TestTheTermsFollowWhatIsChosen(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	at := clubByForm(v)
	ctx := mustBrowse(t, v)
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate(v.base+at+"/terms"), chromedp.WaitVisible("form.terms")))
	choose := func(name, value string) {
		t.Helper()
		says(t, ctx, `(() => { const f = document.querySelector("[name='`+name+`']"); f.value = "`+value+`"; f.dispatchEvent(new Event("change", {bubbles: true})); return "" })()`)
	}
	shows := func(name string) string {
		t.Helper()
		return says(t, ctx, `String(document.querySelector("[name='`+name+`']").offsetParent !== null)`)
	}
	value := func(name string) string {
		t.Helper()
		return says(t, ctx, `document.querySelector("[name='`+name+`']").value`)
	}
	const published = `document.getElementById("published").textContent`
	require.Equal(t, "false", shows("side_allowances[0]"))
	choose("side", "scramble")
	choose("side_size", "3")
	require.Equal(t, "true", shows("side_allowances[2]"))
	require.Equal(t, "false", shows("side_allowances[3]"))
	require.Equal(t, "30 20 10", strings.Join([]string{value("side_allowances[0]"), value("side_allowances[1]"), value("side_allowances[2]")}, " "))
	require.Contains(t, says(t, ctx, published), "30%, 20%, 10%, the lowest handicap first (Rules of Handicapping, Appendix C)")
	choose("side", "best_of")
	choose("side_size", "4")
	choose("count", "2")
	require.Equal(t, "85", value("allowance_percent"))
	choose("format", "par_bogey")
	require.Equal(t, "80", value("allowance_percent"))
	choose("format", "maximum_score")
	require.Equal(t, "nothing", says(t, ctx, published))
	require.Equal(t, "true", shows("maximum.kind"))
	choose("side", "")
	choose("format", "match")
	require.Equal(t, []string{"true", "false", "false"}, []string{shows("match.bracket"), shows("rounds"), shows("prizes[0].name")})
	require.Equal(t, "100", value("allowance_percent"))
}
