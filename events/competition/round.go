package competition

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"marram.example/events"
)

func openRound(s *State) ([]events.Event, error) {
	if s.Running() {
		return nil, nil
	}
	if s.Over() {
		return nil, events.NotNow("competition_id", "round_closed", "the round is closed")
	}
	if s.Phase != Drawn {
		return nil, events.NotNow("competition_id", "not_drawn", "publish a start sheet before opening the round")
	}
	if err := checkGroups(s, s.Round, s.Draw.Groups); err != nil {
		return nil, events.NotNow("groups", "draw_stale", "the start sheet no longer fits the field: "+err.Error())
	}
	return []events.Event{events.RoundOpened{Round: s.Round}}, nil
}

// The kinds of suspension (Rules of Golf 5.7b).
const immediate, normal = "immediate", "normal"

// suspendRound stops play. A normal suspension becomes an immediate one without
// resuming in between, which would tell players to go on.
func suspendRound(s *State, c SuspendRound) ([]events.Event, error) {
	if !s.Running() {
		return nil, events.NotNow("competition_id", "not_open", "no round is open")
	}
	if err := oneOf("kind", c.Kind, immediate, normal); err != nil {
		return nil, err
	}
	if s.Phase == Suspended {
		switch {
		case *s.Suspend == Suspension(c):
			return nil, nil
		case s.Suspend.Kind == immediate && c.Kind == normal:
			return nil, events.NotNow("kind", "suspended", "play is stopped at once for danger; that is only lifted by resuming play").
				WithRule("Rules of Golf 5.7b(1)")
		}
	}
	return []events.Event{events.RoundSuspended{Round: s.Round, Kind: c.Kind, Reason: c.Reason}}, nil
}

func resumeRound(s *State) ([]events.Event, error) {
	if s.Phase != Suspended {
		return nil, events.NotNow("competition_id", "not_suspended", "play is not suspended")
	}
	return []events.Event{events.RoundResumed{Round: s.Round}}, nil
}

// closeRound ends the round once every card is in or ruled on, also while play is
// suspended: a round that is abandoned is never resumed.
func closeRound(s *State, c CloseRound) ([]events.Event, error) {
	if s.Over() || s.Phase == Between {
		return nil, nil
	}
	if !s.Running() {
		return nil, events.NotNow("competition_id", "not_open", "no round is open")
	}
	closed := events.RoundClosed{Round: s.Round, Cards: c.Cards, Matches: c.Matches}
	if err := checkIn(s, c.Cards, c.Matches); err != nil {
		return nil, err
	}
	es := []events.Event{closed}
	if s.Terms.Cut == nil || s.Terms.Cut.AfterRound != s.Round {
		return es, nil
	}
	if c.Cut == nil {
		return nil, events.Invalid("cut", "required", "the terms make a cut after this round")
	}
	after := Clone(s)
	Evolve(after, closed)
	cut, err := makeCut(after, MakeCut{CutMade: *c.Cut})
	if err != nil {
		return nil, err
	}
	return append(es, cut...), nil
}

// Recount closes a round once more before the next one is drawn, where cards or
// matches of it came to something else since: it gives the state after, and the
// event where anything differs. Nothing given leaves what stood at the close.
func Recount(s *State, cards []events.CardStanding, matches []events.MatchStanding) (*State, []events.Event, error) {
	if s.Phase != Between || sameCards(s.Standing, cards) && sameMatches(s.Matches, matches) || cards == nil && matches == nil {
		return s, nil, nil
	}
	if err := checkIn(s, cards, matches); err != nil {
		return s, nil, err
	}
	closed := events.RoundClosed{Round: s.Round, Cards: cards, Matches: matches}
	after := Clone(s)
	Evolve(after, closed)
	return after, []events.Event{closed}, nil
}

// sameCards reports whether the same cards have the same statuses; a score that
// changed is no matter of who plays on.
func sameCards(a, b []events.CardStanding) bool {
	return slices.EqualFunc(a, b, func(a, b events.CardStanding) bool { return a.EntryID == b.EntryID && a.Status == b.Status })
}

func sameMatches(a, b []events.MatchStanding) bool {
	return slices.EqualFunc(a, b, func(a, b events.MatchStanding) bool {
		return a.MatchID == b.MatchID && a.Winner == b.Winner && a.Text == b.Text && a.By == b.By
	})
}

