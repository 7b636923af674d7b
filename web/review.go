package web

import (
	"fmt"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api"
	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/review"
	"marram.example/projections/shots"
)

// reviewPage is the review of one round, or of a player's rounds.
type reviewPage struct {
	review.Review
	At          string       // address of this page
	Name        string       // whose
	Balls       []strokeBall // of a side with a ball each; else empty
	Card        string       // id, of one round
	PlayerID    string       // empty where a side played
	Competition string
	Coach       bool // the visitor reads by a share
	First       *firstBox
	Chapters    []chapter
	Measures    []measure
	Form        reviewForm
	Refusal     *events.Error
	Shares      *sharesPart
	Notes       *notesPart
	units       units
}

// firstBox is what to practise first, with a drawing of how sure that is.
type firstBox struct {
	review.Advice
	Strokes string // a round
	Level   int    // of three marks: how sure
	SureIs  string // the word with what it means
	Range   *drawing
}

// reviewForm are the choices that a review leaves, and what was chosen.
type reviewForm struct {
	Baselines []option
	Lasts     []option
	Groups    []option
	Left      string // in Unit
	Right     string
	CostLeft  string
	CostRight string
	Unit      string
	Ball      int
	Open      bool // trouble was described
}

// option is one choice of a form.
type option struct {
	Value, Label string
	On           bool
}

// measure is one of the classic measures.
type measure struct{ Name, Value, Words string }

// showReview writes a page of one round or of several.
func (w *Web) showReview(c echo.Context, status int, p *reviewPage) error {
	title := "Where the strokes went, " + p.Name
	return w.render(c, status, "review.html", page{Title: title, Body: "review", Styles: []string{"review.css"}, Private: true, Data: p})
}

// cardReview is the review of the round on a card: for its player link, and for whom
// the player shares reviews with.
func (w *Web) cardReview(c echo.Context) error {
	ctx, id := c.Request().Context(), c.Param("card")
	if !events.ValidToken(id) {
		return events.NotFound("card_id", "there is no such card")
	}
	k, err := w.api.Commands.Card(ctx, id)
	if err != nil {
		return err
	}
	if err := w.api.MayReviewCard(c, k); err != nil {
		return err
	}
	comp, _, err := w.api.Commands.Competition(ctx, k.State.CompetitionID)
	if err != nil {
		return err
	}
	p := &reviewPage{At: "/cards/" + id + "/review", Card: id, Competition: comp.Name, units: unitsOf(c)}
	if err := w.nameCard(c, p, k, comp); err != nil {
		return err
	}
	o, refusal, err := reviewOptions(c)
	if err != nil {
		return err
	}
	p.Refusal, o.WithoutField = refusal, w.api.MayWatch(c, k.State.CompetitionID, comp.Terms) != nil
	p.Review, err = w.api.CardReview(ctx, k, comp, o)
	if e := events.AsError(err); e != nil && e.Kind == events.KindInvalid && p.Refusal == nil {
		p.Refusal, o = e, api.ReviewOptions{Units: o.Units, WithoutField: o.WithoutField}
		p.Review, err = w.api.CardReview(ctx, k, comp, o)
	}
	if e := events.AsError(err); e != nil && e.Code == "withheld" {
		return w.render(c, http.StatusConflict, "review_withheld.html", page{Title: "Not before the card is returned", Body: "review", Styles: []string{"review.css"}, Private: true, Data: p})
	}
	if err != nil {
		return err
	}
	p.fill(c, o)
	if p.PlayerID != "" {
		if p.Notes, err = w.notesOf(c, p.PlayerID, id); err != nil {
			return err
		}
	}
	return w.showReview(c, p.status(), p)
}

// nameCard says whose round it is.
func (w *Web) nameCard(c echo.Context, p *reviewPage, k command.CardView, comp *competition.State) error {
	if players := k.State.Players(); len(players) == 1 {
		known, err := w.api.Models.Players.Get(c.Request().Context(), players[0])
		if err != nil {
			return err
		}
		p.PlayerID, p.Name = players[0], known.State.Name
		p.Coach = w.roleOn(c, k.ID) != events.RolePlayer
	} else if k.State.Balls() > 1 {
		ball, err := strconv.Atoi(c.QueryParam("ball"))
		if err != nil || ball < 0 || ball >= k.State.Balls() {
			ball = 0
		}
		_, names := w.fieldNames(c, k.State.CompetitionID, comp)
		for b := range k.State.Balls() {
			p.Balls = append(p.Balls, strokeBall{b, nameOf(names, k.State.BallPlayer(b)), b == ball})
		}
		p.Name = p.Balls[ball].Name
	} else {
		p.Name = w.names(c, k.State.CompetitionID, comp)[k.State.EntryID]
	}
	if p.Name == "" {
		p.Name = erasedName
	}
	return nil
}

