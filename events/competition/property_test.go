package competition_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/events/competition"
)

var players = []string{"ann", "ben", "cat", "dan", "eve", "fay", "gus"}

func anyPlayer() *rapid.Generator[string] { return rapid.SampledFrom(players) }

// inField is a list of the field, sometimes with somebody missing, twice or strange.
func inField(t *rapid.T, s *competition.State) []string {
	var ids []string
	for _, e := range s.Field() {
		ids = append(ids, e.ID)
	}
	if len(ids) > 1 {
		ids = rapid.Permutation(ids).Draw(t, "order")
	}
	switch rapid.IntRange(0, 9).Draw(t, "fault") {
	case 0:
		ids = append(ids, anyPlayer().Draw(t, "extra"))
	case 1:
		ids = ids[:len(ids)/2]
	}
	return ids
}

func anyStatus() *rapid.Generator[string] {
	all := []string{"returned", "returned", "NR", "RTD", "WD", "NS", "DQ"}
	return rapid.Custom(func(t *rapid.T) string {
		if rapid.IntRange(0, 19).Draw(t, "out") == 0 {
			return "in_play"
		}
		return rapid.SampledFrom(all).Draw(t, "status")
	})
}

// entering commands change plan, terms and field; they fit most of the time.
func entering(t *rapid.T) competition.Command {
	origin := events.OriginOfficial
	switch rapid.IntRange(0, 9).Draw(t, "entering") {
	case 0:
		return competition.Plan{Name: rapid.SampledFrom([]string{"Medal", "Cup", ""}).Draw(t, "name"), Date: "2026-05-02"}
	case 1:
		return set(with(func(terms *events.Terms) {
			terms.FieldLimit = rapid.IntRange(0, 6).Draw(t, "limit")
			terms.Holes = rapid.SampledFrom([][]int{holes(1, 18), holes(1, 9)}).Draw(t, "holes")
			terms.Tees = rapid.SampledFrom([][]string{{"White"}, {"White", "Red"}}).Draw(t, "tees")
		}))
	case 2:
		return competition.WithdrawEntry{EntryID: anyPlayer().Draw(t, "entry")}
	case 3:
		return competition.AmendEntry{EntryID: anyPlayer().Draw(t, "entry"), Tee: rapid.SampledFrom([]string{"", "White", "Red"}).Draw(t, "tee"), IndexTenths: 99, IndexOrigin: origin}
	default:
		c := accept(anyPlayer().Draw(t, "entry"))
		c.IndexTenths = rapid.SampledFrom([]int{120, 120, 120, 600}).Draw(t, "index")
		return c
	}
}

// running commands move the round on.
func running(t *rapid.T, s *competition.State) competition.Command {
	reason := rapid.SampledFrom([]string{"because", "because", ""}).Draw(t, "reason")
	switch rapid.IntRange(0, 8).Draw(t, "running") {
	case 0, 1:
		return competition.PublishDraw{Method: "by_hand", Groups: groups(inField(t, s)...), Reason: reason}
	case 2:
		return competition.OpenRound{}
	case 3:
		return competition.SuspendRound{Kind: rapid.SampledFrom([]string{"immediate", "normal"}).Draw(t, "kind"), Reason: reason}
	case 4:
		return competition.ResumeRound{}
	case 5:
		var cards []events.CardStanding
		for _, id := range inField(t, s) {
			cards = append(cards, standing(anyStatus().Draw(t, "status"), id)...)
		}
		return competition.CloseRound{Cards: cards}
	case 6:
		return competition.DecideTie{Ranking: "net", EntryIDs: inField(t, s), Method: "lot", Reason: reason}
	default:
		r := events.Result{}
		for _, id := range inField(t, s) {
			r.Rows = append(r.Rows, result(anyStatus().Draw(t, "status"), id).Rows...)
		}
		if s.Phase == competition.Published {
			return competition.ReviseResult{Result: r, Reason: reason}
		}
		return competition.PublishResult{Result: r}
	}
}

// TestAnyCommandsOfACompetition: see decidertest.Run.Do for what holds at every
// step, besides what is checked here.
func TestAnyCommandsOfACompetition(t *testing.T) {
	t.Parallel()
	starts := [][]events.Event{nil, stating, entered, onSheet, open, closed, published}
	rapid.Check(t, func(t *rapid.T) {
		run := decider.Start(t, rapid.SampledFrom(starts).Draw(t, "start")...)
		for range rapid.IntRange(1, 25).Draw(t, "commands") {
			c := running(t, run.State)
			if rapid.Bool().Draw(t, "enter") {
				c = entering(t)
			}
			before := run.State
			out, err := run.Do(t, c)
			if err != nil {
				continue
			}
			for _, e := range out {
				requireFits(t, before, run.State, e)
			}
			requireWholeField(t, run.State)
		}
	})
}

// requireFits checks what an event promises at the moment it happens.
func requireFits(t *rapid.T, before, after *competition.State, e events.Event) {
	switch e := e.(type) {
	case events.DrawPublished:
		requireEachOnce(t, after, e.Groups)
	case events.RoundOpened:
		requireEachOnce(t, after, after.Draw.Groups)
	case events.RoundClosed:
		in := map[string]string{}
		for _, k := range e.Cards {
			in[k.EntryID] = k.Status
		}
		for _, entry := range after.Field() {
			require.NotContains(t, []string{"", events.StatusInPlay}, in[entry.ID], "nothing is outstanding")
		}
	case events.TermsSet:
		require.False(t, before.Running(), "terms are fixed once cards are out")
	case events.EntryWithdrawn:
		_, _, placed := before.Group(e.EntryID)
		require.True(t, !placed || before.Phase == competition.Planned || before.Phase == competition.Drawn, "who has a card is ruled on")
	case events.ResultPublished:
		require.Len(t, e.Rows, len(after.Field()))
	case events.ResultRevised:
		require.Len(t, e.Rows, len(after.Field()))
		require.Equal(t, before.Revision+1, e.Revision)
	}
}

// requireEachOnce: a start sheet holds every entry of the field exactly once.
func requireEachOnce(t *rapid.T, s *competition.State, gs []events.Group) {
	var onSheet, field []string
	for _, g := range gs {
		for _, p := range g.Places {
			onSheet = append(onSheet, p.EntryID)
		}
	}
	for _, e := range s.Field() {
		field = append(field, e.ID)
	}
	require.ElementsMatch(t, field, onSheet)
}

// requireWholeField: what holds of the field at any time.
func requireWholeField(t *rapid.T, s *competition.State) {
	in := map[string]bool{}
	for _, e := range s.Field() {
		require.False(t, in[e.PlayerID], "player %s is in twice", e.PlayerID)
		in[e.PlayerID] = true
		require.Contains(t, s.Terms.Tees, e.Tee, "entry %s plays a tee of the terms", e.ID)
	}
	if s.Terms != nil && s.Terms.FieldLimit > 0 {
		require.LessOrEqual(t, len(in), s.Terms.FieldLimit)
	}
	require.Equal(t, s.Phase == competition.Suspended, s.Suspend != nil, "phase %s", s.Phase)
	require.Equal(t, s.Phase == competition.Published, s.Result != nil)
}
