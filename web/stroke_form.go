package web

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// Where a finishing button leads besides a lie.
const (
	endHoled = "holed"
	endAgain = "again" // stroke and distance: play again from the same place
)

// strokeRequest is what surrounds a form about strokes. Its fingerprint leaves out
// the player's words: it stands in the log, where it would outlive their erasure.
func (w *Web) strokeRequest(c echo.Context) (command.Request, error) {
	r, err := w.formRequest(c)
	if err != nil {
		return r, err
	}
	err = leaveOut(c, &r, "aim", "word")
	return r, err
}

// leaveOut makes the fingerprint of a form anew without the fields that hold words.
func leaveOut(c echo.Context, r *command.Request, fields ...string) error {
	values, err := c.FormParams()
	if err != nil {
		return errForm.WithInternal(err)
	}
	silent := maps.Clone(values)
	for _, f := range fields {
		delete(silent, f)
	}
	h := sha256.Sum256([]byte(c.Request().URL.Path + "\n" + silent.Encode()))
	r.Hash = hex.EncodeToString(h[:])
	return nil
}

// strokeFields reads the fields of a form about one stroke.
type strokeFields struct {
	cells
	u units
}

func (p *strokesPage) fields(c echo.Context) (*strokeFields, error) {
	values, err := c.FormParams()
	if err != nil {
		return nil, errForm.WithInternal(err)
	}
	f := &strokeFields{cells{v: values}, metric}
	if units(values.Get("units")) == imperial { // those that the page was made with
		f.u = imperial
	}
	p.Units = f.u
	p.Form.Values = values
	return f, nil
}

// distance reads a distance from a lie. One that nobody changed keeps what stands.
func (f *strokeFields) distance(field, lie string, stands float64, stoodOn string) float64 {
	text := f.text(field)
	if stands > 0 && f.u.Unit(lie) == f.u.Unit(stoodOn) && text == f.u.edit(stands, stoodOn) {
		return stands
	}
	if text == "" {
		f.wrong(events.Invalid(field, "required", "type the distance to the hole"))
		return 0
	}
	m, e := readDistance(field, text, f.u.Unit(lie))
	if e != nil {
		f.wrong(e)
	}
	return m
}

// device reads a time of the device's clock; nil where it said none.
func (f *strokeFields) device(field string) *time.Time {
	text := f.text(field)
	if text == "" {
		return nil
	}
	at, err := time.Parse(time.RFC3339, text)
	if err != nil {
		f.wrong(events.Invalid(field, "malformed", "a time of the device is written as in RFC 3339"))
		return nil
	}
	return &at
}

// intent reads what was meant before a stroke.
func (f *strokeFields) intent(x *command.Stroke) {
	was := *x
	if x.Lie = f.text("lie"); x.Lie == "" {
		f.wrong(events.Invalid("lie", "required", "choose where the ball lies"))
	}
	x.Distance, x.Unit = f.distance("distance", x.Lie, was.Distance, was.Lie), "m"
	x.Club, x.Target, x.Shape, x.Aim = f.text("club"), f.text("target"), f.text("shape"), f.text("aim")
	x.Commitment = f.whole("commitment", 0)
}

// review reads what became of a stroke. What was not touched stays.
func (f *strokeFields) review(x *command.Stroke) {
	switch judged := f.text("judged"); judged {
	case "":
	case "none":
		x.Strike, x.GoodEnough = "", nil
	default:
		strike, good, ok := strings.Cut(judged, ".")
		if !ok || good != "yes" && good != "no" {
			f.wrong(events.Invalid("judged", "unknown", "strike and outcome are one cell of the grid"))
			break
		}
		yes := good == "yes"
		x.Strike, x.GoodEnough = strike, &yes
	}
	switch missed := f.text("missed"); missed {
	case "":
	case "none":
		x.Miss = command.Miss{}
	default:
		length, side, ok := strings.Cut(missed, ".")
		if !ok {
			f.wrong(events.Invalid("missed", "unknown", "a miss is one cell of the grid"))
			break
		}
		if side != x.Miss.Side {
			x.Miss.SideBy = 0
		}
		if length != x.Miss.Length {
			x.Miss.LengthBy = 0
		}
		x.Miss.Side, x.Miss.Length = side, length
	}
	x.Miss.Unit = "m"
	f.amount("miss.side_by", &x.Miss.SideBy)
	f.amount("miss.length_by", &x.Miss.LengthBy)
	if f.v.Has("penalty") {
		x.Penalty = f.whole("penalty", 0)
	}
	if f.v.Has("word") {
		x.Word = f.text("word")
	}
}

// amount reads by how much a stroke missed, where the form asks that.
func (f *strokeFields) amount(field string, by *float64) {
	text := f.text(field)
	switch {
	case !f.v.Has(field) || *by > 0 && text == f.u.edit(*by, events.LieFairway):
	case text == "":
		*by = 0
	default:
		m, e := readDistance(field, text, f.u.Unit(events.LieFairway))
		if e != nil {
			f.wrong(e)
		}
		*by = m
	}
}

