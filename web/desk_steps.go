package web

import (
	"context"
	"fmt"
	"strconv"
	"strings"

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
	Round int // to be drawn next, where a round was closed; else 0
}

// deskComp is a competition as every page of the console shows it.
type deskComp struct {
	ID      string
	Seq     events.Sequence
	State   *competition.State
	Shown   int                         // round that the page is about
	Cards   map[string]command.CardView // of that round, by entry; empty before it is open
	Matches []command.MatchView         // of that round, in the order of the sheet
	Names   map[string]string           // by entry: of a side everybody in it
	People  map[string]string           // by player
	Steps   []deskStep
	In      int // cards returned or ruled, matches over
	Done    string
}

// Base is where the competition's pages of the console lie.
func (k *deskComp) Base() string { return "/desk/competitions/" + k.ID }

// Field is who is in.
func (k *deskComp) Field() []competition.Entry { return k.State.Field() }

// Issued is how many cards or matches the round has.
func (k *deskComp) Issued() int { return len(k.Cards) + len(k.Matches) }

// Out is how many of them are still in play.
func (k *deskComp) Out() int { return k.Issued() - k.In }

// Terms are those of the round that the page is about; nil before they are set.
func (k *deskComp) Terms() *events.Terms {
	if k.State.Terms == nil {
		return nil
	}
	t := k.State.Terms.Round(max(1, k.Shown))
	return &t
}

// Sides reports whether an entry is a pair or a team.
func (k *deskComp) Sides() bool { return k.State.Terms != nil && k.State.Terms.Players() > 1 }

// Entrants counts entries in words: players, pairs or teams.
func (k *deskComp) Entrants(n int) string {
	return entrants(k.State.Terms, n)
}

// entrants counts entries under terms in words; players before there are any.
func entrants(t *events.Terms, n int) string {
	switch {
	case t == nil || t.Players() < 2:
		return count(n, "player", "players")
	case t.Players() == 2:
		return count(n, "pair", "pairs")
	default:
		return count(n, "team", "teams")
	}
}

// Several reports whether there is more than one round.
func (k *deskComp) Several() bool { return k.State.Terms != nil && k.State.LastRound() > 1 }

// Present reports whether the page is about the round of now.
func (k *deskComp) Present() bool { return k.Shown == k.State.Round }

// RoundQuery is the part of an address that asks for the round that is shown, led by
// "?" or "&"; nothing for the round of now.
func (k *deskComp) RoundQuery(lead string) string {
	if k.Present() {
		return ""
	}
	return lead + "round=" + strconv.Itoa(k.Shown)
}

// RoundsOut lists the rounds whose cards or matches can be looked at, the latest
// last; nothing where there is one alone.
func (k *deskComp) RoundsOut() []int {
	last := k.State.Round
	if !k.State.CardsOut() {
		last--
	}
	var out []int
	for n := 1; n <= last && last > 1; n++ {
		out = append(out, n)
	}
	return out
}

// RoundWords say where a competition of several rounds is: "round 2 of 3".
func (k *deskComp) RoundWords() string {
	if !k.Several() {
		return ""
	}
	if k.State.Phase == competition.Between {
		return fmt.Sprintf("between rounds %d and %d of %d", k.State.Round, k.State.Next(), k.State.LastRound())
	}
	return fmt.Sprintf("round %d of %d", k.State.Round, k.State.LastRound())
}

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
// what the form before it did, whatever the read models are doing. The address may
// ask for an earlier round.
func (w *Web) deskComp(c echo.Context, here string) (*deskComp, error) {
	round, err := strconv.Atoi(c.QueryParam("round"))
	if err != nil {
		round = 0
	}
	return w.deskCompAt(c, here, round)
}

// deskCompAt is deskComp for a round; 0 is the one of now.
func (w *Web) deskCompAt(c echo.Context, here string, round int) (*deskComp, error) {
	ctx, id := c.Request().Context(), c.Param("competition")
	s, seq, err := w.api.Commands.Competition(ctx, id)
	if err != nil {
		return nil, err
	}
	k := &deskComp{ID: id, Seq: seq, State: s, Shown: s.Round, Done: doneWord(c)}
	if k.Names, k.People, err = w.entryNames(ctx, s); err != nil {
		return nil, err
	}
	if err := w.deskRound(ctx, k); err != nil {
		return nil, err
	}
	k.Steps = steps(k, here)
	if round >= 1 && round < s.Round {
		k.Shown = round
		return k, w.deskRound(ctx, k)
	}
	return k, nil
}

