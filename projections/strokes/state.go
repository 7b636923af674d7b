package strokes

import (
	"encoding/json"

	"marram.example/events"
	"marram.example/events/card"
)

// State is a card with what the analysis needs of it. It folds as the card does; its
// JSON is packed, and holds no more.
type State struct{ card card.State }

func newState() *State { return &State{card: *card.New()} }

// evolve leaves the words of a stroke behind: they are the player's to read, on the
// card alone.
func evolve(s *State, e events.Event) {
	switch x := e.(type) {
	case events.StrokeRecorded:
		x.Words = nil
		e = x
	case events.StrokeAmended:
		x.Words = nil
		e = x
	}
	card.Evolve(&s.card, e)
}

// MarshalJSON writes the packed form.
func (s State) MarshalJSON() ([]byte, error) { return json.Marshal(pack(&s.card)) }

// UnmarshalJSON reads the packed form.
func (s *State) UnmarshalJSON(text []byte) error {
	var p packed
	if err := json.Unmarshal(text, &p); err != nil {
		return err
	}
	s.card = p.unpack()
	return nil
}

// packed is a card in few bytes.
type packed struct {
	Competition string    `json:"competition"`
	Round       int       `json:"round"`
	Entry       string    `json:"entry"`
	Course      string    `json:"course"`
	Start       int       `json:"start"` // hole
	Date        string    `json:"date,omitempty"`
	Practice    bool      `json:"practice,omitempty"`
	Returned    bool      `json:"returned,omitempty"`
	Together    []string  `json:"together,omitempty"` // players of the one ball of a side
	Balls       []ball    `json:"balls"`
	Penalties   []penalty `json:"penalties,omitempty"`
	Strokes     lines     `json:"strokes,omitempty"` // by ball and hole, in order of play
}

type ball struct {
	Player   string     `json:"player"`
	Tee      string     `json:"tee"`
	Rating   int        `json:"rating"`   // tenths
	Handicap [2]int64   `json:"handicap"` // exact course handicap: numerator and denominator
	Holes    []holeText `json:"holes"`
}

type penalty struct {
	ID      string `json:"id"`
	Ball    int    `json:"ball,omitempty"`
	Hole    int    `json:"hole,omitempty"`
	Strokes int    `json:"strokes"`
}

func pack(k *card.State) packed {
	p := packed{
		Competition: k.CompetitionID, Round: k.Round, Entry: k.EntryID, Course: k.CourseID, Start: k.StartingHole, Date: k.Date, Practice: k.Practice, Returned: k.Returned,
	}
	for _, s := range k.Figures.Shares {
		p.Together = append(p.Together, s.PlayerID)
	}
	for b := range k.Balls() {
		f := k.BallFigures(b)
		out := ball{Player: k.BallPlayer(b), Tee: k.BallTee(b), Rating: f.CourseRatingTenths, Handicap: [2]int64{f.CourseHandicapNum, f.CourseHandicapDen}}
		for _, h := range k.Lines(b) {
			out.Holes = append(out.Holes, holeText(h))
		}
		p.Balls = append(p.Balls, out)
	}
	for _, x := range k.Penalties {
		p.Penalties = append(p.Penalties, penalty{ID: x.ID, Ball: x.Ball, Hole: x.Hole, Strokes: x.Strokes})
	}
	p.Strokes = k.Strokes
	return p
}

func (p packed) unpack() card.State {
	k := card.State{
		CompetitionID: p.Competition, Round: p.Round, EntryID: p.Entry, CourseID: p.Course, StartingHole: p.Start, Date: p.Date, Practice: p.Practice, Returned: p.Returned,
	}
	for i, b := range p.Balls {
		lines := make([]card.HoleLine, len(b.Holes))
		for n, h := range b.Holes {
			lines[n] = card.HoleLine(h)
		}
		f := events.Figures{CourseRatingTenths: b.Rating, CourseHandicapNum: b.Handicap[0], CourseHandicapDen: b.Handicap[1]}
		if i == 0 {
			k.PlayerID, k.Tee, k.Figures, k.Holes = b.Player, b.Tee, f, lines
			continue
		}
		k.Partners = append(k.Partners, card.PartnerBall{PlayerID: b.Player, Tee: b.Tee, Figures: f, Holes: lines})
	}
	for _, id := range p.Together {
		k.Figures.Shares = append(k.Figures.Shares, events.Share{PlayerID: id})
	}
	for _, x := range p.Penalties {
		k.Penalties = append(k.Penalties, card.Penalty{ID: x.ID, Ball: x.Ball, Hole: x.Hole, Strokes: x.Strokes})
	}
	k.Strokes = p.Strokes
	return k
}
