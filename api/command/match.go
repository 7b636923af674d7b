package command

import (
	"context"
	"fmt"
	"strings"

	"marram.example/events"
	"marram.example/events/competition"
	eventlog "marram.example/events/log"
	"marram.example/events/match"
	"marram.example/projections/draw"
	"marram.example/projections/handicap"
	"marram.example/projections/standing"
)

// MatchScore is one ball on one hole of a match; nothing given means nothing said.
type MatchScore struct {
	Strokes  *int   `json:"strokes"`
	None     string `json:"none"`     // picked_up or no_score
	Conceded bool   `json:"conceded"` // the last stroke counted was conceded
}

// EnterMatchHole enters a hole of a match: the scores of both sides, or who won it.
type EnterMatchHole struct {
	Number  int          `json:"number"` // in the order of play, from 1; extra holes go on
	A       []MatchScore `json:"a"`      // by ball
	B       []MatchScore `json:"b"`
	Winner  string       `json:"winner"`  // A, B or tied; empty where the scores say it
	Grounds string       `json:"grounds"` // stated, penalty or last_to_pick_up, where it is not by scores
	Reason  string       `json:"reason"`
}

// ConcedeHole gives a hole.
type ConcedeHole struct {
	Number int    `json:"number"`
	Side   string `json:"side"` // of the committee's entry; a player concedes for the own side
}

// ConcedeMatch gives the match.
type ConcedeMatch struct {
	Side   string `json:"side"`
	Reason string `json:"reason"`
}

// MatchResult is a result that a side stands for, or that the committee records.
type MatchResult struct {
	Winner string `json:"winner"` // A, B or tied; may be empty where the holes decide
	Text   string `json:"text"`   // such as 3 and 2; likewise
}

// RuleMatch rules on a match whatever its holes say.
type RuleMatch struct {
	Ruling string `json:"ruling"` // disqualified, default, awarded, not_played or lifted
	Winner string `json:"winner"` // A, B, tied or none
	Up     int    `json:"up"`     // holes credited to the winner
	Reason string `json:"reason"`
}

var matches = eventlog.Decider[*match.State, match.Command]{New: match.New, Clone: match.Clone, Evolve: match.Evolve, Decide: match.Decide}

// MatchView is a match as read from the log.
type MatchView struct {
	ID       string
	Sequence events.Sequence
	State    *match.State
}

// MatchID is the id of the match that a group of a start sheet plays.
func MatchID(competitionID string, number, round int) string {
	return fmt.Sprintf("%s-m%d-%d", competitionID, number, round)
}

// IsMatchID tells the id of a match from that of a card, whose middle part is an
// entry.
func IsMatchID(id string) bool {
	parts := strings.Split(id, "-")
	return len(parts) == 3 && len(parts[1]) < 6 && strings.HasPrefix(parts[1], "m")
}

func (s *Service) matchStep(id string, c match.Command, o ...eventlog.StepOption) eventlog.Step {
	return eventlog.Do(matches, events.MatchStream(s.club, CompetitionOf(id), id), c, o...)
}

// Match reads a match from the log.
func (s *Service) Match(ctx context.Context, id string) (MatchView, error) {
	none := events.NotFound("match_id", "no such match")
	if !events.ValidToken(id) || !IsMatchID(id) {
		return MatchView{}, none
	}
	m, v, err := eventlog.Load(ctx, s.log, matches, events.MatchStream(s.club, CompetitionOf(id), id))
	if err != nil {
		return MatchView{}, err
	}
	if !m.Exists() {
		return MatchView{}, none
	}
	return MatchView{ID: id, Sequence: v.Sequence, State: m}, nil
}

// MatchesOf reads the matches of a round that have been arranged, in the order of
// the start sheet.
func (s *Service) MatchesOf(ctx context.Context, id string, c *competition.State, round int) ([]MatchView, error) {
	sheet := c.Sheet(round)
	if sheet == nil {
		return nil, nil
	}
	var out []MatchView
	for _, g := range sheet.Groups {
		m, err := s.Match(ctx, MatchID(id, g.Number, round))
		if e := events.AsError(err); e != nil && e.Kind == events.KindNotFound {
			continue // a bye, or not opened yet
		}
		if err != nil {
			return nil, err
		}
		out = append(out, m)
	}
	return out, nil
}

// arrange is the match of a group, with the strokes that each ball receives (Rules
// of Handicapping, Appendix C). A bye has none.
func (s *Service) arrange(ctx context.Context, base grounds, g events.Group) ([]eventlog.Step, error) {
	if len(g.Places) < 2 {
		return nil, nil
	}
	m, err := s.arranged(ctx, base, g)
	if err != nil {
		return nil, err
	}
	return []eventlog.Step{s.matchStep(MatchID(base.id, g.Number, base.round), match.Arrange{MatchArranged: m})}, nil
}

