package command

import (
	"fmt"
	"slices"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/events/course"
	"marram.example/projections/handicap"
)

// grounds are what the figures of a round's cards are worked out from, as read.
type grounds struct {
	id          string // of the competition
	round       int
	terms       events.Terms // of the round
	field       *competition.State
	competition events.Sequence
	course      *course.State
	courseSeq   events.Sequence
}

// ball is one ball of an entry as its card shows it (Rules of Handicapping 6.1,
// 6.2, Appendix C and E).
func (g grounds) ball(p events.Partner, playerSeq events.Sequence) (events.Ball, error) {
	out := events.Ball{PlayerID: p.PlayerID, Tee: p.Tee}
	tee, ok := g.course.Tees[p.Tee]
	if !ok {
		return out, events.Invalid("tee", "unknown", fmt.Sprintf("the course has no tee %q", p.Tee))
	}
	out.Holes = inPlay(tee, g.terms.Holes)
	f := &out.Figures
	*f = events.Figures{
		IndexTenths: p.IndexTenths, IndexOrigin: p.IndexOrigin, IndexUsedTenths: p.IndexTenths,
		AllowancePercent: g.terms.AllowancePercent, Par: parOf(out.Holes), LowestPar: g.lowestPar(),
		CourseSequence: g.courseSeq, CompetitionSequence: g.competition, PlayerSequence: playerSeq,
	}
	if m := g.terms.MaximumIndexTenths; m != nil {
		f.IndexUsedTenths = min(f.IndexUsedTenths, *m)
	}
	f.CourseRatingTenths, f.SlopeRating = rating(tee, g.terms.Holes)
	if g.terms.ParDifference {
		f.ParDifference = f.Par - f.LowestPar
	}
	ch, _, err := handicap.CourseHandicap(len(out.Holes), handicap.Index(f.IndexUsedTenths), handicap.Slope(f.SlopeRating),
		handicap.Rating(f.CourseRatingTenths), f.Par, ParTerm(g.terms.LeaveOutPar))
	if err != nil {
		return out, domain(err)
	}
	ph, _, err := handicap.PlayingHandicap(ch, handicap.Percent(f.AllowancePercent), f.ParDifference)
	if err != nil {
		return out, domain(err)
	}
	setCourse(f, ch)
	return out, allocate(f, ph, out.Holes)
}

// together is the one ball of a side (Rules of Handicapping, Appendix C). Its
// holes are those of the first player's tee.
func (g grounds) together(players []events.Partner, seqs []events.Sequence) (events.Ball, error) {
	balls := make([]events.Ball, len(players))
	order := make([]int, len(players))
	courses := make([]handicap.Course, len(players))
	for i, p := range players {
		var err error
		if balls[i], err = g.ball(p, seqs[i]); err != nil {
			return events.Ball{}, err
		}
		order[i] = i
		courses[i] = handicap.Course{Num: balls[i].Figures.CourseHandicapNum, Den: balls[i].Figures.CourseHandicapDen}
	}
	slices.SortStableFunc(order, func(a, b int) int { return courses[a].Compare(courses[b]) })
	percents := make([]handicap.Allowance, len(g.terms.SideAllowances))
	for i, p := range g.terms.SideAllowances {
		percents[i] = handicap.Percent(p)
	}
	out := balls[0]
	combined, ph, _, err := handicap.SidePlaying(courses, percents, out.Figures.ParDifference)
	if err != nil {
		return out, domain(err)
	}
	sum, err := handicap.NewCourse(combined.Num, max(1, combined.Den))
	if err != nil {
		return out, domain(err)
	}
	f := &out.Figures
	setCourse(f, sum)
	f.AllowancePercent = 100
	for i, at := range order {
		b := balls[at].Figures
		f.Shares = append(f.Shares, events.Share{
			PlayerID: players[at].PlayerID, Tee: players[at].Tee, IndexTenths: b.IndexTenths, IndexOrigin: b.IndexOrigin,
			IndexUsedTenths: b.IndexUsedTenths, CourseRatingTenths: b.CourseRatingTenths, SlopeRating: b.SlopeRating, Par: b.Par,
			CourseHandicapNum: b.CourseHandicapNum, CourseHandicapDen: b.CourseHandicapDen, Percent: g.terms.SideAllowances[i],
			PlayerSequence: b.PlayerSequence,
		})
	}
	return out, allocate(f, ph, out.Holes)
}

// balls are all balls of an entry in the round.
func (g grounds) balls(players []events.Partner, seqs []events.Sequence) ([]events.Ball, error) {
	if events.OneBall(g.terms.Side) {
		one, err := g.together(players, seqs)
		return []events.Ball{one}, err
	}
	out := make([]events.Ball, len(players))
	for i, p := range players {
		var err error
		if out[i], err = g.ball(p, seqs[i]); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func setCourse(f *events.Figures, ch handicap.Course) {
	f.CourseHandicapNum, f.CourseHandicapDen, f.CourseHandicap = ch.Num, max(1, ch.Den), ch.Rounded()
}

// allocate gives the playing handicap out over the holes (Appendix E).
func allocate(f *events.Figures, ph handicap.Playing, holes []events.Hole) error {
	f.PlayingHandicap = int(ph)
	index := make([]int, len(holes))
	for i, h := range holes {
		index[i] = h.StrokeIndex
	}
	var err error
	f.StrokesByHole, err = handicap.StrokesReceived(ph, index)
	return domain(err)
}

// members lists the players of an entry alike.
func members(e competition.Entry) []events.Partner {
	return append([]events.Partner{{PlayerID: e.PlayerID, Tee: e.Tee, IndexTenths: e.IndexTenths, IndexOrigin: e.IndexOrigin}}, e.Partners...)
}

// ParTerm is the switch of the terms as the arithmetic takes it.
func ParTerm(leaveOut bool) handicap.ParTerm {
	if leaveOut {
		return handicap.WithoutRatingLessPar
	}
	return handicap.WithRatingLessPar
}

// lowestPar is the lowest par, over the holes in play, of the tees in the
// competition (Rules of Handicapping 6.2b).
func (g grounds) lowestPar() int {
	lowest := 0
	for _, name := range g.terms.Tees {
		if tee, ok := g.course.Tees[name]; ok {
			if p := parOf(inPlay(tee, g.terms.Holes)); lowest == 0 || p < lowest {
				lowest = p
			}
		}
	}
	return lowest
}

func inPlay(t events.TeeDefinition, numbers []int) []events.Hole {
	out := make([]events.Hole, 0, len(numbers))
	for _, n := range numbers {
		if n <= len(t.Holes) {
			out = append(out, t.Holes[n-1])
		}
	}
	return out
}

func parOf(holes []events.Hole) int {
	sum := 0
	for _, h := range holes {
		sum += h.Par
	}
	return sum
}

// rating is the course and slope rating of the holes in play.
func rating(t events.TeeDefinition, numbers []int) (tenths, slope int) {
	nine := t.Front
	switch {
	case len(numbers) == len(t.Holes):
		return t.CourseRatingTenths, t.SlopeRating
	case numbers[0] == 10:
		nine = t.Back
	}
	if nine == nil {
		return 0, 0
	}
	return nine.CourseRatingTenths, nine.SlopeRating
}
