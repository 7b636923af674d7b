package card

import "marram.example/events"

// Balls is how many balls stand on the card: one, or one for each player of a
// side who plays their own.
func (s *State) Balls() int { return 1 + len(s.Partners) }

// Lines is the holes of a ball, or nothing where the card has no such ball. Ball 0
// is the card's first player's, or the one that a side plays together.
func (s *State) Lines(ball int) []HoleLine {
	switch {
	case ball == 0:
		return s.Holes
	case s.hasBall(ball):
		return s.Partners[ball-1].Holes
	default:
		return nil
	}
}

// BallFigures is the handicap figures of a ball; zero where the card has no such
// ball.
func (s *State) BallFigures(ball int) events.Figures {
	switch {
	case ball == 0:
		return s.Figures
	case s.hasBall(ball):
		return s.Partners[ball-1].Figures
	default:
		return events.Figures{}
	}
}

// BallPlayer is who plays a ball; empty where the card has no such ball. Of a ball
// that a side plays together it is the card's first player.
func (s *State) BallPlayer(ball int) string {
	switch {
	case ball == 0:
		return s.PlayerID
	case s.hasBall(ball):
		return s.Partners[ball-1].PlayerID
	default:
		return ""
	}
}

// BallTee is the tee that a ball is played from; empty where the card has no such
// ball.
func (s *State) BallTee(ball int) string {
	switch {
	case ball == 0:
		return s.Tee
	case s.hasBall(ball):
		return s.Partners[ball-1].Tee
	default:
		return ""
	}
}

func (s *State) hasBall(ball int) bool { return ball >= 0 && ball < s.Balls() }

// Players lists everybody of the card, its first player first: partners with their
// own ball, or those who play the one ball together.
func (s *State) Players() []string {
	out := []string{s.PlayerID}
	for _, p := range s.Partners {
		out = append(out, p.PlayerID)
	}
	for _, share := range s.Figures.Shares {
		if share.PlayerID != s.PlayerID {
			out = append(out, share.PlayerID)
		}
	}
	return out
}

// Played counts the holes on which the card counts something: on any ball, and not
// excluded.
func (s *State) Played() int {
	n := 0
	for i := range s.Holes {
		if s.onAnyBall(i, func(h HoleLine) bool { return h.Counting().Entered() && !h.Excluded() }) {
			n++
		}
	}
	return n
}

// Differences lists the numbers of the holes on which player and marker disagree
// about a ball.
func (s *State) Differences() []int {
	var out []int
	for i, h := range s.Holes {
		if s.onAnyBall(i, HoleLine.Differs) {
			out = append(out, h.Number)
		}
	}
	return out
}

// scored reports whether anybody has entered a value of a ball anywhere. That a
// hole is excluded is no value of a ball.
func (s *State) scored() bool {
	for i := range s.Holes {
		if s.onAnyBall(i, func(h HoleLine) bool {
			return h.Player.Entered() || h.Marker.Entered() || h.Committee.Entered() && !h.Excluded() || h.SetAside.Entered()
		}) {
			return true
		}
	}
	return false
}

// onAnyBall reports whether something holds of the hole at an index on any ball.
func (s *State) onAnyBall(at int, holds func(HoleLine) bool) bool {
	return s.countBalls(at, holds) > 0
}

// onEveryBall reports whether something holds of the hole at an index on all balls.
func (s *State) onEveryBall(at int, holds func(HoleLine) bool) bool {
	return s.countBalls(at, holds) == s.Balls()
}

// countBalls counts the balls of which something holds on the hole at an index.
func (s *State) countBalls(at int, holds func(HoleLine) bool) int {
	n := 0
	for b := range s.Balls() {
		if holds(s.Lines(b)[at]) {
			n++
		}
	}
	return n
}
