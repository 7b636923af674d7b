package scoring

import "slices"

// sideByHole scores a side whose best balls count hole by hole. What counts against the round of a ball counts against
// the side.
func (f Format) sideByHole(r *Result, need []int) {
	for i := range r.Balls {
		r.RoundPenalty += r.Balls[i].RoundPenalty
	}
	for place := range r.Holes {
		f.combine(&r.Holes[place], r.Balls, place, need[place])
	}
	f.total(r)
}

// combine works out one hole of a side. It is entered as soon as as many balls have been holed as count there, or
// something stands for every ball; balls still to come can make it better. Where too few balls can have strokes in a
// format that needs them, the hole is without a score for the side.
func (f Format) combine(side *HoleResult, balls []Result, place, need int) {
	first := &balls[0].Holes[place]
	side.Hole, side.Par, side.StrokeIndex = first.Hole, first.Par, first.StrokeIndex
	entered, holed, missing := 0, 0, 0
	for i := range balls {
		switch balls[i].Holes[place].Score.State {
		case Excluded:
			side.Score = Score{State: Excluded}
			return
		case Holed:
			entered++
			holed++
		case PickedUp, NoScore:
			entered++
			missing++
		case NotEntered:
		}
	}
	for i := range need {
		side.Level += balls[i].Holes[place].Level
	}
	switch {
	case f.EveryHole && len(balls)-missing < need:
		side.Score = Score{State: NoScore}
		if first.Score.State == PickedUp {
			side.Score.State = PickedUp
		}
		side.ParBogey = lost
		return
	case holed < need && entered < len(balls):
		return
	}
	candidates := make([]int, 0, len(balls))
	for i := range balls {
		if h := &balls[i].Holes[place]; h.Score.Entered() && (h.Counts() || !f.EveryHole) {
			candidates = append(candidates, i)
		}
	}
	slices.SortStableFunc(candidates, func(a, b int) int {
		x, y := &balls[a].Holes[place], &balls[b].Holes[place]
		if c := f.Direction.Compare(x.Figure, y.Figure); c != 0 {
			return c
		}
		return holedFirst(x.Score) - holedFirst(y.Score)
	})
	worst := balls[candidates[need-1]].Holes[place].Figure
	for _, i := range candidates[need:] {
		if h := &balls[i].Holes[place]; h.Figure == worst && h.Score.State == Holed {
			side.Equal = append(side.Equal, i)
		}
	}
	side.By = candidates[:need]
	slices.Sort(side.By)
	side.addUp(balls, place)
}

// holedFirst orders balls of equal figures: one that was holed before one that was not.
func holedFirst(s Score) int {
	if s.State == Holed {
		return 0
	}
	return 1
}

// addUp makes a hole the sum of its balls that count. Strokes count only where each of them has some.
func (h *HoleResult) addUp(balls []Result, place int) {
	h.Level = 0
	counts := true
	for n, i := range h.By {
		ball := &balls[i].Holes[place]
		h.Received += ball.Received
		h.Penalty += ball.Penalty
		h.Gross += ball.Gross
		h.Net += ball.Net
		h.Points += ball.Points
		h.ParBogey += ball.ParBogey
		h.GrossToPar += ball.GrossToPar
		h.NetToPar += ball.NetToPar
		h.Maximum += ball.Maximum
		h.Figure += ball.Figure
		h.Level += ball.Level
		counts = counts && ball.Counts()
		switch {
		case n == 0:
			h.Score = ball.Score
		case ball.Score.State == Holed:
			h.Score.Strokes += ball.Score.Strokes
			h.Score.State = Holed
		}
	}
	if !counts {
		h.Gross, h.Net, h.GrossToPar, h.NetToPar = 0, 0, 0, 0
	}
}
