package standing

import (
	"fmt"
	"slices"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

// Comparison is a field of cards as it was played and as it would stand under
// other terms, side by side. It is no result: terms are stated in advance, and who
// had known others might have played otherwise.
type Comparison struct {
	Played  events.Terms
	WhatIf  events.Terms
	Final   bool     // the rounds are over; else rows stand as in play
	Notes   []string // what else was counted differently, in words
	Rows    []Compared
	Changed int // rows that have another position
}

// Compared is one entry under both terms, each in its competition's own ranking.
type Compared struct {
	EntryID  string `json:"entry_id"`
	PlayerID string `json:"player_id"`
	TeamName string `json:"team_name,omitempty"`
	Played   Stood  `json:"played"`
	WhatIf   Stood  `json:"what_if"`
	Moved    *int   `json:"moved"` // places gained (+) or lost (-); null where either has no position
}

// Stood is where an entry stands in a ranking, and with what.
type Stood struct {
	Position         string `json:"position"`          // "1", "T2"; empty without one
	Order            int    `json:"order"`             // 0 for the first line
	Status           string `json:"status"`            // as in Row
	Total            *int   `json:"total"`             // strokes, points or holes over all rounds; null where there is none
	ToLevel          *int   `json:"to_level"`          // to par, to two points a hole, or holes up; null where it says nothing
	PlayingHandicaps []int  `json:"playing_handicaps"` // by ball, on the latest card
	Why              string `json:"why,omitempty"`     // there is no total
}

// Compare counts the cards once more under other terms. Nothing is recorded: cards
// are copied, their figures worked out again from the exact course handicaps that
// stand on them, and the copies scored and ranked as the real ones are. What was
// decided otherwise than by counting stays: rulings, penalties, excluded holes and
// who played on after a cut. Ties settled by lot or play-off count only where
// nothing but the ranking is another. The error is an *events.Error that names the
// field.
func Compare(comp *competition.State, cards Cards, other OtherTerms) (Comparison, error) {
	switch {
	case comp.Terms == nil:
		return Comparison{}, events.NotNow("terms", "no_terms", "the competition has no terms yet")
	case !comp.Begun():
		return Comparison{}, events.NotNow("competition_id", "no_cards", "no cards are out yet; there is nothing to count")
	}
	terms, err := other.On(*comp.Terms)
	if err != nil {
		return Comparison{}, err
	}
	out := Comparison{Played: *comp.Terms, WhatIf: terms, Final: comp.Over(), Notes: notes(comp.Terms, &terms)}
	changed := *comp
	changed.Terms = &terms
	if other.changesFigures() {
		changed.Ties = nil
	}
	copies, err := recount(comp.Terms, &terms, cards)
	if err != nil {
		return Comparison{}, err
	}
	played, err := stood(comp, cards)
	if err != nil {
		return Comparison{}, err
	}
	then, err := stood(&changed, copies)
	if err != nil {
		return Comparison{}, err
	}
	for _, e := range comp.Field() {
		row := Compared{EntryID: e.ID, PlayerID: e.PlayerID, TeamName: e.TeamName, Played: played[e.ID].Stood, WhatIf: then[e.ID].Stood}
		if a, b := played[e.ID].place, then[e.ID].place; a > 0 && b > 0 {
			row.Moved = number(a - b)
		}
		if row.Played.Position != row.WhatIf.Position {
			out.Changed++
		}
		out.Rows = append(out.Rows, row)
	}
	slices.SortStableFunc(out.Rows, func(a, b Compared) int { return a.WhatIf.Order - b.WhatIf.Order })
	return out, nil
}

type placed struct {
	Stood
	place int // 0 without a position
}

// stood works the competition's own ranking out.
func stood(comp *competition.State, cards Cards) (map[string]placed, error) {
	mode, of := Live, comp.LastRound()
	if comp.Over() {
		mode, of = Final, comp.Round
	}
	t, err := Work(comp, cards, mode)
	if err != nil {
		return nil, err
	}
	out := make(map[string]placed, len(t.Rows))
	for _, r := range t.Rows {
		p := r.Places[t.Ranking]
		x := placed{Stood: Stood{Position: p.Position, Order: p.Order, Status: r.Status, PlayingHandicaps: playingHandicaps(r.Rounds.Last())}}
		sum, err := r.Rounds.sum(t.Ranking, of)
		if err != nil {
			return nil, err
		}
		x.fill(sum, mode, r)
		if p.Position != "" {
			x.place = placeOf(p.Position)
		}
		out[r.Entry.ID] = x
	}
	return out, nil
}

// placeOf reads a position as scoring.PositionText writes it.
func placeOf(position string) int {
	var n int
	if position[0] == 'T' {
		position = position[1:]
	}
	_, _ = fmt.Sscan(position, &n) // our own text: always a number
	return n
}

func (s *Stood) fill(sum scoring.Total, mode Mode, r Row) {
	ruled := r.Status != events.StatusInPlay && r.Status != events.StatusReturned && r.Status != events.StatusMissedCut
	switch {
	case sum.Lacking != 0:
		hole := r.Rounds[sum.Lacking-1].Net.Lacking
		s.Why = fmt.Sprintf("hole %d has no score", hole)
		if len(r.Rounds) > 1 {
			s.Why += fmt.Sprintf(" in round %d", sum.Lacking)
		}
	case ruled:
	case mode == Final && (sum.Complete || r.Status == events.StatusMissedCut):
		s.Total, s.ToLevel = number(sum.Value), number(sum.Live)
	case mode == Live && sum.HasLive:
		s.Total, s.ToLevel = number(sum.Value), number(sum.Live)
	}
}

func playingHandicaps(s *Scored) []int {
	out := []int{}
	if s == nil {
		return out
	}
	for ball := range s.Card.Balls() {
		out = append(out, s.Card.BallFigures(ball).PlayingHandicap)
	}
	return out
}

// recount scores copies of all cards under other terms.
func recount(played, terms *events.Terms, cards Cards) (Cards, error) {
	out := make(Cards, len(cards))
	for entry, rounds := range cards {
		for i, s := range rounds {
			if s == nil {
				continue
			}
			was, is := played.Round(i+1), terms.Round(i+1)
			c, err := reissued(s.Card, was, is)
			if err != nil {
				return nil, fmt.Errorf("card %s: %w", s.CardID, err)
			}
			scored, err := Score(s.CardID, s.Sequence, c)
			if err != nil {
				return nil, err
			}
			if c.Returned && c.Ruled == "" && is.Format == events.StrokePlay && scored.Net.Lacking != 0 {
				c.Ruled = events.StatusNoReturn // Rules of Golf 3.3c
			}
			out.Put(entry, i+1, &scored)
		}
	}
	return out, nil
}

// reissued is a copy of a card as it would have been issued under other terms. A
// no return that only follows from a hole without a score falls with the format
// that needs one.
func reissued(s *card.State, was, is events.Terms) (*card.State, error) {
	c := card.Clone(s)
	c.Format = is.Format
	c.Play = events.Play{Side: is.Side, Maximum: is.Maximum, Count: is.Count, CountBy: is.CountBy}
	if c.RuledForLacking() {
		c.Ruled, c.RuledReason = "", ""
	}
	if err := refigured(&c.Figures, c.Holes, was, is); err != nil {
		return nil, err
	}
	for i := range c.Partners {
		if err := refigured(&c.Partners[i].Figures, c.Partners[i].Holes, was, is); err != nil {
			return nil, err
		}
	}
	return c, nil
}

// refigured works the playing handicap of a ball and its strokes by hole out again
// from the exact course handicap, or from those of the players who share it.
func refigured(f *events.Figures, lines []card.HoleLine, was, is events.Terms) error {
	f.ParDifference = parDifference(f, was, is)
	var playing handicap.Playing
	var err error
	if len(f.Shares) > 0 {
		playing, err = sharedPlaying(f, is.SideAllowances)
	} else {
		var exact handicap.Course
		if exact, err = handicap.NewCourse(f.CourseHandicapNum, f.CourseHandicapDen); err != nil {
			return err
		}
		f.AllowancePercent = is.AllowancePercent
		playing, _, err = handicap.PlayingHandicap(exact, handicap.Percent(f.AllowancePercent), f.ParDifference)
	}
	if err != nil {
		return err
	}
	index := make([]int, len(lines))
	for i, h := range lines {
		index[i] = h.StrokeIndex
	}
	f.PlayingHandicap = int(playing)
	if f.StrokesByHole, err = handicap.StrokesReceived(playing, index); err != nil {
		return err
	}
	for i := range lines {
		lines[i].Received = f.StrokesByHole[i]
	}
	return nil
}

// sharedPlaying combines the players of one ball (Rules of Handicapping, Appendix C).
func sharedPlaying(f *events.Figures, percents []int) (handicap.Playing, error) {
	courses := make([]handicap.Course, len(f.Shares))
	allowances := make([]handicap.Allowance, len(percents))
	shares := slices.Clone(f.Shares)
	for i, s := range f.Shares {
		var err error
		if courses[i], err = handicap.NewCourse(s.CourseHandicapNum, s.CourseHandicapDen); err != nil {
			return 0, err
		}
	}
	for i, p := range percents {
		allowances[i] = handicap.Percent(p)
		if i < len(shares) {
			shares[i].Percent = p
		}
	}
	combined, playing, _, err := handicap.SidePlaying(courses, allowances, f.ParDifference)
	if err != nil {
		return 0, err
	}
	exact, err := handicap.NewCourse(combined.Num, max(1, combined.Den))
	if err != nil {
		return 0, err
	}
	f.Shares = shares
	f.CourseHandicapNum, f.CourseHandicapDen, f.CourseHandicap = exact.Num, max(1, exact.Den), exact.Rounded()
	return playing, nil
}

// parDifference is for formats that compare strokes over tees of different par; by
// points and holes everybody plays against the own tee's par already (Rules of
// Handicapping 6.2b). Where the unit stays the card is right as it is.
func parDifference(f *events.Figures, was, is events.Terms) int {
	before, after := competition.Unit(was.Format), competition.Unit(is.Format)
	switch {
	case before == after || is.LeaveOutPar:
		return f.ParDifference
	case after == "strokes":
		return f.Par - f.LowestPar
	default:
		return 0
	}
}

// notes says what follows from the change without being asked for.
func notes(played, terms *events.Terms) []string {
	out := []string{}
	before, after := competition.Unit(played.Round(1).Format), competition.Unit(terms.Round(1).Format)
	if before != after && !terms.LeaveOutPar && len(terms.Tees) > 1 {
		if after == "strokes" {
			out = append(out, "The par of the own tee less the lowest par is added to the playing handicap, because strokes are compared (Rules of Handicapping 6.2b).")
		} else {
			out = append(out, "No difference in par is added to playing handicaps, because everybody plays against the par of the own tee (Rules of Handicapping 6.2b).")
		}
	}
	if played.Cut != nil {
		out = append(out, "Who played on after the cut is as it was.")
	}
	if slices.ContainsFunc(formatsOf(terms), func(f string) bool { return f == events.StrokePlay }) && !slices.Contains(formatsOf(played), events.StrokePlay) {
		out = append(out, "In stroke play a card without a score on a hole has no total (Rules of Golf 3.3c), and nobody who picked up could know that it would matter.")
	}
	return out
}

func formatsOf(t *events.Terms) []string {
	var out []string
	for n := 1; n <= max(1, t.Rounds); n++ {
		out = append(out, t.Round(n).Format)
	}
	return out
}
