package web

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
)

// strokeRowsPage is a card's strokes, a line a hole, to be typed from memory.
type strokeRowsPage struct {
	strokeCard
	Rows   []strokeRow
	Key    string
	Wrong  int // rows that cannot be stored
	Lies   []strokeLie
	Report *command.ImportReport // of a file that was looked at
	Text   string                // of that file, to be sent again when it is meant
	Stored bool
	Errors []*events.Error // what is wrong with a file as a whole
}

// strokeRow is one hole.
type strokeRow struct {
	Hole  card.HoleLine
	Name  string // of its field
	Text  string
	Was   string // the line of what stands
	Read  string // how the line was understood
	Bad   string // what is wrong with it
	Sum   strokeSum
	Focus bool

	logged []command.LoggedStroke
	line   holeLine
}

func rowName(hole int) string { return "row." + strconv.Itoa(hole) }

// Length is the length of a hole with its unit, or empty.
func (p *strokeRowsPage) Length(h card.HoleLine) string {
	if h.LengthM == 0 {
		return ""
	}
	return p.Units.Distance(float64(h.LengthM), events.LieTee)
}

// Long is the unit of a plain number, Green that of one on the green.
func (p *strokeRowsPage) Long() string  { return p.Units.Unit(events.LieFairway) }
func (p *strokeRowsPage) Green() string { return p.Units.Unit(events.LieGreen) }

// Any reports whether something was logged already.
func (p *strokeRowsPage) Any() bool { return len(p.State.Strokes) > 0 }

// Example is a line as one would write it.
func (p *strokeRowsPage) Example() string {
	if p.Units == imperial {
		return "t 415 driver, f 130 iron-8, g 20, g 2"
	}
	return "t 380 driver, f 120 iron-8, g 6, g 0.5"
}

// strokeRows is the page.
func (w *Web) strokeRows(c echo.Context) error {
	k, err := w.playersCard(c)
	if err != nil {
		return err
	}
	p, err := w.rowsOf(c, k)
	if err != nil {
		return err
	}
	p.Stored = c.QueryParam("stored") != ""
	p.focus(c.QueryParam("to"))
	return w.showRows(c, http.StatusOK, p)
}

func (w *Web) rowsOf(c echo.Context, k strokeCard) (*strokeRowsPage, error) {
	p := &strokeRowsPage{strokeCard: k, Key: freshKey(), Lies: strokeLies()}
	lines := k.State.Lines(k.Ball)
	for _, i := range k.State.PlayOrder() {
		h := lines[i]
		logged, err := w.api.Commands.Logged(c.Request().Context(), k.State, k.Ball, h.Number)
		if err != nil {
			return nil, err
		}
		r := strokeRow{Hole: h, Name: rowName(h.Number), Sum: k.sum(h.Number), logged: logged, line: lineOf(logged)}
		r.Was = formatLine(r.line, k.Units)
		r.Text, r.Read = r.Was, lineWords(r.line, k.Units)
		p.Rows = append(p.Rows, r)
	}
	return p, nil
}

// focus chooses the row to type in: the one asked for, else the first empty one.
func (p *strokeRowsPage) focus(asked string) {
	at := 0
	for i := len(p.Rows) - 1; i >= 0; i-- {
		if p.Rows[i].Text == "" {
			at = i
		}
	}
	for i := range p.Rows {
		if strconv.Itoa(p.Rows[i].Hole.Number) == asked {
			at = i
		}
		if p.Rows[i].Bad != "" {
			at = i
			break
		}
	}
	if len(p.Rows) > 0 {
		p.Rows[at].Focus = true
	}
}

func (w *Web) showRows(c echo.Context, status int, p *strokeRowsPage) error {
	return w.render(c, status, "stroke_rows.html", page{
		Title: "Strokes, a hole a row", Body: "strokes rows writing", Styles: []string{"strokes.css"}, Scripts: []string{"stroke_rows.js"},
		Private: true, Bare: true, Data: p,
	})
}

// saveRows stores the rows that were changed: all of them, or none where one of them
// is wrong.
func (w *Web) saveRows(c echo.Context) error {
	k, err := w.playersCard(c)
	if err != nil {
		return err
	}
	r, err := w.strokeRequest(c)
	if err != nil {
		return err
	}
	values, err := c.FormParams()
	if err != nil {
		return errForm.WithInternal(err)
	}
	k.Units = metric
	if units(values.Get("units")) == imperial { // those that the rows were written in
		k.Units = imperial
	}
	p, err := w.rowsOf(c, k)
	if err != nil {
		return err
	}
	changed := p.read(values)
	if p.Wrong > 0 {
		p.focus("")
		return w.showRows(c, http.StatusUnprocessableEntity, p)
	}
	last := -1
	for _, i := range changed {
		row := &p.Rows[i]
		one := r
		one.CommandID += "-h" + strconv.Itoa(row.Hole.Number)
		_, err := w.api.Commands.LogHole(c.Request().Context(), one, p.ID, row.Hole.Number, command.LogHole{Ball: p.Ball, Strokes: onLine(row.logged, row.line)})
		if e := events.AsError(err); e != nil && e.Kind != events.KindForbidden {
			row.wrong(e)
			p.Wrong++
			p.focus("")
			return w.showRows(c, http.StatusUnprocessableEntity, p)
		}
		if err != nil {
			return err
		}
		last = i
	}
	q := url.Values{}
	if p.Ball > 0 {
		q.Set("ball", strconv.Itoa(p.Ball))
	}
	if last >= 0 {
		q.Set("stored", "1")
		q.Set("to", strconv.Itoa(p.Rows[min(last+1, len(p.Rows)-1)].Hole.Number))
	}
	return c.Redirect(http.StatusSeeOther, "/cards/"+p.ID+"/strokes/rows?"+q.Encode())
}

