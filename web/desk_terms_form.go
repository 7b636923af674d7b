package web

import (
	"cmp"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

// holeChoices are the holes that a round may have, as the form names them.
var holeChoices = map[string][2]int{"18": {1, 18}, "front": {1, 9}, "back": {10, 18}}

// holeChoice is how the form names holes in play.
func holeChoice(holes []int) string {
	for name, ends := range holeChoices {
		if slices.Equal(holes, command.HoleRange(ends[0], ends[1])) {
			return name
		}
	}
	return ""
}

// termsValues are terms as the form holds them.
func termsValues(stated *events.Terms) url.Values {
	whole := wholeTerms(*stated)
	t := &whole
	v := url.Values{
		"format": {t.Format}, "side": {t.Side}, "side_size": {strconv.Itoa(max(2, t.SideSize))}, "ranking": {t.Ranking},
		"rounds": {strconv.Itoa(max(1, t.Rounds))}, "holes": {holeChoice(t.Holes)},
		"allowance_percent": {strconv.Itoa(t.AllowancePercent)}, "course_id": {t.CourseID}, "names_as": {t.NamesAs},
		"field_limit": {positive(t.FieldLimit)}, "maximum_index_tenths": {""},
		"maximum.kind": {cmp.Or(t.Maximum.Kind, events.NetDoubleBogey)}, "maximum.strokes": {positive(t.Maximum.Strokes)},
		"count": {numbersText(t.Count)}, "count_by": {cmp.Or(t.CountBy, "hole")},
		"tie_method": {t.TieMethod}, "tie_share": {shareOf(t)}, "tie_windows": {cmp.Or(t.TieWindows, "first_nine")},
		"tie_holes": {cmp.Or(t.TieHoles, "by_number")}, "tie_handicap": {cmp.Or(t.TieHandicap, "playing")}, "tie_then": {cmp.Or(t.TieThen, "shared")},
		"start.kind": {t.Start.Kind}, "start.first_time": {t.Start.FirstTime}, "start.interval_minutes": {strconv.Itoa(t.Start.IntervalMinutes)},
		"start.group_size": {strconv.Itoa(t.Start.GroupSize)}, "start.empty_interval_after": {positive(t.Start.EmptyIntervalAfter)},
	}
	for name, on := range map[string]bool{
		"par_difference": t.ParDifference, "leave_out_par": t.LeaveOutPar, "one_prize_a_player": t.OnePrizeAPlayer, "board_public": t.BoardPublic,
		"practice": t.Practice,
	} {
		if on {
			v.Set(name, "1")
		}
	}
	if t.MaximumIndexTenths != nil {
		v.Set("maximum_index_tenths", handicapText(*t.MaximumIndexTenths))
	}
	for i, n := range t.SideAllowances {
		v.Set(item("side_allowances", i), strconv.Itoa(n))
	}
	matchValues(v, t)
	cutValues(v, t.Cut)
	for i, o := range t.PerRound {
		roundValues(v, i, o)
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

func matchValues(v url.Values, t *events.Terms) {
	m := t.Match
	if m == nil {
		m = &events.MatchTerms{Bracket: competition.Knockout, ExtraHoles: true}
	}
	v.Set("match.bracket", m.Bracket)
	v.Set("match.length", "once")
	if m.Length == 36 {
		v.Set("match.length", "36")
	}
	if m.ExtraHoles {
		v.Set("match.extra_holes", "1")
	}
	if m.FullNet {
		v.Set("match.full_net", "1")
	}
}

// item is the name of a field in a list.
func item(list string, i int) string { return fmt.Sprintf("%s[%d]", list, i) }

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
// order, the usual one first. What does not apply to what is played is left out,
// whatever its fields say.
func termsOf(r *cells, tees []string) events.Terms {
	t := events.Terms{
		Format: r.text("format"), Side: r.text("side"), Ranking: r.text("ranking"), Rounds: r.whole("rounds", 1), Holes: []int{},
		ParDifference: r.ticked("par_difference"), LeaveOutPar: r.ticked("leave_out_par"),
		MaximumIndexTenths: r.index("maximum_index_tenths"), CourseID: r.text("course_id"), Tees: chosenTees(r, tees),
		Divisions: []events.Division{}, Prizes: []events.Prize{}, FieldLimit: r.whole("field_limit", 0),
		Start: events.StartTerms{
			Kind: r.text("start.kind"), FirstTime: r.text("start.first_time"), IntervalMinutes: r.whole("start.interval_minutes", 0),
			GroupSize: r.whole("start.group_size", 0), EmptyIntervalAfter: r.whole("start.empty_interval_after", 0),
		},
		OnePrizeAPlayer: r.ticked("one_prize_a_player"), BoardPublic: r.ticked("board_public"), NamesAs: r.text("names_as"),
		Practice: r.ticked("practice"),
	}
	if ends, ok := holeChoices[r.text("holes")]; ok {
		t.Holes = command.HoleRange(ends[0], ends[1])
	}
	if t.CourseID == "" {
		r.wrong(events.Invalid("course_id", "required", "choose the course"))
	}
	tiesOf(r, &t)
	sideOf(r, &t)
	if t.Format == events.MatchPlay {
		t.Match = matchTermsOf(r, &t)
		return t
	}
	t.Divisions, t.Prizes, t.Cut = divisionsOf(r), prizesOf(r), cutOf(r, t.Rounds)
	perRoundOf(r, &t)
	return t
}

// sideOf reads who plays together, which balls count, the maximum and the allowance.
func sideOf(r *cells, t *events.Terms) {
	size := sizeOf(t.Side, r.whole("side_size", 2))
	if t.Side != "" {
		t.SideSize = size
	}
	switch t.Side {
	case events.SideBestOf:
		t.Count, t.CountBy = r.numbers("count"), r.text("count_by")
	case events.SideAggregate:
		t.CountBy = r.text("count_by")
	}
	if t.Format == events.MaximumScore {
		t.Maximum.Kind = r.text("maximum.kind")
		if t.Maximum.Kind == events.FixedStrokes {
			t.Maximum.Strokes = r.whole("maximum.strokes", 0)
		}
	}
	percents := []int{}
	if events.OneBall(t.Side) {
		t.AllowancePercent = 100
		for i := range size {
			t.SideAllowances = append(t.SideAllowances, r.percent(item("side_allowances", i)))
		}
		percents = t.SideAllowances
	} else {
		t.AllowancePercent = r.percent("allowance_percent")
		percents = append(percents, t.AllowancePercent)
	}
	t.AllowanceSource = byCommittee
	if found, ok := (played{t.Format, t.Side, size, soleCount(t.Count)}).published(); ok && slices.Equal(found.Percents, percents) {
		t.AllowanceSource = found.Source
	}
}

func soleCount(counting []int) int {
	if len(counting) == 1 {
		return counting[0]
	}
	return 0
}

// percent reads an allowance, which has to be stated.
func (r *cells) percent(name string) int {
	if r.text(name) == "" {
		r.wrong(events.Invalid(name, "required", "state the allowance in percent"))
	}
	return r.whole(name, 0)
}

// tiesOf reads how ties are broken.
func tiesOf(r *cells, t *events.Terms) {
	t.TieMethod, t.TieShare = r.text("tie_method"), r.text("tie_share")
	if !sharesHandicap(t) {
		t.TieShare = "as_allocated"
	}
	if t.TieMethod != "countback" {
		return
	}
	t.TieWindows, t.TieHoles, t.TieHandicap, t.TieThen = r.text("tie_windows"), r.text("tie_holes"), r.text("tie_handicap"), r.text("tie_then")
}

// sharesHandicap reports whether a countback takes a share of the handicap off: in
// stroke play with one ball (Committee Procedures 5A(6)).
func sharesHandicap(t *events.Terms) bool {
	return t.Format == events.StrokePlay && (t.Side == "" || events.OneBall(t.Side))
}

// shareOf is the share that the form begins with: the recommended one where the
// terms have none.
func shareOf(t *events.Terms) string {
	if sharesHandicap(t) {
		return t.TieShare
	}
	return "exact_fraction"
}

func matchTermsOf(r *cells, t *events.Terms) *events.MatchTerms {
	m := &events.MatchTerms{
		Bracket: r.text("match.bracket"), Length: len(t.Holes), ExtraHoles: r.ticked("match.extra_holes"), FullNet: r.ticked("match.full_net"),
	}
	if r.text("match.length") == "36" {
		m.Length = 36
	}
	if m.Bracket != competition.Single {
		t.Rounds = 0 // as many as the draw needs
	}
	return m
}

// numbersIn reads whole numbers, parted by spaces or commas; nil where something
// else stands there.
func numbersIn(s string) []int {
	var out []int
	for _, word := range strings.FieldsFunc(s, func(c rune) bool { return c == ' ' || c == ',' || c == ';' }) {
		n, err := strconv.Atoi(word)
		if err != nil {
			return nil
		}
		out = append(out, n)
	}
	return out
}

func numbersText(numbers []int) string {
	words := make([]string, len(numbers))
	for i, n := range numbers {
		words[i] = strconv.Itoa(n)
	}
	return strings.Join(words, " ")
}

// numbers reads a list of whole numbers.
func (r *cells) numbers(name string) []int {
	out := numbersIn(r.text(name))
	if out == nil && r.text(name) != "" {
		r.wrong(events.Invalid(name, "malformed", fmt.Sprintf("%q are not whole numbers", r.text(name))))
	}
	return out
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
