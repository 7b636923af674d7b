// Package breakdown opens a figure: the holes, strokes received, allowance,
// rule and events that a card's totals came from. It is pure; the page and the
// API show the same value.
package breakdown

import (
	"fmt"
	"time"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
	"marram.example/projections/standing"
)

// Breakdown is everything behind the figures of one card.
type Breakdown struct {
	CardID        string               `json:"card_id"`
	CompetitionID string               `json:"competition_id"`
	EntryID       string               `json:"entry_id"`
	PlayerID      string               `json:"player_id"`
	Tee           string               `json:"tee"`
	Format        string               `json:"format"`
	FormatRule    string               `json:"format_rule"`
	Status        string               `json:"status"`
	StatusReason  string               `json:"status_reason,omitempty"`
	Sequence      events.Sequence      `json:"sequence"` // of the card's stream, as counted here
	Figures       events.Figures       `json:"figures"`
	Handicap      handicap.Explanation `json:"handicap"`   // from index to playing handicap
	Strokes       handicap.Explanation `json:"strokes"`    // how strokes fall on holes
	Recomputed    bool                 `json:"recomputed"` // the sum done again gives the figures on the card
	Holes         []Hole               `json:"holes"`
	Gross         *int                 `json:"gross"`       // strokes; null where a hole has none
	Net           *int                 `json:"net"`         // strokes
	Points        *int                 `json:"points"`      // Stableford only
	Total         handicap.Explanation `json:"total"`       // how the total that ranks adds up
	GrossTotal    handicap.Explanation `json:"gross_total"` // the same without strokes received
	Countbacks    []events.Countback   `json:"countbacks"`  // in which this card took part, as published
	Positions     map[string]string    `json:"positions"`   // as published, by ranking
	Events        []EventLine          `json:"events"`
}

// Hole is one hole with who entered what and what it comes to.
type Hole struct {
	Number      int               `json:"number"`
	Par         int               `json:"par"`
	StrokeIndex int               `json:"stroke_index"`
	Received    int               `json:"received"`
	Counting    events.Score      `json:"counting"`
	CountingBy  events.Role       `json:"counting_by,omitempty"`
	Player      events.Score      `json:"player"`
	Marker      events.Score      `json:"marker"`
	Committee   events.Score      `json:"committee"`
	Differs     bool              `json:"differs"`
	Net         *int              `json:"net"`
	Points      *int              `json:"points"`
	ToPar       *int              `json:"gross_to_par"`
	Sum         handicap.Line     `json:"sum"`
	Positions   []events.Position `json:"positions"` // of the events about this hole
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
// played in. It fails where the events are not those of a card.
func Of(cardID string, comp *competition.State, recorded []events.Recorded) (Breakdown, error) {
	c := card.New()
	out := Breakdown{CardID: cardID, Events: make([]EventLine, 0, len(recorded))}
	byHole := map[int][]events.Position{}
	for _, r := range recorded {
		card.Evolve(c, r.Event)
		out.Sequence = r.Sequence
		out.Events = append(out.Events, lineOf(r))
		if hole := holeOf(r.Event); hole > 0 {
			byHole[hole] = append(byHole[hole], r.Position)
		}
	}
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
	out.CompetitionID, out.EntryID, out.PlayerID, out.Tee = c.CompetitionID, c.EntryID, c.PlayerID, c.Tee
	out.Format, out.FormatRule, out.Status, out.StatusReason, out.Figures = c.Format, format.Rule, c.Status(), c.RuledReason, c.Figures
	if err := out.sums(c, comp); err != nil {
		return Breakdown{}, err
	}
	out.Holes = holes(c, scored.Net, format, byHole)
	out.totals(scored, format)
	out.published(comp)
	return out, nil
}

// sums explains the handicap figures and does them again.
func (b *Breakdown) sums(c *card.State, comp *competition.State) error {
	f := c.Figures
	leaveOut := handicap.WithRatingLessPar
	if comp.Terms != nil && comp.Terms.LeaveOutPar {
		leaveOut = handicap.WithoutRatingLessPar
	}
	if f.IndexUsedTenths != f.IndexTenths {
		b.Handicap = append(b.Handicap, handicap.Line{
			Label:      "Highest index that counts",
			Arithmetic: fmt.Sprintf("%s, above the competition's maximum, counts as %s", handicap.Index(f.IndexTenths), handicap.Index(f.IndexUsedTenths)),
			Rule:       "terms of the competition",
		})
	}
	ch, lines, err := handicap.CourseHandicap(len(c.Holes), handicap.Index(f.IndexUsedTenths), handicap.Slope(f.SlopeRating),
		handicap.Rating(f.CourseRatingTenths), f.Par, leaveOut)
	if err != nil {
		return err
	}
	b.Handicap = append(b.Handicap, lines...)
	ph, lines, err := handicap.PlayingHandicap(ch, handicap.Percent(f.AllowancePercent), f.ParDifference)
	if err != nil {
		return err
	}
	b.Handicap = append(b.Handicap, lines...)
	b.Recomputed = int(ph) == f.PlayingHandicap && ch.Rounded() == f.CourseHandicap
	index := make([]int, len(c.Holes))
	for i, h := range c.Holes {
		index[i] = h.StrokeIndex
	}
	b.Strokes, err = handicap.ExplainStrokes(handicap.Playing(f.PlayingHandicap), index)
	return err
}

func holes(c *card.State, net scoring.Result, format scoring.Format, byHole map[int][]events.Position) []Hole {
	out := make([]Hole, len(c.Holes))
	for i, h := range c.Holes {
		r := net.Holes[i]
		x := Hole{
			Number: h.Number, Par: h.Par, StrokeIndex: h.StrokeIndex, Received: h.Received, Counting: h.Counting(),
			Player: h.Player, Marker: h.Marker, Committee: h.Committee, Differs: h.Differs(), Positions: byHole[h.Number],
		}
		if x.Counting.Entered() {
			x.CountingBy = h.CountingBy()
			x.Sum = format.ExplainHole(r)
			points := r.Points
			x.Points = &points
		}
		if r.Score.State == scoring.Holed {
			n, p := r.Net, r.GrossToPar
			x.Net, x.ToPar = &n, &p
		}
		out[i] = x
	}
	return out
}

func (b *Breakdown) totals(s standing.Scored, format scoring.Format) {
	b.Total, b.GrossTotal = format.ExplainTotal(s.Net), format.ExplainTotal(s.Gross)
	if s.Net.Total.Scored == s.Net.Total.Holes {
		gross, net := s.Net.Total.Gross, s.Net.Total.Net
		b.Gross, b.Net = &gross, &net
	}
	if format.Name == scoring.Stableford().Name {
		points := s.Net.Total.Points
		b.Points = &points
	}
}

// published adds what the result said about this card.
func (b *Breakdown) published(comp *competition.State) {
	b.Positions, b.Countbacks = map[string]string{}, []events.Countback{}
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
