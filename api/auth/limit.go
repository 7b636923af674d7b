package auth

import (
	"fmt"
	"net/netip"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// How often somebody may try (common practice, no source). A whole club shares
// one address, so the limits per address are wide.
const (
	triesPerName       = 10
	refillPerName      = 30 * time.Second
	triesPerAddress    = 40
	refillPerAddress   = 10 * time.Second
	badLinksPerAddress = 20
	refillBadLinks     = 6 * time.Second
)

// TooMany says that somebody tried too often.
type TooMany struct { //nolint:errname // reads as what it says: *auth.TooMany
	After  time.Duration // when the next try is worth it
	Detail string        // a sentence for people
}

func (e *TooMany) Error() string { return fmt.Sprintf("%s (in %s)", e.Detail, e.After) }

// mostLimited bounds the memory that strangers can make a limiter use.
const mostLimited = 10_000

// limiter is a token bucket a key.
type limiter struct {
	burst  int
	refill time.Duration // for one more try

	mu   sync.Mutex
	keys map[string]*rate.Limiter
}

func newLimiter(burst int, refill time.Duration) *limiter {
	return &limiter{burst: burst, refill: refill, keys: make(map[string]*rate.Limiter)}
}

// take uses up one try of a key, or says how long until there is one.
func (l *limiter) take(key string, now time.Time) (wait time.Duration, ok bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	k, known := l.keys[key]
	if !known {
		if len(l.keys) >= mostLimited {
			l.forget(now)
		}
		k = rate.NewLimiter(rate.Every(l.refill), l.burst)
		l.keys[key] = k
	}
	r := k.ReserveN(now, 1)
	if wait = r.DelayFrom(now); wait > 0 {
		r.CancelAt(now)
		return wait, false
	}
	return 0, true
}

// give puts back a try that turned out to be a good one.
func (l *limiter) give(key string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	delete(l.keys, key)
}

// forget drops keys whose tries are all there again, and where that is not
// enough, any.
func (l *limiter) forget(now time.Time) {
	for key, k := range l.keys {
		if k.TokensAt(now) >= float64(l.burst) {
			delete(l.keys, key)
		}
	}
	for key := range l.keys {
		if len(l.keys) < mostLimited {
			return
		}
		delete(l.keys, key)
	}
}

// pairs remembers from which address an account signed in before, so that a
// stranger who keeps trying a name cannot keep its owner out.
type pairs struct {
	mu   sync.Mutex
	seen map[[2]string]bool
}

func newPairs() *pairs { return &pairs{seen: make(map[[2]string]bool)} }

func (p *pairs) has(name, address string) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.seen[[2]string{name, address}]
}

func (p *pairs) add(name, address string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(p.seen) >= mostLimited {
		clear(p.seen)
	}
	p.seen[[2]string{name, address}] = true
}

// network is what an address is limited by: itself, or for IPv6 the /64 that one
// household or host has to itself.
func network(address string) string {
	ip, err := netip.ParseAddr(address)
	if err != nil || ip.Unmap().Is4() {
		return address
	}
	p, err := ip.WithZone("").Prefix(64)
	if err != nil {
		return address
	}
	return p.String()
}
