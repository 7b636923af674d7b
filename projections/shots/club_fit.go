package shots

import (
	"fmt"
	"math"
	"sort"
)

// What a lie needs before its own values are used (common practice, no source).
const (
	FitMinStrokes = 300
	FitMinPlayers = 10
)

// leastTau is the least that a club is taken to differ from a published curve of its level, in strokes: honest baselines from like
// data differ by 0.02 to 0.07 (R. Minton's averages, Roanoke College, against Broadie's).
const leastTau = 0.05

// mostObserved is the most strokes that an observation may say.
const mostObserved = 100

// Observation is one stroke of the club's own: where from, and how many strokes it still took to hole out, penalties included.
type Observation struct {
	Lie      string
	Distance float64 // metres
	Strokes  float64 // this one and all after it, with penalties
	Player   string  // strokes of one player are alike, so that ten strokes of one say less than one of ten
}

// Fit is a baseline fitted from the club's own strokes. It does not change and is safe for concurrent use.
type Fit struct {
	Lies       []LieFit `json:"lies"`
	Players    int      `json:"players"`
	Strokes    int      `json:"strokes"`
	LeftOut    int      `json:"left_out"`    // holes not played out, which make the rest look easier
	MinStrokes int      `json:"min_strokes"` // that a lie needs
	MinPlayers int      `json:"min_players"` // the same

	baseline *Baseline
	sd       [lies]*curve // of the fitted lies
	reach    [lies]span   // the same
}

// span is where a lie's own strokes begin and end, in the lie's unit: the outer edges of the outermost bins with strokes, and these
// bins' centres. Beyond the last edge it ends at the centre.
type span struct{ from, first, last, to float64 }

// LieFit is one lie of a fit.
type LieFit struct {
	Lie     string   `json:"lie"`
	Strokes int      `json:"strokes"`
	Players int      `json:"players"`
	Enough  bool     `json:"enough"`  // false: the values are the published ones
	Stretch float64  `json:"stretch"` // multiplier of the published strokes beyond the first; 0 without strokes
	Tau     float64  `json:"tau"`     // sd of how far the club truly is from the stretched curve, as a share of the strokes beyond the first
	Between float64  `json:"between"` // sd between players, as the same share
	Bins    []FitBin `json:"bins"`
}

// FitBin is a range of distances, its figures and its value in the fit. Without strokes (N 0) the value is what its neighbours, or the
// published curve, say at its middle.
type FitBin struct {
	From      float64 `json:"from"`   // metres
	To        float64 `json:"to"`     // metres; 0 for no end
	Centre    float64 `json:"centre"` // mean distance of the strokes, metres
	N         int     `json:"n"`
	Players   int     `json:"players"`   // whose strokes they are
	Mean      float64 `json:"mean"`      // strokes to hole out, brought to the centre
	Published float64 `json:"published"` // at the centre
	Fitted    float64 `json:"fitted"`
	SD        float64 `json:"sd"` // of the bin's own value, before neighbours are pooled
}

// Observations turns a player's rounds into observations: one for each stroke of every hole that was played out. LeftOut counts
// the holes with strokes that were not.
func Observations(rounds []Round, player string) (obs []Observation, leftOut int) {
	for _, r := range rounds {
		for _, h := range r.Holes {
			if len(h.Strokes) == 0 {
				continue
			}
			if !h.Holed {
				leftOut++
				continue
			}
			left := h.Counted()
			for i := range h.Strokes {
				s := &h.Strokes[i]
				obs = append(obs, Observation{Lie: s.From.Lie, Distance: s.From.Distance, Strokes: float64(left), Player: player})
				left -= 1 + s.Penalty
			}
		}
	}
	return obs, leftOut
}

