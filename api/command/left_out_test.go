package command_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
)

// TestAPlayerLeftOutIsPutInAfterTheResult: a card turns up in the box after the
// result is out; leaving a player out is an administrative mistake without a time
// limit (Rules of Golf 20.2d(2)).
func TestAPlayerLeftOutIsPutInAfterTheResult(t *testing.T) {
	t.Parallel()
	m := mustMorning(t, nil)
	m.enter(5)
	m.open()
	ctx := t.Context()
	for i := range 5 {
		_, err := m.EnterCard(ctx, m.committee(), m.card(i).ID, level(m.card(i)))
		require.NoError(t, err)
	}
	_, err := m.CloseRound(ctx, m.committee(), m.id, command.CloseRound{})
	require.NoError(t, err)
	_, err = m.Publish(ctx, m.committee(), m.id)
	require.NoError(t, err)

	late, err := m.Enter(ctx, m.committee(), m.id, command.EnterPlayer{Member: command.Member{PlayerID: m.playerID[5]}})
	require.NoError(t, err)
	_, err = m.Revise(ctx, m.committee(), m.id, "a card was in the box")
	require.Equal(t, "cards_out", code(t, err), "not before the card is in")
	_, err = m.PlaceLate(ctx, m.committee(), m.id, command.PlaceLate{EntryID: late.ID})
	require.NoError(t, err)
	_, err = m.EnterCard(ctx, m.committee(), m.card(5).ID, level(m.card(5)))
	require.NoError(t, err)
	_, err = m.Revise(ctx, m.committee(), m.id, "a card was in the box")
	require.NoError(t, err)
	require.Len(t, m.state().Result.Rows, 6)
}
