package app_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/cmd/marram/app"
	"marram.example/events"
	"marram.example/events/competition"
)

// contest plans a competition of invented sides under terms, draws and opens it.
func contest(t testing.TB, a *app.App, sides int, draw string, change func(*events.Terms)) (id string, entries []string) {
	t.Helper()
	ctx := t.Context()
	count := 0
	as := func() command.Request {
		count++
		return command.Request{Who: command.Who{Role: events.RoleService, ID: "test"}, CommandID: fmt.Sprintf("%s-%d", t.Name(), count)}
	}
	tee := events.TeeDefinition{Tee: "White", CourseRatingTenths: 712, SlopeRating: 127}
	for h := 1; h <= 18; h++ {
		tee.Holes = append(tee.Holes, events.Hole{Number: h, Par: 3 + h%3, StrokeIndex: h, LengthM: 140 + 100*(h%3)})
	}
	course, err := a.Commands.DefineCourse(ctx, as(), "", command.DefineCourse{Name: "Plover Flats (invented)", Tees: []events.TeeDefinition{tee}})
	require.NoError(t, err)
	terms := command.PresetTerms(events.StrokePlay)
	terms.CourseID, terms.Tees, terms.Start.GroupSize, terms.ParDifference = course.ID, []string{"White"}, 4, false
	change(&terms)
	planned, err := a.Commands.Plan(ctx, as(), "", command.PlanCompetition{Name: "Plover Pairs", Date: "2026-05-30"})
	require.NoError(t, err)
	_, err = a.Commands.SetTerms(ctx, as(), planned.ID, terms)
	require.NoError(t, err)
	first := []string{"Ailsa", "Bram", "Corin", "Dervla", "Eskil", "Freya", "Greta", "Hamish"}
	last := []string{"Applethwaite", "Bracken", "Corrie", "Duneholm", "Eastersea", "Fallowfen", "Gorsedale", "Netherby-Shaw"}
	next := 0
	member := func() command.Member {
		index := 20 + next*37%250
		p, err := a.Commands.RegisterPlayer(ctx, as(), command.RegisterPlayer{
			MemberNo: fmt.Sprintf("%04d", next+1), Name: first[next%8] + " " + last[(next*3+next/8)%8], IndexTenths: &index, Effective: "2026-01-01", Origin: events.OriginOfficial,
		})
		require.NoError(t, err)
		next++
		return command.Member{PlayerID: p.ID, Tee: "White"}
	}
	for i := range sides {
		in := command.EnterPlayer{Member: member()}
		for range terms.Players() - 1 {
			in.Partners = append(in.Partners, member())
		}
		if i == 1 && terms.Players() > 1 {
			in.TeamName = "The Turnstones"
		}
		entered, err := a.Commands.Enter(ctx, as(), planned.ID, in)
		require.NoError(t, err)
		entries = append(entries, entered.ID)
	}
	_, err = a.Commands.Draw(ctx, as(), planned.ID, command.Draw{Method: draw})
	require.NoError(t, err)
	opened, err := a.Commands.OpenRound(ctx, as(), planned.ID)
	require.NoError(t, err)
	require.NoError(t, a.Boards.WaitFor(ctx, opened.Position))
	return planned.ID, entries
}

// press presses a key of a ball on the card of a side.
func (b *browser) pressBall(ball int, strokes string) {
	b.t.Helper()
	b.click(fmt.Sprintf(`.ball[data-ball="%d"] .ball-keys button[value="%s"]`, ball, strokes))
}

// Two partners on one phone, the board open beside it.
func TestASideWritesItsCardInABrowser(t *testing.T) {
	t.Parallel()
	a := mustStart(t)
	id, entries := contest(t, a, 4, "as_entered", func(t *events.Terms) {
		t.Format, t.Side, t.SideSize, t.AllowancePercent = events.Stableford, events.SideFourBall, 2, 85
	})
	k := command.CardID(id, entries[1], 1)
	watcher := mustBrowse(t, a.URL(), 360, 740)
	watcher.open("/competitions/" + id + "/board")
	watcher.fits("side-board-before")
	watcher.wait(`document.getElementById("board-line").textContent.startsWith("Live")`)
	watcher.eval(`void (window.sameBoard = true)`)
	token, err := a.Commands.CardLink(t.Context(), k, events.RolePlayer)
	require.NoError(t, err)
	phone := mustBrowse(t, a.URL(), 360, 740)
	phone.open("/c/" + token)
	phone.wait(`location.pathname.startsWith("/cards/")`)
	phone.fits("side-card")
	phone.wait(`[...document.querySelectorAll(".ball-keys button")].every((b) => b.getBoundingClientRect().height >= 48 && b.getBoundingClientRect().width >= 48)`)
	for h := 1; h <= 3; h++ {
		phone.wait(fmt.Sprintf(`document.querySelector("#hole-number").innerText.trim() === "%d"`, h))
		phone.pressBall(0, "5")
		phone.wait(`document.querySelector("#hole-side").textContent.includes("counts")`)
		phone.pressBall(1, "picked_up")
	}
	phone.wait(`document.querySelector("#hole-number").innerText.trim() === "4"`)
	phone.wait(`document.querySelector("#sums").innerText.startsWith("3")`)
	phone.fits("side-card-later")
	watcher.wait(`[...document.querySelectorAll("tbody tr")].some((tr) => tr.innerText.includes("The Turnstones") && tr.querySelector(".n").textContent === "3")`)
	watcher.wait(`window.sameBoard === true`)
	watcher.wait(`document.querySelector("tbody").innerText.includes("Bram")`)
	watcher.fits("side-board-live")
	wide := mustBrowse(t, a.URL(), 1280, 800)
	for page, path := range map[string]string{"side-board": "/board", "side-terms": "", "side-entries": "/entries", "side-sheet": "/start-sheet"} {
		wide.open("/competitions/" + id + path)
		wide.fits(page)
		watcher.open("/competitions/" + id + path)
		watcher.fits(page)
	}
	wide.open("/cards/" + k)
	wide.fits("side-card-read")
	st, err := a.Commands.Card(t.Context(), k)
	require.NoError(t, err)
	require.Equal(t, events.Score{None: events.PickedUp}, st.State.Lines(1)[2].Player)
	require.Equal(t, events.Score{Strokes: 5}, st.State.Lines(0)[2].Player)
}

