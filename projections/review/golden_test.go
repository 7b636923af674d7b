package review

import (
	"bytes"
	"encoding/json"
	"flag"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/projections/shots"
)

var update = flag.Bool("update", false, "write testdata/*.json")

// The whole of two reviews, as the API returns them: of nine holes with five earlier
// rounds and a field of four, and of six rounds of which one has scores only. The
// files are read, line by line, before they are kept. Figures are rounded to six
// decimals, so that no machine's last digit is in them.
func TestGoldenReviews(t *testing.T) {
	nine := func(rounds ...shots.Round) []shots.Round {
		for i := range rounds {
			rounds[i].Holes = rounds[i].Holes[:9]
			rounds[i].CourseRating, rounds[i].CourseHandicap = 35.2, 3.8
		}
		return rounds
	}
	own := nine(card())
	baseline, err := shots.Matched(broadie(), inventedHoles[:9], 35.2+3.8+1.5)
	require.NoError(t, err)
	six := nine(history(6)...)
	six[2] = scoresOnly(six[2])
	for name, in := range map[string]Input{
		"one_round": {
			Own: own, One: true, Past: nine(history(5)...), Field: nine(field(own[0], 3)...), Baseline: baseline,
			Corridors: []CorridorInput{{Group: shots.GroupDriver, Left: 20, Right: 15, CostLeft: 0.3, CostRight: 2}},
		},
		"six_rounds": {Own: six, Baseline: broadie(), BaselineNote: "An invented note.", Units: Yards},
	} {
		t.Run(name, func(t *testing.T) {
			got := written(t, reviewOf(t, in))
			file := filepath.Join("testdata", name+".json")
			if *update {
				require.NoError(t, os.MkdirAll("testdata", 0o755))
				require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, string(want), got)
		})
	}
}

var leaf = regexp.MustCompile(`\{[^{}\[\]]*\}|\[[^{}\[\]]*\]`)

// written is a review as JSON for a reader: what holds nothing else stands on a line.
func written(t *testing.T, r Review) string {
	t.Helper()
	text, err := json.Marshal(r)
	require.NoError(t, err)
	var value any
	require.NoError(t, json.Unmarshal(text, &value))
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", " ")
	require.NoError(t, encoder.Encode(rounded(value)))
	return leaf.ReplaceAllStringFunc(out.String(), func(s string) string {
		return strings.Join(strings.Fields(s), " ")
	})
}

func rounded(value any) any {
	switch v := value.(type) {
	case map[string]any:
		for k := range v {
			v[k] = rounded(v[k])
		}
	case []any:
		for i := range v {
			v[i] = rounded(v[i])
		}
	case float64:
		if v = math.Round(v*1e6) / 1e6; v == 0 {
			return 0.0 // no -0
		}
		return v
	}
	return value
}
