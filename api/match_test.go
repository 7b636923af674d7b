package api_test

import (
	"fmt"
	"net/http"
	"testing"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/events"
	"marram.example/projections/board"
)

func hole(number, a, b int) map[string]any {
	return map[string]any{"number": number, "a": []any{map[string]any{"strokes": a}}, "b": []any{map[string]any{"strokes": b}}}
}

// Who may do what with a match: nobody, the link of side A, of side B, of another
// match, the committee. y is let through, n refused.
func TestOneMatch(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenMatches(t, c, func(terms *events.Terms) { terms.BoardPublic = false })
	askers := []*apitest.Client{
		s.Anonymous(), s.Bearer(m.Links[m.Sides[0][0]]), s.Bearer(m.Links[m.Sides[0][1]]), s.Bearer(m.Links[m.Sides[1][0]]), c,
	}
	match := "/matches/" + m.IDs[0]
	for _, k := range []struct {
		method, path, want string
		body               any
	}{
		{http.MethodGet, match, "nyyyy", nil}, // a card or match of the competition lets everybody of it watch
		{http.MethodGet, "/competitions/" + m.Competition + "/matches", "nyyyy", nil},
		{http.MethodPost, match + "/holes", "nyyny", hole(1, 4, 5)},
		{http.MethodPost, match + "/holes/removal", "nyyny", map[string]any{"number": 1, "reason": "a slip"}},
		{http.MethodPost, match + "/concessions/hole", "nyyny", map[string]any{"number": 40}},
		{http.MethodPost, match + "/result", "nyyny", map[string]any{"winner": "A", "text": "no such result"}},
		{http.MethodPost, match + "/ruling", "nnnny", map[string]any{"ruling": "lifted", "reason": "none"}},
		{http.MethodPost, match + "/reopening", "nnnny", map[string]any{"reason": "none"}},
		{http.MethodPost, match + "/links/" + m.Sides[0][0], "nnnny", nil},
		{http.MethodPost, match + "/concessions/match", "nyyny", nil},
	} {
		for i, asker := range askers {
			before := s.Position(t)
			a := asker.Do(t, k.method, k.path, k.body, apitest.Bad())
			if k.want[i] == 'y' {
				require.NotContains(t, []int{http.StatusForbidden, http.StatusUnauthorized}, a.Status, "%s %s for asker %d: %s", k.method, k.path, i, a.Body)
				continue
			}
			refusal := http.StatusForbidden
			if i == 0 {
				refusal = http.StatusUnauthorized
			}
			require.Equal(t, refusal, a.Status, "%s %s for asker %d: %s", k.method, k.path, i, a.Body)
			require.Equal(t, before, s.Position(t))
		}
	}
}

// A handicap entered wrongly moves the strokes of a match until a hole is played.
func TestAmendedEntryMovesStrokesBeforePlay(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenMatches(t, c)
	entry := m.Sides[0][1]
	strokes := func() []int {
		var k api.Match
		c.Get(t, "/matches/"+m.IDs[0]).Must(t, http.StatusOK).JSON(t, &k)
		return []int{k.A.Balls[0].Received, k.B.Balls[0].Received}
	}
	before := strokes()
	amend := map[string]any{"index_tenths": 400, "reason": "the index was mistyped"}
	c.Do(t, http.MethodPatch, "/competitions/"+m.Competition+"/entries/"+entry, amend).Must(t, http.StatusOK)
	after := strokes()
	require.Zero(t, after[0])
	require.Greater(t, after[1], max(before[0], before[1]), "the higher handicap receives the difference")

	c.Post(t, "/matches/"+m.IDs[0]+"/holes", hole(1, 4, 5)).Must(t, http.StatusCreated)
	amend["index_tenths"] = 100
	c.Do(t, http.MethodPatch, "/competitions/"+m.Competition+"/entries/"+entry, amend).Must(t, http.StatusOK)
	require.Equal(t, after, strokes(), "strokes that were taken stand")
}

// A side writes for itself, whatever it says of the other one.
func TestASideConcedesForItself(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenMatches(t, c)
	a, match := s.Bearer(m.Links[m.Sides[0][0]]), "/matches/"+m.IDs[0]
	before := s.Position(t)
	p := a.Post(t, match+"/concessions/hole", map[string]any{"number": 1, "side": "B"}).Problem(t)
	require.Equal(t, "side", p.Field, p.Detail)
	require.Equal(t, before, s.Position(t))
	a.Post(t, match+"/concessions/hole", map[string]any{"number": 1}).Must(t, http.StatusOK)
	var got api.Match
	a.Get(t, match).Must(t, http.StatusOK).JSON(t, &got)
	require.Equal(t, events.SideA, got.Holes[0].Conceded)
	require.Equal(t, events.SideB, got.Holes[0].Counting.Winner)
	require.Equal(t, []any{"player", "A", -1}, []any{got.YourRole, got.YourSide, got.Standing.Lead})
	require.Len(t, got.A.Balls[0].Holes, 18)
	require.Len(t, got.A.Balls[0].Players, 1)
}

