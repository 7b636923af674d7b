package web_test

import (
	"context"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/events"
)

// length is how many events the log holds.
func (m *morning) length() events.Position {
	m.t.Helper()
	last, _, err := m.log.Last(context.Background())
	require.NoError(m.t, err)
	return last
}

// twice sends a form, and once more as it is.
func (m *morning) twice(s *sheet) {
	m.t.Helper()
	s.ok()
	first, before := s.v.at, m.length()
	s.ok()
	require.Equal(m.t, before, m.length(), "%s stored something twice", s.action)
	require.Equal(m.t, first, s.v.at)
}

// TestAFormSentTwiceHasOneEffect presses every kind of button twice.
func TestAFormSentTwiceHasOneEffect(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	twice := m.twice
	v.reads("/desk/players")
	twice(v.form("/desk/players", 1).set("member_no", "0107").set("name", "Zoë Ravensdale").set("handicap_index", "5"))
	courseByForm(v)
	v.reads("/desk/competitions/new")
	twice(v.form("/desk/competitions/new").set("name", "Saturday Medal").set("date", "2025-06-14"))
	at := strings.TrimSuffix(strings.Split(v.at, "?")[0], "/terms")
	twice(v.form(at + "/terms"))
	v.reads(at + "/entries")
	twice(v.form(at+"/entries").set("player_id", "zoe ravensdale"))
	v.reads(at + "/draw?method=random&seed=5")
	twice(v.form(at+"/draw", 1))
	v.reads(at + "/open")
	twice(v.form(at + "/open"))
	card := v.cardsByName(at)["Zoë Ravensdale"]
	v.reads(card)
	twice(v.form(card+"/ruling").set("status", "RTD").set("reason", "ill"))
	v.reads(card)
	twice(v.form(card+"/ruling").set("status", "in_play").set("reason", "better"))
	v.reads(card)
	twice(typeCard(v.form(card), "5", nil))
	v.reads(card)
	twice(v.form(card+"/reopening").set("reason", "a hole was misread"))
	v.reads(card)
	twice(typeCard(v.form(card), "5", map[int]string{3: "6"}))
	v.reads(at + "/close")
	twice(v.form(at + "/close"))
	twice(v.form(at + "/result"))
}

// TestAUsedFormWithSomethingElseInItIsAskedBack goes back in the browser and sends
// the same form with another value.
func TestAUsedFormWithSomethingElseInItIsAskedBack(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	courseByForm(v)
	at := planByForm(v)
	f := v.form(at + "/terms")
	f.ok()
	f.set("allowance_percent", "85").send()
	require.Equal(t, http.StatusConflict, v.status)
	require.Contains(t, v.words(), "This form was sent before")
	require.Contains(t, v.words(), "Stands now: 95")
	again := v.form(at + "/terms")
	require.Equal(t, "85", again.values.Get("allowance_percent"))
	again.ok()
}

// TestSomebodyElseWasQuicker changes terms and card behind a page that is open.
func TestSomebodyElseWasQuicker(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	v := secretary(t, m)
	at := "/desk/competitions/" + m.competition
	ctx := context.Background()

	v.reads(at + "/terms")
	mine := v.form(at+"/terms").set("allowance_percent", "85")
	s, _, err := m.commands.Competition(ctx, m.competition)
	require.NoError(t, err)
	other := *s.Terms
	other.AllowancePercent, other.FieldLimit = 100, 60
	_, err = m.commands.SetTerms(ctx, by(), m.competition, other)
	require.NoError(t, err)
	mine.send()
	require.Equal(t, http.StatusPreconditionFailed, v.status)
	require.Contains(t, v.words(), "Changed since you looked")
	require.Contains(t, v.words(), "Stands now: 100")
	require.Contains(t, v.words(), "Stands now: 60")
	again := v.form(at + "/terms")
	require.Equal(t, "85", again.values.Get("allowance_percent"), "what was typed stays")
	again.ok()

	m.open()
	card := "/desk/cards/" + m.card(0)
	v.reads(card)
	paper := typeCard(v.form(card), "4", nil)
	six := 6
	_, err = m.commands.EnterScore(ctx, as(events.RolePlayer, m.card(0)), m.card(0), command.EnterScore{Hole: 2, Strokes: &six})
	require.NoError(t, err)
	paper.send()
	require.Equal(t, http.StatusPreconditionFailed, v.status)
	require.Contains(t, v.words(), "Stands now: 6")
	require.Equal(t, "4", v.form(card).values.Get("scores[1]"))
	v.form(card).ok()

	// A card corrected behind the result that is about to be published.
	for i := 1; i < 3; i++ {
		v.reads("/desk/cards/" + m.card(i))
		typeCard(v.form("/desk/cards/"+m.card(i)), "5", nil).ok()
	}
	v.reads(at + "/close")
	v.form(at + "/close").ok()
	publish := v.form(at + "/result")
	_, err = m.commands.EnterScore(ctx, by(), m.card(1), command.EnterScore{Hole: 2, Strokes: &six, Reason: "misread"})
	require.NoError(t, err)
	publish.send()
	require.Equal(t, http.StatusPreconditionFailed, v.status, "nobody publishes what was never looked at")
	v.form(at + "/result").ok()
}

