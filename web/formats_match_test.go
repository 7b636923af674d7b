package web_test

import (
	"context"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/events/match"
)

func holeOut(hole int, reason string) command.HoleOut {
	return command.HoleOut{Hole: hole, Reason: reason}
}

// duel is one match of two players, opened, and its id.
func duel(t *testing.T, change ...func(*events.Terms)) (*morning, string) {
	t.Helper()
	m := contest(t, 2, func(terms *events.Terms) {
		matchPlay(competition.Knockout)(terms)
		for _, c := range change {
			c(terms)
		}
	})
	m.draw("seeded")
	m.open()
	return m, command.MatchID(m.competition, 1, 1)
}

func (m *morning) matchState(id string) *match.State {
	m.t.Helper()
	v, err := m.commands.Match(context.Background(), id)
	require.NoError(m.t, err)
	return v.State
}

// says presses a button of the form that has it.
func (v *visitor) says(action, name, value string) *visitor {
	v.t.Helper()
	v.form(action).set(name, value).send()
	require.Equal(v.t, http.StatusOK, v.status, v.words())
	return v
}

func TestMatchLinkOpensOneMatchForOneSide(t *testing.T) {
	t.Parallel()
	m, id := duel(t)
	at := "/matches/" + id
	s := m.matchState(id).Arranged
	a, b := m.holderOfMatch(id, s.A.EntryID), m.holderOfMatch(id, s.B.EntryID)
	assert.Equal(t, at, a.at, "the secret leaves the address")
	a.wellMade()
	assert.Contains(t, a.words(), "all square")
	a.says(at+"/holes", "winner", "A")
	assert.Contains(t, a.words(), "1 up")
	b.reads(at)
	assert.Contains(t, b.words(), "1 down")
	assert.Contains(t, b.words(), "Hole 2 Par", "one side has entered hole 1: the next one is played")
	b.reads(at + "?hole=1")
	assert.Contains(t, b.words(), "said they won", "what the other side said can be looked at")
	b.says(at+"/holes", "winner", "A")
	assert.Contains(t, b.words(), "Hole 2 Par")
	stranger := m.visit().reads(at)
	stranger.wellMade()
	assert.Empty(t, all(all(stranger.page, "main")[0], "form"))
	assert.Contains(t, stranger.words(), "leads.")
	(&sheet{v: stranger, action: at + "/holes", method: "post", values: map[string][]string{"key": {"0123456789"}, "number": {"2"}, "winner": {"A"}}}).send()
	assert.Equal(t, http.StatusUnauthorized, stranger.status)
	assert.Len(t, m.matchState(id).Holes, 1)
}

// TestMatchPhoneShowsTheHoleThatIsPlayed looks at the phone of a side that leaves the
// entering to the other: it must not offer a hole long played for the one of now.
func TestMatchPhoneShowsTheHoleThatIsPlayed(t *testing.T) {
	t.Parallel()
	m, id := duel(t)
	at := "/matches/" + id
	s := m.matchState(id).Arranged
	a, b := m.holderOfMatch(id, s.A.EntryID), m.holderOfMatch(id, s.B.EntryID)
	for range 17 {
		a.says(at+"/holes", "winner", "tied")
	}
	b.reads(at)
	assert.Contains(t, b.words(), "Hole 18 Par")
	b.says(at+"/holes", "winner", "tied")
	assert.Contains(t, b.words(), "Extra hole, Hole 1 Par")
	a.reads(at)
	assert.Contains(t, a.words(), "Extra hole, Hole 1 Par")
	a.says(at+"/holes", "winner", "B")
	assert.Contains(t, a.words(), "Undo extra hole 1")
	for _, v := range []*visitor{a.reads(at), b.reads(at)} {
		v.wellMade()
		assert.Contains(t, v.words(), "The match is over")
		assert.Empty(t, byClass(v.page, "who-won"), "no hole is left to be played")
	}
	assert.Empty(t, m.matchState(id).Differences())
}

func TestMatchIsEnteredByScoresOrWinner(t *testing.T) {
	t.Parallel()
	m, id := duel(t)
	at := "/matches/" + id
	v := m.holderOfMatch(id, m.matchState(id).Arranged.A.EntryID)
	ra, rb := m.matchState(id).Received(events.SideA, 1), m.matchState(id).Received(events.SideB, 1)
	v.form(at+"/holes", 1).set("A0", "4").set("B0", "6").set("B0_conceded", "1").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	l := m.matchState(id).Holes[0]
	want := events.SideA
	if 4-ra[0] >= 6-rb[0] {
		want = events.Tied
	}
	assert.Equal(t, want, l.A.Winner)
	assert.True(t, l.A.B[0].Conceded)
	v.form(at+"/holes", 1).set("A0", "4").set("A0_many", "four").send()
	assert.Equal(t, http.StatusUnprocessableEntity, v.status)
	v.wellMade()
	v.reads(at).form(at+"/holes", 1).send()
	assert.Equal(t, http.StatusUnprocessableEntity, v.status, "nothing is said")
	v.reads(at).form(at+"/holes").set("winner", "C").send()
	assert.Equal(t, http.StatusUnprocessableEntity, v.status)
	v.reads(at).form(at+"/holes").set("number", "9").set("winner", "A").send()
	assert.Equal(t, http.StatusConflict, v.status, "holes are entered in order")
	assert.Len(t, m.matchState(id).Holes, 1)
	var undo *sheet
	v.reads(at)
	for _, n := range all(v.page, "form") {
		if b := all(n, "button"); len(b) == 1 && attr(b[0], "name") == "undo" {
			undo = v.fieldsOf(n)
		}
	}
	require.NotNil(t, undo)
	undo.set("undo", "1").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	assert.Empty(t, m.matchState(id).Holes)
}

