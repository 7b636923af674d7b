package web

import (
	"crypto/rand"
	"fmt"
	"math/big"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/draw"
)

// deskDrawPage makes the start sheet of the round that comes next.
type deskDrawPage struct {
	*deskComp
	Round    int    // that is drawn
	Method   string // looked at
	Seed     string
	Preview  []events.Group // nil until a method was chosen
	Schedule []drawRound    // every round of a round robin, as looked at or as drawn
	Refused  *events.Error  // why there is no preview
	Form     *form          // publishes the preview
	Late     *form
	Waiting  []competition.Entry // in the field, not on the sheet
	Sheet    *competition.Draw   // of the round that is drawn, or of an earlier one that was asked for
	Over     bool                // nothing is drawn any more
}

// drawRound is one round of a schedule.
type drawRound struct {
	Round int
	Pairs [][2]string // entry ids; who sits out stands alone
}

// MethodWords say how a sheet was drawn.
func (p deskDrawPage) MethodWords(method string, seed uint64) string {
	match := p.State.IsMatch()
	switch {
	case match && p.Shown > 1 && p.State.Terms.Match.Bracket == competition.Knockout:
		return "from the winners of the round before: neighbours on its sheet meet"
	case match && p.Shown > 1 && p.State.Terms.Match.Bracket == competition.RoundRobin && method != "by_hand":
		return "as the schedule goes on"
	}
	switch method {
	case draw.ByHandicap:
		return "by handicap index, lowest first"
	case draw.Random:
		return fmt.Sprintf("at random with the seed %d: the same seed and field give the same sheet", seed)
	case draw.ByStanding:
		return "by the standing, the leaders last"
	case draw.AsEntered, draw.ByRoundRobin:
		return "in the order of entry"
	case draw.BySeed:
		return "by seeds, in the order of entry"
	}
	return "by hand"
}

// Methods are the ways of drawing that fit the round, the usual one first.
func (p deskDrawPage) Methods() []choice {
	byHandicap, random := choice{draw.ByHandicap, "By handicap index, lowest first"}, choice{draw.Random, "At random"}
	asEntered := choice{draw.AsEntered, "In the order of entry"}
	if !p.State.IsMatch() {
		if p.Round > 1 {
			return []choice{{draw.ByStanding, "By the standing, the leaders last"}, byHandicap, random, asEntered}
		}
		return []choice{byHandicap, random, asEntered}
	}
	switch bracket := p.State.Terms.Match.Bracket; {
	case bracket == competition.Knockout && p.Round > 1:
		return []choice{{draw.BySeed, "The winners: neighbours on the last sheet meet"}}
	case bracket == competition.Knockout:
		return []choice{
			{draw.BySeed, "Seeded: the order of entry is that of the seeds"}, {draw.ByHandicap, "Seeded by handicap index, the lowest first"}, random,
		}
	case bracket == competition.RoundRobin && p.Round > 1:
		return []choice{{draw.ByRoundRobin, "The schedule, as it began"}}
	case bracket == competition.RoundRobin:
		return []choice{{draw.ByRoundRobin, "The schedule, in the order of entry"}, {draw.ByHandicap, "The schedule, by handicap index"}, random}
	default:
		return []choice{byHandicap, random, asEntered}
	}
}

// HasSeed reports whether a method that fits the round draws at random.
func (p deskDrawPage) HasSeed() bool {
	for _, m := range p.Methods() {
		if m.Value == draw.Random {
			return true
		}
	}
	return false
}

// Redrawn reports whether a sheet of the round stands already.
func (p deskDrawPage) Redrawn() bool { return p.State.Draw != nil && p.Round == p.State.Round }

// highestSeed keeps a seed short enough to be read out.
const highestSeed = 999_999

func freshSeed() (string, error) {
	n, err := rand.Int(rand.Reader, big.NewInt(highestSeed))
	if err != nil {
		return "", fmt.Errorf("draw a seed: %w", err)
	}
	return strconv.FormatInt(n.Int64()+1, 10), nil
}

func (w *Web) deskDraw(c echo.Context) error { return w.deskShowDraw(c, nil, nil) }

