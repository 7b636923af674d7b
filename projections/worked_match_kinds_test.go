package projections_test

import (
	"fmt"

	"marram.example/events"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

func matchStateCase(in inputs) (answers, error) {
	lead, err := in.integer("lead")
	if err != nil {
		return nil, err
	}
	played, err := in.integer("played")
	if err != nil {
		return nil, err
	}
	length, err := in.integer("length")
	if err != nil {
		return nil, err
	}
	text, err := scoring.MatchState(lead, played, length)
	return answers{"text": text}, err
}

// matchCase answers with the winner only once the match is over, null for a tie.
func matchCase(in inputs) (answers, error) {
	m, err := in.match()
	if err != nil {
		return nil, err
	}
	result, err := scoring.PlayMatch(m)
	if err != nil {
		return nil, err
	}
	var winner any
	if result.Winner == events.SideA || result.Winner == events.SideB {
		winner = result.Winner
	}
	strokes := make([]any, len(result.Strokes))
	for i, n := range result.Strokes {
		strokes[i] = int(n)
	}
	text := result.Text
	if result.Lead == 0 && result.Played >= len(m.Par) {
		text = "tied" // after the last hole, although extra holes may follow
	}
	return answers{"winner": winner, "result": text, "holes_played": result.Played, "progress": list(result.Progress), "strokes": strokes}, nil
}

func (in inputs) match() (scoring.Match, error) {
	var m scoring.Match
	var err error
	if m.Par, err = in.integers("par"); err != nil {
		return m, err
	}
	if m.StrokeIndex, err = in.integers("stroke_index"); err != nil {
		return m, err
	}
	if in.has("off_lowest") {
		off, ok := in["off_lowest"].(bool)
		if !ok {
			return m, fmt.Errorf("off_lowest: %v is not true or false", in["off_lowest"])
		}
		m.FullNet = !off
	}
	sides, err := in.list("sides")
	if err != nil {
		return m, err
	}
	if len(sides) != 2 {
		return m, fmt.Errorf("sides: there are %d, a match has two", len(sides))
	}
	if m.A, err = matchBalls(sides[0]); err != nil {
		return m, err
	}
	if m.B, err = matchBalls(sides[1]); err != nil {
		return m, err
	}
	if m.Conceded, err = in.concededHoles(); err != nil {
		return m, err
	}
	m.Extra, err = in.extraHoles()
	return m, err
}

func matchBalls(side any) ([]scoring.MatchBall, error) {
	players, ok := side.([]any)
	if !ok {
		return nil, fmt.Errorf("sides: %v is not a list of players", side)
	}
	balls := make([]scoring.MatchBall, len(players))
	for i, value := range players {
		player, ok := value.(map[string]any)
		if !ok {
			return nil, fmt.Errorf("sides: %v is not a player", value)
		}
		playing, err := inputs(player).integerOr("playing_handicap", 0)
		if err != nil {
			return nil, err
		}
		balls[i].Playing = handicap.Playing(playing)
		if balls[i].Scores, err = inputs(player).scores(); err != nil {
			return nil, err
		}
	}
	return balls, nil
}

// fields reads an entry of a list that is written as an object, or as a list of the same values in order.
func fields(key string, value any, names ...string) (inputs, error) {
	switch value := value.(type) {
	case map[string]any:
		return value, nil
	case []any:
		if len(value) != len(names) {
			return nil, fmt.Errorf("%s: %v is not %v", key, value, names)
		}
		in := inputs{}
		for i, name := range names {
			in[name] = value[i]
		}
		return in, nil
	default:
		return nil, fmt.Errorf("%s: %v is not %v", key, value, names)
	}
}

func (in inputs) concededHoles() ([]scoring.ConcededHole, error) {
	if !in.has("conceded") {
		return nil, nil
	}
	values, err := in.list("conceded")
	if err != nil {
		return nil, err
	}
	conceded := make([]scoring.ConcededHole, len(values))
	for i, value := range values {
		entry, err := fields("conceded", value, "hole", "side")
		if err != nil {
			return nil, err
		}
		if conceded[i].Hole, err = entry.integer("hole"); err != nil {
			return nil, err
		}
		if conceded[i].Side, err = entry.text("side"); err != nil {
			return nil, err
		}
	}
	return conceded, nil
}

// extraHoles reads a hole and both sides' gross scores: a number each, or a list of one a ball.
func (in inputs) extraHoles() ([]scoring.ExtraHole, error) {
	if !in.has("extra") {
		return nil, nil
	}
	values, err := in.list("extra")
	if err != nil {
		return nil, err
	}
	extra := make([]scoring.ExtraHole, len(values))
	for i, value := range values {
		names := []string{"hole", "A", "B"}
		if pair, ok := value.([]any); ok && len(pair) == 2 {
			names = []string{"hole", "gross"}
		}
		entry, err := fields("extra", value, names...)
		if err != nil {
			return nil, err
		}
		if extra[i].Hole, err = entry.integer("hole"); err != nil {
			return nil, err
		}
		a, b, err := bothSides(entry)
		if err != nil {
			return nil, err
		}
		if extra[i].A, err = sideScores(a); err != nil {
			return nil, err
		}
		if extra[i].B, err = sideScores(b); err != nil {
			return nil, err
		}
	}
	return extra, nil
}

// bothSides finds the scores of side A and side B on an extra hole, under the sides' names or as a pair.
func bothSides(entry inputs) (a, b any, err error) {
	for _, names := range [][2]string{{"A", "B"}, {"a", "b"}, {"side_a", "side_b"}, {"a_gross", "b_gross"}} {
		a, givenA := entry[names[0]]
		b, givenB := entry[names[1]]
		if givenA && givenB {
			return a, b, nil
		}
	}
	switch pair, _ := entry.firstOf("gross", "scores", "sides"); pair := pair.(type) {
	case []any:
		if len(pair) == 2 {
			return pair[0], pair[1], nil
		}
	case map[string]any:
		return bothSides(pair)
	}
	return nil, nil, fmt.Errorf("extra: %v has no scores of both sides", entry)
}

func sideScores(value any) ([]scoring.Score, error) {
	if _, several := value.([]any); !several {
		value = []any{value}
	}
	return inputs{"scores": value}.scores()
}
