// Package app is the whole program as a value: New, Start, Addr, Stop. The
// command line and the tests run the same one.
package app

import (
	"log/slog"
	"net/netip"
	"time"
)

// Options are the settings of a program. DefaultOptions is the one place for
// their defaults.
type Options struct {
	Addr        string // to listen on, host:port
	Data        string // folder of log and read models
	Club        string // short name of the club, one subject token
	ClubName    string // the club's name as people say it
	NATSURL     string // remote NATS; empty for the embedded log in Data
	Replicas    int    // of the stream on a remote NATS
	DatabaseURL string // PostgreSQL; empty for SQLite in Data
	LazySync    bool   // acknowledge before the disk has it; a power cut may lose the last two minutes
	HTTPS       bool   // a proxy in front speaks HTTPS: cookies are marked Secure
	TLS         TLS    // how the program itself speaks HTTPS; the zero value is plain HTTP

	// TrustedProxies are the networks of proxies in front, whose X-Forwarded-For
	// says whom a request comes from. Without one everybody behind a proxy shares
	// its limits of tries to sign in.
	TrustedProxies []netip.Prefix

	Limits Limits // of one connection

	Location *time.Location   // of the club's clock
	Now      func() time.Time // the clock
	Logger   *slog.Logger
}

// DefaultOptions are what a club gets that states nothing.
func DefaultOptions() Options {
	return Options{
		Addr: "127.0.0.1:8080", Data: "marram-data", Club: "club", ClubName: "Golf club", Replicas: 1,
		Limits:   DefaultLimits(),
		Location: time.Local, Now: time.Now, Logger: slog.New(slog.DiscardHandler),
	}
}
