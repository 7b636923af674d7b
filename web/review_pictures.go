package web

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"marram.example/projections/review"
	"marram.example/projections/shots"
)

// chapter is a run of pictures under one heading.
type chapter struct {
	ID       string
	Heading  string
	Drawings []*drawing
}

// chaptersOf are the pictures of a review, in the order in which a golfer asks.
func chaptersOf(r *review.Review, u units) []chapter {
	all := []chapter{
		{ID: "round", Heading: "Where the strokes went", Drawings: []*drawing{phasesDrawing(r), areasDrawing(r), holesDrawing(r)}},
		{ID: "misses", Heading: "Where the ball goes", Drawings: append(patternDrawings(r, u), puttsDrawing(r, u))},
		{ID: "mind", Heading: "Strike, outcome, routine", Drawings: append(intentDrawings(r), clubsDrawing(r))},
		{ID: "time", Heading: "Over the rounds", Drawings: []*drawing{roundsDrawing(r)}},
		{ID: "club", Heading: "The club’s own baseline", Drawings: clubDrawings(r, u)},
	}
	out := all[:0]
	for _, c := range all {
		c.Drawings = slices.DeleteFunc(c.Drawings, func(d *drawing) bool { return d == nil })
		if len(c.Drawings) > 0 {
			out = append(out, c)
		}
	}
	return out
}

// aRound is what figures of a review are: of the round, or of a round on average.
func aRound(r *review.Review) string {
	if r.Title.One {
		return "in this round"
	}
	return "a round"
}

// gainOf is what a line gained in one round.
func gainOf(r *review.Review, l review.GainLine) float64 {
	if r.Title.One {
		return l.Total
	}
	return l.PerRound
}

func phasesDrawing(r *review.Review) *drawing {
	d := &drawing{ID: review.FigurePhases, Heading: "From the tee into the hole"}
	if r.Total.N == 0 {
		d.TooFew = "No stroke with lie and distance is logged, so there is nothing to add up. Scores alone are compared with the field below."
		return d
	}
	var parts []fall
	sum := 0.0
	worst := review.GainLine{}
	for _, l := range r.Phases {
		if l.N == 0 {
			continue
		}
		g := gainOf(r, l)
		if g < gainOf(r, worst) {
			worst = l
		}
		sum += g
		parts = append(parts, fall{l.Label, l.N, g})
	}
	d.waterfall(parts, "Together")
	d.Title = "Strokes gained by phase, adding up to the total"
	d.Words = fmt.Sprintf("Against %s: ", r.Baseline.Label)
	for _, p := range parts {
		d.Words += fmt.Sprintf("%s %s, ", lowerFirst(p.Name), gainedText(p.Gained))
	}
	d.Words += "together " + gainedText(sum) + "."
	d.Lead = fmt.Sprintf("%s strokes %s, compared with: %s.", gainedText(sum), aRound(r), r.Baseline.Label)
	if worst.N > 0 && gainedTint(gainOf(r, worst)) == "over" {
		d.Lead += fmt.Sprintf(" Most went %s.", whereWords(worst))
	}
	d.Note = clubOffWords(r)
	d.Table = gainTable("Strokes gained by phase", "Phase", slices.Concat(r.Phases, []review.GainLine{r.Total}), r)
	d.What = "Strokes gained: the strokes expected from where a stroke was played, less those expected from where it finished, less one. " +
		"Above nothing is better than expected. The range: what rounds like this would give, 95 of 100."
	return d
}

// whereWords say where in the game a line is.
func whereWords(l review.GainLine) string {
	switch shots.Phase(l.Key) {
	case shots.PhaseApproach:
		return "on approaches"
	case shots.PhasePutting:
		return "in putting"
	default:
		return lowerFirst(l.Label)
	}
}

