package web_test

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/competition"
)

// clubByForm is a course and four players, and a competition whose terms come next.
func clubByForm(v *visitor) string {
	v.t.Helper()
	courseByForm(v)
	playersByForm(v)
	return planByForm(v)
}

// chosen shows the terms' fields for a choice, as the button does where there is no
// script.
func chosen(v *visitor, at string, choices ...string) *sheet {
	v.t.Helper()
	v.reads(at + "/terms")
	f := v.form(at+"/terms").set("preset", "1")
	for i := 0; i < len(choices); i += 2 {
		f.set(choices[i], choices[i+1])
	}
	f.send()
	require.Equal(v.t, http.StatusOK, v.status)
	return v.form(at + "/terms")
}

// state is the competition at an address of the console.
func (m *morning) stateAt(at string) *competition.State {
	m.t.Helper()
	s, _, err := m.commands.Competition(context.Background(), strings.TrimPrefix(at, "/desk/competitions/"))
	require.NoError(m.t, err)
	return s
}

// drawnFirst publishes the sheet that the first method gives and opens the round.
func drawnFirst(v *visitor, at string) {
	v.t.Helper()
	v.reads(at + "/draw")
	v.form(at + "/draw").send()
	require.Equal(v.t, http.StatusOK, v.status, v.words())
	v.form(at+"/draw", 1).ok()
	v.reads(at + "/open")
	v.form(at + "/open").ok()
}

// typeBall types a column of a card.
func typeBall(f *sheet, ball int, scores string) *sheet {
	for i, s := range strings.Fields(scores) {
		if s == "." {
			s = ""
		}
		name := fmt.Sprintf("scores[%d]", i)
		if ball > 0 {
			name = fmt.Sprintf("partners[%d][%d]", ball-1, i)
		}
		f.set(name, s)
	}
	return f
}

// TestAFourBallIsPlayedAtTheDesk takes pairs in, types their cards with both balls,
// and publishes the result.
func TestAFourBallIsPlayedAtTheDesk(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	at := clubByForm(v)
	f := chosen(v, at, "format", "stableford", "side", "four_ball")
	require.Equal(t, "85", f.values.Get("allowance_percent"), "as published for a four-ball in points")
	require.Contains(t, v.words(), "85% (Rules of Handicapping, Appendix C)")
	require.Equal(t, "4", f.values.Get("start.group_size"))
	f.ok()
	terms := m.stateAt(at).Terms
	require.Equal(t, []any{"stableford", "four_ball", 2, 85}, []any{terms.Format, terms.Side, terms.SideSize, terms.AllowancePercent})
	require.Equal(t, "Rules of Handicapping, Appendix C", terms.AllowanceSource)

	v.reads(at + "/entries")
	v.form(at+"/entries").set("player_id", "0101").set("partners[0].player_id", "0101").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Contains(t, v.words(), "The players of a side are different people")
	v.form(at+"/entries").set("partners[0].player_id", "Nobody").send()
	require.Contains(t, v.words(), `Nobody is called "Nobody"`)
	v.form(at+"/entries").set("partners[0].player_id", "0102").set("team_name", "Sandpipers").ok()
	v.reads(at + "/entries")
	v.form(at+"/entries").set("player_id", "0103").set("partners[0].player_id", "0104").ok()
	require.Contains(t, v.words(), "2 pairs")
	require.Contains(t, v.words(), "Side Mean index Division")
	require.Contains(t, m.visit().reads("/").words(), "2 pairs entered")
	require.Contains(t, v.words(), "Sandpipers Ailsa Machair 5.0, White Bram Oxeye 12.4, White")

	drawnFirst(v, at)
	cards := v.cardsByName(at)
	pipers := cards["Sandpipers: Ailsa Machair and Bram Oxeye"]
	require.NotEmpty(t, pipers, "%v", cards)
	v.reads(at + "/print")
	require.Len(t, all(v.page, "article"), 2, "one card a side")
	require.Contains(t, words(all(v.page, "article")[0]), "Bram Oxeye")

	v.reads(pipers)
	card := v.form(pipers)
	typeBall(card, 0, "4 4 4 4 4 4 4 4 4 4 4 4 4 4 4 4 4 .")
	typeBall(card, 1, ". . . . . . . . . . . . . . . . . 4")
	card.ok()
	require.Contains(t, v.words(), "Receipt")
	// 5.0: (5 - 0.7) x .85 = 3.655: 4 strokes, on indexes 1 to 4. 12.4: 11.7 x .85 = 9.945: 10, none on index 18.
	require.Contains(t, v.words(), "40 points", "17 pars with four strokes, then the partner's")
	v.reads(pipers)
	require.Contains(t, v.words(), "40 points 18 of 18 holes")

	other := cards["Corin Seathrift and Dervla Gorsedale"]
	v.reads(other)
	typeBall(v.form(other), 0, strings.Repeat("5 ", 18)).set("partners[0][3]", "0").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Contains(t, v.words(), `Dervla Gorsedale: "0" is not a score`)
	typeBall(v.form(other), 1, strings.Repeat("- ", 18)).ok()

	v.reads(at + "/close")
	v.form(at + "/close").ok()
	require.Contains(t, v.words(), "1 Sandpipers: Ailsa Machair and Bram Oxeye")
	v.form(at + "/result").ok()
	require.Equal(t, 40, *m.stateAt(at).Result.Rows[0].Points)

	// A handicap entered wrongly is put right after the close, with a reason.
	v.reads(at + "/entries/" + m.stateAt(at).Order[0])
	amend := at + "/entries/" + m.stateAt(at).Order[0]
	v.form(amend).set("partners[0].index_tenths", "22.4").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Contains(t, v.words(), "Say why an entry is changed after its round")
	v.form(amend).set("reason", "index misread").ok()
	k, err := m.commands.Card(context.Background(), strings.TrimPrefix(pipers, "/desk/cards/"))
	require.NoError(t, err)
	require.Equal(t, 224, k.State.BallFigures(1).IndexTenths)
	require.Equal(t, events.OriginClub, k.State.BallFigures(1).IndexOrigin)
	require.Equal(t, events.OriginOfficial, k.State.Figures.IndexOrigin, "the first player's index was not touched")
}