func TestSidesThatDifferSettleIt(t *testing.T) {
	t.Parallel()
	m, id := duel(t)
	at := "/matches/" + id
	s := m.matchState(id).Arranged
	a, b := m.holderOfMatch(id, s.A.EntryID), m.holderOfMatch(id, s.B.EntryID)
	a.says(at+"/holes", "winner", "A")
	b.says(at+"/holes", "winner", "tied")
	assert.Contains(t, b.words(), "The sides differ")
	a.reads(at)
	a.wellMade()
	assert.Contains(t, a.words(), "The sides differ")
	v := m.visit().reads(boardAt(m))
	assert.Contains(t, v.words(), "The sides differ on hole 1")
	a.form(at + "/holes").send() // they are right
	require.Equal(t, http.StatusOK, a.status, a.words())
	assert.Empty(t, m.matchState(id).Differences())
	assert.NotContains(t, a.words(), "The sides differ")
}

func TestMatchGoesToExtraHolesAndBothAgree(t *testing.T) {
	t.Parallel()
	m, id := duel(t)
	at := "/matches/" + id
	s := m.matchState(id).Arranged
	m.matchHoles(id, "A----------------B")
	a, b := m.holderOfMatch(id, s.A.EntryID), m.holderOfMatch(id, s.B.EntryID)
	assert.Contains(t, a.words(), "Extra hole")
	assert.Contains(t, a.words(), "the next hole won wins the match")
	a.says(at+"/holes", "winner", "B")
	assert.Contains(t, a.words(), "at the 19th")
	a.form(at + "/result").send()
	require.Equal(t, http.StatusOK, a.status, a.words())
	assert.Contains(t, a.words(), "You stand for at the 19th")
	b.reads(at)
	assert.Contains(t, b.words(), "You win.")
	b.form(at + "/result").send()
	require.Equal(t, http.StatusOK, b.status, b.words())
	o, over := m.matchState(id).Outcome()
	require.True(t, over)
	assert.Equal(t, events.SideB, o.Winner)
	b.wellMade()
	assert.Empty(t, all(all(b.page, "main")[0], "form"), "a decided match is only to be read")
}

func TestConcessionsAreFinalAndAskedTwice(t *testing.T) {
	t.Parallel()
	m, id := duel(t)
	at := "/matches/" + id
	s := m.matchState(id).Arranged
	b := m.holderOfMatch(id, s.B.EntryID)
	b.form(at+"/concession").set("what", "hole").send()
	require.Equal(t, http.StatusOK, b.status, b.words())
	assert.Equal(t, events.SideB, m.matchState(id).Holes[0].Conceded)
	b.form(at+"/concession", 1).set("what", "match").send()
	assert.Equal(t, http.StatusUnprocessableEntity, b.status)
	assert.Contains(t, b.words(), "a concession is final")
	b.reads(at).form(at+"/concession", 1).set("what", "match").set("sure", "1").send()
	require.Equal(t, http.StatusOK, b.status, b.words())
	o, over := m.matchState(id).Outcome()
	require.True(t, over)
	assert.Equal(t, events.SideA, o.Winner)
	assert.Contains(t, b.words(), "conceded")
}

func TestOnlyTheResultMayBeTold(t *testing.T) {
	t.Parallel()
	m, id := duel(t)
	at := "/matches/" + id
	s := m.matchState(id).Arranged
	for _, entry := range []string{s.A.EntryID, s.B.EntryID} {
		v := m.holderOfMatch(id, entry)
		v.form(at+"/result").set("winner", "A").set("text", "3 and 2").send()
		require.Equal(t, http.StatusOK, v.status, v.words())
	}
	o, over := m.matchState(id).Outcome()
	require.True(t, over)
	assert.Equal(t, "3 and 2", o.Text)
	v := m.visit().reads(boardAt(m))
	assert.Contains(t, v.words(), "3 and 2")
}

func TestFourBallMatchShowsEveryBallsStrokes(t *testing.T) {
	t.Parallel()
	m, id := duel(t, func(t *events.Terms) {
		t.Side, t.SideSize, t.AllowancePercent, t.Start.GroupSize = events.SideFourBall, 2, 90, 4
	})
	at := "/matches/" + id
	v := m.holderOfMatch(id, m.matchState(id).Arranged.A.EntryID)
	v.wellMade()
	assert.Len(t, byClass(v.page, "chips"), 4)
	v.form(at+"/holes", 1).set("A0", "picked_up").set("A1", "4").set("B0", "6").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	l := m.matchState(id).Holes[0]
	assert.Len(t, l.A.A, 2)
	assert.False(t, l.A.B[1].Entered(), "a partner's ball may be left blank")
	assert.Equal(t, http.StatusNotFound, m.visit().open("/matches/none").status)
}
