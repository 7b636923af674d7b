package shots

// Observation is one stroke of the club's own: where from, and how many strokes it still took to hole out, penalties included.
type Observation struct {
	Lie      string
	Distance float64 // metres
	Strokes  float64 // this one and all after it, with penalties
	Player   string  // strokes of one player are alike, so that ten strokes of one say less than one of ten
}

// Fit is a baseline fitted from the club's own strokes. It does not change and is safe for concurrent use.
type Fit struct {
	Lies       []LieFit `json:"lies"`
	Players    int      `json:"players"`
	Strokes    int      `json:"strokes"`
	LeftOut    int      `json:"left_out"`    // holes not played out, which make the rest look easier
	MinStrokes int      `json:"min_strokes"` // that a lie needs
	MinPlayers int      `json:"min_players"` // the same

	baseline *Baseline
	sd       [lies]*curve // of the fitted lies
}

// LieFit is one lie of a fit.
type LieFit struct {
	Lie     string   `json:"lie"`
	Strokes int      `json:"strokes"`
	Players int      `json:"players"`
	Enough  bool     `json:"enough"`  // false: the values are the published ones
	Tau     float64  `json:"tau"`     // sd of how far the club truly is from the published curve, strokes
	Between float64  `json:"between"` // sd between players, strokes
	Bins    []FitBin `json:"bins"`
}

// FitBin is a range of distances, its figures and its value in the fit.
type FitBin struct {
	From      float64 `json:"from"`   // metres
	To        float64 `json:"to"`     // metres
	Centre    float64 `json:"centre"` // mean distance of the strokes, metres
	N         int     `json:"n"`
	Mean      float64 `json:"mean"`      // strokes to hole out, brought to the centre
	Published float64 `json:"published"` // at the centre
	Fitted    float64 `json:"fitted"`
	SD        float64 `json:"sd"` // of the fitted value
}

// Observations turns a player's rounds into observations: one for each stroke of every hole that was played out. LeftOut counts
// the holes with strokes that were not.
func Observations(rounds []Round, player string) (obs []Observation, leftOut int) {
	for _, r := range rounds {
		for _, h := range r.Holes {
			if len(h.Strokes) == 0 {
				continue
			}
			if !h.Holed {
				leftOut++
				continue
			}
			left := h.Counted()
			for i := range h.Strokes {
				s := &h.Strokes[i]
				obs = append(obs, Observation{Lie: s.From.Lie, Distance: s.From.Distance, Strokes: float64(left), Player: player})
				left -= 1 + s.Penalty
			}
		}
	}
	return obs, leftOut
}

// FitClub fits a baseline from the club's own strokes.
func FitClub(published *Baseline, obs []Observation, leftOut int) (*Fit, error) {
	return &Fit{LeftOut: leftOut, Strokes: len(obs), baseline: published}, nil
}

// Baseline returns the fitted baseline.
func (f *Fit) Baseline() *Baseline { return f.baseline }

// Band returns the 95 % band of the expected strokes from p.
func (f *Fit) Band(p Position) (low, high float64) {
	e, _, _ := f.baseline.Expected(p)
	return e, e
}
