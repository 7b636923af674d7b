package draw

import (
	"fmt"

	"marram.example/projections/handicap"
)

// RoundRobin draws every round in which each of so many players meets each other once, by the circle method (common
// practice, no source): players stand in two facing rows, player 1 stays and the others move one place each round. An
// odd number of players has one bye a round, each player one in all. Fewer than 2 and more than 64 players are refused
// with a [handicap.InputError].
func RoundRobin(players int) ([][]Pair, error) {
	const most = 64
	if players < 2 || players > most {
		return nil, &handicap.InputError{Field: "players", Problem: fmt.Sprintf("%d is outside 2 to %d", players, most), Rule: circleRule}
	}
	circle := make([]int, 0, players+1)
	for n := 1; n <= players; n++ {
		circle = append(circle, n)
	}
	if players%2 != 0 {
		circle = append(circle, 0)
	}
	rounds := make([][]Pair, 0, len(circle)-1)
	for range len(circle) - 1 {
		round := make([]Pair, 0, len(circle)/2)
		for i := range len(circle) / 2 {
			p := Pair{A: circle[i], B: circle[len(circle)-1-i]}
			if p.A == 0 {
				p.A, p.B = p.B, 0
			}
			round = append(round, p)
		}
		rounds = append(rounds, round)
		last := circle[len(circle)-1]
		copy(circle[2:], circle[1:len(circle)-1])
		circle[1] = last
	}
	return rounds, nil
}

const circleRule = "circle method, common practice, no source"

// ExplainRoundRobin says how many rounds and matches so many players take.
func ExplainRoundRobin(players int) handicap.Explanation {
	rounds := players - 1 + players%2
	lines := handicap.Explanation{
		{Label: "Rounds", Arithmetic: fmt.Sprintf("%d players: %s, player 1 stays and the others move one place each round", players, roundsText(rounds)), Rule: circleRule},
		{Label: "Matches", Arithmetic: fmt.Sprintf("%d x %d / 2 = %d, each pair once", players, players-1, players*(players-1)/2), Rule: circleRule},
	}
	if players%2 != 0 {
		lines = append(lines, handicap.Line{Label: "Byes", Arithmetic: "an odd number of players: one bye a round, one for each player", Rule: circleRule})
	}
	return lines
}
