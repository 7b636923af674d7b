package api_test

import (
	"context"
	"fmt"
	"net/http"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/api/apitest"
	"marram.example/events"
	"marram.example/projections/review"
	"marram.example/projections/shots"
)

// askTogether asks for the club's baseline 20 times at once.
func askTogether(t *testing.T, s *apitest.Server) (wait func() map[*shots.Fit]int) {
	t.Helper()
	got := make([]*shots.Fit, 20)
	var all sync.WaitGroup
	for i := range got {
		all.Go(func() {
			f, err := s.API.ClubFit(context.Background())
			assert.NoError(t, err)
			got[i] = f
		})
	}
	return func() map[*shots.Fit]int {
		all.Wait()
		fits := map[*shots.Fit]int{}
		for _, f := range got {
			fits[f]++
		}
		return fits
	}
}

// The club's baseline from what a dozen players logged, through the read model: with
// its band, fitted once for all who ask, and again when a twentieth more rounds came.
func TestTheClubsOwnBaseline(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	player := s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RolePlayer))
	at, own := "/cards/"+m.Cards[0]+"/review", "/players/"+m.Players[0]+"/review"
	const rounds = 4
	more := func(player int, from, to int) {
		id := fmt.Sprintf("somebody-%d", player)
		if player < len(m.Players) {
			id = m.Players[player]
		}
		apitest.MustPlayRounds(t, s.Store, s.API.Models.Strokes, apitest.Rounds{PlayerID: id, From: from, To: to, Seed: uint64(player)})
	}
	for p := range shots.FitMinPlayers - 1 {
		more(p, 0, rounds)
	}
	played(t, player, m.Cards[0], 0)
	atPar(t, c, m.Cards[0])

	t.Log("too few players")
	few := reviewOf(t, player, own+"?baseline=club").Club
	require.NotNil(t, few)
	for _, l := range few.Lies {
		require.False(t, l.Enough, l.Lie)
		require.Empty(t, l.Points, l.Lie)
		if l.Lie == events.LieTee {
			require.Equal(t, []int{0, 1}, []int{l.MissingStrokes, l.MissingPlayers})
		}
	}

	t.Log("a dozen")
	for p := shots.FitMinPlayers - 1; p < 12; p++ {
		more(p, 0, rounds)
	}
	withheldCard := s.Bearer(apitest.MustLink(t, c, m.Cards[1], events.RolePlayer))
	played(t, withheldCard, m.Cards[1], 0) // and not returned
	const logged = 12*rounds*apitest.ARound + 72
	for _, path := range []string{at, own} {
		require.Nil(t, reviewOf(t, player, path).Club, "asked against something else")
		got := reviewOf(t, player, path+"?baseline=club")
		clubFigure(t, got, 12, logged)
	}
	fit, err := s.API.ClubFit(t.Context())
	require.NoError(t, err)
	clubIsOf(t, fit, 12, logged)

	t.Log("refreshed when a twentieth more came: 3 of 49 cards")
	more(4, rounds, rounds+2)
	same, err := s.API.ClubFit(t.Context())
	require.NoError(t, err)
	require.Same(t, fit, same)
	more(5, rounds, rounds+1)
	next, err := s.API.ClubFit(t.Context())
	require.NoError(t, err)
	require.NotSame(t, fit, next)
	clubIsOf(t, next, 12, logged+3*apitest.ARound)

	t.Log("who asks while it is fitted is given the one before")
	more(6, rounds, rounds+5)
	release := s.API.HoldClubFit()
	require.Equal(t, map[*shots.Fit]int{next: 20}, askTogether(t, s)())
	require.Equal(t, logged+3*apitest.ARound, reviewOf(t, player, own+"?baseline=club").Club.Strokes, "and so is a review")
	release()
	fits := askTogether(t, s)()
	delete(fits, next)
	require.Len(t, fits, 1, "one fit for all")
	for f := range fits {
		clubIsOf(t, f, 12, logged+8*apitest.ARound)
	}

	t.Log("an erased player's strokes are nobody's, and stay")
	c.Post(t, "/players/"+m.Players[2]+"/erasure", map[string]any{"reason": "asked"}).Must(t, http.StatusOK)
	more(7, rounds, rounds+5)
	got := reviewOf(t, player, own+"?baseline=club")
	clubFigure(t, got, 12, logged+13*apitest.ARound)
	s.Bearer(apitest.MustLink(t, c, m.Cards[2], events.RolePlayer)).Get(t, "/players/"+m.Players[2]+"/review?baseline=club").Must(t, http.StatusNotFound)

	t.Log("a card that was not returned comes in when it is")
	atPar(t, c, m.Cards[1])
	more(8, rounds, rounds+5)
	clubFigure(t, reviewOf(t, player, own+"?baseline=club"), 12, logged+18*apitest.ARound+72)
}

