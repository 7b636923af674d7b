package card

import (
	"fmt"
	"math/big"

	"marram.example/events"
)

// players is how many players a side has, and whether each plays a ball.
type players struct {
	least, most int
	oneBall     bool
}

// sides are those that are played on a card (Rules of Golf 22 to 24, Committee
// Procedures 9).
var sides = map[string]players{
	"":                    {1, 1, false},
	events.SideFourBall:   {2, 2, false},
	events.SideBestOf:     {2, 4, false},
	events.SideAggregate:  {2, 4, false},
	events.SideFoursomes:  {2, 2, true},
	events.SideGreensomes: {2, 2, true},
	events.SideChapman:    {2, 2, true},
	events.SideScramble:   {2, 4, true},
}

// checkSide makes sure that the card has the balls and players of its side.
func checkSide(p printed) error {
	of, known := sides[p.play.Side]
	if !known {
		return events.Invalid("side", "unknown", fmt.Sprintf("%q is no side of players known here", p.play.Side))
	}
	if of.oneBall {
		if len(p.partners) > 0 {
			return events.Invalid("partners", "ball_count", "this side plays one ball")
		}
		return checkShares(p, of)
	}
	if balls := 1 + len(p.partners); balls < of.least || balls > of.most {
		return events.Invalid("partners", "ball_count", fmt.Sprintf("this side plays %s, not %d", of.text("ball"), balls))
	}
	if len(p.figures.Shares) > 0 {
		return events.Invalid("shares", "not_allowed", "only players of one ball share its handicap")
	}
	seen := map[string]bool{p.playerID: true}
	for i, b := range p.partners {
		if err := checkPartner(fmt.Sprintf("partners[%d].", i), b, p.holes, seen); err != nil {
			return err
		}
	}
	return nil
}

func (p players) text(what string) string {
	switch {
	case p.most == 1:
		return "1 " + what
	case p.least == p.most:
		return fmt.Sprintf("%d %ss", p.most, what)
	default:
		return fmt.Sprintf("%d to %d %ss", p.least, p.most, what)
	}
}

func checkPartner(at string, b events.Ball, holes []events.Hole, seen map[string]bool) error {
	if err := checkPlayer(at, b.PlayerID, b.Tee, seen); err != nil {
		return err
	}
	if len(b.Holes) != len(holes) {
		return events.Invalid(at+"holes", "hole_count", fmt.Sprintf("the card has %d holes, this ball %d", len(holes), len(b.Holes)))
	}
	for i, h := range b.Holes {
		if h.Number != holes[i].Number {
			return events.Invalid(fmt.Sprintf("%sholes[%d].number", at, i), "other_holes", "every ball of a card is played on the same holes")
		}
	}
	if len(b.Figures.Shares) > 0 {
		return events.Invalid(at+"shares", "not_allowed", "only players of one ball share its handicap")
	}
	return b.Figures.Check(at, b.Holes)
}

// checkPlayer makes sure that a partner is named, once, with a tee.
func checkPlayer(at, playerID, tee string, seen map[string]bool) error {
	switch {
	case playerID == "":
		return events.Invalid(at+"player_id", "required", "a card names every player of the side")
	case tee == "":
		return events.Invalid(at+"tee", "required", "a card names every player's tee")
	case seen[playerID]:
		return events.Invalid(at+"player_id", "twice", "a player is on a card once")
	}
	seen[playerID] = true
	return nil
}

// mostPercent is the highest allowance that terms may state.
const mostPercent = 200

