package card_test

import (
	"slices"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/decidertest"
)

var decider = decidertest.Decider[card.State, card.Command]{
	New: card.New, Clone: card.Clone, Evolve: card.Evolve, Decide: card.Decide,
}

type rule = decidertest.Case[card.Command]

// The words of the tables.
var (
	refused = decidertest.Refused
	invalid = decidertest.Invalid
	notNow  = decidertest.NotNow
	given   = decidertest.Given
)

// Where the rules come from.
const (
	marram    = "Marram"
	markerDo  = "Rules of Golf 3.3b(1)"
	playerDo  = "Rules of Golf 3.3b(2)"
	committee = "Rules of Golf 3.3b(4)"
	holeOut   = "Rules of Golf 3.3c"
	handicap  = "Rules of Handicapping 6.2, Appendix C"
	unsourced = "common practice, no source"
	adminFix  = "Rules of Golf 20.2d(2)"
)

// nine is an invented nine: par 36.
func nine() []events.Hole {
	pars, indexes := []int{4, 4, 3, 5, 4, 3, 4, 4, 5}, []int{3, 6, 9, 1, 4, 8, 2, 7, 5}
	holes := make([]events.Hole, len(pars))
	for i := range pars {
		holes[i] = events.Hole{Number: i + 1, Par: pars[i], StrokeIndex: indexes[i], LengthM: 90 * pars[i]}
	}
	return holes
}

// issued is a card over the nine off 5.5, which rounds to 6.
func issued(format string) events.CardIssued {
	return events.CardIssued{
		CompetitionID: "medal", Round: 1, EntryID: "ann", PlayerID: "p1", MarkerID: "ben", CourseID: "sandholm", Tee: "White",
		Holes: nine(), StartingHole: 1, Format: format,
		Figures: events.Figures{
			IndexTenths: 104, IndexOrigin: events.OriginOfficial, IndexUsedTenths: 104, CourseRatingTenths: 360, SlopeRating: 120, Par: 36, LowestPar: 36,
			CourseHandicapNum: 11, CourseHandicapDen: 2, CourseHandicap: 6, AllowancePercent: 100, PlayingHandicap: 6,
			StrokesByHole: []int{1, 1, 0, 1, 1, 0, 1, 0, 1},
		},
	}
}

var medal, stableford = issued("stroke_play"), issued("stableford")

// with is an issue after a change.
func with(c events.CardIssued, change func(*events.CardIssued)) events.CardIssued {
	c.Holes, c.Figures.StrokesByHole = slices.Clone(c.Holes), slices.Clone(c.Figures.StrokesByHole)
	change(&c)
	return c
}

// reissueOf is what is reissued when a card should have been as c.
func reissueOf(c events.CardIssued, reason string) events.CardReissued {
	return events.CardReissued{MarkerID: c.MarkerID, StartingHole: c.StartingHole, Tee: c.Tee, Holes: c.Holes, Figures: c.Figures, Reason: reason}
}

func strokes(n int) events.Score { return events.Score{Strokes: n} }

var (
	pickedUp = events.Score{None: events.PickedUp}
	noScore  = events.Score{None: events.NoScore}
	nothing  = events.Score{}
)

func by(r events.Role, hole int, v events.Score) events.HoleScored {
	return events.HoleScored{Hole: hole, Score: v, By: r}
}

const player, marker, office = events.RolePlayer, events.RoleMarker, events.RoleCommittee

// paper is nine scores on a card: a five on every hole.
func paper() []events.Score {
	out := make([]events.Score, 9)
	for i := range out {
		out[i] = strokes(5)
	}
	return out
}

// paperWith is the same with another score on one hole.
func paperWith(hole int, v events.Score) []events.Score {
	out := paper()
	out[hole-1] = v
	return out
}

// scored is what a role enters from a paper card.
func scored(r events.Role, scores []events.Score) []events.Event {
	var out []events.Event
	for i, v := range scores {
		out = append(out, by(r, i+1, v))
	}
	return out
}

var (
	certifiedPlayer = events.CardCertified{By: player}
	certifiedMarker = events.CardCertified{By: marker}
	paperPlayer     = events.CardCertified{By: player, Keeper: "committee"}
	paperMarker     = events.CardCertified{By: marker, Keeper: "committee"}
	returned        = events.CardReturned{Receipt: "K7PX"}
	bothCertified   = given(certifiedPlayer, certifiedMarker)
	lifted          = events.CardStatusRuled{Status: events.StatusInPlay, Reason: "the ruling was wrong"}
)

func ruled(status, reason string) events.CardStatusRuled {
	return events.CardStatusRuled{Status: status, Reason: reason}
}

// complete is a card that marker and player agree on; home is a returned one.
var (
	complete = given(medal, scored(marker, paper()))
	home     = given(complete, bothCertified, returned)
)