// gainTable lists what parts of the game gained.
func gainTable(caption, first string, lines []review.GainLine, r *review.Review) numbers {
	t := numbers{Caption: caption, Head: []string{first, "Strokes", "Gained", "A stroke", "A round, 95 of 100", "How sure"}, Words: 1}
	usual := slices.ContainsFunc(lines, func(l review.GainLine) bool { return l.Usual != nil })
	if usual {
		t.Head = append(t.Head, "Usual a round")
	}
	for _, l := range lines {
		name := l.Label
		if name == "" {
			name = "Together"
		}
		row := []string{name, strconv.Itoa(l.N), "", "", "", ""}
		if l.N > 0 {
			row = []string{name, strconv.Itoa(l.N), gainedText(gainOf(r, l)), decimalText(l.Mean, 2, true), rangeText(l.Interval), l.Sure}
		}
		if usual {
			u := ""
			if l.Usual != nil {
				u = gainedText(l.Usual.PerRound)
			}
			row = append(row, u)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// rangeText writes an interval of strokes; equal ends are no interval.
func rangeText(i shots.Interval) string {
	if i.Low == i.High {
		return "not known"
	}
	return gainedText(i.Low) + " to " + gainedText(i.High)
}

func areasDrawing(r *review.Review) *drawing {
	if len(r.Areas) == 0 {
		return nil
	}
	d := &drawing{ID: review.FigureAreas, Heading: "Part by part"}
	d.rangedRows(gainRows(r, r.Areas), "lost", "gained")
	worst := slices.MinFunc(r.Areas, func(a, b review.GainLine) int { return compare(gainOf(r, a), gainOf(r, b)) })
	best := slices.MaxFunc(r.Areas, func(a, b review.GainLine) int { return compare(gainOf(r, a), gainOf(r, b)) })
	d.Lead = fmt.Sprintf("Least: %s, %s. Most: %s, %s.", worst.Label, gainedText(gainOf(r, worst)), best.Label, gainedText(gainOf(r, best)))
	if len(r.Areas) == 1 {
		d.Lead = fmt.Sprintf("%s: %s.", worst.Label, gainedText(gainOf(r, worst)))
	}
	d.Title, d.Words = "Strokes gained by part of the game, with the range of each", d.Lead
	if r.Baseline.Advice != r.Baseline.Label {
		d.Note = "Compared here with: " + r.Baseline.Advice + "."
	}
	d.Table = gainTable("Strokes gained by part of the game", "Part", r.Areas, r)
	return d
}

func clubsDrawing(r *review.Review) *drawing {
	named := slices.DeleteFunc(slices.Clone(r.Clubs), func(l review.GainLine) bool { return l.Key == "" || l.N == 0 })
	if len(named) == 0 {
		return nil
	}
	d := &drawing{ID: review.FigureClubs, Heading: "Club by club"}
	d.rangedRows(gainRows(r, named), "lost", "gained")
	worst := slices.MinFunc(named, func(a, b review.GainLine) int { return compare(gainOf(r, a), gainOf(r, b)) })
	d.Lead = fmt.Sprintf("Least came from: %s, %s in %s.", worst.Label, gainedText(gainOf(r, worst)), count(worst.N, "stroke", "strokes"))
	d.Title, d.Words = "Strokes gained by club, with the range of each", d.Lead
	d.Table = gainTable("Strokes gained by club", "Club", r.Clubs, r)
	for i := range d.Table.Rows {
		if r.Clubs[i].Key == "" {
			d.Table.Rows[i][0] = "not said"
		}
	}
	return d
}

// gainRows are lines to be drawn with their ranges.
func gainRows(r *review.Review, lines []review.GainLine) []ranged {
	out := make([]ranged, 0, len(lines))
	for _, l := range lines {
		v := gainOf(r, l)
		out = append(out, ranged{
			Name: l.Label, Small: count(l.N, "stroke", "strokes"), Value: v, Low: l.Interval.Low, High: l.Interval.High, Figure: gainedText(v),
			Known: l.Interval.Low != l.Interval.High, Sure: l.Sure,
		})
	}
	return out
}

func holesDrawing(r *review.Review) *drawing {
	if len(r.Holes) == 0 {
		return nil
	}
	d := &drawing{ID: review.FigureHoles, Heading: "Hole by hole"}
	field := make([]lineHole, 0, len(r.Holes))
	own := make([]lineHole, 0, len(r.Holes))
	for _, h := range r.Holes {
		field = append(field, lineHole{h.Number, h.FieldGained})
		own = append(own, lineHole{h.Number, h.Gained})
	}
	line, other, against := own, []lineHole(nil), r.Baseline.Label
	if r.Field != nil {
		line, against = field, fmt.Sprintf("the day’s field of %d", r.Field.Players)
		if r.Title.Logged {
			other = own
		}
	}
	known := slices.DeleteFunc(slices.Clone(line), func(h lineHole) bool { return h.Gained == nil })
	if len(known) == 0 {
		d.TooFew = "No hole has a score to compare yet."
		return d
	}
	d.roundLine(line, other, "against "+against, "against "+r.Baseline.Label)
	sum := 0.0
	for _, h := range known {
		sum += *h.Gained
	}
	least := slices.MinFunc(known, func(a, b lineHole) int { return compare(*a.Gained, *b.Gained) })
	most := slices.MaxFunc(known, func(a, b lineHole) int { return compare(*a.Gained, *b.Gained) })
	d.Lead = fmt.Sprintf("%s against %s.", gainedText(sum), against)
	if *most.Gained > *least.Gained {
		d.Lead += fmt.Sprintf(" Best: hole %d, %s. Dearest: hole %d, %s.", most.Number, gainedText(*most.Gained), least.Number, gainedText(*least.Gained))
	}
	d.Title, d.Words = "Strokes gained hole by hole, and their sum so far", d.Lead
	d.Table = numbers{Caption: "Hole by hole", Words: 1, Head: []string{"Hole", "Par", "Score", "Logged", "Putts", "Against the baseline"}}
	if r.Field != nil {
		d.Table.Head = append(d.Table.Head, "Field", "Against the field", "So far")
	}
	for _, h := range r.Holes {
		row := []string{strconv.Itoa(h.Number), strconv.Itoa(h.Par), orDash(h.Score), orDash(h.Strokes), orDash(h.Putts), optional(h.Gained, 1, true)}
		if r.Field != nil {
			row = append(row, optional(h.FieldMean, 1, false), optional(h.FieldGained, 1, true), optional(h.FieldRunning, 1, true))
		}
		d.Table.Rows = append(d.Table.Rows, row)
	}
	if r.Field != nil {
		d.Note = fmt.Sprintf("Field: plain mean of %s on each hole, this card included, from scores alone.", count(r.Field.Players, "player", "players"))
	}
	return d
}

func orDash(n int) string {
	if n == 0 {
		return "–"
	}
	return strconv.Itoa(n)
}

func optional(v *float64, decimals int, sign bool) string {
	if v == nil {
		return "–"
	}
	return decimalText(*v, decimals, sign)
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	default:
		return 0
	}
}

func puttsDrawing(r *review.Review, u units) *drawing {
	d := &drawing{ID: review.FigurePutts, Heading: "Putts made by distance"}
	var rows []puttRow
	tries, holed, expected := 0, 0, 0.0
	d.Table = numbers{Caption: "Putts holed by distance", Words: 1, Head: []string{"From", "Tried", "Holed", "Share may be", "Professionals"}}
	for _, b := range r.Putts {
		if b.Tries == 0 {
			continue
		}
		tries, holed, expected = tries+b.Tries, holed+b.Holed, expected+b.Expected*float64(b.Tries)
		rows = append(rows, puttRow{bandText(b.From, b.To, u), b.Holed, b.Tries, b.Low, b.High, b.Expected, true})
		d.Table.Rows = append(d.Table.Rows, []string{bandText(b.From, b.To, u), strconv.Itoa(b.Tries), strconv.Itoa(b.Holed),
			fmt.Sprintf("%s to %s of 100", percent(b.Low), percent(b.High)), percent(b.Expected) + " of 100"})
	}
	if len(rows) == 0 {
		if r.Total.N == 0 {
			return nil
		}
		d.TooFew = "No putt with its distance and its end is logged."
		return d
	}
	d.puttRows(rows)
	d.Lead = fmt.Sprintf("%d of %s holed; professionals would hole about %s from the same distances.", holed, count(tries, "putt", "putts"), plainFloat(math.Round(expected)))
	d.Title, d.Words = "Share of putts holed, by distance", d.Lead
	d.Note = "The baseline here is what PGA TOUR professionals hole, the only published list by distance that we know of; it is no target."
	return d
}

// bandText names a range of putts.
func bandText(from, to float64, u units) string {
	switch {
	case to == 0:
		return "over " + u.Distance(from, "green")
	case from == 0:
		return "to " + u.Distance(to, "green")
	default:
		return u.Figure(from, "green") + "–" + u.Distance(to, "green")
	}
}

func percent(share float64) string { return plainFloat(math.Round(share * 100)) }

func roundsDrawing(r *review.Review) *drawing {
	if len(r.Rounds) < 2 {
		return nil
	}
	d := &drawing{ID: review.FigureRounds, Heading: "Round by round"}
	byStrokes := r.Trend == nil || r.Trend.Of == "gained"
	value := func(l review.RoundLine) *float64 {
		if byStrokes {
			return l.Gained
		}
		return l.AgainstHandicap
	}
	pick := func() (out []trendRound) {
		for _, l := range r.Rounds {
			if v := value(l); v != nil {
				out = append(out, trendRound{l.Date, *v, shortDay(l.Date) + ": " + gainedText(*v)})
			}
		}
		return out
	}
	rounds := pick()
	if len(rounds) < 2 && r.Trend == nil {
		byStrokes = false
		rounds = pick()
	}
	d.Table = numbers{Caption: "Round by round, the oldest first", Words: 1, Head: []string{"Date", "Score", "To par", "Holes", "Holes logged", "Strokes gained", "Against the handicap"}}
	for _, l := range r.Rounds {
		date := shortDay(l.Date)
		if l.Current && r.Title.One {
			date += ", this round"
		}
		d.Table.Rows = append(d.Table.Rows, []string{date, orDash(l.Score), toParOf(l), strconv.Itoa(l.Scored), strconv.Itoa(l.Logged), optional(l.Gained, 1, true), optional(l.AgainstHandicap, 1, true)})
	}
	if len(rounds) < 2 {
		d.TooFew = "Fewer than two rounds can be compared, so no line is drawn."
		return d
	}
	if len(rounds) > 60 {
		rounds = rounds[len(rounds)-60:]
	}
	d.trend(rounds)
	of := "strokes gained"
	if !byStrokes {
		of = "score against the handicap"
	}
	last := rounds[len(rounds)-1]
	d.Lead = fmt.Sprintf("%s: latest %s.", sentenceStart(of), gainedText(last.Value))
	if r.Trend != nil {
		d.Lead = sentence(r.Trend.Words)
		d.Note = "How sure the trend is: " + r.Trend.Sure + "."
	}
	d.Title = "Rounds in the order of play: " + of
	d.Words = fmt.Sprintf("%d rounds from %s to %s. %s", len(rounds), shortDay(rounds[0].Date), shortDay(last.Date), d.Lead)
	return d
}

func toParOf(l review.RoundLine) string {
	if l.Scored == 0 {
		return "–"
	}
	return toParWords(l.ToPar)
}

func sentenceStart(s string) string {
	s = sentence(s)
	return s[:len(s)-1]
}
