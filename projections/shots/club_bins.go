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
}

func (b *clubBin) mean() float64 { return b.residuals / float64(b.n) }

// clubLie is all bins of a lie and what is needed to tell players from strokes.
type clubLie struct {
	bins    []clubBin
	n       int
	players int
	squares float64 // sum over players of the square of their number of strokes
	between float64 // sum over players of strokes times squared mean residual from the bins' means
	total   float64 // sum of squared residuals from the bins' means
}

// clubRow is an observation after a first look.
type clubRow struct {
	residual float64
	player   int32
	lie, bin uint8
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
				id = int32(len(ids)) //nolint:gosec // there are fewer players than strokes, and fewer strokes than fit into memory
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
		rows[i] = clubRow{residual: residual, player: last, lie: uint8(lie), bin: uint8(bin)}
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
		var n [lies]int
		var off [lies]float64
		mine := order[starts[p]:starts[p+1]]
		for _, i := range mine {
			r := rows[i]
			e := r.residual - all[r.lie].bins[r.bin].mean()
			counts[r.lie][r.bin]++
			n[r.lie]++
			off[r.lie] += e
			all[r.lie].total += e * e
		}
		for _, i := range mine {
			r := rows[i]
			if k := counts[r.lie][r.bin]; k > 0 {
				all[r.lie].bins[r.bin].players += float64(k) * float64(k)
				counts[r.lie][r.bin] = 0
			}
		}
		for lie := range all {
			if n[lie] == 0 {
				continue
			}
			l, k := &all[lie], float64(n[lie])
			l.players++
			l.squares += k * k
			l.between += off[lie] * off[lie] / k
		}
	}
}

// betweenPlayers is the variance of the players' own means around the club's, by the method of moments of a one-way analysis of
// variance with groups of unequal size.
func (l *clubLie) betweenPlayers() float64 {
	n, players := float64(l.n), float64(l.players)
	if players < 2 || n <= players {
		return 0
	}
	within := (l.total - l.between) / (n - players)
	return max(0, (l.between-(players-1)*within)/(n-l.squares/n))
}
