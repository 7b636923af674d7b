package csvfile_test

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/api/csvfile"
)

// written is rows as the table that holds them.
func written(t require.TestingT, rows []csvfile.StrokeRow) []byte {
	table := [][]string{nil}
	for _, c := range csvfile.Strokes.Columns {
		table[0] = append(table[0], c.Name)
	}
	for _, r := range rows {
		table = append(table, r.Cells())
	}
	var b bytes.Buffer
	require.NoError(t, csv.NewWriter(&b).WriteAll(table))
	return b.Bytes()
}

// tidy is text as it is kept: one line, without what cannot be seen.
func tidy(text string) string {
	return strings.Join(strings.Fields(strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7f && r < 0xa0 || r == 0xFFFD {
			return -1
		}
		return r
	}, text)), " ")
}

// Any row that is written reads as itself.
func TestStrokeRowsReadAsWritten(t *testing.T) {
	t.Parallel()
	metres := rapid.Map(rapid.IntRange(1, 15_000_000), func(n int) float64 { return float64(n) / 1e4 })
	text := rapid.Map(rapid.OneOf(rapid.String(), rapid.StringMatching(`'{0,3}[=+@"',;-]?[a-z ,;"']{0,12}`)), tidy)
	at := rapid.Ptr(rapid.Map(rapid.Int64Range(1e9, 7e9), func(s int64) time.Time { return time.Unix(s, s%1e9).UTC() }), true)
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(t, "rows")
		var want []csvfile.StrokeRow
		for i := range n {
			r := csvfile.StrokeRow{
				Line: i + 2, Hole: 7, Stroke: i + 1, Lie: rapid.SampledFrom([]string{"tee", "green"}).Draw(t, "lie"), Distance: metres.Draw(t, "distance"), Unit: "m",
				Aim: text.Draw(t, "aim"), Word: text.Draw(t, "word"), Commitment: rapid.IntRange(0, 5).Draw(t, "commitment"),
				IntentAt: at.Draw(t, "intent"), StruckAt: at.Draw(t, "struck"), Penalty: rapid.IntRange(0, 4).Draw(t, "penalty"),
				GoodEnough: rapid.Ptr(rapid.Bool(), true).Draw(t, "good"),
			}
			if rapid.Bool().Draw(t, "finished") {
				r.FinishLie, r.FinishDistance, r.FinishUnit = "rough", metres.Draw(t, "left"), "m"
			}
			want = append(want, r)
		}
		f, got := csvfile.ReadStrokes(written(t, want))
		require.Empty(t, f.List())
		require.Equal(t, want, got)
	})
}

func TestShielded(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"=1": "'=1", "'=1": "''=1", "''@": "'''@", "+": "'+", "-5": "'-5", "\tx": "'\tx", "it's": "it's", "'tis": "'tis", "": "", "''": "''", "a=b": "a=b",
	} {
		require.Equal(t, want, csvfile.Shielded(text))
		require.Equal(t, text, csvfile.Unshielded(want))
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`'*[=+@-]?.{0,3}`)).Draw(t, "text")
		out := csvfile.Shielded(text)
		require.Equal(t, text, csvfile.Unshielded(out))
		require.False(t, out != "" && strings.ContainsRune("=+-@\t\r\n", rune(out[0])))
	})
}

func TestStrokesAreRecognized(t *testing.T) {
	t.Parallel()
	table, err := csvfile.Recognize([]byte("member_no,hole,stroke,lie,distance\n"))
	require.NoError(t, err)
	require.Equal(t, csvfile.ClubStrokes.Meaning, table.Meaning)
}

// Whatever the file, rows and problems are such as the reader promises, and what it
// took reads as itself again.
func FuzzReadStrokes(f *testing.F) {
	for _, seed := range []string{
		"hole,stroke,lie,distance\n7,1,tee,362\n", "member_no;hole;stroke;lie;distance;aim\n0107;7;1;tee;36,5;'=x\n", "hole,stroke,lie,distance,word\n1,2,green,3,\"a \"\"b\"\"\"\n",
		"hole,stroke,lie,distance,intent_at,good_enough\n1,1,tee,3,2031-05-03T09:12:44.5+02:00,Yes\n", "hole,stroke,lie,distance,finish_lie,finish_distance\n1,1,tee,3,,4\n",
		"hole\n", "", "\"", "hole,stroke,lie,distance,finish_lie,finish_distance,miss_side,miss_side_by\n1,1,tee,0003.10,green,1,left,2\n",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		_, _ = csvfile.ReadClubStrokes(data)
		file, rows := csvfile.ReadStrokes(data)
		require.LessOrEqual(t, len(file.List()), csvfile.MaxProblems)
		if len(file.List()) > 0 || len(rows) == 0 {
			return
		}
		for i := range rows {
			require.Positive(t, rows[i].Line)
			require.Positive(t, rows[i].Distance)
			rows[i].Line = i + 2
		}
		again, got := csvfile.ReadStrokes(written(t, rows))
		require.Empty(t, again.List())
		require.Len(t, got, len(rows))
		for i := range rows {
			require.Equal(t, rows[i].Cells(), got[i].Cells())
		}
	})
}
