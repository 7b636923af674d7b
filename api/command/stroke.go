package command

import (
	"context"
	"errors"
	"fmt"
	"math"
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

// inMetres keeps a distance in metres, to a tenth of a millimetre, so that one in
// yards or feet comes back as it was given.
func inMetres(to *float64, field string, distance float64, unit string) error {
	m, ok := metres[unit]
	if !ok {
		return events.Invalid(field, "unknown", fmt.Sprintf("%q is no unit here; use m, yd or ft", unit))
	}
	*to = math.Round(distance*m*1e4) / 1e4
	return nil
}

// HoleScored is a score that followed from the strokes of a hole.
type HoleScored struct {
	Hole    int `json:"hole"`
	Ball    int `json:"ball"`
	Strokes int `json:"strokes"` // penalty strokes included
}

// HoleDiffers is a hole whose strokes add up to another score than the card has.
// Nothing was changed: the player settles it.
type HoleDiffers struct {
	Hole    int          `json:"hole"`
	Ball    int          `json:"ball"`
	Strokes int          `json:"strokes"` // what the logged strokes say, penalty strokes included
	Card    events.Score `json:"card"`    // see ScoreBeside
}

// RecordStroke is the use case of the same name. The answer names the stroke.
func (s *Service) RecordStroke(ctx context.Context, r Request, cardID string, in RecordStroke) (Done, error) {
	id := shortID(13, "stroke", cardID, r.CommandID)
	done, err := s.onStrokes(ctx, r, cardID, func(k CardView, running bool) (card.Command, place, error) {
		x, err := s.stroke(ctx, r, k.State, in.Ball, nil, "", in.Stroke)
		return card.RecordStroke{StrokeID: id, Ball: in.Ball, Hole: in.Hole, Before: in.Before, Stroke: x, Score: running}, place{in.Ball, in.Hole}, err
	})
	done.ID = id
	return done, ofStroke(err)
}

// AmendStroke replaces what was logged of a stroke.
func (s *Service) AmendStroke(ctx context.Context, r Request, cardID, strokeID string, in Stroke) (Done, error) {
	done, err := s.onStrokes(ctx, r, cardID, func(k CardView, running bool) (card.Command, place, error) {
		was, known := k.State.Stroke(strokeID)
		if !known {
			return nil, place{}, noSuchStroke()
		}
		x, err := s.stroke(ctx, r, k.State, was.Ball, was.Words, "", in)
		return card.AmendStroke{StrokeID: strokeID, Stroke: x, Score: running}, place{was.Ball, was.Hole}, err
	})
	done.ID = strokeID
	return done, ofStroke(err)
}

// RemoveStroke takes a stroke off.
func (s *Service) RemoveStroke(ctx context.Context, r Request, cardID, strokeID string) (Done, error) {
	done, err := s.onStrokes(ctx, r, cardID, func(k CardView, _ bool) (card.Command, place, error) {
		was, known := k.State.Stroke(strokeID)
		if !known {
			return nil, place{}, noSuchStroke()
		}
		return card.RemoveStroke{StrokeID: strokeID}, place{was.Ball, was.Hole}, nil
	})
	done.ID = strokeID
	return done, err
}

func noSuchStroke() error { return events.NotFound("stroke_id", "this card has no such stroke") }

// LogHole is the use case of the same name.
func (s *Service) LogHole(ctx context.Context, r Request, cardID string, hole int, in LogHole) (Done, error) {
	return s.onStrokes(ctx, r, cardID, func(k CardView, running bool) (card.Command, place, error) {
		out := card.LogHole{Ball: in.Ball, Hole: hole, Score: running}
		on := place{in.Ball, hole}
		if len(in.Strokes) > card.MostStrokes {
			return nil, on, events.Invalid("strokes", "too_many", fmt.Sprintf("a hole holds at most %d strokes of one ball", card.MostStrokes))
		}
		for i, x := range in.Strokes {
			at := fmt.Sprintf("strokes[%d].", i)
			id := x.StrokeID
			was, known := k.State.Stroke(id)
			switch {
			case id == "":
				id = shortID(13, "stroke", cardID, r.CommandID, fmt.Sprint(i))
			case !known:
				return nil, on, events.Invalid(at+"stroke_id", "unknown", "this card has no such stroke; leave the id out for a new one")
			}
			stroke, err := s.stroke(ctx, r, k.State, in.Ball, was.Words, at, x.Stroke)
			if err != nil {
				return nil, on, err
			}
			out.Strokes = append(out.Strokes, card.StrokeLine{ID: id, Stroke: stroke})
		}
		return out, on, nil
	})
}

// place is a hole of a ball.
type place struct{ ball, hole int }

// ofStroke names the field of a refusal as a request does that is about one stroke.
func ofStroke(err error) error {
	if e := events.AsError(err); e != nil && e.Field == "strokes" {
		return e.WithField("hole")
	}
	return err
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
func (s *Service) onStrokes(
	ctx context.Context, r Request, cardID string, decide func(k CardView, running bool) (card.Command, place, error),
) (Done, error) {
	if err := s.mayLog(r, cardID); err != nil {
		return Done{}, err
	}
	k, c, err := s.cardIn(ctx, cardID)
	if err != nil {
		return Done{}, err
	}
	cmd, on, err := decide(k, follows(r, k.State, c))
	if err != nil {
		return unlessKnown(ctx, s, r, cards, events.CardStream(s.club, k.State.CompetitionID, cardID), err)
	}
	done, stored, err := s.runAll(ctx, r, s.cardStep(cardID, cmd, r.expect()...))
	if err != nil || r.Who.Role != events.RolePlayer {
		return done, err // what strokes add up to is the player's to know
	}
	for _, e := range stored {
		if x, ok := e.(events.HoleScored); ok {
			done.Scored = &HoleScored{Hole: x.Hole, Ball: x.Ball, Strokes: x.Score.Strokes}
		}
	}
	k, err = s.Card(ctx, cardID)
	done.Differs = differs(k.State, on)
	return done, err
}

// follows reports whether scores follow from strokes that somebody logs now.
func follows(r Request, k *card.State, c *competition.State) bool {
	return r.Who.Role == events.RolePlayer && c.Running() && k.Round == c.Round
}

// differs is what a hole's strokes and its score say where they disagree; else nil.
func differs(k *card.State, on place) *HoleDiffers {
	if k == nil || !k.StrokesDiffer(on.ball, on.hole) {
		return nil
	}
	n, _ := k.StrokesScore(on.ball, on.hole)
	i, _ := k.Line(on.hole)
	return &HoleDiffers{Hole: on.hole, Ball: on.ball, Strokes: n, Card: ScoreBeside(k.Lines(on.ball)[i])}
}

// ScoreBeside is the score of a hole that its strokes are held against: what the
// player entered; where that is nothing, or the committee settled the hole, what counts.
func ScoreBeside(h card.HoleLine) events.Score {
	if !h.Player.Entered() || h.Committee.Entered() {
		return h.Counting()
	}
	return h.Player
}

// stroke turns what a person logged into what is stored. Words are sealed with the
// key of the ball's player; was are those that the stroke has now, and stay where
// they say the same. The committee cannot read words and takes none away.
func (s *Service) stroke(ctx context.Context, r Request, k *card.State, ball int, was []byte, at string, in Stroke) (events.Stroke, error) {
	out := events.Stroke{
		Lie: in.Lie, Club: in.Club, Target: in.Target, Shape: in.Shape, Commitment: in.Commitment, Strike: in.Strike, Penalty: in.Penalty,
		GoodEnough: in.GoodEnough, Miss: events.Miss{Side: in.Miss.Side, Length: in.Miss.Length},
	}
	if err := errors.Join(
		deviceTime(&out.IntentAt, at+"intent_at", in.IntentAt), deviceTime(&out.StruckAt, at+"struck_at", in.StruckAt),
		inMetres(&out.DistanceM, at+"unit", in.Distance, in.Unit),
		inMetres(&out.Miss.SideM, at+"miss.unit", in.Miss.SideBy, in.Miss.Unit), inMetres(&out.Miss.LengthM, at+"miss.unit", in.Miss.LengthBy, in.Miss.Unit),
	); err != nil {
		return out, err
	}
	if f := in.Finish; f != nil {
		out.Finish = &events.Finish{Holed: f.Holed, Lie: f.Lie}
		if err := inMetres(&out.Finish.DistanceM, at+"finish.unit", f.Distance, f.Unit); err != nil {
			return out, err
		}
	}
	said, err := wordsOf(at, in)
	if err != nil {
		return out, err
	}
	out.Words, err = s.sealWords(ctx, r, ballOwner(k, ball), was, at, said)
	return out, err
}

// ballOwner is with whose key the words about a ball are sealed.
func ballOwner(k *card.State, ball int) string {
	if owner := k.BallPlayer(ball); owner != "" {
		return owner
	}
	return k.PlayerID // an unknown ball is refused by the decider
}

func (s *Service) sealWords(ctx context.Context, r Request, owner string, was []byte, at string, said events.StrokeWords) ([]byte, error) {
	if said == (events.StrokeWords{}) {
		if r.by() == events.RoleCommittee {
			return was, nil
		}
		return nil, nil
	}
	if len(was) > 0 {
		stands, err := opened[events.StrokeWords](ctx, s, owner, was)
		if err != nil {
			return nil, err
		}
		if stands == said {
			return was, nil
		}
	}
	field := at + "aim"
	if said.Target == "" {
		field = at + "word"
	}
	sealed, err := s.sealFor(ctx, owner, said)
	if e := events.AsError(err); e != nil {
		err = e.WithField(field)
	}
	return sealed, err
}

// MostWord is the longest that a word of the player's about a stroke may be, in
// characters.
const MostWord = 200

func wordsOf(at string, in Stroke) (out events.StrokeWords, err error) {
	if out.Target, err = tidy(at+"aim", in.Aim, MostWord, false); err != nil {
		return out, err
	}
	out.After, err = tidy(at+"word", in.Word, MostWord, false)
	return out, err
}

// The years between which the clock of a device can be right.
const firstYear, lastYear = 2000, 2200

// deviceTime keeps what the clock of a device said.
func deviceTime(to *time.Time, field string, said *time.Time) error {
	if said == nil || said.IsZero() {
		return nil
	}
	if *to = said.UTC(); to.Year() < firstYear || to.Year() > lastYear {
		return events.Invalid(field, "out_of_range", fmt.Sprintf("a time lies between the years %d and %d", firstYear, lastYear))
	}
	return nil
}

// Logged is what was logged of a ball on a hole, in metres and with its words opened;
// those that were erased are empty.
func (s *Service) Logged(ctx context.Context, k *card.State, ball, hole int) ([]LoggedStroke, error) {
	owner := ballOwner(k, ball)
	key, err := s.keyOf(ctx, owner)
	erased := errors.Is(err, ErrErased)
	if err != nil && !erased {
		return nil, err
	}
	out := []LoggedStroke{}
	for _, x := range k.StrokesOn(ball, hole) {
		said := events.StrokeWords{}
		if len(x.Words) > 0 && !erased {
			if said, err = openWith[events.StrokeWords](key, owner, x.Words); err != nil {
				return nil, err
			}
		}
		out = append(out, LoggedStroke{StrokeID: x.ID, Stroke: asLogged(x.Stroke, said)})
	}
	return out, nil
}

// asLogged is stroke, backwards.
func asLogged(x events.Stroke, said events.StrokeWords) Stroke {
	out := Stroke{
		Lie: x.Lie, Distance: x.DistanceM, Unit: "m", Club: x.Club, Target: x.Target, Aim: said.Target, Shape: x.Shape, Commitment: x.Commitment,
		IntentAt: orNil(x.IntentAt), StruckAt: orNil(x.StruckAt), Strike: x.Strike, Penalty: x.Penalty, GoodEnough: x.GoodEnough, Word: said.After,
		Miss: Miss{Side: x.Miss.Side, SideBy: x.Miss.SideM, Length: x.Miss.Length, LengthBy: x.Miss.LengthM, Unit: "m"},
	}
	if f := x.Finish; f != nil {
		out.Finish = &Finish{Holed: f.Holed, Lie: f.Lie, Distance: f.DistanceM, Unit: "m"}
	}
	return out
}

func orNil(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	return &t
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
