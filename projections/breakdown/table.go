package breakdown

import (
	"fmt"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/draw"
	"marram.example/projections/handicap"
	"marram.example/projections/standing"
)

// TableRow is one line of a round robin's table with its arithmetic.
type TableRow struct {
	events.TableRow
	Sum handicap.Line `json:"sum"` // how the points add up, and what separated equal ones
}

// table opens the table of a round robin.
func (m *Match) table(comp *competition.State) error {
	var err error
	m.Table, err = OfTable(comp)
	return err
}

// OfTable opens the table of a round robin, best first; it is empty for every other
// competition.
func OfTable(comp *competition.State) ([]TableRow, error) {
	out := []TableRow{}
	if comp.Terms == nil || comp.Terms.Match == nil || comp.Terms.Match.Bracket != competition.RoundRobin {
		return out, nil
	}
	t, err := standing.GroupTable(comp)
	if err != nil {
		return nil, err
	}
	for _, r := range t.Rows {
		line := handicap.Line{
			Label:      "Points",
			Arithmetic: fmt.Sprintf("%d won x 1 + %d tied x 1/2 = %s", r.Won, r.Tied, draw.PointsText(r.HalfPoints)),
			Rule:       "common practice, no source",
		}
		if r.Decided != "" {
			line.Arithmetic += "; " + r.Decided
		}
		out = append(out, TableRow{TableRow: r, Sum: line})
	}
	return out, nil
}