// FitClub fits a baseline from the club's own strokes. LeftOut is the number of holes that gave no observation because they were
// not played out; it is only carried along.
//
// For each lie by itself: the published curve is stretched to the club's level, 1 + m(E0 - 1), m by least squares over all strokes.
// Strokes are pooled into bins of distance, and each bin's mean is shrunk to the stretched curve, Ê = (n·mean + k·E)/(n + k) with
// k = σ²/τ². σ² is the bin's own variance, steadied by ten strokes' worth of the lie's; τ, how far clubs truly are from the stretched
// curve, is leastTau and beside it a share of E0 - 1, the root mean square of the bins' deviations less what chance explains. The
// strokes of one player are alike: the variance between players, a share of E0 - 1 too, is estimated and added where σ²/n alone
// would take every stroke for a stranger's. Then the bins are made non-decreasing in distance by pool-adjacent-violators, weighed by
// their strokes, and joined by straight lines from centre to centre of the pooled blocks. Nothing is imposed between lies.
//
// The band is the formula's standard deviation, σ/√(n + k), together with that of m; not a bootstrap, so that it needs no random
// numbers. It was checked by simulation (see the tests). In a pooled block the bins' own deviations err each for itself, that of m
// in all of them together.
//
// A lie with fewer than FitMinStrokes strokes or FitMinPlayers players keeps the published values as they are. Nearer than the first
// bin with strokes and beyond the last stand the stretched values, lifted or lowered as far as needed not to fall with distance; a
// bin without strokes in between is a straight line. Give a published baseline of the club's level (Matched, Stretched), so that
// lies with and without enough strokes stay comparable.
//
// It returns an error that wraps an *InputError when an observation is none, or published has no values for its lie.
func FitClub(published *Baseline, obs []Observation, leftOut int) (*Fit, error) {
	if published == nil {
		return nil, refuse("baseline", "", "a fit needs one to lean on")
	}
	if leftOut < 0 {
		return nil, refuse("left_out", "", "%d is below 0", leftOut)
	}
	all, players, err := binned(published, obs)
	if err != nil {
		return nil, err
	}
	f := &Fit{
		Players: players, Strokes: len(obs), LeftOut: leftOut, MinStrokes: FitMinStrokes, MinPlayers: FitMinPlayers,
		baseline: &Baseline{name: "club", curves: published.curves},
	}
	enough := 0
	for lie := range all {
		if published.curves[lie] == nil {
			continue
		}
		fit := f.lie(published, lie, &all[lie])
		if fit.Enough {
			enough++
		}
		f.Lies = append(f.Lies, fit)
	}
	f.baseline.joinTee()
	for i := range f.Lies {
		f.Lies[i].settle(f.baseline)
	}
	f.baseline.label = "The club's own strokes (fitted, not published)"
	f.baseline.source = fmt.Sprintf("fitted from %d strokes of %d players, for %d of %d lies, all else from %s; %d holes not played out left out",
		len(obs), players, enough, len(f.Lies), published.name, leftOut)
	if enough == 0 {
		f.baseline.label = published.label + ", for want of strokes of the club's own"
	}
	return f, nil
}

// lie fits one lie and puts its curve into the baseline when there are enough strokes.
func (f *Fit) lie(published *Baseline, lie int, l *clubLie) LieFit {
	fit := LieFit{
		Lie: lieNames[lie], Strokes: l.n, Players: l.players, Enough: l.n >= FitMinStrokes && l.players >= FitMinPlayers,
		Bins: emptyBins(published, lie),
	}
	if l.n == 0 {
		return fit
	}
	between := l.betweenPlayers()
	m, spread := l.stretch(between)
	pooled := l.total / float64(max(1, l.n-1))
	variances := make([]float64, len(l.bins)) // of a bin's deviation from the stretched curve
	excess, scales := 0.0, 0.0
	for i := range l.bins {
		b := &l.bins[i]
		if b.n == 0 {
			continue
		}
		n, bin := float64(b.n), &fit.Bins[i]
		bin.N, bin.Players, bin.Centre = b.n, b.heads, b.distances/n*unitOf(lie)
		bin.Published, _, _ = published.Expected(Position{Lie: fit.Lie, Distance: bin.Centre})
		bin.Mean = bin.Published + b.mean()
		scale := bin.Published - 1
		variances[i] = (10*pooled+max(0, b.squares-n*b.mean()*b.mean()))/(9+n)/n +
			between*scale*scale*max(0, b.players/(n*n)-l.uneven())
		off := bin.Mean - 1 - m*scale
		excess += n * (off*off - variances[i])
		scales += n * scale * scale
	}
	tau := math.Sqrt(max(0, excess/scales))
	fit.Stretch, fit.Between, fit.Tau = m, math.Sqrt(between), tau
	var blocks []block
	for i := range l.bins {
		bin := &fit.Bins[i]
		if bin.N == 0 {
			continue
		}
		scale := bin.Published - 1
		value, sd := shrunk(bin.Mean, 1+m*scale, variances[i], leastTau*leastTau+tau*scale*tau*scale)
		b := block{weight: float64(bin.N), x: bin.Centre / unitOf(lie), y: max(1, value), own: sd * sd, shared: scale * math.Sqrt(spread)}
		bin.SD = b.sd()
		blocks = append(blocks, b)
	}
	if fit.Enough {
		f.fitted(published.curves[lie], lie, m, blocks)
	}
	return fit
}

