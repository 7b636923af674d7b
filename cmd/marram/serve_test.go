package main

import (
	"net/netip"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestNetworksOfProxies(t *testing.T) {
	t.Parallel()
	got, err := networks([]string{"127.0.0.1", "10.1.0.0/16", "::1"})
	require.NoError(t, err)
	require.Equal(t, []netip.Prefix{
		netip.MustParsePrefix("127.0.0.1/32"), netip.MustParsePrefix("10.1.0.0/16"), netip.MustParsePrefix("::1/128"),
	}, got)
	for _, bad := range []string{"", "proxy.example", "10.1.0.0/33", "10.1.0.0/16,10.2.0.0/16"} {
		_, err := networks([]string{bad})
		require.ErrorContains(t, err, "is not a network", "%q", bad)
	}
}
