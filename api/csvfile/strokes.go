package csvfile

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"marram.example/events"
)

// What cells of strokes hold.
const (
	Word    Holds = "one of the words stated"
	Measure Holds = "number of at most four digits, with at most four decimals"
	Clock   Holds = "time as in RFC 3339, such as 2031-05-03T09:12:44Z"
	YesNo   Holds = "yes or no"
)

const (
	// Holed stands under finish_lie for a ball in the hole.
	Holed = "holed"

	lieWords  = "tee, fairway, rough, sand, recovery or green"
	unitWords = "m, yd or ft"
)

// Strokes is the table of the strokes of one card, for both directions: what is
// written by it reads as the same strokes. The committee's file has two columns more.
var Strokes = Table{
	Name: "strokes", MaxRows: 2000,
	Meaning: "one row a stroke; the rows of a hole are all its strokes, in place of what was logged there; holes without a row stay as they are",
	Columns: []Column{
		{Name: "hole", Required: true, Holds: Whole, Min: 1, Max: 18, Meaning: "number of the hole on the course", Example: "7"},
		{Name: "stroke", Required: true, Holds: Whole, Min: 1, Max: 40, Meaning: "which stroke of the hole, from 1 in order of play, penalty strokes not counted", Example: "1"},
		{Name: "ball", Holds: Whole, Min: 0, Max: 3, Meaning: "ball of a side: 0 is the first player's, or the one that a side plays", Blank: "0", Example: "0"},
		{Name: "lie", Required: true, Holds: Word, Meaning: "where the ball was played from: " + lieWords, Example: "tee"},
		{Name: "distance", Required: true, Holds: Measure, Meaning: "from there to the hole, above 0", Example: "362"},
		{Name: "unit", Holds: Word, Meaning: "of distance: " + unitWords, Blank: "m", Example: "m"},
		{Name: "club", Holds: Word, Meaning: "club: " + strings.Join(events.Clubs(), ", "), Blank: "not said", Example: "driver"},
		{Name: "target", Holds: Word, Meaning: "the intended line, seen from the ball: left, at or right", Blank: "not said", Example: "left"},
		{Name: "aim", Holds: Text, Meaning: "the target in the player's words", Blank: "not said; in the committee's file what stands", Example: "the white post"},
		{Name: "shape", Holds: Word, Meaning: "the intended flight: straight, draw or fade", Blank: "not said", Example: "draw"},
		{Name: "commitment", Holds: Whole, Min: 1, Max: 5, Meaning: "commitment to the intent, 5 for full", Blank: "not said", Example: "4"},
		{Name: "strike", Holds: Word, Meaning: "how it was struck, whatever became of the ball: poor, fair or good", Blank: "not said", Example: "good"},
		{Name: "finish_lie", Holds: Word, Meaning: "where the ball finished: holed, " + lieWords, Blank: "not said", Example: "fairway"},
		{Name: "finish_distance", Holds: Measure, Meaning: "what is left to the hole; blank where holed", Blank: "not said", Example: "141.5"},
		{Name: "finish_unit", Holds: Word, Meaning: "of finish_distance: " + unitWords, Blank: "m", Example: "m"},
		{Name: "miss_side", Holds: Word, Meaning: "side of the target on which it finished: left, right or on_line", Blank: "not said", Example: "right"},
		{Name: "miss_side_by", Holds: Measure, Meaning: "by how much", Blank: "not said", Example: "8"},
		{Name: "miss_length", Holds: Word, Meaning: "short, long or level with the target", Blank: "not said", Example: "short"},
		{Name: "miss_length_by", Holds: Measure, Meaning: "by how much", Blank: "not said", Example: "5"},
		{Name: "miss_unit", Holds: Word, Meaning: "of both amounts: " + unitWords, Blank: "m", Example: "m"},
		{Name: "penalty", Holds: Whole, Min: 0, Max: 4, Meaning: "penalty strokes that the stroke incurred", Blank: "0", Example: "0"},
		{Name: "good_enough", Holds: YesNo, Meaning: "good enough to go on with", Blank: "not said", Example: "yes"},
		{Name: "word", Holds: Text, Meaning: "a word afterwards", Blank: "not said; in the committee's file what stands", Example: "let it go"},
		{Name: "intent_at", Holds: Clock, Meaning: "when the intent was given, by the clock of the device", Blank: "not known", Example: "2031-05-03T09:12:44Z"},
		{Name: "struck_at", Holds: Clock, Meaning: "when the strike was judged, by the same clock", Blank: "not known", Example: "2031-05-03T09:13:10Z"},
	},
}

