package web_test

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/log/logtest"
)

// What a form said of a share or in a note is kept sealed alone. A fingerprint of the
// form in the log would let a guess of the words be proved, also after they were erased.
func TestFormsAboutReviewsLeaveNoFingerprintOfTheirWords(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	player := "/players/" + m.players[0]
	v := m.holder(0, events.RolePlayer).reads(player + "/review")
	share := v.form(player+"/shares").set("for", "Imke")
	share.send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	shares, err := m.commands.Shares(context.Background(), as(events.RolePlayer, m.card(0)).Who, m.card(0))
	require.NoError(t, err)
	coach := m.visit().reads(shares[0].Path)
	note := coach.form(player+"/notes").set("text", "Aim left")
	note.send()
	require.Equal(t, http.StatusOK, coach.status, coach.words())

	guesses := map[string]bool{}
	for path, form := range map[string]url.Values{player + "/shares": share.values, player + "/notes": note.values} {
		sum := sha256.Sum256([]byte(path + "\n" + form.Encode()))
		guesses[hex.EncodeToString(sum[:])] = true
	}
	all, err := m.log.Stream(context.Background(), events.PlayerStream(logtest.Club, m.players[0]))
	require.NoError(t, err)
	told := 0
	for _, e := range all {
		require.NotContains(t, guesses, e.CommandHash, "%s", e.Event.EventType())
		switch e.Event.(type) {
		case events.ReviewShared, events.CoachNoteAdded:
			require.NotEmpty(t, e.CommandHash, "a repeat with another address is still told")
			told++
		}
	}
	require.Equal(t, 2, told)
}
