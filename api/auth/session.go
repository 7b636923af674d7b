package auth

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/alexedwards/scs/v2"
	"github.com/labstack/echo/v4"

	"marram.example/events"
	eventlog "marram.example/events/log"
)

// Session is a sign-in that a program keeps and sends back as
// Authorization: Bearer.
type Session struct {
	Token   string
	Expires time.Time // UTC
}

// What a session holds.
const (
	sessionName     = "name"     // of the account
	sessionPassword = "password" // digest of the password's hash: another password ends the session
)

func newSessions(kept *eventlog.Bucket, o Options) *scs.SessionManager {
	m := scs.New()
	m.Store = &sessionStore{kept: kept, now: o.Now}
	m.Lifetime = SessionLifetime
	m.HashTokenInStore = true
	m.Cookie.Name = cookieName("session", o.Secure)
	m.Cookie.HttpOnly, m.Cookie.Secure, m.Cookie.SameSite, m.Cookie.Path = true, o.Secure, http.SameSiteLaxMode, "/"
	return m
}

// cookieName is that of one of our cookies. The prefix makes browsers refuse a
// cookie of this name that is not from this very host over HTTPS.
func cookieName(name string, secure bool) string {
	if secure {
		return "__Host-marram_" + name
	}
	return "marram_" + name
}

// SignIn checks name and password and gives the browser a session. It fails with
// bad_credentials, whichever of the two is wrong, or with *TooMany.
func (a *Auth) SignIn(c echo.Context, name, password string) error {
	s, err := a.NewSession(c, name, password)
	if err != nil {
		return err
	}
	ctx, err := a.sessions.Load(c.Request().Context(), s.Token)
	if err != nil {
		return fmt.Errorf("read a session: %w", err)
	}
	a.sessions.WriteSessionCookie(ctx, c.Response(), s.Token, s.Expires)
	return nil
}

// NewSession is SignIn for a program: it returns the token and sets no cookie.
func (a *Auth) NewSession(c echo.Context, name, password string) (Session, error) {
	ctx := c.Request().Context()
	acc, err := a.check(ctx, cleanName(name), password, network(c.RealIP()))
	if err != nil {
		return Session{}, err
	}
	if ctx, err = a.sessions.Load(ctx, ""); err != nil {
		return Session{}, fmt.Errorf("make a session: %w", err)
	}
	a.sessions.Put(ctx, sessionName, acc.Name)
	a.sessions.Put(ctx, sessionPassword, digest(acc.Hash))
	token, expires, err := a.sessions.Commit(ctx)
	if err != nil {
		return Session{}, fmt.Errorf("keep a session: %w", err)
	}
	a.lines.Info("signed in", "account", acc.ID)
	return Session{Token: token, Expires: expires.UTC().Truncate(time.Second)}, nil
}

// noName stands for every name that no account can have.
const noName = "-"

// check finds the account of a name and password. Unknown names cost as much
// time as known ones and are refused alike.
func (a *Auth) check(ctx context.Context, name, password, address string) (stored, error) {
	if !accountName.MatchString(name) {
		name = noName // however long it is
	}
	if err := a.mayTry(name, address); err != nil {
		return stored{}, err
	}
	refused := events.Forbidden("bad_credentials", "name or password is wrong")
	if len(password) > MaxPassword {
		password = "" // never that of an account; hashed all the same
	}
	acc, ok, err := a.account(ctx, name)
	if err != nil {
		return stored{}, err
	}
	hash := a.nobody
	if ok {
		hash = acc.Hash
	}
	match, err := a.matches(ctx, password, hash)
	if err != nil {
		return stored{}, err
	}
	if !ok || !match {
		a.lines.Warn("refused", "wanted", "sign-in", "address", address)
		return stored{}, refused
	}
	a.byName.give(name)
	a.byName.give(knownHere(name, address))
	a.signedIn.add(name, address)
	return acc, nil
}

