package main

import (
	"bytes"
	"context"
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/cmd/marram/app"
	"marram.example/events"
)

// Files go through a server that runs on the folder.
func TestImportThroughAServer(t *testing.T) {
	o := app.DefaultOptions()
	o.Addr, o.Data = "127.0.0.1:0", t.TempDir()
	a, err := app.New(t.Context(), o)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, a.Stop(context.WithoutCancel(t.Context()))) })
	require.NoError(t, a.Start(t.Context()))
	const name, password = "office", "correct horse battery"
	require.NoError(t, a.Auth.AddAccount(t.Context(), name, password))
	token := filepath.Join(t.TempDir(), "token")
	send := func(args ...string) (int, string, string) {
		return marram(t, append([]string{"import", "--server", a.URL(), "--token-file", token}, args...)...)
	}

	status, _, errs := send(medal + "players.csv")
	require.Equal(t, 1, status)
	require.Contains(t, errs, "read the token")
	require.NoError(t, os.WriteFile(token, []byte("wrong\n"), 0o600))
	status, _, errs = send(medal + "players.csv")
	require.Equal(t, 1, status)
	require.Contains(t, errs, "the server refuses")
	require.NotContains(t, errs, "wrong")

	require.NoError(t, os.WriteFile(token, []byte(signIn(t, a.URL(), name, password)+"\n"), 0o600))
	status, out, errs := send(medal+"players.csv", medal+"course.csv", "--dry-run")
	require.Zero(t, status, errs)
	require.Equal(t, "medal/course.csv: course, in tees, 54 rows: 3 new, 0 changed, 0 as before\n"+
		"medal/players.csv: players, 60 rows: 60 new, 0 changed, 0 as before\nDry run: nothing was stored.\n", base(t, out))
	last, _, err := a.Log.Last(t.Context())
	require.NoError(t, err)
	require.Zero(t, last)
	status, out, errs = send(medal+"players.csv", medal+"course.csv")
	require.Zero(t, status, errs)
	require.Contains(t, out, "\nImported.\n")

	status, out, errs = send("../../testdata/bad/players-bad-date.csv", medal+"course.csv")
	require.Equal(t, 1, status)
	require.Equal(t, "medal/course.csv: course, in tees, 54 rows: 0 new, 0 changed, 3 as before\n"+
		"bad/players-bad-date.csv:3: index_date: \"2025-02-30\" is not a day of the calendar; a date is written YYYY-MM-DD\n", base(t, out))
	require.Contains(t, errs, "players-bad-date.csv was refused; the files before it are imported")

	r := command.Request{Who: command.Who{Role: events.RoleCommittee, ID: name}, CommandID: "plan"}
	planned, err := a.Commands.Plan(t.Context(), r, "", command.PlanCompetition{Name: "Saturday Medal", Date: "2025-06-14"})
	require.NoError(t, err)
	terms := command.PresetTerms("stroke_play")
	terms.CourseID, terms.Tees = a.Commands.CourseID("Thrumsay Links"), []string{"White", "Yellow", "Red"}
	r.CommandID = "terms"
	_, err = a.Commands.SetTerms(t.Context(), r, planned.ID, terms)
	require.NoError(t, err)
	require.Eventually(t, func() bool {
		status, _, errs = send("--competition", "saturday medal", medal+"entries.csv")
		return status == 0
	}, 20*time.Second, 100*time.Millisecond, "the read models learn of the competition: %s", errs)
	c, _, err := a.Commands.Competition(t.Context(), planned.ID)
	require.NoError(t, err)
	require.Len(t, c.Field(), 60)
}

func signIn(t *testing.T, url, name, password string) string {
	t.Helper()
	body, err := json.Marshal(map[string]string{"name": name, "password": password})
	require.NoError(t, err)
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, url+"/api/v1/sessions", bytes.NewReader(body))
	require.NoError(t, err)
	r.Header.Set("Content-Type", "application/json")
	res, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer func() { require.NoError(t, res.Body.Close()) }()
	require.Equal(t, http.StatusCreated, res.StatusCode)
	var session struct {
		Token string `json:"token"`
	}
	require.NoError(t, json.NewDecoder(res.Body).Decode(&session))
	require.NotEmpty(t, session.Token)
	return session.Token
}
