package command

import (
	"context"
	"fmt"
	"math"
	"strings"
	"time"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
)

// Stroke is a stroke as a person logs it. A distance is in its unit: m, yd or ft;
// empty for m.
type Stroke struct {
	Lie        string     `json:"lie"`
	Distance   float64    `json:"distance"`
	Unit       string     `json:"unit"`
	Club       string     `json:"club"`
	Target     string     `json:"target"`
	Aim        string     `json:"aim"` // the target in the player's words
	Shape      string     `json:"shape"`
	Commitment int        `json:"commitment"`
	IntentAt   *time.Time `json:"intent_at"`
	StruckAt   *time.Time `json:"struck_at"`
	Strike     string     `json:"strike"`
	Finish     *Finish    `json:"finish"`
	Penalty    int        `json:"penalty"`
	Miss       Miss       `json:"miss"`
	GoodEnough *bool      `json:"good_enough"`
	Word       string     `json:"word"` // a word afterwards
}

// Finish is where a stroke finished: holed, or a lie and what is left.
type Finish struct {
	Holed    bool    `json:"holed"`
	Lie      string  `json:"lie"`
	Distance float64 `json:"distance"`
	Unit     string  `json:"unit"`
}

// Miss is on which side of its target a stroke finished, and by how much where that
// is known.
type Miss struct {
	Side     string  `json:"side"`
	SideBy   float64 `json:"side_by"`
	Length   string  `json:"length"`
	LengthBy float64 `json:"length_by"`
	Unit     string  `json:"unit"`
}

// RecordStroke logs one stroke.
type RecordStroke struct {
	Ball   int    `json:"ball"`
	Hole   int    `json:"hole"`
	Before string `json:"before"` // id of the stroke that it was played before; empty at the end of the hole
	Stroke
}

// LoggedStroke is a stroke of a whole hole. Without an id it is a new one.
type LoggedStroke struct {
	StrokeID string `json:"stroke_id"`
	Stroke
}

// LogHole logs all strokes of a hole, in place of what stood there.
type LogHole struct {
	Ball    int            `json:"ball"`
	Strokes []LoggedStroke `json:"strokes"`
}

// metres of a unit; 1 yd = 3 ft = 0.9144 m.
var metres = map[string]float64{"": 1, "m": 1, "yd": 0.9144, "ft": 0.3048}

// inMetres turns a distance into metres, to a tenth of a millimetre, so that a
// distance in yards or feet comes back as it was given.
func inMetres(field string, distance float64, unit string) (float64, error) {
	m, ok := metres[unit]
	if !ok {
		return 0, events.Invalid(field, "unknown", fmt.Sprintf("%q is no unit here; use m, yd or ft", unit))
	}
	return math.Round(distance*m*1e4) / 1e4, nil
}

// RecordStroke is the use case of the same name. The answer names the stroke.
func (s *Service) RecordStroke(ctx context.Context, r Request, cardID string, in RecordStroke) (Done, error) {
	id := shortID(13, "stroke", cardID, r.CommandID)
	done, err := s.onStrokes(ctx, r, cardID, func(k CardView, running bool) (card.Command, error) {
		x, err := s.stroke(ctx, k.State, in.Ball, "", in.Stroke)
		return card.RecordStroke{StrokeID: id, Ball: in.Ball, Hole: in.Hole, Before: in.Before, Stroke: x, Score: running}, err
	})
	done.ID = id
	return done, err
}

// AmendStroke replaces what was logged of a stroke.
func (s *Service) AmendStroke(ctx context.Context, r Request, cardID, strokeID string, in Stroke) (Done, error) {
	done, err := s.onStrokes(ctx, r, cardID, func(k CardView, running bool) (card.Command, error) {
		was, _ := k.State.Stroke(strokeID)
		x, err := s.stroke(ctx, k.State, was.Ball, "", in)
		return card.AmendStroke{StrokeID: strokeID, Stroke: x, Score: running}, err
	})
	done.ID = strokeID
	return done, err
}

// RemoveStroke takes a stroke off.
func (s *Service) RemoveStroke(ctx context.Context, r Request, cardID, strokeID string) (Done, error) {
	done, err := s.onStrokes(ctx, r, cardID, func(CardView, bool) (card.Command, error) { return card.RemoveStroke{StrokeID: strokeID}, nil })
	done.ID = strokeID
	return done, err
}