// finish reads where a stroke finished, as the button that was pressed says it.
func (f *strokeFields) finish(x *command.Stroke) {
	was := x.Finish
	switch end := f.text("finish"); end {
	case "":
		x.Finish = nil
	case endHoled:
		x.Finish = &command.Finish{Holed: true}
	case endAgain:
		x.Finish, x.Penalty = &command.Finish{Lie: x.Lie, Distance: x.Distance, Unit: x.Unit}, x.Penalty+1
	default:
		out := &command.Finish{Lie: end, Unit: "m"}
		if was == nil {
			was = &command.Finish{}
		}
		out.Distance = f.distance("finish.distance", end, was.Distance, was.Lie)
		x.Finish = out
	}
}

// times keeps the device's times of a stroke, where they can be a routine: a strike
// that is judged before its intent or more than an hour after it was judged from
// memory.
func (f *strokeFields) struck(x *command.Stroke) {
	at := f.device("struck_at")
	if at == nil || x.IntentAt != nil && (at.Before(*x.IntentAt) || at.Sub(*x.IntentAt) > time.Hour) {
		return
	}
	x.StruckAt = at
}

// valuesOf fills the form of a stroke in.
func (p *strokesPage) valuesOf(x command.Stroke) url.Values {
	v := url.Values{}
	set := func(name, value string) {
		if value != "" {
			v.Set(name, value)
		}
	}
	set("lie", x.Lie)
	set("distance", p.Units.edit(x.Distance, x.Lie))
	set("club", x.Club)
	set("target", x.Target)
	set("shape", x.Shape)
	set("aim", x.Aim)
	set("judged", judgedOf(x))
	set("missed", missedOf(x.Miss))
	set("word", x.Word)
	for name, n := range map[string]int{"commitment": x.Commitment, "penalty": x.Penalty} {
		if n > 0 {
			v.Set(name, strconv.Itoa(n))
		}
	}
	for name, m := range map[string]float64{"miss.side_by": x.Miss.SideBy, "miss.length_by": x.Miss.LengthBy} {
		if m > 0 {
			v.Set(name, p.Units.edit(m, events.LieFairway))
		}
	}
	switch f := x.Finish; {
	case f == nil:
	case f.Holed:
		v.Set("finish", endHoled)
	default:
		v.Set("finish", f.Lie)
		v.Set("finish.distance", p.Units.edit(f.Distance, f.Lie))
	}
	return v
}

// sentHole is the hole that a form is about.
func (w *Web) sentHole(c echo.Context) (*strokesPage, command.Request, error) {
	k, err := w.playersCard(c)
	if err != nil {
		return nil, command.Request{}, err
	}
	r, err := w.strokeRequest(c)
	if err != nil {
		return nil, r, err
	}
	hole, err := strconv.Atoi(c.FormValue("hole"))
	if err != nil {
		return nil, r, events.Invalid("hole", "malformed", "the form names no hole")
	}
	if text := c.FormValue("ball"); text != "" && text != strconv.Itoa(k.Ball) {
		return nil, r, events.Invalid("ball", "unknown", "this card has no such ball")
	}
	p, err := w.strokesOn(c, k, hole)
	return p, r, err
}

// logStroke takes the intent of a stroke, or a putt with its end.
func (w *Web) logStroke(c echo.Context) error {
	p, r, err := w.sentHole(c)
	if err != nil {
		return err
	}
	q := url.Values{}
	for _, name := range []string{"before", "lie"} {
		if v := c.FormValue(name); v != "" {
			q.Set(name, v)
		}
	}
	q.Set("next", "1")
	if err := p.ask(q); err != nil {
		return err
	}
	if p.Step == stepDone { // the same form again, or one of an old page: the card says which
		p.intent(q, p.Played)
	}
	f, err := p.fields(c)
	if err != nil {
		return err
	}
	in := command.RecordStroke{Ball: p.Ball, Hole: p.Hole.Number, Before: f.text("before")}
	x := &in.Stroke
	f.intent(x)
	if x.Lie == events.LieGreen {
		f.review(x)
	}
	if f.text("finish") != "" {
		f.finish(x)
	}
	if f.text("step") != "log" { // just logged: nothing was meant
		x.IntentAt = f.device("intent_at")
	}
	f.struck(x)
	if f.refused(p.Form) {
		return w.refusedStroke(c, p, nil)
	}
	done, err := w.api.Commands.RecordStroke(c.Request().Context(), r, p.ID, in)
	if err != nil {
		return w.refusedStroke(c, p, err)
	}
	more := url.Values{"did": {fmt.Sprint(done.Sequence)}}
	if in.Before != "" {
		more.Set("stroke", done.ID)
	}
	return w.afterStroke(c, p, more, x.Finish)
}

