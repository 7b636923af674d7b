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

// deskDrawPage makes the start sheet.
type deskDrawPage struct {
	*deskComp
	Method  string // looked at
	Seed    string
	Preview []events.Group // nil until a method was chosen
	Refused *events.Error  // why there is no preview
	Form    *form          // publishes the preview
	Late    *form
	Waiting []competition.Entry // in the field, not on the sheet
	Sheet   *competition.Draw
	Over    bool
}

// MethodWords say how a sheet was drawn.
func (deskDrawPage) MethodWords(method string, seed uint64) string {
	switch method {
	case draw.ByHandicap:
		return "by handicap index, lowest first"
	case draw.Random:
		return fmt.Sprintf("at random with the seed %d: the same seed and field give the same sheet", seed)
	case draw.AsEntered:
		return "in the order of entry"
	}
	return "by hand"
}

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
	p := deskDrawPage{deskComp: k, Method: c.QueryParam("method"), Seed: c.QueryParam("seed"), Form: f, Late: late, Sheet: k.State.Draw}
	p.Over = k.Is("closed", "published")
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
	if p.Sheet != nil {
		for _, e := range k.Field() {
			if _, _, placed := k.State.Group(e.ID); !placed {
				p.Waiting = append(p.Waiting, e)
			}
		}
	}
	if p.Method != "" && k.State.Terms != nil {
		p.preview()
	}
	return w.deskPage(c, max(p.Form.Status(), p.Late.Status()), "desk_draw.html", "Draw of "+k.State.Name, p)
}

func (p *deskDrawPage) preview() {
	seed, err := seedOf(p.Method, p.Seed)
	if err == nil {
		p.Preview, err = draw.Groups(p.Field(), p.Method, seed, *p.State.Terms)
	}
	if err != nil {
		if p.Refused = events.AsError(err); p.Refused == nil {
			p.Refused = events.Invalid("method", "invalid", err.Error())
		}
	}
}

// seedOf reads the seed of a random draw; others have none.
func seedOf(method, typed string) (uint64, error) {
	if method != draw.Random {
		return 0, nil
	}
	seed, err := strconv.ParseUint(strings.TrimSpace(typed), 10, 64)
	if err != nil {
		return 0, events.Invalid("seed", "malformed", "a seed is a whole number")
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