// checkIn makes sure that nothing of a round is outstanding.
func checkIn(s *State, cards []events.CardStanding, matches []events.MatchStanding) error {
	if s.IsMatch() {
		return checkMatches(s, matches)
	}
	in := map[string]bool{}
	for i, k := range cards {
		if _, twice := in[k.EntryID]; twice {
			return events.Invalid(fmt.Sprintf("cards[%d].entry_id", i), "duplicate", fmt.Sprintf("entry %s has two cards", k.EntryID))
		}
		in[k.EntryID] = final(k.Status)
	}
	out := 0
	for _, e := range s.Playing(s.Round) {
		if !in[e.ID] {
			out++
		}
	}
	if out > 0 {
		return events.NotNow("cards", "cards_out", fmt.Sprintf("%d cards are still out: return or rule on each (NR, RTD, WD, NS, DQ)", out))
	}
	return nil
}

// checkMatches makes sure that every match of the start sheet is decided.
func checkMatches(s *State, matches []events.MatchStanding) error {
	for _, g := range s.Draw.Groups {
		if len(g.Places) < 2 {
			continue // a bye
		}
		at := slices.IndexFunc(matches, func(m events.MatchStanding) bool { return m.Number == g.Number })
		if at < 0 {
			return events.NotNow("matches", "matches_out", fmt.Sprintf("match %d is not decided", g.Number))
		}
		if m := matches[at]; !slices.Contains(m.EntryIDs, m.Winner) && s.Terms.Match.Bracket == Knockout {
			return events.NotNow(fmt.Sprintf("matches[%d].winner", at), "no_winner", fmt.Sprintf("match %d of a knockout needs a winner", g.Number))
		}
	}
	return nil
}

// makeCut says who plays on. The arithmetic comes with the command; that it
// covers the field is checked here.
func makeCut(s *State, c MakeCut) ([]events.Event, error) {
	switch {
	case s.Terms == nil || s.Terms.Cut == nil:
		return nil, events.NotNow("cut", "no_cut", "the terms make no cut")
	case s.Phase != Between || s.Terms.Cut.AfterRound != s.Round || c.AfterRound != s.Round:
		return nil, events.NotNow("cut", "not_now", fmt.Sprintf("the cut is made between rounds %d and %d", s.Terms.Cut.AfterRound, s.Terms.Cut.AfterRound+1))
	case len(c.Through) == 0:
		return nil, events.NotNow("cut", "nobody_through", "nobody has a total: no round can follow")
	}
	s, again, err := Recount(s, c.Cards, nil)
	if err != nil {
		return nil, err
	}
	all := map[string]bool{}
	for _, id := range slices.Concat(c.Through, c.Missed) {
		if _, err := entry(s, id); err != nil || all[id] {
			return nil, events.Invalid("cut", "unknown", "the cut names entries of the field, each once")
		}
		all[id] = true
	}
	for _, k := range s.Standing {
		if k.Status == events.StatusReturned && !all[k.EntryID] {
			return nil, events.Invalid("cut", "entry_left_out", fmt.Sprintf("entry %s stands on neither side of the cut", k.EntryID))
		}
	}
	if s.Cut != nil && reflect.DeepEqual(*s.Cut, cutOf(c.CutMade)) {
		return again, nil
	}
	return append(again, c.CutMade), nil
}

// cutOf is a cut as the state keeps it.
func cutOf(e events.CutMade) Cut {
	return Cut{AfterRound: e.AfterRound, Through: e.Through, Missed: e.Missed, Line: e.Line, Words: e.Words}
}

// uncut reports whether the cut after the round that was closed last is still to be
// made, or was made before a card of it was corrected.
func (s *State) uncut() bool {
	if s.Phase != Between || s.Terms.Cut == nil || s.Terms.Cut.AfterRound != s.Round {
		return false
	}
	return s.Cut == nil || slices.ContainsFunc(s.Standing, func(k events.CardStanding) bool {
		return k.Status == events.StatusReturned && !slices.Contains(s.Cut.Through, k.EntryID) && !slices.Contains(s.Cut.Missed, k.EntryID)
	})
}

