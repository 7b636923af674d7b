package match

import (
	"fmt"
	"slices"
	"strings"

	"marram.example/events"
)

// MaxStrokes is the highest number that can be entered for a hole: two digits.
const MaxStrokes = 99

// concession is the rule that makes one final.
const concession = "Rules of Golf 3.2b"

func decideHole(s *State, c DecideHole) ([]events.Event, error) {
	if err := checkWriting(s, c.MatchWriter); err != nil {
		return nil, err
	}
	return enter(s, "", c)
}

// decideHoles enters hole after hole, as if one by one.
func decideHoles(s *State, c DecideHoles) ([]events.Event, error) {
	if err := checkWriting(s, c.MatchWriter); err != nil {
		return nil, err
	}
	var out []events.Event
	after := Clone(s)
	for i, h := range c.Holes {
		field := fmt.Sprintf("holes[%d].", i)
		one := DecideHole{Number: i + 1, Entry: h, MatchWriter: c.MatchWriter, Reason: c.Reason}
		if known, err := known(after, field, one); err != nil {
			return nil, err
		} else if known {
			continue
		}
		more, err := enter(after, field, one)
		if err != nil {
			return nil, err
		}
		for _, e := range more {
			Evolve(after, e)
		}
		out = append(out, more...)
	}
	return out, nil
}

// known reports whether the committee's list says what counts already: then it need
// not say it again.
func known(s *State, field string, c DecideHole) (bool, error) {
	if c.By != events.RoleCommittee || c.Number > len(s.Holes) {
		return false, nil
	}
	v, err := resolve(s, field, c)
	if err != nil {
		return false, err
	}
	l := s.Holes[c.Number-1]
	return !l.Differs() && equal(l.Counting(), v), nil
}

func checkWriting(s *State, w events.MatchWriter) error {
	if err := checkWriter(w); err != nil {
		return err
	}
	return checkOpen(s)
}

// enter is what one writer says of one hole; prefix leads to the entry's fields.
func enter(s *State, prefix string, c DecideHole) ([]events.Event, error) {
	l, err := line(s, prefix+"number", c.Number)
	if err != nil {
		return nil, err
	}
	v, err := resolve(s, prefix, c)
	if err != nil {
		return nil, err
	}
	if err := mayDiffer(l, prefix, v, c); err != nil {
		return nil, err
	}
	old := l.of(c.MatchWriter)
	if equal(old, v) {
		return nil, nil
	}
	if c.By == events.RoleCommittee && !old.Entered() {
		old = l.Counting()
	}
	if !old.Entered() {
		return []events.Event{events.MatchHoleDecided{Number: l.Number, Hole: l.Hole, MatchHole: v, MatchWriter: c.MatchWriter}}, nil
	}
	return []events.Event{events.MatchHoleCorrected{Number: l.Number, Hole: l.Hole, Old: old, New: v, MatchWriter: c.MatchWriter, Reason: c.Reason}}, nil
}

// line is the hole as it stands, or the next one in order of play.
func line(s *State, field string, number int) (Line, error) {
	if number >= 1 && number <= len(s.Holes) {
		return s.Holes[number-1], nil
	}
	if number < 1 {
		return Line{}, events.Invalid(field, "out_of_range", "holes count from 1 in the order of play")
	}
	if s.closed() {
		stands := s.Standing()
		return Line{}, events.NotNow(field, "match_over", fmt.Sprintf("the match is over: %s", resultWords(stands.Winner, stands.Text))).WithRule("Rules of Golf 3.2a")
	}
	hole := s.HoleAt(number)
	if hole == 0 {
		return Line{}, events.Invalid(field, "no_extra_holes", fmt.Sprintf("this match has %d holes and no extra ones", s.Arranged.Length)).WithRule("Rules of Golf 3.2a(4)")
	}
	if number > len(s.Holes)+1 {
		return Line{}, events.NotNow(field, "hole_order", fmt.Sprintf("enter hole %d of the match first; holes are entered in order of play", len(s.Holes)+1))
	}
	return Line{Number: number, Hole: hole}, nil
}

