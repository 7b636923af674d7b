package api_test

import (
	"context"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api/apitest"
	"marram.example/events"
)

// The fingerprint of a command stays in the log when a name is erased. One of the
// name would let anybody with a backup prove a guess.
func TestNoFingerprintOfANameIsStored(t *testing.T) {
	t.Parallel()
	prints := func(name string) []string {
		s := apitest.MustServe(t)
		c := s.Committee(t)
		c.Post(t, "/players", map[string]any{"member_no": "77", "name": name, "index_tenths": 200, "effective": "2031-05-01"}).Must(t, http.StatusCreated)
		table := "member_no,name,handicap_index,index_date\n78," + name + ",12.4,2031-05-01\n"
		c.Post(t, "/imports/players", nil, apitest.Raw("text/csv", table)).Must(t, http.StatusOK)
		var out []string
		for _, no := range []string{"77", "78"} {
			all, err := s.Log.Stream(context.Background(), events.PlayerStream(s.API.Club, s.Commands.PlayerID(no)))
			require.NoError(t, err)
			require.NotEmpty(t, all)
			for _, e := range all {
				require.NotEmpty(t, e.CommandHash)
				out = append(out, e.CommandHash)
			}
		}
		return out
	}
	require.Equal(t, prints("Imke Sandvoort"), prints("Olaf Dyke"))
}
