package storetest

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"sort"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	_ "github.com/lib/pq" // the driver "postgres"
	"github.com/peterldowns/pgtestdb"
	"github.com/stretchr/testify/require"
)

// socketPort only names the socket file; the server listens on no network.
const socketPort = "5432"

// startTimeout bounds the start of a server on a busy machine.
const startTimeout = 60 * time.Second

// server is a temporary PostgreSQL server on a Unix socket in a folder of its own.
type server struct {
	bin, dir string
	sysattr  *syscall.SysProcAttr
	process  *os.Process
	gone     chan struct{} // closed when the process has ended
}

// startServer makes a database cluster in a temporary folder and starts it.
func startServer() (*server, error) {
	bin, err := findBinaries()
	if err != nil {
		return nil, err
	}
	attr, uid, gid, err := identity()
	if err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp(socketRoot(), "marram-pg-")
	if err != nil {
		return nil, fmt.Errorf("folder for PostgreSQL: %w", err)
	}
	s := &server{bin: bin, dir: dir, sysattr: attr}
	if err := errors.Join(os.Chown(dir, uid, gid), s.initialise()); err != nil {
		return nil, errors.Join(err, os.RemoveAll(dir))
	}
	if err := s.start(); err != nil {
		s.remove()
		return nil, err
	}
	return s, nil
}

// findBinaries finds the newest PostgreSQL that Debian installed.
func findBinaries() (string, error) {
	found, err := filepath.Glob("/usr/lib/postgresql/*/bin/postgres")
	if err != nil || len(found) == 0 {
		return "", errors.New("PostgreSQL is not installed: run make test, it installs PostgreSQL; or name a server in " + databaseURL)
	}
	sort.Slice(found, func(i, j int) bool {
		return len(found[i]) < len(found[j]) || len(found[i]) == len(found[j]) && found[i] < found[j]
	})
	return filepath.Dir(found[len(found)-1]), nil
}

// identity is who runs the server. PostgreSQL refuses to run as root, so root
// drops to the user that Debian's package made. The server ends with the test
// process, however that one ends.
func identity() (attr *syscall.SysProcAttr, uid, gid int, err error) {
	attr = &syscall.SysProcAttr{Setpgid: true}
	endWithParent(attr)
	uid, gid = os.Getuid(), os.Getgid()
	if uid != 0 {
		return attr, uid, gid, nil
	}
	if uid, gid, err = lookUp("postgres"); err != nil {
		return nil, 0, 0, fmt.Errorf("PostgreSQL does not run as root, and its own user is missing: run make test, it installs PostgreSQL: %w", err)
	}
	attr.Credential = &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}
	return attr, uid, gid, nil
}

// socketRoot is where the server's folder goes: a socket's path may have 107 bytes.
func socketRoot() string {
	if d := os.TempDir(); len(d) < 60 {
		return d
	}
	return "/tmp"
}

// initialise makes the cluster. Its collation is a linguistic one on purpose: a
// query that leans on the order of bytes must say so.
func (s *server) initialise() error {
	cmd := exec.Command(filepath.Join(s.bin, "initdb"), "--pgdata", s.data(), "--username", "postgres", "--auth", "trust",
		"--encoding", "UTF8", "--locale", "C.UTF-8", "--locale-provider", "icu", "--icu-locale", "en-US", "--no-sync", "--no-instructions")
	cmd.SysProcAttr, cmd.Dir = s.sysattr, s.dir
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("initdb: %w\n%s", err, out)
	}
	return nil
}

func (s *server) data() string { return filepath.Join(s.dir, "data") }

// start starts the process and waits until it answers.
func (s *server) start() error {
	log, err := os.OpenFile(filepath.Join(s.dir, "log"), os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
	if err != nil {
		return fmt.Errorf("start PostgreSQL: %w", err)
	}
	cmd := exec.Command(filepath.Join(s.bin, "postgres"), "-D", s.data(), "-k", s.dir, "-p", socketPort,
		"-c", "listen_addresses=", "-c", "fsync=off", "-c", "synchronous_commit=off", "-c", "full_page_writes=off",
		"-c", "max_connections=200", "-c", "shared_buffers=32MB")
	cmd.SysProcAttr, cmd.Dir, cmd.Stdout, cmd.Stderr = s.sysattr, s.dir, log, log
	started := make(chan error, 1)
	s.gone = make(chan struct{})
	go func(gone chan struct{}) {
		// The signal on the parent's death is tied to the thread that started
		// the process, so that thread must stay as long as the process does.
		runtime.LockOSThread()
		defer close(gone)
		defer func() { _ = log.Close() }() // PostgreSQL has its own handle
		err := cmd.Start()
		started <- err
		if err == nil {
			_ = cmd.Wait() // ended by stop, or shown by answer and its log
		}
	}(s.gone)
	if err := <-started; err != nil {
		return fmt.Errorf("start PostgreSQL: %w", err)
	}
	s.process = cmd.Process
	return s.answer()
}

// answer waits until the server takes a query.
func (s *server) answer() error {
	db, err := sql.Open("postgres", s.url())
	if err != nil {
		return fmt.Errorf("reach PostgreSQL: %w", err)
	}
	defer func() { _ = db.Close() }() // only pinged
	ctx, cancel := context.WithTimeout(context.Background(), startTimeout)
	defer cancel()
	tick := time.NewTicker(20 * time.Millisecond)
	defer tick.Stop()
	for {
		err := db.PingContext(ctx)
		if err == nil {
			return nil
		}
		select {
		case <-tick.C:
		case <-s.gone:
			return fmt.Errorf("PostgreSQL ended at its start:\n%s", s.log())
		case <-ctx.Done():
			return fmt.Errorf("PostgreSQL does not answer: %w\n%s", err, s.log())
		}
	}
}

func (s *server) log() string {
	b, err := os.ReadFile(filepath.Join(s.dir, "log"))
	if err != nil {
		return err.Error()
	}
	return strings.TrimSpace(string(b))
}

// stop ends the server at once, as a crash would, and waits until it is gone.
func (s *server) stop() {
	if s.process == nil {
		return
	}
	_ = s.process.Signal(syscall.SIGQUIT) // fails only where it has ended already
	<-s.gone
	s.process = nil
}

func (s *server) remove() {
	s.stop()
	_ = os.RemoveAll(s.dir) // a temporary folder; nothing depends on it
}

func (s *server) url() string {
	return "postgres://postgres@/postgres?sslmode=disable&port=" + socketPort + "&host=" + url.QueryEscape(s.dir)
}

func (s *server) config() pgtestdb.Config {
	return pgtestdb.Config{
		DriverName: "postgres", User: "postgres", Password: "unused", Port: socketPort, Database: "postgres",
		Options: "sslmode=disable&host=" + url.QueryEscape(s.dir), ForceTerminateConnections: true,
	}
}

// Server is a PostgreSQL server of one test's own, to be stopped and started
// while something uses it.
type Server struct {
	mu sync.Mutex
	s  *server
}

// StartServer starts a server, removed when the test ends.
func StartServer(t testing.TB) *Server {
	t.Helper()
	s, err := startServer()
	require.NoError(t, err)
	t.Cleanup(s.remove)
	return &Server{s: s}
}

// URL names its database.
func (s *Server) URL() string { return s.s.url() }

// Stop ends the server without letting it finish anything.
func (s *Server) Stop() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.s.stop()
}

// Start starts it again on the same data.
func (s *Server) Start(t testing.TB) {
	t.Helper()
	s.mu.Lock()
	defer s.mu.Unlock()
	require.NoError(t, s.s.start())
}
