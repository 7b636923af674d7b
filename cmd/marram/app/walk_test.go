package app_test

import (
	"fmt"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/cmd/marram/app"
	"marram.example/events"
)

// A new user's Saturday in a real browser: from the link that makes the first
// account to the published result, with a phone on the course, a paper card at
// the desk and the board open all the while.
func TestTheWholeMorningInABrowser(t *testing.T) {
	t.Parallel()
	for name, width := range map[string]int64{"desk on a screen": 1280, "desk on a phone": 360} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			wholeMorning(t, width)
		})
	}
}

func wholeMorning(t *testing.T, width int64) {
	t.Helper()
	a := mustStart(t)
	desk := mustBrowse(t, a.URL(), width, 900)
	token, err := a.Auth.SetupToken(t.Context())
	require.NoError(t, err)
	desk.open("/setup/" + token)
	desk.fits("setup")
	desk.fill("#name", secretary)
	desk.fill("#password", password)
	desk.fill("#again", password)
	desk.follow("main form button")

	importInDesk(desk, "", "course.csv")
	importInDesk(desk, "", "players.csv")
	id := planInDesk(desk)
	importInDesk(desk, id, "entries.csv")
	drawAndOpen(desk, id)

	watcher := mustBrowse(t, a.URL(), 360, 740)
	watcher.open("/competitions/" + id + "/board")
	watcher.fits("board-before")
	rows := oneKeyAHole(table(t, "cards.csv"))
	phoneCard(t, a, id, rows[0], watcher)
	paperCard(t, a, desk, id, rows[1])
	importInDesk(desk, id, "cards.csv")
	closeAndPublish(desk, id)
	lookAround(t, a, desk, watcher, id)
}

// oneKeyAHole are the cards that can be typed with eighteen keys: whole, and
// nothing on them that is asked back.
func oneKeyAHole(rows []map[string]string) []map[string]string {
	var out []map[string]string
	for _, row := range rows {
		plain := row["status"] == ""
		for h := 1; h <= 18; h++ {
			n, err := strconv.Atoi(row["h"+strconv.Itoa(h)])
			plain = plain && err == nil && n >= 3 && n <= 8
		}
		if plain {
			out = append(out, row)
		}
	}
	return out
}

// importInDesk brings a file in: a look at it first, then the real thing.
func importInDesk(b *browser, competition, name string) {
	b.t.Helper()
	b.open("/desk/import?competition=" + competition)
	b.upload("input[type=file]", filepath.Join(medalFolder, name))
	b.follow("form.panel button")
	b.fits("import-" + strings.TrimSuffix(name, ".csv"))
	b.follow(`form:has(input[value="import"]) button`)
	require.Contains(b.t, b.text("main"), name[:4], "the page says what was brought in")
}

func planInDesk(b *browser) string {
	b.t.Helper()
	b.open("/desk")
	b.fits("desk")
	b.follow(`a[href="/desk/competitions/new"]`)
	b.fill("[name=name]", "Saturday Medal")
	b.fill("[name=date]", "2025-06-14")
	b.follow("main form button")
	b.wait(`location.pathname.endsWith("/terms")`)
	b.eval(`document.querySelectorAll("[name=tees]").forEach((x) => { if (!x.checked) x.click() })`)
	b.fits("terms")
	b.follow(`form.terms button:not([name=preset])`)
	return strings.Split(strings.TrimPrefix(b.path(), "/desk/competitions/"), "/")[0]
}

func drawAndOpen(b *browser, id string) {
	b.t.Helper()
	base := "/desk/competitions/" + id
	b.open(base + "/entries")
	b.fits("desk-entries")
	b.open(base + "/draw")
	b.click(`[name=method][value=random]`)
	b.fill("[name=seed]", "614")
	b.follow(`form[method=get] button`)
	b.fits("draw")
	b.follow(`form.stick button`)
	b.open("/competitions/" + id + "/start-sheet")
	b.fits("start-sheet")
	b.open(base + "/open")
	b.fits("open")
	b.follow(`form[action$="/open"] button`)
	b.open(base + "/print")
	b.fits("scorecards")
}

func cardOf(a *app.App, id, member string) string {
	return command.CardID(id, command.EntryID(id, a.Commands.PlayerID(member)), 1)
}

