package app_test

import (
	"bytes"
	"log/slog"
	"net/http"
	"net/netip"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api/apitest"
	"marram.example/cmd/marram/app"
)

// Tries to sign in are limited by address, so behind a proxy the address has to
// be that of the person.
func TestProxySaysWhomARequestComesFrom(t *testing.T) {
	t.Parallel()
	for _, k := range []struct {
		trusted []netip.Prefix
		want    string
	}{
		{nil, "address=127.0.0.1"},
		{[]netip.Prefix{netip.MustParsePrefix("127.0.0.1/32")}, "address=203.0.113.9"},
	} {
		var lines apitest.Lines
		a := mustStart(t, func(o *app.Options) {
			o.TrustedProxies, o.Logger = k.trusted, slog.New(slog.NewTextHandler(&lines, nil))
		})
		r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, a.URL()+"/api/v1/sessions",
			bytes.NewBufferString(`{"name":"nobody","password":"not the password"}`))
		require.NoError(t, err)
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("X-Forwarded-For", "203.0.113.9")
		res, err := http.DefaultClient.Do(r)
		require.NoError(t, err)
		require.NoError(t, res.Body.Close())
		require.Contains(t, lines.String(), k.want)
	}
}
