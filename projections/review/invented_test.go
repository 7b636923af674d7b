package review

import (
	"fmt"
	"math"
	"math/rand/v2"

	"marram.example/events"
	"marram.example/projections/shots"
)

// Everything here is invented: a player whose drives leak to the right, who strikes
// some strokes poorly and gets away with half of them, and whose putts start short.

var inventedHoles = []shots.Hole{
	{Number: 1, Par: 4, Length: 352}, {Number: 2, Par: 3, Length: 148}, {Number: 3, Par: 5, Length: 468}, {Number: 4, Par: 4, Length: 330},
	{Number: 5, Par: 4, Length: 371}, {Number: 6, Par: 4, Length: 298}, {Number: 7, Par: 3, Length: 171}, {Number: 8, Par: 4, Length: 344},
	{Number: 9, Par: 5, Length: 449}, {Number: 10, Par: 4, Length: 362}, {Number: 11, Par: 4, Length: 315}, {Number: 12, Par: 3, Length: 133},
	{Number: 13, Par: 5, Length: 481}, {Number: 14, Par: 4, Length: 356}, {Number: 15, Par: 4, Length: 339}, {Number: 16, Par: 3, Length: 162},
	{Number: 17, Par: 4, Length: 378}, {Number: 18, Par: 5, Length: 455},
}

// invented plays a round from a seed. Skill moves everything: 0 is the usual player.
func invented(id, date string, seed uint64, skill float64) shots.Round {
	random := rand.New(rand.NewPCG(seed, 4))
	r := shots.Round{ID: id, Date: date, CourseRating: 70.4, CourseHandicap: 7.6}
	at := int64(1_700_000_000_000)
	for _, h := range inventedHoles {
		left, lie := h.Length, events.LieTee
		for n := 0; n < 12; n++ {
			s := shots.Stroke{ID: fmt.Sprintf("%s-%d-%d", id, h.Number, n), From: shots.Position{Lie: lie, Distance: tenth(left)}, Intent: true}
			at += 150_000
			seconds := 18 + 8*random.Float64()
			s.Seconds, s.At = &seconds, at
			good := random.Float64() < 0.6
			enough := good
			s.Strike, s.Commitment = events.StrikeGood, 4+random.IntN(2)
			if !good {
				s.Strike, s.Commitment, enough = events.StrikePoor, 2+random.IntN(3), random.Float64() < 0.4
			}
			if lie == events.LieGreen {
				s.Club, s.Target = "putter", events.TargetAt
				chance := shots.OnePuttShare(left) * (0.86 + 0.05*skill)
				enough = true
				if random.Float64() < chance {
					s.GoodEnough = &enough
					h.Strokes, h.Holed = append(h.Strokes, s), true
					break
				}
				rest := math.Max(0.3, left*0.12*(0.5+random.Float64()))
				s.Miss = shots.Miss{Side: events.MissOnLine, Length: events.MissShort, Along: -tenth(rest)}
				if random.Float64() < 0.2 {
					s.Miss.Length, s.Miss.Along = events.MissLong, tenth(rest)
				}
				s.GoodEnough = &enough
				h.Strokes = append(h.Strokes, s)
				left = rest
				continue
			}
			carry := math.Min(left, 185+12*random.NormFloat64())
			s.Club = "iron-7"
			switch {
			case lie == events.LieTee && h.Par >= 4:
				carry, s.Club = 205+14*random.NormFloat64(), "driver"
				if !good {
					carry -= 30
				}
			case left < 100:
				carry, s.Club = left, "pitching-wedge"
			case left > 170:
				s.Club = "hybrid-4"
			}
			carry = math.Min(carry, left)
			across := carry * (0.05 + 0.045*random.NormFloat64())
			if s.Club != "driver" {
				across = carry * 0.06 * random.NormFloat64()
			}
			along := left * 0.05 * random.NormFloat64()
			if !good {
				along -= 0.05 * left
			}
			next := math.Hypot(left-carry+math.Abs(along), across)
			s.Miss = shots.Miss{Side: events.MissRight, Across: tenth(across)}
			if across < 0 {
				s.Miss.Side = events.MissLeft
			}
			if carry == left {
				s.Miss.Length, s.Miss.Along = events.MissLong, tenth(along)
				if along < 0 {
					s.Miss.Length = events.MissShort
				}
			}
			s.GoodEnough = &enough
			switch p := random.Float64(); {
			case next < 12:
				lie = events.LieGreen
			case math.Abs(across) > 22 && p < 0.3:
				s.Penalty, lie = 1, events.LieRough
			case next < 40 && p < 0.25:
				lie = events.LieSand
			case math.Abs(across) > 12 || p < 0.3:
				lie = events.LieRough
			default:
				lie = events.LieFairway
			}
			left = math.Max(next, 0.4)
			h.Strokes = append(h.Strokes, s)
		}
		h.Score = h.Counted()
		r.Holes = append(r.Holes, h)
	}
	return r
}

func tenth(v float64) float64 { return math.Max(0.1, math.Round(math.Abs(v)*10)/10) * sign(v) }

func sign(v float64) float64 {
	if v < 0 {
		return -1
	}
	return 1
}

// history is n rounds, the newest first.
func history(n int) []shots.Round {
	var out []shots.Round
	for i := range n {
		out = append(out, invented(fmt.Sprintf("past-%02d", n-i), fmt.Sprintf("2031-%02d-%02d", 4+(n-i)/28, 1+(n-i)%28), uint64(100+n-i), 0.1*float64(n-i)))
	}
	return out
}

// field is the round with others, of whom only the scores are known.
func field(own shots.Round, n int) []shots.Round {
	random := rand.New(rand.NewPCG(9, uint64(n)))
	out := []shots.Round{own}
	for i := range n {
		r := shots.Round{ID: fmt.Sprintf("other-%d", i), CourseHandicap: float64(4 + i)}
		for _, h := range inventedHoles {
			h.Score = h.Par + random.IntN(3)
			r.Holes = append(r.Holes, h)
		}
		out = append(out, r)
	}
	return out
}

func broadie() *shots.Baseline {
	b, err := shots.Named("broadie-2012")
	if err != nil {
		panic(err)
	}
	return b
}

func matched() *shots.Baseline {
	b, err := shots.Matched(broadie(), inventedHoles, 70.4+7.6+3)
	if err != nil {
		panic(err)
	}
	return b
}

// scoresOnly drops all strokes.
func scoresOnly(r shots.Round) shots.Round {
	holes := r.Holes
	r.Holes = nil
	for _, h := range holes {
		h.Strokes, h.Holed = nil, false
		r.Holes = append(r.Holes, h)
	}
	return r
}

// puttsOnly keeps the putts.
func puttsOnly(r shots.Round) shots.Round {
	holes := r.Holes
	r.Holes = nil
	for _, h := range holes {
		var kept []shots.Stroke
		for _, s := range h.Strokes {
			if s.From.Lie == events.LieGreen {
				kept = append(kept, s)
			}
		}
		h.Strokes = kept
		h.Holed = h.Holed && len(kept) > 0
		r.Holes = append(r.Holes, h)
	}
	return r
}
