package shots

// Count is how often something was done, of the chances that there were.
type Count struct {
	Done    int `json:"done"`
	Chances int `json:"chances"`
}

// ParAverage is the mean score on holes of one par.
type ParAverage struct {
	Par  int     `json:"par"`
	N    int     `json:"n"` // finished holes
	Mean float64 `json:"mean"`
}

// Distribution is how many finished holes were played in so many strokes to par.
type Distribution struct {
	EagleOrBetter int `json:"eagle_or_better"`
	Birdie        int `json:"birdie"`
	Par           int `json:"par"`
	Bogey         int `json:"bogey"`
	DoubleBogey   int `json:"double_bogey"`
	Worse         int `json:"worse"`
}

// Proximity is how much the approach strokes left that finished on the green or within 30 yards of the hole.
type Proximity struct {
	N      int     `json:"n"`
	Median float64 `json:"median"` // metres; a median survives a shank
}

// Definition says what a classic measure counts, and what it does not see.
type Definition struct {
	Key    string `json:"key"` // the measure's JSON name
	Counts string `json:"counts"`
	Flaw   string `json:"flaw,omitempty"`
}

// Classic are the measures that golfers have long kept, counted exactly as Definitions say. What the log does not tell is no
// chance: a hole whose strokes break off counts for what is known of it.
type Classic struct {
	FairwaysHit    Count         `json:"fairways_hit"`
	Greens         Count         `json:"greens"` // in regulation
	Scrambles      Count         `json:"scrambles"`
	SandSaves      Count         `json:"sand_saves"`
	UpAndDown      Count         `json:"up_and_down"`
	BounceBack     Count         `json:"bounce_back"`
	ThreePuttFree  Count         `json:"three_putt_free"`
	Putts          int           `json:"putts"`
	ThreePutts     int           `json:"three_putts"` // holes with three putts or more
	PuttsOnGreens  int           `json:"putts_on_greens"`
	PuttsPerGreen  *float64      `json:"putts_per_green"` // null without a green hit
	Proximity      Proximity     `json:"proximity"`
	Penalties      int           `json:"penalties"`
	PhasePenalties map[Phase]int `json:"phase_penalties"` // only phases with one
	Averages       []ParAverage  `json:"averages"`        // by par, ascending
	Distribution   Distribution  `json:"distribution"`
	HolesLogged    int           `json:"holes_logged"` // holes with strokes
	HolesScored    int           `json:"holes_scored"` // holes with a score
	Definitions    []Definition  `json:"definitions"`
}

// ClassicOf counts the classic measures over rounds. Rounds with scores only give what scores allow: averages by par, bounce-back
// and the distribution.
func ClassicOf(rounds []Round) Classic {
	c := classicCount{Classic: Classic{PhasePenalties: map[Phase]int{}, Definitions: Definitions()}}
	for _, r := range rounds {
		for i, h := range r.Holes {
			c.strokes(h)
			c.score(h)
			if i+1 < len(r.Holes) {
				c.bounceBack(h, r.Holes[i+1])
			}
		}
	}
	return c.done()
}