// ClubStrokes is the table of strokes of many cards, for the committee.
var ClubStrokes = Table{
	Name: "strokes", MaxRows: 20_000,
	Meaning: "one row a stroke of a card of one competition; " + strings.SplitN(Strokes.Meaning, "; ", 2)[1],
	Columns: append([]Column{
		{Name: "member_no", Required: true, Holds: Text, Meaning: "member number of a player with a card; of a side its first player's", Example: "0107"},
		{Name: "round", Holds: Whole, Min: 1, Max: 4, Meaning: "round in which the strokes were played", Blank: "the present one", Example: "2"},
	}, Strokes.Columns...),
}

// StrokeRow is one stroke.
type StrokeRow struct {
	Line     int
	MemberNo string // empty in the file of one card
	Round    int    // 0 where none is stated
	Hole     int
	Stroke   int // from 1
	Ball     int

	Lie        string
	Distance   float64
	Unit       string
	Club       string
	Target     string
	Aim        string
	Shape      string
	Commitment int // 0 where blank
	IntentAt   *time.Time
	StruckAt   *time.Time
	Strike     string

	FinishLie      string // Holed, a lie, or empty where blank
	FinishDistance float64
	FinishUnit     string

	MissSide     string
	MissSideBy   float64
	MissLength   string
	MissLengthBy float64
	MissUnit     string

	Penalty    int
	GoodEnough *bool
	Word       string
}

// Cells are the cells of a row under the columns of Strokes.
func (v StrokeRow) Cells() []string {
	good := ""
	if v.GoodEnough != nil {
		good = map[bool]string{true: "yes", false: "no"}[*v.GoodEnough]
	}
	by := map[string]string{
		"hole": strconv.Itoa(v.Hole), "stroke": strconv.Itoa(v.Stroke), "ball": strconv.Itoa(v.Ball),
		"lie": v.Lie, "distance": decimal(v.Distance), "unit": v.Unit, "club": v.Club, "target": v.Target, "aim": Shielded(v.Aim), "shape": v.Shape,
		"commitment": count(v.Commitment), "strike": v.Strike,
		"finish_lie": v.FinishLie, "finish_distance": decimal(v.FinishDistance), "finish_unit": v.FinishUnit,
		"miss_side": v.MissSide, "miss_side_by": decimal(v.MissSideBy), "miss_length": v.MissLength, "miss_length_by": decimal(v.MissLengthBy), "miss_unit": v.MissUnit,
		"penalty": strconv.Itoa(v.Penalty), "good_enough": good, "word": Shielded(v.Word), "intent_at": clock(v.IntentAt), "struck_at": clock(v.StruckAt),
	}
	out := make([]string, len(Strokes.Columns))
	for i, c := range Strokes.Columns {
		out[i] = by[c.Name]
	}
	return out
}

