package web

import (
	"fmt"
	"net/url"
	"strconv"
	"strings"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/scoring"
)

// How a hole without strokes is typed.
const (
	typedPickedUp = "P"
	typedNoScore  = "-"
)

// scoreField is the name of a hole's field, as the domain names it.
func scoreField(i int) string { return fmt.Sprintf("scores[%d]", i) }

// cellText writes a score as it is typed.
func cellText(s events.Score) string {
	switch {
	case s.None == events.PickedUp:
		return typedPickedUp
	case s.None == events.NoScore:
		return typedNoScore
	case s.Strokes > 0:
		return strconv.Itoa(s.Strokes)
	}
	return ""
}

// typedScore reads a score as it is typed.
func typedScore(field, s string) (command.HoleEntry, error) {
	switch s = strings.TrimSpace(s); strings.ToUpper(s) {
	case "":
		return command.HoleEntry{}, nil
	case typedPickedUp:
		return command.HoleEntry{None: events.PickedUp}, nil
	case typedNoScore, "\u2013", "\u2212":
		return command.HoleEntry{None: events.NoScore}, nil
	}
	n, err := strconv.Atoi(s)
	if err != nil || scoring.Impossible(n) {
		return command.HoleEntry{}, events.Invalid(field, "malformed",
			fmt.Sprintf("%q is not a score: type strokes from 1 to 99, P for picked up, or - for no score", s))
	}
	return command.HoleEntry{Strokes: &n}, nil
}

// cardValues are the scores that stand as the form holds them. Where player and
// marker differ the field is left empty, so that nobody hands in a number that
// was never settled.
func cardValues(s *card.State) url.Values {
	v := url.Values{}
	for i, h := range s.Holes {
		v.Set(scoreField(i), "")
		if !h.Differs() {
			v.Set(scoreField(i), cellText(h.Counting()))
		}
	}
	return v
}

// cardOf reads the scores of the form. Every unlikely number that nobody has
// confirmed is asked back at once.
func cardOf(r *cells, s *card.State) []command.HoleEntry {
	confirmed := r.ticked("confirmed")
	out := make([]command.HoleEntry, len(s.Holes))
	for i, h := range s.Holes {
		v, err := typedScore(scoreField(i), r.v.Get(scoreField(i)))
		if e := events.AsError(err); e != nil {
			r.wrong(e)
			continue
		}
		if v.Strokes != nil && card.Unlikely(h.Par, *v.Strokes) && !confirmed {
			r.wrong(events.Invalid(scoreField(i), "unlikely_score", fmt.Sprintf("%d on hole %d, a par %d, is unlikely", *v.Strokes, h.Number, h.Par)))
		}
		out[i] = v
	}
	return out
}
