package command

import (
	"context"
	"crypto/rand"
	"fmt"
	"slices"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	eventlog "marram.example/events/log"
)

// EnterScore enters one hole. Exactly one of Strokes, None and Clear is given.
type EnterScore struct {
	Hole      int    `json:"hole"`
	Ball      int    `json:"ball"` // whose, on the card of a side: 0 is the first player's
	Strokes   *int   `json:"strokes"`
	None      string `json:"none"`      // picked_up or no_score
	Clear     bool   `json:"clear"`     // takes the own value back
	Confirmed bool   `json:"confirmed"` // an unlikely number is meant
	Reason    string `json:"reason"`
	Saw       *Saw   `json:"saw"` // what the writer saw when entering; nil for who does not say
}

// Saw is what stood on a hole when a value was entered for it, as a card spells it;
// nothing given means that nothing stood there.
type Saw struct {
	Player    HoleEntry `json:"player"`
	Marker    HoleEntry `json:"marker"`
	Committee HoleEntry `json:"committee"`
}

// HoleEntry is one hole of a whole card; nothing given means no entry.
type HoleEntry struct {
	Strokes *int   `json:"strokes"`
	None    string `json:"none"`
}

// EnterCard enters a whole card, in the order of its holes: one ball, or every ball
// of a side.
type EnterCard struct {
	Ball      int           `json:"ball"` // whose the scores are, where partners are left out
	Scores    []HoleEntry   `json:"scores"`
	Partners  [][]HoleEntry `json:"partners"` // the scores of balls 1 and on
	Confirmed bool          `json:"confirmed"`
	Signed    bool          `json:"signed"` // the paper bears both signatures: certify and return it too
	Reason    string        `json:"reason"`
}

// RuleStatus rules on a card.
type RuleStatus struct {
	Status string `json:"status"`
	Reason string `json:"reason"`
}

func (s *Service) cardStep(cardID string, c card.Command, o ...eventlog.StepOption) eventlog.Step {
	return eventlog.Do(cards, events.CardStream(s.club, CompetitionOf(cardID), cardID), c, o...)
}

// Card reads a card from the log.
func (s *Service) Card(ctx context.Context, cardID string) (CardView, error) {
	none := events.NotFound("card_id", "no such card")
	if !events.ValidToken(cardID) || CompetitionOf(cardID) == "" {
		return CardView{}, none
	}
	k, v, err := eventlog.Load(ctx, s.log, cards, events.CardStream(s.club, CompetitionOf(cardID), cardID))
	if err != nil {
		return CardView{}, err
	}
	if !k.Exists() {
		return CardView{}, none
	}
	return CardView{ID: cardID, Sequence: v.Sequence, State: k}, nil
}

// cardIn reads a card with its competition.
func (s *Service) cardIn(ctx context.Context, cardID string) (CardView, *competition.State, error) {
	k, err := s.Card(ctx, cardID)
	if err != nil {
		return CardView{}, nil, err
	}
	c, _, err := s.Competition(ctx, k.State.CompetitionID)
	return k, c, err
}

// mayCard says whether somebody may act on a card: the committee on all, a card
// link on the one that it opens.
func (s *Service) mayCard(r Request, cardID string) error {
	switch r.Who.Role {
	case events.RoleCommittee, events.RoleService:
		return nil
	case events.RolePlayer, events.RoleMarker:
		if r.Who.CardID == cardID && cardID != "" {
			return nil
		}
	}
	return s.refuse(r, "this card's")
}

// by is the capacity in which somebody writes on a card.
func (r Request) by() events.Role {
	if r.Who.Role == events.RoleService {
		return events.RoleCommittee
	}
	return r.Who.Role
}

// onCard decides on a card while its round takes entries.
func (s *Service) onCard(ctx context.Context, r Request, cardID string, decide func(CardView) (card.Command, error)) (Done, error) {
	if err := s.mayCard(r, cardID); err != nil {
		return Done{}, err
	}
	k, c, err := s.cardIn(ctx, cardID)
	if err != nil {
		return Done{}, err
	}
	if (!c.Running() || k.State.Round != c.Round) && r.by() != events.RoleCommittee {
		refusal := events.NotNow("competition_id", "round_closed", "the round is closed; only the committee changes cards now").
			WithRule("Rules of Golf 20.2e")
		return unlessKnown(ctx, s, r, cards, events.CardStream(s.club, k.State.CompetitionID, cardID), refusal)
	}
	cmd, err := decide(k)
	if err != nil {
		return Done{}, err
	}
	return s.run(ctx, r, s.cardStep(cardID, cmd, r.expect()...))
}

// EnterScore is the use case of the same name.
func (s *Service) EnterScore(ctx context.Context, r Request, cardID string, in EnterScore) (Done, error) {
	return s.onCard(ctx, r, cardID, func(CardView) (card.Command, error) {
		v, err := in.score()
		if err != nil {
			return nil, err
		}
		saw, err := in.Saw.scores()
		return card.EnterScore{Ball: in.Ball, Hole: in.Hole, Score: v, By: r.by(), Confirmed: in.Confirmed, Reason: in.Reason, Saw: saw}, err
	})
}

