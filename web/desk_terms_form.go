package web

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"marram.example/api/command"
	"marram.example/events"
)

// holeChoices are the holes that a round may have, as the form names them.
var holeChoices = map[string][2]int{"18": {1, 18}, "front": {1, 9}, "back": {10, 18}}

// termsValues are terms as the form holds them.
func termsValues(t *events.Terms) url.Values {
	v := url.Values{
		"format": {t.Format}, "ranking": {t.Ranking}, "allowance_percent": {strconv.Itoa(t.AllowancePercent)},
		"course_id": {t.CourseID}, "tie_method": {t.TieMethod}, "tie_share": {t.TieShare}, "names_as": {t.NamesAs},
		"field_limit": {positive(t.FieldLimit)}, "maximum_index_tenths": {""},
		"start.kind": {t.Start.Kind}, "start.first_time": {t.Start.FirstTime}, "start.interval_minutes": {strconv.Itoa(t.Start.IntervalMinutes)},
		"start.group_size": {strconv.Itoa(t.Start.GroupSize)}, "start.empty_interval_after": {positive(t.Start.EmptyIntervalAfter)},
	}
	for name, on := range map[string]bool{
		"par_difference": t.ParDifference, "leave_out_par": t.LeaveOutPar, "one_prize_a_player": t.OnePrizeAPlayer, "board_public": t.BoardPublic,
	} {
		if on {
			v.Set(name, "1")
		}
	}
	if t.MaximumIndexTenths != nil {
		v.Set("maximum_index_tenths", handicapText(*t.MaximumIndexTenths))
	}
	for name, ends := range holeChoices {
		if slices.Equal(t.Holes, command.HoleRange(ends[0], ends[1])) {
			v.Set("holes", name)
		}
	}
	for i, tee := range t.Tees {
		v.Add("tees", t.CourseID+"/"+tee)
		if i == 0 {
			v.Set("first_tee", t.CourseID+"/"+tee)
		}
	}
	for i, d := range t.Divisions {
		v.Set(cell("divisions", i, "name"), d.Name)
		v.Set(cell("divisions", i, "from"), handicapText(d.FromTenths))
		v.Set(cell("divisions", i, "to"), handicapText(d.ToTenths))
	}
	for i, p := range t.Prizes {
		v.Set(cell("prizes", i, "name"), p.Name)
		v.Set(cell("prizes", i, "ranking"), p.Ranking)
		v.Set(cell("prizes", i, "division"), p.Division)
		v.Set(cell("prizes", i, "places"), strconv.Itoa(p.Places))
	}
	return v
}

// positive leaves a field empty where 0 means none.
func positive(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// cell is the name of a field in a row of an editor.
func cell(list string, row int, name string) string { return fmt.Sprintf("%s[%d].%s", list, row, name) }

// mostRows bounds how many rows of an editor are read.
const mostRows = 60

// countRows counts the rows in use: those up to the last with any text.
func countRows(v url.Values, list string) int {
	n := 0
	for i := range mostRows {
		for _, name := range []string{"name", "from", "to", "division"} {
			if strings.TrimSpace(v.Get(cell(list, i, name))) != "" {
				n = i + 1
			}
		}
	}
	return n
}

// tidyRows closes the gaps that empty rows leave, so that the domain counts rows
// as the page shows them. A row is empty where it has no text; a choice alone, as
// every row has one, does not fill it.
func tidyRows(v url.Values, list string, names ...string) {
	to := 0
	for i := range mostRows {
		row, filled := make([]string, len(names)), false
		for j, name := range names {
			key := cell(list, i, name)
			row[j] = v.Get(key)
			filled = filled || strings.TrimSpace(row[j]) != "" && name != "ranking" && name != "places"
			v.Del(key)
		}
		if !filled {
			continue
		}
		for j, name := range names {
			v.Set(cell(list, to, name), row[j])
		}
		to++
	}
}

// termsOf reads terms from the form. Tees are those of the course chosen, in its
// order, the usual one first.
func termsOf(r *cells, tees []string) events.Terms {
	t := events.Terms{
		Format: r.text("format"), Ranking: r.text("ranking"), Rounds: 1, Holes: []int{},
		AllowancePercent: r.whole("allowance_percent", 0), ParDifference: r.ticked("par_difference"), LeaveOutPar: r.ticked("leave_out_par"),
		MaximumIndexTenths: r.index("maximum_index_tenths"), CourseID: r.text("course_id"), Tees: chosenTees(r, tees),
		Divisions: divisionsOf(r), TieMethod: r.text("tie_method"), TieShare: r.text("tie_share"), FieldLimit: r.whole("field_limit", 0),
		Start: events.StartTerms{
			Kind: r.text("start.kind"), FirstTime: r.text("start.first_time"), IntervalMinutes: r.whole("start.interval_minutes", 0),
			GroupSize: r.whole("start.group_size", 0), EmptyIntervalAfter: r.whole("start.empty_interval_after", 0),
		},
		Prizes: prizesOf(r), OnePrizeAPlayer: r.ticked("one_prize_a_player"), BoardPublic: r.ticked("board_public"), NamesAs: r.text("names_as"),
	}
	if ends, ok := holeChoices[r.text("holes")]; ok {
		t.Holes = command.HoleRange(ends[0], ends[1])
	}
	if r.text("allowance_percent") == "" {
		r.wrong(events.Invalid("allowance_percent", "required", "state the allowance in percent"))
	}
	if t.CourseID == "" {
		r.wrong(events.Invalid("course_id", "required", "choose the course"))
	}
	t.AllowanceSource = byCommittee
	if preset := command.PresetTerms(t.Format); preset.AllowancePercent == t.AllowancePercent {
		t.AllowanceSource = preset.AllowanceSource
	}
	return t
}

func chosenTees(r *cells, tees []string) []string {
	course, out := r.text("course_id"), []string{}
	for _, tee := range tees {
		if slices.Contains(r.v["tees"], course+"/"+tee) {
			out = append(out, tee)
		}
	}
	usual, ok := strings.CutPrefix(r.text("first_tee"), course+"/")
	if at := slices.Index(out, usual); ok && at > 0 {
		out = slices.Insert(slices.Delete(out, at, at+1), 0, usual)
	}
	return out
}

func divisionsOf(r *cells) []events.Division {
	out := []events.Division{}
	for i := range countRows(r.v, "divisions") {
		d := events.Division{Name: r.text(cell("divisions", i, "name")), FromTenths: -100, ToTenths: 540}
		if n := r.index(cell("divisions", i, "from")); n != nil {
			d.FromTenths = *n
		}
		if n := r.index(cell("divisions", i, "to")); n != nil {
			d.ToTenths = *n
		}
		out = append(out, d)
	}
	return out
}

func prizesOf(r *cells) []events.Prize {
	out := []events.Prize{}
	for i := range countRows(r.v, "prizes") {
		out = append(out, events.Prize{
			Name: r.text(cell("prizes", i, "name")), Ranking: r.text(cell("prizes", i, "ranking")),
			Division: r.text(cell("prizes", i, "division")), Places: r.whole(cell("prizes", i, "places"), 1),
		})
	}
	return out
}
