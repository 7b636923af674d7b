package apitest

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/command"
	"marram.example/events"
)

// Matches is a small knockout: four players, two matches whose round is open.
type Matches struct {
	Morning
	IDs   []string          // of the matches
	Sides [][]string        // of each match: the entries of side A and side B
	Links map[string]string // token by entry
}

// MatchTerms turns terms into those of a knockout of single players.
func MatchTerms(t *events.Terms) {
	preset, err := command.PresetFor(command.Preset{Format: events.MatchPlay})
	if err != nil {
		panic(err) // a literal above
	}
	preset.CourseID, preset.Tees, preset.BoardPublic, preset.NamesAs = t.CourseID, t.Tees, t.BoardPublic, t.NamesAs
	*t = preset
}

// MustOpenMatches prepares the first round of a knockout through the API.
func MustOpenMatches(t testing.TB, c *Client, change ...func(*events.Terms)) Matches {
	t.Helper()
	m := Matches{Morning: MustDraw(t, c, append([]func(*events.Terms){MatchTerms}, change...)...), Links: map[string]string{}}
	comp := "/competitions/" + m.Competition
	c.Post(t, comp+"/round/opening", nil).Must(t, http.StatusOK)
	var list api.Page[api.MatchLine]
	c.Get(t, comp+"/matches").Must(t, http.StatusOK).JSON(t, &list)
	require.Len(t, list.Items, 2)
	for _, x := range list.Items {
		m.IDs = append(m.IDs, x.MatchID)
		m.Sides = append(m.Sides, []string{x.A.EntryID, x.B.EntryID})
		for _, e := range []string{x.A.EntryID, x.B.EntryID} {
			var l api.MatchLink
			c.Post(t, "/matches/"+x.MatchID+"/links/"+e, nil).Must(t, http.StatusOK).JSON(t, &l)
			require.NotEmpty(t, l.Token)
			m.Links[e] = l.Token
		}
	}
	return m
}
