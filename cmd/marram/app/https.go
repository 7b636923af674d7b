package app

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"golang.org/x/crypto/acme"
	"golang.org/x/crypto/acme/autocert"
)

// TLS is how the program speaks HTTPS by itself: with a certificate from files, or
// with one that it obtains by ACME (RFC 8555). The zero value is plain HTTP.
type TLS struct {
	CertFile string // PEM, the server's certificate first
	KeyFile  string // PEM
	ACME     ACME

	// RedirectAddr also listens for plain HTTP there, sends browsers on to HTTPS and
	// answers the challenges of ACME; empty for neither.
	RedirectAddr string
}

// ACME is what obtaining a certificate needs.
type ACME struct {
	Hosts       []string // names that browsers use; empty for no ACME
	Email       string   // where the issuer writes when something is wrong; may be empty
	Directory   string   // of the issuer; empty for the usual public one
	RootFile    string   // PEM of who vouches for a private issuer; empty for those this machine trusts
	AcceptTerms bool     // the operator has read the issuer's terms
}

// On reports whether the program itself speaks HTTPS.
func (t TLS) On() bool { return t.CertFile != "" || t.KeyFile != "" || len(t.ACME.Hosts) > 0 }

// certificatesFolder holds what ACME obtained, within the data folder.
const certificatesFolder = "certificates"

// secured is HTTPS as it runs.
type secured struct {
	config   *tls.Config
	redirect http.Handler // for plain HTTP
}

// open reads what is needed. What is missing or does not fit is an error that names
// the setting.
func (t TLS) open(o Options) (*secured, error) {
	if !t.On() {
		if t.RedirectAddr != "" {
			return nil, errors.New("the address for plain HTTP is of no use without a certificate or ACME")
		}
		return nil, nil //nolint:nilnil // plain HTTP
	}
	if len(t.ACME.Hosts) > 0 {
		if t.CertFile != "" || t.KeyFile != "" {
			return nil, errors.New("a certificate comes from files or by ACME, not both")
		}
		return t.ACME.open(o)
	}
	files := &certificates{cert: t.CertFile, key: t.KeyFile, now: o.Now, lines: o.Logger}
	if err := files.load(); err != nil {
		return nil, err
	}
	return &secured{
		config:   &tls.Config{MinVersion: tls.VersionTLS12, GetCertificate: files.get, NextProtos: []string{"h2", "http/1.1"}},
		redirect: http.HandlerFunc(toHTTPS),
	}, nil
}

func (c ACME) open(o Options) (*secured, error) {
	if !c.AcceptTerms {
		return nil, errors.New("ACME needs the issuer's terms accepted: read them, then say so")
	}
	client := &acme.Client{DirectoryURL: c.Directory, UserAgent: "marram"}
	if c.RootFile != "" {
		pem, err := os.ReadFile(c.RootFile)
		if err != nil {
			return nil, fmt.Errorf("read who vouches for the ACME issuer: %w", err)
		}
		roots := x509.NewCertPool()
		if !roots.AppendCertsFromPEM(pem) {
			return nil, fmt.Errorf("%s holds no certificate in PEM", c.RootFile)
		}
		transport := http.DefaultTransport.(*http.Transport).Clone() //nolint:forcetypeassert // the standard library says so
		transport.TLSClientConfig = &tls.Config{RootCAs: roots, MinVersion: tls.VersionTLS12}
		client.HTTPClient = &http.Client{Transport: transport}
	}
	m := &autocert.Manager{
		Prompt: autocert.AcceptTOS, Cache: autocert.DirCache(filepath.Join(o.Data, certificatesFolder)),
		HostPolicy: autocert.HostWhitelist(c.Hosts...), Client: client, Email: c.Email,
	}
	config := m.TLSConfig()
	config.MinVersion = tls.VersionTLS12
	return &secured{config: config, redirect: m.HTTPHandler(http.HandlerFunc(toHTTPS))}, nil
}

// toHTTPS sends a reader on. What would change something is refused: its body has
// crossed the net in the clear already, and should not do so twice.
func toHTTPS(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		http.Error(w, "use HTTPS", http.StatusBadRequest)
		return
	}
	host, _, err := net.SplitHostPort(r.Host)
	if err != nil {
		host = r.Host
	}
	if host == "" || strings.ContainsAny(host, "/\\@") {
		http.Error(w, "no host", http.StatusBadRequest)
		return
	}
	http.Redirect(w, r, "https://"+host+r.URL.RequestURI(), http.StatusPermanentRedirect)
}

// lookAgain is how often the files of a certificate are looked at: whoever renews it
// replaces them while the program runs.
const lookAgain = time.Minute

// certificates is a certificate in files.
type certificates struct {
	cert, key string
	now       func() time.Time
	lines     *slog.Logger

	mu      sync.Mutex
	loaded  *tls.Certificate
	changed time.Time // of the newer of both files when they were loaded
	looked  time.Time
}

func (c *certificates) load() error {
	pair, err := tls.LoadX509KeyPair(c.cert, c.key)
	if err != nil {
		return fmt.Errorf("read the certificate %s with the key %s: %w", c.cert, c.key, err)
	}
	changed, err := c.newest()
	if err != nil {
		return err
	}
	c.loaded, c.changed, c.looked = &pair, changed, c.now()
	return nil
}

func (c *certificates) newest() (time.Time, error) {
	var newest time.Time
	for _, file := range []string{c.cert, c.key} {
		info, err := os.Stat(file)
		if err != nil {
			return newest, fmt.Errorf("look at the certificate: %w", err)
		}
		if info.ModTime().After(newest) {
			newest = info.ModTime()
		}
	}
	return newest, nil
}

// get gives the certificate, a renewed one after a minute at most. Files that cannot
// be read, or do not fit each other yet, leave the one that is in use.
func (c *certificates) get(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if now := c.now(); now.Sub(c.looked) >= lookAgain {
		c.looked = now
		changed, err := c.newest()
		if err == nil && !changed.Equal(c.changed) {
			err = c.load()
		}
		if err != nil {
			c.lines.Error("certificate not renewed", "error", err)
		}
	}
	return c.loaded, nil
}

// serveRedirect answers plain HTTP beside HTTPS.
func (a *App) serveRedirect(ctx context.Context) error {
	if a.opts.TLS.RedirectAddr == "" {
		return nil
	}
	var lc net.ListenConfig
	l, err := lc.Listen(ctx, "tcp", a.opts.TLS.RedirectAddr)
	if err != nil {
		return fmt.Errorf("listen on %s: %w", a.opts.TLS.RedirectAddr, err)
	}
	a.plain = l
	server := a.opts.Limits.server(a.secured.redirect)
	a.later("plain HTTP", server.Shutdown)
	a.work.Go(func() {
		if err := server.Serve(l); !errors.Is(err, http.ErrServerClosed) {
			a.fail("plain HTTP", err)
		}
	})
	return nil
}