// read reads the rows that somebody sent, and gives the places of those that say
// something new.
func (p *strokeRowsPage) read(values url.Values) (changed []int) {
	for i := range p.Rows {
		row := &p.Rows[i]
		if !values.Has(row.Name) {
			continue
		}
		text := strings.TrimSpace(values.Get(row.Name))
		was, sent := values["was."+row.Name]
		if sent && text == was[0] || text == row.Was {
			continue // not touched
		}
		row.Text = text
		switch {
		case sent && was[0] != row.Was:
			row.Bad = fmt.Sprintf("Hole %d: its strokes were changed elsewhere since this page was made. This stands now: %s", row.Hole.Number, row.Was)
		case text == "":
			row.Text = row.Was // an emptied row is a slip; noStrokes is meant
			row.Bad = fmt.Sprintf("Hole %d: nothing was changed. To take all its strokes off, write %s alone", row.Hole.Number, noStrokes)
		case text == noStrokes:
			row.line, row.Read = holeLine{}, ""
			changed = append(changed, i)
		default:
			line, bad := parseLine(text, p.Units)
			if bad != nil {
				row.Read, row.Bad = "", fmt.Sprintf("Hole %d, stroke %d: %s", row.Hole.Number, bad.Stroke, bad.Rule)
				break
			}
			row.line, row.Read = line, lineWords(line, p.Units)
			if e := p.possible(row); e != nil {
				row.wrong(e)
				break
			}
			changed = append(changed, i)
		}
		if row.Bad != "" {
			p.Wrong++
		}
	}
	return changed
}

// possible asks the card, before anything is stored, whether a hole can have been
// played like this.
func (p *strokeRowsPage) possible(row *strokeRow) *events.Error {
	c := card.LogHole{Ball: p.Ball, Hole: row.Hole.Number}
	for i, x := range row.line.Strokes {
		s := events.Stroke{Lie: x.Lie, DistanceM: x.DistanceM, Club: x.Club, Penalty: x.Penalty}
		if i == len(row.line.Strokes)-1 && !row.line.Open {
			s.Finish = &events.Finish{Holed: true}
		}
		c.Strokes = append(c.Strokes, card.StrokeLine{ID: "row-" + strconv.Itoa(i), Stroke: s})
	}
	_, err := card.Decide(p.State, c)
	return events.AsError(err)
}

// wrong says what the card refused, with hole, stroke and rule.
func (row *strokeRow) wrong(e *events.Error) {
	at := fmt.Sprintf("Hole %d", row.Hole.Number)
	if m := strokePlace.FindStringSubmatch(e.Field); m != nil {
		if no, err := strconv.Atoi(m[1]); err == nil {
			at += fmt.Sprintf(", stroke %d", no+1)
		}
	}
	row.Bad = at + ": " + e.Detail
	if e.Rule != "" {
		row.Bad += " (" + e.Rule + ")"
	}
}

// strokesFile takes a file of strokes: first it says what the file would do.
func (w *Web) strokesFile(c echo.Context) error {
	k, err := w.playersCard(c)
	if err != nil {
		return err
	}
	r, err := w.formRequest(c)
	if err != nil {
		return err
	}
	r.Hash = "" // no fingerprint of a player's words
	values, err := c.FormParams()
	if err != nil {
		return errForm.WithInternal(err)
	}
	p, err := w.rowsOf(c, k)
	if err != nil {
		return err
	}
	p.focus("")
	really := values.Get("step") == "import"
	text, err := fileOf(c, &form{Values: values})
	var report command.ImportReport
	if err == nil {
		report, err = w.api.Commands.ImportStrokes(c.Request().Context(), r, p.ID, strings.NewReader(text), !really)
	}
	var bad *command.ImportError
	switch e := events.AsError(err); {
	case errors.As(err, &bad):
		p.Report = &bad.Report
		return w.showRows(c, http.StatusUnprocessableEntity, p)
	case e != nil && e.Kind != events.KindForbidden:
		p.Errors = append(p.Errors, e)
		return w.showRows(c, http.StatusUnprocessableEntity, p)
	case err != nil:
		return err
	case !really:
		p.Report, p.Text = &report, text
		return w.showRows(c, http.StatusOK, p)
	}
	return c.Redirect(http.StatusSeeOther, "/cards/"+p.ID+"/strokes/rows?stored=1")
}
