package scoring_test

import (
	"strings"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

// An invented course of par 72.
var (
	coursePar   = []int{4, 4, 3, 5, 4, 3, 4, 4, 5, 4, 5, 4, 3, 4, 4, 3, 5, 4}
	courseIndex = []int{5, 11, 17, 1, 7, 15, 3, 13, 9, 6, 2, 12, 18, 8, 4, 16, 10, 14}
)

var netDoubleBogey = events.Maximum{Kind: events.NetDoubleBogey}

// scoresOf reads a card: figures are strokes, "x" a ball picked up, "-" a hole without a score, "." one not entered,
// "!" an excluded hole.
func scoresOf(card string) []scoring.Score {
	var scores []scoring.Score
	for _, field := range strings.Fields(card) {
		switch field {
		case "x":
			scores = append(scores, scoring.Score{State: scoring.PickedUp})
		case "-":
			scores = append(scores, scoring.Score{State: scoring.NoScore})
		case "!":
			scores = append(scores, scoring.Score{State: scoring.Excluded})
		case ".":
			scores = append(scores, scoring.Score{})
		default:
			strokes := 0
			for _, digit := range field {
				strokes = 10*strokes + int(digit-'0')
			}
			scores = append(scores, scoring.Strokes(strokes))
		}
	}
	return scores
}

func cardOf(playing handicap.Playing, scores string) scoring.Card {
	card := scoring.Card{Par: coursePar, StrokeIndex: courseIndex, Scores: scoresOf(scores), Playing: playing, Maximum: netDoubleBogey}
	if len(card.Scores) == 9 {
		card.Par, card.StrokeIndex = coursePar[:9], courseIndex[:9]
	}
	return card
}

func mustScore(t require.TestingT, format scoring.Format, card scoring.Card, basis scoring.Basis) scoring.Result {
	result, err := format.Score(card, basis)
	require.NoError(t, err)
	return result
}

// drawCard draws a complete card of 18 or nine holes; withGaps leaves some holes without a score.
func drawCard(t *rapid.T, holes int, withGaps bool) scoring.Card {
	index := rapid.Permutation(courseIndex).Draw(t, "stroke index")[:holes]
	card := scoring.Card{
		Par: coursePar[:holes], StrokeIndex: index, Playing: handicap.Playing(rapid.IntRange(-10, 54).Draw(t, "playing handicap")),
		Scores: make([]scoring.Score, holes), Maximum: netDoubleBogey,
	}
	for i := range card.Scores {
		card.Scores[i] = scoring.Strokes(rapid.IntRange(1, 12).Draw(t, "strokes"))
		if withGaps {
			switch rapid.IntRange(0, 9).Draw(t, "gap") {
			case 0:
				card.Scores[i] = scoring.Score{State: scoring.PickedUp}
			case 1:
				card.Scores[i] = scoring.Score{State: scoring.NoScore}
			}
		}
	}
	return card
}

func requireField(t require.TestingT, err error, field string) {
	var refused *handicap.InputError
	require.ErrorAs(t, err, &refused)
	require.Equal(t, field, refused.Field)
	require.NotEmpty(t, refused.Problem)
}