func (w *Web) deskShowDraw(c echo.Context, f, late *form) error {
	k, err := w.deskComp(c, "draw")
	if err != nil {
		return err
	}
	p := deskDrawPage{
		deskComp: k, Round: k.State.Next(), Method: c.QueryParam("method"), Seed: c.QueryParam("seed"), Form: f, Late: late,
		Sheet: k.State.Sheet(k.Shown),
	}
	if c.QueryParam("round") == "" && k.State.Phase == competition.Between {
		p.Sheet = nil // it is the next one that is drawn
	}
	p.Over = k.settled() || !k.Present()
	if f != nil {
		p.Method, p.Seed = f.V("method"), f.V("seed")
	} else {
		p.Form = newForm(k.Seq, nil)
	}
	if late == nil {
		p.Late = newForm(k.Seq, nil)
	}
	p.Form.again(k.Seq, nil)
	p.Late.named("late-").again(k.Seq, nil)
	if p.Seed == "" {
		if p.Seed, err = freshSeed(); err != nil {
			return err
		}
	}
	if p.Sheet != nil && k.Present() && !k.State.IsMatch() {
		for _, e := range k.State.Playing(k.State.Round) {
			if _, _, placed := k.State.Group(e.ID); !placed {
				p.Waiting = append(p.Waiting, e)
			}
		}
	}
	if p.Method != "" && k.State.Terms != nil && !p.Over {
		if err := w.previewDraw(c, &p); err != nil {
			return err
		}
	}
	p.schedule()
	return w.deskPage(c, max(p.Form.Status(), p.Late.Status()), "desk_draw.html", "Draw of "+k.State.Name, p)
}

// settled reports whether the start sheet stays as it is: after the last round, and
// once matches are arranged from it.
func (k *deskComp) settled() bool { return k.State.Over() || k.State.IsMatch() && k.State.Running() }

func (w *Web) previewDraw(c echo.Context, p *deskDrawPage) error {
	seed, err := seedOf(p.Method, p.Seed)
	if err == nil {
		p.Preview, err = w.api.Commands.PreviewDraw(c.Request().Context(), command.Request{Who: w.who(c)}, p.ID, command.Draw{Method: p.Method, Seed: seed})
	}
	if err != nil {
		if p.Refused = events.AsError(err); p.Refused == nil {
			return err
		}
	}
	return nil
}

// schedule lays every round of a round robin out, as it was drawn or would be.
func (p *deskDrawPage) schedule() {
	if !p.State.IsMatch() || p.State.Terms.Match.Bracket != competition.RoundRobin {
		return
	}
	method, seed := p.Method, p.Number()
	if first := p.State.Sheet(1); first != nil && p.Preview == nil {
		method, seed = first.Method, first.Seed
	}
	field := p.Field()
	order, err := draw.Seeds(field, method, seed)
	if err != nil {
		return // made by hand, or nothing chosen yet
	}
	rounds, err := draw.RoundRobin(len(field))
	if err != nil {
		return // the refusal of the preview says why
	}
	for i, pairs := range rounds {
		out := drawRound{Round: i + 1}
		for _, pair := range pairs {
			ids := [2]string{order[pair.A-1].ID}
			if !pair.Bye() {
				ids[1] = order[pair.B-1].ID
			}
			out.Pairs = append(out.Pairs, ids)
		}
		p.Schedule = append(p.Schedule, out)
	}
}

// seedOf reads the seed of a random draw; others have none.
func seedOf(method, typed string) (uint64, error) {
	if method != draw.Random {
		return 0, nil
	}
	return readSeed("seed", typed)
}

func readSeed(field, typed string) (uint64, error) {
	seed, err := strconv.ParseUint(strings.TrimSpace(typed), 10, 64)
	if err != nil {
		return 0, events.Invalid(field, "malformed", "a seed is a whole number")
	}
	return seed, nil
}

// Number is how a seed reads in the sentence about it.
func (p deskDrawPage) Number() uint64 {
	n, err := seedOf(p.Method, p.Seed)
	if err != nil {
		return 0
	}
	return n
}

func (w *Web) deskDrawPublish(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id := c.Param("competition")
	in := command.Draw{Method: f.V("method"), Reason: strings.TrimSpace(f.V("reason"))}
	if in.Method == "by_hand" {
		in.Method = ""
	}
	in.Seed, err = seedOf(in.Method, f.V("seed"))
	if err == nil {
		_, err = w.api.Commands.Draw(c.Request().Context(), w.request(c, f), id, in)
	}
	if err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowDraw(c, f, nil)
	}
	return done(c, "/desk/competitions/"+id+"/draw", "drawn")
}

func (w *Web) deskLate(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id, r := c.Param("competition"), &cells{v: f.Values}
	in := command.PlaceLate{EntryID: r.text("entry_id"), Group: r.whole("group", 0), Reason: r.text("reason")}
	if r.refused(f) {
		return w.deskShowDraw(c, nil, f)
	}
	if _, err := w.api.Commands.PlaceLate(c.Request().Context(), w.request(c, f), id, in); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowDraw(c, nil, f)
	}
	return done(c, "/desk/competitions/"+id+"/draw", "late")
}