// playerReview is the review of a player's rounds.
func (w *Web) playerReview(c echo.Context) error {
	ctx, id := c.Request().Context(), c.Param("player")
	if !events.ValidToken(id) {
		return events.NotFound("player_id", "there is no such player")
	}
	who, err := w.api.Reviewer(c, id)
	if err != nil {
		return err
	}
	known, err := w.api.Models.Players.Get(ctx, id)
	if err != nil {
		return err
	}
	p := &reviewPage{At: "/players/" + id + "/review", PlayerID: id, Name: known.State.Name, Coach: who.Role == events.RoleCoach, units: unitsOf(c)}
	if p.Name == "" {
		p.Name = erasedName
	}
	o, refusal, err := reviewOptions(c)
	if err != nil {
		return err
	}
	p.Refusal = refusal
	p.Review, err = w.api.PlayerReview(ctx, id, o)
	if e := events.AsError(err); e != nil && e.Kind == events.KindInvalid && p.Refusal == nil {
		p.Refusal, o = e, api.ReviewOptions{Units: o.Units}
		p.Review, err = w.api.PlayerReview(ctx, id, o)
	}
	if err != nil {
		return err
	}
	p.fill(c, o)
	if p.Shares, err = w.sharesOf(c, who); err != nil {
		return err
	}
	if p.Notes, err = w.notesOf(c, id, ""); err != nil {
		return err
	}
	return w.showReview(c, p.status(), p)
}

func (p *reviewPage) status() int {
	if p.Refusal != nil {
		return http.StatusUnprocessableEntity
	}
	return http.StatusOK
}

// reviewOptions reads what was asked for. What cannot be is a refusal to be shown
// beside the review without it. Trouble is described in the unit that the form had.
func reviewOptions(c echo.Context) (api.ReviewOptions, *events.Error, error) {
	u := unitsOf(c)
	o, err := api.ReviewOptionsOf(c)
	if e := events.AsError(err); e != nil && e.Kind == events.KindInvalid {
		return api.ReviewOptions{Units: string(u)}, e, nil
	}
	if c.QueryParam("in") == string(imperial) {
		o.Left, o.Right = o.Left*shots.Yard, o.Right*shots.Yard
	}
	o.Units = string(u)
	return o, nil, err
}

// fill prepares everything that is drawn.
func (p *reviewPage) fill(c echo.Context, o api.ReviewOptions) {
	p.First = firstOf(p.Review.First)
	p.Chapters = chaptersOf(&p.Review, p.units)
	p.Measures = measuresOf(&p.Classic, p.units)
	p.Form = formOfReview(c, o, p.units)
}

// sureLevels are how many of three marks a word for how sure fills.
var sureLevels = map[string]int{shots.SureClear: 3, shots.SureLikely: 2, shots.SureHint: 1}

// sureMeaning says what a word for how sure means.
func sureMeaning(sure string) string {
	switch sure {
	case shots.SureClear:
		return "with all parts looked through, chance alone would show one like this less than once in 20"
	case shots.SureLikely:
		return "with all parts looked through, chance alone would show one like this less than once in 5"
	case shots.SureHint:
		return "it may be nothing: log more rounds before changing much"
	case review.SureCounted:
		return "a plain count of what happened"
	default:
		return "log more strokes before changing anything"
	}
}

func firstOf(a *review.Advice) *firstBox {
	if a == nil {
		return nil
	}
	f := &firstBox{Advice: *a, Strokes: decimalText(a.Loss, 1, false), Level: sureLevels[a.Sure], SureIs: sureMeaning(a.Sure)}
	if a.Interval.Low != a.Interval.High {
		f.Range = sureBar(a.Loss, a.Interval.Low, a.Interval.High)
		f.Range.ID = "how-sure"
		f.Range.Title = "How sure: the range in which the loss may lie"
		f.Range.Words = fmt.Sprintf("%s strokes a round lost, in 95 of 100 cases between %s and %s.", f.Strokes, decimalText(a.Interval.Low, 1, false), decimalText(a.Interval.High, 1, false))
	}
	return f
}

