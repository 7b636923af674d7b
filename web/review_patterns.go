package web

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"marram.example/projections/review"
	"marram.example/projections/shots"
)

// patternDrawings are a picture a group of clubs, the longest clubs first, with its
// corridor where trouble was described.
func patternDrawings(r *review.Review, u units) []*drawing {
	var out []*drawing
	var few []*review.PatternLine
	var keys []drawnKey
	for i := range r.Patterns {
		l := &r.Patterns[i]
		if l.Left+l.OnLine+l.Right < leastPictured && l.Short+l.Level+l.Long < leastPictured && l.Corridor == nil {
			few = append(few, l)
			continue
		}
		d := patternDrawing(r, l, u)
		if keys != nil {
			// Said once: every scatter has the same marks.
			d.What, d.Key = "", slices.DeleteFunc(d.Key, func(k drawnKey) bool { return slices.Contains(keys, k) })
		}
		keys = append(keys, d.Key...)
		out = append(out, d)
		if l.Corridor != nil {
			out = append(out, corridorDrawing(l, u))
		}
	}
	if len(few) > 0 {
		out = append(out, fewDrawing(few))
	}
	if len(out) > 0 {
		return out
	}
	if !r.Title.Logged {
		return nil
	}
	return []*drawing{{ID: review.FigurePatterns, Heading: "Where the ball goes", TooFew: "No stroke says on which side or at what length it missed, so there is no pattern to draw."}}
}

// leastPictured strokes under review with a miss to either side, or a length, are asked
// before a group of clubs gets a picture of its own.
const leastPictured = 4

// leastScattered strokes with both amounts are asked before they are drawn from above;
// with fewer only left and right are.
const leastScattered = 5

// fewDrawing lists the clubs that were hardly used.
func fewDrawing(few []*review.PatternLine) *drawing {
	d := &drawing{ID: review.FigurePatterns + "-few", Heading: "Clubs hardly used"}
	d.TooFew = fmt.Sprintf("Too few strokes to draw, fewer than %d each; the numbers are below.", leastPictured)
	d.Table = numbers{Caption: "Misses with clubs hardly used", Words: 2, Head: []string{"Clubs", "Left, on line, right", "Short, level, long"}}
	for _, l := range few {
		d.Table.Rows = append(d.Table.Rows, []string{l.Label, fmt.Sprintf("%d, %d, %d", l.Left, l.OnLine, l.Right), fmt.Sprintf("%d, %d, %d", l.Short, l.Level, l.Long)})
	}
	return d
}

// anchor makes an id of a group's name.
func anchor(figure, group string) string {
	return figure + "-" + strings.ReplaceAll(group, " ", "-")
}

func patternDrawing(r *review.Review, l *review.PatternLine, u units) *drawing {
	d := &drawing{ID: anchor(review.FigurePatterns, l.Group), Heading: l.Label, Lead: sentence(l.Words)}
	p := &l.Pattern
	d.Title = l.Label + ": where strokes finished, seen from the aim"
	unit := u.Unit("")
	today := p.Today
	if p.Usual == nil {
		today = nil // then it is the middle of these strokes, which is drawn
	}
	in := func(metres float64) float64 { return u.In(metres, "") }
	if p.TooFew != "" {
		d.Table = patternTable(r, l, u)
		if l.Left+l.OnLine+l.Right == 0 {
			d.TooFew = sentence(p.TooFew)
			return d
		}
		d.sides(l.Left, l.OnLine, l.Right)
		d.Words = fmt.Sprintf("%d left, %d on line, %d right.", l.Left, l.OnLine, l.Right)
		d.Note = sentence(p.TooFew)
		return d
	}
	var misses []miss
	for _, m := range l.Points {
		if m.Measured {
			misses = append(misses, miss{Across: in(m.Across), Along: in(m.Along), Strike: m.Strike, Past: r.Title.One && m.Round != r.Title.Card})
		}
	}
	var whole *spread
	if e := p.Ellipse; e != nil {
		whole = &spread{in(e.CenterX), in(e.CenterY), in(e.Major), in(e.Minor), e.Degrees}
	}
	line := func(x *shots.Posterior) *float64 {
		if x == nil || p.Length == 0 {
			return nil
		}
		across := in(math.Tan(radians(x.Mean)) * p.Length)
		return &across
	}
	if len(misses) < leastScattered {
		misses = nil
		for _, m := range l.Points {
			if m.AcrossKnown {
				misses = append(misses, miss{Across: in(m.Across), Strike: m.Strike, Past: r.Title.One && m.Round != r.Title.Card})
			}
		}
		d.strip(misses, in(p.BiasAcross), line(p.Usual), line(today), unit)
	} else {
		d.scatter(misses, whole, &[2]float64{in(p.BiasAcross), in(p.BiasAlong)}, line(p.Usual), line(today), unit)
	}
	d.Words = fmt.Sprintf("%d strokes drawn. Middle: %s and %s. %d left, %d on line, %d right.", len(misses),
		sideText(p.BiasAcross, "left", "right", u), sideText(p.BiasAlong, "short", "long", u), l.Left, l.OnLine, l.Right)
	if p.NoEllipse != "" {
		d.Note = sentence(p.NoEllipse)
	}
	if p.Different != nil {
		d.Note += fmt.Sprintf(" That this day differs from the usual: %s.", p.Different.HowSure)
	}
	d.Table = patternTable(r, l, u)
	d.What = "The middle is a median, so that one stray stroke moves it little. The usual line is the mean of earlier rounds; the line of this day is drawn towards it by how few strokes were seen."
	return d
}

