package web

import (
	"cmp"
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"marram.example/api"
	"marram.example/events"
	"marram.example/projections/review"
)

// coachPage is every player whose share this browser holds.
type coachPage struct {
	Rows []coachRow
	Gone int // shares that open nothing any more
}

// coachRow is one player: what to practise, how sure, the trend.
type coachRow struct {
	ID, Name string
	First    *firstBox
	FirstNot string
	Trend    *drawing
	Words    string // of the trend
	Latest   string // date of the last round
	Rounds   int
}

// coachRounds is how many of the newest rounds a row rests on.
const coachRounds = 20

func (w *Web) coach(c echo.Context) error {
	ctx := c.Request().Context()
	p := coachPage{}
	for _, id := range w.api.Auth.Coached(c) {
		who, err := w.api.Auth.Coach(c, id)
		if err != nil {
			return err
		}
		if who.Role != events.RoleCoach {
			p.Gone++
			continue
		}
		r, err := w.api.PlayerReview(ctx, id, api.ReviewOptions{Last: coachRounds, Units: string(unitsOf(c))})
		if events.AsError(err) != nil {
			p.Gone++
			continue
		}
		if err != nil {
			return err
		}
		known, err := w.api.Models.Players.Get(ctx, id)
		if err != nil {
			return err
		}
		p.Rows = append(p.Rows, coachRowOf(id, known.State.Name, &r))
	}
	slices.SortStableFunc(p.Rows, func(a, b coachRow) int { return cmp.Compare(b.Latest, a.Latest) })
	return w.render(c, http.StatusOK, "coach.html", page{Title: "Players who share with you", Body: "review", Styles: []string{"review.css"}, Private: true, Data: p})
}

func coachRowOf(id, name string, r *review.Review) coachRow {
	row := coachRow{ID: id, Name: name, First: firstOf(r.First), FirstNot: r.FirstNot, Latest: r.Title.To, Rounds: r.Title.Rounds}
	if row.Name == "" {
		row.Name = erasedName
	}
	var values []float64
	for _, l := range r.Rounds {
		if v := l.Gained; v != nil {
			values = append(values, *v)
		}
	}
	if len(values) < 2 {
		values = nil
		for _, l := range r.Rounds {
			if v := l.AgainstHandicap; v != nil {
				values = append(values, *v)
			}
		}
	}
	if row.Trend = spark(values); row.Trend != nil {
		row.Words = "latest round " + gainedText(values[len(values)-1])
		if r.Trend != nil {
			row.Words = r.Trend.Words
		}
	}
	return row
}
