package scoring

import (
	"marram.example/projections/handicap"
)

// HoleResult is one hole of a scored card. Gross, Net, GrossToPar and NetToPar are in strokes and 0 where no strokes
// count; look at [HoleResult.Counts] first. Of a side with several balls they add up the balls that count.
type HoleResult struct {
	Hole int
	// Par is the par of the hole; of a side with several balls that of its first ball.
	Par         int
	StrokeIndex int
	// Received are the strokes received on the hole; 0 on the gross basis.
	Received int
	// Score is what the card says. Of a side with several balls it is the ball that counts, or the sum of those that do.
	Score Score
	// Penalty are strokes to be added to Score.
	Penalty int
	// Gross are the strokes that count before strokes received: score and penalty, reduced to the maximum where the
	// format has one.
	Gross int
	Net   int
	// Points are Stableford points (Rules of Golf 21.1b), worked out in every format.
	Points int
	// ParBogey is 1 for a hole won, 0 tied, -1 lost against the target (Rules of Golf 21.3b), worked out in every format.
	ParBogey   int
	GrossToPar int
	NetToPar   int
	// Maximum is the most strokes that count on the hole; 0 where the format has none.
	Maximum int
	// Figure is what the hole adds to the total in the card's format; 0 while it is not entered.
	Figure int
	// Level is the figure of a hole played level with the target; 0 for an excluded hole.
	Level int
	// By are the balls that count, lowest number first, 0 for the card's own; nil unless a side has several balls.
	By []int
	// Equal are balls that would have counted just as well: the lower numbers were taken.
	Equal []int
}

// Counts reports whether strokes count on the hole: it was holed, or the format counts its maximum.
func (h HoleResult) Counts() bool { return h.Gross > 0 }

// Sum adds up some holes of a card. Par, Gross and Net cover the holes on which strokes count; Points, ParBogey and
// Figure all holes entered. The sum over the whole card includes what counts against the round in the format's unit.
type Sum struct {
	// Holes is the number of holes that these are, played or not.
	Holes int
	// Played is how many of them are entered, with or without a score; an excluded hole counts as entered.
	Played int
	// Scored is how many of them have strokes that count.
	Scored int
	// Excluded is how many of them count for nobody.
	Excluded int
	Par      int
	Gross    int
	Net      int
	Points   int
	ParBogey int
	Figure   int
}

// GrossToPar is gross strokes less par over the holes on which strokes count.
func (s Sum) GrossToPar() int { return s.Gross - s.Par }

// NetToPar is net strokes less par over the holes on which strokes count.
func (s Sum) NetToPar() int { return s.Net - s.Par }

// AllScored reports whether strokes add up to a total: every hole that is not excluded has strokes that count.
func (s Sum) AllScored() bool { return s.Scored+s.Excluded == s.Holes }

func (s *Sum) add(h *HoleResult) {
	s.Holes++
	if !h.Score.Entered() {
		return
	}
	s.Played++
	if h.Score.State == Excluded {
		s.Excluded++
		return
	}
	s.Points += h.Points
	s.ParBogey += h.ParBogey
	s.Figure += h.Figure
	if h.Counts() {
		s.Scored++
		s.Par += h.Gross - h.GrossToPar
		s.Gross += h.Gross
		s.Net += h.Net
	}
}

// penalise counts a penalty against the round in the unit of the format.
func (s *Sum) penalise(f Format, penalty int) {
	if f.Direction == High {
		s.Figure -= penalty
	} else {
		s.Figure += penalty
	}
	switch f.Unit {
	case UnitStrokes:
		s.Gross += penalty
		s.Net += penalty
	case UnitPoints:
		s.Points -= penalty
	case UnitHoles:
		s.ParBogey -= penalty
	}
}