func (s *Service) arranged(ctx context.Context, base grounds, g events.Group) (events.MatchArranged, error) {
	t := base.terms
	m := events.MatchArranged{
		CompetitionID: base.id, Round: base.round, Number: g.Number, CourseID: t.CourseID, Side: t.Side, Ranking: t.Ranking,
		StartingHole: g.StartingHole, Length: t.Match.Length, ExtraHoles: t.Match.ExtraHoles, FullNet: t.Match.FullNet,
	}
	sides := []*events.MatchSide{&m.A, &m.B}
	var playing []handicap.Playing
	for i, p := range g.Places {
		e, ok := base.field.Entries[p.EntryID]
		if !ok {
			return m, events.Invalid("groups", "unknown", "the start sheet names an entry that is not in the field")
		}
		balls, err := s.ballsOf(ctx, base, e)
		if err != nil {
			return m, err
		}
		sides[i].EntryID = e.ID
		for _, b := range balls {
			sides[i].Balls = append(sides[i].Balls, events.MatchBall{PlayerID: b.PlayerID, Tee: b.Tee, Holes: b.Holes, Figures: b.Figures})
			playing = append(playing, handicap.Playing(b.Figures.PlayingHandicap))
		}
	}
	return m, matchStrokes(sides, playing, t)
}

// rearrange is the step that gives the match of an amended entry its new strokes.
func (s *Service) rearrange(
	ctx context.Context, id string, c *competition.State, seq events.Sequence, a competition.AmendEntry,
) ([]eventlog.Step, error) {
	again, err := s.rearrangement(ctx, id, c, seq, a)
	if err != nil || again == nil {
		return nil, err
	}
	return []eventlog.Step{s.matchStep(MatchID(id, again.Number, again.Round), *again)}, nil
}

// rearrangement is the match of an amended entry with its new strokes, as long as no
// hole of it is entered: afterwards strokes that were declared stand (Rules of Golf
// 3.2c). It is nil where nothing changes.
func (s *Service) rearrangement(
	ctx context.Context, id string, c *competition.State, seq events.Sequence, a competition.AmendEntry,
) (*match.Arrange, error) {
	g, _, placed := c.Group(a.EntryID)
	if !c.Running() || !placed || len(g.Places) < 2 {
		return nil, nil
	}
	m, err := s.Match(ctx, MatchID(id, g.Number, c.Round))
	if err != nil {
		return nil, err
	}
	if _, over := m.State.Outcome(); over || len(m.State.Holes) > 0 {
		return nil, nil
	}
	amended := competition.Clone(c)
	e := amended.Entries[a.EntryID]
	e.Tee, e.IndexTenths, e.IndexOrigin, e.Side = a.Tee, a.IndexTenths, a.IndexOrigin, a.Side
	amended.Entries[a.EntryID] = e
	base, err := s.grounds(ctx, id, amended, seq, c.Round)
	if err != nil {
		return nil, err
	}
	arranged, err := s.arranged(ctx, base, g)
	if err != nil {
		return nil, err
	}
	if arranged.Reason = a.Reason; strings.TrimSpace(a.Reason) == "" {
		arranged.Reason = "the entry was amended"
	}
	return &match.Arrange{MatchArranged: arranged}, nil
}

func matchStrokes(sides []*events.MatchSide, playing []handicap.Playing, t events.Terms) error {
	received := make([]handicap.Playing, len(playing))
	if t.Ranking != "gross" {
		var err error
		if received, _, err = handicap.MatchStrokes(playing, !t.Match.FullNet); err != nil {
			return domain(err)
		}
	}
	next := 0
	for _, side := range sides {
		for i := range side.Balls {
			b := &side.Balls[i]
			index := make([]int, len(b.Holes))
			for j, h := range b.Holes {
				index[j] = h.StrokeIndex
			}
			var err error
			if b.Strokes, err = handicap.StrokesReceived(received[next], index); err != nil {
				return domain(err)
			}
			next++
		}
	}
	return nil
}

// writer says for whom somebody writes: a match link for its side.
func (s *Service) writer(r Request, m MatchView) (events.MatchWriter, error) {
	switch {
	case r.by() == events.RoleCommittee:
		return events.MatchWriter{By: events.RoleCommittee}, nil
	case r.Who.Role == events.RolePlayer && r.Who.CardID == m.ID && r.Who.ID == m.State.Arranged.A.EntryID:
		return events.MatchWriter{By: events.RolePlayer, BySide: events.SideA}, nil
	case r.Who.Role == events.RolePlayer && r.Who.CardID == m.ID && r.Who.ID == m.State.Arranged.B.EntryID:
		return events.MatchWriter{By: events.RolePlayer, BySide: events.SideB}, nil
	default:
		return events.MatchWriter{}, s.refuse(r, "this match's")
	}
}

