package standing

import (
	"marram.example/events"
	"marram.example/projections/scoring"
)

// Totals are what an entry comes to over its rounds. Figures are nil where they
// mean nothing: in another format, or where a hole without a score leaves none.
type Totals struct {
	Gross, Net, GrossToPar, NetToPar       *int // strokes
	Points, GrossPoints, Level, GrossLevel *int // Stableford: points, and points less two a hole
	ParBogey, GrossParBogey                *int // holes won less holes lost
}

// Totals adds up the rounds of an entry. Before the end it covers the holes played
// so far; at the end strokes count only where every hole has some.
func (r Rounds) Totals(atEnd bool) Totals {
	var out Totals
	first := true
	for _, s := range r {
		if s == nil || !atEnd && s.Net.HolesPlayed == 0 && !first {
			continue
		}
		t := s.totals(atEnd)
		if first {
			out, first = t, false
			continue
		}
		out = Totals{
			Gross: plus(out.Gross, t.Gross), Net: plus(out.Net, t.Net),
			GrossToPar: plus(out.GrossToPar, t.GrossToPar), NetToPar: plus(out.NetToPar, t.NetToPar),
			Points: plus(out.Points, t.Points), GrossPoints: plus(out.GrossPoints, t.GrossPoints),
			Level: plus(out.Level, t.Level), GrossLevel: plus(out.GrossLevel, t.GrossLevel),
			ParBogey: plus(out.ParBogey, t.ParBogey), GrossParBogey: plus(out.GrossParBogey, t.GrossParBogey),
		}
	}
	return out
}

func plus(a, b *int) *int {
	if a == nil || b == nil {
		return nil
	}
	return number(*a + *b)
}

func number(n int) *int { return &n }

// totals are those of one card.
func (s *Scored) totals(atEnd bool) Totals {
	var out Totals
	net, gross := s.Net.Total, s.Gross.Total
	if strokesCount(net, atEnd) {
		out.Net, out.NetToPar = number(net.Net), number(net.NetToPar())
	}
	if strokesCount(gross, atEnd) {
		out.Gross, out.GrossToPar = number(gross.Gross), number(gross.GrossToPar())
	}
	if !s.Net.HasLive && (!atEnd || !s.Net.Complete) {
		return out
	}
	switch s.Net.Format {
	case events.Stableford:
		out.Points, out.GrossPoints = number(net.Points), number(gross.Points)
		out.Level, out.GrossLevel = number(s.Net.Live), number(s.Gross.Live)
	case events.ParBogey:
		out.ParBogey, out.GrossParBogey = number(net.ParBogey), number(gross.ParBogey)
	}
	return out
}

// strokesCount reports whether the strokes of a sum mean something: every hole so
// far, or at the end every hole, has some.
func strokesCount(t scoring.Sum, atEnd bool) bool {
	if atEnd {
		return t.AllScored()
	}
	return t.Scored > 0 && t.Scored+t.Excluded == t.Played
}
