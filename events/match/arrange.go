package match

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"marram.example/events"
)

func arrange(s *State, c Arrange) ([]events.Event, error) {
	if err := checkNamed(c.MatchArranged); err != nil {
		return nil, err
	}
	if err := checkSides(c.MatchArranged); err != nil {
		return nil, err
	}
	if err := checkCourse(c.MatchArranged); err != nil {
		return nil, err
	}
	if err := checkStrokes(c.MatchArranged); err != nil {
		return nil, err
	}
	if !s.Exists() {
		return []events.Event{c.MatchArranged}, nil
	}
	return rearrange(s, c)
}

// rearrange corrects a match of which nothing is entered: after that, strokes that
// were taken stand (Rules of Golf 3.2c).
func rearrange(s *State, c Arrange) ([]events.Event, error) {
	old, with := s.Arranged, c.MatchArranged
	with.Reason = old.Reason
	if reflect.DeepEqual(old, with) {
		return nil, nil
	}
	if old.CompetitionID != c.CompetitionID || old.Round != c.Round || old.Number != c.Number || old.A.EntryID != c.A.EntryID || old.B.EntryID != c.B.EntryID {
		return nil, events.Conflict("match_id", "match_arranged", "this match has been arranged already, between others")
	}
	if err := checkOpen(s); err != nil {
		return nil, err
	}
	if len(s.Holes) > 0 {
		return nil, events.NotNow("match_id", "has_holes", "a match with a hole entered keeps its strokes").WithRule("Rules of Golf 3.2c")
	}
	if strings.TrimSpace(c.Reason) == "" {
		return nil, events.Invalid("reason", "required", "say why the match is arranged anew")
	}
	return []events.Event{c.MatchArranged}, nil
}

// checkNamed makes sure that a match says whose it is and what it is played in.
func checkNamed(c events.MatchArranged) error {
	for _, p := range []struct{ field, id string }{
		{"competition_id", c.CompetitionID}, {"course_id", c.CourseID}, {"a.entry_id", c.A.EntryID}, {"b.entry_id", c.B.EntryID},
	} {
		if p.id == "" {
			return events.Invalid(p.field, "required", "a match names competition, course and two entries")
		}
	}
	if c.A.EntryID == c.B.EntryID {
		return events.Invalid("b.entry_id", "same_entry", "nobody plays against themselves")
	}
	if c.Round < 1 {
		return events.Invalid("round", "out_of_range", "rounds count from 1")
	}
	if c.Number < 1 {
		return events.Invalid("number", "out_of_range", "matches of a start sheet count from 1")
	}
	if c.Ranking != "net" && c.Ranking != "gross" {
		return events.Invalid("ranking", "unknown", fmt.Sprintf("%q is not known here; use net or gross", c.Ranking))
	}
	return nil
}

// checkSides makes sure that both sides have the balls they play, each of another player.
func checkSides(c events.MatchArranged) error {
	balls := 1
	switch {
	case c.Side == events.SideFourBall:
		balls = 2
	case c.Side != "" && (!events.OneBall(c.Side) || c.Side == events.SideScramble):
		return events.Invalid("side", "unknown", fmt.Sprintf("%q plays no match here; use four_ball, foursomes, greensomes, chapman, or nothing for one player", c.Side))
	}
	var seen []string
	for _, p := range sides(c) {
		if len(p.Balls) != balls {
			return events.Invalid(p.field+".balls", "ball_count", fmt.Sprintf("a side has %d here, not %d", balls, len(p.Balls)))
		}
		for i, b := range p.Balls {
			field := fmt.Sprintf("%s.balls[%d]", p.field, i)
			if b.PlayerID == "" || b.Tee == "" {
				return events.Invalid(field, "required", "a ball names its player and tee")
			}
			if slices.Contains(seen, b.PlayerID) {
				return events.Invalid(field+".player_id", "twice", "a player plays one ball in a match")
			}
			seen = append(seen, b.PlayerID)
		}
	}
	return nil
}