// shrunk weighs a mean, with the variance it has by chance, against a reference around which true values vary by tau².
func shrunk(mean, reference, variance, tau2 float64) (value, sd float64) {
	weight := tau2 / (tau2 + variance)
	return reference + weight*(mean-reference), math.Sqrt(weight * variance)
}

// emptyBins are the bins of a lie before any stroke.
func emptyBins(published *Baseline, lie int) []FitBin {
	edges, unit := binEdges(lie), unitOf(lie)
	bins := make([]FitBin, len(edges)+1)
	from := 0.0
	for i := range bins {
		to := 0.0 // open
		centre := from
		if i < len(edges) {
			to = edges[i]
			centre = (from + to) / 2
		}
		bins[i] = FitBin{From: from * unit, To: to * unit, Centre: centre * unit}
		bins[i].Published, _, _ = published.Expected(Position{Lie: lieNames[lie], Distance: bins[i].Centre})
		bins[i].Mean = bins[i].Published
		from = to
	}
	return bins
}

// fitted makes the curve of a lie out of its bins: pooled blocks, and rows of the stretched curve nearer and further than
// the bins reach.
func (f *Fit) fitted(rows *curve, lie int, m float64, bins []block) {
	nearest, furthest := bins[0].x, bins[len(bins)-1].x
	blocks := poolAdjacentViolators(bins)
	first, last := blocks[0], blocks[len(blocks)-1]
	var x, y, sd []float64
	level := 1.0
	for i := range rows.x {
		if rows.x[i] < nearest {
			level = max(level, 1+m*(rows.y[i]-1))
			x, y, sd = append(x, rows.x[i]), append(y, min(level, first.y)), append(sd, 0)
		}
	}
	// The outermost blocks hold from their outermost bin on, not only from their own centre.
	if first.x > nearest {
		x, y, sd = append(x, nearest), append(y, first.y), append(sd, first.sd())
	}
	for _, b := range blocks {
		x, y, sd = append(x, b.x), append(y, b.y), append(sd, b.sd())
	}
	if last.x < furthest {
		x, y, sd = append(x, furthest), append(y, last.y), append(sd, last.sd())
	}
	level = last.y
	for i := range rows.x {
		if rows.x[i] > furthest {
			level = max(level, 1+m*(rows.y[i]-1))
			x, y, sd = append(x, rows.x[i]), append(y, level), append(sd, 0)
		}
	}
	if len(x) == 1 { // all strokes from one bin beyond the table: flat
		x, y, sd = append(x, x[0]+1), append(y, y[0]), append(sd, sd[0])
	}
	f.baseline.curves[lie] = newCurve(rows.unit, x, y)
	f.sd[lie] = newCurve(rows.unit, x, sd)
	f.reach[lie] = spanOf(binEdges(lie), nearest, furthest)
}

func spanOf(edges []float64, first, last float64) span {
	r := span{first: first, last: last, to: last}
	if i := sort.SearchFloat64s(edges, first); i > 0 {
		r.from = edges[i-1]
	}
	if i := sort.SearchFloat64s(edges, last); i < len(edges) {
		r.to = edges[i]
	}
	return r
}

// settle fills in what the whole baseline says at each bin's centre.
func (l *LieFit) settle(b *Baseline) {
	for i := range l.Bins {
		l.Bins[i].Fitted, _, _ = b.Expected(Position{Lie: l.Lie, Distance: l.Bins[i].Centre})
	}
}

// Baseline returns the fitted baseline. Its label and source say what it is made of.
func (f *Fit) Baseline() *Baseline { return f.baseline }

// Enough reports whether the lie's values are the club's own.
func (f *Fit) Enough(lie string) bool {
	i := lieIndex(lie)
	return i >= 0 && f.sd[i] != nil
}

// Band returns the 95 % band of the expected strokes from p, at least 1 stroke. Where no strokes of the club's own reach (see
// FitClub), or p is no position, there is none: both are the value.
func (f *Fit) Band(p Position) (low, high float64) {
	e, _, err := f.baseline.Expected(p)
	lie := lieIndex(p.Lie)
	if err != nil || f.sd[lie] == nil {
		return e, e
	}
	x := p.Distance / unitOf(lie)
	r := f.reach[lie]
	if x < r.from || x > r.to {
		return e, e
	}
	half := z95 * f.sd[lie].at(min(max(x, r.first), r.last))
	return max(1, e-half), e + half
}

func fmtObservation(i int, err error) error { return fmt.Errorf("observation %d: %w", i+1, err) }
