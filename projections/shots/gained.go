package shots

import "fmt"

// Gain is one stroke and what it gained against a baseline.
type Gain struct {
	Round        string    `json:"round,omitempty"` // the card's id, where the gain was worked out of a round
	Hole         int       `json:"hole"`            // its number on the course
	Index        int       `json:"index"`           // of the stroke on the hole, from 0
	StrokeID     string    `json:"stroke_id"`
	From         Position  `json:"from"`
	To           *Position `json:"to"` // where play went on; null when holed
	Phase        Phase     `json:"phase"`
	Penalty      int       `json:"penalty"`
	Expected     float64   `json:"expected"`     // strokes from where it was played
	Gained       float64   `json:"gained"`       // strokes; unrounded, people are shown one decimal, never more than two
	Extrapolated bool      `json:"extrapolated"` // the baseline's table ends before one of the two distances
	Stroke       Stroke    `json:"-"`            // as it was logged
}

// Gained works out what each stroke of a hole gained against b: expected strokes before it, less those after it, less one, less
// its penalty strokes (M. Broadie, Interfaces 42(2) 2012). A stroke's end is where the next one was played from; the last one's
// is the hole, or its Finish where the ball was picked up. A last stroke whose end is not known yields nothing.
//
// The sum over a finished hole is the expected strokes of its first position less the strokes counted, whatever the baseline.
//
// It returns an error that wraps an *InputError when a position or a penalty is none, or when b has no values for a lie.
func Gained(h Hole, b *Baseline) ([]Gain, error) {
	return appendGains(make([]Gain, 0, len(h.Strokes)), "", h, b)
}

// GainedRound is Gained over the holes of a round, in the order of play.
func GainedRound(r Round, b *Baseline) ([]Gain, error) {
	n := 0
	for i := range r.Holes {
		n += len(r.Holes[i].Strokes)
	}
	return AppendGained(make([]Gain, 0, n), r, b)
}

// AppendGained is GainedRound onto gains, for many rounds without a new slice for each. After an error the gains appended until then
// stand in the slice's room, but are not returned.
func AppendGained(gains []Gain, r Round, b *Baseline) ([]Gain, error) {
	for i := range r.Holes {
		var err error
		if gains, err = appendGains(gains, r.ID, r.Holes[i], b); err != nil {
			return nil, err
		}
	}
	return gains, nil
}

func appendGains(gains []Gain, round string, h Hole, b *Baseline) ([]Gain, error) {
	if len(h.Strokes) == 0 {
		return gains, nil
	}
	before, beyond, err := b.Expected(h.Strokes[0].From)
	if err != nil {
		return nil, fmt.Errorf("hole %d, stroke 1: %w", h.Number, err)
	}
	for i := range h.Strokes {
		s := &h.Strokes[i]
		if s.Penalty < 0 {
			return nil, fmt.Errorf("hole %d, stroke %d: %w", h.Number, i+1, refuse("penalty", "", "%d is below 0", s.Penalty))
		}
		to, known := h.end(i)
		if !known {
			break
		}
		after, past := 0.0, false
		if to != nil {
			if after, past, err = b.Expected(*to); err != nil {
				return nil, fmt.Errorf("hole %d, end of stroke %d: %w", h.Number, i+1, err)
			}
		}
		gains = append(gains, Gain{
			Round: round, Hole: h.Number, Index: i, StrokeID: s.ID, From: s.From, To: to, Phase: PhaseOf(h.Par, s.From),
			Penalty: s.Penalty, Expected: before, Gained: before - after - 1 - float64(s.Penalty), Extrapolated: beyond || past, Stroke: *s,
		})
		before, beyond = after, past
	}
	return gains, nil
}

// end is where play went on after the stroke: nil when it was holed. Known is false for a last stroke of which nothing is said.
func (h Hole) end(i int) (to *Position, known bool) {
	switch {
	case i < len(h.Strokes)-1:
		return &h.Strokes[i+1].From, true
	case h.Holed:
		return nil, true
	default:
		return h.Strokes[i].Finish, h.Strokes[i].Finish != nil
	}
}
