package web

import (
	"fmt"
	"math"
	"strconv"

	"marram.example/projections/review"
	"marram.example/projections/shots"
)

// intentDrawings are about what was meant and judged: strike and outcome, commitment,
// routine.
func intentDrawings(r *review.Review) []*drawing {
	if !r.Title.Logged {
		return nil
	}
	return []*drawing{squareDrawing(r), commitmentDrawing(r), routineDrawing(r)}
}

func squareDrawing(r *review.Review) *drawing {
	s := &r.Square
	d := &drawing{ID: review.FigureSquare, Heading: "Strike and outcome"}
	if s.N == 0 {
		d.TooFew = "No stroke says both how it was struck and whether the outcome was good enough."
		return d
	}
	cells := []struct {
		shots.Cell
		name string
	}{
		{s.GoodEnough, "good strike, good enough"}, {s.Plan, "good strike, not good enough: the plan"},
		{s.Forgiven, "not a good strike, good enough: forgiven"}, {s.StrikeItself, "not a good strike, not good enough"},
	}
	var q [4]quarter
	d.Table = numbers{Caption: "Strike and outcome", Words: 1, Head: []string{"Strokes", "Count", "Gained a stroke", "May be", "Gained"}}
	for i, c := range cells {
		q[i] = quarter{N: c.N}
		if c.N > 0 {
			q[i].Words = gainedText(c.Mean) + " each"
		}
		d.Table.Rows = append(d.Table.Rows, append([]string{sentenceStart(c.name), strconv.Itoa(c.N)}, gainCells(c.Cell)...))
	}
	for _, l := range s.Strikes {
		d.Table.Rows = append(d.Table.Rows, append([]string{sentenceStart(l.Strike) + " strikes, whatever the outcome", strconv.Itoa(l.N)}, gainCells(l.Cell)...))
	}
	d.squares(q)
	d.Title = "Strokes by strike and outcome, areas as the counts"
	d.Words = fmt.Sprintf("%d good strikes were good enough and %d were not; of the others %d were good enough and %d were not.", s.GoodEnough.N, s.Plan.N, s.Forgiven.N, s.StrikeItself.N)
	d.Lead = fmt.Sprintf("%d of %s that were not struck well were good enough all the same.", s.Saved.Done, count(s.Saved.Chances, "stroke", "strokes"))
	if s.Saved.Chances == 0 {
		d.Lead = "Every stroke judged was struck well."
	}
	switch c := s.Cost; {
	case c.TooFew != "":
		d.Note = "What a poor strike costs: too few strokes to say."
	default:
		d.Note = fmt.Sprintf("A good strike gained %s than a poor one, between %s: %s.", byText(c.Value), betweenText(c.Interval, 2), c.HowSure)
	}
	d.What = "Good enough: the player was content to go on from there. A fair strike stands with the poor ones. Areas are as the counts."
	return d
}

// byText writes a difference in strokes a stroke.
func byText(v float64) string {
	words := decimalText(math.Abs(v), 2, false) + " strokes "
	if v < 0 {
		return words + "less"
	}
	return words + "more"
}

// betweenText writes an interval of strokes after the word between.
func betweenText(i shots.Interval, decimals int) string {
	return decimalText(i.Low, decimals, true) + " and " + decimalText(i.High, decimals, true)
}

// gainCells are a cell's mean, its range and its sum.
func gainCells(c shots.Cell) []string {
	if c.N == 0 {
		return []string{"–", "–", "–"}
	}
	return []string{decimalText(c.Mean, 2, true), rangeText(c.Interval), gainedText(c.Total)}
}

func commitmentDrawing(r *review.Review) *drawing {
	c := &r.Commitment
	if c.N == 0 {
		return nil
	}
	d := &drawing{ID: review.FigureCommitment, Heading: "Commitment and result"}
	var rows []ranged
	d.Table = numbers{Caption: "Commitment and strokes gained", Words: 1, Head: []string{"Commitment", "Strokes", "Gained a stroke", "May be", "Gained"}}
	for _, l := range c.Levels {
		d.Table.Rows = append(d.Table.Rows, append([]string{fmt.Sprintf("%d of 5", l.Commitment), strconv.Itoa(l.N)}, gainCells(l.Cell)...))
	}
	for _, g := range []struct {
		shots.Cell
		name string
	}{{c.Low, "up to 3 of 5"}, {c.High, "4 and 5 of 5"}} {
		if g.N > 0 {
			rows = append(rows, ranged{Name: g.name, Small: count(g.N, "stroke", "strokes"), Value: g.Mean, Low: g.Interval.Low, High: g.Interval.High,
				Figure: decimalText(g.Mean, 2, true), Known: g.Interval.Low != g.Interval.High})
			d.Table.Rows = append(d.Table.Rows, append([]string{sentenceStart(g.name), strconv.Itoa(g.N)}, gainCells(g.Cell)...))
		}
	}
	d.rangedRows(rows, "lost a stroke", "gained")
	d.Title = "Strokes gained a stroke by commitment"
	switch e := c.Effect; {
	case e.TooFew != "":
		d.Lead = "Whether commitment tells: too few strokes to say."
	default:
		d.Lead = fmt.Sprintf("Committed strokes, 4 and 5 of 5, gained %s than the others: %s.", byText(e.Value), e.HowSure)
		d.Note = fmt.Sprintf("The difference lies between %s (95 of 100).", betweenText(e.Interval, 2))
		if c.SeenAbove > 0 {
			d.Note += fmt.Sprintf(" With so few strokes only a difference above %s would be seen 4 times in 5.", decimalText(c.SeenAbove, 2, false))
		}
	}
	d.Words = d.Lead
	d.What = "This was observed, not tried: a player may be less committed where the trouble is."
	return d
}

