package web

import (
	"net/http"
	"net/url"
	"reflect"
	"slices"
	"strconv"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
)

// undoStroke takes back the last thing done to a hole's strokes, and the score that
// came with it. What stood before is read from the log, so that no words of the
// player's ever stand in an address.
func (w *Web) undoStroke(c echo.Context) error {
	p, r, err := w.sentHole(c)
	if err != nil {
		return err
	}
	did, err := strconv.ParseUint(c.FormValue("did"), 10, 64)
	if err != nil {
		return events.Invalid("did", "malformed", "the form does not say what to take back")
	}
	was, is, err := w.around(c, p.strokeCard, events.Sequence(did))
	if err != nil {
		return err
	}
	hole, ctx := p.Hole.Number, c.Request().Context()
	before, err := w.api.Commands.Logged(ctx, was, p.Ball, hole)
	if err != nil {
		return err
	}
	after, err := w.api.Commands.Logged(ctx, is, p.Ball, hole)
	if err != nil {
		return err
	}
	now := make([]command.LoggedStroke, len(p.Played))
	for i, x := range p.Played {
		now[i] = x.LoggedStroke
	}
	switch {
	case sameLogged(before, now): // taken back already, or the score alone is
	case !sameLogged(after, now):
		return events.NotNow("did", "changed", "something else was changed on this hole since; open it again and look at what stands")
	default:
		for i := range before { // one that was deleted comes back as a new one
			if p.find(before[i].StrokeID) < 0 {
				before[i].StrokeID = ""
			}
		}
		if _, err := w.api.Commands.LogHole(ctx, r, p.ID, hole, command.LogHole{Ball: p.Ball, Strokes: before}); err != nil {
			return err
		}
	}
	i, _ := p.State.Line(hole)
	if err := w.undoScore(c, p, r, was.Lines(p.Ball)[i].Player, is.Lines(p.Ball)[i]); err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, p.at(hole, url.Values{}))
}

// undoScore brings back what the player had entered before, where what was taken
// back changed that. One that somebody has agreed to since stays: it is on the card to
// be changed there.
func (w *Web) undoScore(c echo.Context, p *strokesPage, r command.Request, was events.Score, is card.HoleLine) error {
	if was == is.Player || p.Hole.Player != is.Player || !p.Write {
		return nil
	}
	saw, err := sawFromText(sawText(is.Seen()))
	if err != nil {
		return err
	}
	in := command.EnterScore{Hole: p.Hole.Number, Ball: p.Ball, None: was.None, Clear: !was.Entered(), Confirmed: true, Saw: saw}
	if was.Strokes > 0 {
		in.Strokes = &was.Strokes
	}
	r.CommandID += "-score"
	_, err = w.api.Commands.EnterScore(c.Request().Context(), r, p.ID, in)
	if e := events.AsError(err); e != nil && e.Code == "changed_since" {
		return nil
	}
	return err
}

// around is a card as it was before the command that wrote an event of it, and after.
func (w *Web) around(c echo.Context, k strokeCard, did events.Sequence) (was, is *card.State, err error) {
	all, err := w.api.Log.Stream(c.Request().Context(), events.CardStream(w.api.Club, k.State.CompetitionID, k.ID))
	if err != nil {
		return nil, nil, err
	}
	at := slices.IndexFunc(all, func(e events.Recorded) bool { return e.Sequence == did })
	if at < 0 {
		return nil, nil, events.NotFound("did", "there is nothing to take back")
	}
	first := at
	for first > 0 && all[first-1].CommandID == all[at].CommandID {
		first--
	}
	if first == 0 {
		return nil, nil, events.NotFound("did", "there is nothing to take back")
	}
	fold := func(es []events.Recorded) *card.State {
		s := card.New()
		for _, e := range es {
			card.Evolve(s, e.Event)
		}
		return s
	}
	return fold(all[:first]), fold(all[:at+1]), nil
}

// sameLogged compares what strokes say, not their ids.
func sameLogged(a, b []command.LoggedStroke) bool {
	return slices.EqualFunc(a, b, func(x, y command.LoggedStroke) bool { return reflect.DeepEqual(x.Stroke, y.Stroke) })
}
