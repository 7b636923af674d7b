package api

import (
	"marram.example/api/command"
	"marram.example/events"
	"marram.example/projections/scoring"
	"marram.example/projections/standing"
)

// CardCount is what a hole of a card comes to for the entry, in the ranking of the
// terms. Figures are null where they mean nothing.
type CardCount struct {
	Number   int   `json:"number"`
	Entered  bool  `json:"entered"` // something counts, or nothing can any more
	By       []int `json:"by"`      // balls that count
	Equal    []int `json:"equal"`   // balls that would have counted just as well
	Received int   `json:"received"`
	Penalty  int   `json:"penalty"` // strokes that the committee added
	Gross    *int  `json:"gross"`   // strokes, penalties included, at most the maximum
	Net      *int  `json:"net"`
	Points   *int  `json:"points"`    // of Stableford
	ParBogey *int  `json:"par_bogey"` // 1 won, 0 tied, -1 lost; of par/bogey
}

// CardTotals are the totals of a card so far, or once it is returned those of the
// round. Figures are null where they mean nothing.
type CardTotals struct {
	Gross         *int `json:"gross"`
	Net           *int `json:"net"`
	Points        *int `json:"points"`
	GrossPoints   *int `json:"gross_points"`
	ParBogey      *int `json:"par_bogey"`
	GrossParBogey *int `json:"gross_par_bogey"`
}

// count adds what a card comes to.
func (out *Card) count(k command.CardView, ranking string) error {
	scored, err := standing.Score(k.ID, k.Sequence, k.State)
	if err != nil {
		return err
	}
	result := scored.Net
	if ranking == standing.Gross {
		result = scored.Gross
	}
	out.Counts = make([]CardCount, len(out.Holes))
	for i, h := range out.Holes {
		for _, counted := range result.Holes {
			if counted.Hole == h.Number {
				out.Counts[i] = cardCount(counted, result, k.State.Balls())
			}
		}
	}
	t := standing.Rounds{&scored}.Totals(k.State.Returned)
	out.Totals = CardTotals{
		Gross: t.Gross, Net: t.Net, Points: t.Points, GrossPoints: t.GrossPoints, ParBogey: t.ParBogey, GrossParBogey: t.GrossParBogey,
	}
	return nil
}

func cardCount(h scoring.HoleResult, r scoring.Result, balls int) CardCount {
	out := CardCount{
		Number: h.Hole, Entered: h.Score.Entered(), By: orEmpty(h.By), Equal: orEmpty(h.Equal), Received: h.Received, Penalty: h.Penalty,
	}
	if !out.Entered || h.Score.State == scoring.Excluded {
		return out
	}
	if balls == 1 {
		out.By = []int{0}
	}
	if h.Counts() {
		out.Gross, out.Net = &h.Gross, &h.Net
	}
	switch r.Format {
	case events.Stableford:
		out.Points = &h.Points
	case events.ParBogey:
		out.ParBogey = &h.ParBogey
	}
	return out
}
