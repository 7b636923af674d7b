package web

import (
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
)

// conflict is an entry that was refused because the hole had changed since the
// visitor's page showed it, beside what stands there now.
type conflict struct {
	Hole    *cardHole
	Entered events.Score // zero where the own value was to be taken back
	Detail  string
}

// Final reports whether the committee's word stands there: it cannot be entered again.
func (k conflict) Final() bool { return k.Hole.Committee.Entered() }

// conflictOn is the conflict that a refusal of the form of a hole is; nil for another
// refusal.
func (p *cardPage) conflictOn(c echo.Context, e *events.Error) *conflict {
	if e.Code != "changed_since" {
		return nil
	}
	in, hole, err := scoreForm(c)
	if err != nil || in.Ball < 0 || in.Ball >= len(p.Balls) {
		return nil
	}
	i, ok := p.State.Line(hole)
	if !ok {
		return nil
	}
	out := &conflict{Hole: &p.Balls[in.Ball].Holes[i], Entered: events.Score{None: in.None}, Detail: e.Detail}
	if in.Strokes != nil {
		out.Entered.Strokes = *in.Strokes
	}
	return out
}

// Saw is what the page shows of a hole, as its forms carry it: the values of player,
// marker and committee.
func (h cardHole) Saw() string { return sawText(h.Seen()) }

func sawText(w card.Saw) string {
	return scoreText(w.Player) + "," + scoreText(w.Marker) + "," + scoreText(w.Committee)
}

// sawFromText is sawText, backwards. A form that says nothing comes from an older page.
func sawFromText(text string) (*command.Saw, error) {
	if text == "" {
		return nil, nil
	}
	values := strings.Split(text, ",")
	if len(values) != 3 {
		return nil, events.Invalid("saw", "malformed", "open the page again and press once more")
	}
	out := &command.Saw{}
	for i, to := range []*command.HoleEntry{&out.Player, &out.Marker, &out.Committee} {
		if n, err := strconv.Atoi(values[i]); err == nil {
			to.Strokes = &n
		} else {
			to.None = values[i]
		}
	}
	return out, nil
}
