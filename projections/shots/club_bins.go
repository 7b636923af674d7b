package shots

import "sort"

// Edges of the bins, in the lie's own unit: narrow where a foot or a yard matters most, wider with distance. The last one is open.
var (
	greenEdges = []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 20, 25, 30, 35, 40, 50, 60, 75, 90}
	otherEdges = func() []float64 {
		var edges []float64
		for yards := 10.0; yards < 100; yards += 10 {
			edges = append(edges, yards)
		}
		for yards := 100.0; yards <= 600; yards += 20 {
			edges = append(edges, yards)
		}
		return edges
	}()
)

func binEdges(lie int) []float64 {
	if lie == green {
		return greenEdges
	}
	return otherEdges
}

// clubBin is what the strokes of one bin add up to. Residuals are strokes less the published value at the stroke's own distance, so
// that the curve within a bin does no harm.
type clubBin struct {
	n         int
	distances float64 // sum, in the lie's unit
	residuals float64
	squares   float64 // of residuals
	players   float64 // sum over players of the square of their number of strokes
	heads     int     // players
}

func (b *clubBin) mean() float64 { return b.residuals / float64(b.n) }

// clubLie is all bins of a lie and what is needed to tell players from strokes. A stroke's scale is the published strokes beyond the
// first from there: what sets players apart grows with it. Off is its residual less the bin's mean.
type clubLie struct {
	bins    []clubBin
	n       int
	players int
	total   float64 // sum of off squared
	rise    float64 // sum of scale times residual
	scales  float64 // sum of scale squared
	weighed float64 // sum of scale squared times off squared
	fourths float64 // sum of scale to the fourth
	between float64 // sum over players of (sum of scale times off) squared over their sum of scale squared
	unequal float64 // sum over players of their sum of scale squared, squared
}

// clubRow is an observation after a first look.
type clubRow struct {
	residual, scale float64
	player          int32
	lie, bin        uint8
}

// binned looks at every observation once, and then once more in the order of players.
func binned(published *Baseline, obs []Observation) (all [lies]clubLie, players int, err error) {
	for lie := range all {
		all[lie].bins = make([]clubBin, len(binEdges(lie))+1)
	}
	rows := make([]clubRow, len(obs))
	ids := map[string]int32{}
	lastPlayer, last := "", int32(-1)
	for i := range obs {
		o := &obs[i]
		expected, _, err := published.Expected(Position{Lie: o.Lie, Distance: o.Distance})
		if err != nil {
			return all, 0, fmtObservation(i, err)
		}
		if o.Distance > furthestRow*Yard {
			return all, 0, fmtObservation(i, refuse("distance", "", "%.0f metres are further than any hole is long", o.Distance))
		}
		if !(o.Strokes >= 1) || o.Strokes > mostObserved {
			return all, 0, fmtObservation(i, refuse("strokes", "", "%v is not a number of strokes from 1 to %d", o.Strokes, mostObserved))
		}
		if last < 0 || o.Player != lastPlayer {
			id, known := ids[o.Player]
			if !known {
				id = int32(len(ids)) // there are fewer players than strokes, and fewer strokes than fit into memory
				ids[o.Player] = id
			}
			lastPlayer, last = o.Player, id
		}
		lie := lieIndex(o.Lie)
		x := o.Distance / unitOf(lie)
		bin := sort.SearchFloat64s(binEdges(lie), x)
		residual := o.Strokes - expected
		b := &all[lie].bins[bin]
		b.n++
		b.distances += x
		b.residuals += residual
		b.squares += residual * residual
		all[lie].n++
		all[lie].rise += (expected - 1) * residual
		rows[i] = clubRow{residual: residual, scale: expected - 1, player: last, lie: uint8(lie), bin: uint8(bin)}
	}
	byPlayer(rows, len(ids), &all)
	return all, len(ids), nil
}

// byPlayer adds what needs a player's strokes together.
func byPlayer(rows []clubRow, players int, all *[lies]clubLie) {
	starts := make([]int, players+1)
	for i := range rows {
		starts[rows[i].player+1]++
	}
	for i := range players {
		starts[i+1] += starts[i]
	}
	order := make([]int, len(rows))
	next := append([]int(nil), starts...)
	for i := range rows {
		p := rows[i].player
		order[next[p]] = i
		next[p]++
	}
	var counts [lies][256]int
	for p := range players {
		var scales, offs [lies]float64
		mine := order[starts[p]:starts[p+1]]
		for _, i := range mine {
			r, l := &rows[i], &all[rows[i].lie]
			off, square := r.residual-l.bins[r.bin].mean(), r.scale*r.scale
			counts[r.lie][r.bin]++
			scales[r.lie] += square
			offs[r.lie] += r.scale * off
			l.total += off * off
			l.weighed += square * off * off
			l.fourths += square * square
		}
		for _, i := range mine {
			r := &rows[i]
			if k := counts[r.lie][r.bin]; k > 0 {
				b := &all[r.lie].bins[r.bin]
				b.players += float64(k) * float64(k)
				b.heads++
				counts[r.lie][r.bin] = 0
			}
		}
		for lie, q := range scales {
			if q == 0 {
				continue
			}
			l := &all[lie]
			l.players++
			l.scales += q
			l.unequal += q * q
			l.between += offs[lie] * offs[lie] / q
		}
	}
}

// betweenPlayers is the variance of players around the club, as a share of the scale: off = scale times the player's own deviation,
// plus chance. Two moments, the spread of the players' weighted means and that of the strokes, are solved for it (as in a one-way
// analysis of variance with groups of unequal size, only weighed by scale).
func (l *clubLie) betweenPlayers() float64 {
	if l.players < 2 {
		return 0
	}
	others := float64(l.players - 1)
	spread := l.scales - l.unequal/l.scales - others*l.fourths/l.scales
	if spread <= 0 {
		return 0
	}
	return max(0, (l.between-others*l.chance())/spread)
}

// chance is the variance of strokes, weighed by scale.
func (l *clubLie) chance() float64 { return l.weighed / l.scales }

// uneven is 1 over the number of players whose strokes would say as much if all had as many: their share in the variance of a mean.
func (l *clubLie) uneven() float64 { return l.unequal / (l.scales * l.scales) }

// stretch is the multiplier of the published strokes beyond the first that fits the lie's strokes best by least squares, and its
// variance.
func (l *clubLie) stretch(between float64) (m, variance float64) {
	return 1 + l.rise/l.scales, l.chance()/l.scales + between*l.uneven()
}
