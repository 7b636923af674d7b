package shots

import "marram.example/events"

// Phase is the part of the game that a stroke belongs to.
type Phase string

// The four phases, in the order of play.
const (
	PhaseOffTheTee      Phase = "off_the_tee"
	PhaseApproach       Phase = "approach"
	PhaseAroundTheGreen Phase = "around_the_green"
	PhasePutting        Phase = "putting"
)

// Phases lists the four phases in the order of play.
func Phases() []Phase {
	return []Phase{PhaseOffTheTee, PhaseApproach, PhaseAroundTheGreen, PhasePutting}
}

// AroundTheGreen is the distance to the hole, in metres, up to which a stroke from off the green counts as played around it:
// 50 yards, which belong to it. A convention of ours: the TOUR's own is 30 yards from the edge of the green (from memory,
// only retold where it was read), and all we know is the distance to the hole.
const AroundTheGreen = 50 * Yard

// PhaseOf says which phase a stroke from p belongs to on a hole of that par. Every stroke from the tee of a hole of par 4 or more
// is off the tee, the one after a ball out of bounds too; every stroke from the green is putting, whatever the club; from
// elsewhere up to AroundTheGreen it is around the green; all the rest is approach, tee strokes on par 3s at any length included.
func PhaseOf(par int, p Position) Phase {
	switch {
	case p.Lie == events.LieGreen:
		return PhasePutting
	case p.Lie == events.LieTee && par >= 4:
		return PhaseOffTheTee
	case p.Lie != events.LieTee && upTo(p.Distance, AroundTheGreen):
		return PhaseAroundTheGreen
	default:
		return PhaseApproach
	}
}