// onMatch decides on a match while its round is open; the committee may at any time.
func (s *Service) onMatch(ctx context.Context, r Request, id string, decide func(MatchView, events.MatchWriter) (match.Command, error)) (Done, error) {
	if r.by() != events.RoleCommittee && r.Who.CardID != id {
		return Done{}, s.refuse(r, "this match's")
	}
	m, err := s.Match(ctx, id)
	if err != nil {
		return Done{}, err
	}
	w, err := s.writer(r, m)
	if err != nil {
		return Done{}, err
	}
	c, _, err := s.Competition(ctx, m.State.Arranged.CompetitionID)
	if err != nil {
		return Done{}, err
	}
	if (!c.Running() || c.Round != m.State.Arranged.Round) && r.by() != events.RoleCommittee {
		refusal := events.NotNow("competition_id", "round_closed", "the round is closed; only the committee changes matches now")
		return unlessKnown(ctx, s, r, matches, events.MatchStream(s.club, CompetitionOf(id), id), refusal)
	}
	cmd, err := decide(m, w)
	if err != nil {
		return Done{}, err
	}
	return s.run(ctx, r, s.matchStep(id, cmd, r.expect()...))
}

// EnterMatchHole is the use case of the same name.
func (s *Service) EnterMatchHole(ctx context.Context, r Request, id string, in EnterMatchHole) (Done, error) {
	return s.onMatch(ctx, r, id, func(_ MatchView, w events.MatchWriter) (match.Command, error) {
		e, err := in.entry()
		return match.DecideHole{Number: in.Number, Entry: e, MatchWriter: w, Reason: in.Reason}, err
	})
}

func (in EnterMatchHole) entry() (match.Entry, error) {
	out := match.Entry{Winner: in.Winner, Grounds: in.Grounds}
	var err error
	if out.A, err = matchScores("a", in.A); err != nil {
		return out, err
	}
	out.B, err = matchScores("b", in.B)
	return out, err
}

func matchScores(field string, in []MatchScore) ([]events.MatchScore, error) {
	var out []events.MatchScore
	for i, m := range in {
		v, err := HoleEntry{Strokes: m.Strokes, None: m.None}.score(fmt.Sprintf("%s[%d].strokes", field, i))
		if err != nil {
			return nil, err
		}
		out = append(out, events.MatchScore{Score: v, Conceded: m.Conceded})
	}
	return out, nil
}

// RemoveMatchHole takes back a hole that was a slip.
func (s *Service) RemoveMatchHole(ctx context.Context, r Request, id string, number int, reason string) (Done, error) {
	return s.onMatch(ctx, r, id, func(_ MatchView, w events.MatchWriter) (match.Command, error) {
		return match.RemoveHole{Number: number, MatchWriter: w, Reason: reason}, nil
	})
}

// ConcedeHole is the use case of the same name.
func (s *Service) ConcedeHole(ctx context.Context, r Request, id string, in ConcedeHole) (Done, error) {
	return s.onMatch(ctx, r, id, func(_ MatchView, w events.MatchWriter) (match.Command, error) {
		return match.ConcedeHole{Number: in.Number, Side: ownSide(w, in.Side), MatchWriter: w}, nil
	})
}

// ConcedeMatch is the use case of the same name.
func (s *Service) ConcedeMatch(ctx context.Context, r Request, id string, in ConcedeMatch) (Done, error) {
	return s.onMatch(ctx, r, id, func(_ MatchView, w events.MatchWriter) (match.Command, error) {
		return match.ConcedeMatch{Side: ownSide(w, in.Side), MatchWriter: w, Reason: in.Reason}, nil
	})
}

// ownSide is the side of who writes, where none is named.
func ownSide(w events.MatchWriter, side string) string {
	if side == "" {
		return w.BySide
	}
	return side
}

// ResultOfMatch agrees on the result for a side, or records it for the committee.
func (s *Service) ResultOfMatch(ctx context.Context, r Request, id string, in MatchResult) (Done, error) {
	return s.onMatch(ctx, r, id, func(m MatchView, w events.MatchWriter) (match.Command, error) {
		if w.By == events.RoleCommittee {
			return match.RecordResult{Winner: in.Winner, Text: in.Text, MatchWriter: w}, nil
		}
		if stands := m.State.Standing(); in.Winner == "" && stands.Over {
			in.Winner, in.Text = stands.Winner, stands.Text
		}
		return match.AgreeResult{Winner: in.Winner, Text: in.Text, MatchWriter: w}, nil
	})
}