// final reports whether a card's status lets the round end without it.
func final(status string) bool {
	switch status {
	case events.StatusReturned, events.StatusNoReturn, events.StatusRetired, events.StatusWithdrew, events.StatusNoShow, events.StatusDisqualified,
		events.StatusMissedCut:
		return true
	default:
		return false
	}
}

func decideTie(s *State, c DecideTie) ([]events.Event, error) {
	if !s.Over() {
		return nil, events.NotNow("competition_id", "not_closed", "close the round first")
	}
	if err := firstError(
		oneOf("ranking", c.Ranking, "net", "gross", "match"),
		oneOf("method", c.Method, "lot", "play_off"),
	); err != nil {
		return nil, err
	}
	if !knownDivision(s.Terms, c.Division) {
		return nil, events.Invalid("division", "unknown", fmt.Sprintf("there is no division %q", c.Division))
	}
	if len(c.EntryIDs) < 2 {
		return nil, events.Invalid("entry_ids", "required", "a tie is between at least two entries")
	}
	for i, id := range c.EntryIDs {
		if _, err := entry(s, id); err != nil {
			return nil, events.Invalid(fmt.Sprintf("entry_ids[%d]", i), "unknown", "no such entry")
		}
		if slices.Contains(c.EntryIDs[:i], id) {
			return nil, events.Invalid(fmt.Sprintf("entry_ids[%d]", i), "duplicate", "an entry stands twice")
		}
	}
	if strings.TrimSpace(c.Reason) == "" {
		return nil, events.Invalid("reason", "required", "say how the tie was decided")
	}
	if i := s.tie(c.Ranking, c.Division, c.EntryIDs); i >= 0 {
		old := s.Ties[i]
		if slices.Equal(old.EntryIDs, c.EntryIDs) && old.Method == c.Method && old.Reason == c.Reason {
			return nil, nil
		}
	}
	return []events.Event{events.TieDecided{
		Ranking: c.Ranking, Division: c.Division, EntryIDs: c.EntryIDs, Method: c.Method, Reason: c.Reason, Seed: c.Seed,
	}}, nil
}

func publishResult(s *State, c PublishResult) ([]events.Event, error) {
	switch s.Phase {
	case Closed:
	case Published:
		return nil, events.NotNow("competition_id", "published", "a result is published; revise it with a reason")
	default:
		return nil, events.NotNow("competition_id", "not_closed", "close the round first")
	}
	if err := checkResult(s, c.Result); err != nil {
		return nil, err
	}
	return []events.Event{events.ResultPublished{Result: c.Result}}, nil
}

func reviseResult(s *State, c ReviseResult) ([]events.Event, error) {
	if s.Phase != Published {
		return nil, events.NotNow("competition_id", "not_published", "there is no published result to revise")
	}
	if strings.TrimSpace(c.Reason) == "" {
		return nil, events.Invalid("reason", "required", "say why the result is revised").
			WithRule("Rules of Golf 20.2d(2): administrative mistakes are corrected without time limit")
	}
	if err := checkResult(s, c.Result); err != nil {
		return nil, err
	}
	return []events.Event{events.ResultRevised{Result: c.Result, Revision: s.Revision + 1, Reason: c.Reason}}, nil
}

// checkResult makes sure that everybody in the field stands in the result once.
func checkResult(s *State, r events.Result) error {
	rows := map[string]bool{}
	for i, row := range r.Rows {
		if _, err := entry(s, row.EntryID); err != nil || rows[row.EntryID] {
			return events.Invalid(fmt.Sprintf("rows[%d].entry_id", i), "unknown", "every entry of the field stands in the result once")
		}
		rows[row.EntryID] = true
		if !s.IsMatch() && !final(row.Status) {
			return events.NotNow(fmt.Sprintf("rows[%d].status", i), "cards_out", "a card is still out: return it or rule on it (NR, RTD, WD, NS, DQ)")
		}
	}
	if len(rows) != len(s.Field()) {
		return events.Invalid("rows", "entry_left_out", fmt.Sprintf("the result has %d rows for a field of %d", len(rows), len(s.Field())))
	}
	for i, p := range r.Prizes {
		if !rows[p.EntryID] {
			return events.Invalid(fmt.Sprintf("prizes[%d].entry_id", i), "unknown", "a prize goes to an entry of the field")
		}
	}
	return nil
}
