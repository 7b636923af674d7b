package projections_test

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"math/big"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// workedExample is one question with one right answer. Numbers stay text until they become exact fractions.
type workedExample struct {
	ID        string         `json:"id"`
	Kind      string         `json:"kind"`
	Source    string         `json:"source"`
	Inputs    map[string]any `json:"inputs"`
	Expect    map[string]any `json:"expect"`
	Tolerance json.Number    `json:"tolerance"`
}

// answers hold the figures of one case under the keys that its kind may expect.
type answers map[string]any

// builtKinds is where a kind of case is tied to the code that answers it.
var builtKinds = map[string]func(inputs) (answers, error){
	"course_handicap":              courseHandicapCase,
	"playing_handicap":             playingHandicapCase,
	"allowance":                    allowanceCase,
	"strokes_received":             strokesReceivedCase,
	"round_tenth":                  roundTenthCase,
	"side_handicap":                sideHandicapCase,
	"match_strokes":                matchStrokesCase,
	"net_double_bogey":             netDoubleBogeyCase,
	"adjusted_gross":               adjustedGrossCase,
	"stableford_to_adjusted_gross": stablefordToAdjustedGrossCase,
	"par_bogey_to_points":          parBogeyToPointsCase,
	"score_differential":           scoreDifferentialCase,
	"handicap_index":               handicapIndexCase,
	"cap":                          capCase,
	"exceptional_score":            exceptionalScoreCase,
	"index_after_score":            indexAfterScoreCase,
	"stroke_play":                  strokePlayCase,
	"stableford":                   stablefordCase,
	"countback":                    countbackCase,
	"positions":                    positionsCase,
	"tee_times":                    teeTimesCase,
	"par_bogey":                    parBogeyCase,
	"maximum_score":                maximumScoreCase,
	"four_ball":                    fourBallCase,
	"best_of":                      bestOfCase,
	"best_totals":                  bestTotalsCase,
	"seeded_draw":                  seededDrawCase,
	"round_robin":                  roundRobinCase,
	"group_table":                  groupTableCase,
	"scorecard_ruling":             scorecardRulingCase,
	"skins":                        skinsCase,
	"match":                        matchCase,
	"match_state":                  matchStateCase,
	"expected_strokes":             expectedStrokesCase,
	"strokes_gained_hole":          strokesGainedHoleCase,
	"phase_totals":                 phaseTotalsCase,
	"classic_measures":             classicMeasuresCase,
	"bias_posterior":               biasPosteriorCase,
	"corridor":                     corridorCase,
	"one_sided_miss":               oneSidedMissCase,
}

// notBuiltYet names the kinds whose code does not exist yet. Their cases are not run: the test prints how many there are.
// A kind leaves this list when its code arrives; one that is in neither list fails.
var notBuiltYet = map[string]bool{}

// TestWorkedExamples runs every case in testdata/cases and in the folders that MARRAM_EXTRA_CASES names.
func TestWorkedExamples(t *testing.T) {
	examples := loadExamples(t)
	require.NotEmpty(t, examples)
	missing := map[string]int{}
	for _, example := range examples {
		kind := example.Kind
		answer, built := builtKinds[kind]
		if notBuiltYet[kind] {
			missing[kind]++
			continue
		}
		t.Run(example.ID, func(t *testing.T) {
			require.True(t, built, "unknown kind %q", kind)
			example.check(t, answer)
		})
	}
	kinds := make([]string, 0, len(missing))
	for kind := range missing {
		kinds = append(kinds, kind)
	}
	sort.Strings(kinds)
	total := 0
	for _, kind := range kinds {
		t.Logf("not built yet: %s x%d", kind, missing[kind])
		total += missing[kind]
	}
	t.Logf("%d cases run, %d not built yet", len(examples)-total, total)
}

func loadExamples(t *testing.T) []workedExample {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", "testdata", "cases", "*.json"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, folder := range filepath.SplitList(os.Getenv("MARRAM_EXTRA_CASES")) {
		if folder == "" {
			continue
		}
		require.NoError(t, filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error {
			if err == nil && !entry.IsDir() && filepath.Ext(path) == ".json" {
				files = append(files, path)
			}
			return err
		}))
	}
	var examples []workedExample
	for _, file := range files {
		examples = append(examples, readExamples(t, file)...)
	}
	return examples
}

func readExamples(t *testing.T, file string) []workedExample {
	t.Helper()
	source, err := os.Open(file)
	require.NoError(t, err)
	defer func() { _ = source.Close() }() // only read
	decoder := json.NewDecoder(source)
	decoder.UseNumber()
	var examples []workedExample
	require.NoError(t, decoder.Decode(&examples), file)
	require.NotEmpty(t, examples, file)
	for i, example := range examples {
		require.NotEmpty(t, example.ID, "%s, case %d", file, i+1)
		require.NotEmpty(t, example.Kind, "%s, case %s", file, example.ID)
		require.NotEmpty(t, example.Expect, "%s, case %s expects nothing", file, example.ID)
	}
	return examples
}