// phoneCard plays a card on two phones, the player's and the marker's, and sees
// the board move without a reload.
func phoneCard(t *testing.T, a *app.App, id string, row map[string]string, watcher *browser) {
	t.Helper()
	k := cardOf(a, id, row["member_no"])
	phones := map[events.Role]*browser{}
	for _, role := range []events.Role{events.RoleMarker, events.RolePlayer} {
		token, err := a.Commands.CardLink(t.Context(), k, role)
		require.NoError(t, err)
		p := mustBrowse(t, a.URL(), 360, 740)
		p.open("/c/" + token)
		p.wait(`location.pathname.startsWith("/cards/")`)
		require.NotContains(t, p.path(), token, "the secret leaves the address bar")
		p.fits("card-" + string(role))
		phones[role] = p
	}
	marker, player := phones[events.RoleMarker], phones[events.RolePlayer]
	watcher.eval(`void (window.sameBoard = true)`)
	before := watcher.text("tbody")
	for h := 1; h <= 18; h++ {
		marker.tap(h, row["h"+strconv.Itoa(h)])
		player.tap(h, row["h"+strconv.Itoa(h)])
		if h == 9 {
			player.fits("card-turn")
			watcher.wait(fmt.Sprintf(`document.querySelector("tbody").innerText.replace(/\s+/g, " ").trim() !== %q`, before))
			watcher.wait(`window.sameBoard === true`) // it moved by itself
			watcher.fits("board-live")
		}
	}
	marker.says("certify")
	marker.fits("card-certify")
	marker.press("I certify")
	marker.says("The marker has certified")
	player.open("/cards/" + k)
	player.press("I certify")
	player.says("The player has certified")
	player.press("Return")
	player.says("The card is returned")
	player.fits("card-returned")
	st, err := a.Commands.Card(t.Context(), k)
	require.NoError(t, err)
	require.Contains(t, player.text("main"), st.State.Receipt)
}

// tap enters one hole on a phone.
func (b *browser) tap(hole int, strokes string) {
	b.t.Helper()
	b.wait(fmt.Sprintf(`document.querySelector("#hole-number").innerText.trim() === "%d"`, hole))
	b.click(fmt.Sprintf(`#keys button[name=strokes][value="%s"]`, strokes))
	if hole < 18 {
		b.wait(fmt.Sprintf(`document.querySelector("#hole-number").innerText.trim() === "%d"`, hole+1))
		return
	}
	b.wait(`document.querySelector("#sums").innerText.startsWith("18")`)
}

// press presses the button of the page that begins with a word.
func (b *browser) press(word string) {
	b.t.Helper()
	b.wait(fmt.Sprintf(`[...document.querySelectorAll("main button")].some((x) => x.innerText.trim().startsWith(%q))`, word))
	b.eval(fmt.Sprintf(`void [...document.querySelectorAll("main button")].find((x) => x.innerText.trim().startsWith(%q)).setAttribute("data-press", "")`, word))
	b.click("[data-press]")
}

// paperCard types a card at the desk with the keyboard alone.
func paperCard(t *testing.T, a *app.App, b *browser, id string, row map[string]string) {
	t.Helper()
	b.open("/desk/competitions/" + id + "/cards?q=" + row["member_no"])
	require.NotContains(t, b.text("main"), "No card fits", "a member number finds its card")
	b.fits("desk-cards")
	b.open("/desk/cards/" + cardOf(a, id, row["member_no"]))
	b.fits("paper-empty")
	total := 0
	var typed strings.Builder
	for h := 1; h <= 18; h++ {
		n, err := strconv.Atoi(row["h"+strconv.Itoa(h)])
		require.NoError(t, err)
		require.Less(t, n, 10, "one key a hole")
		total += n
		typed.WriteString(strconv.Itoa(n))
	}
	b.wait(`document.activeElement?.closest("[data-paper]") !== null`)
	b.keys(typed.String())
	b.wait(fmt.Sprintf(`document.querySelector("[data-sum=gross]").innerText === "%d"`, total))
	b.fits("paper-full")
	b.eval(`void (window.stale = true)`)
	b.keys("\r")
	b.wait(`!window.stale && document.readyState === "complete"`)
	b.says("returned")
}

func closeAndPublish(b *browser, id string) {
	b.t.Helper()
	base := "/desk/competitions/" + id
	b.open(base + "/close")
	b.fits("close")
	b.follow(`form[action$="/close"] button`)
	b.open(base + "/result")
	b.fits("desk-result")
	b.follow(`form.stick button`)
}

// lookAround opens what a visitor would, and finds the expected winner.
func lookAround(t *testing.T, a *app.App, desk, phone *browser, id string) {
	t.Helper()
	winner := ""
	for _, row := range table(t, "expected/result.csv") {
		if row["net_position"] == "1" {
			winner = row["member_no"]
		}
	}
	for _, p := range table(t, "players.csv") {
		if p["member_no"] == winner {
			winner = p["name"]
		}
	}
	for _, b := range []*browser{desk, phone} {
		b.open("/")
		b.fits("home")
		b.open("/competitions/" + id)
		b.fits("competition")
		b.open("/competitions/" + id + "/entries")
		b.fits("entries")
		b.open("/competitions/" + id + "/board")
		b.fits("board-final")
		b.open("/competitions/" + id + "/result")
		b.says("Saturday Medal")
		require.Contains(t, b.text("tbody tr"), winner)
		b.fits("result")
		b.follow(`main tbody a[href*="/figures"]`)
		b.fits("figures")
		b.open("/players/" + a.Commands.PlayerID("0411"))
		b.fits("player")
	}
	desk.open("/desk")
	desk.fits("desk-after")
}
