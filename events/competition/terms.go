package competition

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"marram.example/events"
)

func plan(s *State, c Plan) ([]events.Event, error) {
	name := strings.TrimSpace(c.Name)
	if name == "" || utf8.RuneCountInString(name) > 120 {
		return nil, events.Invalid("name", "required", "a competition needs a name of 1 to 120 characters")
	}
	if _, err := time.Parse(time.DateOnly, c.Date); err != nil {
		return nil, events.Invalid("date", "malformed", "a date is written YYYY-MM-DD")
	}
	if s.Name == name && s.Date == c.Date {
		return nil, nil
	}
	if s.Exists() && s.Phase != Planned && s.Phase != Drawn {
		return nil, events.NotNow("name", "round_open", "name and date are fixed once cards are out")
	}
	return []events.Event{events.CompetitionPlanned{Name: name, Date: c.Date}}, nil
}

func setTerms(s *State, c SetTerms) ([]events.Event, error) {
	if s.Phase != Planned && s.Phase != Drawn {
		return nil, events.NotNow("terms", "round_open", "the terms are fixed once cards are out").
			WithRule("Committee Procedures 5A: terms are stated in advance")
	}
	if s.Begun() {
		return nil, events.NotNow("terms", "round_open", "the terms are fixed once cards have been out")
	}
	if err := CheckTerms(c.Terms, c.Courses); err != nil {
		return nil, err
	}
	for _, e := range s.Field() {
		if n := 1 + len(e.Partners); n != c.Terms.Players() {
			return nil, events.Conflict("side_size", "side_in_use", fmt.Sprintf("an entry of %d player(s) is in; withdraw it first", n))
		}
		for _, tee := range append([]string{e.Tee}, teesOf(e.Partners)...) {
			if !slices.Contains(c.Terms.Tees, tee) {
				return nil, events.Conflict("tees", "tee_in_use", fmt.Sprintf("tee %q has an entry; amend it first", tee))
			}
		}
	}
	if c.Terms.FieldLimit > 0 && len(s.Field()) > c.Terms.FieldLimit {
		return nil, events.Conflict("field_limit", "field_full", fmt.Sprintf("%d players are already entered", len(s.Field())))
	}
	if s.Terms != nil && reflect.DeepEqual(*s.Terms, c.Terms) {
		return nil, nil
	}
	return []events.Event{events.TermsSet{Terms: c.Terms}}, nil
}

func teesOf(ps []events.Partner) []string {
	out := make([]string, len(ps))
	for i, p := range ps {
		out[i] = p.Tee
	}
	return out
}

func oneOf(field, value string, allowed ...string) error {
	if slices.Contains(allowed, value) {
		return nil
	}
	return events.Invalid(field, "unknown", fmt.Sprintf("%q is not known here; use %s", value, strings.Join(allowed, " or ")))
}

// within refuses a number outside its limits.
func within(field string, value, lo, hi int) error {
	if value < lo || value > hi {
		return events.Invalid(field, "out_of_range", fmt.Sprintf("%d lies outside %d to %d", value, lo, hi))
	}
	return nil
}

// firstError returns the first error of a list of checks, in their order.
func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// CheckTerms says whether terms can be played. Courses are the tees of every
// course that they name.
func CheckTerms(t events.Terms, courses map[string]map[string]events.TeeDefinition) error {
	return firstError(
		oneOf("ranking", t.Ranking, "net", "gross"),
		within("field_limit", t.FieldLimit, 0, 1000),
		oneOf("names_as", t.NamesAs, "name", "initials"),
		checkMaximum(t.MaximumIndexTenths),
		checkSide(t),
		checkRounds(t, courses),
		checkCut(t),
		checkTies(t),
		checkMatch(t),
		checkDivisions(t.Divisions),
		checkPrizes(t),
	)
}

func checkMaximum(m *int) error {
	if m == nil {
		return nil
	}
	return within("maximum_index_tenths", *m, 0, 540)
}

// nines are the hole lists that may be played.
func validHoles(holes []int) bool {
	if len(holes) != 18 && len(holes) != 9 {
		return false
	}
	first := holes[0]
	if first != 1 && (first != 10 || len(holes) != 9) {
		return false
	}
	for i, h := range holes {
		if h != first+i {
			return false
		}
	}
	return true
}

func checkTees(prefix string, t events.Terms, tees map[string]events.TeeDefinition) error {
	if !validHoles(t.Holes) {
		return events.Invalid(prefix+"holes", "hole_list", "a round is holes 1 to 18, 1 to 9 or 10 to 18")
	}
	if len(t.Tees) == 0 {
		return events.Invalid("tees", "required", "name at least one tee")
	}
	for i, name := range t.Tees {
		field := fmt.Sprintf("tees[%d]", i)
		if slices.Contains(t.Tees[:i], name) {
			return events.Invalid(field, "duplicate", fmt.Sprintf("tee %q stands twice", name))
		}
		tee, ok := tees[name]
		if !ok && prefix != "" {
			return events.Invalid(prefix+"course_id", "unknown", fmt.Sprintf("that course has no tee %q", name))
		}
		if !ok {
			return events.Invalid(field, "unknown", fmt.Sprintf("the course has no tee %q", name))
		}
		if err := playable(field, t.Holes, tee); err != nil {
			return err
		}
	}
	return nil
}

