package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/netip"
	"time"

	"marram.example/cmd/marram/app"
)

// ServeCmd serves the club.
type ServeCmd struct {
	Place    `embed:""`
	Addr     string    `help:"Address to listen on." default:"127.0.0.1:8080" env:"MARRAM_ADDR"`
	ClubName string    `help:"The club's name as people say it." default:"Golf club" env:"MARRAM_CLUB_NAME"`
	TimeZone string    `help:"Time zone of the club's clock, such as Europe/Dublin; this machine's where empty." env:"MARRAM_TIME_ZONE"`
	HTTPS    bool      `help:"A proxy in front speaks HTTPS: mark cookies Secure." name:"https" env:"MARRAM_HTTPS"`
	Proxies  []string  `help:"Networks of the proxies in front, such as 127.0.0.1/32; their X-Forwarded-For says whom a request comes from." name:"trusted-proxy" placeholder:"NETWORK" env:"MARRAM_TRUSTED_PROXY"`
	TLSCert  string    `help:"Certificate in PEM, the server's first: Marram speaks HTTPS itself. A renewed file is taken up while it runs." name:"tls-cert" type:"path" placeholder:"FILE" env:"MARRAM_TLS_CERT"`
	TLSKey   string    `help:"The certificate's key in PEM." name:"tls-key" type:"path" placeholder:"FILE" env:"MARRAM_TLS_KEY"`
	ACME     ACMEFlags `embed:"" prefix:"acme-"`
	Plain    string    `help:"Address for plain HTTP beside HTTPS: it sends browsers on, and answers the challenges of ACME." name:"redirect-addr" placeholder:"ADDRESS" env:"MARRAM_REDIRECT_ADDR"`
	LazySync bool      `help:"Acknowledge scores before the disk has them. Faster on slow disks, but a power cut may lose the last two minutes." env:"MARRAM_LAZY_SYNC"`
}

// ACMEFlags are for a certificate that Marram obtains and renews itself.
type ACMEFlags struct {
	Host      []string `help:"Name under which browsers reach it: Marram obtains a certificate by ACME (RFC 8555), with the first visit." placeholder:"NAME" env:"MARRAM_ACME_HOST"`
	Email     string   `help:"Where the issuer writes when something is wrong." env:"MARRAM_ACME_EMAIL"`
	Directory string   `help:"The issuer's ACME directory; the usual public one where empty." placeholder:"URL" env:"MARRAM_ACME_DIRECTORY"`
	Root      string   `help:"Who vouches for a private issuer, in PEM." type:"path" placeholder:"FILE" env:"MARRAM_ACME_ROOT"`
	Terms     bool     `help:"You have read the issuer's terms and accept them." name:"accept-terms" env:"MARRAM_ACME_ACCEPT_TERMS"`
}

// stopWithin bounds a shutdown.
const stopWithin = 15 * time.Second

// Run serves until it is told to stop.
func (c *ServeCmd) Run(ctx context.Context, out io.Writer, lines *slog.Logger) error {
	o := c.options(lines)
	o.Addr, o.ClubName, o.HTTPS, o.LazySync = c.Addr, c.ClubName, c.HTTPS, c.LazySync
	o.TLS = app.TLS{
		CertFile: c.TLSCert, KeyFile: c.TLSKey, RedirectAddr: c.Plain,
		ACME: app.ACME{Hosts: c.ACME.Host, Email: c.ACME.Email, Directory: c.ACME.Directory, RootFile: c.ACME.Root, AcceptTerms: c.ACME.Terms},
	}
	var err error
	if o.Location, err = location(c.TimeZone); err != nil {
		return fmt.Errorf("--time-zone: %w", err)
	}
	if o.TrustedProxies, err = networks(c.Proxies); err != nil {
		return fmt.Errorf("--trusted-proxy: %w", err)
	}
	a, err := app.New(ctx, o)
	if err != nil {
		return err
	}
	if err := a.Start(ctx); err != nil {
		return errors.Join(err, stop(ctx, a))
	}
	if err := c.greet(ctx, out, a); err != nil {
		return errors.Join(err, stop(ctx, a))
	}
	select {
	case <-ctx.Done():
	case <-a.Failed():
	}
	return errors.Join(a.Err(), stop(ctx, a))
}

// networks reads addresses and networks; an address is a network of its own.
func networks(texts []string) ([]netip.Prefix, error) {
	out := make([]netip.Prefix, 0, len(texts))
	for _, text := range texts {
		if ip, err := netip.ParseAddr(text); err == nil {
			out = append(out, netip.PrefixFrom(ip, ip.BitLen()))
			continue
		}
		p, err := netip.ParsePrefix(text)
		if err != nil {
			return nil, fmt.Errorf("%q is not a network such as 127.0.0.1/32", text)
		}
		out = append(out, p)
	}
	return out, nil
}

func stop(ctx context.Context, a *app.App) error {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), stopWithin)
	defer cancel()
	return a.Stop(ctx)
}

// greet says what is in force and, on an empty folder, how to make the first
// account.
func (c *ServeCmd) greet(ctx context.Context, out io.Writer, a *app.App) error {
	_, _ = fmt.Fprintf(out, "Marram serves %s at %s\n  data    %s\n", c.ClubName, a.URL(), a.Where())
	if c.LazySync {
		_, _ = fmt.Fprintln(out, "  caution --lazy-sync is on: a power cut may lose the last two minutes of acknowledged scores")
	}
	if c.HTTPS && len(c.Proxies) == 0 {
		_, _ = fmt.Fprintln(out, "  caution --https without --trusted-proxy: everybody behind the proxy shares one limit of tries to sign in")
	}
	if !c.HTTPS && !a.SpeaksHTTPS() {
		_, _ = fmt.Fprintln(out, "  caution plain HTTP: fine on this machine, but phones cannot work without a signal and links travel in the clear; see --tls-cert, --acme-host or --https")
	}
	has, err := a.Auth.HasAccounts(ctx)
	if err != nil || has {
		return err
	}
	token, err := a.Auth.SetupToken(ctx)
	if err != nil {
		return err
	}
	_, _ = fmt.Fprintf(out, "\nNobody can sign in yet. Open this link once to make the committee's first account:\n  %s/setup/%s\n", a.URL(), token)
	return nil
}