// amendStroke takes the review of a stroke, or any change to it.
func (w *Web) amendStroke(c echo.Context) error {
	p, r, err := w.sentHole(c)
	if err != nil {
		return err
	}
	at := p.find(c.Param("stroke"))
	if at < 0 {
		return events.NotFound("stroke", "this hole has no such stroke any more")
	}
	amends := c.FormValue("step") == stepAmend
	if amends {
		err = p.amend(c.Param("stroke"))
	} else {
		p.review(at)
	}
	if err != nil {
		return err
	}
	f, err := p.fields(c)
	if err != nil {
		return err
	}
	x := p.Played[at].Stroke
	if amends {
		f.intent(&x)
	} else {
		if club := f.text("club"); club != "" {
			x.Club = club
		}
		f.struck(&x)
	}
	f.review(&x)
	f.finish(&x)
	if f.refused(p.Form) {
		return w.refusedStroke(c, p, nil)
	}
	done, err := w.api.Commands.AmendStroke(c.Request().Context(), r, p.ID, p.Played[at].StrokeID, x)
	if err != nil {
		return w.refusedStroke(c, p, err)
	}
	more := url.Values{"did": {fmt.Sprint(done.Sequence)}}
	if !amends && x.Finish == nil && at == len(p.Played)-1 {
		more.Set("next", "1")
	}
	if amends {
		return c.Redirect(http.StatusSeeOther, p.at(p.Hole.Number, more)+"#played")
	}
	return w.afterStroke(c, p, more, x.Finish)
}

// afterStroke leads on: to the next step of the hole, and from a hole that was played
// out to the next one, unless strokes and card differ.
func (w *Web) afterStroke(c echo.Context, p *strokesPage, more url.Values, f *command.Finish) error {
	to := p.Hole.Number
	if f != nil && f.Holed && p.Next > 0 && more.Get("stroke") == "" {
		k, err := w.playersCard(c)
		if err != nil {
			return err
		}
		if s := k.sum(to); !s.Differs && (!s.Whole || s.Entered) {
			more.Set("done", strconv.Itoa(to))
			to = p.Next
			if !s.Whole && s.Putts == s.N && !k.sum(to).Any { // who logs putts alone goes on with them
				more.Set("lie", events.LieGreen)
			}
		}
	}
	return c.Redirect(http.StatusSeeOther, p.at(to, more))
}

// removeStroke takes a stroke off.
func (w *Web) removeStroke(c echo.Context) error {
	p, r, err := w.sentHole(c)
	if err != nil {
		return err
	}
	done, err := w.api.Commands.RemoveStroke(c.Request().Context(), r, p.ID, c.Param("stroke"))
	if err != nil {
		if p.find(c.Param("stroke")) < 0 {
			return err
		}
		if err := p.amend(c.Param("stroke")); err != nil {
			return err
		}
		return w.refusedStroke(c, p, err)
	}
	return c.Redirect(http.StatusSeeOther, p.at(p.Hole.Number, url.Values{"did": {fmt.Sprint(done.Sequence)}})+"#played")
}

// takeStrokes puts what a hole's strokes say on the card: the player settles a
// difference.
func (w *Web) takeStrokes(c echo.Context) error {
	p, r, err := w.sentHole(c)
	if err != nil {
		return err
	}
	n, err := strconv.Atoi(c.FormValue("strokes"))
	if err != nil || n != p.Say.N || !p.Say.Whole {
		return events.NotNow("strokes", "changed", "the strokes of this hole changed meanwhile; open the page again")
	}
	saw, err := sawFromText(c.FormValue("saw"))
	if err != nil {
		return err
	}
	done, err := w.api.Commands.EnterScore(c.Request().Context(), r, p.ID, command.EnterScore{
		Hole: p.Hole.Number, Ball: p.Ball, Strokes: &n, Confirmed: true, Saw: saw,
	})
	if err != nil {
		if err := p.ask(url.Values{}); err != nil {
			return err
		}
		return w.refusedStroke(c, p, err)
	}
	return c.Redirect(http.StatusSeeOther, p.at(p.Hole.Number, url.Values{"did": {fmt.Sprint(done.Sequence)}}))
}

var strokePlace = regexp.MustCompile(`^strokes\[(\d+)\]\.(.*)$`)

// refusedStroke shows the form again with what is wrong beside its field.
func (w *Web) refusedStroke(c echo.Context, p *strokesPage, err error) error {
	if err != nil {
		if e := events.AsError(err); e == nil || e.Kind == events.KindForbidden {
			return err
		}
		if err := p.Form.refuse(err); err != nil {
			return err
		}
	}
	for i, e := range p.Form.Refused {
		m := strokePlace.FindStringSubmatch(e.Field)
		if m == nil {
			continue
		}
		no, _ := strconv.Atoi(m[1])
		told := *e.WithField(m[2])
		if no+1 != p.Number {
			told.Field, told.Detail = "stroke", fmt.Sprintf("stroke %d: %s", no+1, e.Detail)
		}
		p.Form.Refused[i] = &told
	}
	status := p.Form.Status()
	if p.Form.Used {
		p.Form.Refused = append(p.Form.Refused, events.Conflict("key", "command_id_reused", "this form was sent before with something else in it; look at what stands below"))
	}
	return w.showStrokes(c, status, p)
}
