package shots

import (
	"cmp"
	"slices"
	"strconv"

	"marram.example/events"
)

// Sum is what a set of strokes gained. Low and High are the 95 % interval of the mean by Student's t (MeanInterval), which takes
// the strokes as independent; both are the mean where N is below 2. From and To are the edges of a distance band in metres, To 0
// where it has no end.
type Sum struct {
	Key   string  `json:"key"`
	N     int     `json:"n"`
	Total float64 `json:"total"`
	Mean  float64 `json:"mean"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
	From  float64 `json:"from,omitempty"`
	To    float64 `json:"to,omitempty"`
}

// sumOf adds up the gains, which are taken in their order.
func sumOf(key string, gains []float64) Sum {
	s := Sum{Key: key, N: len(gains)}
	if s.N == 0 {
		return s
	}
	s.Total = total(gains)
	s.Mean = s.Total / float64(s.N)
	interval := MeanInterval(gains)
	s.Low, s.High = interval.Low, interval.High
	return s
}

// grouped adds up by a key; the sums come in the order in which their keys first occur.
func grouped(gains []Gain, key func(Gain) string) []Sum {
	order := []string{}
	values := map[string][]float64{}
	for _, g := range gains {
		k := key(g)
		if _, seen := values[k]; !seen {
			order = append(order, k)
		}
		values[k] = append(values[k], g.Gained)
	}
	sums := make([]Sum, len(order))
	for i, k := range order {
		sums[i] = sumOf(k, values[k])
	}
	return sums
}

// ByPhase adds up by phase: always all four, in the order of play.
func ByPhase(gains []Gain) []Sum {
	values := map[Phase][]float64{}
	for _, g := range gains {
		values[g.Phase] = append(values[g.Phase], g.Gained)
	}
	sums := make([]Sum, 0, len(Phases()))
	for _, phase := range Phases() {
		sums = append(sums, sumOf(string(phase), values[phase]))
	}
	return sums
}

// ByClub adds up by club, the longest first; strokes without a club come last, under an empty key.
func ByClub(gains []Gain) []Sum {
	sums := grouped(gains, func(g Gain) string { return g.Stroke.Club })
	clubs := events.Clubs()
	place := func(s Sum) int {
		if s.Key == "" {
			return len(clubs) + 1
		}
		if at := slices.Index(clubs, s.Key); at >= 0 {
			return at
		}
		return len(clubs)
	}
	slices.SortStableFunc(sums, func(a, b Sum) int { return cmp.Compare(place(a), place(b)) })
	return sums
}

// ByHole adds up by the hole's number on the course, in the order of play.
func ByHole(gains []Gain) []Sum {
	return grouped(gains, func(g Gain) string { return strconv.Itoa(g.Hole) })
}

// band is a range of distances in metres: above from, up to to (0 for no end).
type band struct {
	key      string
	from, to float64
}

func (b band) holds(distance float64) bool {
	return !upTo(distance, b.from) && (b.to == 0 || upTo(distance, b.to))
}

// OffTheTeeBand is the key of the strokes off the tee in ByBand: how far the hole is says little about them.
const OffTheTeeBand = "off_the_tee"

// The edges are a convention of ours. 100 yards is where Broadie (2012) divides the long game from the short one.
var (
	longBands = []band{
		{"beyond_200_yd", 200 * Yard, 0},
		{"150_to_200_yd", 150 * Yard, 200 * Yard},
		{"100_to_150_yd", 100 * Yard, 150 * Yard},
		{"50_to_100_yd", 50 * Yard, 100 * Yard},
		{"up_to_50_yd", 0, 50 * Yard},
	}
	puttBands = []band{
		{"putt_up_to_3_ft", 0, 3 * Foot},
		{"putt_3_to_6_ft", 3 * Foot, 6 * Foot},
		{"putt_6_to_10_ft", 6 * Foot, 10 * Foot},
		{"putt_10_to_20_ft", 10 * Foot, 20 * Foot},
		{"putt_20_to_40_ft", 20 * Foot, 40 * Foot},
		{"putt_beyond_40_ft", 40 * Foot, 0},
	}
)

// ByBand adds up by distance to the hole: strokes off the tee together, all others from off the green by distance, the furthest
// first, then putts by theirs, the shortest first. A band holds its further edge. Bands without strokes are left out.
func ByBand(gains []Gain) []Sum {
	bands := slices.Concat([]band{{key: OffTheTeeBand}}, longBands, puttBands)
	values := make([][]float64, len(bands))
	for _, g := range gains {
		at := 0
		switch g.Phase {
		case PhaseOffTheTee:
		case PhasePutting:
			at = 1 + len(longBands) + slices.IndexFunc(puttBands, func(b band) bool { return b.holds(g.From.Distance) })
		default:
			at = 1 + slices.IndexFunc(longBands, func(b band) bool { return b.holds(g.From.Distance) })
		}
		values[at] = append(values[at], g.Gained)
	}
	sums := []Sum{}
	for i, b := range bands {
		if len(values[i]) == 0 {
			continue
		}
		s := sumOf(b.key, values[i])
		s.From, s.To = b.from, b.to
		sums = append(sums, s)
	}
	return sums
}

// Best returns the n strokes that gained most, the best first; of equal ones the earlier comes first.
func Best(gains []Gain, n int) []Gain {
	return ranked(gains, n, func(a, b Gain) int { return cmp.Compare(b.Gained, a.Gained) })
}

// Worst returns the n strokes that lost most, the worst first; of equal ones the earlier comes first.
func Worst(gains []Gain, n int) []Gain {
	return ranked(gains, n, func(a, b Gain) int { return cmp.Compare(a.Gained, b.Gained) })
}

func ranked(gains []Gain, n int, order func(a, b Gain) int) []Gain {
	sorted := slices.Clone(gains)
	slices.SortStableFunc(sorted, order)
	return sorted[:min(max(0, n), len(sorted))]
}
