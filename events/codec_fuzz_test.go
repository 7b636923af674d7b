package events_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
)

// FuzzDecode: whatever decodes is written back to something that decodes to the
// same event, and writes the same bytes from then on.
func FuzzDecode(f *testing.F) {
	files, err := os.ReadDir(goldenDir)
	require.NoError(f, err)
	for _, file := range files {
		body, err := os.ReadFile(filepath.Join(goldenDir, file.Name()))
		require.NoError(f, err)
		f.Add(goldenType(file.Name()), body)
	}
	f.Add("marram.card.HoleScored.v1", []byte(`{"hole":1,"score":null,"by":"player"}]`))
	f.Add("marram.card.HoleScored.v9", []byte(`null`))
	codec := events.NewCodec()
	f.Fuzz(func(t *testing.T, eventType string, body []byte) {
		e, err := codec.Decode(eventType, body)
		if err != nil {
			require.Nil(t, e)
			return
		}
		require.Equal(t, eventType, e.EventType())
		first, err := codec.Encode(e)
		require.NoError(t, err)
		again, err := codec.Decode(eventType, first)
		require.NoError(t, err, "%s", first)
		require.Equal(t, e, again)
		second, err := codec.Encode(again)
		require.NoError(t, err)
		require.Equal(t, string(first), string(second))
	})
}
