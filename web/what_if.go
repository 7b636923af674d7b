package web

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/labstack/echo/v4"

	"marram.example/api"
	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/scoring"
	"marram.example/projections/standing"
)

// whatIfPage shows the field under other terms beside how it was played.
type whatIfPage struct {
	api.WhatIf
	ID       string
	Form     whatIfForm
	Refusal  *events.Error // the terms that were asked for cannot be
	Was, Now string        // the terms in words
	Verdict  []string      // who leads, and how many move
	Lines    []whatIfLine
	Slope    *slope
}

// whatIfForm is what may be asked, and what was.
type whatIfForm struct {
	Values     url.Values
	Formats    []choice
	Sides      []choice // none where there is no choice
	Rankings   []choice
	Maximums   []choice
	Ties       []choice
	CountBys   []choice // none where there is no choice
	Together   bool     // a side plays one ball: an allowance for each player
	Counts     bool     // the terms may be best_of
	Allowance  string   // as played
	CountAs    string
	Allowances string
}

// whatIfLine is one line of the table.
type whatIfLine struct {
	api.WhatIfRow
	Then, Played string // figures
	Off          string // what the entry plays off, where it changes
	Moved        string // with its sign
	Way          string // up, down or same: a second cue
	Words        string // for who does not see the sign
}

func (w *Web) whatIf(c echo.Context) error {
	id, s, err := w.watched(c)
	if err != nil {
		return err
	}
	p := whatIfPage{ID: id, Form: formOf(s, c.QueryParams())}
	status := http.StatusOK
	p.WhatIf, err = w.api.WhatIfFor(c)
	if e := events.AsError(err); e != nil && e.Kind == events.KindInvalid && s.Terms != nil {
		p.Refusal, status = e, http.StatusUnprocessableEntity
	} else if err != nil {
		return err
	}
	if p.Refusal == nil {
		p.fill(s, w.names(c, id, s))
	}
	return w.render(c, status, "what_if.html", page{
		Title: "Other terms, " + s.Name, Body: "what-if", Styles: []string{"result.css", "what_if.css"}, Competition: nav(id, s, "result"), Data: &p,
	})
}

// formOf is the form for a competition. What only some formats and sides have is
// left out of the question where another is asked: the form always sends it.
func formOf(s *competition.State, q url.Values) whatIfForm {
	f := whatIfForm{Values: q}
	if s.Terms == nil {
		return f
	}
	t := s.Terms.Round(1)
	if either(q.Get("format"), t.Format) != events.MaximumScore {
		q.Del("maximum")
	}
	side := either(q.Get("side"), t.Side)
	if side != events.SideBestOf {
		q.Del("count")
	}
	if side != events.SideBestOf && side != events.SideAggregate {
		q.Del("count_by")
	}
	for _, x := range competition.Formats() {
		f.Formats = append(f.Formats, choice{x, formatName(x)})
	}
	if sides := standing.Sides(s.Terms); len(sides) > 1 {
		for _, x := range sides {
			f.Sides = append(f.Sides, choice{x, countedAs(x)})
		}
		f.CountBys = []choice{{"hole", "hole by hole"}, {"round", "whole rounds"}}
	}
	f.Rankings = []choice{{"net", "net"}, {"gross", "gross"}}
	f.Ties = []choice{{"countback", "by countback"}, {"shared", "shared"}}
	f.Maximums = []choice{{events.NetDoubleBogey, "two over par and strokes received"}, {events.DoublePar, "twice par"}}
	for n := 5; n <= 12; n++ {
		f.Maximums = append(f.Maximums, choice{strconv.Itoa(n), strconv.Itoa(n) + " strokes"})
	}
	f.Together = events.OneBall(t.Side)
	f.Counts = slices.ContainsFunc(f.Sides, func(c choice) bool { return c.Value == events.SideBestOf })
	f.Allowance, f.Allowances = strconv.Itoa(t.AllowancePercent), joined(t.SideAllowances)
	f.CountAs = joined(t.Count)
	return f
}