// onMatchAsCommittee is onMatch for what only the committee does.
func (s *Service) onMatchAsCommittee(ctx context.Context, r Request, id string, decide func(events.MatchWriter) match.Command) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	return s.onMatch(ctx, r, id, func(_ MatchView, w events.MatchWriter) (match.Command, error) { return decide(w), nil })
}

// RuleMatch is the use case of the same name.
func (s *Service) RuleMatch(ctx context.Context, r Request, id string, in RuleMatch) (Done, error) {
	return s.onMatchAsCommittee(ctx, r, id, func(w events.MatchWriter) match.Command {
		return match.Rule{Ruling: in.Ruling, Winner: in.Winner, Up: in.Up, MatchWriter: w, Reason: in.Reason}
	})
}

// ReopenMatch takes a result back.
func (s *Service) ReopenMatch(ctx context.Context, r Request, id, reason string) (Done, error) {
	return s.onMatchAsCommittee(ctx, r, id, func(w events.MatchWriter) match.Command {
		return match.Reopen{MatchWriter: w, Reason: reason}
	})
}

// closeMatches ends a round of matches. A match whose holes decide it and that
// nobody disputes is recorded with it.
func (s *Service) closeMatches(ctx context.Context, r Request, id string, c *competition.State) (Done, error) {
	all, err := s.MatchesOf(ctx, id, c, c.Round)
	if err != nil {
		return Done{}, err
	}
	closing := competition.CloseRound{}
	var records []eventlog.Step
	for _, m := range all {
		o, over := m.State.Outcome()
		if stands := m.State.Standing(); !over && stands.Over && len(m.State.Differences()) == 0 {
			o, over = match.Outcome{Winner: stands.Winner, Text: stands.Text, Up: max(stands.Lead, -stands.Lead)}, true
			records = append(records, s.matchStep(m.ID, match.RecordResult{MatchWriter: events.MatchWriter{By: events.RoleCommittee}}, eventlog.Expect(m.Sequence)))
			m.Sequence++
		}
		if !over {
			continue
		}
		closing.Matches = append(closing.Matches, standing.MatchStanding(m.ID, m.Sequence, m.State.Arranged, o))
	}
	return s.run(ctx, r, append([]eventlog.Step{s.competitionStep(id, closing, r.expect()...)}, records...)...)
}

// Anew is a competition with its closed matches as they stand now (see standing.Anew).
func (s *Service) Anew(ctx context.Context, id string, c *competition.State) (*competition.State, error) {
	if !c.IsMatch() {
		return c, nil
	}
	out := map[string]events.MatchStanding{}
	for round := 1; round <= c.Round; round++ {
		all, err := s.MatchesOf(ctx, id, c, round)
		if err != nil {
			return nil, err
		}
		for _, m := range all {
			if o, over := m.State.Outcome(); over {
				out[m.ID] = standing.MatchStanding(m.ID, m.Sequence, m.State.Arranged, o)
			}
		}
	}
	return standing.Anew(c, out), nil
}

// pairs are the matches of the next round: a bracket from the seeds or from the
// winners, or the schedule of a round robin. A bye has an empty second id.
func pairs(c *competition.State, playing []competition.Entry, round int) ([][2]string, error) {
	var drawn []draw.Pair
	switch c.Terms.Match.Bracket {
	case competition.Knockout:
		if round > 1 {
			return draw.NextRound(goOn(c, round-1))
		}
		var err error
		if drawn, err = draw.Seeded(len(playing)); err != nil {
			return nil, err
		}
	case competition.RoundRobin:
		rounds, err := draw.RoundRobin(len(playing))
		if err != nil {
			return nil, err
		}
		for _, p := range rounds[round-1] {
			if !p.Bye() {
				drawn = append(drawn, p)
			}
		}
	default:
		for i := 0; i+1 < len(playing); i += 2 {
			drawn = append(drawn, draw.Pair{A: i + 1, B: i + 2})
		}
	}
	out := make([][2]string, len(drawn))
	for i, p := range drawn {
		out[i][0] = playing[p.A-1].ID
		if !p.Bye() {
			out[i][1] = playing[p.B-1].ID
		}
	}
	return out, nil
}

// goOn lists who goes on after a round of a knockout, in the order of its sheet.
func goOn(c *competition.State, round int) []string {
	_, played := c.ClosedRound(round)
	var out []string
	sheet := c.Sheet(round)
	for _, g := range sheet.Groups {
		if len(g.Places) == 1 {
			out = append(out, g.Places[0].EntryID)
			continue
		}
		for _, m := range played {
			if m.Number == g.Number {
				out = append(out, m.Winner)
			}
		}
	}
	return out
}