// TestAPartnerIsReplacedBeforeCardsAreOut changes one half of a foursomes pair, whose
// card then names both with their share.
func TestAPartnerIsReplacedBeforeCardsAreOut(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	at := clubByForm(v)
	f := chosen(v, at, "side", "greensomes")
	require.Equal(t, []string{"60", "40"}, []string{f.values.Get("side_allowances[0]"), f.values.Get("side_allowances[1]")})
	f.ok()
	terms := m.stateAt(at).Terms
	require.Equal(t, []int{60, 40}, terms.SideAllowances)
	require.Equal(t, 100, terms.AllowancePercent)
	v.reads(at + "/entries")
	v.form(at+"/entries").set("player_id", "0101").set("partners[0].player_id", "0102").ok()
	entry := at + "/entries/" + m.stateAt(at).Order[0]
	v.reads(entry)
	require.Equal(t, "Bram Oxeye (0102)", v.form(entry).values.Get("partners[0].player_id"))
	v.form(entry).set("partners[0].player_id", "0103").ok()
	e := m.stateAt(at).Field()[0]
	require.Equal(t, m.commands.PlayerID("0103"), e.Partners[0].PlayerID)
	require.Equal(t, 180, e.Partners[0].IndexTenths, "the new partner's own index")
	require.Equal(t, events.OriginOfficial, e.Partners[0].IndexOrigin)

	drawnFirst(v, at)
	card := v.cardsByName(at)["Ailsa Machair and Corin Seathrift"]
	v.reads(card)
	// 4.3 x .6 + 17.3 x .4 = 9.5: 10.
	require.Contains(t, v.words(), "playing handicap 10")
	require.Contains(t, v.words(), "Corin Seathrift White tee, index 18.0, 40%")
	typeCard(v.form(card), "5", nil).ok()
	require.Contains(t, v.words(), "gross 90, net 80")
}

// TestFieldsThatDoNotApplyAreHidden looks at the terms for what is chosen.
func TestFieldsThatDoNotApplyAreHidden(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	at := clubByForm(v)
	shown := func(name string) bool {
		t.Helper()
		for _, tag := range []string{"input", "select"} {
			for _, n := range all(v.page, tag) {
				if attr(n, "name") != name {
					continue
				}
				for ; n != nil; n = n.Parent {
					if has(n, "hidden") {
						return false
					}
				}
				return true
			}
		}
		require.Fail(t, "no such field", name)
		return false
	}
	for _, c := range []struct {
		choices      []string
		there, hides string
	}{
		{[]string{"format", "stroke_play"}, "allowance_percent tie_share prizes[0].name", "side_allowances[0] maximum.kind count match.bracket cut.after_round"},
		{[]string{"format", "maximum_score", "maximum.kind", "strokes"}, "maximum.kind maximum.strokes", "tie_share"},
		{[]string{"side", "scramble", "side_size", "3"}, "side_allowances[0] side_allowances[2] side_size", "side_allowances[3] allowance_percent"},
		{[]string{"side", "best_of", "side_size", "4"}, "count count_by side_size", "side_allowances[0] tie_share"},
		{[]string{"format", "match"}, "match.bracket match.full_net match.length", "rounds prizes[0].name divisions[0].name tie_method"},
		{[]string{"format", "match", "match.bracket", "single"}, "rounds", "per_round[0].date"},
		{[]string{"rounds", "3"}, "cut.after_round per_round[2].date", "per_round[3].date cut.places"},
	} {
		chosen(v, at, c.choices...)
		for _, name := range strings.Fields(c.there) {
			require.True(t, shown(name), "%v shows %s", c.choices, name)
		}
		for _, name := range strings.Fields(c.hides) {
			require.False(t, shown(name), "%v hides %s", c.choices, name)
		}
	}
}

// TestTeamsAreStatedInFull states a team's terms that one number cannot say, and
// what is wrong with them stands at the field.
func TestTeamsAreStatedInFull(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	at := clubByForm(v)
	f := chosen(v, at, "side", "best_of", "side_size", "3", "count", "5")
	f.send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Contains(t, v.words(), "5 lies outside 1 to 2")
	v.form(at+"/terms").set("count", "two").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Contains(t, v.words(), `"two" are not whole numbers`)
	v.form(at+"/terms").set("count", strings.Repeat("1 2 ", 9)).set("tie_windows", "hole_by_hole").set("tie_holes", "by_play").set("tie_then", "lot").ok()
	terms := m.stateAt(at).Terms
	require.Len(t, terms.Count, 18)
	require.Equal(t, []string{"hole_by_hole", "by_play", "lot", "as_allocated"}, []string{terms.TieWindows, terms.TieHoles, terms.TieThen, terms.TieShare})
	v.reads(at + "/terms")
	require.Equal(t, strings.TrimSpace(strings.Repeat("1 2 ", 9)), v.form(at+"/terms").values.Get("count"))
	before := m.length()
	v.form(at + "/terms").ok()
	require.Equal(t, before, m.length(), "the form says what the terms say")
}
