package events_test

import (
	"flag"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
)

// update writes golden files for new event types or versions. The file of a
// version that was ever written to a log must not change.
var update = flag.Bool("update", false, "write testdata/events")

const goldenDir = "../testdata/events"

// goldenName is <type>.json, or <type>-<variant>.json.
func goldenName(x example) string {
	if x.variant == "" {
		return x.event.EventType() + ".json"
	}
	return x.event.EventType() + "-" + x.variant + ".json"
}

func goldenType(name string) string {
	eventType, _, _ := strings.Cut(strings.TrimSuffix(name, ".json"), "-")
	return eventType
}

// TestGoldenBytes: what is stored today reads and writes the same for ever.
func TestGoldenBytes(t *testing.T) {
	codec := events.NewCodec()
	if *update {
		for _, x := range examples() {
			body, err := codec.Encode(x.event)
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(filepath.Join(goldenDir, goldenName(x)), append(body, '\n'), 0o600))
		}
	}
	t.Parallel()
	for _, x := range examples() {
		name := goldenName(x)
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			body, err := codec.Encode(x.event)
			require.NoError(t, err)
			golden, err := os.ReadFile(filepath.Join(goldenDir, name))
			require.NoError(t, err)
			require.Equal(t, string(golden), string(body)+"\n")
			back, err := codec.Decode(goldenType(name), golden)
			require.NoError(t, err)
			require.Equal(t, x.event, back)
		})
	}
}

// TestGoldenFilesAndTypesMatch: no event type without a golden file, no golden
// file of a type that nobody can decode, and no file without its example.
func TestGoldenFilesAndTypesMatch(t *testing.T) {
	t.Parallel()
	known := events.NewCodec().Types()
	var expected, filled []string
	for _, x := range examples() {
		expected = append(expected, goldenName(x))
		if x.variant == "" {
			filled = append(filled, x.event.EventType())
		}
	}
	require.ElementsMatch(t, known, filled, "each type has one filled example")
	files, err := os.ReadDir(goldenDir)
	require.NoError(t, err)
	var found []string
	for _, f := range files {
		found = append(found, f.Name())
		require.Contains(t, known, goldenType(f.Name()), f.Name())
	}
	require.ElementsMatch(t, expected, found)
}

// TestFilledExamplesAreFilled: a field that is zero in every golden file could
// be renamed without a test noticing.
func TestFilledExamplesAreFilled(t *testing.T) {
	t.Parallel()
	for _, x := range examples() {
		if x.variant == "" {
			requireFilled(t, x.event.EventType(), reflect.ValueOf(x.event))
		}
	}
}

func requireFilled(t *testing.T, path string, v reflect.Value) {
	t.Helper()
	if v.Type() == reflect.TypeFor[events.Score]() {
		require.False(t, v.IsZero(), "%s has strokes or none", path)
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				requireFilled(t, path+"."+f.Name, v.Field(i))
			}
		}
	case reflect.Pointer:
		require.False(t, v.IsNil(), path)
		requireFilled(t, path, v.Elem())
	case reflect.Slice:
		require.NotZero(t, v.Len(), path)
		requireFilled(t, path+"[0]", v.Index(0))
	default:
		require.False(t, v.IsZero(), path)
	}
}
