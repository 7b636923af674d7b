package api_test

import (
	"context"
	"net/http"
	"strconv"
	"strings"
	"testing"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/api/command"
	"marram.example/events"
)

// reviewed is a medal on whose first card the player logged strokes, with everybody
// who could ask for them.
type reviewed struct {
	apitest.Morning
	server *apitest.Server
	side   apitest.Morning // another competition, where the same player has a partner

	committee *apitest.Client
	player    *apitest.Client
	askers    []*apitest.Client // in the order of askerNames
	share     string            // of the first player's coach
	note      string            // that this coach wrote
	stroke    string            // that the player logged
}

func askerNames() []string {
	return []string{
		"nobody", "player of another card", "marker of this card", "the player as marker", "player", "side of the player",
		"coach", "coach of another", "coach whose share was withdrawn", "committee",
	}
}

// Words of the player and of a coach; they stand nowhere in the clear.
const (
	aimWords, afterWords = "the crooked pine", "hurried and pleased"
	labelWords           = "Aunt Ilse"
	noteWords            = "hold the finish like a heron"
)

func teeStroke() map[string]any {
	return map[string]any{
		"hole": 1, "lie": "tee", "distance": 300, "club": "driver", "aim": aimWords, "word": afterWords, "strike": "fair", "good_enough": true,
		"finish": map[string]any{"lie": "fairway", "distance": 120},
	}
}

func mustShare(t *testing.T, c *apitest.Client, card, label string) (id, token string) {
	t.Helper()
	var w api.ShareWritten
	c.Post(t, "/cards/"+card+"/shares", map[string]any{"for": label}).Must(t, http.StatusCreated).JSON(t, &w)
	require.Equal(t, "/r/"+w.Token, w.Path)
	require.Len(t, w.Token, 22, "128 bits")
	return w.ID, w.Token
}

// mustReview prepares all of it through the API.
func mustReview(t *testing.T, s *apitest.Server) reviewed {
	t.Helper()
	c := s.Committee(t)
	x := reviewed{server: s, committee: c, Morning: apitest.MustOpenRound(t, c), side: pairs(t, c)}
	link := func(card string, role events.Role) *apitest.Client {
		return s.Bearer(apitest.MustLink(t, c, card, role))
	}
	x.player = link(x.Cards[0], events.RolePlayer)
	other := link(x.Cards[1], events.RolePlayer)
	var marks string // the card that the first player keeps
	for _, card := range x.Cards {
		var k api.Card
		c.Get(t, "/cards/"+card).Must(t, http.StatusOK).JSON(t, &k)
		if k.MarkerID == x.Entries[0] {
			marks = card
		}
	}
	require.NotEmpty(t, marks)
	x.stroke = x.player.Post(t, "/cards/"+x.Cards[0]+"/strokes", teeStroke()).Must(t, http.StatusCreated).Written(t).ID
	share, token := mustShare(t, x.player, x.Cards[0], labelWords)
	_, of := mustShare(t, other, x.Cards[1], labelWords)
	gone, withdrawn := mustShare(t, x.player, x.Cards[0], labelWords)
	x.player.Post(t, "/cards/"+x.Cards[0]+"/shares/"+gone+"/withdrawal", nil).Must(t, http.StatusOK)
	x.share = share
	coach := s.Bearer(token)
	x.note = coach.Post(t, "/players/"+x.Players[0]+"/notes", map[string]any{"text": noteWords, "card_id": x.Cards[0]}).
		Must(t, http.StatusCreated).Written(t).ID
	x.askers = []*apitest.Client{
		s.Anonymous(), other, link(x.Cards[0], events.RoleMarker), link(marks, events.RoleMarker), x.player, link(x.side.Cards[0], events.RolePlayer),
		coach, s.Bearer(of), s.Bearer(withdrawn), c,
	}
	return x
}

