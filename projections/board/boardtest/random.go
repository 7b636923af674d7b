package boardtest

import (
	"math/rand/v2"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/standing"
)

// Random does something that might happen next to the competition or to one of
// its cards, if the deciders allow it: mostly a score, now and then anything
// else, the end of the round included.
func (c *Competition) Random(r *rand.Rand) {
	field := c.State.Field()
	e := field[r.IntN(len(field))]
	holes := c.Terms.Holes
	hole := holes[r.IntN(len(holes))]
	by := []events.Role{events.RolePlayer, events.RoleMarker, events.RoleMarker, events.RoleCommittee}[r.IntN(4)]
	score := events.Score{Strokes: 2 + r.IntN(6)}
	switch r.IntN(20) {
	case 0:
		score = events.Score{None: events.PickedUp}
	case 1:
		score = events.Score{}
	}
	switch r.IntN(40) {
	case 0, 1, 2, 3:
		_ = c.DoCard(e.ID, card.EnterCard{Scores: c.round(r), By: events.RoleCommittee, Confirmed: true, Signed: true, Receipt: "R", Reason: "paper"})
	case 4:
		_ = c.DoCard(e.ID, card.RuleStatus{Status: []string{"NR", "RTD", "WD", "NS", "DQ", "in_play"}[r.IntN(6)], Reason: "ruled"})
	case 5:
		_ = c.DoCard(e.ID, card.Reopen{Reason: "again"})
	case 6:
		_ = c.Do(competition.SuspendRound{Kind: "immediate", Reason: "lightning"})
	case 7, 8:
		_ = c.Do(competition.ResumeRound{})
	case 9:
		c.Club.Record(events.PlayerStream(ClubName, e.PlayerID), events.PlayerDetailsChanged{})
	case 10:
		_ = c.DoCard(e.ID, card.AssignMarker{StartingHole: hole, Reason: "moved"})
	case 11:
		c.late()
	case 12:
		c.end(r)
	case 13:
		c.Club.Player("stranger")
	default:
		_ = c.DoCard(e.ID, card.EnterScore{Hole: hole, Score: score, By: by, Confirmed: true, Reason: "checked"})
	}
}

// round is a whole card.
func (c *Competition) round(r *rand.Rand) []events.Score {
	out := make([]events.Score, len(c.Terms.Holes))
	for i := range out {
		out[i].Strokes = 3 + r.IntN(3)
	}
	return out
}

// late takes another entry into the field, with a card if the round is open.
func (c *Competition) late() {
	n := len(c.State.Order)
	c.Club.Player(PlayerID(n))
	index, plays := spread(n)
	if c.Do(competition.AcceptEntry{EntryID: EntryID(n), PlayerID: PlayerID(n), IndexTenths: index}) != nil || !c.State.Running() {
		return
	}
	if c.Do(competition.PublishDraw{Method: "by_hand", Groups: groups(c.State, c.Terms), Reason: "late entry"}) == nil {
		_ = c.DoCard(EntryID(n), card.Issue{CardIssued: c.issued(c.State.Entries[EntryID(n)], index, plays)})
	}
}

// Finish rules on or enters every card that is out.
func (c *Competition) Finish(r *rand.Rand) {
	for _, e := range c.State.Field() {
		_ = c.DoCard(e.ID, card.EnterCard{Scores: c.round(r), By: events.RoleCommittee, Confirmed: true, Signed: true, Receipt: "R", Reason: "paper"})
		if s := c.Cards[CardID(e.ID)]; s == nil || s.Status() == events.StatusInPlay {
			_ = c.DoCard(e.ID, card.RuleStatus{Status: "NR", Reason: "not in"})
		}
	}
}

// Scored is the arithmetic of every card.
func (c *Competition) Scored() (standing.Cards, error) {
	out := standing.Cards{}
	for id, s := range c.Cards {
		k, err := standing.Score(id, 1, s)
		if err != nil {
			return nil, err
		}
		out.Put(s.EntryID, 1, &k)
	}
	return out, nil
}

// end closes the round, decides a tie, publishes or revises: whichever is next.
func (c *Competition) end(r *rand.Rand) {
	if c.State.Running() {
		c.Finish(r)
		_ = c.Do(competition.ResumeRound{})
		var cards []events.CardStanding
		for _, e := range c.State.Field() {
			if s := c.Cards[CardID(e.ID)]; s != nil {
				cards = append(cards, events.CardStanding{CardID: CardID(e.ID), EntryID: e.ID, Status: s.Status(), Sequence: 1})
			}
		}
		_ = c.Do(competition.CloseRound{Cards: cards})
		return
	}
	if ids := c.tied(); len(ids) > 1 {
		r.Shuffle(len(ids), func(i, j int) { ids[i], ids[j] = ids[j], ids[i] })
		_ = c.Do(competition.DecideTie{Ranking: c.Terms.Ranking, EntryIDs: ids, Method: "lot", Reason: "lot"})
	}
	scored, err := c.Scored()
	if err != nil {
		return
	}
	result, err := standing.Result(c.State, scored)
	if err != nil {
		return
	}
	if c.State.Phase == competition.Closed {
		_ = c.Do(competition.PublishResult{Result: result})
	} else {
		_ = c.Do(competition.ReviseResult{Result: result, Reason: "corrected"})
	}
}

// tied lists the entries of the first tie that stands in the own ranking.
func (c *Competition) tied() []string {
	scored, err := c.Scored()
	if err != nil {
		return nil
	}
	t, err := standing.Work(c.State, scored, standing.Final)
	if err != nil {
		return nil
	}
	var ids []string
	first := ""
	for _, r := range t.Rows {
		p := r.Places[c.Terms.Ranking].Position
		if len(p) > 1 && p[0] == 'T' && (first == "" || p == first) {
			first = p
			ids = append(ids, r.Entry.ID)
		}
	}
	return ids
}

// PublishResult publishes what the cards say.
func (c *Competition) PublishResult() error {
	scored, err := c.Scored()
	if err != nil {
		return err
	}
	result, err := standing.Result(c.State, scored)
	if err != nil {
		return err
	}
	return c.Do(competition.PublishResult{Result: result})
}
