package scoring

import "slices"

// sideByRound scores a side whose best whole rounds count (Committee Procedures 9D). A ball that can have no total any
// more drops out, and where too few are left the side has no total. A ball bears what counts against its own round.
// While balls are in play the side stands as the balls do that lead it, each by where it would end played level; a ball
// that never started holds nothing up once enough others are in.
func (f Format) sideByRound(r *Result, need int) {
	var left []int
	dropped := 0
	for i := range r.Balls {
		if hole := r.Balls[i].Lacking; hole == 0 {
			left = append(left, i)
		} else if dropped == 0 {
			dropped = hole
		}
	}
	for place := range r.Holes {
		f.summary(&r.Holes[place], r.Balls, place)
	}
	if len(left) < need {
		f.total(r)
		r.Lacking, r.Complete, r.HasLive, r.Live = dropped, false, false, 0
		return
	}
	slices.SortStableFunc(left, func(a, b int) int {
		x, y := &r.Balls[a], &r.Balls[b]
		if x.HasLive != y.HasLive {
			return startedFirst(x) - startedFirst(y)
		}
		return f.Direction.Compare(x.Live+x.Level, y.Live+y.Level)
	})
	by := slices.Clone(left[:need])
	slices.Sort(by)
	f.count(r, by)
	for _, i := range left {
		if ball := &r.Balls[i]; !ball.Complete && (ball.HasLive || slices.Contains(by, i)) {
			r.Complete = false
		}
	}
}

func startedFirst(ball *Result) int {
	if ball.HasLive {
		return 0
	}
	return 1
}

// count makes the result the sum of the rounds of these balls.
func (f Format) count(r *Result, by []int) {
	for place := range r.Holes {
		h := &r.Holes[place]
		entered := true
		for _, i := range by {
			entered = entered && r.Balls[i].Holes[place].Score.Entered()
		}
		if h.Score.State == Excluded {
			continue
		}
		h.By = by
		h.Score = Score{}
		if entered {
			h.addUp(r.Balls, place)
			continue
		}
		h.Level = 0
		for _, i := range by {
			h.Level += r.Balls[i].Holes[place].Level
		}
	}
	for _, i := range by {
		r.RoundPenalty += r.Balls[i].RoundPenalty
	}
	f.total(r)
	r.Live, r.HasLive = 0, false
	for _, sum := range []*Sum{&r.Out, &r.In, &r.Total} {
		sum.Par, sum.Gross, sum.Net, sum.Points, sum.ParBogey, sum.Figure = 0, 0, 0, 0, 0, 0
	}
	for _, i := range by {
		ball := &r.Balls[i]
		r.Out.include(&ball.Out)
		r.In.include(&ball.In)
		r.Total.include(&ball.Total)
		if ball.HasLive {
			r.Live += ball.Live
			r.HasLive = true
		}
	}
	r.Value = r.Total.Figure
}

// include adds what a ball has so far, on holes where others may have nothing yet.
func (s *Sum) include(ball *Sum) {
	s.Par += ball.Par
	s.Gross += ball.Gross
	s.Net += ball.Net
	s.Points += ball.Points
	s.ParBogey += ball.ParBogey
	s.Figure += ball.Figure
}

// summary is a hole before it is known which balls count: entered once every ball is.
func (f Format) summary(h *HoleResult, balls []Result, place int) {
	first := &balls[0].Holes[place]
	h.Hole, h.Par, h.StrokeIndex, h.Level = first.Hole, first.Par, first.StrokeIndex, first.Level
	h.Score = Score{State: NoScore}
	for i := range balls {
		switch balls[i].Holes[place].Score.State {
		case Excluded:
			h.Score = Score{State: Excluded}
			h.Level = 0
			return
		case NotEntered:
			h.Score = Score{}
		}
	}
}
