package auth_test

import (
	"context"
	"errors"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/require"

	"marram.example/api/auth"
	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/log/logtest"
)

const password = "seven quiet herons"

// clock is a clock that the test moves.
type clock struct {
	mu sync.Mutex
	at time.Time
}

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.at
}

func (c *clock) pass(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at = c.at.Add(d)
}

type bench struct {
	*auth.Auth
	clock *clock
	echo  *echo.Echo
}

func mustNew(t *testing.T, change ...func(*auth.Options)) *bench {
	t.Helper()
	l := logtest.MustOpen(t)
	commands, err := command.New(t.Context(), command.Options{Log: l, Club: logtest.Club})
	require.NoError(t, err)
	b := &bench{clock: &clock{at: time.Now()}, echo: echo.New()}
	o := auth.Options{Log: l, Commands: commands, Now: b.clock.Now}
	for _, c := range change {
		c(&o)
	}
	b.Auth, err = auth.New(t.Context(), o)
	require.NoError(t, err)
	b.echo.IPExtractor = echo.ExtractIPDirect()
	return b
}

// request is the context of a request from an address.
func (b *bench) request(method, from string, change ...func(*http.Request)) (echo.Context, *httptest.ResponseRecorder) {
	r := httptest.NewRequest(method, "http://club.example/", nil)
	r.RemoteAddr = from + ":4711"
	for _, c := range change {
		c(r)
	}
	w := httptest.NewRecorder()
	return b.echo.NewContext(r, w), w
}

// who is who a request comes from.
func (b *bench) who(t *testing.T, c echo.Context) (command.Who, error) {
	t.Helper()
	var who command.Who
	err := b.Identify()(func(c echo.Context) error {
		who = b.Who(c)
		return nil
	})(c)
	return who, err
}

func with(cookie *http.Cookie) func(*http.Request) {
	return func(r *http.Request) { r.AddCookie(cookie) }
}

func bearer(token string) func(*http.Request) {
	return func(r *http.Request) { r.Header.Set("Authorization", "Bearer "+token) }
}

func (b *bench) mustSignIn(t *testing.T) *http.Cookie {
	t.Helper()
	c, w := b.request(http.MethodPost, "192.0.2.1")
	require.NoError(t, b.SignIn(c, "secretary", password))
	got := w.Result().Cookies()
	require.Len(t, got, 1)
	return got[0]
}

func code(t *testing.T, err error) string {
	t.Helper()
	e := events.AsError(err)
	require.NotNil(t, e, "%v", err)
	return e.Code
}

func TestSession(t *testing.T) {
	t.Parallel()
	b := mustNew(t)
	require.NoError(t, b.AddAccount(t.Context(), " Secretary ", password))
	k := b.mustSignIn(t)
	require.Equal(t, "marram_session", k.Name)
	require.True(t, k.HttpOnly)
	require.Equal(t, http.SameSiteLaxMode, k.SameSite)

	c, _ := b.request(http.MethodGet, "192.0.2.1", with(k))
	who, err := b.who(t, c)
	require.NoError(t, err)
	require.Equal(t, events.RoleCommittee, who.Role)
	all, err := b.Accounts(t.Context())
	require.NoError(t, err)
	require.Equal(t, "secretary", all[0].Name)
	require.Equal(t, all[0].ID, who.ID)
	require.NotContains(t, who.ID, "secretary")

	c, w := b.request(http.MethodPost, "192.0.2.1", with(k))
	require.NoError(t, b.SignOut(c))
	require.Negative(t, w.Result().Cookies()[0].MaxAge)
	c, _ = b.request(http.MethodGet, "192.0.2.1", with(k))
	who, err = b.who(t, c)
	require.NoError(t, err)
	require.Empty(t, who, "the session outlived its end")
}

func TestSessionEndsByItself(t *testing.T) {
	t.Parallel()
	b := mustNew(t)
	require.NoError(t, b.AddAccount(t.Context(), "secretary", password))
	k := b.mustSignIn(t)
	for _, step := range []struct {
		after time.Duration
		role  events.Role
	}{{auth.SessionLifetime - time.Minute, events.RoleCommittee}, {2 * time.Minute, ""}} {
		b.clock.pass(step.after)
		c, _ := b.request(http.MethodGet, "192.0.2.1", with(k))
		who, err := b.who(t, c)
		require.NoError(t, err)
		require.Equal(t, step.role, who.Role)
	}
}

// Another password, or none any more, ends the sessions of an account.
func TestSessionEndsWithItsPassword(t *testing.T) {
	t.Parallel()
	b := mustNew(t)
	require.NoError(t, b.AddAccount(t.Context(), "secretary", password))
	require.Equal(t, "last_account", code(t, b.RemoveAccount(t.Context(), "secretary")))
	require.NoError(t, b.AddAccount(t.Context(), "captain", password))
	first := b.mustSignIn(t)
	require.NoError(t, b.ChangePassword(t.Context(), "secretary", "nine noisy geese"))
	c, _ := b.request(http.MethodGet, "192.0.2.1", with(first))
	who, err := b.who(t, c)
	require.NoError(t, err)
	require.Empty(t, who)

	c, w := b.request(http.MethodPost, "192.0.2.1")
	require.NoError(t, b.SignIn(c, "secretary", "nine noisy geese"))
	require.NoError(t, b.RemoveAccount(t.Context(), "secretary"))
	c, _ = b.request(http.MethodGet, "192.0.2.1", with(w.Result().Cookies()[0]))
	who, err = b.who(t, c)
	require.NoError(t, err)
	require.Empty(t, who)
}

