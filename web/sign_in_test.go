package web_test

import (
	"context"
	"io"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFirstAccountIsMadeOnce(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	token, err := m.auth.SetupToken(context.Background())
	require.NoError(t, err)
	v := m.visit().reads("/setup/" + token)
	v.wellMade()
	fill := func(name, password, again string) *visitor {
		v.reads("/setup/" + token)
		s := v.fieldsOf(all(v.page, "form")[0]).set("name", name).set("password", password).set("again", again)
		s.action, s.method = "/setup/"+token, "post"
		return s.send()
	}
	assert.Equal(t, http.StatusUnprocessableEntity, fill("secretary", "seven tides a week", "six tides a week").status)
	assert.Contains(t, v.words(), "The two passwords differ.")
	assert.Equal(t, http.StatusUnprocessableEntity, fill("secretary", "short", "short").status)
	v.wellMade()
	assert.Equal(t, http.StatusOK, fill("secretary", "seven tides a week", "seven tides a week").status)
	assert.Equal(t, "/desk", v.at, "and is signed in")
	other := m.visit().open("/setup/" + token)
	assert.Equal(t, "/sign-in", other.at)
}

func TestSignInAndOut(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	v := m.secretary()
	v.reads("/")
	assert.Contains(t, v.links(), "/competitions/"+m.competition)
	v.form("/sign-out").send()
	assert.Equal(t, "/", v.at)
	v.open("/desk")
	assert.Contains(t, v.at, "/sign-in", "the desk asks to sign in again")
	v.reads("/sign-in").form("/sign-in").set("name", "secretary").set("password", "wrong").send()
	assert.Equal(t, http.StatusForbidden, v.status)
	v.wellMade()
	assert.Contains(t, v.words(), "Name or password is wrong.")
	assert.NotContains(t, v.text, `value="wrong"`)
}

func TestSignInLeadsOnlyToOurOwnPages(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.secretary()
	for to, want := range map[string]string{
		"/competitions/" + m.competition: "/competitions/" + m.competition, "https://elsewhere.example/": "/desk", "//elsewhere.example": "/desk",
		`/\elsewhere.example`: "/desk", "": "/desk", "/desk\x00": "/desk", "/desk\x7f": "/desk",
	} {
		v := m.visit().reads("/sign-in")
		v.form("/sign-in").set("name", "secretary").set("password", "seven tides a week").set("to", to).send()
		assert.Equal(t, want, v.at, to)
	}
}

// The address of the page before comes from the browser, but a page may have an
// address that reads as another site's.
func TestTheWayBackLeadsOnlyToOurOwnPages(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	for from, back := range map[string]bool{"/competitions/" + m.competition: true, "//elsewhere.example/x": false, "?x=1": false} {
		req, err := http.NewRequest(http.MethodGet, m.server.URL+"/nowhere", http.NoBody)
		require.NoError(t, err)
		req.Header.Set("Referer", m.server.URL+from)
		v := m.visit()
		answer, err := v.client.Do(req)
		require.NoError(t, err)
		text, err := io.ReadAll(answer.Body)
		require.NoError(t, err)
		require.NoError(t, answer.Body.Close())
		assert.Equal(t, back, strings.Contains(string(text), `href="`+from+`"`), from)
		assert.Equal(t, back, strings.Contains(string(text), "Back to where you were"), from)
	}
}
