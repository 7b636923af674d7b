package web

import (
	"fmt"

	"marram.example/projections/handicap"
	"marram.example/projections/record"
)

// recordChart draws score differentials in the order of play, 360 by 230 units. As in
// the chart of the index, lower is better and stands higher.
type recordChart struct {
	Words   string // what the drawing shows
	Points  []recordPoint
	Best    chartLabel
	Worst   chartLabel
	Average *chartLabel // of the differentials that count
	Low     *chartLabel // the low index
	RecentX int         // where the most recent 20 begin; 0 where nothing is older
	From    string      // first day drawn
	To      string      // last
}

// recordPoint is one differential. Its mark differs in shape, and in tint besides.
type recordPoint struct {
	X, Y  int
	Mark  string // counts, recent or older
	Words string
}

// The drawing's frame, and how many of the latest differentials it has room for.
const (
	recordLeft, recordRight = 52, 346
	recordTop, recordFoot   = 26, 184
	recordDrawn             = 30
)

// recordChartOf draws a record with at least two differentials.
func recordChartOf(r *record.Record) *recordChart {
	var drawn []record.Round
	for _, x := range r.Rounds {
		if x.AdjustedTenths != nil {
			drawn = append(drawn, x)
		}
	}
	drawn = drawn[max(0, len(drawn)-recordDrawn):]
	if len(drawn) < 2 {
		return nil
	}
	best, worst := *drawn[0].AdjustedTenths, *drawn[0].AdjustedTenths
	take := func(tenths int) { best, worst = min(best, tenths), max(worst, tenths) }
	for _, x := range drawn {
		take(*x.AdjustedTenths)
	}
	points := fmt.Sprintf("The latest %d score differentials, from %s to %s. The best is %s, the highest %s.", len(drawn),
		shortDay(drawn[0].Date), shortDay(drawn[len(drawn)-1].Date), differentialText(best), differentialText(worst))
	if r.Estimate != nil {
		take(r.Estimate.AverageTenths)
	}
	low := r.Low
	if low != nil && (low.Tenths < best-(worst-best) || low.Tenths > worst+(worst-best)) {
		low = nil // so far off that it would press everything else together; the words have it
	}
	if low != nil {
		take(low.Tenths)
	}
	y := func(tenths int) int {
		if worst == best {
			return (recordTop + recordFoot) / 2
		}
		return recordTop + (recordFoot-recordTop)*(tenths-best)/(worst-best)
	}
	c := &recordChart{
		Words: points, From: shortDay(drawn[0].Date), To: shortDay(drawn[len(drawn)-1].Date),
		Best: chartLabel{y(best), differentialText(best)}, Worst: chartLabel{y(worst), differentialText(worst)},
	}
	if e := r.Estimate; e != nil {
		c.Average = &chartLabel{y(e.AverageTenths), "average " + differentialText(e.AverageTenths)}
		c.Words += fmt.Sprintf(" The lowest %d of the most recent %d count; with the adjustment of the table they average %s, and the %s is %s.",
			e.Lowest, e.OnRecord, differentialText(e.AverageTenths), handicap.UnofficialEstimate, handicap.Index(e.Tenths))
	}
	if low != nil {
		c.Low = &chartLabel{y(low.Tenths), "low index " + handicapText(low.Tenths)}
	}
	if r.Low != nil {
		c.Words += fmt.Sprintf(" The low index is %s.", handicapText(r.Low.Tenths))
	}
	c.Words += " The table below has every round."
	c.place(drawn, y)
	return c
}

// place puts the marks side by side, evenly: rounds of one week would hide each other
// on an axis of days.
func (c *recordChart) place(drawn []record.Round, y func(int) int) {
	for i, x := range drawn {
		p := recordPoint{X: recordLeft + (recordRight-recordLeft)*(2*i+1)/(2*len(drawn)), Y: y(*x.AdjustedTenths), Mark: markOf(x)}
		p.Words = fmt.Sprintf("%s: %s, %s", shortDay(x.Date), differentialText(*x.AdjustedTenths), markWords[p.Mark])
		if c.RecentX == 0 && i > 0 && x.Recent && !drawn[i-1].Recent {
			c.RecentX = recordLeft + (recordRight-recordLeft)*i/len(drawn)
		}
		c.Points = append(c.Points, p)
	}
}

var markWords = map[string]string{"counts": "counts", "recent": "among the recent ones", "older": "older than the recent 20", "none": "no differential"}
