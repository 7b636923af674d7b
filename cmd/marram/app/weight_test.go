package app_test

import (
	"fmt"
	"io"
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/cmd/marram/app"
	"marram.example/events"
	"marram.example/events/competition"
)

// bigField plans a medal of n invented players in three divisions and opens it.
func bigField(t testing.TB, a *app.App, n int) (string, *competition.State) {
	t.Helper()
	ctx := t.Context()
	count := 0
	as := func() command.Request {
		count++
		return command.Request{Who: command.Who{Role: events.RoleService, ID: "test"}, CommandID: fmt.Sprintf("field-%d", count)}
	}
	tee := events.TeeDefinition{Tee: "White", CourseRatingTenths: 724, SlopeRating: 131}
	for h := 1; h <= 18; h++ {
		tee.Holes = append(tee.Holes, events.Hole{Number: h, Par: 4, StrokeIndex: h, LengthM: 350})
	}
	course, err := a.Commands.DefineCourse(ctx, as(), "", command.DefineCourse{Name: "Long Field (invented)", Tees: []events.TeeDefinition{tee}})
	require.NoError(t, err)
	var players, entries strings.Builder
	players.WriteString("member_no,name,handicap_index,index_date\n")
	entries.WriteString("member_no,tee\n")
	for i := range n {
		_, _ = fmt.Fprintf(&players, "%04d,Invented Player %d,%d.%d,2026-01-01\n", i, i, i%37, i%10)
		_, _ = fmt.Fprintf(&entries, "%04d,White\n", i)
	}
	planned, err := a.Commands.Plan(ctx, as(), "", command.PlanCompetition{Name: "Big Medal", Date: "2026-05-30"})
	require.NoError(t, err)
	terms := command.PresetTerms("stroke_play")
	terms.CourseID, terms.Tees, terms.Start.GroupSize, terms.Start.IntervalMinutes = course.ID, []string{"White"}, 4, 8
	terms.Divisions = []events.Division{
		{Name: "Division 1", FromTenths: 0, ToTenths: 120}, {Name: "Division 2", FromTenths: 121, ToTenths: 240}, {Name: "Division 3", FromTenths: 241, ToTenths: 540},
	}
	_, err = a.Commands.SetTerms(ctx, as(), planned.ID, terms)
	require.NoError(t, err)
	files := []command.ImportFile{
		{Name: "players", Kind: "players", Body: strings.NewReader(players.String())},
		{Name: "entries", Kind: "entries", Body: strings.NewReader(entries.String())},
	}
	_, err = a.Commands.ImportFiles(ctx, as(), planned.ID, files, false)
	require.NoError(t, err)
	_, err = a.Commands.Draw(ctx, as(), planned.ID, command.Draw{Method: "handicap"})
	require.NoError(t, err)
	opened, err := a.Commands.OpenRound(ctx, as(), planned.ID)
	require.NoError(t, err)
	require.NoError(t, a.Boards.WaitFor(ctx, opened.Position))
	c, _, err := a.Commands.Competition(ctx, planned.ID)
	require.NoError(t, err)
	return planned.ID, c
}

var resource = regexp.MustCompile(`(?:src|href)="(/static/[^"]+)"`)

// The board of 300 players with everything that the page loads stays under
// 150 KB on the wire.
func TestTheBoardOf300IsLight(t *testing.T) {
	t.Parallel()
	a := mustStart(t)
	id, c := bigField(t, a, 300)
	for _, entry := range c.Order[:150] { // half of the field under way, so that rows are full
		k := command.CardID(id, entry, 1)
		four := 4
		for h := 1; h <= 3; h++ {
			r := command.Request{Who: command.Who{Role: events.RoleService, ID: "test"}, CommandID: fmt.Sprintf("%s-%d", k, h)}
			done, err := a.Commands.EnterScore(t.Context(), r, k, command.EnterScore{Hole: h, Strokes: &four})
			require.NoError(t, err)
			require.NoError(t, a.Boards.WaitFor(t.Context(), done.Position))
		}
	}
	total := 0
	weigh := func(path string, plain bool) string {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, a.URL()+path, nil)
		require.NoError(t, err)
		if !plain {
			r.Header.Set("Accept-Encoding", "gzip") // set by hand, the client leaves the bytes as they came
		}
		res, err := http.DefaultClient.Do(r)
		require.NoError(t, err)
		defer func() { require.NoError(t, res.Body.Close()) }()
		require.Equal(t, http.StatusOK, res.StatusCode, path)
		body, err := io.ReadAll(res.Body)
		require.NoError(t, err)
		if !plain {
			total += len(body)
			t.Logf("%7d bytes %s", len(body), path)
		}
		return string(body)
	}
	board := "/competitions/" + id + "/board"
	var page string
	require.Eventually(t, func() bool { // names are opened one by one the first time
		page = weigh(board, true)
		return strings.Count(page, "Invented Player") == 300
	}, time.Minute, 100*time.Millisecond, "every row is in the page")
	weigh(board, false)
	for _, m := range resource.FindAllStringSubmatch(page, -1) {
		weigh(m[1], false)
	}
	t.Logf("%7d bytes in all, %d the page unpacked", total, len(page))
	require.Less(t, total, 150<<10)
}