type fieldSide struct {
	field string
	events.MatchSide
}

func sides(c events.MatchArranged) []fieldSide { return []fieldSide{{"a", c.A}, {"b", c.B}} }

// checkCourse makes sure that everybody plays the same holes, as many as the match is long.
func checkCourse(c events.MatchArranged) error {
	holes := c.A.Balls[0].Holes
	if len(holes) != 18 && len(holes) != 9 {
		return events.Invalid("a.balls[0].holes", "hole_count", fmt.Sprintf("18 or 9 holes are in play, not %d", len(holes)))
	}
	if c.Length != len(holes) && (c.Length != 36 || len(holes) != 18) {
		return events.Invalid("length", "out_of_range", fmt.Sprintf("over %d holes a match is as long as those, or 36 over 18; not %d", len(holes), c.Length))
	}
	for _, side := range sides(c) {
		for i, b := range side.Balls {
			if err := checkHoles(fmt.Sprintf("%s.balls[%d].holes", side.field, i), b.Holes, holes); err != nil {
				return err
			}
		}
	}
	if !slices.ContainsFunc(holes, func(h events.Hole) bool { return h.Number == c.StartingHole }) {
		return events.Invalid("starting_hole", "not_in_play", fmt.Sprintf("hole %d is not in play", c.StartingHole))
	}
	return nil
}

func checkHoles(field string, holes, same []events.Hole) error {
	if !slices.EqualFunc(holes, same, func(a, b events.Hole) bool { return a.Number == b.Number }) {
		return events.Invalid(field, "other_holes", "everybody in a match plays the same holes")
	}
	for i := range holes {
		if i > 0 && holes[i].Number <= holes[i-1].Number {
			return events.Invalid(fmt.Sprintf("%s[%d].number", field, i), "out_of_order", "holes stand in order, each once")
		}
	}
	return nil
}

// checkStrokes makes sure that the figures of every ball fit together, and that it
// receives what follows from them in this match.
func checkStrokes(c events.MatchArranged) error {
	const appendix = "Rules of Handicapping, Appendix C"
	lowest := c.A.Balls[0].Figures.PlayingHandicap
	for _, side := range sides(c) {
		for i, b := range side.Balls {
			if err := b.Figures.Check(fmt.Sprintf("%s.balls[%d].figures.", side.field, i), b.Holes); err != nil {
				return err
			}
			lowest = min(lowest, b.Figures.PlayingHandicap)
		}
	}
	for _, side := range sides(c) {
		for i, b := range side.Balls {
			field, due := fmt.Sprintf("%s.balls[%d].strokes", side.field, i), b.Figures.PlayingHandicap-lowest
			switch {
			case c.Ranking == "gross":
				due = 0
			case c.FullNet:
				due = b.Figures.PlayingHandicap
			}
			if len(b.Strokes) != len(b.Holes) {
				return events.Invalid(field, "hole_count", "strokes are allocated to every hole in play")
			}
			if got := sum(b.Strokes); got != due {
				return events.Invalid(field, "sum", fmt.Sprintf("the strokes add up to %d, due are %d", got, due)).WithRule(appendix)
			}
			if !byIndex(b.Holes, b.Strokes) {
				return events.Invalid(field, "not_by_index", "strokes go out by stroke index, one on every hole before a second on any").
					WithRule("Rules of Handicapping, Appendix E")
			}
		}
	}
	return nil
}

// byIndex reports whether strokes go out in order of stroke index: no hole has
// fewer than one of a higher index, nor two fewer than any other. With their sum
// that says where every one is, for a plus player too.
func byIndex(holes []events.Hole, strokes []int) bool {
	for i := range strokes {
		for j := range strokes {
			if holes[i].StrokeIndex < holes[j].StrokeIndex && strokes[i] < strokes[j] || strokes[i] > strokes[j]+1 {
				return false
			}
		}
	}
	return true
}

func sum(values []int) int {
	total := 0
	for _, v := range values {
		total += v
	}
	return total
}
