package api_test

import (
	"bytes"
	"encoding/csv"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/api/csvfile"
	"marram.example/events"
)

// fullHole says everything that can be said of strokes.
func fullHole() object {
	return object{"strokes": []any{
		object{
			"lie": "tee", "distance": 400, "unit": "yd", "club": "driver", "target": "left", "aim": `=SUM(A1), the "gate"`, "shape": "fade", "commitment": 4,
			"strike": "poor", "penalty": 1, "good_enough": false, "word": "'@once", "intent_at": "2031-05-03T09:00:00.123456789+02:00", "struck_at": "2031-05-03T09:00:31+02:00",
			"miss": object{"side": "right", "side_by": 33, "length": "short", "length_by": 7, "unit": "ft"},
		},
		object{"lie": "tee", "distance": 400, "unit": "yd", "finish": object{"lie": "recovery", "distance": 112.5}, "aim": "-5 paces; left"},
		object{"lie": "recovery", "distance": 112.5, "finish": object{"lie": "green", "distance": 20, "unit": "ft"}, "word": "Zoë said: “fine”"},
		object{"lie": "green", "distance": 20, "unit": "ft", "club": "putter", "good_enough": true, "finish": object{"holed": true}},
	}}
}

// What goes out comes in as the same: nothing changes, byte for byte. Text that a
// spreadsheet would take for a formula is none.
func TestStrokesTableRoundTrip(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := pairs(t, c)
	card := "/cards/" + m.Cards[0]
	player := s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RolePlayer))
	player.Put(t, card+"/strokes/holes/3", fullHole()).Must(t, http.StatusOK)
	other := fullHole()
	other["ball"] = 1
	player.Put(t, card+"/strokes/holes/18", other).Must(t, http.StatusOK)
	out := player.Get(t, card+"/strokes.csv").Must(t, http.StatusOK)
	require.Equal(t, "text/csv; charset=utf-8", out.Header.Get("Content-Type"))
	table, err := csv.NewReader(bytes.NewReader(out.Body)).ReadAll()
	require.NoError(t, err)
	require.Len(t, table, 9)
	for _, row := range table {
		for _, cell := range row {
			require.False(t, cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])), "%q", cell)
		}
	}
	require.Equal(t, []string{"3", "1", "0", "tee", "365.76", "m", "driver", "left", `'=SUM(A1), the "gate"`}, table[1][:9])
	var before, after api.CardStrokes
	player.Get(t, card+"/strokes").JSON(t, &before)
	position := s.Position(t)
	var did api.Imported
	player.Post(t, card+"/strokes.csv", nil, apitest.Raw("text/csv", string(out.Body))).Must(t, http.StatusOK).JSON(t, &did)
	require.Equal(t, []int{8, 0, 0, 8}, []int{did.Rows, did.Added, did.Changed, did.Unchanged})
	require.Equal(t, position, s.Position(t))
	player.Get(t, card+"/strokes").JSON(t, &after)
	require.Equal(t, before, after)

	// On another card it adds the same strokes, and again nothing.
	second := "/cards/" + m.Cards[1]
	partner := s.Bearer(apitest.MustLink(t, c, m.Cards[1], events.RolePlayer))
	position = s.Position(t)
	partner.Post(t, second+"/strokes.csv?dry_run=true", nil, apitest.Raw("text/csv", string(out.Body))).Must(t, http.StatusOK).JSON(t, &did)
	require.Equal(t, []any{8, true}, []any{did.Added, did.DryRun})
	require.Equal(t, position, s.Position(t), "a dry run stored something")
	partner.Post(t, second+"/strokes.csv", nil, apitest.Raw("text/csv", string(out.Body))).Must(t, http.StatusOK).JSON(t, &did)
	require.Equal(t, 8, did.Added)
	require.Contains(t, did.Notes, "line 2, hole 3: 5 entered")
	require.Equal(t, string(out.Body), string(partner.Get(t, second+"/strokes.csv").Body))
	position = s.Position(t)
	partner.Post(t, second+"/strokes.csv", nil, apitest.Raw("text/csv", string(out.Body))).Must(t, http.StatusOK)
	require.Equal(t, position, s.Position(t))

	// A difference and what is taken off are said.
	partner.Post(t, second+"/strokes.csv", nil, apitest.Raw("text/csv", "hole,stroke,lie,distance,finish_lie\n3,1,tee,300,holed\n")).Must(t, http.StatusOK).JSON(t, &did)
	require.Equal(t, []string{"line 2, hole 3: what was logged there beyond these rows is taken off", "line 2, hole 3: the strokes say 1, the card says 5"}, did.Notes)
}