// mayDiffer refuses a word against what is settled: by the committee or by a
// concession. The committee may, with a reason where nobody else disputes the hole.
func mayDiffer(l Line, prefix string, v events.MatchHole, c DecideHole) error {
	stands := l.Counting()
	if !stands.Entered() || stands.Winner == v.Winner || l.Differs() {
		return nil
	}
	if c.By == events.RoleCommittee {
		if strings.TrimSpace(c.Reason) == "" {
			return events.Invalid("reason", "required", fmt.Sprintf("say why the winner of hole %d changes", l.Hole))
		}
		return nil
	}
	switch {
	case l.Committee.Entered():
		return events.NotNow(prefix+"number", "settled", fmt.Sprintf("the committee settled hole %d", l.Hole))
	case l.Conceded != "":
		return events.NotNow(prefix+"number", "hole_conceded", fmt.Sprintf("side %s conceded hole %d; the committee alone puts a wrong entry right", l.Conceded, l.Hole)).
			WithRule(concession)
	default:
		return nil
	}
}

// resolve works out what an entry says.
func resolve(s *State, prefix string, c DecideHole) (events.MatchHole, error) {
	var none events.MatchHole
	saidA, err := checkScores(prefix+"a", c.A, len(s.Arranged.A.Balls))
	if err != nil {
		return none, err
	}
	saidB, err := checkScores(prefix+"b", c.B, len(s.Arranged.B.Balls))
	if err != nil {
		return none, err
	}
	if c.Winner != "" && c.Winner != events.Tied && Other(c.Winner) == "" {
		return none, events.Invalid(prefix+"winner", "unknown", fmt.Sprintf("%q wins no hole; use A, B or tied", c.Winner))
	}
	v := events.MatchHole{Winner: c.Winner, Grounds: c.Grounds}
	if saidA {
		v.A = slices.Clone(c.A)
	}
	if saidB {
		v.B = slices.Clone(c.B)
	}
	switch c.Grounds {
	case events.HoleByPenalty, events.HoleGiven:
		if Other(c.Winner) == "" {
			return none, events.Invalid(prefix+"winner", "required", "a penalty or a concession wins the hole for one side: say which")
		}
		return v, nil
	case "", events.HoleStated, events.HoleLastPickUp, events.HoleByScores, events.HoleNotFinished:
	default:
		return none, events.Invalid(prefix+"grounds", "unknown", fmt.Sprintf("%q is not known here; use stated, conceded, penalty or last_to_pick_up", c.Grounds))
	}
	if saidA && saidB {
		return byScores(s, prefix, v, c.Number)
	}
	return stated(prefix, v)
}

// byScores is who won by the scores of both sides.
func byScores(s *State, prefix string, v events.MatchHole, number int) (events.MatchHole, error) {
	winner, grounds := HoleWinner(v.A, v.B, s.Received(events.SideA, number), s.Received(events.SideB, number))
	asked := v
	v.Winner, v.Grounds = winner, grounds
	if grounds == events.HoleNotFinished && Other(asked.Winner) != "" {
		v.Winner, v.Grounds = asked.Winner, events.HoleLastPickUp
	}
	if asked.Winner != "" && asked.Winner != v.Winner {
		return v, events.Invalid(prefix+"winner", "not_by_scores", fmt.Sprintf("by these scores and the strokes received the hole is %s, not %s", hole(v.Winner), hole(asked.Winner))).
			WithRule("Rules of Golf 3.2c")
	}
	if asked.Grounds != "" && asked.Grounds != v.Grounds {
		return v, events.Invalid(prefix+"grounds", "not_by_scores", fmt.Sprintf("the scores decide this hole: %s, not %s", v.Grounds, asked.Grounds))
	}
	return v, nil
}

// hole words who won a hole.
func hole(winner string) string {
	if Other(winner) == "" {
		return "tied"
	}
	return "won by side " + winner
}

// stated is a hole of which the players say who won, with the scores of one side at most.
func stated(prefix string, v events.MatchHole) (events.MatchHole, error) {
	if v.Winner == "" {
		return v, events.Invalid(prefix+"winner", "required", "enter scores of both sides, or who won the hole")
	}
	fits := []string{events.HoleStated, events.HoleLastPickUp}
	if v.Winner == events.Tied {
		fits = []string{events.HoleStated, events.HoleNotFinished}
	}
	if v.Grounds == "" {
		v.Grounds = events.HoleStated
	}
	if !slices.Contains(fits, v.Grounds) {
		return v, events.Invalid(prefix+"grounds", "does_not_fit", fmt.Sprintf("%s does not say why the hole is %s", v.Grounds, hole(v.Winner)))
	}
	return v, nil
}