func TestSecureCookie(t *testing.T) {
	t.Parallel()
	b := mustNew(t, func(o *auth.Options) { o.Secure = true })
	require.NoError(t, b.AddAccount(t.Context(), "secretary", password))
	k := b.mustSignIn(t)
	require.Equal(t, "__Host-marram_session", k.Name)
	require.True(t, k.Secure)
	require.Equal(t, "/", k.Path)
	require.Empty(t, k.Domain)
}

// The token of a session works for a program, and then cookies do not count.
func TestBearer(t *testing.T) {
	t.Parallel()
	b := mustNew(t)
	require.NoError(t, b.AddAccount(t.Context(), "secretary", password))
	k := b.mustSignIn(t)
	c, w := b.request(http.MethodPost, "192.0.2.1")
	s, err := b.NewSession(c, "secretary", password)
	require.NoError(t, err)
	require.Empty(t, w.Result().Cookies())
	c, _ = b.request(http.MethodPost, "192.0.2.1", bearer(s.Token))
	who, err := b.who(t, c)
	require.NoError(t, err)
	require.Equal(t, events.RoleCommittee, who.Role)
	c, _ = b.request(http.MethodPost, "192.0.2.1", bearer("nothing"), with(k))
	_, err = b.who(t, c)
	require.Equal(t, "bad_token", code(t, err))
}

func TestPasswords(t *testing.T) {
	t.Parallel()
	b := mustNew(t)
	for _, k := range []struct{ name, password, field string }{
		{"secretary", "elevenchars", "password"},
		{"secretary", "ééééééééééé", "password"}, // 11 characters of 22 bytes
		{"secretary", strings.Repeat("x", auth.MaxPassword+1), "password"},
		{"secretary-of-club", "Secretary-of-Club", "password"},
		{"", password, "name"},
		{"no spaces", password, "name"},
		{strings.Repeat("n", 65), password, "name"},
	} {
		err := b.AddAccount(t.Context(), k.name, k.password)
		require.Equal(t, k.field, events.AsError(err).Field, "%q %q", k.name, k.password)
	}
	require.NoError(t, b.AddAccount(t.Context(), "secretary", "éééééééééééé"))
	require.Equal(t, "account_exists", code(t, b.AddAccount(t.Context(), "Secretary", password)))
	has, err := b.HasAccounts(t.Context())
	require.NoError(t, err)
	require.True(t, has)
}

// Whether the name or the password is wrong cannot be told from the answer. That
// it cannot be told from the time either rests on hashing in both cases: an
// unknown name takes as long as it takes to hash.
func TestRefusedAlike(t *testing.T) {
	t.Parallel()
	b := mustNew(t)
	require.NoError(t, b.AddAccount(t.Context(), "secretary", password))
	var answers []error
	for _, k := range [][2]string{{"secretary", "wrong password"}, {"nobody", "wrong password"}, {"no such name", ""}, {strings.Repeat("n", 100_000), "wrong password"}, {"secretary", strings.Repeat("x", 1000)}} {
		c, w := b.request(http.MethodPost, "192.0.2.1")
		answers = append(answers, b.SignIn(c, k[0], k[1]))
		require.Empty(t, w.Result().Cookies())
	}
	for _, err := range answers {
		require.Equal(t, "bad_credentials", code(t, err))
		require.Equal(t, answers[0].Error(), err.Error())
	}
}

func tries(t *testing.T, b *bench, name, from string) (n int, wait time.Duration) {
	t.Helper()
	for n = 0; n < 100; n++ {
		c, _ := b.request(http.MethodPost, from)
		err := b.SignIn(c, name, "wrong password")
		var many *auth.TooMany
		require.Error(t, err)
		if errors.As(err, &many) {
			return n, many.After
		}
	}
	return n, 0
}

// Tries are limited by name, from wherever they come, and by address, whichever
// name they are for; a stranger cannot keep out who has signed in before.
func TestTooManyTries(t *testing.T) {
	t.Parallel()
	b := mustNew(t)
	require.NoError(t, b.AddAccount(t.Context(), "secretary", password))
	b.mustSignIn(t) // from 192.0.2.1
	n, wait := tries(t, b, "secretary", "192.0.2.66")
	require.Equal(t, 10, n)
	require.Positive(t, wait)
	c, _ := b.request(http.MethodPost, "192.0.2.67")
	var many *auth.TooMany
	require.ErrorAs(t, b.SignIn(c, "secretary", password), &many, "the name is limited from other addresses too")
	b.mustSignIn(t)
	b.clock.pass(wait)
	c, _ = b.request(http.MethodPost, "192.0.2.67")
	require.NoError(t, b.SignIn(c, "secretary", password), "after the time that was stated it goes on")
}

