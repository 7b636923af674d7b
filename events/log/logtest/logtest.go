// Package logtest helps to test what stands on the event log: real logs that
// close themselves, real servers, a small decider, and the contract that every
// kind of log must fulfil.
package logtest

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/events/log"
)

// Club is the club of the logs that MustOpen opens.
const Club = "dunes"

// MustOpen opens a log that is closed at the end of the test: embedded in a
// folder of the test unless the options say otherwise.
func MustOpen(t testing.TB, change ...func(*log.Options)) *log.Log {
	t.Helper()
	o := log.Options{Club: Club}
	for _, c := range change {
		c(&o)
	}
	if o.NATSURL == "" && o.Dir == "" {
		o.Dir = t.TempDir()
	}
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	l, err := log.Open(ctx, o)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, l.Close()) })
	return l
}
