package logtest

import (
	"fmt"
	"net"
	"strings"
	"testing"
	"time"

	"github.com/nats-io/nats-server/v2/server"
	"github.com/stretchr/testify/require"
)

// MustServe starts a NATS server with JetStream on a free loopback port, for
// the length of the test, and returns its URL and how to stop it earlier.
func MustServe(t testing.TB) (url string, end func()) {
	t.Helper()
	s := mustStart(t, &server.Options{
		ServerName: "solo", Host: "127.0.0.1", Port: server.RANDOM_PORT,
		JetStream: true, StoreDir: t.TempDir(), SyncAlways: true, NoSigs: true,
	})
	t.Cleanup(func() { stop(s) })
	return s.ClientURL(), func() { stop(s) }
}

// Cluster is a NATS cluster in this process, on loopback.
type Cluster struct {
	nodes []*server.Server
	opts  []*server.Options
}

// MustServeCluster starts a cluster of n nodes that lasts as long as the test.
func MustServeCluster(t testing.TB, n int) *Cluster {
	t.Helper()
	c := &Cluster{}
	routes := make([]string, n)
	ports := freePorts(t, n)
	for i, p := range ports {
		routes[i] = fmt.Sprintf("nats://127.0.0.1:%d", p)
	}
	for i := range n {
		c.opts = append(c.opts, &server.Options{
			ServerName: fmt.Sprintf("node%d", i+1), Host: "127.0.0.1", Port: server.RANDOM_PORT,
			JetStream: true, StoreDir: t.TempDir(), SyncAlways: true, NoSigs: true,
			Cluster: server.ClusterOpts{Name: "links", Host: "127.0.0.1", Port: ports[i]},
			Routes:  server.RoutesFromStr(strings.Join(routes, ",")),
		})
		c.nodes = append(c.nodes, mustStart(t, c.opts[i].Clone()))
	}
	t.Cleanup(func() {
		for _, s := range c.nodes {
			stop(s)
		}
	})
	require.Eventually(t, func() bool {
		for _, s := range c.nodes {
			if s.JetStreamIsLeader() {
				return len(s.JetStreamClusterPeers()) == n
			}
		}
		return false
	}, 30*time.Second, 20*time.Millisecond, "the cluster has no leader")
	return c
}

// URL names the nodes, so that a client reaches those that live.
func (c *Cluster) URL() string {
	urls := make([]string, 0, len(c.nodes))
	for _, s := range c.nodes {
		urls = append(urls, s.ClientURL())
	}
	return strings.Join(urls, ",")
}

// StopLeader stops the node that leads the stream of the club.
func (c *Cluster) StopLeader(t testing.TB) {
	t.Helper()
	for _, s := range c.nodes {
		if s.JetStreamIsStreamLeader(server.DEFAULT_GLOBAL_ACCOUNT, "MARRAM_"+Club) {
			stop(s)
			return
		}
	}
	t.Fatal("no node leads the stream")
}

func mustStart(t testing.TB, o *server.Options) *server.Server {
	t.Helper()
	s, err := server.NewServer(o)
	require.NoError(t, err)
	s.Start()
	require.True(t, s.ReadyForConnections(20*time.Second), "server not ready")
	return s
}

func stop(s *server.Server) {
	s.Shutdown()
	s.WaitForShutdown()
}

// freePorts asks the system for ports that nobody uses. A route must know the
// other's port before that starts, so port 0 alone does not do.
func freePorts(t testing.TB, n int) []int {
	t.Helper()
	ports := make([]int, n)
	for i := range ports {
		ln, err := net.Listen("tcp", "127.0.0.1:0")
		require.NoError(t, err)
		defer func() { require.NoError(t, ln.Close()) }()
		ports[i] = ln.Addr().(*net.TCPAddr).Port
	}
	return ports
}
