package web_test

import (
	"context"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/competition"
)

// matchAddresses are the addresses of the matches that a page lists.
func (v *visitor) matchAddresses(at string) []string {
	v.t.Helper()
	v.reads(at + "/matches")
	var out []string
	for _, n := range all(v.page, "a") {
		if href := attr(n, "href"); strings.HasPrefix(href, "/desk/matches/") {
			out = append(out, href)
		}
	}
	return out
}

// TestAKnockoutIsPlayedAtTheDesk plays three entries: a bye, a match hole by hole
// with every kind of decision, the final by its result alone.
func TestAKnockoutIsPlayedAtTheDesk(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	at := clubByForm(v)
	chosen(v, at, "format", "match").ok()
	terms := m.stateAt(at).Terms
	require.Equal(t, &events.MatchTerms{Bracket: "knockout", Length: 18, ExtraHoles: true}, terms.Match)
	require.Equal(t, []any{0, 100, true}, []any{terms.Rounds, terms.AllowancePercent, terms.ParDifference})
	for _, p := range dunesfolk[:3] {
		v.reads(at + "/entries")
		v.form(at+"/entries").set("player_id", p.no).ok()
	}
	v.reads(at + "/draw?method=seeded")
	require.Contains(t, v.words(), "bye match 1 Ailsa Machair 5.0, White goes on without a match")
	require.Contains(t, v.words(), "Bram Oxeye 12.4, White v Corin Seathrift 18.0, White")
	v.form(at+"/draw", 1).ok()
	v.reads(at + "/open")
	require.Contains(t, v.words(), "Opening arranges 1 match with the strokes that each side receives; 1 side has a bye")
	v.form(at + "/open").ok()
	require.Contains(t, v.words(), "every match is arranged")
	require.NotContains(t, v.words(), "every card is issued")
	require.Contains(t, m.visit().reads("/").words(), "0 under way, 0 of 1 match over")

	matches := v.matchAddresses(at)
	require.Len(t, matches, 1)
	x := matches[0]
	v.reads(at + "/print")
	require.Len(t, all(v.page, "article"), 1, "a sheet of the match")
	require.Contains(t, v.text, "/c/", "with a link for each side")
	v.reads(x)
	require.Contains(t, v.words(), "Bram Oxeye: White tee, playing handicap 12, no strokes here")
	require.Contains(t, v.words(), "Corin Seathrift: White tee, playing handicap 17, 5 strokes here")
	require.Contains(t, v.words(), "not begun")

	hole := func(values ...string) {
		t.Helper()
		f := v.form(x + "/holes")
		for i := 0; i < len(values); i += 2 {
			f.set(values[i], values[i+1])
		}
		f.ok()
	}
	hole("a[0]", "4", "b[0]", "5") // Corin receives a stroke: tied
	require.Contains(t, v.words(), "all square after 1")
	hole("a[0]", "4", "b[0]", "P")
	require.Contains(t, v.words(), "Bram Oxeye, 1 up after 2")
	hole("winner", "B", "grounds", "penalty")
	require.Contains(t, v.words(), "by a penalty")
	v.form(x+"/holes").set("a[0]", "4").set("b[0]", "6").set("winner", "B").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Contains(t, v.words(), "By these scores and the strokes received the hole is won by side A, not won by side B")
	require.Equal(t, "6", v.form(x+"/holes").values.Get("b[0]"))
	v.reads(x)
	v.form(x+"/holes/concession").set("side", "B").ok()
	require.Contains(t, v.words(), "Bram Oxeye, 1 up after 4")

	// Hole 2 was a slip: correct it, with a reason, then take the last hole back.
	v.reads(x + "?hole=2")
	f := v.form(x + "/holes")
	require.Equal(t, []string{"2", "4", "P"}, []string{f.values.Get("number"), f.values.Get("a[0]"), f.values.Get("b[0]")})
	f.set("b[0]", "3").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	v.form(x+"/holes").set("reason", "the card says 3").ok()
	require.Contains(t, v.words(), "Corin Seathrift, 1 up after 4")
	v.form(x+"/holes/removal").set("reason", "nobody conceded").ok()
	require.Contains(t, v.words(), "Corin Seathrift, 2 up after 3")

	v.form(x+"/result").set("winner", "B").set("text", "9 and 8").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	require.Contains(t, v.words(), "Corin Seathrift, 9 and 8")
	v.form(x+"/reopening").set("reason", "told wrongly").ok()
	v.form(x+"/concession").set("side", "A").ok()
	require.Contains(t, v.words(), "Corin Seathrift, conceded")
	v.form(x+"/ruling").set("ruling", "awarded").set("winner", "A").set("up", "3").set("reason", "B played a wrong ball throughout").ok()
	require.Contains(t, v.words(), "to Bram Oxeye: awarded")
	v.form(x+"/ruling").set("ruling", "lifted").set("reason", "heard both sides").ok()
	require.Contains(t, v.words(), "Corin Seathrift, conceded")

	id := strings.TrimPrefix(x, "/desk/matches/")
	view, err := m.commands.Match(context.Background(), id)
	require.NoError(t, err)
	old, err := m.commands.MatchLink(context.Background(), id, view.State.Arranged.B.EntryID)
	require.NoError(t, err)
	require.Contains(t, v.text, old)
	v.form(x+"/links").set("side", "B").ok()
	require.NotContains(t, v.text, old)

	v.reads(at + "/close")
	v.form(at + "/close").ok()
	require.Equal(t, competition.Between, m.stateAt(at).Phase)
	drawnFirst(v, at)
	final := v.matchAddresses(at)[0]
	v.reads(final)
	require.Contains(t, v.words(), "Ailsa Machair v Corin Seathrift")
	v.form(final+"/result").set("winner", "A").set("text", "at the 19th").ok()
	v.reads(at + "/matches?round=1")
	require.Contains(t, v.words(), "Corin Seathrift, conceded", "matches of a past round stay within reach")
	v.reads(at + "/close")
	v.form(at + "/close").ok()
	require.Contains(t, v.words(), "1 Ailsa Machair")
	require.Contains(t, v.words(), "Ailsa Machair, at the 19th")
	v.form(at + "/result").ok()
	require.Equal(t, "1", m.stateAt(at).Result.Rows[0].Positions["match"])
	v.reads(strings.TrimPrefix(at, "/desk") + "/result")
	require.Contains(t, v.words(), "Won by Ailsa Machair")
}

