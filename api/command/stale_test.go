package command_test

import (
	"fmt"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/events"
)

// One secretary opens rounds while another keeps changing the terms. Whatever
// comes first, no card may bear figures from terms that no longer stood.
func TestNoCardIsIssuedFromStaleTerms(t *testing.T) {
	t.Parallel()
	m := mustMorning(t, nil)
	course := m.state().Terms.CourseID
	ctx := t.Context()
	for round := range 12 {
		planned, err := m.Plan(ctx, m.committee(), "", command.PlanCompetition{Name: fmt.Sprintf("Medal %d", round), Date: "2026-05-30"})
		require.NoError(t, err)
		m.id = planned.ID
		terms := command.PresetTerms("stroke_play")
		terms.CourseID, terms.Tees = course, []string{"White"}
		_, err = m.SetTerms(ctx, m.committee(), m.id, terms)
		require.NoError(t, err)
		m.enter(6)
		_, err = m.Draw(ctx, m.committee(), m.id, command.Draw{Method: "as_entered"})
		require.NoError(t, err)
		var over atomic.Bool
		var both sync.WaitGroup
		both.Go(func() {
			for n := 0; !over.Load(); n++ {
				terms := terms
				terms.AllowancePercent = 50 + n%50
				r := command.Request{Who: command.Who{Role: events.RoleCommittee, ID: "other"}, CommandID: fmt.Sprintf("other-%d-%d", round, n)}
				if _, err := m.SetTerms(ctx, r, m.id, terms); err != nil {
					return // the round is open: the terms are fixed
				}
			}
		})
		_, err = m.OpenRound(ctx, m.committee(), m.id)
		for e := events.AsError(err); e != nil && e.Code == "stale_sequence"; e = events.AsError(err) {
			_, err = m.OpenRound(ctx, m.committee(), m.id)
		}
		over.Store(true)
		both.Wait()
		require.NoError(t, err)
		for i := range 6 {
			require.Equal(t, m.state().Terms.AllowancePercent, m.card(i).State.Figures.AllowancePercent)
		}
	}
}