// Who may do what with strokes, shares and notes: one status an asker, in the order of
// askerNames. The same answer comes to whoever asks with the right body.
func TestWhoseStrokes(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	x := mustReview(t, s)
	card, mine := "/cards/"+x.Cards[0], "/players/"+x.Players[0]
	hole := map[string]any{"strokes": []any{map[string]any{"lie": "tee", "distance": 150, "finish": map[string]any{"holed": true}}}}
	table := apitest.Raw("text/csv", "hole,stroke,lie,distance\n4,1,tee,310\n")
	fresh := func() string { // a stroke to take off
		return x.player.Post(t, card+"/strokes", map[string]any{"hole": 9, "lie": "rough", "distance": 90}).Must(t, http.StatusCreated).Written(t).ID
	}
	for _, r := range []struct {
		method, path string
		body         any
		how          []apitest.Asking
		want         string
	}{
		//                                                    nobody other marker marks player side coach other gone committee
		{method: "GET", path: card + "/strokes", want: "            401    403   403    403   200    403  403   403   401  403"},
		{method: "GET", path: card + "/strokes.csv", want: "        401    403   403    403   200    403  403   403   401  403"},
		{method: "POST", path: card + "/strokes", body: teeStroke(), want: " 401 403 403 403 201 403 403 403 401 201"},
		{method: "PUT", path: card + "/strokes/" + x.stroke, body: map[string]any{"lie": "tee", "distance": 301}, want: "401 403 403 403 200 403 403 403 401 200"},
		{method: "DELETE", path: card + "/strokes/FRESH", want: "   401    403   403    403   200    403  403   403   401  200"},
		{method: "PUT", path: card + "/strokes/holes/3", body: hole, want: "401 403   403    403   200    403  403   403   401  200"},
		{method: "POST", path: card + "/strokes.csv", how: []apitest.Asking{table}, want: "401 403 403 403 200 403 403 403 401 200"},
		{method: "GET", path: card + "/shares", want: "             401    403   403    403   200    403  403   403   401  403"},
		{method: "POST", path: card + "/shares", body: map[string]any{"for": "X"}, want: "401 403 403 403 201 403 403 403 401 403"},
		{method: "POST", path: card + "/shares/none/withdrawal", want: "401 403  403    403   404    403  403   403   401  403"},
		{method: "GET", path: mine + "/notes", want: "              401    403   403    403   200    403  200   403   401  403"},
		{method: "POST", path: mine + "/notes", body: map[string]any{"text": "well"}, want: "401 403 403 403 403 403 201 403 401 403"},
		{method: "POST", path: mine + "/notes/none/removal", want: "401    403   403    403   404    403  404   403   401  403"},
		// A side's card is its partners' to log on, and nobody's history.
		{method: "GET", path: "/cards/" + x.side.Cards[0] + "/strokes", want: "401 403 403 403 403 200 403 403 401 403"},
		{method: "POST", path: "/cards/" + x.side.Cards[0] + "/strokes", body: teeStroke(), want: "401 403 403 403 403 201 403 403 401 201"},
		{method: "GET", path: "/cards/" + x.side.Cards[0] + "/shares", want: "401 403 403 403 403 403 403 403 401 403"},
		{method: "POST", path: "/cards/" + x.side.Cards[0] + "/shares", body: map[string]any{"for": "X"}, want: "401 403 403 403 403 403 403 403 401 403"},
		// What is not there is refused to others as what is.
		{method: "GET", path: "/cards/nothing/strokes", want: "     401    403   403    403   403    403  403   403   401  403"},
		{method: "GET", path: "/players/nobody/notes", want: "      401    403   403    403   403    403  403   403   401  403"},
	} {
		want := strings.Fields(r.want)
		require.Len(t, want, len(x.askers))
		for i, asker := range x.askers {
			path := r.path
			how := r.how
			if r.method == http.MethodDelete {
				path = strings.Replace(path, "FRESH", fresh(), 1)
			}
			before := s.Position(t)
			if r.method == http.MethodDelete {
				how = append(how, apitest.Key(uuid.NewString()))
			}
			a := asker.Do(t, r.method, path, r.body, how...)
			require.Equal(t, want[i], strconv.Itoa(a.Status), "%s %s as %s: %s", r.method, path, askerNames()[i], a.Body)
			if a.Status >= http.StatusBadRequest {
				require.Equal(t, before, s.Position(t), "%s %s as %s stored something", r.method, path, askerNames()[i])
				require.NotContains(t, string(a.Body), aimWords)
			}
		}
	}
}