// TestStoppingPlayNeverWaitsForAVersion suspends from a page that is long out of
// date.
func TestStoppingPlayNeverWaitsForAVersion(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	v := secretary(t, m)
	m.open()
	at := "/desk/competitions/" + m.competition
	v.reads(at + "/open")
	stop := v.form(at+"/suspension").set("reason", "lightning near the course")
	_, err := m.commands.Suspend(context.Background(), by(), m.competition, "normal", "dark")
	require.NoError(t, err)
	stop.ok()
	require.Contains(t, v.words(), "at once, for danger")
	v.form(at + "/resumption").ok()
	require.Contains(t, v.words(), "The round is open")
}

// TestFormsOfSidesAndMatchesSentTwiceHaveOneEffect presses the buttons that pairs,
// penalties, holes taken out, and matches have.
func TestFormsOfSidesAndMatchesSentTwiceHaveOneEffect(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	at := clubByForm(v)
	m.twice(chosen(v, at, "side", "four_ball"))
	for _, pair := range [][2]string{{"0101", "0102"}, {"0103", "0104"}} {
		v.reads(at + "/entries")
		m.twice(v.form(at+"/entries").set("player_id", pair[0]).set("partners[0].player_id", pair[1]).set("team_name", hostile[:40]))
	}
	require.Empty(t, all(v.page, "img"), "a side's name stays text")
	entry := at + "/entries/" + m.stateAt(at).Order[0]
	v.reads(entry)
	m.twice(v.form(entry).set("team_name", "Knots").set("partners[0].index_tenths", "13.0"))
	drawnFirst(v, at)
	card := v.cardsByName(at)["Knots: Ailsa Machair and Bram Oxeye"]
	v.reads(card)
	m.twice(typeBall(typeCard(v.form(card), "4", nil), 1, "5 5"))
	v.reads(card)
	m.twice(v.form(card+"/penalties").set("ball", "1").set("hole", "1").set("reason", "wrong place"))
	m.twice(v.form(card+"/penalties/removal").set("reason", "it was right"))
	m.twice(v.form(card+"/wrong-score").set("ball", "1").set("hole", "2").set("actual", "7").set("unknown_penalty", "2").set("reason", "found out").set("step", "rule"))
	v.reads(at + "/conditions")
	m.twice(v.form(at+"/exclusions").set("hole", "9").set("reason", "flooded"))
	m.twice(v.form(at+"/exclusions/lifting").set("reason", "it was playable"))
	m.twice(v.form(at+"/conditions").set("adjustment", "1").set("source", "the association"))

	at = planByForm(v)
	chosen(v, at, "format", "match").ok()
	for _, no := range []string{"0101", "0102"} {
		v.reads(at + "/entries")
		v.form(at+"/entries").set("player_id", no).ok()
	}
	drawnFirst(v, at)
	x := v.matchAddresses(at)[0]
	v.reads(x)
	m.twice(v.form(x+"/holes").set("a[0]", "4").set("b[0]", "6"))
	m.twice(v.form(x+"/holes/concession").set("side", "A"))
	m.twice(v.form(x+"/holes/removal").set("reason", "a slip"))
	m.twice(v.form(x+"/result").set("winner", "A").set("text", "3 and 2"))
	m.twice(v.form(x+"/reopening").set("reason", "told wrongly"))
	m.twice(v.form(x+"/concession").set("side", "B"))
	m.twice(v.form(x+"/ruling").set("ruling", "disqualified").set("winner", "B").set("reason", "a wrong card"))
	m.twice(v.form(x+"/ruling").set("ruling", "lifted").set("reason", "heard"))

	// Somebody else was quicker.
	v.reads(x)
	mine := v.form(x+"/reopening").set("reason", "told wrongly")
	v.form(x+"/ruling").set("ruling", "awarded").set("winner", "A").set("reason", "heard again").ok()
	mine.send()
	require.Equal(t, http.StatusPreconditionFailed, v.status)
	require.Equal(t, "told wrongly", v.form(x+"/reopening").values.Get("reason"))
}
