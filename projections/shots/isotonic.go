package shots

import "math"

// block is a stretch of distances with one value.
type block struct {
	weight float64
	x, y   float64 // its centre and its value, weighted means of what was pooled
	own    float64 // variance by chance, of each bin for itself
	shared float64 // standard deviation of what all bins have in common, the same players
}

func (b block) sd() float64 { return math.Sqrt(b.own + b.shared*b.shared) }

// poolAdjacentViolators is the weighted isotonic regression (Ayer, Brunk, Ewing, Reid and Silverman 1955, from memory): the
// non-decreasing values nearest to the given ones by weighted squares, in one pass. It pools equal neighbours of a violation only.
func poolAdjacentViolators(given []block) []block {
	pooled := make([]block, 0, len(given))
	for _, b := range given {
		pooled = append(pooled, b)
		for len(pooled) > 1 && pooled[len(pooled)-1].y < pooled[len(pooled)-2].y {
			last := len(pooled) - 1
			pooled[last-1] = pooled[last-1].with(pooled[last])
			pooled = pooled[:last]
		}
	}
	return pooled
}

func (b block) with(other block) block {
	weight := b.weight + other.weight
	share := other.weight / weight
	return block{
		weight: weight,
		x:      b.x + share*(other.x-b.x),
		y:      b.y + share*(other.y-b.y),
		own:    (1-share)*(1-share)*b.own + share*share*other.own,
		shared: b.shared + share*(other.shared-b.shared),
	}
}
