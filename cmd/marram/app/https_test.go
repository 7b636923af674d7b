package app_test

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"io"
	"math/big"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/cmd/marram/app"
)

const clubHost = "scores.club.example"

// mustPair writes a certificate for a host, and its key, to files.
func mustPair(t *testing.T, folder string, serial int64) (certFile, keyFile string, pool *x509.CertPool) {
	t.Helper()
	root, rootKey := mustRoot(t)
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	template := &x509.Certificate{
		SerialNumber: big.NewInt(serial), DNSNames: []string{clubHost}, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
	}
	leaf, err := x509.CreateCertificate(rand.Reader, template, root, key.Public(), rootKey)
	require.NoError(t, err)
	keyDER, err := x509.MarshalECPrivateKey(key)
	require.NoError(t, err)
	certFile, keyFile = filepath.Join(folder, "cert.pem"), filepath.Join(folder, "key.pem")
	require.NoError(t, os.WriteFile(certFile, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: leaf}), 0o600))
	require.NoError(t, os.WriteFile(keyFile, pem.EncodeToMemory(&pem.Block{Type: "EC PRIVATE KEY", Bytes: keyDER}), 0o600))
	pool = x509.NewCertPool()
	pool.AddCert(root)
	return certFile, keyFile, pool
}

// visitor reaches the program under the club's name and believes a root.
func visitor(t *testing.T, a *app.App, pool *x509.CertPool) *http.Client {
	t.Helper()
	tr := &http.Transport{
		TLSClientConfig: &tls.Config{RootCAs: pool, MinVersion: tls.VersionTLS12}, ForceAttemptHTTP2: true, DisableKeepAlives: true,
		DialContext: func(ctx context.Context, _, _ string) (net.Conn, error) {
			return new(net.Dialer).DialContext(ctx, "tcp", a.Addr())
		},
	}
	t.Cleanup(tr.CloseIdleConnections)
	return &http.Client{Transport: tr, Timeout: 20 * time.Second, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
}

func mustRun(t *testing.T, change func(*app.Options)) *app.App {
	t.Helper()
	o := app.DefaultOptions()
	o.Addr, o.Data, o.LazySync = "127.0.0.1:0", t.TempDir(), true
	change(&o)
	a, err := app.New(t.Context(), o)
	require.NoError(t, err)
	require.NoError(t, a.Start(t.Context()))
	t.Cleanup(func() { require.NoError(t, a.Stop(context.Background())) })
	return a
}

// seen is what a visitor sees of an answer.
type seen struct {
	StatusCode, ProtoMajor int
	Header                 http.Header
	TLS                    *tls.ConnectionState
}

func mustGet(t *testing.T, c *http.Client, url string) seen {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, url, nil)
	require.NoError(t, err)
	a, err := c.Do(r)
	require.NoError(t, err)
	_, err = io.Copy(io.Discard, a.Body)
	require.NoError(t, err)
	require.NoError(t, a.Body.Close())
	return seen{a.StatusCode, a.ProtoMajor, a.Header, a.TLS}
}