// mayTry counts a try to sign in.
func (a *Auth) mayTry(name, address string) error {
	now := a.now()
	if a.signedIn.has(name, address) { // tries of its own: whoever else tries from the club's address keeps no owner out
		name = knownHere(name, address)
	} else if wait, ok := a.byAddress.take(address, now); !ok {
		return &TooMany{After: wait, Detail: "too many tries to sign in from here; wait a little"}
	}
	if wait, ok := a.byName.take(name, now); !ok {
		return &TooMany{After: wait, Detail: "too many tries to sign in with this name; wait a little"}
	}
	return nil
}

// knownHere is the key of an account's tries from an address where it has signed
// in before. No name of an account has a space.
func knownHere(name, address string) string { return name + " " + address }

// SignOut ends the session of a request, by cookie or bearer token; without one
// it does nothing.
func (a *Auth) SignOut(c echo.Context) error {
	token, bearer := bearerToken(c.Request())
	if !bearer {
		if k, err := c.Cookie(a.sessions.Cookie.Name); err == nil {
			token = k.Value
		}
	}
	ctx, err := a.sessions.Load(c.Request().Context(), token)
	if err != nil {
		return fmt.Errorf("read a session: %w", err)
	}
	if a.sessions.Token(ctx) != "" {
		if err := a.sessions.Destroy(ctx); err != nil {
			return fmt.Errorf("end a session: %w", err)
		}
	}
	if !bearer {
		a.sessions.WriteSessionCookie(ctx, c.Response(), "", time.Time{})
	}
	return nil
}

// session is the account whose session a token is, if any.
func (a *Auth) session(ctx context.Context, token string) (acc stored, ok bool, err error) {
	ctx, err = a.sessions.Load(ctx, token)
	if err != nil {
		return stored{}, false, fmt.Errorf("read a session: %w", err)
	}
	name := a.sessions.GetString(ctx, sessionName)
	if name == "" {
		return stored{}, false, nil
	}
	acc, ok, err = a.account(ctx, name)
	if err != nil || !ok || digest(acc.Hash) != a.sessions.GetString(ctx, sessionPassword) {
		return stored{}, false, err
	}
	return acc, true, nil
}

// sessionStore keeps sessions in a bucket of the log, each behind its expiry in
// seconds since 1970.
type sessionStore struct {
	kept *eventlog.Bucket
	now  func() time.Time
}

var _ scs.CtxStore = (*sessionStore)(nil)

const expiryBytes = 8

// FindCtx implements scs.CtxStore.
func (s *sessionStore) FindCtx(ctx context.Context, token string) ([]byte, bool, error) {
	b, err := s.kept.Get(ctx, token)
	if errors.Is(err, eventlog.ErrNoKey) {
		return nil, false, nil
	}
	if err != nil {
		return nil, false, err
	}
	if len(b) < expiryBytes || s.now().Unix() >= int64(binary.BigEndian.Uint64(b)) { //nolint:gosec // written by CommitCtx
		return nil, false, nil
	}
	return b[expiryBytes:], true, nil
}

// CommitCtx implements scs.CtxStore.
func (s *sessionStore) CommitCtx(ctx context.Context, token string, b []byte, expiry time.Time) error {
	out := binary.BigEndian.AppendUint64(make([]byte, 0, expiryBytes+len(b)), uint64(expiry.Unix())) //nolint:gosec // after 1970
	return s.kept.Put(ctx, token, append(out, b...))
}

// DeleteCtx implements scs.CtxStore.
func (s *sessionStore) DeleteCtx(ctx context.Context, token string) error {
	return s.kept.Delete(ctx, token)
}

// Find implements scs.Store.
func (s *sessionStore) Find(token string) ([]byte, bool, error) {
	return s.FindCtx(context.Background(), token)
}

// Commit implements scs.Store.
func (s *sessionStore) Commit(token string, b []byte, expiry time.Time) error {
	return s.CommitCtx(context.Background(), token, b, expiry)
}

// Delete implements scs.Store.
func (s *sessionStore) Delete(token string) error { return s.DeleteCtx(context.Background(), token) }
