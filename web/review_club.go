package web

import (
	"fmt"
	"slices"
	"strings"

	"marram.example/projections/review"
)

// lieFrom says where a stroke is played from, in the words of a heading.
func lieFrom(lie string) string {
	switch lie {
	case "tee":
		return "From the tee"
	case "fairway":
		return "From the fairway"
	case "rough":
		return "From the rough"
	case "sand":
		return "From the sand"
	case "recovery":
		return "From trouble"
	default:
		return "On the green"
	}
}

// clubDrawings are the club's own baseline, a picture a lie, and last what is missing
// for the others.
func clubDrawings(r *review.Review, u units) []*drawing {
	if r.Club == nil {
		return nil
	}
	var out []*drawing
	var few []string
	for _, l := range r.Club.Lies {
		if len(l.Points) > 0 {
			out = append(out, clubDrawing(r.Club, l, u))
			continue
		}
		if l.Enough {
			out = append(out, &drawing{
				ID: review.FigureClub + "-" + l.Lie, Heading: lieFrom(l.Lie),
				TooFew: fmt.Sprintf("Enough strokes to compare with, but nowhere %d of %d players near each other, so that nothing can be drawn without showing somebody’s own.",
					review.ClubMinStrokes, review.ClubMinPlayers),
			})
			continue
		}
		few = append(few, fewWords(l))
	}
	if len(few) > 0 {
		out = append(out, &drawing{
			ID: review.FigureClub + "-few", Heading: "Too few strokes yet",
			TooFew: fmt.Sprintf("A lie needs %d strokes of %d players (common practice, no source). Still missing %s. Until then the published values stand there.",
				r.Club.MinStrokes, r.Club.MinPlayers, strings.Join(few, "; ")),
		})
	}
	return out
}

// fewWords say what a lie lacks.
func fewWords(l review.ClubLie) string {
	var lacks []string
	if l.MissingStrokes > 0 {
		lacks = append(lacks, count(l.MissingStrokes, "stroke", "strokes"))
	}
	if l.MissingPlayers > 0 {
		lacks = append(lacks, count(l.MissingPlayers, "player", "players"))
	}
	return lowerFirst(lieFrom(l.Lie)) + ": " + strings.Join(lacks, " and ")
}

// clubDrawing is one lie: the published line, the club's own, and where it may be.
func clubDrawing(c *review.ClubFigure, l review.ClubLie, u units) *drawing {
	from := lieFrom(l.Lie)
	d := &drawing{ID: review.FigureClub + "-" + l.Lie, Heading: from}
	d.Table = numbers{Caption: "Strokes to hole out: " + lowerFirst(from), Words: 1, Head: []string{"Distance", "Published", "This club", "95 of 100"}}
	var widest float64
	apart := l.Points[0] // where club and table differ most
	thin := 0
	for _, p := range l.Points {
		row := []string{u.Distance(p.Distance, l.Lie), decimalText(p.Published, 2, false), "too few strokes", "–"}
		if p.Fitted != nil {
			row[2], row[3] = decimalText(*p.Fitted, 2, false), decimalText(*p.Low, 2, false)+" to "+decimalText(*p.High, 2, false)
			widest = max(widest, (*p.High-*p.Low)/2)
			if above(p) > above(apart) {
				apart = p
			}
		} else {
			thin++
		}
		d.Table.Rows = append(d.Table.Rows, row)
	}
	d.clubCurve(l, u)
	d.Lead = fmt.Sprintf("%s the club takes %s strokes to hole out, the published players %s.", u.Distance(apart.Distance, l.Lie)+" away",
		decimalText(*apart.Fitted, 1, false), decimalText(apart.Published, 1, false))
	d.Title = "Strokes to hole out " + lowerFirst(from) + ", by distance"
	d.Words = fmt.Sprintf("%s In 95 of 100 cases the club’s own value is within %s strokes of the line.", d.Lead, decimalText(widest, 2, false))
	d.Note = fmt.Sprintf("%s of %s. Dashed: %s.", count(l.Strokes, "stroke", "strokes"), count(l.Players, "player", "players"), c.Published)
	if thin > 0 {
		d.Note += fmt.Sprintf(" Where fewer than %d strokes or %d players are near, the published value stands alone, so that nobody’s own strokes can be read here.",
			review.ClubMinStrokes, review.ClubMinPlayers)
	}
	return d
}

// above is by how many strokes the club's value is above the published one.
func above(p review.ClubPoint) float64 { return *p.Fitted - p.Published }