func TestHTTPSFromFiles(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	certFile, keyFile, pool := mustPair(t, folder, 1)
	var ahead atomic.Int64
	a := mustRun(t, func(o *app.Options) {
		o.TLS = app.TLS{CertFile: certFile, KeyFile: keyFile, RedirectAddr: "127.0.0.1:0"}
		o.Now = func() time.Time { return time.Now().Add(time.Duration(ahead.Load())) }
	})
	answer := mustGet(t, visitor(t, a, pool), "https://"+clubHost+"/")
	require.Equal(t, http.StatusOK, answer.StatusCode)
	require.Equal(t, 2, answer.ProtoMajor, "several boards share one connection")
	require.NotEmpty(t, answer.Header.Get("Strict-Transport-Security"))
	require.Contains(t, a.URL(), "https://")

	t.Run("plain HTTP leads to HTTPS, and takes nothing in", func(t *testing.T) {
		plain := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
		r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, "http://"+a.PlainAddr()+"/competitions/x?part=all", nil)
		require.NoError(t, err)
		r.Host = clubHost + ":80"
		got, err := plain.Do(r)
		require.NoError(t, err)
		require.NoError(t, got.Body.Close())
		require.Equal(t, http.StatusPermanentRedirect, got.StatusCode)
		require.Equal(t, "https://"+clubHost+"/competitions/x?part=all", got.Header.Get("Location"))
		r, err = http.NewRequestWithContext(t.Context(), http.MethodPost, "http://"+a.PlainAddr()+"/sign-in", nil)
		require.NoError(t, err)
		got, err = plain.Do(r)
		require.NoError(t, err)
		require.NoError(t, got.Body.Close())
		require.Equal(t, http.StatusBadRequest, got.StatusCode)
	})
	t.Run("a renewed certificate is used without a restart", func(t *testing.T) {
		require.EqualValues(t, 1, answer.TLS.PeerCertificates[0].SerialNumber.Int64())
		require.NoError(t, os.WriteFile(keyFile, []byte("half written"), 0o600))
		ahead.Store(int64(2 * time.Minute))
		require.Equal(t, http.StatusOK, mustGet(t, visitor(t, a, pool), "https://"+clubHost+"/livez").StatusCode, "the old one stays in use")
		_, _, renewed := mustPair(t, folder, 2)
		ahead.Store(int64(4 * time.Minute))
		got := mustGet(t, visitor(t, a, renewed), "https://"+clubHost+"/livez")
		require.EqualValues(t, 2, got.TLS.PeerCertificates[0].SerialNumber.Int64())
	})
}

func TestHTTPSByACME(t *testing.T) {
	t.Parallel()
	var a *app.App
	issuer := mustIssuer(t, func() string { return a.Addr() })
	data := t.TempDir()
	start := func(t *testing.T) {
		t.Helper()
		a = mustRun(t, func(o *app.Options) {
			o.Data = data
			o.TLS.ACME = app.ACME{
				Hosts: []string{clubHost}, Directory: issuer.URL + "/directory", RootFile: issuer.ownRoot(t), AcceptTerms: true,
			}
		})
	}
	t.Run("obtained with the first visit", func(t *testing.T) {
		start(t)
		got := mustGet(t, visitor(t, a, issuer.trust()), "https://"+clubHost+"/")
		require.Equal(t, http.StatusOK, got.StatusCode)
		require.Empty(t, issuer.refusal)
		require.Equal(t, 1, issuer.orders)
		require.Equal(t, "Invented issuer", got.TLS.PeerCertificates[0].Issuer.CommonName)

		_, err := tls.Dial("tcp", a.Addr(), &tls.Config{ServerName: "other.example", RootCAs: issuer.trust(), MinVersion: tls.VersionTLS12})
		require.Error(t, err, "nobody makes it ask for another name")
		require.Equal(t, 1, issuer.orders)
	})
	t.Run("kept over a restart", func(t *testing.T) {
		start(t)
		require.Equal(t, http.StatusOK, mustGet(t, visitor(t, a, issuer.trust()), "https://"+clubHost+"/").StatusCode)
		require.Equal(t, 1, issuer.orders, "from the data folder")
	})
}

func TestHTTPSSettingsThatDoNotFit(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	certFile, keyFile, _ := mustPair(t, folder, 1)
	_, otherKey, _ := mustPair(t, t.TempDir(), 1)
	for name, c := range map[string]struct {
		tls  app.TLS
		want string
	}{
		"key of another certificate": {app.TLS{CertFile: certFile, KeyFile: otherKey}, "read the certificate"},
		"no key":                     {app.TLS{CertFile: certFile}, "read the certificate"},
		"no certificate":             {app.TLS{KeyFile: keyFile}, "read the certificate"},
		"files and ACME":             {app.TLS{CertFile: certFile, KeyFile: keyFile, ACME: app.ACME{Hosts: []string{clubHost}, AcceptTerms: true}}, "not both"},
		"terms not accepted":         {app.TLS{ACME: app.ACME{Hosts: []string{clubHost}}}, "terms"},
		"root that is none":          {app.TLS{ACME: app.ACME{Hosts: []string{clubHost}, AcceptTerms: true, RootFile: keyFile}}, "holds no certificate"},
		"redirect to nowhere":        {app.TLS{RedirectAddr: ":80"}, "of no use"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			o := app.DefaultOptions()
			o.Data, o.TLS = t.TempDir(), c.tls
			_, err := app.New(t.Context(), o)
			require.ErrorContains(t, err, c.want)
		})
	}
}