// Before there is any fit who asks waits for the first one, and for no other; and not
// longer than the request lasts.
func TestTheFirstClubBaselineIsFittedOnce(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	for p := range 12 {
		apitest.MustPlayRounds(t, s.Store, s.API.Models.Strokes, apitest.Rounds{PlayerID: fmt.Sprint("p", p), To: 2, Seed: uint64(p)})
	}
	release := s.API.HoldClubFit()
	ended, end := context.WithCancel(t.Context())
	end()
	_, err := s.API.ClubFit(ended)
	require.ErrorIs(t, err, context.Canceled)
	wait := askTogether(t, s)
	release()
	fits := wait()
	require.Len(t, fits, 1)
	for f := range fits {
		clubIsOf(t, f, 12, 24*apitest.ARound)
	}
}

// atPar hands a card in.
func atPar(t *testing.T, c *apitest.Client, card string) {
	t.Helper()
	in := apitest.Scores(apitest.Par)
	in["signed"] = true
	c.Put(t, "/cards/"+card+"/scores", in).Must(t, http.StatusOK)
}

func clubIsOf(t *testing.T, f *shots.Fit, players, strokes int) {
	t.Helper()
	require.Equal(t, []int{players, strokes}, []int{f.Players, f.Strokes})
}

// clubFigure holds what a review says of the club's baseline against how the invented
// rounds are made: a hole takes four or five strokes, wherever it is played from the
// tee, and a lie is logged some hundred times.
func clubFigure(t *testing.T, r review.Review, players, strokes int) {
	t.Helper()
	c := r.Club
	require.NotNil(t, c)
	require.Equal(t, "club", r.Baseline.Name)
	require.Equal(t, []int{players, strokes}, []int{c.Players, c.Strokes})
	sum := 0
	for _, l := range c.Lies {
		sum += l.Strokes
		if l.Lie == events.LieRecovery {
			require.Equal(t, []int{shots.FitMinStrokes, shots.FitMinPlayers, 0}, []int{l.MissingStrokes, l.MissingPlayers, len(l.Points)})
			continue
		}
		require.True(t, l.Enough, l.Lie)
		require.NotEmpty(t, l.Points, l.Lie)
		mean, n := 0.0, 0
		for _, p := range l.Points {
			if p.Fitted == nil {
				continue
			}
			require.Less(t, *p.Low, *p.Fitted)
			require.Less(t, *p.Fitted, *p.High)
			mean, n = mean+*p.Fitted, n+1
		}
		require.Positive(t, n, l.Lie)
		if l.Lie == events.LieTee {
			require.InDelta(t, float64(apitest.ARound)/18, mean/float64(n), 0.1, "four or five, of 85 over 18 holes")
		}
	}
	require.Equal(t, strokes, sum)
	require.NotNil(t, c.OffStroke)
	require.Greater(t, *c.OffStroke, 0.0)
	require.Less(t, *c.OffStroke, 0.5)
	require.NotNil(t, c.OffRound)
	require.Greater(t, *c.OffRound, *c.OffStroke)
}