func TestCrossSite(t *testing.T) {
	t.Parallel()
	b := mustNew(t, func(o *auth.Options) { o.TrustedOrigins = []string{"https://board.club.example"} })
	require.NoError(t, b.AddAccount(t.Context(), "secretary", password))
	k := b.mustSignIn(t)
	c, _ := b.request(http.MethodPost, "192.0.2.1")
	s, err := b.NewSession(c, "secretary", password)
	require.NoError(t, err)
	set := func(name, value string) func(*http.Request) {
		return func(r *http.Request) { r.Header.Set(name, value) }
	}
	for _, x := range []struct {
		name    string
		method  string
		change  []func(*http.Request)
		refused bool
	}{
		{"a form on another site", http.MethodPost, []func(*http.Request){with(k), set("Sec-Fetch-Site", "cross-site")}, true},
		{"another origin in an old browser", http.MethodPost, []func(*http.Request){with(k), set("Origin", "https://elsewhere.example")}, true},
		{"a site of the same owner", http.MethodPost, []func(*http.Request){with(k), set("Sec-Fetch-Site", "same-site")}, true},
		{"our own page", http.MethodPost, []func(*http.Request){with(k), set("Sec-Fetch-Site", "same-origin")}, false},
		{"a link from another site", http.MethodGet, []func(*http.Request){with(k), set("Sec-Fetch-Site", "cross-site")}, false},
		{"a trusted origin", http.MethodPost, []func(*http.Request){with(k), set("Origin", "https://board.club.example")}, false},
		{"a program", http.MethodPost, []func(*http.Request){bearer(s.Token), set("Origin", "https://elsewhere.example")}, false},
	} {
		c, _ := b.request(x.method, "192.0.2.1", x.change...)
		_, err := b.who(t, c)
		if x.refused {
			require.Equal(t, "cross_site", code(t, err), x.name)
			continue
		}
		require.NoError(t, err, x.name)
	}
}

// The setup link makes one account, once, also for two who use it at once.
func TestSetup(t *testing.T) {
	t.Parallel()
	b := mustNew(t)
	old, err := b.SetupToken(t.Context())
	require.NoError(t, err)
	token, err := b.SetupToken(t.Context())
	require.NoError(t, err)
	require.Equal(t, "bad_setup_token", code(t, b.SetUp(t.Context(), old, "secretary", password)))
	require.Equal(t, "bad_setup_token", code(t, b.SetUp(t.Context(), "", "secretary", password)))
	require.Equal(t, "too_short", code(t, b.SetUp(t.Context(), token, "secretary", "short")), "a slip does not use the link up")
	require.NoError(t, b.CheckSetup(t.Context(), token))

	var wg sync.WaitGroup
	results := make([]error, 4)
	for i := range results {
		wg.Go(func() {
			results[i] = b.SetUp(context.WithoutCancel(t.Context()), token, []string{"ada", "olaf", "imke", "jan"}[i], password)
		})
	}
	wg.Wait()
	made := 0
	for _, err := range results {
		if err == nil {
			made++
		}
	}
	require.Equal(t, 1, made)
	all, err := b.Accounts(t.Context())
	require.NoError(t, err)
	require.Len(t, all, 1)
	_, err = b.SetupToken(t.Context())
	require.Equal(t, "set_up", code(t, err))
	require.Equal(t, "set_up", code(t, b.SetUp(t.Context(), token, "jo", password)))
}

func TestBadCardLinks(t *testing.T) {
	t.Parallel()
	b := mustNew(t)
	var many *auth.TooMany
	for i := range 21 {
		c, w := b.request(http.MethodGet, "192.0.2.9")
		_, err := b.CardCookie(c, "no-such-token")
		require.Empty(t, w.Result().Cookies())
		if i < 20 {
			require.Equal(t, "bad_link", code(t, err))
			continue
		}
		require.ErrorAs(t, err, &many)
	}
	c, _ := b.request(http.MethodGet, "192.0.2.10")
	_, err := b.CardCookie(c, "no-such-token")
	require.Equal(t, "bad_link", code(t, err), "another address has its own count")
}

// A share opens its player's reviews by a cookie of its own, which scripts cannot
// read; it opens no card, and a card link opens no reviews.
func TestCoachCookie(t *testing.T) {
	t.Parallel()
	b := mustNew(t, func(o *auth.Options) { o.Secure = true })
	c, w := b.request(http.MethodGet, "192.0.2.1")
	_, err := b.CoachCookie(c, "not-a-token")
	require.Equal(t, "bad_link", code(t, err))
	require.Empty(t, w.Result().Cookies())
	stale := &http.Cookie{Name: "__Host-marram_coach_nobody", Value: "not-a-token"}
	c, _ = b.request(http.MethodGet, "192.0.2.1", with(stale))
	require.Equal(t, []string{"nobody"}, b.Coached(c))
	who, err := b.Coach(c, "nobody")
	require.NoError(t, err)
	require.Empty(t, who, "a link that opens nothing makes nobody of somebody")
}
