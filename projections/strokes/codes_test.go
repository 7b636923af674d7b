package strokes

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
)

func TestCodesAreUnambiguous(t *testing.T) {
	t.Parallel()
	require.Len(t, words, len(codes), "no two words have one code")
	for word, code := range codes {
		require.Equal(t, word, decoded(coded(word)))
		require.NotContains(t, codes, code, "no code is a word")
	}
	for _, club := range events.Clubs() {
		require.Contains(t, codes, club, "every club has a code")
	}
	for _, other := range []string{"", "niblick"} {
		require.Equal(t, other, decoded(coded(other)))
	}
}

func TestAPackedCardThatIsNoneIsRefused(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"x,1,T,3,,,,,,,,,,,,,,,,a;", ",1,T,far,,,,,,,,,,,,,,,,a;", ",1,T,3,,,,,noon,,,,,,,,,,,a;", ",1,T,3,,,,,,,,,,,,,,,,%zz;"} {
		var l lines
		require.ErrorContains(t, l.UnmarshalText([]byte(text)), "read a packed card", text)
	}
	var h holeText
	require.ErrorContains(t, h.UnmarshalText([]byte("one,4,350,1,,,")), "read a packed card")
}