// TestARoundRobinShowsItsSchedule draws the schedule, plays a round and shows the
// table so far.
func TestARoundRobinShowsItsSchedule(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	at := clubByForm(v)
	chosen(v, at, "format", "match", "match.bracket", "round_robin", "match.extra_holes", "").ok()
	for _, p := range dunesfolk[:3] {
		v.reads(at + "/entries")
		v.form(at+"/entries").set("player_id", p.no).ok()
	}
	v.reads(at + "/draw?method=random&seed=7")
	require.Contains(t, v.words(), "The whole schedule: 3 rounds")
	require.Equal(t, 3, strings.Count(v.words(), "sits out"))
	v.form(at+"/draw", 1).ok()
	v.reads(at + "/open")
	v.form(at + "/open").ok()
	x := v.matchAddresses(at)[0]
	v.reads(at + "/close")
	require.Contains(t, v.words(), "1 match has no result")
	v.form(at + "/close").send()
	require.Equal(t, http.StatusConflict, v.status)
	v.reads(x)
	v.form(x+"/ruling").set("ruling", "default").set("winner", "A").set("up", "5").set("reason", "B did not come").ok()
	v.reads(at + "/close")
	v.form(at + "/close").ok()
	v.reads(at + "/result")
	require.Regexp(t, `1 \S+ \S+ 1 1 0 0 1 5`, v.words(), "played, won, tied, lost, points, holes")
	v.reads(at + "/draw")
	require.Contains(t, v.words(), "Draw of round 2")
	require.Contains(t, v.words(), "The schedule, as it began")
	drawnFirst(v, at)
	require.Equal(t, 2, m.stateAt(at).Round)
}

// TestEveryPageOfTheDeskShowsMatches looks at every page of a match competition
// before and after each step.
func TestEveryPageOfTheDeskShowsMatches(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	at := clubByForm(v)
	chosen(v, at, "format", "match", "side", "four_ball").ok()
	look := func(more ...string) {
		t.Helper()
		for _, path := range append(strings.Fields("/ /terms /entries /draw /draw/hand /open /matches /cards /conditions /print /print/start-sheet /print/start-sheet?codes=1 /close /result"), more...) {
			if strings.HasPrefix(path, "/desk") {
				v.reads(path)
			} else {
				v.reads(strings.TrimSuffix(at+path, "/"))
			}
			require.NotContains(t, v.words(), "ZgotmplZ", path)
			require.NotContains(t, v.words(), "<nil>", path)
			require.NotContains(t, v.words(), "%!", path)
		}
	}
	look()
	for _, pair := range [][2]string{{"0101", "0102"}, {"0103", "0104"}} {
		v.reads(at + "/entries")
		v.form(at+"/entries").set("player_id", pair[0]).set("partners[0].player_id", pair[1]).ok()
	}
	look("/entries/" + m.stateAt(at).Order[0])
	v.reads(at + "/draw/hand")
	v.form(at + "/draw/hand").ok()
	require.Equal(t, "by_hand", m.stateAt(at).Draw.Method, "the pairs that the usual method draws, published by hand")
	look()
	v.reads(at + "/open")
	v.form(at + "/open").ok()
	x := v.matchAddresses(at)[0]
	look(x)
	v.reads(x)
	v.form(x+"/holes").set("a[0]", "4").set("a[1]", "P").set("a[0].conceded", "1").set("b[0]", "5").set("b[1]", "6").ok()
	require.Contains(t, v.words(), "4c / P")
	v.form(x+"/result").set("winner", "A").set("text", "3 and 2").ok()
	look(x)
	v.reads(at + "/close")
	v.form(at + "/close").ok()
	look(x)
	v.reads(at + "/result")
	v.form(at + "/result").ok()
	look(x)
}