// The program itself writes strokes where it is asked to, and reads no reviews.
func TestServiceReadsNoReviews(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	x := mustReview(t, s)
	ctx := context.Background()
	who := command.Who{Role: events.RoleService, ID: "demo"}
	r := command.Request{Who: who, CommandID: uuid.NewString(), Hash: "x"}
	_, err := s.Commands.RecordStroke(ctx, r, x.Cards[0], command.RecordStroke{Hole: 8, Stroke: command.Stroke{Lie: "tee", Distance: 300}})
	require.NoError(t, err)
	require.Equal(t, events.KindForbidden, events.AsError(s.Commands.MayReview(ctx, who, x.Players[0])).Kind)
	_, err = s.Commands.Shares(ctx, who, x.Cards[0])
	require.Equal(t, events.KindForbidden, events.AsError(err).Kind)
	_, err = s.Commands.Notes(ctx, who, x.Players[0])
	require.Equal(t, events.KindForbidden, events.AsError(err).Kind)
	_, err = s.Commands.AddNote(ctx, r, x.Players[0], command.AddNote{Text: "well"})
	require.Equal(t, events.KindForbidden, events.AsError(err).Kind)
}

// A coach does what the share is for, and nothing else: every other route answers as
// it does to nobody, or refuses.
func TestCoachDoesNothingElse(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	x := mustReview(t, s)
	coach := x.askers[6]
	private := apitest.MustOpenRound(t, x.committee, func(terms *events.Terms) { terms.BoardPublic = false })
	for _, path := range []string{"", "/figures", "/events"} {
		coach.Get(t, "/cards/"+private.Cards[0]+path).Must(t, http.StatusForbidden)
	}
	coach.Get(t, "/competitions/"+private.Competition).Must(t, http.StatusForbidden)
	coach.Get(t, "/competitions/"+private.Competition+"/board").Must(t, http.StatusForbidden)
	before := s.Position(t)
	card := "/cards/" + x.Cards[0]
	coach.Post(t, card+"/scores", map[string]any{"hole": 1, "strokes": 4}).Must(t, http.StatusForbidden)
	coach.Put(t, card+"/scores", apitest.Scores(4)).Must(t, http.StatusForbidden)
	coach.Post(t, card+"/certification", nil).Must(t, http.StatusForbidden)
	coach.Post(t, card+"/return", nil).Must(t, http.StatusForbidden)
	coach.Post(t, card+"/reopening", map[string]any{"reason": "x"}).Must(t, http.StatusForbidden)
	coach.Post(t, card+"/links/player", nil).Must(t, http.StatusForbidden)
	coach.Get(t, "/players").Must(t, http.StatusForbidden)
	coach.Get(t, "/players/"+x.Players[0]).Must(t, http.StatusForbidden)
	coach.Post(t, "/players/"+x.Players[0]+"/erasure", map[string]any{"reason": "x"}).Must(t, http.StatusForbidden)
	coach.Post(t, "/competitions", map[string]any{"name": "Medal", "date": "2031-05-03"}).Must(t, http.StatusForbidden)
	require.Equal(t, before, s.Position(t))
}