// Between is the range of the loss in words.
func (f *firstBox) Between() string {
	if f.Range == nil {
		return ""
	}
	low := decimalText(f.Interval.Low, 1, false)
	if f.Interval.Low < 0 && low != "0.0" {
		low = "a gain of " + decimalText(-f.Interval.Low, 1, false)
	}
	return low + " and " + decimalText(f.Interval.High, 1, false)
}

// Opens is the name of the picture that a sentence comes from.
func (p *reviewPage) Opens(s review.Sentence) string {
	words := map[string]string{
		review.FigureClassic: "the classic measures", review.FigureCompare: "the comparison", review.FigurePlan: "the plan",
		review.FigureCounted: "what was counted", review.FigureStrokes: "best and worst strokes",
	}
	if w := words[s.Figure]; w != "" {
		return w
	}
	id := p.Anchor(s)
	for _, ch := range p.Chapters {
		for _, d := range ch.Drawings {
			if d.ID == id {
				return lowerFirst(d.Heading)
			}
		}
	}
	return "the figures"
}

// Anchor is where a sentence leads: its picture where there is one, else what was
// counted.
func (p *reviewPage) Anchor(s review.Sentence) string {
	switch s.Figure {
	case review.FigureClassic, review.FigurePlan, review.FigureCounted:
		return s.Figure
	case review.FigureStrokes:
		if len(p.Best)+len(p.Worst) > 0 {
			return s.Figure
		}
	case review.FigureCompare:
		if len(p.Compare) > 0 {
			return s.Figure
		}
	}
	first := ""
	for _, ch := range p.Chapters {
		for _, d := range ch.Drawings {
			switch {
			case d.ID == s.Figure, s.Figure == review.FigurePatterns && d.ID == anchor(s.Figure, s.Item):
				return d.ID
			case first == "" && strings.HasPrefix(d.ID, s.Figure):
				first = d.ID
			}
		}
	}
	if first != "" {
		return first
	}
	return review.FigureCounted
}

// Sums is the score in words.
func (p *reviewPage) Sums() string {
	t := p.Title
	var parts []string
	if t.One {
		if t.From != "" {
			parts = append(parts, shortDay(t.From))
		}
		if t.Score != nil && t.ToPar != nil {
			parts = append(parts, fmt.Sprintf("%d on %s (%s)", *t.Score, count(t.Scored, "hole", "holes"), toParWords(*t.ToPar)))
		}
		return strings.Join(parts, " · ")
	}
	if t.Rounds == 0 {
		return "No round yet"
	}
	parts = append(parts, count(t.Rounds, "round", "rounds"))
	if t.From != t.To {
		parts = append(parts, shortDay(t.From)+" to "+shortDay(t.To))
	} else if t.From != "" {
		parts = append(parts, shortDay(t.From))
	}
	return strings.Join(parts, " · ")
}

// StrokeSure is the class of marks for a word of how sure.
func (p *reviewPage) Level(sure string) int { return sureLevels[sure] }

// measuresOf are the classic measures that the log or the scores allow.
func measuresOf(c *shots.Classic, u units) []measure {
	words := map[string]shots.Definition{}
	for _, d := range c.Definitions {
		words[d.Key] = d
	}
	var out []measure
	add := func(key, name, value string) {
		text := sentence(words[key].Counts)
		if f := words[key].Flaw; f != "" {
			text += " Overlooks: " + f + "."
		}
		out = append(out, measure{name, value, text})
	}
	of := func(key, name string, n shots.Count) {
		if n.Chances > 0 {
			add(key, name, fmt.Sprintf("%d of %d", n.Done, n.Chances))
		}
	}
	of("fairways_hit", "Fairways hit", c.FairwaysHit)
	of("greens", "Greens in regulation", c.Greens)
	of("scrambles", "Scrambles", c.Scrambles)
	of("sand_saves", "Sand saves", c.SandSaves)
	of("up_and_down", "Up and down", c.UpAndDown)
	of("bounce_back", "Bounce-back", c.BounceBack)
	if c.Putts > 0 {
		add("putts", "Putts", strconv.Itoa(c.Putts))
	}
	of("three_putt_free", "Holes without three putts", c.ThreePuttFree)
	if c.PuttsPerGreen != nil {
		add("putts_per_green", "Putts a green hit", decimalText(*c.PuttsPerGreen, 2, false))
	}
	if c.Proximity.N > 0 {
		add("proximity", "Approaches left, median", u.Distance(c.Proximity.Median, "green"))
	}
	if c.HolesLogged > 0 {
		add("penalties", "Penalty strokes", strconv.Itoa(c.Penalties))
	}
	for _, a := range c.Averages {
		if a.N > 0 {
			add("averages", fmt.Sprintf("Par %d, mean of %s", a.Par, count(a.N, "hole", "holes")), decimalText(a.Mean, 2, false))
		}
	}
	return out
}