// Both sides write; where they name different winners it is told, and both have to
// stand for the result. A repeat of a request has one effect.
func TestTwoWords(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenMatches(t, c)
	match := "/matches/" + m.IDs[0]
	a, b := s.Bearer(m.Links[m.Sides[0][0]]), s.Bearer(m.Links[m.Sides[0][1]])
	key := apitest.Key(uuid.NewString())
	first := a.Post(t, match+"/holes", hole(1, 9, 3), key).Must(t, http.StatusCreated)
	again := a.Post(t, match+"/holes", hole(1, 9, 3), key).Must(t, http.StatusCreated)
	require.Equal(t, first.Body, again.Body)
	require.Equal(t, "true", again.Header.Get(api.HeaderRepeat))
	require.Equal(t, "/api/v1"+match, first.Header.Get("Location"))
	b.Post(t, match+"/holes", hole(1, 3, 9)).Must(t, http.StatusCreated)
	var got api.Match
	s.Anonymous().Get(t, match).Must(t, http.StatusOK).JSON(t, &got)
	require.Equal(t, []int{1}, got.Differences)
	require.True(t, got.Holes[0].Differs)
	require.Equal(t, "B", got.Holes[0].A.Winner)
	require.Equal(t, "A", got.Holes[0].B.Winner)
	require.Equal(t, "B", got.Holes[0].Counting.Winner, "the first word, until somebody settles it")
	require.Empty(t, got.YourRole)
	c.Post(t, match+"/holes", map[string]any{"number": 1, "winner": "tied", "reason": "both asked"}).Must(t, http.StatusCreated)
	for n := 2; n <= 10; n++ {
		a.Post(t, match+"/holes", hole(n, 2, 9)).Must(t, http.StatusCreated)
	}
	a.Get(t, match).JSON(t, &got)
	require.Empty(t, got.Differences)
	require.True(t, got.Standing.Over)
	require.Equal(t, "9 and 8", got.Standing.Text)
	require.Nil(t, got.Outcome, "nobody has stood for it yet")
	a.Post(t, match+"/result", nil).Must(t, http.StatusOK)
	b.Post(t, match+"/result", map[string]any{"winner": "A", "text": "5 and 4"}).Must(t, http.StatusConflict)
	b.Post(t, match+"/result", map[string]any{"winner": "A", "text": "9 and 8"}).Must(t, http.StatusOK)
	a.Get(t, match).JSON(t, &got)
	require.Equal(t, "9 and 8", got.Outcome.Text)
	require.Len(t, got.Holes, 10)
	last := got.Explanation[len(got.Explanation)-1].Arithmetic
	require.Contains(t, last, "9 and 8")
}

// What the committee wrote about a match is not everybody's business.
func TestWhatIsPublicOfAMatch(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenMatches(t, c, func(terms *events.Terms) { terms.NamesAs = "initials" })
	match := "/matches/" + m.IDs[0]
	w := c.Post(t, match+"/ruling", map[string]any{"ruling": "default", "winner": "A", "up": 1, "reason": "a private matter"}).Must(t, http.StatusOK).Written(t)
	seen := fmt.Sprintf("?min_sequence=%d", w.Position)
	for _, path := range []string{match, "/competitions/" + m.Competition + "/matches", "/competitions/" + m.Competition + "/draw"} {
		body := string(s.Anonymous().Get(t, path+seen).Must(t, http.StatusOK).Body)
		require.NotContains(t, body, "private")
		require.NotContains(t, body, "Krammer")
		require.Contains(t, body, "I. S.")
	}
	require.Contains(t, string(c.Get(t, match+seen).Body), "a private matter")
	require.Contains(t, string(s.Bearer(m.Links[m.Sides[0][1]]).Get(t, match+seen).Body), "a private matter")
	var got api.Match
	s.Anonymous().Get(t, match+seen).JSON(t, &got)
	require.Equal(t, "default", got.Ruling.Ruling)
	require.Equal(t, "A", got.Outcome.Winner)
	c.Post(t, match+"/reopening", map[string]any{"reason": "a private matter"}).Must(t, http.StatusOK)
	s.Anonymous().Get(t, match).JSON(t, &got)
	require.Empty(t, got.ReopenedReason)
}