// A coach sees and removes the own notes alone, the player all of them; the words of
// another coach are nobody else's.
func TestNotes(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	x := mustReview(t, s)
	_, token := mustShare(t, x.player, x.Cards[0], "Somebody Else")
	coach, second, notes := x.askers[6], s.Bearer(token), "/players/"+x.Players[0]+"/notes"
	other := second.Post(t, notes, map[string]any{"text": "two\r\nlines"}).Must(t, http.StatusCreated).Written(t).ID
	list := func(c *apitest.Client) []command.Note {
		var got api.List[command.Note]
		c.Get(t, notes).Must(t, http.StatusOK).JSON(t, &got)
		return got.Items
	}
	require.Equal(t, []command.Note{{ID: x.note, ShareID: x.share, By: labelWords, CardID: x.Cards[0], Text: noteWords, Own: true}}, list(coach))
	require.Len(t, list(second), 1)
	require.Equal(t, "two\nlines", list(second)[0].Text)
	all := list(x.player)
	require.Len(t, all, 2)
	require.False(t, all[0].Own)
	coach.Post(t, notes+"/"+other+"/removal", nil).Must(t, http.StatusForbidden)
	second.Post(t, notes+"/"+other+"/removal", nil).Must(t, http.StatusOK)
	x.player.Post(t, "/cards/"+x.Cards[0]+"/shares/"+x.share+"/withdrawal", nil).Must(t, http.StatusOK)
	require.Len(t, list(x.player), 1, "a note outlives its share")
	x.player.Post(t, notes+"/"+x.note+"/removal", nil).Must(t, http.StatusOK)
	require.Empty(t, list(x.player))
	for _, b := range []struct {
		body        map[string]any
		field, code string
	}{
		{map[string]any{"text": " \n"}, "text", "required"},
		{map[string]any{}, "text", "required"},
		{map[string]any{"text": strings.Repeat("é", command.MostNote+1)}, "text", "too_long"},
		{map[string]any{"text": "a\x00b"}, "text", "control_character"},
		{map[string]any{"text": "well", "card_id": x.Cards[1]}, "card_id", "unknown"},
		{map[string]any{"text": "well", "card_id": x.side.Cards[0]}, "card_id", "unknown"},
		{map[string]any{"text": "well", "card_id": "nothing"}, "card_id", "unknown"},
		{map[string]any{"text": "well", "mood": "good"}, "mood", "unknown_field"},
		{map[string]any{"text": 7}, "text", "wrong_type"},
	} {
		before := s.Position(t)
		p := second.Post(t, notes, b.body, apitest.Bad()).Must(t, http.StatusUnprocessableEntity).Problem(t)
		require.Equal(t, []string{b.field, b.code}, []string{p.Field, p.Code}, p.Detail)
		require.Equal(t, before, s.Position(t))
	}
	second.Post(t, notes, map[string]any{"text": strings.Repeat("é", command.MostNote)}).Must(t, http.StatusCreated)
}

// A share is shown again as long as it stands, and opens exactly as long as that.
func TestShares(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	player := s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RolePlayer))
	shares, notes := "/cards/"+m.Cards[0]+"/shares", "/players/"+m.Players[0]+"/notes"
	key := apitest.Key(uuid.NewString())
	var first, again api.ShareWritten
	player.Post(t, shares, map[string]any{"for": "  Ilse \t Brandt "}, key).Must(t, http.StatusCreated).JSON(t, &first)
	a := player.Post(t, shares, map[string]any{"for": "Ilse Brandt"}, key).Must(t, http.StatusCreated)
	a.JSON(t, &again)
	require.Equal(t, "true", a.Header.Get(api.HeaderRepeat))
	require.Equal(t, first, again)
	var list api.List[command.Share]
	player.Get(t, shares).Must(t, http.StatusOK).JSON(t, &list)
	require.Equal(t, []command.Share{{ID: first.ID, For: "Ilse Brandt", Token: first.Token, Path: first.Path}}, list.Items)
	s.Bearer(first.Token).Get(t, notes).Must(t, http.StatusOK)
	twice(t, s, player, http.MethodPost, shares+"/"+first.ID+"/withdrawal", nil, http.StatusOK)
	s.Bearer(first.Token).Get(t, notes).Must(t, http.StatusUnauthorized)
	require.Contains(t, s.Lines.String(), `"wanted":"card link","card":"","player":"`+m.Players[0])
	require.NotContains(t, s.Lines.String(), first.Token)
	player.Get(t, shares).Must(t, http.StatusOK).JSON(t, &list)
	require.Equal(t, []command.Share{{ID: first.ID, For: "Ilse Brandt", Withdrawn: true}}, list.Items)
	for _, b := range []struct {
		label any
		code  string
	}{{" ", "required"}, {strings.Repeat("x", command.MostFor+1), "too_long"}, {"a\x07b", "control_character"}, {7, "wrong_type"}} {
		before := s.Position(t)
		p := player.Post(t, shares, map[string]any{"for": b.label}, apitest.Bad()).Must(t, http.StatusUnprocessableEntity).Problem(t)
		require.Equal(t, []string{"for", b.code}, []string{p.Field, p.Code})
		require.Equal(t, before, s.Position(t))
	}
	for range 20 {
		mustShare(t, player, m.Cards[0], "one of many")
	}
	require.Equal(t, "too_many", player.Post(t, shares, map[string]any{"for": "one more"}).Must(t, http.StatusConflict).Problem(t).Code)
	// The link of the player that was renewed shares nothing any more.
	c.Post(t, "/cards/"+m.Cards[0]+"/links/player?renew=true", nil).Must(t, http.StatusOK)
	player.Get(t, shares).Must(t, http.StatusUnauthorized)
}

