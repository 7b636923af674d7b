package main

import (
	"fmt"
	"math/rand/v2"

	"marram.example/events"
)

// Everything in this file is invented. A likeness to a real club, course or
// person would be chance.

const (
	demoClubName   = "Saltmarsh Bents Golf Club (invented)"
	demoCourseName = "Saltmarsh Bents"
	demoPlayers    = 60
)

var (
	demoPar    = []int{4, 4, 3, 5, 4, 4, 3, 4, 5, 4, 3, 4, 5, 4, 4, 3, 4, 5}
	demoIndex  = []int{9, 3, 15, 11, 1, 7, 17, 5, 13, 4, 16, 8, 12, 2, 10, 18, 6, 14}
	demoLength = []int{358, 391, 152, 472, 402, 349, 138, 377, 461, 384, 164, 351, 488, 409, 340, 129, 372, 479} // metres, white

	demoFirst = []string{
		"Agnes", "Bertil", "Caoimhe", "Dara", "Eluned", "Fergus", "Greta", "Hamish", "Ines", "Joost", "Kirsten", "Lachlan", "Maren", "Niall", "Odile",
		"Per", "Rhona", "Søren", "Tamsin", "Ulla", "Vaila", "Wenna", "Yrsa", "Zoë", "Ailsa", "Bram", "Corin", "Dervla", "Eskil", "Freya",
	}
	demoLast = []string{
		"Applethwaite", "Bracken", "Corrie", "Duneholm", "Eastersea", "Fallowfen", "Gorsedale", "Heatherlaw", "Inchgarth", "Jessamine", "Kelpness", "Linksfield",
		"Machair", "Netherby-Shaw", "Oxeye", "Pebbleton", "Quillfeather", "Rushmere", "Seathrift", "Tansyholm", "Undercliff", "Vetchling", "Whinmoor", "Yarrowby",
	}
)

// demoTees are the invented course's tees.
func demoTees() []events.TeeDefinition {
	tee := func(name string, rating, slope, front, frontSlope, back, backSlope, shorten int, par map[int]int) events.TeeDefinition {
		t := events.TeeDefinition{
			Tee: name, CourseRatingTenths: rating, SlopeRating: slope,
			Front: &events.NineRating{CourseRatingTenths: front, SlopeRating: frontSlope},
			Back:  &events.NineRating{CourseRatingTenths: back, SlopeRating: backSlope},
		}
		for i, p := range demoPar {
			if other, differs := par[i+1]; differs {
				p = other
			}
			t.Holes = append(t.Holes, events.Hole{Number: i + 1, Par: p, StrokeIndex: demoIndex[i], LengthM: demoLength[i] * (100 - shorten) / 100})
		}
		return t
	}
	return []events.TeeDefinition{
		tee("White", 724, 131, 361, 130, 363, 132, 0, nil),
		tee("Yellow", 703, 125, 350, 124, 353, 126, 6, nil),
		tee("Red", 729, 128, 364, 127, 365, 129, 14, map[int]int{14: 5}), // one stroke more par: Rules of Handicapping 6.2b at work
	}
}

// demoPlayer is an invented player.
type demoPlayer struct {
	memberNo, name, tee string
	index               int // tenths
}

// demoField invents players with indexes from +2.1 to the high thirties.
func demoField(rng *rand.Rand) []demoPlayer {
	out := make([]demoPlayer, demoPlayers)
	for i := range out {
		p := demoPlayer{memberNo: fmt.Sprintf("%04d", 1001+i*7)}
		p.name = demoFirst[i%len(demoFirst)] + " " + demoLast[(i*5+i/len(demoFirst)*11)%len(demoLast)]
		p.index = min(max(int(rng.NormFloat64()*85)+165, -21), 398)
		if i < len(demoGolfers) {
			p.index = demoGolfers[i].index
		}
		switch {
		case i%5 == 4:
			p.tee = "Red"
		case p.index < 120:
			p.tee = "White"
		default:
			p.tee = "Yellow"
		}
		out[i] = p
	}
	return out
}

// demoScore draws a hole score: about level with the strokes received, with the
// scatter of an ordinary Saturday. It returns 0 where the ball was picked up.
func demoScore(rng *rand.Rand, par, received int, form float64) int {
	mean := float64(par+received) + 0.25 + form
	n := int(mean + rng.NormFloat64()*0.95 + 0.5)
	return min(max(n, par-2, 1), par+6)
}