func (w *Saw) scores() (*card.Saw, error) {
	if w == nil {
		return nil, nil
	}
	out := &card.Saw{}
	for _, of := range []struct {
		role events.Role
		in   HoleEntry
		to   *events.Score
	}{{events.RolePlayer, w.Player, &out.Player}, {events.RoleMarker, w.Marker, &out.Marker}, {events.RoleCommittee, w.Committee, &out.Committee}} {
		var err error
		if *of.to, err = of.in.score("saw." + string(of.role) + ".strokes"); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func (in EnterScore) score() (events.Score, error) {
	given := 0
	for _, g := range []bool{in.Strokes != nil, in.None != "", in.Clear} {
		if g {
			given++
		}
	}
	if given != 1 {
		return events.Score{}, events.Invalid("strokes", "required", "give exactly one of strokes, none and clear")
	}
	return HoleEntry{Strokes: in.Strokes, None: in.None}.score("strokes")
}

// score is an entry as the card takes it. A stated number of strokes is checked
// here, because nothing stated and 0 are not the same.
func (h HoleEntry) score(field string) (events.Score, error) {
	if h.Strokes == nil {
		return events.Score{None: h.None}, nil
	}
	if *h.Strokes < 1 || *h.Strokes > card.MaxStrokes {
		return events.Score{}, events.Invalid(field, "out_of_range", fmt.Sprintf("%d strokes cannot be; enter 1 to %d", *h.Strokes, card.MaxStrokes))
	}
	return events.Score{Strokes: *h.Strokes, None: h.None}, nil
}

// EnterCard is the use case of the same name.
func (s *Service) EnterCard(ctx context.Context, r Request, cardID string, in EnterCard) (Done, error) {
	return s.onCard(ctx, r, cardID, func(k CardView) (card.Command, error) {
		out := card.EnterCard{Ball: in.Ball, By: r.by(), Confirmed: in.Confirmed, Signed: in.Signed, Receipt: receipt(), Reason: in.Reason}
		var err error
		if out.Scores, err = scoresOf("scores", in.Scores); err != nil {
			return nil, err
		}
		for i, ball := range in.Partners {
			scores, err := scoresOf(fmt.Sprintf("partners[%d]", i), ball)
			if err != nil {
				return nil, err
			}
			out.Partners = append(out.Partners, scores)
		}
		return out, nil
	})
}

func scoresOf(field string, holes []HoleEntry) ([]events.Score, error) {
	out := make([]events.Score, len(holes))
	for i, h := range holes {
		var err error
		if out[i], err = h.score(fmt.Sprintf("%s[%d].strokes", field, i)); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Certify says that player or marker stands for the scores. The committee
// certifies for both where they signed on paper.
func (s *Service) Certify(ctx context.Context, r Request, cardID string, as events.Role) (Done, error) {
	return s.onCard(ctx, r, cardID, func(CardView) (card.Command, error) {
		if r.by() == events.RoleCommittee {
			return card.Certify{By: as, Keeper: string(events.RoleCommittee)}, nil
		}
		if as != "" && as != r.Who.Role {
			return nil, events.Forbidden("forbidden", "this link certifies as "+string(r.Who.Role))
		}
		return card.Certify{By: r.Who.Role}, nil
	})
}

// Return hands the card in. The player does, or the committee for a paper card
// (Rules of Golf 3.3b(2)).
func (s *Service) Return(ctx context.Context, r Request, cardID string) (Done, error) {
	if r.Who.Role == events.RoleMarker {
		return Done{}, events.Forbidden("forbidden", "the player returns the card")
	}
	return s.onCard(ctx, r, cardID, func(CardView) (card.Command, error) { return card.Return{Receipt: receipt()}, nil })
}

// onCardAsCommittee decides on a card at any time, also after the round.
func (s *Service) onCardAsCommittee(ctx context.Context, r Request, cardID string, c card.Command) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	if _, err := s.Card(ctx, cardID); err != nil {
		return Done{}, err
	}
	return s.run(ctx, r, s.cardStep(cardID, c, r.expect()...))
}

// Reopen gives a card back.
func (s *Service) Reopen(ctx context.Context, r Request, cardID, reason string) (Done, error) {
	return s.onCardAsCommittee(ctx, r, cardID, card.Reopen{Reason: reason})
}

// Rule rules NR, RTD, WD, NS or DQ, or in_play to lift a ruling.
func (s *Service) Rule(ctx context.Context, r Request, cardID string, in RuleStatus) (Done, error) {
	return s.onCardAsCommittee(ctx, r, cardID, card.RuleStatus(in))
}

// AssignMarker names who keeps a card from now on: another entry of the group,
// or nobody but the committee. The link of the marker until now opens nothing any
// more: what it wrote would stand in the new marker's name.
func (s *Service) AssignMarker(ctx context.Context, r Request, cardID, markerEntry, reason string) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	k, err := s.Card(ctx, cardID)
	if err != nil {
		return Done{}, err
	}
	if markerEntry != "" {
		c, _, err := s.Competition(ctx, k.State.CompetitionID)
		if err != nil {
			return Done{}, err
		}
		g, _, _ := c.Group(k.State.EntryID)
		if !slices.ContainsFunc(g.Places, func(p events.GroupSlot) bool { return p.EntryID == markerEntry }) {
			refusal := events.Invalid("marker_id", "not_in_group", "a card is kept by another player of the group").WithRule("Rules of Golf 3.3b(1)")
			return unlessKnown(ctx, s, r, cards, events.CardStream(s.club, k.State.CompetitionID, cardID), refusal)
		}
	}
	return s.run(ctx, r, s.cardStep(cardID, card.AssignMarker{MarkerID: markerEntry, StartingHole: k.State.StartingHole, Reason: reason}, r.expect()...))
}

// receiptLetters leave out what is easily mistaken for something else.
const receiptLetters = "ABCDEFGHJKMNPQRTUVWXYZ2346789"

// receipt draws a short code that player and committee both see. It proves
// nothing by itself; the event behind it does.
func receipt() string {
	b := make([]byte, 6)
	_, _ = rand.Read(b) // never fails (crypto/rand)
	for i := range b {
		b[i] = receiptLetters[int(b[i])%len(receiptLetters)]
	}
	return string(b)
}
