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
	Unusual  float64 `json:"unusual"`   // By over √(τ² + σ²/n): is today unusual for this player?
	PUnusual float64 `json:"p_unusual"` // two-sided
	Differs  float64 `json:"differs"`   // By over σ/√n: does today differ from the usual at all?
	PDiffers float64 `json:"p_differs"` // two-sided
	HowSure  string  `json:"how_sure"`
}

// What the usual bias is made of (common practice, no source).
const (
	leastDays  = 3  // rounds before today
	leastUsual = 12 // strokes in them with a direction
	leastToday = 5  // strokes before today is compared with the usual
)

// biases works out days, usual and today of a pattern from the directions of its strokes.
func (p *Pattern) biases(points []MissPoint, today string) {
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
	now := []float64{}
	for i := range p.Days {
		pulled := pulledIn(angles[i], p.Within)
		p.Days[i].N, p.Days[i].Mean = len(pulled), Mean(pulled)
		if p.Days[i].Today {
			now = pulled
		}
	}
	slices.SortStableFunc(p.Days, func(a, b DayBias) int { return cmp.Compare(a.Date, b.Date) })
	if p.Angles < leastDrawn || p.Within <= 0 {
		p.Within = 0
		return
	}
	own := p.Within / math.Sqrt(float64(max(1, len(now))))
	if !p.usual() {
		if len(now) > 0 {
			p.Today = &Posterior{Mean: Mean(now), SD: own, Weight: 1}
		}
		return
	}
	if today == "" {
		return
	}
	if len(now) < 3 { // too few to tell a stray from the rest: the usual tells
		far := 2 * math.Hypot(p.Usual.SD, p.Within)
		for i, x := range now {
			now[i] = min(max(x, p.Usual.Mean-far), p.Usual.Mean+far)
		}
	}
	found, err := BiasPosterior(p.Usual.Mean, p.Usual.SD, now, p.Within)
	if err != nil { // the spreads are above 0 and everything is finite by now
		return
	}
	p.Today = &found
	if len(now) >= leastToday {
		d := Difference{By: Mean(now) - p.Usual.Mean}
		d.Unusual, d.Differs = d.By/math.Hypot(p.Usual.SD, own), d.By/math.Hypot(p.UsualError, own)
		d.PUnusual, d.PDiffers = twoSided(d.Unusual), twoSided(d.Differs)
		d.HowSure = HowSure(d.PUnusual)
		p.Different = &d
	}
}

// usual estimates the long-term bias and how much a day strays from it, from the days before today: τ² is the variance of their
// means less what strokes alone make of it, the mean weighs each day by 1/(τ² + σ²/n). The mean is itself not exactly known, so
// that a coming day is expected within √(τ² + its error²): with few days, or τ² estimated at 0, today still counts.
func (p *Pattern) usual() bool {
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
		return false
	}
	sd := SD(means)
	between := max(0, sd*sd-Mean(noise))
	weights, mean := 0.0, 0.0
	for i, m := range means {
		w := 1 / (between + noise[i])
		weights += w
		mean += w * m
	}
	p.Between, p.UsualError = math.Sqrt(between), 1/math.Sqrt(weights)
	p.Usual = &Posterior{Mean: mean / weights, SD: math.Hypot(p.Between, p.UsualError)}
	return true
}
