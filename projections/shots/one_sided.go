package shots

import "marram.example/events"

// OneSided asks whether misses go to one side more often than chance has it. Strokes on line are left out.
//
// A large P says that too little was seen, never that there is no bias.
type OneSided struct {
	Left     int      `json:"left"`
	Right    int      `json:"right"`
	Side     string   `json:"side,omitempty"` // left or right, the side of more; empty where they are equal
	Share    float64  `json:"share"`          // of the misses that went there; 1/2 where equal, 0 without misses
	Interval Interval `json:"interval"`       // of that share, Wilson, 95 %
	P        float64  `json:"p"`              // exact two-sided sign test
	Adjusted float64  `json:"adjusted"`       // P after Holm, over all groups that were looked at; P where it is one
	HowSure  string   `json:"how_sure"`       // by Adjusted
}

// leastOneSided misses are needed before the exact test can reach 5 % at all: 6 to 0 is 0.03125, 5 to 0 is 0.0625.
const leastOneSided = 6

// OneSidedMiss is the exact two-sided sign test of that many misses to either side, min(1, 2·Σ_{i≤min} C(n,i)/2ⁿ). Negative
// counts are taken as 0.
func OneSidedMiss(left, right int) OneSided {
	left, right = max(0, left), max(0, right)
	o := OneSided{Left: left, Right: right, P: signTest(left, right)}
	more := left
	switch {
	case left > right:
		o.Side = events.MissLeft
	case right > left:
		o.Side, more = events.MissRight, right
	}
	if n := left + right; n > 0 {
		o.Share = float64(more) / float64(n)
	}
	o.Interval = Wilson(more, left+right)
	o.adjust(o.P)
	return o
}

func (o *OneSided) adjust(p float64) {
	o.Adjusted = p
	o.HowSure = HowSure(p)
	if o.Left+o.Right < leastOneSided {
		o.HowSure = SureTooFew
	}
}
