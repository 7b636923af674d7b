package auth

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"time"

	"github.com/alexedwards/argon2id"
	"github.com/alexedwards/scs/v2"

	"marram.example/api/command"
	eventlog "marram.example/events/log"
)

// SessionLifetime is how long a session lasts: one competition day.
const SessionLifetime = 12 * time.Hour

// Options are what sign-in needs.
type Options struct {
	Log      *eventlog.Log
	Commands *command.Service // opens card links

	// Secure says that browsers reach the service by HTTPS: cookies are then
	// sent over it alone and bound to this host.
	Secure bool

	// TrustedOrigins may post here besides our own pages, each as
	// scheme://host[:port]; needed behind a proxy that changes the host.
	TrustedOrigins []string

	Logger *slog.Logger     // default: discard
	Now    func() time.Time // default: the clock
}

// Auth says who a request comes from. All methods may be called concurrently.
type Auth struct {
	commands *command.Service
	accounts *eventlog.Bucket
	setup    *eventlog.Bucket
	sessions *scs.SessionManager
	cross    *http.CrossOriginProtection
	secure   bool
	lines    *slog.Logger
	now      func() time.Time

	hashing chan struct{} // at most maxHashings at once
	nobody  string        // a hash that no password of an account has: unknown names take as long as known ones

	byName, byAddress, badLinks *limiter
	signedIn                    *pairs
}

// New opens accounts and sessions on a log.
func New(ctx context.Context, o Options) (*Auth, error) {
	if o.Log == nil || o.Commands == nil {
		return nil, errors.New("auth: needs a log and the use cases")
	}
	if o.Logger == nil {
		o.Logger = slog.New(slog.DiscardHandler)
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	a := &Auth{
		commands: o.Commands, secure: o.Secure, lines: o.Logger, now: o.Now,
		hashing: make(chan struct{}, maxHashings),
		byName:  newLimiter(triesPerName, refillPerName), byAddress: newLimiter(triesPerAddress, refillPerAddress),
		badLinks: newLimiter(badLinksPerAddress, refillBadLinks), signedIn: newPairs(),
		cross: http.NewCrossOriginProtection(),
	}
	for _, origin := range o.TrustedOrigins {
		if err := a.cross.AddTrustedOrigin(origin); err != nil {
			return nil, fmt.Errorf("trusted origin: %w", err)
		}
	}
	var err error
	if a.nobody, err = argon2id.CreateHash(rand.Text(), hashParams()); err != nil {
		return nil, fmt.Errorf("hash a password: %w", err)
	}
	if a.accounts, err = o.Log.Bucket(ctx, "accounts", 0); err != nil {
		return nil, fmt.Errorf("open the accounts: %w", err)
	}
	if a.setup, err = o.Log.Bucket(ctx, "setup", 0); err != nil {
		return nil, fmt.Errorf("open the setup link: %w", err)
	}
	kept, err := o.Log.Bucket(ctx, "sessions", SessionLifetime)
	if err != nil {
		return nil, fmt.Errorf("open the sessions: %w", err)
	}
	a.sessions = newSessions(kept, o)
	return a, nil
}
