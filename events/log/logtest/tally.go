package logtest

import (
	"fmt"
	"maps"
	"time"

	"marram.example/events"
	"marram.example/events/log"
)

// Tally is the state of the small decider: strokes by hole, and how many events
// made it.
type Tally struct {
	Strokes map[int]int
	Count   int
}

// Enter enters strokes for holes, one event each; a hole that has a score gets
// a correction.
type Enter struct {
	Holes   []int
	Strokes int // at least 1, else the decider refuses
}

// Card is the small decider.
func Card() log.Decider[*Tally, Enter] {
	return log.Decider[*Tally, Enter]{
		New:    func() *Tally { return &Tally{Strokes: make(map[int]int)} },
		Clone:  func(t *Tally) *Tally { return &Tally{Strokes: maps.Clone(t.Strokes), Count: t.Count} },
		Evolve: evolve,
		Decide: decide,
	}
}

func evolve(t *Tally, e events.Event) {
	t.Count++
	switch e := e.(type) {
	case events.HoleScored:
		t.Strokes[e.Hole] = e.Score.Strokes
	case events.HoleScoreCorrected:
		t.Strokes[e.Hole] = e.New.Strokes
	}
}

func decide(t *Tally, c Enter) ([]events.Event, error) {
	if c.Strokes < 1 {
		return nil, events.Invalid("strokes", "out_of_range", "strokes must be 1 or more")
	}
	var out []events.Event
	for _, hole := range c.Holes {
		score := events.Score{Strokes: c.Strokes}
		if old, ok := t.Strokes[hole]; ok {
			out = append(out, events.HoleScoreCorrected{Hole: hole, Old: events.Score{Strokes: old}, New: score, By: events.RolePlayer})
			continue
		}
		out = append(out, events.HoleScored{Hole: hole, Score: score, By: events.RolePlayer})
	}
	return out, nil
}

// Stream is the stream of a card of a test.
func Stream(competition string, card int) events.StreamID {
	return events.CardStream(Club, competition, fmt.Sprintf("card%d", card))
}

// Score is the step of entering strokes for one hole.
func Score(stream events.StreamID, hole, strokes int, opts ...log.StepOption) log.Step {
	return log.Do(Card(), stream, Enter{Holes: []int{hole}, Strokes: strokes}, opts...)
}

// Meta is that of a command of a player.
func Meta(commandID string) log.Meta {
	return log.Meta{
		CommandID:     commandID,
		CommandHash:   "hash of " + commandID,
		Time:          time.Date(2031, 5, 3, 8, 30, 0, 123456000, time.UTC),
		Actor:         events.Actor{Role: events.RolePlayer, ID: "entry/1 ü"},
		CorrelationID: "test",
	}
}