// checkShares makes sure that the handicap of a ball that a side plays together is
// the sum of its players' shares, exactly (Rules of Handicapping, Appendix C).
func checkShares(p printed, of players) error {
	f := p.figures
	if n := len(f.Shares); n < of.least || n > of.most {
		return events.Invalid("shares", "player_count", fmt.Sprintf("this side has %s, not %d", of.text("player"), n))
	}
	if f.AllowancePercent != 100 {
		return events.Invalid("allowance_percent", "out_of_range", "the shares of a side carry its allowances; the whole of their sum counts")
	}
	seen, sum, lowest := map[string]bool{}, new(big.Rat), new(big.Rat)
	for i, share := range f.Shares {
		at := fmt.Sprintf("shares[%d].", i)
		if err := checkPlayer(at, share.PlayerID, share.Tee, seen); err != nil {
			return err
		}
		if share.CourseHandicapDen <= 0 {
			return events.Invalid(at+"course_handicap_den", "out_of_range", "a denominator is positive")
		}
		if share.Percent < 0 || share.Percent > mostPercent {
			return events.Invalid(at+"percent", "out_of_range", fmt.Sprintf("%d%% is no share; state 0 to %d", share.Percent, mostPercent))
		}
		course := big.NewRat(share.CourseHandicapNum, share.CourseHandicapDen)
		if i > 0 && course.Cmp(lowest) < 0 {
			return events.Invalid(at+"course_handicap_num", "out_of_order", "the lowest course handicap comes first").
				WithRule("Rules of Handicapping, Appendix C")
		}
		lowest = course
		sum.Add(sum, new(big.Rat).Mul(course, big.NewRat(int64(share.Percent), 100)))
	}
	if !seen[p.playerID] {
		return events.Invalid("shares", "required", "the card's own player has a share")
	}
	if side := big.NewRat(f.CourseHandicapNum, f.CourseHandicapDen); side.Cmp(sum) != 0 {
		return events.Invalid("course_handicap_num", "sum", fmt.Sprintf("the shares add up to %s, not %s", sum.RatString(), side.RatString())).
			WithRule("Rules of Handicapping, Appendix C")
	}
	return nil
}

// checkMaximum makes sure that a maximum is stated where the format has one, and
// only there (Rules of Golf 21.2).
func checkMaximum(format string, m events.Maximum) error {
	if format != events.MaximumScore {
		if m != (events.Maximum{}) {
			return events.Invalid("maximum", "not_allowed", "only maximum_score has a maximum")
		}
		return nil
	}
	switch m.Kind {
	case events.NetDoubleBogey, events.DoublePar:
		if m.Strokes != 0 {
			return events.Invalid("maximum.strokes", "not_allowed", "only the kind strokes states a number")
		}
	case events.FixedStrokes:
		if m.Strokes < 1 || m.Strokes > MaxStrokes {
			return events.Invalid("maximum.strokes", "out_of_range", fmt.Sprintf("%d strokes are no maximum; state 1 to %d", m.Strokes, MaxStrokes))
		}
	case "":
		return events.Invalid("maximum", "required", "maximum_score states its maximum").WithRule("Rules of Golf 21.2")
	default:
		return events.Invalid("maximum.kind", "unknown", fmt.Sprintf("%q is not known here; use net_double_bogey, double_par or strokes", m.Kind))
	}
	return nil
}

// How the balls of a side count (Play.CountBy). The empty text is by hole.
const byHole, byRound = "hole", "round"

// checkCount makes sure that a card says which balls count where a team has a
// choice, and only there (Committee Procedures 9D).
func checkCount(p events.Play, balls, holes int) error {
	switch p.CountBy {
	case "":
	case byHole, byRound:
		if p.Side != events.SideBestOf && p.Side != events.SideAggregate {
			return events.Invalid("count_by", "not_allowed", "only best_of and aggregate count by hole or by round")
		}
	default:
		return events.Invalid("count_by", "unknown", fmt.Sprintf("%q is not known here; use hole or round", p.CountBy))
	}
	if p.Side != events.SideBestOf {
		if len(p.Count) > 0 {
			return events.Invalid("count", "not_allowed", "only best_of says how many balls count")
		}
		return nil
	}
	switch {
	case len(p.Count) == 1:
		return checkCounting("count[0]", p.Count[0], balls-1)
	case len(p.Count) == 0:
		return events.Invalid("count", "required", "best_of says how many balls count")
	case p.CountBy == byRound:
		return events.Invalid("count", "hole_count", "by round one number of balls counts")
	case len(p.Count) != holes:
		return events.Invalid("count", "hole_count", fmt.Sprintf("state one number of balls, or one for each of the %d holes", holes))
	}
	for i, n := range p.Count {
		if err := checkCounting(fmt.Sprintf("count[%d]", i), n, balls); err != nil {
			return err
		}
	}
	return nil
}

func checkCounting(field string, n, most int) error {
	if n < 1 || n > most {
		return events.Invalid(field, "out_of_range", fmt.Sprintf("%d balls cannot count; state 1 to %d", n, most))
	}
	return nil
}
