package web_test

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
)

const deskPassword = "nine blades of grass"

// secretary opens a club and signs in at its desk.
func secretary(t testing.TB, m *morning) *visitor {
	t.Helper()
	require.NoError(t, m.auth.AddAccount(context.Background(), "secretary", deskPassword))
	v := newVisitor(t, m.server.URL)
	v.open("/desk")
	require.Equal(t, "/sign-in?to=%2Fdesk", v.at, "who is not signed in is sent to the sign-in page")
	v.form("/sign-in").set("name", "secretary").set("password", deskPassword).send()
	require.Equal(t, "/desk", v.at)
	return v
}

// courseByForm states a course of 18 holes, all pars 4.
func courseByForm(v *visitor) string {
	v.t.Helper()
	v.reads("/desk/courses/new")
	f := v.form("/desk/courses/new").set("name", "Sandholm").set("tees[0].tee", "White").
		set("tees[0].course_rating", "71.3").set("tees[0].slope_rating", "113")
	for i := range 18 {
		at := fmt.Sprintf("tees[0].holes[%d].", i)
		f.set(at+"par", "4").set(at+"stroke_index", fmt.Sprint(i+1)).set(at+"length_m", fmt.Sprint(300+10*i))
	}
	f.ok()
	return strings.TrimPrefix(strings.Split(v.at, "?")[0], "/desk/courses/")
}

// planByForm announces a competition and returns its console address.
func planByForm(v *visitor) string {
	v.t.Helper()
	v.reads("/desk/competitions/new")
	v.form("/desk/competitions/new").set("name", "Saturday Medal").set("date", "2025-06-14").ok()
	return strings.TrimSuffix(strings.Split(v.at, "?")[0], "/terms")
}

var dunesfolk = []struct{ no, name, index string }{
	{"0101", "Ailsa Machair", "5.0"}, {"0102", "Bram Oxeye", "12.4"}, {"0103", "Corin Seathrift", "18.0"}, {"0104", "Dervla Gorsedale", "+1.0"},
}

func playersByForm(v *visitor) {
	v.t.Helper()
	for _, p := range dunesfolk {
		v.reads("/desk/players")
		v.form("/desk/players", 1).set("member_no", p.no).set("name", p.name).set("handicap_index", p.index).set("effective", "2025-06-01").ok()
	}
}

// drawnByForm brings a competition to the point where a start sheet stands.
func drawnByForm(v *visitor) string {
	v.t.Helper()
	courseByForm(v)
	playersByForm(v)
	at := planByForm(v)
	v.form(at + "/terms").ok()
	for _, p := range dunesfolk {
		v.reads(at + "/entries")
		v.form(at+"/entries").set("player_id", p.no).ok()
	}
	v.reads(at + "/draw")
	v.form(at+"/draw").set("method", "as_entered").send()
	require.Equal(v.t, http.StatusOK, v.status)
	v.form(at+"/draw", 1).ok()
	return at
}

// typeCard types a whole card in: the same number on every hole, with some of
// them changed.
func typeCard(f *sheet, each string, change map[int]string) *sheet {
	for i := range 18 {
		f.set(fmt.Sprintf("scores[%d]", i), each)
	}
	for i, s := range change {
		f.set(fmt.Sprintf("scores[%d]", i), s)
	}
	return f
}

// cardsByName are the addresses of the cards by player.
func (v *visitor) cardsByName(at string) map[string]string {
	v.t.Helper()
	v.reads(at + "/cards")
	out := map[string]string{}
	for _, n := range all(v.page, "li") {
		if name := attr(n, "data-name"); name != "" {
			out[name] = attr(all(n, "a")[0], "href")
		}
	}
	return out
}

