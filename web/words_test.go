package web

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/player"
)

func TestNumbersInWords(t *testing.T) {
	t.Parallel()
	for v, want := range map[string]string{
		"34": "34", "65/2": "32½", "-3/2": "\u22121½", "1/3": "⅓", "47/18": "2 11/18", "7/18": "7/18", "-4": "\u22124", "no number": "no number", "1/0": "1/0",
	} {
		assert.Equal(t, want, mixedText(v), v)
	}
	assert.Equal(t, "39 \u2212 6½", takenText(39, "13/2"))
	assert.Equal(t, "39 + ½", takenText(39, "-1/2"), "a plus handicap's share is added")
	assert.Equal(t, "ahead on 10\u201318, 32½ against 33", countbackWords("ahead on 10-18, 65/2 against 33"))
	for n, want := range map[int]string{124: "12.4", -12: "+1.2", 0: "0.0", 5: "0.5"} {
		assert.Equal(t, want, handicapText(n))
	}
	for n, want := range map[int]string{1: "1st", 2: "2nd", 3: "3rd", 4: "4th", 11: "11th", 12: "12th", 13: "13th", 21: "21st", 111: "111th"} {
		assert.Equal(t, want, ordinal(n))
	}
	assert.Equal(t, "par", keyWords(4, 4))
	assert.Equal(t, "\u22121", keyWords(3, 4))
	assert.Equal(t, "+5", keyWords(9, 4))
	assert.Equal(t, "hole 7", holeList([]int{7}))
	assert.Equal(t, "holes 3, 7 and 12", holeList([]int{3, 7, 12}))
	assert.Equal(t, "18 holes", holesText([]int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18}))
	assert.Equal(t, "9 holes, 10 to 18", holesText([]int{10, 11, 12, 13, 14, 15, 16, 17, 18}))
	assert.Equal(t, "98 \u2212 20 = 78", signsText("98 - 20 = 78"))
	assert.Equal(t, "\u22121.2 × 138/113", signsText("-1.2 * 138/113"))
	assert.Equal(t, "holes 10-18", signsText("holes 10-18"), "a hyphen between two numbers is no minus")
	assert.Equal(t, "Hole 3 has no entry.", sentence("hole 3 has no entry"))
	assert.Empty(t, sentence(""))
}

func TestScoresTravelInAddresses(t *testing.T) {
	t.Parallel()
	for _, s := range []events.Score{{}, {Strokes: 1}, {Strokes: 99}, {None: events.PickedUp}, {None: events.NoScore}} {
		assert.Equal(t, s, scoreFromText(scoreText(s)))
	}
	for _, bad := range []string{"0", "-1", "100", "x", "lost"} {
		assert.Equal(t, events.Score{}, scoreFromText(bad), bad)
	}
}

func TestIndexChartPutsBetterHigher(t *testing.T) {
	t.Parallel()
	assert.Nil(t, chartOf([]player.Index{{Tenths: 120, Effective: "2025-01-01"}}), "one record is no history")
	c := chartOf([]player.Index{{Tenths: 120, Effective: "2025-01-01"}, {Tenths: 96, Effective: "2025-01-11"}, {Tenths: 108, Effective: "2025-01-21"}})
	assert.Equal(t, chartLeft, c.Points[0].X)
	assert.Equal(t, (chartLeft+chartRight)/2, c.Points[1].X, "time runs evenly")
	assert.Equal(t, chartRight, c.Points[2].X)
	assert.Equal(t, chartFoot, c.Points[0].Y)
	assert.Equal(t, chartTop, c.Points[1].Y, "the lowest index stands highest")
	assert.Equal(t, (chartTop+chartFoot)/2, c.Points[2].Y)
	assert.Contains(t, c.Words, "best 9.6")
	same := chartOf([]player.Index{{Tenths: -12, Effective: "2025-01-01"}, {Tenths: -12, Effective: "2025-01-01"}})
	assert.Equal(t, "+1.2", same.Low.Text)
	assert.Equal(t, chartLeft, same.Points[1].X, "two records of one day")
}

func TestPlacesInOrder(t *testing.T) {
	t.Parallel()
	assert.Less(t, placeNumber("1"), placeNumber("T2"))
	assert.Less(t, placeNumber("T41"), placeNumber(""))
}

// The terms state how a tie is matched and what happens where that settles
// nothing, before anybody plays (Committee Procedures 5A(6)).
func TestTiesInWords(t *testing.T) {
	t.Parallel()
	terms := command.PresetTerms("stroke_play")
	assert.Equal(t, "Matching scorecards, wherever the round began: holes 10 to 18, 13 to 18, 16 to 18 and 18, then 4 to 9, 7 to 9 and 9 "+
		"(Committee Procedures 5A(6)). The exact share of the playing handicap is taken off. "+
		"Still equal, they share the place unless the committee settles it by lot or play-off.", tieWords(&terms))
	terms.Format, terms.Holes = "stableford", command.HoleRange(10, 18)
	assert.Equal(t, "Matching scorecards, wherever the round began: the last six, the last three and the last hole by number. "+
		"Still equal, they share the place unless the committee settles it by lot or play-off.", tieWords(&terms))
	terms.TieMethod = "stand"
	assert.Equal(t, "Equal scores share their place.", tieWords(&terms))
}
