package web_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestAPracticeRoundSaysSoEverywhere states terms with the tick, and looks at every
// page of the competition.
func TestAPracticeRoundSaysSoEverywhere(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	at := clubByForm(v)
	public := strings.Replace(at, "/desk", "", 1)
	v.reads(at + "/terms")
	require.Contains(t, v.words(), "would be against the Rules (Rules of Golf 4.3a)", "the caution stands beside the tick")
	v.form(at + "/terms").ok()
	require.False(t, m.stateAt(at).Terms.Practice)
	require.NotContains(t, v.reads(public).words(), "Practice")

	v.reads(at + "/terms")
	v.form(at+"/terms").set("practice", "1").ok()
	require.True(t, m.stateAt(at).Terms.Practice)
	before := m.length()
	v.reads(at + "/terms")
	v.form(at + "/terms").ok()
	require.Equal(t, before, m.length(), "the form says what the terms say")

	for _, p := range dunesfolk {
		v.reads(at + "/entries")
		v.form(at+"/entries").set("player_id", p.no).ok()
	}
	drawnFirst(v, at)
	for _, path := range []string{"", "/entries", "/start-sheet", "/board", "/result"} {
		require.Contains(t, v.reads(public+path).words(), "Practice", path)
	}
	require.Contains(t, v.reads(at).words(), "Practice")
	require.Contains(t, v.reads(public).words(), "left out of the handicap record")
}