// TestTheWholeMedalByFormsAlone plays a medal as a browser without script would:
// course, players, terms, entries, draw, round, cards, close, tie, result,
// correction and revision.
func TestTheWholeMedalByFormsAlone(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	require.Contains(t, v.words(), "Before the first competition")
	at := drawnByForm(v)
	require.Contains(t, v.words(), "in the order of entry")

	v.reads(at + "/open")
	v.form(at + "/open").ok()
	v.reads(at + "/print")
	require.Len(t, all(v.page, "article"), 4, "a scorecard each")
	require.Contains(t, v.text, "/c/", "with the link of the card")

	cards := v.cardsByName(at)
	require.Len(t, cards, 4)
	// Course handicap = index x 113/113 + (71.3 - 72); 95% of it, rounded; pars are equal.
	// 5.0: 4.3 x .95 = 4.085: 4. 12.4: 11.7 x .95 = 11.115: 11. 18.0: 17.3 x .95 = 16.435: 16. +1.0: -1.7 x .95 = -1.615: +2.
	for name, want := range map[string]string{"Ailsa Machair": "4", "Bram Oxeye": "11", "Corin Seathrift": "16", "Dervla Gorsedale": "+2"} {
		v.reads(cards[name])
		require.Contains(t, v.words(), "playing handicap "+want, name)
	}
	enter := func(name, each string, change map[int]string) {
		t.Helper()
		v.reads(cards[name])
		typeCard(v.form(cards[name]), each, change).ok()
		require.Contains(t, v.words(), "Receipt")
	}
	enter("Ailsa Machair", "4", map[int]string{0: "6"})                                                              // gross 74, net 70
	enter("Bram Oxeye", "5", map[int]string{0: "4", 1: "4", 2: "4", 3: "4", 4: "4", 5: "4", 6: "4", 7: "4", 8: "4"}) // gross 81, net 70
	enter("Dervla Gorsedale", "4", map[int]string{17: "p"})                                                          // no score on 18: NR
	v.reads(at + "/cards")
	require.Contains(t, v.words(), "NR, no return: hole 18 has no score")

	v.reads(at + "/close")
	require.Contains(t, v.words(), "1 card is still out")
	v.form(at + "/close").send()
	require.Equal(t, http.StatusConflict, v.status, "a card is out")
	v.form(at+"/close").set("missing_as", "1").set("reason", "not in the box at noon").ok()
	require.Contains(t, v.words(), "Provisional")
	require.Contains(t, v.words(), "Matching scorecards", "70 and 70 are matched")

	// Ailsa 10-18: 36 - 4/2 = 34; Bram: 45 - 11/2 = 39.5.
	require.Regexp(t, `1 Ailsa Machair .*34 against 79/2|1 Ailsa Machair .*34 against 39 ?½`, v.words())
	v.form(at + "/result").ok()
	require.Contains(t, v.words(), "It agrees with the cards")

	// Corin's card turns up: 90, net 74.
	corin := cards["Corin Seathrift"]
	v.reads(corin)
	v.form(corin+"/ruling").set("status", "in_play").set("reason", "it lay under the desk").ok()
	v.reads(corin)
	typeCard(v.form(corin), "5", nil).ok()
	v.reads(at + "/result")
	require.Contains(t, v.words(), "What a revision would change")
	require.Contains(t, v.words(), "Corin Seathrift NR gross 90, net 74")
	v.form(at + "/result/revision").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status, "a revision says why")
	v.form(at+"/result/revision").set("reason", "a card was overlooked").ok()
	require.Contains(t, v.words(), "revision 1: a card was overlooked")

	id := strings.TrimPrefix(at, "/desk/competitions/")
	s, _, err := m.commands.Competition(context.Background(), id)
	require.NoError(t, err)
	require.Equal(t, 1, s.Revision)
	byEntry := map[string]events.ResultRow{}
	for _, r := range s.Result.Rows {
		byEntry[r.EntryID] = r
	}
	net := map[string]int{}
	for _, r := range byEntry {
		if r.Net != nil {
			net[r.Positions["net"]] = *r.Net
		}
	}
	require.Equal(t, map[string]int{"1": 70, "2": 70, "3": 74}, net)
}