// LogHole is the use case of the same name.
func (s *Service) LogHole(ctx context.Context, r Request, cardID string, hole int, in LogHole) (Done, error) {
	return s.onStrokes(ctx, r, cardID, func(k CardView, running bool) (card.Command, error) {
		out := card.LogHole{Ball: in.Ball, Hole: hole, Score: running}
		for i, x := range in.Strokes {
			stroke, err := s.stroke(ctx, k.State, in.Ball, fmt.Sprintf("strokes[%d].", i), x.Stroke)
			if err != nil {
				return nil, err
			}
			id := x.StrokeID
			if id == "" {
				id = shortID(13, "stroke", cardID, r.CommandID, fmt.Sprint(i))
			} else if _, known := k.State.Stroke(id); !known {
				return nil, events.Invalid(fmt.Sprintf("strokes[%d].stroke_id", i), "unknown", "this card has no such stroke; leave the id out for a new one")
			}
			out.Strokes = append(out.Strokes, card.StrokeLine{ID: id, Stroke: stroke})
		}
		return out, nil
	})
}

// mayLog says who writes strokes: the player, or the committee for them. Strokes are
// the player's own account; the marker has nothing to do with them.
func (s *Service) mayLog(r Request, cardID string) error {
	if r.Who.Role == events.RoleMarker {
		return s.refuse(r, "the player's")
	}
	return s.mayCard(r, cardID)
}

// onStrokes decides on the strokes of a card: at any time, also from memory after
// the round. Scores follow from them while the round takes entries, and the player
// is who logs.
func (s *Service) onStrokes(ctx context.Context, r Request, cardID string, decide func(k CardView, running bool) (card.Command, error)) (Done, error) {
	if err := s.mayLog(r, cardID); err != nil {
		return Done{}, err
	}
	k, c, err := s.cardIn(ctx, cardID)
	if err != nil {
		return Done{}, err
	}
	cmd, err := decide(k, r.Who.Role == events.RolePlayer && c.Running() && k.State.Round == c.Round)
	if err != nil {
		return unlessKnown(ctx, s, r, cards, events.CardStream(s.club, k.State.CompetitionID, cardID), err)
	}
	return s.run(ctx, r, s.cardStep(cardID, cmd, r.expect()...))
}

// stroke turns what a person logged into what is stored. Words are sealed with the
// key of the ball's player.
func (s *Service) stroke(ctx context.Context, k *card.State, ball int, at string, in Stroke) (events.Stroke, error) {
	out := events.Stroke{
		Lie: in.Lie, Club: in.Club, Target: in.Target, Shape: in.Shape, Commitment: in.Commitment, Strike: in.Strike, Penalty: in.Penalty,
		GoodEnough: in.GoodEnough, Miss: events.Miss{Side: in.Miss.Side, Length: in.Miss.Length},
	}
	if in.IntentAt != nil {
		out.IntentAt = in.IntentAt.UTC()
	}
	if in.StruckAt != nil {
		out.StruckAt = in.StruckAt.UTC()
	}
	for _, d := range []struct {
		to    *float64
		field string
		value float64
		unit  string
	}{
		{&out.DistanceM, "unit", in.Distance, in.Unit},
		{&out.Miss.SideM, "miss.unit", in.Miss.SideBy, in.Miss.Unit},
		{&out.Miss.LengthM, "miss.unit", in.Miss.LengthBy, in.Miss.Unit},
	} {
		var err error
		if *d.to, err = inMetres(at+d.field, d.value, d.unit); err != nil {
			return out, err
		}
	}
	if f := in.Finish; f != nil {
		left, err := inMetres(at+"finish.unit", f.Distance, f.Unit)
		if err != nil {
			return out, err
		}
		out.Finish = &events.Finish{Holed: f.Holed, Lie: f.Lie, DistanceM: left}
	}
	words, err := wordsOf(at, in)
	if err != nil || words == (events.StrokeWords{}) {
		return out, err
	}
	owner := k.BallPlayer(ball)
	if owner == "" {
		owner = k.PlayerID // an unknown ball is refused by the decider
	}
	out.Words, err = s.seal(ctx, owner, words)
	return out, err
}

// mostWord is the longest that a word of the player's may be, in bytes.
const mostWord = 200

func wordsOf(at string, in Stroke) (events.StrokeWords, error) {
	out := events.StrokeWords{Target: strings.TrimSpace(in.Aim), After: strings.TrimSpace(in.Word)}
	if len(out.Target) > mostWord {
		return out, events.Invalid(at+"aim", "too_long", fmt.Sprintf("at most %d characters", mostWord))
	}
	if len(out.After) > mostWord {
		return out, events.Invalid(at+"word", "too_long", fmt.Sprintf("at most %d characters", mostWord))
	}
	return out, nil
}

// Interpretable says whether what interprets the strokes of a card may be shown: the
// card is returned, its round is over, or it is practice. Else it is withheld.
func Interpretable(k *card.State, c *competition.State) error {
	if k.Returned || k.Practice || k.Round < c.Round || !c.Running() && c.Begun() {
		return nil
	}
	return events.NotNow("card_id", "withheld", "what interprets the strokes of this round is shown once the card is returned").
		WithRule("Rules of Golf 4.3a")
}