// Result is a scored card, complete or in progress, of a player or of a whole side.
type Result struct {
	Format string
	Unit   Unit
	// Side is the name of the side; empty for one player.
	Side  string
	Basis Basis
	// Playing and Course are the handicap of the card's one ball; 0 for a side with several balls.
	Playing handicap.Playing
	Course  handicap.Course
	// Holes are in the order of the card; Start is the number of the hole on which play began, 0 for the first one.
	Holes []HoleResult
	Start int
	// Out covers holes 1 to 9, In holes 10 to 18, Total all, and what counts against the round.
	Out, In, Total Sum
	// RoundPenalty is what counts against the round, in Total already: strokes, points or holes.
	RoundPenalty int
	// HolesPlayed is the number of holes entered, with or without a score, excluded ones among them.
	HolesPlayed int
	// Complete is true where the card has a final total: every hole entered and, where the format needs it, holed.
	Complete bool
	// Lacking is the first hole, in the order of the card, whose missing score leaves the card without a total; 0 for none.
	Lacking int
	// Value is the total that ranks, in the format's unit. It is final only where Complete is true.
	Value int
	// Live ranks cards in progress: strokes to par, points less two a hole, or holes up, over the holes played. It says
	// nothing where HasLive is false: before the first hole, and where no total is possible any more.
	Live    int
	HasLive bool
	// Level is the total of the whole round when it is played level: par, two points a hole, or 0.
	Level int
	// Balls are the balls of a side, each by itself; nil where there is only one.
	Balls []Result
}

// Score scores a card. Impossible cards are refused with a [handicap.InputError] that names the field: a wrong number of
// holes, stroke indexes missing or repeated, scores outside 1 to 99, strokes received that do not add up, an unknown
// maximum in a format that has one.
func (f Format) Score(card Card, basis Basis) (Result, error) {
	if basis != Net && basis != Gross {
		return Result{}, refuse("basis", "", "%d is unknown", int(basis))
	}
	received, allowed, err := card.validate(basis, f.Capped)
	if err != nil {
		return Result{}, err
	}
	r := Result{
		Format: f.Name, Unit: f.Unit, Basis: basis, Playing: card.Playing, Course: card.Course,
		Start: card.Start, Holes: make([]HoleResult, len(card.Par)), RoundPenalty: card.RoundPenalty,
	}
	for place := range r.Holes {
		f.scoreHole(&r.Holes[place], &card, place, received, allowed)
	}
	f.total(&r)
	return r, nil
}

// total adds up the holes of a result and counts what stands against the round.
func (f Format) total(r *Result) {
	level := 0
	for place := range r.Holes {
		h := &r.Holes[place]
		r.Level += h.Level
		switch {
		case !h.Score.Entered(), h.Score.State == Excluded:
		case f.EveryHole && !h.Counts():
			if r.Lacking == 0 {
				r.Lacking = h.Hole
			}
		default:
			level += h.Level
		}
		r.Total.add(h)
		if h.Hole <= 9 {
			r.Out.add(h)
		} else {
			r.In.add(h)
		}
	}
	r.Total.penalise(f, r.RoundPenalty)
	r.HolesPlayed = r.Total.Played
	r.Complete = r.Total.Played == r.Total.Holes && r.Lacking == 0
	r.Value = r.Total.Figure
	r.HasLive = r.HolesPlayed > r.Total.Excluded && r.Lacking == 0
	if r.HasLive {
		r.Live = r.Total.Figure - level
	}
}

// scoreHole works out one hole. allowed are the strokes received that a maximum depends on.
func (f Format) scoreHole(h *HoleResult, card *Card, place int, received, allowed []int) {
	h.Hole, h.Par, h.Score = card.number(place), card.Par[place], card.Scores[place]
	if card.StrokeIndex != nil {
		h.StrokeIndex = card.StrokeIndex[place]
	}
	if received != nil {
		h.Received = received[place]
	}
	if card.Penalties != nil {
		h.Penalty = card.Penalties[place]
	}
	if f.Capped {
		strokes := 0
		if allowed != nil {
			strokes = allowed[place]
		}
		h.Maximum = MaximumOf(card.Maximum, h.Par, strokes)
	}
	if h.Score.State == Excluded {
		return
	}
	h.Level = f.Level(*h)
	if !h.Score.Entered() {
		return
	}
	h.ParBogey = lost
	if h.Score.State == Holed {
		h.Gross = h.Score.Strokes + h.Penalty
		h.Points = StablefordPoints(h.Gross, h.Par, h.Received)
		h.ParBogey = ParBogeyResult(h.Gross, h.Par, h.Received)
	}
	if f.Capped && (h.Gross == 0 || h.Gross > h.Maximum) {
		h.Gross = h.Maximum
	}
	if h.Counts() {
		h.Net = h.Gross - h.Received
		h.GrossToPar = h.Gross - h.Par
		h.NetToPar = h.Net - h.Par
	}
	if h.Counts() || !f.EveryHole {
		h.Figure = f.Figure(*h)
	}
}