// Browsers hold cookies: the player's and a coach's count also where the committee is
// signed in, a bearer token makes them count for nothing.
func TestReviewCookies(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	x := mustReview(t, s)
	coachLink, playerLink := "marram_coach_"+x.Players[0]+"="+x.askers[6].Token(), "marram_card_"+x.Cards[0]+"="+x.player.Token()
	session := "marram_session=" + x.committee.Token()
	nobody, notes, strokes := s.Anonymous(), "/players/"+x.Players[0]+"/notes", "/cards/"+x.Cards[0]+"/strokes"
	cookie := func(all ...string) apitest.Asking { return apitest.Header("Cookie", strings.Join(all, "; ")) }
	nobody.Get(t, notes, cookie(coachLink)).Must(t, http.StatusOK)
	nobody.Get(t, notes, cookie(session)).Must(t, http.StatusForbidden)
	nobody.Get(t, notes, cookie(session, coachLink)).Must(t, http.StatusOK)
	nobody.Get(t, notes, cookie(session, playerLink)).Must(t, http.StatusOK)
	nobody.Get(t, strokes, cookie(playerLink)).Must(t, http.StatusOK)
	nobody.Get(t, strokes, cookie(session)).Must(t, http.StatusForbidden)
	nobody.Get(t, strokes, cookie(session, playerLink)).Must(t, http.StatusOK)
	nobody.Get(t, strokes, cookie(coachLink)).Must(t, http.StatusUnauthorized)
	x.askers[1].Get(t, notes, cookie(coachLink)).Must(t, http.StatusForbidden)
	nobody.Post(t, notes, map[string]any{"text": "well"}, cookie(coachLink)).Must(t, http.StatusCreated)
	nobody.Post(t, notes, map[string]any{"text": "well"}, cookie(coachLink), apitest.Header("Sec-Fetch-Site", "cross-site")).Must(t, http.StatusForbidden)
	// Under another name a token opens nothing.
	nobody.Get(t, notes, cookie("marram_coach_"+x.Players[1]+"="+x.askers[6].Token())).Must(t, http.StatusUnauthorized)
	nobody.Get(t, "/players/"+x.Players[1]+"/notes", cookie("marram_coach_"+x.Players[1]+"="+x.askers[6].Token())).Must(t, http.StatusUnauthorized)
	nobody.Get(t, strokes, cookie("marram_card_"+x.Cards[0]+"="+x.askers[6].Token())).Must(t, http.StatusUnauthorized)
	// Who logs as the player gets the score entered, signed in as committee or not.
	var w api.StrokesWritten
	hole := map[string]any{"strokes": []any{map[string]any{"lie": "tee", "distance": 150, "finish": map[string]any{"holed": true}}}}
	nobody.Put(t, strokes+"/holes/5", hole, cookie(session, playerLink)).Must(t, http.StatusOK).JSON(t, &w)
	require.Equal(t, &command.HoleScored{Hole: 5, Strokes: 1}, w.Scored)
}