// clubCurve draws it: distance to the right, strokes upwards.
func (d *drawing) clubCurve(l review.ClubLie, u units) {
	const left, right, top, foot = 34, 346, 26, 190
	d.Width, d.Height = 360, 228
	first, last := l.Points[0], l.Points[len(l.Points)-1]
	low, high := first.Published, last.Published
	for _, p := range l.Points {
		low, high = min(low, p.Published), max(high, p.Published)
		if p.Fitted != nil {
			low, high = min(low, *p.Low), max(high, *p.High)
		}
	}
	grid := func(from, to float64, parts int) (step, least, most float64) {
		step = roundStep(max(to-from, 0.1), parts)
		for least = 0; least+step <= from; {
			least += step
		}
		for most = least; most < to-1e-9; {
			most += step
		}
		return step, least, most
	}
	step, low, high := grid(low, high, 4)
	y := scale{low, high, foot, top}
	for n := 0.0; low+n*step <= high+step/2; n++ {
		v := low + n*step
		d.shape("grid", "", "M%v %vH%v", float64(left), y.at(v), float64(right))
		d.label(left-5, y.at(v)+4, end, "soft", decimalText(v, decimalsOf(step), false))
	}
	d.label(4, 13, start, "soft", "strokes to hole out")
	step, near, far := grid(u.In(first.Distance, l.Lie), u.In(last.Distance, l.Lie), 5)
	x := scale{near, far, left + 8, right - 14}
	for n := 0.0; near+n*step <= far+step/2; n++ {
		v := near + n*step
		d.shape("tick", "", "M%v %vv5", x.at(v), float64(foot))
		d.label(x.at(v), foot+19, middle, "soft", plainFloat(v))
	}
	d.label(right, foot+35, end, "soft", u.Unit(l.Lie)+" to the hole")

	at := func(p review.ClubPoint, v float64) string {
		return pathText("%v %v", x.at(u.In(p.Distance, l.Lie)), y.at(v))
	}
	var published []string
	for _, p := range l.Points {
		published = append(published, at(p, p.Published))
	}
	var bands, lines, stops []drawnPath
	for _, run := range fittedRuns(l.Points) {
		var line, upper, lower []string
		for _, p := range run {
			line, upper, lower = append(line, at(p, *p.Fitted)), append(upper, at(p, *p.High)), append(lower, at(p, *p.Low))
			stops = append(stops, drawnPath{"stop", disc(x.at(u.In(p.Distance, l.Lie)), y.at(*p.Fitted), 2.6), fmt.Sprintf("%s: %s, published %s",
				u.Distance(p.Distance, l.Lie), decimalText(*p.Fitted, 2, false), decimalText(p.Published, 2, false))})
		}
		if len(run) == 1 { // an upright bar
			bands = append(bands, drawnPath{"club-band", "M" + upper[0] + "L" + lower[0], ""})
			continue
		}
		slices.Reverse(lower)
		bands = append(bands, drawnPath{"club-band", "M" + strings.Join(append(upper, lower...), "L") + "Z", ""})
		lines = append(lines, drawnPath{"line", "M" + strings.Join(line, "L"), ""})
	}
	d.Paths = append(d.Paths, bands...)
	if len(published) > 1 {
		d.Paths = append(d.Paths, drawnPath{"published", "M" + strings.Join(published, "L"), "published"})
	} else {
		d.Paths = append(d.Paths, drawnPath{"published", "M" + published[0] + "m-7 0h14", "published"})
	}
	d.Paths = append(append(d.Paths, lines...), stops...)
	d.key("line", "this club", "M1 8h14")
	d.key("club-band", "may be anywhere here, 95 of 100", "M1 4h14v8h-14Z")
	d.key("published", "published", "M1 8h14")
}

// fittedRuns are the stretches of points with a value of the club's own.
func fittedRuns(points []review.ClubPoint) [][]review.ClubPoint {
	var runs [][]review.ClubPoint
	open := false
	for _, p := range points {
		switch {
		case p.Fitted == nil:
			open = false
		case open:
			runs[len(runs)-1] = append(runs[len(runs)-1], p)
		default:
			runs, open = append(runs, []review.ClubPoint{p}), true
		}
	}
	return runs
}

// clubOffWords say how far the comparison itself may be off; empty where that is not
// known.
func clubOffWords(r *review.Review) string {
	if r.Club == nil || r.Club.OffStroke == nil {
		return ""
	}
	words := fmt.Sprintf("The club’s own baseline is itself uncertain: for a stroke like these by about %s", decimalText(*r.Club.OffStroke, 2, false))
	if r.Club.OffRound != nil {
		words += fmt.Sprintf(", for the sum of a round by up to %s", decimalText(*r.Club.OffRound, 1, false))
	}
	return words + " strokes (95 of 100), beside the ranges drawn on this page."
}