func either(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

func joined(numbers []int) string {
	out := make([]string, len(numbers))
	for i, n := range numbers {
		out[i] = strconv.Itoa(n)
	}
	return strings.Join(out, ",")
}

// countedAs says what a side of own balls is.
func countedAs(side string) string {
	switch side {
	case events.SideFourBall:
		return "four-ball: the better ball"
	case events.SideAggregate:
		return "aggregate: all balls"
	default:
		return "best of: so many balls"
	}
}

// V is what was asked for in a field.
func (f whatIfForm) V(field string) string { return f.Values.Get(field) }

// Wrong is what is the matter with a field; empty for nothing.
func (p *whatIfPage) Wrong(field string) string {
	if p.Refusal == nil || p.Refusal.Field != field {
		return ""
	}
	return sentence(p.Refusal.Detail)
}

// Misplaced reports whether the refusal is of no field of the form.
func (p *whatIfPage) Misplaced() bool {
	if p.Refusal == nil {
		return false
	}
	shown := []string{"format", "ranking", "tie_method", "maximum"}
	if p.Form.Together {
		shown = append(shown, "side_allowances")
	} else {
		shown = append(shown, "allowance_percent")
	}
	if len(p.Form.Sides) > 0 {
		shown = append(shown, "side", "count", "count_by")
	}
	return !slices.Contains(shown, p.Refusal.Field)
}

// fill puts rows, drawing and conclusion together.
func (p *whatIfPage) fill(s *competition.State, names map[string]string) {
	p.Was, p.Now = countingText(s.Terms, p.Played), countingText(s.Terms, p.WhatIf.WhatIf)
	unitWas, unitNow := competition.Unit(p.Played.Rounds[0].Format), competition.Unit(p.WhatIf.WhatIf.Rounds[0].Format)
	for _, r := range p.Rows {
		r.Name = nameOf(names, r.EntryID)
		p.Lines = append(p.Lines, whatIfLineOf(r, unitWas, unitNow, p.Final))
	}
	p.Verdict = verdict(p.Lines, p.Changed, p.Final)
	p.Slope = slopeOf(p.Lines)
}

// countingText says under which terms cards are counted: format and side with
// their own words, allowance, maximum.
func countingText(t *events.Terms, c api.CountingTerms) string {
	var parts []string
	for i, r := range c.Rounds {
		x := *t
		x.PerRound, x.Match = nil, nil
		x.Format, x.Side, x.Count, x.Ranking = r.Format, r.Side, r.Count, c.Ranking
		words := gameWords(&x) + ", " + strconv.Itoa(r.AllowancePercent) + "% of the course handicap"
		if len(r.SideAllowances) > 0 {
			words = gameWords(&x) + ", " + strings.ReplaceAll(joined(r.SideAllowances), ",", "% and ") + "% of the course handicaps"
		}
		if r.CountBy == "round" {
			words += ", whole rounds of balls"
		}
		if r.Maximum != nil {
			words += ", " + lowerFirst(strings.TrimSuffix(maximumWords(*r.Maximum), "."))
		}
		if i == 0 || words != parts[len(parts)-1] {
			parts = append(parts, words)
		}
	}
	return strings.Join(parts, "; then ")
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return string(unicode.ToLower(rune(s[0]))) + s[1:]
}

func whatIfLineOf(r api.WhatIfRow, unitWas, unitNow string, final bool) whatIfLine {
	out := whatIfLine{
		WhatIfRow: r, Then: stoodText(r.WhatIf, unitNow, final), Played: stoodText(r.Played, unitWas, final), Moved: "–", Way: "same", Words: "no place to compare",
	}
	if !slices.Equal(r.Played.PlayingHandicaps, r.WhatIf.PlayingHandicaps) {
		out.Off = "off " + handicapsText(r.WhatIf.PlayingHandicaps) + ", played off " + handicapsText(r.Played.PlayingHandicaps)
	}
	switch m := r.Moved; {
	case m == nil:
	case *m > 0:
		out.Moved, out.Way, out.Words = "▲ "+strconv.Itoa(*m), "up", "up "+count(*m, "place", "places")
	case *m < 0:
		out.Moved, out.Way, out.Words = "▼ "+strconv.Itoa(-*m), "down", "down "+count(-*m, "place", "places")
	default:
		out.Moved, out.Words = "=", "the same place"
	}
	return out
}

func handicapsText(all []int) string {
	out := make([]string, len(all))
	for i, n := range all {
		out[i] = playingText(n)
	}
	return strings.Join(out, " and ")
}

// stoodText is what counts: the total, or in play where the entry stands to level.
func stoodText(s standing.Stood, unit string, final bool) string {
	switch {
	case s.Total == nil && s.Status != events.StatusInPlay && s.Status != events.StatusReturned && s.Status != "":
		return s.Status
	case s.Total == nil:
		return "–"
	case unit == "holes":
		return scoring.ToPar(*s.Total)
	case unit == "strokes" && !final && s.ToLevel != nil:
		return scoring.ToPar(*s.ToLevel)
	default:
		return strconv.Itoa(*s.Total)
	}
}

// verdict is the conclusion: who leads, and how many stand elsewhere.
func verdict(lines []whatIfLine, changed int, final bool) []string {
	var was, now []string
	for _, l := range lines {
		if placeNumber(l.WhatIfRow.Played.Position) == 1 {
			was = append(was, l.Name)
		}
		if placeNumber(l.WhatIf.Position) == 1 {
			now = append(now, l.Name)
		}
	}
	slices.Sort(was)
	slices.Sort(now)
	verb, lead := "leads", "lead"
	if final {
		verb, lead = "wins", "win"
	}
	a, b := strings.Join(was, " and "), strings.Join(now, " and ")
	var out []string
	switch {
	case a == "" && b == "":
	case a == b:
		out = append(out, a+" "+verb+" either way.")
	case b == "":
		out = append(out, "Nobody would have a total.")
	case a == "":
		out = append(out, b+" would "+lead+".")
	default:
		out = append(out, b+" would "+lead+" instead of "+a+".")
	}
	if changed == 0 {
		return append(out, "Everybody stands where they stood.")
	}
	return append(out, strconv.Itoa(changed)+" of "+strconv.Itoa(len(lines))+" would stand elsewhere.")
}