// A knockout to its end through the API: each round from the winners of the last.
func TestKnockout(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenMatches(t, c)
	comp := "/competitions/" + m.Competition
	require.Equal(t, "matches_out", c.Post(t, comp+"/round/closing", nil).Must(t, http.StatusConflict).Problem(t).Code)
	for _, id := range m.IDs {
		c.Post(t, "/matches/"+id+"/result", map[string]any{"winner": "A", "text": "3 and 2"}).Must(t, http.StatusOK)
	}
	c.Post(t, comp+"/round/closing", nil).Must(t, http.StatusOK)
	var k api.Competition
	c.Get(t, comp).JSON(t, &k)
	require.EqualValues(t, "between", k.Phase)
	require.Equal(t, []int{1, 2}, []int{k.Round, k.Rounds})
	p := s.Bearer(m.Links[m.Sides[0][0]]).Post(t, "/matches/"+m.IDs[0]+"/holes", hole(1, 4, 4)).Must(t, http.StatusConflict).Problem(t)
	require.Equal(t, "round_closed", p.Code)
	c.Post(t, comp+"/draw", map[string]any{"method": "seeded"}).Must(t, http.StatusCreated)
	c.Post(t, comp+"/round/opening", nil).Must(t, http.StatusOK)
	var final api.Page[api.MatchLine]
	c.Get(t, comp+"/matches?round=2").Must(t, http.StatusOK).JSON(t, &final)
	require.Len(t, final.Items, 1)
	require.Equal(t, []string{m.Sides[0][0], m.Sides[1][0]}, []string{final.Items[0].A.EntryID, final.Items[0].B.EntryID})
	c.Post(t, "/matches/"+final.Items[0].MatchID+"/result", map[string]any{"winner": "B", "text": "at the 19th"}).Must(t, http.StatusOK)
	c.Post(t, comp+"/round/closing", nil).Must(t, http.StatusOK)
	w := c.Post(t, comp+"/result", nil).Must(t, http.StatusCreated).Written(t)
	var res api.Result
	s.Anonymous().Get(t, fmt.Sprintf("%s/result?min_sequence=%d", comp, w.Position)).Must(t, http.StatusOK).JSON(t, &res)
	require.Equal(t, m.Sides[1][0], res.Rows[0].EntryID)
	require.Equal(t, "1", res.Rows[0].Positions["match"])
	require.Len(t, res.Matches, 3)
	require.Equal(t, []int{1, 1, 2}, []int{res.Matches[0].Round, res.Matches[1].Round, res.Matches[2].Round})
	var sheet, first api.Draw
	c.Get(t, comp+"/draw").JSON(t, &sheet)
	c.Get(t, comp+"/draw?round=1").JSON(t, &first)
	require.Equal(t, []int{2, 1, 1, 2}, []int{sheet.Round, len(sheet.Groups), first.Round, len(first.Groups)})
	require.Equal(t, m.IDs[0], first.Groups[0].MatchID)
	table := csvOf(t, c.Get(t, fmt.Sprintf("%s/result.csv?min_sequence=%d", comp, w.Position)).Must(t, http.StatusOK).Body)
	require.Len(t, table, 3)
	require.Equal(t, "at the 19th", table[2]["result"])
	require.Equal(t, table[2]["side_b"], table[2]["winner"])
	var b struct{ Bracket string }
	s.Anonymous().Get(t, comp+"/board").Must(t, http.StatusOK).JSON(t, &b)
	require.Equal(t, "knockout", b.Bracket)
}

// A match that the committee decides otherwise after its round counts so in table,
// board and result; one of which both sides are ruled out brings nobody a point.
func TestAMatchDecidedOtherwiseLater(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenMatches(t, c, func(terms *events.Terms) { terms.Match.Bracket = "round_robin" })
	comp := "/competitions/" + m.Competition
	rule := func(match, ruling, winner string) {
		c.Post(t, "/matches/"+match+"/ruling", map[string]any{"ruling": ruling, "winner": winner, "reason": "the committee's"}).
			Must(t, http.StatusOK)
	}
	rule(m.IDs[0], "awarded", "A") // no holes credited
	rule(m.IDs[1], "disqualified", "none")
	c.Post(t, comp+"/round/closing", nil).Must(t, http.StatusOK)
	points := func(rows []events.TableRow) map[string]int {
		out := map[string]int{}
		for _, r := range rows {
			out[r.EntryID] = r.HalfPoints
		}
		return out
	}
	stands := func() map[string]int {
		var res api.Result
		c.Get(t, comp+"/result").Must(t, http.StatusOK).JSON(t, &res)
		var b board.Board
		c.Get(t, fmt.Sprintf("%s/board?min_sequence=%d", comp, s.Position(t))).Must(t, http.StatusOK).JSON(t, &b)
		require.Empty(t, b.Fault)
		require.Equal(t, points(res.Table), points(b.Table))
		return points(res.Table)
	}
	want := map[string]int{m.Sides[0][0]: 2, m.Sides[0][1]: 0, m.Sides[1][0]: 0, m.Sides[1][1]: 0}
	require.Equal(t, want, stands())
	c.Post(t, comp+"/draw", map[string]any{"method": "round_robin"}).Must(t, http.StatusCreated)
	c.Post(t, comp+"/round/opening", nil).Must(t, http.StatusOK)
	rule(m.IDs[0], "awarded", "B")
	want[m.Sides[0][0]], want[m.Sides[0][1]] = 0, 2
	require.Equal(t, want, stands())
}
