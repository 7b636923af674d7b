package card

import (
	"fmt"

	"marram.example/events"
)

// Saw is what stood on a hole of a ball when somebody entered a value for it: the
// three values that their device showed, entries of their own that still waited on
// it included. The zero score is that nothing stood there.
type Saw struct {
	Player    events.Score
	Marker    events.Score
	Committee events.Score
}

func (w Saw) by(r events.Role) events.Score {
	return HoleLine{Player: w.Player, Marker: w.Marker, Committee: w.Committee}.by(r)
}

// Seen is what who reads the hole now can enter a value with.
func (h HoleLine) Seen() Saw { return Saw{Player: h.Player, Marker: h.Marker, Committee: h.Committee} }

func (w *Saw) check() error {
	if w == nil {
		return nil
	}
	for _, r := range []events.Role{events.RolePlayer, events.RoleMarker, events.RoleCommittee} {
		if err := checkScore("saw."+string(r), w.by(r)); err != nil {
			return err
		}
	}
	return nil
}

// changedSince refuses a value that would go over what its writer has not seen; see
// "What a card's value is" in DEVELOPERS.md. Nothing is refused where the writer's
// value stands already, or who wrote did not say what they saw.
func changedSince(s *State, h HoleLine, c EnterScore) error {
	if c.Saw == nil {
		return nil
	}
	overruled := c.By != events.RoleCommittee && h.Committee.Entered()
	if h.by(c.By) == c.Score && !overruled {
		return nil
	}
	for _, r := range []events.Role{events.RoleCommittee, c.By, otherThan(c.By), events.RolePlayer} {
		matters := r == events.RoleCommittee || !overruled && (r == c.By || c.By == events.RoleCommittee || s.settled(h))
		if was := c.Saw.by(r); matters && h.by(r) != was {
			return events.Conflict("saw."+string(r), "changed_since", fmt.Sprintf(
				"hole %d has changed since %s was entered for it: the %s's value was %s then and is %s now; look at it, and enter it again where it is still meant",
				h.Number, inWords(c.Score), r, inWords(was), inWords(h.by(r))))
		}
	}
	return nil
}

// otherThan is who writes the card beside player or marker; for the committee it is
// the marker.
func otherThan(r events.Role) events.Role {
	if r == events.RoleMarker {
		return events.RolePlayer
	}
	return events.RoleMarker
}

// settled reports whether somebody relies on a hole as it stands: player and marker
// agree, the committee decided, or player or marker certified the card.
func (s *State) settled(h HoleLine) bool {
	return h.Committee.Entered() || h.Player.Entered() && h.Player == h.Marker || s.CertifiedPlayer || s.CertifiedMarker
}

// inWords writes a score for a sentence.
func inWords(v events.Score) string {
	switch {
	case v.Strokes > 0:
		return fmt.Sprint(v.Strokes)
	case v.None == events.PickedUp:
		return "picked up"
	case v.None == events.NoScore:
		return "no score"
	case v.None == events.Excluded:
		return "excluded"
	default:
		return "nothing"
	}
}
