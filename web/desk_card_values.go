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

// scoreField is the name of a hole's field on a ball, as the domain names it.
func scoreField(ball, i int) string {
	if ball == 0 {
		return item("scores", i)
	}
	return fmt.Sprintf("partners[%d][%d]", ball-1, i)
}

// cellText writes a score as it is typed.
func cellText(s events.Score) string {
	switch {
	case s.None == events.PickedUp:
		return typedPickedUp
	case s.None == events.NoScore:
		return typedNoScore
	case s.None == events.Excluded:
		return ""
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
	for ball := range s.Balls() {
		for i, h := range s.Lines(ball) {
			v.Set(scoreField(ball, i), "")
			if !h.Differs() {
				v.Set(scoreField(ball, i), cellText(h.Counting()))
			}
		}
	}
	return v
}

// cardOf reads the scores of the form, of one ball. Every unlikely number that
// nobody has confirmed is asked back at once.
func cardOf(r *cells, s *card.State, ball int) []command.HoleEntry {
	confirmed := r.ticked("confirmed")
	lines := s.Lines(ball)
	out := make([]command.HoleEntry, len(lines))
	for i, h := range lines {
		if h.Excluded() {
			continue
		}
		field := scoreField(ball, i)
		v, err := typedScore(field, r.v.Get(field))
		if e := events.AsError(err); e != nil {
			r.wrong(e)
			continue
		}
		if v.Strokes != nil && card.Unlikely(h.Par, *v.Strokes) && !confirmed {
			r.wrong(events.Invalid(field, "unlikely_score", fmt.Sprintf("%d on hole %d, a par %d, is unlikely", *v.Strokes, h.Number, h.Par)))
		}
		out[i] = v
	}
	return out
}
