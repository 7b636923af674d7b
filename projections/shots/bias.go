package shots

import (
	"cmp"
	"math"
	"slices"
)

// Posterior is what is held of a bias: a normal distribution in the unit of the observations.
type Posterior struct {
	Mean   float64 `json:"mean"`
	SD     float64 `json:"sd"`
	Weight float64 `json:"weight"` // of today's strokes in it, 0 to 1
}

// BiasPosterior shrinks the observations of a day to the usual bias (normal prior, normal observations of known spread). PriorSD
// is how much days differ from each other, not the standard error of the long-term mean: with the latter today would never
// count. Without observations it is the prior.
//
// It returns an *InputError for values that are not finite or a spread that is not above 0.
func BiasPosterior(priorMean, priorSD float64, observations []float64, observationSD float64) (Posterior, error) {
	switch {
	case !finite(priorMean):
		return Posterior{}, refuse("prior_mean", "", "is not a finite number")
	case !finite(priorSD) || priorSD <= 0:
		return Posterior{}, refuse("prior_sd", "above 0", "%g is not", priorSD)
	case !finite(observationSD) || observationSD <= 0:
		return Posterior{}, refuse("observation_sd", "above 0", "%g is not", observationSD)
	case !finite(observations...):
		return Posterior{}, refuse("observations", "", "one is not a finite number")
	}
	if len(observations) == 0 {
		return Posterior{Mean: priorMean, SD: priorSD}, nil
	}
	n := float64(len(observations))
	// The same as precisions added up, written so that neither a huge nor a tiny spread overflows.
	share := observationSD / math.Sqrt(n)
	both := math.Hypot(priorSD, share)
	weight := (priorSD / both) * (priorSD / both)
	return Posterior{
		Mean: priorMean + weight*(Mean(observations)-priorMean), SD: priorSD * (share / both), Weight: weight,
	}, nil
}

// DayBias is the middle of one round's directions.
type DayBias struct {
	Round string  `json:"round"`
	Date  string  `json:"date"`
	N     int     `json:"n"`
	Mean  float64 `json:"mean"` // degrees, right positive; strays pulled in
	Today bool    `json:"today"`
}

// Difference is how today's bias stands to the usual one, in degrees. How sure is by PUnusual.
type Difference struct {
	By       float64 `json:"by"`        // today's mean less the usual one, before any shrinking
	Unusual  float64 `json:"unusual"`   // By over √(τ² + σ²/n), and the usual's own error: is today unusual for this player?
	PUnusual float64 `json:"p_unusual"` // two-sided
	Differs  float64 `json:"differs"`   // By over σ/√n, and the usual's own error: does today differ from the usual at all?
	PDiffers float64 `json:"p_differs"` // two-sided
	HowSure  string  `json:"how_sure"`
}

// What the usual bias is made of (common practice, no source).
const (
	leastDays  = 3  // rounds before today
	leastUsual = 12 // strokes in them with a direction
	leastToday = 5  // strokes before today is compared with the usual
)

// leastSpread in degrees is none that a person could have measured: the same figure was entered again and again.
const leastSpread = 1e-6

// biases works out days, usual and today of a pattern from the directions of its strokes.
func (p *Pattern) biases(points []MissPoint, today string) {
	now := p.days(points, today)
	if p.Angles < leastDrawn || p.Within < leastSpread {
		p.Within = 0
		return
	}
	own := p.Within / math.Sqrt(float64(max(1, len(now))))
	guesses := p.usual()
	if guesses == nil {
		if len(now) > 0 {
			p.Today = &Posterior{Mean: Mean(now), SD: own, Weight: 1}
		}
		return
	}
	if today == "" {
		return
	}
	if len(now) < 3 { // too few to tell a stray from the rest: the usual tells
		for i, x := range now {
			now[i] = pull(x, p.Usual.Mean, math.Hypot(p.Usual.SD, p.Within))
		}
	}
	p.Today = p.shrunk(guesses, now)
	if len(now) >= leastToday {
		d := Difference{By: Mean(now) - p.Usual.Mean}
		d.Unusual, d.Differs = d.By/math.Hypot(p.Usual.SD, own), d.By/math.Hypot(p.UsualError, own)
		d.PUnusual, d.PDiffers = twoSided(d.Unusual), twoSided(d.Differs)
		d.HowSure = HowSure(d.PUnusual)
		p.Different = &d
	}
}

// days sets the days and the spread within one, and returns today's directions with strays pulled in.
func (p *Pattern) days(points []MissPoint, today string) (now []float64) {
	index := map[string]int{}
	var angles [][]float64
	for _, m := range points {
		if !m.AngleKnown {
			continue
		}
		at, known := index[m.Round]
		if !known {
			at = len(p.Days)
			index[m.Round] = at
			p.Days = append(p.Days, DayBias{Round: m.Round, Date: m.Date, Today: today != "" && m.Round == today})
			angles = append(angles, nil)
		}
		angles[at] = append(angles[at], m.Angle)
	}
	p.Within = pairSpread(angles)
	if p.Within == 0 {
		p.Within = p.SpreadAngle
	}
	for i := range p.Days {
		pulled := pulledIn(angles[i], p.Within)
		p.Days[i].N, p.Days[i].Mean = len(pulled), Mean(pulled)
		if p.Days[i].Today {
			now = pulled
		}
	}
	slices.SortStableFunc(p.Days, func(a, b DayBias) int { return cmp.Compare(a.Date, b.Date) })
	return now
}

