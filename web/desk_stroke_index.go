package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/api"
	"marram.example/events"
	"marram.example/projections/difficulty"
	"marram.example/projections/handicap"
)

// deskStrokeIndexPage holds the stroke indexes of a tee against the recommendation.
// The committee may state ranks of difficulty; nothing of it is stored.
type deskStrokeIndexPage struct {
	ID     string
	Course string
	Tee    string
	Form   *form
	Look   *api.StrokeIndexes // nil where the ranks were refused
	Rule   string             // what a hole picked up on counts
}

func (w *Web) deskStrokeIndexes(c echo.Context) error {
	ctx, id := c.Request().Context(), c.Param("course")
	s, _, err := w.api.Commands.Course(ctx, id)
	if err != nil {
		return err
	}
	if _, known := s.Tees[c.QueryParam("tee")]; !known {
		return events.NotFound("", "the course has no such tee")
	}
	f := newForm(0, c.QueryParams())
	r := &cells{v: f.Values}
	p := deskStrokeIndexPage{ID: id, Course: s.Name, Tee: c.QueryParam("tee"), Form: f, Rule: difficulty.PickedUpRule}
	ranks := ranksIn(r)
	if r.refused(f) {
		return w.deskPage(c, f.Status(), "desk_stroke_index.html", "Stroke indexes, "+p.Tee, p)
	}
	look, err := w.api.StrokeIndexes(ctx, id, p.Tee, ranks, r.ticked("back_harder"))
	if e := events.AsError(err); e != nil && e.Field == "ranks" {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskPage(c, f.Status(), "desk_stroke_index.html", "Stroke indexes, "+p.Tee, p)
	}
	if err != nil {
		return err
	}
	p.Look = &look
	return w.deskPage(c, http.StatusOK, "desk_stroke_index.html", "Stroke indexes, "+p.Tee, p)
}

// ranksIn reads the eighteen ranks; nil where none is filled in.
func ranksIn(r *cells) []int {
	out := make([]int, 18)
	filled := 0
	for i := range out {
		name := rankField(i + 1)
		if r.text(name) != "" {
			filled++
		}
		out[i] = r.whole(name, 0)
	}
	if filled == 0 {
		return nil
	}
	if filled < len(out) && len(r.errs) == 0 {
		r.wrong(events.Invalid("ranks", "required", fmt.Sprintf("%d of 18 holes have a rank; rank all of them, or none", filled)))
	}
	return out
}

func rankField(hole int) string { return "rank" + strconv.Itoa(hole) }

// RankFields are the names of the fields of holes 1 to 18.
func (p deskStrokeIndexPage) RankFields() []string {
	out := make([]string, 18)
	for i := range out {
		out[i] = rankField(i + 1)
	}
	return out
}

// strokeIndexPath is where the stroke indexes of a tee are looked at.
func strokeIndexPath(courseID, tee string) string {
	return "/desk/courses/" + courseID + "/stroke-indexes?tee=" + url.QueryEscape(tee)
}

// Advice says what an advice is about, holes first.
func (p deskStrokeIndexPage) Advice(a handicap.Advice) string { return adviceWords(a) }

func adviceWords(a handicap.Advice) string {
	if len(a.Holes) == 1 {
		return fmt.Sprintf("Hole %d: %s", a.Holes[0], a.Text)
	}
	holes := make([]string, len(a.Holes))
	for i, h := range a.Holes {
		holes[i] = strconv.Itoa(h)
	}
	return fmt.Sprintf("Holes %s: %s", strings.Join(holes, ", "), a.Text)
}

// oddOnTheBack reports whether most odd indexes stand on the back nine: the committee
// then took it for the harder one.
func oddOnTheBack(strokeIndexes []int) bool {
	odd := 0
	for _, index := range strokeIndexes[len(strokeIndexes)/2:] {
		odd += index % 2
	}
	return odd > len(strokeIndexes)/4
}

// checkIndexes looks at how the stroke indexes of a tee are spread. That each stands
// once is a rule; the rest is the published recommendation, and the committee decides.
func checkIndexes(t events.TeeDefinition) []deskCheck {
	indexes := make([]int, len(t.Holes))
	for i, h := range t.Holes {
		indexes[i] = h.StrokeIndex
	}
	once := deskCheck{handicap.ValidateStrokeIndexes(indexes) == nil, fmt.Sprintf("every stroke index from 1 to %d stands once", len(indexes))}
	if !once.OK || len(indexes) != 18 {
		return []deskCheck{once}
	}
	advice, err := handicap.CheckStrokeIndexes(indexes, nil, oddOnTheBack(indexes))
	if err != nil {
		return []deskCheck{{false, err.Error()}}
	}
	out := []deskCheck{once}
	for _, a := range advice {
		out = append(out, deskCheck{false, adviceWords(a)})
	}
	if len(advice) == 0 {
		out = append(out, deskCheck{true, "they are spread as the Rules of Handicapping recommend (Appendix E)"})
	}
	return out
}