// Faults of a table come by line and column, and nothing of it is stored.
func TestBadStrokesTable(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	card := "/cards/" + m.Cards[0] + "/strokes.csv"
	player := s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RolePlayer))
	const good = "1,1,tee,300"
	for _, b := range []struct {
		columns, row string
		column, code string
	}{
		{"", "19,1,tee,300", "hole", "out_of_range"}, {"", "x,1,tee,300", "hole", "malformed"}, {"", ",1,tee,300", "hole", "required"},
		{"", "2,0,tee,300", "stroke", "out_of_range"}, {"", "2,2,tee,300", "stroke", "gap"}, {"", "1,1,tee,300", "stroke", "duplicate"},
		{"", "2,1,heather,300", "lie", "unknown"}, {"", "2,1,,300", "lie", "required"}, {"", "2,1,tee,0", "distance", "out_of_range"},
		{"", "2,1,tee,-3", "distance", "malformed"}, {"", "2,1,tee,3.00001", "distance", "malformed"}, {"", "2,1,tee,1600", "distance", "out_of_range"},
		{"", "2,1,tee,=1+1", "distance", "malformed"},
		{",unit", "2,1,tee,3,rod", "unit", "unknown"}, {",ball", "2,1,tee,3,1", "ball", "not_on_card"}, {",ball", "2,1,tee,3,4", "ball", "out_of_range"},
		{",club", "2,1,tee,3,spoon", "club", "unknown"}, {",target", "2,1,tee,3,up", "target", "unknown"}, {",shape", "2,1,tee,3,round", "shape", "unknown"},
		{",aim", "2,1,tee,3," + strings.Repeat("x", 201), "aim", "too_long"}, {",word", "2,1,tee,3,a\x01b", "word", "control_character"},
		{",commitment", "2,1,tee,3,6", "commitment", "out_of_range"}, {",commitment", "2,1,tee,3,0", "commitment", "out_of_range"},
		{",strike", "2,1,tee,3,pure", "strike", "unknown"}, {",penalty", "2,1,tee,3,5", "penalty", "out_of_range"},
		{",good_enough", "2,1,tee,3,perhaps", "good_enough", "unknown"},
		{",finish_lie,finish_distance", "2,1,tee,3,water,3", "finish_lie", "unknown"}, {",finish_lie,finish_distance", "2,1,tee,3,green,", "finish_distance", "out_of_range"},
		{",finish_lie,finish_distance", "2,1,tee,3,,3", "finish_lie", "required"}, {",finish_lie,finish_distance", "2,1,tee,3,holed,3", "finish_lie", "ambiguous"},
		{",finish_lie,finish_distance,finish_unit", "2,1,tee,3,green,3,rod", "finish_unit", "unknown"},
		{",miss_side", "2,1,tee,3,wide", "miss_side", "unknown"}, {",miss_side_by", "2,1,tee,3,4", "miss_side_by", "ambiguous"},
		{",miss_length", "2,1,tee,3,far", "miss_length", "unknown"}, {",miss_length,miss_length_by", "2,1,tee,3,level,4", "miss_length_by", "ambiguous"},
		{",miss_unit", "2,1,tee,3,rod", "miss_unit", "unknown"},
		{",intent_at", "2,1,tee,3,9:15", "intent_at", "malformed"}, {",intent_at", "2,1,tee,3,1999-01-01T00:00:00Z", "intent_at", "out_of_range"},
		{",intent_at,struck_at", "2,1,tee,3,2031-05-03T09:00:00Z,2031-05-03T08:00:00Z", "struck_at", "out_of_range"},
	} {
		before := s.Position(t)
		pad := strings.Repeat(",", strings.Count(b.columns, ","))
		text := "hole,stroke,lie,distance" + b.columns + "\n" + good + pad + "\n" + b.row + "\n"
		p := player.Post(t, card, nil, apitest.Raw("text/csv", text)).Must(t, http.StatusUnprocessableEntity).Problem(t)
		require.Len(t, p.Problems, 1, "%s: %v", b.row, p.Problems)
		x := p.Problems[0]
		require.Equal(t, []any{3, b.column, b.code}, []any{x.Row, x.Column, x.Code}, "%s: %s", b.row, x.Detail)
		require.Equal(t, before, s.Position(t), "%s stored something", b.row)
	}
	p := player.Post(t, card, nil, apitest.Raw("text/csv", "hole,stroke,lie,distance,wind\n1,1,tee,3,4\n")).Must(t, http.StatusUnprocessableEntity).Problem(t)
	require.Equal(t, []string{"wind", "unknown_column"}, []string{p.Problems[0].Column, p.Problems[0].Code})
	p = player.Post(t, card, nil, apitest.Raw("text/csv", "hole,lie,distance\n1,tee,3\n")).Must(t, http.StatusUnprocessableEntity).Problem(t)
	require.Equal(t, []string{"stroke", "missing_column"}, []string{p.Problems[0].Column, p.Problems[0].Code})
}

