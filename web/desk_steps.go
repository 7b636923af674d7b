package web

import (
	"context"
	"strconv"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

// deskStep is one of the steps that a competition takes, as the console draws it.
type deskStep struct {
	Name  string
	Path  string // below the competition's page
	Short string // how far it is: "24", "9 of 12 in"
	State string // done, now or later
	Here  bool
}

// deskComp is a competition as every page of the console shows it.
type deskComp struct {
	ID    string
	Seq   events.Sequence
	State *competition.State
	Cards map[string]command.CardView // by entry; empty before the round is open
	Names map[string]string           // by entry
	Steps []deskStep
	In    int // cards returned or ruled
	Done  string
}

// Base is where the competition's pages of the console lie.
func (k *deskComp) Base() string { return "/desk/competitions/" + k.ID }

// Field is who is in.
func (k *deskComp) Field() []competition.Entry { return k.State.Field() }

// Out is how many cards are still in play.
func (k *deskComp) Out() int { return len(k.Cards) - k.In }

// Is reports whether the competition has come to one of these phases.
func (k *deskComp) Is(phases ...string) bool {
	for _, p := range phases {
		if string(k.State.Phase) == p {
			return true
		}
	}
	return false
}

// deskComp reads a competition and its cards from the log, so that a page shows
// what the form before it did, whatever the read models are doing.
func (w *Web) deskComp(c echo.Context, here string) (*deskComp, error) {
	ctx, id := c.Request().Context(), c.Param("competition")
	s, seq, err := w.api.Commands.Competition(ctx, id)
	if err != nil {
		return nil, err
	}
	k := &deskComp{ID: id, Seq: seq, State: s, Done: doneWord(c)}
	if k.Names, err = w.entryNames(ctx, s); err != nil {
		return nil, err
	}
	if !k.Is("planned", "drawn") {
		if k.Cards, err = w.api.Commands.Cards(ctx, id, s, s.Round); err != nil {
			return nil, err
		}
		for _, v := range k.Cards {
			if v.State.Status() != events.StatusInPlay {
				k.In++
			}
		}
	}
	k.Steps = steps(k, here)
	return k, nil
}

// entryNames are the full names of a field, by entry.
func (w *Web) entryNames(ctx context.Context, s *competition.State) (map[string]string, error) {
	ids := make([]string, 0, len(s.Entries))
	for _, e := range s.Entries {
		ids = append(ids, e.PlayerID)
	}
	byPlayer, err := w.api.Commands.Names(ctx, ids)
	if err != nil {
		return nil, err
	}
	out := make(map[string]string, len(s.Entries))
	for id, e := range s.Entries {
		out[id] = erasedName
		if name := byPlayer[e.PlayerID]; name != "" {
			out[id] = name
		}
	}
	return out, nil
}

// phaseOrder says how far a phase is.
var phaseOrder = map[competition.Phase]int{
	competition.Planned: 0, competition.Drawn: 1, competition.Open: 2, competition.Suspended: 2, competition.Closed: 3, competition.Published: 4,
}

// steps draws what is done, what is next and what comes later.
func steps(k *deskComp, here string) []deskStep {
	s, at := k.State, phaseOrder[k.State.Phase]
	field, cards := len(s.Field()), len(k.Cards)
	out := []deskStep{
		{Name: "Terms", Path: "/terms", State: stepState(s.Terms != nil, true)},
		{Name: "Entries", Path: "/entries", Short: strconv.Itoa(field), State: stepState(field > 0 && at >= 1, s.Terms != nil)},
		{Name: "Draw", Path: "/draw", State: stepState(at >= 1, field > 0)},
		{Name: "Open", Path: "/open", State: stepState(at >= 2, at == 1)},
		{Name: "Cards", Path: "/cards", State: stepState(at >= 3 || cards > 0 && k.In == cards, at == 2)},
		{Name: "Close", Path: "/close", State: stepState(at >= 3, at == 2 && k.In == cards)},
		{Name: "Result", Path: "/result", State: stepState(at >= 4, at == 3)},
	}
	if s.Draw != nil {
		out[2].Short = count(len(s.Draw.Groups), "group", "groups")
	}
	if cards > 0 {
		out[4].Short = strconv.Itoa(k.In) + " of " + strconv.Itoa(cards) + " in"
	}
	if s.Phase == competition.Suspended {
		out[3].Short = "suspended"
	}
	for i := range out {
		out[i].Here = out[i].Path == "/"+here
	}
	return out
}

func stepState(done, possible bool) string {
	switch {
	case done:
		return "done"
	case possible:
		return "now"
	}
	return "later"
}

// Next is the first step that waits to be taken, or nothing.
func (k *deskComp) Next() *deskStep {
	for i := range k.Steps {
		if k.Steps[i].State == "now" {
			return &k.Steps[i]
		}
	}
	return nil
}
