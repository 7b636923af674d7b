package log

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"time"

	"github.com/nats-io/nats-server/v2/server"
)

// embeddedBatchLimit is how many events one command may store on the embedded
// server. It covers an import of a whole club's history in one command.
const embeddedBatchLimit = 20000

// embedded is the server in this process: no listener, reachable only from it.
type embedded struct {
	server *server.Server
	lock   *os.File
}

func startEmbedded(ctx context.Context, o Options) (*embedded, error) {
	if err := os.MkdirAll(o.Dir, 0o700); err != nil {
		return nil, fmt.Errorf("folder of the event log: %w", err)
	}
	lock, err := lockFile(filepath.Join(o.Dir, "marram.lock"))
	if err != nil {
		return nil, fmt.Errorf("folder %s of the event log: %w", o.Dir, err)
	}
	s, err := server.NewServer(&server.Options{
		ServerName: "marram",
		JetStream:  true,
		StoreDir:   o.Dir,
		DontListen: true,
		NoSigs:     true,
		SyncAlways: !o.LazySync,
		JetStreamLimits: server.JSLimitOpts{
			MaxBatchSize: embeddedBatchLimit,
		},
	})
	if err != nil {
		return nil, errors.Join(fmt.Errorf("embedded event log: %w", err), lock.Close())
	}
	s.SetLoggerV2(serverLog{o.Logger}, false, false, false)
	e := &embedded{server: s, lock: lock}
	s.Start()
	if !s.ReadyForConnections(startLimit(ctx)) || !s.JetStreamEnabled() {
		return nil, errors.Join(fmt.Errorf("embedded event log in %s did not start; see the lines above", o.Dir), e.close())
	}
	return e, nil
}

// startLimit leaves time for a big store that must be read again after a crash.
func startLimit(ctx context.Context) time.Duration {
	if d, ok := ctx.Deadline(); ok {
		return time.Until(d)
	}
	return 5 * time.Minute
}

// close stops the server and frees the folder, within ten seconds.
func (e *embedded) close() error {
	done := make(chan struct{})
	go func() {
		defer close(done)
		e.server.Shutdown()
		e.server.WaitForShutdown()
	}()
	select {
	case <-done:
		return e.lock.Close()
	case <-time.After(10 * time.Second):
		return errors.Join(errors.New("embedded event log did not stop in 10 s"), e.lock.Close())
	}
}

// serverLog hands the server's lines to slog. What the server calls a notice is
// of interest only to who looks for a fault.
type serverLog struct{ to *slog.Logger }

func (l serverLog) Noticef(f string, v ...any) { l.to.Debug("nats: " + fmt.Sprintf(f, v...)) }
func (l serverLog) Warnf(f string, v ...any)   { l.to.Warn("nats: " + fmt.Sprintf(f, v...)) }
func (l serverLog) Errorf(f string, v ...any)  { l.to.Error("nats: " + fmt.Sprintf(f, v...)) }
func (l serverLog) Fatalf(f string, v ...any)  { l.to.Error("nats: " + fmt.Sprintf(f, v...)) }
func (l serverLog) Debugf(f string, v ...any)  { l.to.Debug("nats: " + fmt.Sprintf(f, v...)) }
func (l serverLog) Tracef(f string, v ...any)  { l.to.Debug("nats: " + fmt.Sprintf(f, v...)) }