// formOfReview keeps what was chosen.
func formOfReview(c echo.Context, o api.ReviewOptions, u units) reviewForm {
	f := reviewForm{Unit: u.Unit(""), Ball: o.Ball, CostLeft: c.QueryParam("cost_left"), CostRight: c.QueryParam("cost_right")}
	picked := o.Baseline
	if picked == "" {
		picked = api.BaselineMatched
	}
	for _, name := range api.Baselines() {
		f.Baselines = append(f.Baselines, option{Value: name, Label: baselineWords(name), On: name == picked})
	}
	for _, n := range api.Lasts() {
		words := "all rounds"
		if n > 0 {
			words = fmt.Sprintf("the last %d", n)
		}
		f.Lasts = append(f.Lasts, option{Value: strconv.Itoa(n), Label: words, On: n == o.Last})
	}
	group := o.Group
	if group == "" {
		group = shots.GroupDriver
	}
	for _, g := range shots.Groups() {
		if g != shots.GroupPutter {
			f.Groups = append(f.Groups, option{Value: g, Label: g, On: g == group})
		}
	}
	if o.Left != 0 || o.Right != 0 {
		f.Open = true
		f.Left, f.Right = inputText(u.In(o.Left, "")), inputText(u.In(o.Right, ""))
	} else {
		f.Left, f.Right = c.QueryParam("left"), c.QueryParam("right")
		f.Open = f.Left != "" || f.Right != ""
	}
	return f
}

// inputText writes a number as a field takes it.
func inputText(v float64) string {
	return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)
}

// baselineWords name a baseline in the choice.
func baselineWords(name string) string {
	switch name {
	case api.BaselineMatched:
		return "Your handicap’s own level (derived, not published)"
	case api.BaselineClub:
		return "What this club’s players logged"
	}
	if b, err := shots.Named(name); err == nil {
		return b.Label()
	}
	return name
}

// Comparisons are the table of the comparison: its heads, then a row a part.
func (p *reviewPage) Comparisons() numbers {
	t := numbers{Caption: "This round and the last ones", Words: 1, Head: []string{"Part of the game"}}
	if !p.Title.One {
		t.Caption = "The last rounds and those before them"
	}
	var order []string
	labels := map[string]string{}
	for _, l := range p.Compare {
		t.Head = append(t.Head, fmt.Sprintf("Last %d, a round", l.Last), p.differenceHead())
		for _, part := range partsOf(l) {
			if labels[part.Key] == "" {
				order, labels[part.Key] = append(order, part.Key), part.Label
			}
		}
	}
	for _, key := range order {
		row := []string{labels[key]}
		for _, l := range p.Compare {
			i := slices.IndexFunc(partsOf(l), func(x review.ComparePart) bool { return x.Key == key })
			if i < 0 {
				row = append(row, "–", "–")
				continue
			}
			part := partsOf(l)[i]
			diff := optional(part.Difference, 1, true)
			if part.Sure != "" {
				diff += ", " + part.Sure
			}
			row = append(row, gainedText(part.PerRound), diff)
		}
		t.Rows = append(t.Rows, row)
	}
	for _, extra := range []struct {
		name string
		of   func(review.CompareLine) string
	}{
		{"Score to par over 18 holes", func(l review.CompareLine) string { return optional(l.Score, 1, true) }},
		{"Putts a green", func(l review.CompareLine) string { return optional(l.Putts, 2, false) }},
		{"Greens in regulation", func(l review.CompareLine) string {
			if l.Greens.Chances == 0 {
				return "–"
			}
			return fmt.Sprintf("%d of %d", l.Greens.Done, l.Greens.Chances)
		}},
	} {
		row, known := []string{extra.name}, false
		for _, l := range p.Compare {
			v := extra.of(l)
			known = known || v != "–"
			row = append(row, v, "")
		}
		if known {
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}

func (p *reviewPage) differenceHead() string {
	if p.Title.One {
		return "This round by"
	}
	return "Than before by"
}

func partsOf(l review.CompareLine) []review.ComparePart {
	if l.Total == nil {
		return l.Phases
	}
	return append([]review.ComparePart{*l.Total}, l.Phases...)
}
