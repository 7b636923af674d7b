package boardtest

import (
	"fmt"
	"time"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
)

// ClubName is the club of every event here.
const ClubName = "thrumsay"

// Club records what the deciders decide. It is for one goroutine.
type Club struct {
	Log       *Log
	sequences map[events.StreamID]events.Sequence
	now       time.Time
}

// NewClub returns a club with an empty log.
func NewClub() *Club {
	return &Club{
		Log: NewLog(), sequences: map[events.StreamID]events.Sequence{},
		now: time.Date(2025, 6, 14, 7, 0, 0, 0, time.UTC),
	}
}

// Record appends events to the log and returns the last position.
func (c *Club) Record(stream events.StreamID, es ...events.Event) events.Position {
	at := c.Log.Last()
	batch := make([]events.Recorded, len(es))
	for i, e := range es {
		at++
		c.sequences[stream]++
		c.now = c.now.Add(time.Second)
		batch[i] = events.Recorded{
			Envelope: events.Envelope{
				ID: fmt.Sprintf("event-%d", at), Type: e.EventType(), Source: stream.Club, Subject: stream.ID, Time: c.now,
				Sequence: c.sequences[stream], Last: i == len(es)-1,
			},
			Stream: stream, Position: at, Event: e,
		}
	}
	c.Log.Append(batch...)
	return at
}

// Player registers somebody; the details are of no use to anybody.
func (c *Club) Player(id string) {
	c.Record(events.PlayerStream(ClubName, id), events.PlayerRegistered{MemberNo: id})
}

// Competition is one competition that is being played.
type Competition struct {
	ID    string
	Club  *Club
	State *competition.State
	Cards map[string]*card.State // by card id; the card of entry "e7" is "e7-card"
	Terms events.Terms
}

// Do decides a command of the competition and records what it decides.
func (c *Competition) Do(cmd competition.Command) error {
	es, err := competition.Decide(c.State, cmd)
	if err != nil || len(es) == 0 {
		return err
	}
	for _, e := range es {
		competition.Evolve(c.State, e)
	}
	c.Club.Record(events.CompetitionStream(ClubName, c.ID), es...)
	return nil
}

// CardID is the card of an entry.
func CardID(entryID string) string { return entryID + "-card" }

// DoCard decides a command of an entry's card and records what it decides.
func (c *Competition) DoCard(entryID string, cmd card.Command) error {
	id := CardID(entryID)
	s := c.Cards[id]
	if s == nil {
		s = card.New()
	}
	es, err := card.Decide(s, cmd)
	if err != nil || len(es) == 0 {
		return err
	}
	for _, e := range es {
		card.Evolve(s, e)
	}
	c.Cards[id] = s
	c.Club.Record(events.CardStream(ClubName, c.ID, id), es...)
	return nil
}

// Score enters strokes for a hole as the marker, confirmed.
func (c *Competition) Score(entryID string, hole, strokes int) error {
	return c.DoCard(entryID, card.EnterScore{Hole: hole, Score: events.Score{Strokes: strokes}, By: events.RoleMarker, Confirmed: true})
}