func count(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

func decimal(v float64) string {
	if v == 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func clock(t *time.Time) string {
	if t == nil {
		return ""
	}
	return t.UTC().Format(time.RFC3339Nano)
}

// formula matches text that a spreadsheet takes for a formula (OWASP, CSV injection,
// from memory), and such text behind the mark that keeps it from that.
var formula = regexp.MustCompile(`^'*[=+\-@\t\r\n]`)

// Shielded keeps text from being taken for a formula. Unshielded gives it back.
func Shielded(text string) string {
	if formula.MatchString(text) {
		return "'" + text
	}
	return text
}

// Unshielded is Shielded, backwards. Text that was never shielded stays as it is.
func Unshielded(text string) string {
	if rest, marked := strings.CutPrefix(text, "'"); marked && formula.MatchString(rest) {
		return rest
	}
	return text
}

// ReadStrokes reads the strokes of one card: the good rows in order of play by ball
// and hole, and the problems of the others.
func ReadStrokes(data []byte) (*File, []StrokeRow) { return readStrokes(data, Strokes) }

// ReadClubStrokes reads the strokes of many cards.
func ReadClubStrokes(data []byte) (*File, []StrokeRow) { return readStrokes(data, ClubStrokes) }

func readStrokes(data []byte, t Table) (*File, []StrokeRow) {
	f, records := read(data, t)
	seen := map[string]int{}
	out := rows(f, records, func(r *row) StrokeRow {
		v := StrokeRow{
			Line: r.rec.line, MemberNo: r.memberNo(), Round: r.whole("round"), Hole: r.whole("hole"), Stroke: r.whole("stroke"), Ball: r.whole("ball"),
			Lie: r.word("lie"), Distance: r.measure("distance"), Unit: r.word("unit"), Club: r.word("club"), Target: r.word("target"), Aim: Unshielded(r.text("aim")),
			Shape: r.word("shape"), Commitment: r.whole("commitment"), IntentAt: r.clock("intent_at"), StruckAt: r.clock("struck_at"), Strike: r.word("strike"),
			FinishLie: r.word("finish_lie"), FinishDistance: r.measure("finish_distance"), FinishUnit: r.word("finish_unit"),
			MissSide: r.word("miss_side"), MissSideBy: r.measure("miss_side_by"), MissLength: r.word("miss_length"), MissLengthBy: r.measure("miss_length_by"),
			MissUnit: r.word("miss_unit"), Penalty: r.whole("penalty"), GoodEnough: r.yesNo("good_enough"), Word: Unshielded(r.text("word")),
		}
		if v.FinishLie == "" && v.FinishDistance != 0 {
			r.fail("finish_lie", "required", "", "a distance stands here without the lie; write where the ball finished, or holed")
		}
		key := v.key()
		if line, twice := seen[key]; twice && r.ok {
			r.fail("stroke", "duplicate", "", "stroke %d of hole %d stands on line %d already", v.Stroke, v.Hole, line)
		}
		seen[key] = r.rec.line
		return v
	})
	slices.SortStableFunc(out, func(a, b StrokeRow) int {
		return cmp.Or(cmp.Compare(a.Ball, b.Ball), cmp.Compare(a.Hole, b.Hole), cmp.Compare(a.Stroke, b.Stroke))
	})
	return f, out
}

func (v StrokeRow) key() string {
	return fmt.Sprintf("%d %d %d %d %s", v.Round, v.Ball, v.Hole, v.Stroke, v.MemberNo)
}

// memberNo is the member number, which the file of one card does not have.
func (r *row) memberNo() string {
	if _, there := r.f.Table.Column("member_no"); !there {
		return ""
	}
	return r.text("member_no")
}

// word is one of a few words; which they are is for who decides.
func (r *row) word(column string) string {
	text, _ := r.value(column)
	if len(text) > mostWord {
		r.fail(column, "unknown", "", "%q is not known here", clip(text))
		return ""
	}
	return strings.ToLower(text)
}

// mostWord is longer than any of the words, in bytes.
const mostWord = 40

var measures = regexp.MustCompile(`^[0-9]{1,4}(?:[.,][0-9]{1,4})?$`)

// measure is a distance; 0 where blank.
func (r *row) measure(column string) float64 {
	text, given := r.value(column)
	if !given {
		return 0
	}
	v, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	switch {
	case err != nil || !measures.MatchString(text):
		r.fail(column, "malformed", "", "%q is not a number of at most four digits and four decimals", clip(text))
	case v == 0:
		r.fail(column, "out_of_range", "", "%s is above 0; leave the cell blank where it is not known", column)
	}
	return v
}

// clock is a time of a device; nil where blank.
func (r *row) clock(column string) *time.Time {
	text, given := r.value(column)
	if !given {
		return nil
	}
	t, err := time.Parse(time.RFC3339Nano, text)
	if err != nil {
		r.fail(column, "malformed", "", "%q is not a time; write it as 2031-05-03T09:12:44Z", clip(text))
		return nil
	}
	return &t
}

// yesNo is yes or no; nil where blank.
func (r *row) yesNo(column string) *bool {
	text, given := r.value(column)
	if !given {
		return nil
	}
	yes := strings.EqualFold(text, "yes")
	if !yes && !strings.EqualFold(text, "no") {
		r.fail(column, "unknown", "", "%q is neither yes nor no", clip(text))
	}
	return &yes
}
