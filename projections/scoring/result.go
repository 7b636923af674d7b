package scoring

import (
	"marram.example/projections/handicap"
)

// HoleResult is one hole of a scored card. Net, Points, GrossToPar and NetToPar are in strokes and points and are 0 where
// the hole was not holed; look at Score.State first.
type HoleResult struct {
	Hole        int
	Par         int
	StrokeIndex int
	// Received are the strokes received on the hole; 0 on the gross basis.
	Received   int
	Score      Score
	Net        int
	Points     int
	GrossToPar int
	NetToPar   int
	// Figure is what the hole adds to the total in the card's format; 0 while it is not entered.
	Figure int
}

// Sum adds up some holes of a card. Par, Gross and Net cover the holes holed; Points and Figure all holes entered.
type Sum struct {
	// Holes is the number of holes that these are, played or not.
	Holes int
	// Played is how many of them are entered, with or without a score.
	Played int
	// Scored is how many of them were holed.
	Scored int
	Par    int
	Gross  int
	Net    int
	Points int
	Figure int
}

// GrossToPar is gross strokes less par over the holes holed.
func (s Sum) GrossToPar() int { return s.Gross - s.Par }

// NetToPar is net strokes less par over the holes holed.
func (s Sum) NetToPar() int { return s.Net - s.Par }

func (s *Sum) add(h *HoleResult) {
	s.Holes++
	if !h.Score.Entered() {
		return
	}
	s.Played++
	s.Points += h.Points
	s.Figure += h.Figure
	if h.Score.State == Holed {
		s.Scored++
		s.Par += h.Par
		s.Gross += h.Score.Strokes
		s.Net += h.Net
	}
}

// Result is a scored card, complete or in progress.
type Result struct {
	Format  string
	Basis   Basis
	Playing handicap.Playing
	// Holes are in the order of play.
	Holes []HoleResult
	// Out covers holes 1 to 9, In holes 10 to 18, Total all.
	Out, In, Total Sum
	// HolesPlayed is the number of holes entered, with or without a score.
	HolesPlayed int
	// Complete is true where the card has a final total: every hole entered and, where the format needs it, holed.
	Complete bool
	// Lacking is the first hole, in the order of play, whose missing score leaves the card without a total; 0 for none.
	Lacking int
	// Value is the total that ranks, in the format's unit. It is final only where Complete is true.
	Value int
	// Live ranks cards in progress: strokes to par, or points less two a hole, over the holes played. It says nothing
	// where HasLive is false: before the first hole, and where no total is possible any more.
	Live    int
	HasLive bool
}

// Score scores a card. Impossible cards are refused with a [handicap.InputError] that names the field: a wrong number of
// holes, stroke indexes missing or repeated, scores outside 1 to 99, strokes received that do not add up.
func (f Format) Score(card Card, basis Basis) (Result, error) {
	if basis != Net && basis != Gross {
		return Result{}, refuse("basis", "", "%d is unknown", int(basis))
	}
	received, err := card.validate(basis)
	if err != nil {
		return Result{}, err
	}
	r := Result{Format: f.Name, Basis: basis, Playing: card.Playing, Holes: make([]HoleResult, len(card.Par))}
	level := 0
	for place := range r.Holes {
		h := &r.Holes[place]
		*h = scoreHole(card, place, received)
		switch {
		case !h.Score.Entered():
		case f.EveryHole && h.Score.State != Holed:
			if r.Lacking == 0 {
				r.Lacking = h.Hole
			}
		default:
			h.Figure = f.Figure(*h)
			level += f.Level(*h)
		}
		r.Total.add(h)
		if h.Hole <= 9 {
			r.Out.add(h)
		} else {
			r.In.add(h)
		}
	}
	r.HolesPlayed = r.Total.Played
	r.Complete = r.Total.Played == r.Total.Holes && r.Lacking == 0
	r.Value = r.Total.Figure
	r.HasLive = r.HolesPlayed > 0 && r.Lacking == 0
	if r.HasLive {
		r.Live = r.Total.Figure - level
	}
	return r, nil
}

func scoreHole(card Card, place int, received []int) HoleResult {
	h := HoleResult{Hole: card.number(place), Par: card.Par[place], Score: card.Scores[place]}
	if card.StrokeIndex != nil {
		h.StrokeIndex = card.StrokeIndex[place]
	}
	if received != nil {
		h.Received = received[place]
	}
	if h.Score.State == Holed {
		h.Net = h.Score.Strokes - h.Received
		h.Points = StablefordPoints(h.Score.Strokes, h.Par, h.Received)
		h.GrossToPar = h.Score.Strokes - h.Par
		h.NetToPar = h.Net - h.Par
	}
	return h
}
