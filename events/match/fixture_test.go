package match_test

import (
	"slices"

	"marram.example/events"
	"marram.example/events/decidertest"
	"marram.example/events/match"
)

var decider = decidertest.Decider[match.State, match.Command]{
	New: match.New, Clone: match.Clone, Evolve: match.Evolve, Decide: match.Decide,
}

type rule = decidertest.Case[match.Command]

// The words of the tables.
var (
	refused = decidertest.Refused
	invalid = decidertest.Invalid
	notNow  = decidertest.NotNow
	given   = decidertest.Given
)

// Where the rules come from.
const (
	marram     = "Marram"
	holeRule   = "Rules of Golf 3.2c"
	matchRule  = "Rules of Golf 3.2a"
	recording  = "Rules of Golf 3.2a(5)"
	extra      = "Rules of Golf 3.2a(4)"
	concession = "Rules of Golf 3.2b"
	fourBall   = "Rules of Golf 23.2a"
	pickUp     = "Clarification 23.2a/1"
	handicap   = "Rules of Handicapping, Appendix C"
)

var (
	forA   = events.MatchWriter{By: events.RolePlayer, BySide: events.SideA}
	forB   = events.MatchWriter{By: events.RolePlayer, BySide: events.SideB}
	office = events.MatchWriter{By: events.RoleCommittee}
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

// allocated spreads strokes over the nine by stroke index.
func allocated(strokes int) []int {
	out := make([]int, 9)
	each := strokes / 9
	if strokes < 0 && strokes%9 != 0 {
		each--
	}
	for i, h := range nine() {
		out[i] = each
		if h.StrokeIndex <= strokes-9*each {
			out[i]++
		}
	}
	return out
}

// ball is one of a player off so many, who receives strokes in the match.
func ball(player string, playing, strokes int) events.MatchBall {
	return events.MatchBall{
		PlayerID: player, Tee: "White", Holes: nine(), Strokes: allocated(strokes),
		Figures: events.Figures{
			IndexTenths: 10 * playing, IndexOrigin: events.OriginClub, IndexUsedTenths: 10 * playing, CourseRatingTenths: 360, SlopeRating: 113, Par: 36, LowestPar: 36,
			CourseHandicapNum: int64(playing), CourseHandicapDen: 1, CourseHandicap: playing, AllowancePercent: 100, PlayingHandicap: playing,
			StrokesByHole: allocated(playing),
		},
	}
}

// singles is a match over nine holes of 2 against 5: B receives a stroke on holes
// 4, 7 and 1.
func singles() events.MatchArranged {
	return events.MatchArranged{
		CompetitionID: "cup", Round: 1, Number: 1, CourseID: "sandholm", Ranking: "net", StartingHole: 1, Length: 9,
		A: events.MatchSide{EntryID: "ann", Balls: []events.MatchBall{ball("p1", 2, 0)}},
		B: events.MatchSide{EntryID: "ben", Balls: []events.MatchBall{ball("p2", 5, 3)}},
	}
}

// four is a four-ball of 2 and 6 against 5 and 9.
func four() events.MatchArranged {
	m := singles()
	m.Side = events.SideFourBall
	m.A.Balls = append(m.A.Balls, ball("p3", 6, 4))
	m.B.Balls = append(m.B.Balls, ball("p4", 9, 7))
	return m
}

// with is an arrangement after a change.
func with(m events.MatchArranged, change func(*events.MatchArranged)) events.MatchArranged {
	for _, side := range []*events.MatchSide{&m.A, &m.B} {
		side.Balls = slices.Clone(side.Balls)
		for i := range side.Balls {
			b := &side.Balls[i]
			b.Holes, b.Strokes, b.Figures.StrokesByHole = slices.Clone(b.Holes), slices.Clone(b.Strokes), slices.Clone(b.Figures.StrokesByHole)
		}
	}
	change(&m)
	return m
}

var extended = with(singles(), func(m *events.MatchArranged) { m.ExtraHoles = true })

func strokes(n ...int) []events.MatchScore {
	var out []events.MatchScore
	for _, v := range n {
		s := events.MatchScore{Score: events.Score{Strokes: v}}
		if v == 0 {
			s.Score = events.Score{None: events.PickedUp}
		}
		out = append(out, s)
	}
	return out
}

// won is the word that a side won a hole, or that it was tied.
func won(winner string) events.MatchHole {
	return events.MatchHole{Winner: winner, Grounds: events.HoleStated}
}

func says(w events.MatchWriter, number int, v events.MatchHole) events.MatchHoleDecided {
	return events.MatchHoleDecided{Number: number, Hole: (number-1)%9 + 1, MatchHole: v, MatchWriter: w}
}

func changes(w events.MatchWriter, number int, from, to events.MatchHole) events.MatchHoleCorrected {
	return events.MatchHoleCorrected{Number: number, Hole: (number-1)%9 + 1, Old: from, New: to, MatchWriter: w}
}

// holes are the words of one writer on the first holes: A, B or - for a tie.
func holes(w events.MatchWriter, winners string) []events.Event {
	var out []events.Event
	for i, c := range winners {
		out = append(out, says(w, i+1, won(winnerOf(c))))
	}
	return out
}

func winnerOf(c rune) string {
	if c == '-' {
		return events.Tied
	}
	return string(c)
}

// tells enters who won a hole.
func tells(w events.MatchWriter, number int, winner string) match.DecideHole {
	return match.DecideHole{Number: number, Entry: match.Entry{Winner: winner}, MatchWriter: w}
}

// scores enters the scores of a hole.
func scores(w events.MatchWriter, number int, a, b []events.MatchScore) match.DecideHole {
	return match.DecideHole{Number: number, Entry: match.Entry{A: a, B: b}, MatchWriter: w}
}

func because(c match.DecideHole, reason string) match.DecideHole {
	c.Reason = reason
	return c
}
