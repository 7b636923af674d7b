package scoring

// Skin says what became of the skins played for on one hole.
type Skin struct {
	// Player is the place in the list of who took them; -1 where nobody did.
	Player int
	// Worth is how many were played for: one, and those carried over.
	Worth int
}

// SkinsResult is a game of skins: how many each player took, and how many nobody did.
type SkinsResult struct {
	Skins    []int
	LeftOver int
	Holes    []Skin
}

// Skins plays a game of skins: the sole lowest score takes the hole, a tie carries it over to the next (common practice,
// no source). scores lists one score a player for each hole, gross or net, in strokes; nil is a hole without a score,
// which takes nothing. What is left after the last hole stays left over. Fewer than two players, no holes and holes
// with another number of scores are refused.
func Skins(scores [][]*int, players int) (SkinsResult, error) {
	if players < 2 {
		return SkinsResult{}, refuse("players", "", "a game of skins needs two players or more, not %d", players)
	}
	if len(scores) == 0 {
		return SkinsResult{}, refuse("scores_by_hole", "", "there are no holes")
	}
	result := SkinsResult{Skins: make([]int, players), Holes: make([]Skin, len(scores))}
	for i, hole := range scores {
		if len(hole) != players {
			return SkinsResult{}, refuse("scores_by_hole", "", "hole %d of the game has %d scores for %d players", i+1, len(hole), players)
		}
		result.LeftOver++
		result.Holes[i] = Skin{Player: soleLowest(hole), Worth: result.LeftOver}
		if taker := result.Holes[i].Player; taker >= 0 {
			result.Skins[taker] += result.LeftOver
			result.LeftOver = 0
		}
	}
	return result, nil
}

// soleLowest is the place of the one lowest score, -1 where several share it or nobody has one.
func soleLowest(scores []*int) int {
	lowest, shared := -1, false
	for i, score := range scores {
		switch {
		case score == nil:
		case lowest < 0 || *score < *scores[lowest]:
			lowest, shared = i, false
		case *score == *scores[lowest]:
			shared = true
		}
	}
	if shared {
		return -1
	}
	return lowest
}