// timeClassWords name the classes of time.
var timeClassWords = map[string]string{
	shots.TimeFull: "Full strokes", shots.TimeShort: "Short strokes", shots.TimePuttsShort: "Short putts", shots.TimePuttsMid: "Middle putts", shots.TimePuttsLong: "Long putts",
}

func routineDrawing(r *review.Review) *drawing {
	t := &r.Routine
	d := &drawing{ID: review.FigureRoutine, Heading: "Seconds logged"}
	d.Table = numbers{Caption: "Seconds logged by kind of stroke", Words: 1, Head: []string{"Strokes", "Played", "With intent", "Timed", "Median", "Half within", "Over 40 s"}}
	for _, c := range t.Classes {
		if c.Strokes == 0 {
			continue
		}
		row := []string{timeClassWords[c.Key], strconv.Itoa(c.Strokes), strconv.Itoa(c.WithIntent.Done), strconv.Itoa(c.Timed), "–", "–", "–"}
		if c.Timed > 0 {
			row[4], row[5], row[6] = secondsText(c.Median), "± "+secondsText(c.MAD), strconv.Itoa(c.Over40.Done)
		}
		d.Table.Rows = append(d.Table.Rows, row)
	}
	d.Lead = fmt.Sprintf("An intent before %d of %s.", t.WithIntent.Done, count(t.WithIntent.Chances, "stroke", "strokes"))
	if t.Attention.Timed < 2 {
		d.TooFew = "Fewer than two strokes have both times, of the intent and of the strike."
		return d
	}
	d.timesOf(r)
	d.Title = "Seconds from intent to strike over the round"
	d.Lead += fmt.Sprintf(" %d of %d with a time took over 40 seconds.", t.Over40.Done, t.Over40.Chances)
	d.Words = d.Lead
	if a := t.Attention; a.Share != nil {
		d.Note = fmt.Sprintf("The strokes themselves took %s minutes, %s of 100 of the time on the course (%s minutes in all). ", plainFloat(math.Round(a.Minutes)), percent(*a.Share), plainFloat(math.Round(a.RoundMinutes)))
	}
	d.Note += "40 seconds are a recommendation; more is no breach."
	d.What = t.Rule
	if t.Trend != nil {
		d.What += fmt.Sprintf(" Trend: %s seconds a hole, %s.", decimalText(t.Trend.Slope, 1, true), t.Trend.HowSure)
	}
	return d
}

// timesOf draws every time of one round, or the kinds of strokes over several.
func (d *drawing) timesOf(r *review.Review) {
	if !r.Title.One || len(r.Times) < 2 {
		d.rowsOfTime(r)
		return
	}
	strokes := make([]clocked, 0, len(r.Times))
	for i, t := range r.Times {
		strokes = append(strokes, clocked{
			At: float64(i) / float64(len(r.Times)-1), Seconds: t.Seconds, Putt: t.Putt,
			Words: fmt.Sprintf("Hole %d, stroke %d: %s", t.Hole, t.Stroke, secondsText(t.Seconds)),
		})
	}
	last := len(r.Times) - 1
	d.clock(strokes, fmt.Sprintf("hole %d", r.Times[0].Hole), fmt.Sprintf("hole %d", r.Times[last].Hole))
}

// rowsOfTime draws the median of each kind of stroke with the half that lies about it.
func (d *drawing) rowsOfTime(r *review.Review) {
	const left, right, top, row = 118, 312, 30, 36
	var rows []shots.TimeClass
	most := 45.0
	for _, c := range r.Routine.Classes {
		if c.Timed > 0 {
			rows = append(rows, c)
			most = math.Max(most, c.Median+c.MAD)
		}
	}
	d.Width, d.Height = 360, top+row*len(rows)+6
	x := scale{0, most * 1.05, left, right}
	d.shape("limit", "", "M%v %vV%v", x.at(shots.Forty), float64(top-8), float64(d.Height-4))
	d.label(x.at(shots.Forty), 15, middle, "name", "40 s")
	d.shape("zero", "", "M%v %vV%v", x.at(0), float64(top-8), float64(d.Height-4))
	for i, c := range rows {
		y := float64(top+row*i) + row/2
		d.label(4, y-2, start, "name", timeClassWords[c.Key])
		d.label(4, y+13, start, "soft", count(c.Timed, "time", "times"))
		d.shape("range", "", "M%v %vH%v", x.at(math.Max(0, c.Median-c.MAD)), y, x.at(c.Median+c.MAD))
		d.Paths = append(d.Paths, drawnPath{"timed", disc(x.at(c.Median), y, 6), timeClassWords[c.Key] + ": " + secondsText(c.Median)})
		d.label(356, y+5, end, "figure", secondsText(c.Median))
	}
	d.key("timed", "median", "%v", disc(8, 8, 5))
	d.key("range", "half of them", "M2 8h12")
	d.key("limit", "40 s: the Rules recommend no more", "M8 1v14")
}

func secondsText(s float64) string { return plainFloat(math.Round(s)) + " s" }