// The committee takes in the strokes of many cards at once. Words that it leaves out
// stay: it cannot read them.
func TestClubStrokes(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	x := mustReview(t, s)
	imports := "/imports/strokes?competition=" + x.Competition
	table := "member_no,hole,stroke,lie,distance,finish_lie,finish_distance\n" +
		"0100,1,1,tee,300,fairway,120\n0100,1,2,fairway,120,holed,\n0101,1,1,tee,305,holed,\n"
	var did api.Imported
	x.committee.Post(t, imports, nil, apitest.Raw("text/csv", table)).Must(t, http.StatusOK).JSON(t, &did)
	require.Equal(t, []int{3, 2, 1, 0}, []int{did.Rows, did.Added, did.Changed, did.Unchanged})
	h := strokesOf(t, x.player, x.Cards[0], 0, 1)
	require.Equal(t, []any{2, true, aimWords, ""}, []any{h.Count, h.Whole, h.Strokes[0].Aim, h.Strokes[0].Club})
	require.Equal(t, events.Score{}, h.Score, "the committee logs strokes, not scores")
	before := s.Position(t)
	x.committee.Post(t, imports, nil, apitest.Raw("text/csv", table)).Must(t, http.StatusOK).JSON(t, &did)
	require.Equal(t, []int{0, 0, 3}, []int{did.Added, did.Changed, did.Unchanged})
	require.Equal(t, before, s.Position(t))
	for row, want := range map[string]string{
		"9999,,1,1,tee,3": "member_no", "0100,2,1,1,tee,3": "round", "0100,1,1,1,heather,3": "lie", "0100,1,1,2,tee,3": "stroke",
	} {
		p := x.committee.Post(t, imports, nil, apitest.Raw("text/csv", "member_no,round,hole,stroke,lie,distance\n0101,,2,1,tee,3\n"+row+"\n")).
			Must(t, http.StatusUnprocessableEntity).Problem(t)
		require.Equal(t, []any{3, want}, []any{p.Problems[0].Row, p.Problems[0].Column}, row)
		require.Equal(t, before, s.Position(t))
	}
	p := x.committee.Post(t, "/imports/strokes", nil, apitest.Raw("text/csv", table)).Must(t, http.StatusUnprocessableEntity).Problem(t)
	require.Equal(t, "competition", p.Field)
	x.player.Post(t, imports, nil, apitest.Raw("text/csv", table)).Must(t, http.StatusForbidden)
}

// Every column of the table stands in the description.
func TestStrokesColumnsAreDescribed(t *testing.T) {
	t.Parallel()
	text := string(api.Description())
	for _, c := range csvfile.Strokes.Columns {
		require.Contains(t, text, "- `"+c.Name+"`: ", c.Name)
	}
}
