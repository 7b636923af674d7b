package shots

import (
	"math"
	"slices"
)

// Ranks numbers the values from 1, equal values sharing the mean of their places.
func Ranks(xs []float64) []float64 {
	order := make([]int, len(xs))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmpFloat(xs[a], xs[b]) })
	ranks := make([]float64, len(xs))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && xs[order[j]] == xs[order[i]] {
			j++
		}
		for _, at := range order[i:j] {
			ranks[at] = float64(i+j+1) / 2
		}
		i = j
	}
	return ranks
}

// Spearman is the rank correlation of two series of one length, equal values sharing
// ranks. 0 where either does not vary or the lengths differ.
func Spearman(xs, ys []float64) float64 {
	if len(xs) != len(ys) {
		return 0
	}
	return correlation(Ranks(xs), Ranks(ys))
}

func correlation(xs, ys []float64) float64 {
	mx, my := Mean(xs), Mean(ys)
	var xy, xx, yy float64
	for i := range xs {
		dx, dy := xs[i]-mx, ys[i]-my
		xy += dx * dy
		xx += dx * dx
		yy += dy * dy
	}
	if xx == 0 || yy == 0 {
		return 0
	}
	return min(1, max(-1, xy/math.Sqrt(xx*yy)))
}