// deskRound reads the cards or matches of the round that is shown.
func (w *Web) deskRound(ctx context.Context, k *deskComp) (err error) {
	k.Cards, k.Matches, k.In = nil, nil, 0
	switch {
	case !k.State.Begun():
		return nil
	case k.State.IsMatch():
		if k.Matches, err = w.api.Commands.MatchesOf(ctx, k.ID, k.State, k.Shown); err != nil {
			return err
		}
		for _, m := range k.Matches {
			if deskMatchOver(m.State) {
				k.In++
			}
		}
		return nil
	}
	if k.Cards, err = w.api.Commands.Cards(ctx, k.ID, k.State, k.Shown); err != nil {
		return err
	}
	for _, v := range k.Cards {
		if v.State.Status() != events.StatusInPlay {
			k.In++
		}
	}
	return nil
}

// entryNames are the full names of a field, by entry and by player.
func (w *Web) entryNames(ctx context.Context, s *competition.State) (entries, people map[string]string, err error) {
	ids := make([]string, 0, len(s.Entries))
	for _, e := range s.Entries {
		ids = append(ids, e.Players()...)
	}
	if people, err = w.api.Commands.Names(ctx, ids); err != nil {
		return nil, nil, err
	}
	for _, id := range ids {
		if people[id] == "" {
			people[id] = erasedName
		}
	}
	entries = make(map[string]string, len(s.Entries))
	for id, e := range s.Entries {
		entries[id] = sideName(e, people)
	}
	return entries, people, nil
}

// sideName is how the console names an entry: everybody in it, after the name that
// the side gave itself.
func sideName(e competition.Entry, people map[string]string) string {
	names := make([]string, 0, 4)
	for _, id := range e.Players() {
		names = append(names, people[id])
	}
	all := listWords(names)
	if e.TeamName != "" {
		return e.TeamName + ": " + all
	}
	return all
}

// listWords writes a list as people do: "A, B and C".
func listWords(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// steps draws what is done, what is next and what comes later, in the round of now.
func steps(k *deskComp, here string) []deskStep {
	s := k.State
	field, issued := len(s.Field()), k.Issued()
	running, over, between := s.Running(), s.Over(), s.Phase == competition.Between
	drawn := s.Phase == competition.Drawn || running || over
	in := running && issued == k.In
	out := []deskStep{
		{Name: "Terms", Path: "/terms", State: stepState(s.Terms != nil, true)},
		{Name: "Entries", Path: "/entries", Short: strconv.Itoa(field), State: stepState(field > 0 && (drawn || between), s.Terms != nil)},
		{Name: "Draw", Path: "/draw", State: stepState(drawn, field > 0)},
		{Name: "Open", Path: "/open", State: stepState(running || over, s.Phase == competition.Drawn)},
		{Name: "Cards", Path: "/cards", State: stepState(over || issued > 0 && in, running)},
		{Name: "Close", Path: "/close", State: stepState(over, in)},
		{Name: "Result", Path: "/result", State: stepState(s.Phase == competition.Published, s.Phase == competition.Closed)},
	}
	switch {
	case between:
		out[2].Short, out[2].Round = fmt.Sprintf("round %d", s.Next()), s.Next()
	case s.Draw != nil && s.IsMatch():
		out[2].Short = count(matchesOn(s.Draw), "match", "matches")
	case s.Draw != nil:
		out[2].Short = count(len(s.Draw.Groups), "group", "groups")
	}
	if s.IsMatch() {
		out[4].Name, out[4].Path = "Matches", "/matches"
	}
	if issued > 0 && !between {
		out[4].Short = strconv.Itoa(k.In) + " of " + strconv.Itoa(issued) + " in"
	}
	if s.Phase == competition.Suspended {
		out[3].Short = "suspended"
	}
	for i := range out {
		out[i].Here = out[i].Path == "/"+here
	}
	return out
}

// matchesOn counts the matches of a start sheet, byes left out.
func matchesOn(d *competition.Draw) int {
	n := 0
	for _, g := range d.Groups {
		if len(g.Places) == 2 {
			n++
		}
	}
	return n
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