// sideText writes an amount with the side that it is on.
func sideText(metres float64, below, above string, u units) string {
	words := u.Distance(math.Abs(metres), "")
	switch {
	case strings.HasPrefix(words, "0 "):
		return "level"
	case metres < 0:
		return words + " " + below
	default:
		return words + " " + above
	}
}

func degreesText(degrees float64) string {
	words := decimalText(math.Abs(degrees), 1, false) + "°"
	switch {
	case words == "0.0°":
		return "straight"
	case degrees < 0:
		return words + " left"
	default:
		return words + " right"
	}
}

// patternTable is the pattern in numbers, then the strokes under review.
func patternTable(r *review.Review, l *review.PatternLine, u units) numbers {
	p := &l.Pattern
	t := numbers{Caption: l.Label + ": misses in numbers", Words: 2, Head: []string{"What", "How much"}}
	add := func(name, value string) { t.Rows = append(t.Rows, []string{name, value}) }
	add("Left, on line, right", fmt.Sprintf("%d, %d, %d", l.Left, l.OnLine, l.Right))
	add("Short, level, long", fmt.Sprintf("%d, %d, %d", l.Short, l.Level, l.Long))
	if l.Left+l.Right > 0 {
		add("One-sided, left or right", l.Sure)
	}
	if l.Short+l.Long > 0 {
		add("One-sided, short or long", l.SureAlong)
	}
	if p.TooFew == "" {
		add("Middle across", sideText(p.BiasAcross, "left", "right", u))
		add("Middle along", sideText(p.BiasAlong, "short", "long", u))
		add("Spread across", u.Distance(p.SpreadAcross, ""))
		add("Spread along", u.Distance(p.SpreadAlong, ""))
		add("Direction", degreesText(p.BiasAngle)+", spread "+decimalText(p.SpreadAngle, 1, false)+"°")
	}
	if p.Length > 0 {
		add("Usual length", u.Distance(p.Length, ""))
	}
	if p.Usual != nil {
		add("Usual direction", degreesText(p.Usual.Mean))
	}
	if p.Today != nil {
		add("Direction of this day", degreesText(p.Today.Mean))
	}
	if p.Different != nil {
		add("Different from usual", p.Different.HowSure)
	}
	if !r.Title.One {
		return t
	}
	for _, m := range l.Points {
		if m.Round == r.Title.Card {
			add("Hole "+strconv.Itoa(m.Hole), finishedWords(m, u))
		}
	}
	return t
}

// finishedWords say where one stroke finished.
func finishedWords(m shots.MissPoint, u units) string {
	var parts []string
	say := func(said string, known bool, metres float64, neither string) {
		words := strings.ReplaceAll(said, "_", " ")
		switch {
		case said == "":
		case !known || said == neither:
			parts = append(parts, words)
		default:
			parts = append(parts, u.Distance(math.Abs(metres), "")+" "+words)
		}
	}
	say(m.Side, m.AcrossKnown, m.Across, "on_line")
	say(m.Length, m.AlongKnown, m.Along, "level")
	if m.Strike != "" {
		parts = append(parts, m.Strike+" strike")
	}
	return strings.Join(parts, ", ")
}

func corridorDrawing(l *review.PatternLine, u units) *drawing {
	c := l.Corridor
	d := &drawing{ID: "corridor", Heading: l.Label + " between two troubles", Lead: sentence(c.Words)}
	if c.Now == nil || c.Aim == nil {
		d.TooFew = "Too few strokes with a direction to work out an aim."
		return d
	}
	d.lane(c.Bias, c.Spread, c.Left, c.Right, c.Aim.Offset, func(metres float64) string { return u.Distance(metres, "") })
	d.Title = "The corridor seen from the tee, with where strokes finish now and from the better aim"
	d.Words = fmt.Sprintf("Aiming as now, %s of 100 stay between the troubles, %s go left and %s right. Aiming %s, %s of 100 stay.",
		percent(c.Now.Inside), percent(c.Now.Left), percent(c.Now.Right), sideText(c.Aim.Offset, "further left", "further right", u), percent(c.Aim.Chances.Inside))
	d.Table = numbers{Caption: "Of 100 strokes, by aim", Words: 1, Head: []string{"Aim", "In play", "Left", "Right", "Strokes lost a stroke"}, Rows: [][]string{
		{"as now", percent(c.Now.Inside), percent(c.Now.Left), percent(c.Now.Right), decimalText(c.Aim.CostNow, 2, false)},
		{"better: " + sideText(c.Aim.Offset, "further left", "further right", u), percent(c.Aim.Chances.Inside), percent(c.Aim.Chances.Left), percent(c.Aim.Chances.Right), decimalText(c.Aim.Cost, 2, false)},
	}}
	if c.Aim.Bailout {
		d.Note = "The dear side is so dear that the aim is held at the other edge: further out the cheap side is no longer cheap."
	}
	d.What = "Strokes are taken to spread evenly about the bias; the spread holds what is not known of the bias. A normal curve has thin edges: real strays are more frequent."
	return d
}