// playable says whether the holes can be played and rated from a tee.
func playable(field string, holes []int, tee events.TeeDefinition) error {
	last := holes[len(holes)-1]
	if last > len(tee.Holes) {
		return events.Invalid(field, "hole_count", fmt.Sprintf("tee %q has %d holes", tee.Tee, len(tee.Holes)))
	}
	if len(holes) == len(tee.Holes) {
		return nil
	}
	nine, which := tee.Front, "front"
	if holes[0] == 10 {
		nine, which = tee.Back, "back"
	}
	if nine == nil {
		return events.Invalid(field, "no_nine_rating",
			fmt.Sprintf("tee %q has no course and slope rating for its %s nine", tee.Tee, which)).
			WithRule("Rules of Handicapping 6.1b: rating, slope and par of the nine played")
	}
	return nil
}

func checkStart(s events.StartTerms, holes []int, players int) error {
	if err := oneOf("start.kind", s.Kind, "one_tee", "two_tee", "shotgun"); err != nil {
		return err
	}
	if _, err := ParseClock(s.FirstTime); err != nil {
		return events.Invalid("start.first_time", "malformed", "a time is written HH:MM")
	}
	if err := firstError(
		within("start.group_size", s.GroupSize, max(2, players), 4),
		within("start.empty_interval_after", s.EmptyIntervalAfter, 0, 100),
	); err != nil {
		return err
	}
	if s.Kind == "two_tee" && len(holes) != 18 {
		return events.Invalid("start.kind", "not_applicable", "a two-tee start needs 18 holes")
	}
	if s.Kind != "shotgun" {
		return within("start.interval_minutes", s.IntervalMinutes, 1, 60)
	}
	return nil
}

func checkDivisions(ds []events.Division) error {
	for i, d := range ds {
		field := fmt.Sprintf("divisions[%d]", i)
		if n := strings.TrimSpace(d.Name); n == "" || utf8.RuneCountInString(n) > 60 || strings.Contains(n, "/") {
			return events.Invalid(field+".name", "required", "a division needs a name of 1 to 60 characters without a slash")
		}
		if d.FromTenths > d.ToTenths {
			return events.Invalid(field+".to_tenths", "out_of_range", fmt.Sprintf("division %q ends below where it begins", d.Name))
		}
		for _, o := range ds[:i] {
			if o.Name == d.Name {
				return events.Invalid(field+".name", "duplicate", fmt.Sprintf("division %q stands twice", d.Name))
			}
			if d.FromTenths <= o.ToTenths && o.FromTenths <= d.ToTenths {
				return events.Invalid(field, "overlap", fmt.Sprintf("divisions %q and %q overlap", o.Name, d.Name))
			}
		}
	}
	return nil
}

func checkPrizes(t events.Terms) error {
	for i, p := range t.Prizes {
		field := fmt.Sprintf("prizes[%d]", i)
		if n := strings.TrimSpace(p.Name); n == "" || utf8.RuneCountInString(n) > 80 {
			return events.Invalid(field+".name", "required", "a prize needs a name of 1 to 80 characters")
		}
		if err := firstError(
			oneOf(field+".ranking", p.Ranking, "net", "gross"),
			within(field+".places", p.Places, 1, 50),
		); err != nil {
			return err
		}
		if !knownDivision(&t, p.Division) {
			return events.Invalid(field+".division", "unknown", fmt.Sprintf("there is no division %q", p.Division))
		}
	}
	return nil
}

// knownDivision reports whether the terms have a division of this name; the
// empty name is the whole field.
func knownDivision(t *events.Terms, name string) bool {
	return name == "" || slices.ContainsFunc(t.Divisions, func(d events.Division) bool { return d.Name == name })
}

// DivisionOf names the division of an index, or nothing where none fits.
func DivisionOf(t *events.Terms, indexTenths int) string {
	if t == nil {
		return ""
	}
	for _, d := range t.Divisions {
		if indexTenths >= d.FromTenths && indexTenths <= d.ToTenths {
			return d.Name
		}
	}
	return ""
}

// ParseClock reads HH:MM as minutes after midnight.
func ParseClock(s string) (int, error) {
	at, err := time.Parse("15:04", s)
	if err != nil || len(s) != 5 {
		return 0, fmt.Errorf("%q is not a time HH:MM", s)
	}
	return at.Hour()*60 + at.Minute(), nil
}
