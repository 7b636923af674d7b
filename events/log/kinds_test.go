package log_test

import (
	"testing"

	"marram.example/events/log"
	"marram.example/events/log/logtest"
)

// kinds are the logs whose servers answer a repeat in different ways.
func kinds(t *testing.T, run func(t *testing.T, open func(change ...func(*log.Options)) *log.Log)) {
	t.Run("embedded", func(t *testing.T) {
		dir := t.TempDir()
		run(t, func(change ...func(*log.Options)) *log.Log {
			return logtest.MustOpen(t, append(change, func(o *log.Options) { o.Dir = dir })...)
		})
	})
	remoteKinds(t, run)
}

// remoteKinds are those that several processes may share.
func remoteKinds(t *testing.T, run func(t *testing.T, open func(change ...func(*log.Options)) *log.Log)) {
	t.Run("remote", func(t *testing.T) {
		url, _ := logtest.MustServe(t)
		run(t, func(change ...func(*log.Options)) *log.Log {
			return logtest.MustOpen(t, append(change, func(o *log.Options) { o.NATSURL = url })...)
		})
	})
	t.Run("cluster", func(t *testing.T) {
		c := logtest.MustServeCluster(t, 3)
		run(t, func(change ...func(*log.Options)) *log.Log {
			return logtest.MustOpen(t, append(change, func(o *log.Options) { o.NATSURL, o.Replicas = c.URL(), 3 })...)
		})
	})
}
