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

// TestEveryFieldIsFilledSomewhere: a field that is zero in every golden file could
// be renamed without a test noticing.
func TestEveryFieldIsFilledSomewhere(t *testing.T) {
	t.Parallel()
	filled := map[string]bool{}
	for _, x := range examples() {
		markFilled(filled, x.event.EventType(), reflect.ValueOf(x.event))
	}
	require.Greater(t, len(filled), len(examples()))
	for field, ok := range filled {
		require.True(t, ok, "%s is zero in every golden file", field)
	}
}

// markFilled notes for every field of every struct in v, under the struct's type,
// whether it was ever filled. Fields of an event type are under its stored name.
func markFilled(filled map[string]bool, name string, v reflect.Value) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			f := v.Type().Field(i)
			if !f.IsExported() {
				continue
			}
			key := name + "." + f.Name
			filled[key] = filled[key] || !v.Field(i).IsZero()
			markFilled(filled, f.Type.String(), v.Field(i))
		}
	case reflect.Pointer:
		if !v.IsNil() {
			markFilled(filled, v.Elem().Type().String(), v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			markFilled(filled, v.Index(i).Type().String(), v.Index(i))
		}
	}
}

// TestGoldenFilesHoldTheFieldsByName: the names under which a value is stored are
// looked at here by hand, since a golden file is written by the code it checks.
func TestGoldenFilesHoldTheFieldsByName(t *testing.T) {
	t.Parallel()
	body, err := os.ReadFile(filepath.Join(goldenDir, "marram.match.MatchHoleDecided.v1.json"))
	require.NoError(t, err)
	require.JSONEq(t, `{"number":19,"hole":2,"a":[{"strokes":5},{"strokes":4,"conceded":true}],"b":[{"strokes":5},{"none":"picked_up"}],
		"winner":"A","grounds":"scores","by":"player","by_side":"B"}`, string(body))
}
