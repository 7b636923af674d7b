package scoring

import (
	"fmt"
	"strconv"
)

// State says what is known about a player's score on one hole.
type State uint8

// The zero value is a hole that is not entered yet. PickedUp is a hole that was started and not finished; NoScore is a
// hole for which the committee or the marker says that there is none. Excluded is the committee's word that the hole
// counts for nobody: it is entered, adds nothing and is asked of nobody. None of them has strokes.
const (
	NotEntered State = iota
	Holed
	PickedUp
	NoScore
	Excluded
)

// String names the state in words.
func (s State) String() string {
	switch s {
	case NotEntered:
		return "not entered"
	case Holed:
		return "holed"
	case PickedUp:
		return "picked up"
	case NoScore:
		return "no score"
	case Excluded:
		return "excluded"
	default:
		return "state " + strconv.Itoa(int(s))
	}
}

// Score is what a card says for one hole: gross strokes, penalty strokes included, where the hole was holed; otherwise
// the state alone, with Strokes 0.
type Score struct {
	Strokes int   `json:"strokes,omitempty"`
	State   State `json:"state"`
}

// Strokes returns the score of a hole that was holed in n strokes.
func Strokes(n int) Score { return Score{Strokes: n, State: Holed} }

// Entered reports whether the card says anything about the hole.
func (s Score) Entered() bool { return s.State != NotEntered }

// String shows the strokes, or the state in words.
func (s Score) String() string {
	if s.State == Holed {
		return strconv.Itoa(s.Strokes)
	}
	return s.State.String()
}

// Validate refuses impossible strokes, strokes without a holed ball and unknown states.
func (s Score) Validate() error {
	switch s.State {
	case Holed:
		if Impossible(s.Strokes) {
			return fmt.Errorf("%d is outside %d to %d strokes", s.Strokes, FewestStrokes, MostStrokes)
		}
		return nil
	case NotEntered, PickedUp, NoScore, Excluded:
		if s.Strokes != 0 {
			return fmt.Errorf("a hole that is %s has no strokes, yet %d are given", s.State, s.Strokes)
		}
		return nil
	default:
		return fmt.Errorf("%s is unknown", s.State)
	}
}