// A match between two phones: one hole after the other, a difference that is
// settled, an agreed result; the board follows.
func TestAMatchBetweenTwoPhones(t *testing.T) {
	t.Parallel()
	a := mustStart(t)
	id, _ := contest(t, a, 4, "seeded", func(t *events.Terms) {
		t.Format, t.Rounds, t.AllowancePercent, t.Holes = events.MatchPlay, 0, 100, command.HoleRange(1, 18)
		t.Match = &events.MatchTerms{Bracket: competition.Knockout, Length: 18, ExtraHoles: true}
	})
	watcher := mustBrowse(t, a.URL(), 360, 740)
	watcher.open("/competitions/" + id + "/board")
	watcher.wait(`document.getElementById("board-line").textContent.startsWith("Live")`)
	watcher.eval(`void (window.sameBoard = true)`)
	match := command.MatchID(id, 1, 1)
	m, err := a.Commands.Match(t.Context(), match)
	require.NoError(t, err)
	phones := map[string]*browser{}
	for side, entry := range map[string]string{"A": m.State.Arranged.A.EntryID, "B": m.State.Arranged.B.EntryID} {
		token, err := a.Commands.MatchLink(t.Context(), match, entry)
		require.NoError(t, err)
		p := mustBrowse(t, a.URL(), 360, 740)
		p.open("/c/" + token)
		p.wait(`location.pathname.startsWith("/matches/")`)
		require.NotContains(t, p.path(), token)
		p.fits("match-" + side)
		phones[side] = p
	}
	us, they := phones["A"], phones["B"]
	say := func(b *browser, hole int, winner string) {
		b.wait(fmt.Sprintf(`document.querySelector("#hole-number")?.innerText.trim() === "%d" && !document.querySelector(".who-won button").disabled`, hole))
		b.click(fmt.Sprintf(`.who-won button[value="%s"]`, winner))
	}
	for h := 1; h <= 10; h++ {
		say(us, h, "A")
		if h == 4 {
			say(they, h, "tied")
			they.says("The sides differ")
			they.fits("match-differs")
			watcher.wait(`document.querySelector("#board").innerText.includes("differ on hole 4")`)
			watcher.fits("match-board-differs")
			they.click(".differs form button")
			they.wait(`!document.body.innerText.includes("The sides differ")`)
			continue
		}
		say(they, h, "A")
	}
	us.says("10 and 8")
	watcher.wait(`document.querySelector("#board").innerText.includes("10 and 8")`)
	watcher.wait(`document.querySelector(".strip .a").getAttribute("d").split("M").length === 11`)
	watcher.wait(`window.sameBoard === true`)
	watcher.fits("match-board")
	us.fits("match-over")
	us.press("Agree")
	us.says("You stand for 10 and 8")
	they.open("/matches/" + match)
	they.press("Agree")
	they.wait(`document.querySelector("#match form") === null`) // a decided match is only to be read
	they.says("wins")
	they.fits("match-agreed")
	st, err := a.Commands.Match(t.Context(), match)
	require.NoError(t, err)
	o, over := st.State.Outcome()
	require.True(t, over)
	require.Equal(t, "10 and 8", o.Text)
	wide := mustBrowse(t, a.URL(), 1280, 800)
	for page, path := range map[string]string{"match-board": "/board", "match-screen": "/board?screen=1", "match-terms": "", "match-sheet": "/start-sheet"} {
		wide.open("/competitions/" + id + path)
		wide.fits(page)
	}
	wide.open("/matches/" + match)
	wide.fits("match-read")
	require.Contains(t, wide.text("main"), "wins")
}
