package web

import (
	"fmt"
	"net/http"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/match"
)

// deskMatchRow is one match of a list.
type deskMatchRow struct {
	ID     string
	Number int
	A, B   string // names of the sides
	Time   string
	Hole   int
	Says   string // how it stands
	Why    string // differs, out or in: how the list marks it
	Over   bool   // decided, or decided by its holes
	Bye    bool
}

// deskMatchesPage lists the matches of a round.
type deskMatchesPage struct {
	*deskComp
	Rows []deskMatchRow
}

func (w *Web) deskMatches(c echo.Context) error {
	k, err := w.deskComp(c, "matches")
	if err != nil {
		return err
	}
	return w.deskPage(c, http.StatusOK, "desk_matches.html", "Matches of "+k.State.Name, deskMatchesPage{k, k.matchRows()})
}

// matchRows are the matches of the round that is shown, in the order of its sheet,
// byes among them.
func (k *deskComp) matchRows() []deskMatchRow {
	sheet := k.State.Sheet(k.Shown)
	if sheet == nil || !k.State.IsMatch() {
		return nil
	}
	arranged := map[int]command.MatchView{}
	for _, m := range k.Matches {
		arranged[m.State.Arranged.Number] = m
	}
	var out []deskMatchRow
	for _, g := range sheet.Groups {
		r := deskMatchRow{Number: g.Number, A: k.Names[g.Places[0].EntryID], Time: g.Time, Hole: g.StartingHole, Why: cardPlaying, Says: "not arranged yet"}
		if len(g.Places) < 2 {
			r.Bye, r.Over, r.Why, r.Says = true, true, cardIn, "a bye: goes on without a match"
			out = append(out, r)
			continue
		}
		r.B = k.Names[g.Places[1].EntryID]
		if m, ok := arranged[g.Number]; ok {
			r.ID, r.Over = m.ID, deskMatchOver(m.State)
			r.Says = matchSays(m.State, r.A, r.B)
			switch {
			case len(m.State.Differences()) > 0 || m.State.ResultDiffers():
				r.Why = cardDiffers
			case r.Over:
				r.Why = cardIn
			}
		}
		out = append(out, r)
	}
	return out
}

// deskMatchOver reports whether a match is decided, or would be when its round is
// closed.
func deskMatchOver(s *match.State) bool {
	if _, ok := s.Outcome(); ok {
		return true
	}
	return s.Standing().Over && len(s.Differences()) == 0
}

// matchSays says how a match stands: "A, 2 up after 12".
func matchSays(s *match.State, a, b string) string {
	side := func(winner string) string {
		if winner == events.SideB {
			return b
		}
		return a
	}
	if o, ok := s.Outcome(); ok {
		switch {
		case o.Winner == events.NoWinner:
			return "nobody goes on: " + o.Text
		case o.Winner == events.Tied:
			return "tied"
		case o.Grounds == events.MatchCredited:
			return "to " + side(o.Winner) + ": " + o.Text
		default:
			return side(o.Winner) + ", " + o.Text
		}
	}
	differ := s.Differences()
	if len(differ) > 0 {
		return fmt.Sprintf("the sides differ on hole %d", s.Holes[differ[0]-1].Hole)
	}
	if s.ResultDiffers() {
		return fmt.Sprintf("the sides stand for different results: %s and %s", s.AgreedA.Text, s.AgreedB.Text)
	}
	stands := s.Standing()
	switch {
	case stands.Over && stands.Winner == events.Tied:
		return "tied by the holes, not recorded yet"
	case stands.Over:
		return side(stands.Winner) + ", " + stands.Text + " by the holes, not recorded yet"
	case stands.Played == 0:
		return "not begun"
	case stands.Lead == 0:
		return fmt.Sprintf("%s after %d", stands.Text, stands.Played)
	case stands.Lead < 0:
		return fmt.Sprintf("%s, %s after %d", b, stands.Text, stands.Played)
	default:
		return fmt.Sprintf("%s, %s after %d", a, stands.Text, stands.Played)
	}
}
