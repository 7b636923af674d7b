package projections_test

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"os"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"marram.example/events"
	"marram.example/projections"
	"marram.example/projections/projectiontest"
	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
)

func TestMain(m *testing.M) {
	// Each check of a property here opens databases: 30 instead of 100, unless
	// the command line says otherwise.
	flag.Parse()
	if f := flag.Lookup("rapid.checks"); f.Value.String() == f.DefValue {
		if err := f.Value.Set("30"); err != nil {
			panic(err)
		}
	}
	code := storetest.Run(m)
	if err := goleak.Find(); err != nil && code == 0 {
		fmt.Fprintln(os.Stderr, "goroutines left behind:", err)
		code = 1
	}
	os.Exit(code)
}

// patience bounds every wait of these tests.
const patience = 30 * time.Second

func bounded(t *testing.T) context.Context {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	t.Cleanup(cancel)
	return ctx
}

func mustRunner(t testing.TB, o projections.Options) *projections.Runner {
	t.Helper()
	if o.RetryFirst == 0 {
		o.RetryFirst, o.RetryMost, o.LookEvery = time.Millisecond, 20*time.Millisecond, 5*time.Millisecond
	}
	r, err := projections.NewRunner(o)
	require.NoError(t, err)
	return r
}

// mustRun runs a runner until stop is called, which returns what Run returned.
// The test's end stops it too.
func mustRun(t *testing.T, r *projections.Runner) (stop func() error) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- r.Run(ctx) }()
	var once sync.Once
	var result error
	stop = func() error {
		once.Do(func() {
			cancel()
			result = <-ended
		})
		return result
	}
	t.Cleanup(func() { _ = stop() })
	return stop
}

func dump(t testing.TB, r *projections.Runner) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, r.Dump(context.Background(), &b))
	return b.String()
}

// reference is the dump of a log applied at once to an empty SQLite store.
func reference(t testing.TB, all []events.Recorded) string {
	t.Helper()
	s := storetest.Open(t, store.SQLite)
	return dump(t, projectiontest.MustCatchUp(t, s, projectiontest.NewLog(all, len(all)), projectiontest.ReadModels(s, &projectiontest.Keys{})...))
}
