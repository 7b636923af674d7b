package shots

import "marram.example/events"

// PuttBand is how putts of a range of distances went.
type PuttBand struct {
	From     float64 `json:"from"` // metres, not included
	To       float64 `json:"to"`   // metres, included; 0 where the band has no end
	Tries    int     `json:"tries"`
	Holed    int     `json:"holed"`
	Low      float64 `json:"low"`      // Wilson 95 % interval of the share holed; 0 without tries
	High     float64 `json:"high"`     // the same; 1 without tries
	Expected float64 `json:"expected"` // share that professionals hole, from the very distances tried
}

// onePutts is the share of putts that PGA TOUR players hole from an exact distance in feet: attributed to M. Broadie in "What
// percentage of putts do pros make" (golfingfocus.com), rounded to whole per cents there. 8 ft, the even chance, is from
// blog.kir.com/?p=4795 on a newspaper's article about Broadie's data.
var onePutts = []struct{ feet, share float64 }{
	{0, 1}, {2, 0.99}, {3, 0.96}, {4, 0.88}, {5, 0.77}, {8, 0.50}, {10, 0.40}, {15, 0.23}, {20, 0.15}, {30, 0.07}, {40, 0.04},
	{50, 0.03}, {60, 0.02},
}

// OnePuttShare is the share of putts from a distance in metres that PGA TOUR players hole: straight lines between published
// shares, the last of them (60 ft) beyond.
func OnePuttShare(distance float64) float64 {
	feet := distance / Foot
	for i, to := range onePutts[1:] {
		if from := onePutts[i]; feet <= to.feet {
			return from.share + (feet-from.feet)/(to.feet-from.feet)*(to.share-from.share)
		}
	}
	return onePutts[len(onePutts)-1].share
}

// PuttsByDistance counts putts tried and holed by distance, every putt of a hole, first ones and later ones, whose end is known.
// Expected is the mean of OnePuttShare over the distances tried, without tries that of the band's middle (of the last band, its
// nearer edge).
func PuttsByDistance(rounds []Round) []PuttBand {
	bands := make([]PuttBand, len(puttBands))
	for i, b := range puttBands {
		bands[i] = PuttBand{From: b.from, To: b.to, High: 1}
	}
	for _, r := range rounds {
		for _, h := range r.Holes {
			countPutts(h, bands)
		}
	}
	for i := range bands {
		b := &bands[i]
		if b.Tries > 0 {
			b.Expected /= float64(b.Tries)
			interval := Wilson(b.Holed, b.Tries)
			b.Low, b.High = interval.Low, interval.High
			continue
		}
		b.Expected = OnePuttShare(max(b.From, (b.From+b.To)/2))
	}
	return bands
}

// countPutts adds a hole's putts to the bands.
func countPutts(h Hole, bands []PuttBand) {
	for i := range h.Strokes {
		s := &h.Strokes[i]
		to, known := h.end(i)
		if s.From.Lie != events.LieGreen || !known {
			continue
		}
		for j := range bands {
			if !puttBands[j].holds(s.From.Distance) {
				continue
			}
			bands[j].Tries++
			bands[j].Expected += OnePuttShare(s.From.Distance)
			if to == nil {
				bands[j].Holed++
			}
		}
	}
}
