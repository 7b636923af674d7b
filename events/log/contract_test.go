package log_test

import (
	"testing"

	"marram.example/events/log"
	"marram.example/events/log/logtest"
)

func TestEmbedded(t *testing.T) {
	dir := t.TempDir()
	logtest.Run(t, func(t *testing.T) *log.Log {
		return logtest.MustOpen(t, func(o *log.Options) { o.Dir = dir })
	})
}

func TestEmbeddedLazy(t *testing.T) {
	dir := t.TempDir()
	logtest.Run(t, func(t *testing.T) *log.Log {
		return logtest.MustOpen(t, func(o *log.Options) { o.Dir, o.LazySync = dir, true })
	})
}

func TestRemote(t *testing.T) {
	url, _ := logtest.MustServe(t)
	logtest.Run(t, func(t *testing.T) *log.Log {
		return logtest.MustOpen(t, func(o *log.Options) { o.NATSURL = url })
	})
}

func TestCluster(t *testing.T) {
	c := logtest.MustServeCluster(t, 3)
	logtest.Run(t, func(t *testing.T) *log.Log {
		return logtest.MustOpen(t, func(o *log.Options) { o.NATSURL, o.Replicas = c.URL(), 3 })
	})
}