func (e workedExample) check(t *testing.T, answer func(inputs) (answers, error)) {
	t.Helper()
	got, err := answer(inputs(e.Inputs))
	if e.Expect["error"] == true {
		require.Error(t, err, "the inputs must be refused, the answer was %v", got)
		return
	}
	require.NoError(t, err)
	tolerance := new(big.Rat)
	if e.Tolerance != "" {
		_, ok := tolerance.SetString(e.Tolerance.String())
		require.True(t, ok, "tolerance %s", e.Tolerance)
	}
	for key, want := range e.Expect {
		if key == "error" {
			require.Equal(t, false, want)
			continue
		}
		value, ok := got[key]
		require.True(t, ok, "kind %s has no answer called %q", e.Kind, key)
		require.NoError(t, same(want, value, tolerance), "%s: want %v, got %v", key, want, value)
	}
}

// same compares an expected JSON value with an answer made of nil, text, exact numbers, lists and maps.
func same(want, got any, tolerance *big.Rat) error {
	if equal, ok := got.(together); ok {
		return equal.same(want, tolerance)
	}
	switch want := want.(type) {
	case json.Number:
		number, ok := exact(got)
		expected, parsed := new(big.Rat).SetString(want.String())
		if !ok || !parsed {
			return fmt.Errorf("%v is not the number %s", got, want)
		}
		difference := new(big.Rat).Sub(expected, number)
		if difference.Abs(difference).Cmp(tolerance) > 0 {
			return fmt.Errorf("%s differs from %s", number.FloatString(6), want)
		}
		return nil
	case []any:
		if unordered, ok := got.(set); ok {
			return unordered.same(want, tolerance)
		}
		list, ok := got.([]any)
		if !ok || len(list) != len(want) {
			return fmt.Errorf("%v is not a list of %d", got, len(want))
		}
		for i := range want {
			if err := same(want[i], list[i], tolerance); err != nil {
				return fmt.Errorf("entry %d: %w", i+1, err)
			}
		}
		return nil
	case map[string]any:
		object, ok := got.(map[string]any)
		if !ok || len(object) != len(want) {
			return fmt.Errorf("%v is not an object of %d keys", got, len(want))
		}
		for key := range want {
			value, found := object[key]
			if !found {
				return fmt.Errorf("%q is missing", key)
			}
			if err := same(want[key], value, tolerance); err != nil {
				return fmt.Errorf("%q: %w", key, err)
			}
		}
		return nil
	default:
		if want != got {
			return fmt.Errorf("%v differs from %v", got, want)
		}
		return nil
	}
}

// set is an answer whose order means nothing.
type set []any

func (s set) same(want []any, tolerance *big.Rat) error {
	if len(s) != len(want) {
		return fmt.Errorf("%v is not a set of %d", s, len(want))
	}
	rest := slices.Clone(s)
	for _, wanted := range want {
		at := slices.IndexFunc(rest, func(got any) bool { return same(wanted, got, tolerance) == nil })
		if at < 0 {
			return fmt.Errorf("%v is missing", wanted)
		}
		rest = slices.Delete(rest, at, at+1)
	}
	return nil
}

// together is a place of an order and those who share it: a list in any order, or the one who has it alone.
type together []any

func (t together) same(want any, tolerance *big.Rat) error {
	if shared, ok := want.([]any); ok {
		return set(t).same(shared, tolerance)
	}
	return set(t).same([]any{want}, tolerance)
}

func exact(value any) (*big.Rat, bool) {
	switch v := value.(type) {
	case int:
		return big.NewRat(int64(v), 1), true
	case *big.Rat:
		return v, true
	default:
		return nil, false
	}
}

// TestSameTellsDifferencesApart guards the comparison that all cases rely on.
func TestSameTellsDifferencesApart(t *testing.T) {
	none, cent := new(big.Rat), big.NewRat(1, 100)
	require.NoError(t, same(json.Number("13"), 13, none))
	require.NoError(t, same(json.Number("7.64"), big.NewRat(764, 100), none))
	require.NoError(t, same(json.Number("7.64"), big.NewRat(765, 100), cent))
	require.NoError(t, same(nil, nil, none))
	require.NoError(t, same([]any{json.Number("1"), nil}, []any{1, nil}, none))
	require.Error(t, same(json.Number("13"), 14, none))
	require.Error(t, same(json.Number("13"), nil, none))
	require.Error(t, same(json.Number("7.64"), big.NewRat(766, 100), cent))
	require.Error(t, same(nil, 0, none))
	require.Error(t, same("T2", "2", none))
	require.Error(t, same([]any{json.Number("1")}, []any{1, 2}, none))
	require.Error(t, same(map[string]any{"A": "1"}, map[string]any{"B": "1"}, none))
	require.NoError(t, same([]any{"A", json.Number("1")}, set{1, "A"}, none))
	require.Error(t, same([]any{"A", "A"}, set{"A", "B"}, none))
	require.NoError(t, same("A", together{"A"}, none))
	require.NoError(t, same([]any{"A"}, together{"A"}, none))
	require.NoError(t, same([]any{"B", "A"}, together{"A", "B"}, none))
	require.Error(t, same("A", together{"A", "B"}, none))
	require.Error(t, same("B", together{"A"}, none))
}

// TestKindsAreInOneList makes sure that no kind counts as missing although its code exists.
func TestKindsAreInOneList(t *testing.T) {
	for kind := range builtKinds {
		require.False(t, notBuiltYet[kind], kind)
		require.Equal(t, strings.TrimSpace(kind), kind)
	}
}
