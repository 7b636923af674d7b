package events_test

import (
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
)

func TestErrorSaysWhatItsConstructorNames(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		err  *events.Error
		want events.Error
		text string
	}{
		{events.Invalid("hole", "out_of_range", "no."), events.Error{Kind: events.KindInvalid, Code: "out_of_range", Field: "hole", Detail: "no."}, "hole: no."},
		{events.NotFound("card_id", "none."), events.Error{Kind: events.KindNotFound, Code: "not_found", Field: "card_id", Detail: "none."}, "card_id: none."},
		{events.NotNow("card_id", "late", "over."), events.Error{Kind: events.KindNotNow, Code: "late", Field: "card_id", Detail: "over."}, "card_id: over."},
		{events.Forbidden("role", "not you."), events.Error{Kind: events.KindForbidden, Code: "role", Detail: "not you."}, "not you."},
		{events.Conflict("entry_id", "used", "taken."), events.Error{Kind: events.KindConflict, Code: "used", Field: "entry_id", Detail: "taken."}, "entry_id: taken."},
	} {
		require.Equal(t, c.want, *c.err)
		require.EqualError(t, c.err, c.text)
	}
}

func TestErrorCopiesLeaveTheOriginalAlone(t *testing.T) {
	t.Parallel()
	plain := events.Invalid("hole", "out_of_range", "no.")
	ruled := plain.WithRule("Rules of Golf 5.1").WithField("scores[3].hole")
	require.Equal(t, "Rules of Golf 5.1", ruled.Rule)
	require.Equal(t, "scores[3].hole", ruled.Field)
	require.Empty(t, plain.Rule)
	require.Equal(t, "hole", plain.Field)
}

func TestAsErrorLooksThroughWrapping(t *testing.T) {
	t.Parallel()
	inner := events.Forbidden("role", "not you.")
	require.Same(t, inner, events.AsError(fmt.Errorf("enter score: %w", inner)))
	require.Nil(t, events.AsError(errors.New("disk full")))
	require.Nil(t, events.AsError(nil))
}
