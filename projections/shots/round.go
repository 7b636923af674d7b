package shots

// Position is where a ball lies. Lies are named as in events.Stroke.
type Position struct {
	Lie      string  `json:"lie"`
	Distance float64 `json:"distance"` // metres to the hole, above 0
}

// Stroke is one stroke as the analysis sees it. What was not said is empty, 0 or
// nil.
type Stroke struct {
	ID         string
	From       Position
	Penalty    int // penalty strokes that it incurred
	Club       string
	Target     string // left, at or right
	Shape      string // straight, draw or fade
	Commitment int    // 1 to 5
	Strike     string // poor, fair or good
	Finish     *Position
	GoodEnough *bool
	Miss       Miss
	Intent     bool     // something was said before it: club, target, shape, commitment or the time
	Seconds    *float64 // from intent to strike, by the device's clock
	At         int64    // unix milliseconds of the strike by the same clock, of the intent where that is missing; 0 for unknown
}

// Miss is where a stroke finished, seen from its target.
type Miss struct {
	Side   string  // left, right, on_line or empty
	Across float64 // metres, right positive; 0 where not said
	Length string  // short, long, level or empty
	Along  float64 // metres, long positive; 0 where not said
}

// Hole is one hole of a round with the strokes logged on it, in order of play.
//
// The next stroke's From is where play went on after a stroke; Finish says it only
// for the last one. A hole whose strokes begin on the green (putts only) is as good
// as any other: its strokes count, the hole's score does not follow from them.
type Hole struct {
	Number   int
	Par      int
	Length   float64 // metres; 0 where unknown
	Score    int     // strokes that stand on the card, penalties included; 0 for none
	Strokes  []Stroke
	Holed    bool // the last stroke went in
	Received int  // handicap strokes received there; negative where given back
}

// Round is a round of one ball, its holes in the order of play.
type Round struct {
	ID             string // of the card
	Ball           int
	Date           string // YYYY-MM-DD
	Holes          []Hole
	CourseRating   float64 // of the holes in play; 0 where unknown
	CourseHandicap float64 // exact
}

// Whole reports whether the hole's strokes lead from the tee into the hole, so that
// its score follows from them.
func (h Hole) Whole() bool {
	return len(h.Strokes) > 0 && h.Holed && h.Strokes[0].From.Lie == "tee"
}

// Counted adds up the strokes logged and their penalties.
func (h Hole) Counted() int {
	n := len(h.Strokes)
	for _, s := range h.Strokes {
		n += s.Penalty
	}
	return n
}
