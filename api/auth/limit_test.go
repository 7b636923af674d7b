package auth

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestLimiter(t *testing.T) {
	t.Parallel()
	now := time.Date(2031, 5, 3, 8, 0, 0, 0, time.UTC)
	l := newLimiter(3, 10*time.Second)
	for range 3 {
		_, ok := l.take("a", now)
		require.True(t, ok)
	}
	wait, ok := l.take("a", now)
	require.False(t, ok)
	require.Equal(t, 10*time.Second, wait)
	wait, ok = l.take("a", now.Add(4*time.Second))
	require.False(t, ok)
	require.InDelta(t, 6, wait.Seconds(), 0.001, "a refused try costs nothing")
	_, ok = l.take("b", now)
	require.True(t, ok)
	_, ok = l.take("a", now.Add(10*time.Second))
	require.True(t, ok)
	l.give("a")
	_, ok = l.take("a", now.Add(10*time.Second))
	require.True(t, ok)
}

// However many names a stranger makes up, the limiter does not grow without end,
// and whoever is out of tries is forgotten last.
func TestLimiterForgets(t *testing.T) {
	t.Parallel()
	now := time.Date(2031, 5, 3, 8, 0, 0, 0, time.UTC)
	l := newLimiter(1, time.Hour)
	for i := range mostLimited - 1 {
		l.take(fmt.Sprint(i), now)
	}
	later := now.Add(time.Hour)
	l.take("kept", later)
	l.take("one too many", later)
	require.LessOrEqual(t, len(l.keys), mostLimited)
	_, ok := l.take("kept", later)
	require.False(t, ok)
}

func TestTriesFromOneAddress(t *testing.T) {
	t.Parallel()
	now := time.Date(2031, 5, 3, 8, 0, 0, 0, time.UTC)
	a := &Auth{
		byName: newLimiter(triesPerName, refillPerName), byAddress: newLimiter(triesPerAddress, refillPerAddress), signedIn: newPairs(),
		now: func() time.Time { return now },
	}
	for i := range triesPerAddress {
		require.NoError(t, a.mayTry(fmt.Sprint("name", i), network("2001:db8:0:1::5")))
	}
	var many *TooMany
	require.ErrorAs(t, a.mayTry("another", network("2001:db8:0:1::6")), &many, "one household is one address")
	require.Equal(t, refillPerAddress, many.After)
	require.NoError(t, a.mayTry("another", network("2001:db8:0:2::5")))
}

func TestNetwork(t *testing.T) {
	t.Parallel()
	for address, want := range map[string]string{
		"192.0.2.7": "192.0.2.7", "::ffff:192.0.2.7": "::ffff:192.0.2.7", "2001:db8:0:1::5": "2001:db8:0:1::/64",
		"fe80::1%eth0": "fe80::/64", "what": "what",
	} {
		require.Equal(t, want, network(address))
	}
}