// guess is one value that τ may have, how likely the past days make it, and the long-term bias that goes with it.
type guess struct {
	tau, weight, mean, error float64
}

// usual estimates the long-term bias and how much a day strays from it, from the days before today; nil where they are too few.
//
// Between is τ by the method of moments: the variance of the day means less what strokes alone make of it. From a handful of days
// that is a rough figure, often 0, and taking it for the truth makes the interval of today's bias hold it only 82 to 89 times in
// 100 (so a simulation of 4 to 12 days). Usual and Today therefore average over τ: each value up to 3σ weighs by the likelihood
// of the day means, N(m, τ² + σ²/n) with nothing known of m, times a half-normal prior of scale σ (days stray less than strokes;
// common practice, no source). The usual mean is itself not exactly known, and that is part of the spread of a coming day.
func (p *Pattern) usual() []guess {
	var means, noise []float64
	strokes := 0
	for _, d := range p.Days {
		if !d.Today {
			means = append(means, d.Mean)
			noise = append(noise, p.Within*p.Within/float64(d.N))
			strokes += d.N
		}
	}
	if len(means) < leastDays || strokes < leastUsual {
		return nil
	}
	sd := SD(means)
	p.Between = math.Sqrt(max(0, sd*sd-Mean(noise)))
	const steps = 60
	guesses := make([]guess, steps)
	logs := make([]float64, steps)
	for i := range guesses {
		tau := 3 * p.Within * (float64(i) + 0.5) / steps
		weights, mean, square := 0.0, 0.0, 0.0
		for j, m := range means {
			w := 1 / (tau*tau + noise[j])
			weights += w
			mean += w * m
			logs[i] += math.Log(w) / 2
		}
		mean /= weights
		for j, m := range means {
			square += (m - mean) * (m - mean) / (tau*tau + noise[j])
		}
		logs[i] -= math.Log(weights)/2 + square/2 + tau*tau/(2*p.Within*p.Within)
		guesses[i] = guess{tau: tau, mean: mean, error: 1 / math.Sqrt(weights)}
	}
	weigh(guesses, logs)
	var usual, known mixture
	for _, g := range guesses {
		usual.add(g.weight, Posterior{Mean: g.mean, SD: math.Hypot(g.tau, g.error)})
		known.add(g.weight, Posterior{Mean: g.mean, SD: g.error})
	}
	p.Usual, p.UsualError = usual.posterior(), known.posterior().SD
	return guesses
}

// shrunk is today's bias: BiasPosterior for each guess at τ, weighed by how well that guess foretells today too.
func (p *Pattern) shrunk(guesses []guess, now []float64) *Posterior {
	logs := make([]float64, len(guesses))
	for i, g := range guesses {
		logs[i] = math.Log(g.weight)
		if len(now) > 0 {
			sd := math.Sqrt(g.tau*g.tau + g.error*g.error + p.Within*p.Within/float64(len(now)))
			z := (Mean(now) - g.mean) / sd
			logs[i] -= math.Log(sd) + z*z/2
		}
	}
	guesses = slices.Clone(guesses)
	weigh(guesses, logs)
	var all mixture
	for _, g := range guesses {
		// Spreads are above 0 and everything is finite by now, so that it cannot refuse.
		if one, err := BiasPosterior(g.mean, math.Hypot(g.tau, g.error), now, p.Within); err == nil {
			all.add(g.weight, one)
		}
	}
	return all.posterior()
}

// weigh turns logarithms of weights into weights that add up to 1.
func weigh(guesses []guess, logs []float64) {
	most, sum := slices.Max(logs), 0.0
	for i := range guesses {
		guesses[i].weight = math.Exp(logs[i] - most)
		sum += guesses[i].weight
	}
	for i := range guesses {
		guesses[i].weight /= sum
	}
}

// mixture adds up weighted normal distributions.
type mixture struct {
	parts   []Posterior
	weights []float64
}

func (m *mixture) add(weight float64, p Posterior) {
	m.parts, m.weights = append(m.parts, p), append(m.weights, weight)
}

// posterior has the mixture's mean and standard deviation.
func (m *mixture) posterior() *Posterior {
	var p Posterior
	for i, part := range m.parts {
		p.Mean += m.weights[i] * part.Mean
		p.Weight += m.weights[i] * part.Weight
	}
	variance := 0.0
	for i, part := range m.parts {
		variance += m.weights[i] * (part.SD*part.SD + (part.Mean-p.Mean)*(part.Mean-p.Mean))
	}
	p.SD, p.Weight = math.Sqrt(variance), min(1, p.Weight)
	return &p
}
