// Package breakdown opens a figure: the holes, strokes received, allowance,
// rule and events that a card's totals, or the state of a match, came from. It is
// pure; the page and the API show the same value.
package breakdown

import (
	"time"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
	"marram.example/projections/standing"
)

// Breakdown is everything behind the figures of one card. Tee, sums and holes are
// those of the card's first ball, which for most cards is its only one; totals are
// of the entry. Recomputed holds for every ball.
type Breakdown struct {
	CardID        string          `json:"card_id"`
	CompetitionID string          `json:"competition_id"`
	Round         int             `json:"round"`
	EntryID       string          `json:"entry_id"`
	PlayerID      string          `json:"player_id"`
	Tee           string          `json:"tee"`
	Format        string          `json:"format"`
	FormatRule    string          `json:"format_rule"`
	Status        string          `json:"status"`
	StatusReason  string          `json:"status_reason,omitempty"`
	Sequence      events.Sequence `json:"sequence"` // of the card's stream, as counted here
	Sums
	Maximum *events.Maximum `json:"maximum"` // of a hole, in maximum score
	Side    *Side           `json:"side"`    // null for one player
	Balls   []Ball          `json:"balls"`   // of a side whose players play one each; else empty
	Holes   []Hole          `json:"holes"`
	Totals
	Penalties   []Penalty            `json:"penalties"`
	Rounds      []Round              `json:"rounds"`       // of a competition over several rounds
	RoundsTotal handicap.Explanation `json:"rounds_total"` // how they add up
	Cut         *Cut                 `json:"cut"`          // once one was made
	Countbacks  []events.Countback   `json:"countbacks"`   // in which this entry took part, as published
	Ties        []competition.Tie    `json:"ties"`         // settled by lot or play-off, in which it took part
	Positions   map[string]string    `json:"positions"`    // as published, by ranking
	Events      []EventLine          `json:"events"`
}

// Penalty is strokes that count beside what was entered, with their grounds.
type Penalty struct {
	card.Penalty
	Words string `json:"words"`
}

// EventLine is one event in words.
type EventLine struct {
	Position   events.Position `json:"position"`
	Sequence   events.Sequence `json:"sequence"`
	ID         string          `json:"id"`
	Type       string          `json:"type"`
	Time       time.Time       `json:"time"`
	RecordedAt *time.Time      `json:"recorded_at"` // the device's clock, where it said
	Role       events.Role     `json:"role"`
	Words      string          `json:"words"`
}

// Of opens a card from the events of its stream. comp is the competition it was
// played in; others are the entry's cards of other rounds, scored. It fails where
// the events are not those of a card.
func Of(cardID string, comp *competition.State, recorded []events.Recorded, others ...*standing.Scored) (Breakdown, error) {
	out := Breakdown{CardID: cardID}
	c, at := out.fold(recorded)
	if !c.Exists() {
		return Breakdown{}, events.NotFound("card_id", "no such card")
	}
	scored, err := standing.Score(cardID, out.Sequence, c)
	if err != nil {
		return Breakdown{}, err
	}
	format, err := scoring.FormatByName(c.Format)
	if err != nil {
		return Breakdown{}, err
	}
	out.CompetitionID, out.Round, out.EntryID, out.PlayerID, out.Tee = c.CompetitionID, c.Round, c.EntryID, c.PlayerID, c.Tee
	out.Format, out.FormatRule, out.Status, out.StatusReason = c.Format, format.Rule, c.Status(), c.RuledReason
	out.Maximum = maximumOf(c.Maximum)
	out.balls(comp, c, &scored, format, at)
	out.Totals = totalsOf(&scored.Net, &scored.Gross)
	for _, p := range c.Penalties {
		out.Penalties = append(out.Penalties, Penalty{Penalty: p, Words: penaltyWords(p, c.Balls(), format.Unit)})
	}
	out.published(comp)
	return out, out.rounds(comp, allRounds(&scored, others))
}

// fold replays the card and words its events, all but those about strokes: they
// explain no figure, and are the player's alone.
func (b *Breakdown) fold(recorded []events.Recorded) (*card.State, map[ballHole][]events.Position) {
	c, at := card.New(), map[ballHole][]events.Position{}
	b.Events, b.Penalties = make([]EventLine, 0, len(recorded)), []Penalty{}
	for _, r := range recorded {
		b.Sequence = r.Sequence
		if events.AboutStrokes(r.Event) {
			continue
		}
		where, ok := about(c, r.Event)
		card.Evolve(c, r.Event)
		b.Events = append(b.Events, lineOf(r, wordsOn(r.Event, c.Balls())))
		if ok {
			at[where] = append(at[where], r.Position)
		}
	}
	return c, at
}

// balls opens the card's balls, and the side that they belong to.
func (b *Breakdown) balls(comp *competition.State, c *card.State, s *standing.Scored, format scoring.Format, at map[ballHole][]events.Position) {
	leaveOut := comp.Terms != nil && comp.Terms.LeaveOutPar
	why := excludedIn(comp, c.Round)
	first := s.Net
	if len(s.Net.Balls) > 0 {
		first = s.Net.Balls[0]
	}
	b.Sums = sumsOf(c.Figures, layout(c.Holes), leaveOut)
	b.Holes = holes(c, 0, first, format, at, why)
	b.Side, b.Balls = sideOf(c, &s.Net), balls(c, s, format, leaveOut, at, why)
	for _, x := range b.Balls {
		b.Recomputed = b.Recomputed && x.Recomputed
	}
}

// allRounds are the cards of an entry in the order of their rounds.
func allRounds(own *standing.Scored, others []*standing.Scored) standing.Rounds {
	cards := standing.Cards{}
	cards.Put("", own.Card.Round, own)
	for _, s := range others {
		if s != nil && s.Card.Round != own.Card.Round {
			cards.Put("", s.Card.Round, s)
		}
	}
	return cards[""]
}

// published adds what the result said about this card.
func (b *Breakdown) published(comp *competition.State) {
	b.Positions, b.Countbacks, b.Ties = map[string]string{}, []events.Countback{}, tiesOf(comp.Ties, b.EntryID)
	if comp.Result == nil {
		return
	}
	for _, row := range comp.Result.Rows {
		if row.EntryID == b.EntryID {
			b.Positions = row.Positions
		}
	}
	for _, c := range comp.Result.Countbacks {
		for _, k := range c.Cards {
			if k.EntryID == b.EntryID {
				b.Countbacks = append(b.Countbacks, c)
				break
			}
		}
	}
}
