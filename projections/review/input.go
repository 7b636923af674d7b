package review

import "marram.example/projections/shots"

// Units in which the sentences write distances.
const (
	Metres = "m"
	Yards  = "yd" // and feet on the green
)

// Input is what a review is made of.
type Input struct {
	// Own are the rounds under review, the newest first. With One it is the first of
	// them alone, and the others count as past ones.
	Own []shots.Round
	One bool
	// Past are older rounds of the same player: what is usual. Their order does not
	// matter.
	Past []shots.Round
	// Field are the rounds of everybody who played the same round of the competition,
	// the player's own among them; only their scores are used, and only with One.
	Field []shots.Round

	Baseline     *shots.Baseline // what strokes are compared with
	BaselineNote string          // what else must be said of it, such as that the club has too few strokes for its own
	// Club is the fit that Baseline comes from, and Published the table to be drawn beside
	// it; both nil for any other baseline.
	Club      *shots.Fit
	Published *shots.Baseline
	// Matched is the baseline stretched to the player's handicap; nil where unknown.
	// Advice compares with it, so that nobody is told to practise being a professional.
	Matched *shots.Baseline

	Corridors []CorridorInput // trouble left and right that the player described
	Practice  bool            // the round is a practice round that is still being played
	LeftOut   []LeftOut       // what the caller left out, and why
	Units     string          // Metres (also when empty) or Yards, for the sentences
}

// CorridorInput is where trouble begins for a group of clubs, seen from the target.
type CorridorInput struct {
	Group     string  // of clubs, as shots.GroupOf names it
	Left      float64 // metres from the target line to the trouble on the left; negative where it begins right of the line
	Right     float64 // the same on the right
	CostLeft  float64 // strokes that finishing beyond the left edge costs; 0 for equal costs
	CostRight float64 // the same on the right
}