// checkScores refuses scores that no hole can have and reports whether they say anything.
func checkScores(field string, scores []events.MatchScore, balls int) (said bool, err error) {
	if len(scores) == 0 {
		return false, nil
	}
	if len(scores) != balls {
		return false, events.Invalid(field, "ball_count", fmt.Sprintf("this side plays %d, not %d", balls, len(scores)))
	}
	for i, v := range scores {
		at := fmt.Sprintf("%s[%d]", field, i)
		switch {
		case v.None != "" && v.Strokes != 0:
			return false, events.Invalid(at, "ambiguous", "a hole has strokes or none, not both")
		case v.None != "" && v.None != events.PickedUp && v.None != events.NoScore:
			return false, events.Invalid(at+".none", "unknown", fmt.Sprintf("%q is not known here; use picked_up or no_score", v.None))
		case v.Strokes < 0 || v.Strokes > MaxStrokes:
			return false, events.Invalid(at+".strokes", "out_of_range", fmt.Sprintf("%d strokes cannot be; enter 1 to %d", v.Strokes, MaxStrokes))
		case v.Conceded && v.Strokes == 0:
			return false, events.Invalid(at+".conceded", "no_strokes", "a conceded stroke is counted: enter the strokes with it").WithRule("Rules of Golf 3.2b(2)")
		}
		said = said || v.Entered()
	}
	return said, nil
}

// equal reports whether two words say the same.
func equal(a, b events.MatchHole) bool {
	return a.Winner == b.Winner && a.Grounds == b.Grounds && slices.Equal(a.A, b.A) && slices.Equal(a.B, b.B)
}

func removeHole(s *State, c RemoveHole) ([]events.Event, error) {
	if err := checkWriting(s, c.MatchWriter); err != nil {
		return nil, err
	}
	if c.Number < 1 || c.Number > len(s.Holes) {
		return nil, events.NotFound("number", fmt.Sprintf("hole %d of the match is not entered", c.Number))
	}
	l := s.Holes[c.Number-1]
	left := l
	left.put(c.MatchWriter, events.MatchHole{})
	if c.Number < len(s.Holes) && (c.By == events.RoleCommittee || !left.said()) {
		return nil, events.NotNow("number", "later_holes", "a later hole is entered: correct this one, or remove the later ones first")
	}
	if c.By == events.RoleCommittee {
		if strings.TrimSpace(c.Reason) == "" {
			return nil, events.Invalid("reason", "required", "say why the hole is removed")
		}
		return []events.Event{events.MatchHoleRemoved{Number: l.Number, Hole: l.Hole, Old: l.Counting(), MatchWriter: c.MatchWriter, Reason: c.Reason}}, nil
	}
	if l.Committee.Entered() {
		return nil, events.NotNow("number", "settled", fmt.Sprintf("the committee settled hole %d", l.Hole))
	}
	old := l.of(c.MatchWriter)
	if !old.Entered() {
		return nil, nil
	}
	return []events.Event{events.MatchHoleCorrected{Number: l.Number, Hole: l.Hole, Old: old, MatchWriter: c.MatchWriter, Reason: c.Reason}}, nil
}

func concedeHole(s *State, c ConcedeHole) ([]events.Event, error) {
	if err := checkWriting(s, c.MatchWriter); err != nil {
		return nil, err
	}
	if err := checkConceding(c.Side, c.MatchWriter); err != nil {
		return nil, err
	}
	l, err := line(s, "number", c.Number)
	if err != nil {
		return nil, err
	}
	switch office := c.By == events.RoleCommittee; {
	case l.Conceded == c.Side && !l.Committee.Entered():
		return nil, nil
	case l.Committee.Entered() && !office:
		return nil, events.NotNow("number", "settled", fmt.Sprintf("the committee settled hole %d", l.Hole))
	case l.Conceded != "" && !l.Committee.Entered():
		return nil, events.NotNow("number", "hole_conceded", fmt.Sprintf("side %s conceded hole %d before", l.Conceded, l.Hole)).WithRule(concession)
	case !office && (c.Number < len(s.Holes) || l.A.Entered() && l.B.Entered() && !l.Differs()):
		return nil, events.NotNow("number", "hole_completed", fmt.Sprintf("hole %d is completed: a hole is conceded before that", l.Hole)).WithRule("Rules of Golf 3.2b(1)")
	}
	return []events.Event{events.HoleConceded{Number: l.Number, Hole: l.Hole, Side: c.Side, MatchWriter: c.MatchWriter}}, nil
}

// checkConceding makes sure that a side gives for itself, or the committee writes it down.
func checkConceding(side string, w events.MatchWriter) error {
	if Other(side) == "" {
		return events.Invalid("side", "unknown", fmt.Sprintf("side A or B concedes, not %q", side))
	}
	if w.By == events.RolePlayer && side != w.BySide {
		return events.Forbidden("other_side", "a side concedes for itself alone").WithField("side").WithRule(concession)
	}
	return nil
}
