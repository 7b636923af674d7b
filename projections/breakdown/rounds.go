package breakdown

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
	"marram.example/projections/standing"
)

// Round is one round of an entry, in a competition over several.
type Round struct {
	Round  int    `json:"round"`
	CardID string `json:"card_id"`
	Status string `json:"status"`
	Format string `json:"format"`
	Total  *int   `json:"total"` // in the competition's own ranking; null where there is none yet, or none at all
	Words  string `json:"words"` // why there is none; empty with a total
}

// Cut is how a cut went for an entry.
type Cut struct {
	AfterRound int    `json:"after_round"`
	Line       *int   `json:"line"`    // total of the last one through
	Words      string `json:"words"`   // the arithmetic of the cut
	Total      *int   `json:"total"`   // of this entry then
	Through    *bool  `json:"through"` // null where the entry stands on neither side
}

// rounds adds up the rounds of an entry.
func (b *Breakdown) rounds(comp *competition.State, cards standing.Rounds) error {
	b.Rounds = []Round{}
	b.RoundsTotal = handicap.Explanation{}
	if comp.Terms == nil || comp.Terms.Rounds < 2 {
		return nil
	}
	results := make([]*scoring.Result, len(cards))
	for i, s := range cards {
		if s == nil {
			continue
		}
		results[i] = onBasis(s, comp.Terms.Ranking)
		b.Rounds = append(b.Rounds, roundOf(i+1, s, results[i]))
	}
	total, err := scoring.Rounds(results, len(results))
	if err != nil {
		return err
	}
	b.RoundsTotal = append(b.RoundsTotal, roundsSum(b.Rounds, total, comp.Terms))
	b.cut(comp, results)
	return nil
}

func onBasis(s *standing.Scored, ranking string) *scoring.Result {
	if ranking == standing.Gross {
		return &s.Gross
	}
	return &s.Net
}

func roundOf(n int, s *standing.Scored, r *scoring.Result) Round {
	out := Round{Round: n, CardID: s.CardID, Status: s.Card.Status(), Format: s.Card.Format}
	switch {
	case s.Card.Ruled != "":
		out.Words = "ruled " + s.Card.Ruled
	case r.Lacking != 0:
		out.Words = fmt.Sprintf("hole %d has no score", r.Lacking)
	case !r.Complete:
		out.Words = fmt.Sprintf("%d of %d holes are entered", r.HolesPlayed, len(r.Holes))
	default:
		out.Total = number(r.Value)
	}
	return out
}

// roundsSum writes the rounds as a sum: 71 + 69 = 140.
func roundsSum(all []Round, total scoring.Total, terms *events.Terms) handicap.Line {
	line := handicap.Line{Label: "All rounds, " + terms.Ranking, Rule: "Rules of Golf 3.3a (from memory)"}
	if total.Unit != scoring.UnitStrokes {
		line.Rule = "terms of the competition"
	}
	var parts []string
	sum := 0
	for _, r := range all {
		if r.Total == nil {
			line.Arithmetic = fmt.Sprintf("round %d: %s", r.Round, r.Words)
			if len(parts) > 0 {
				line.Arithmetic = addition(parts, sum) + " so far; " + line.Arithmetic
			}
			return line
		}
		sum += *r.Total
		parts = append(parts, strconv.Itoa(*r.Total))
	}
	line.Arithmetic = fmt.Sprintf("%s %s", addition(parts, sum), total.Unit)
	if len(all) < terms.Rounds {
		line.Arithmetic += " so far"
	}
	return line
}

// addition writes parts with their sum; a single one by itself.
func addition(parts []string, sum int) string {
	if len(parts) == 1 {
		return parts[0]
	}
	return fmt.Sprintf("%s = %d", strings.Join(parts, " + "), sum)
}

// cut says how the cut went for this entry.
func (b *Breakdown) cut(comp *competition.State, results []*scoring.Result) {
	if comp.Cut == nil {
		return
	}
	out := &Cut{AfterRound: comp.Cut.AfterRound, Line: comp.Cut.Line, Words: comp.Cut.Words}
	if n := comp.Cut.AfterRound; n <= len(results) && !slices.Contains(results[:n], nil) {
		if t, err := scoring.Rounds(results[:n], n); err == nil && t.Complete {
			out.Total = number(t.Value)
		}
	}
	switch {
	case slices.Contains(comp.Cut.Through, b.EntryID):
		yes := true
		out.Through = &yes
	case slices.Contains(comp.Cut.Missed, b.EntryID):
		no := false
		out.Through = &no
	}
	b.Cut = out
}

// ties are those settled by lot or play-off in which an entry took part.
func tiesOf(all []competition.Tie, entryID string) []competition.Tie {
	out := []competition.Tie{}
	for _, t := range all {
		if slices.Contains(t.EntryIDs, entryID) {
			out = append(out, t)
		}
	}
	return out
}

// excludedIn says why holes of a round count for nobody.
func excludedIn(comp *competition.State, round int) map[int]string {
	out := map[int]string{}
	for _, x := range comp.Excluded {
		if x.Round == round {
			out[x.Hole] = x.Reason
		}
	}
	return out
}

// maximumOf is a maximum, or nothing where the format has none.
func maximumOf(m events.Maximum) *events.Maximum {
	if m.Kind == "" {
		return nil
	}
	return &m
}
