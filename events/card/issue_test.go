package card_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
)

func TestIssue(t *testing.T) {
	t.Parallel()
	plus := with(medal, func(c *events.CardIssued) {
		c.Figures.CourseHandicapNum, c.Figures.CourseHandicap, c.Figures.PlayingHandicap = -5, -2, -2
		c.Figures.StrokesByHole = []int{0, 0, -1, 0, 0, -1, 0, 0, 0}
	})
	byCommittee := with(medal, func(c *events.CardIssued) { c.MarkerID = "" })
	off95 := with(medal, func(c *events.CardIssued) {
		c.Figures.AllowancePercent, c.Figures.ParDifference = 95, 2 // 5.225 and 2 more
		c.Figures.PlayingHandicap, c.Figures.StrokesByHole = 7, []int{1, 1, 0, 1, 1, 0, 1, 1, 1}
	})
	decider.Check(t, []rule{
		{Rule: "an entry gets its card with every figure fixed", Source: committee, When: card.Issue{CardIssued: medal}, Then: given(medal)},
		{Rule: "5.5 rounds to 6 and minus 2.5 to minus 2: halves go up", Source: "Rules of Handicapping 5.1c", When: card.Issue{CardIssued: plus}, Then: given(plus)},
		{Rule: "a single player's card is kept by the committee", Source: markerDo, When: card.Issue{CardIssued: byCommittee}, Then: given(byCommittee)},
		{Rule: "the allowance is taken of the exact course handicap and the par difference added after", Source: handicap, When: card.Issue{CardIssued: off95}, Then: given(off95)},
		{Rule: "a card is issued once", Source: marram, Given: given(medal), When: card.Issue{CardIssued: medal}, Refused: refused(events.KindConflict, "card_issued", "card_id")},
	})
}

func TestIssueRefusesWhatDoesNotFitTogether(t *testing.T) {
	t.Parallel()
	var cases []rule
	for _, c := range []struct {
		rule, source, code, field string
		change                    func(*events.CardIssued)
	}{
		{"a card belongs to a competition", marram, "required", "competition_id", func(c *events.CardIssued) { c.CompetitionID = "" }},
		{"a card belongs to an entry", marram, "required", "entry_id", func(c *events.CardIssued) { c.EntryID = "" }},
		{"a card belongs to a player", marram, "required", "player_id", func(c *events.CardIssued) { c.PlayerID = "" }},
		{"a card names its course", marram, "required", "course_id", func(c *events.CardIssued) { c.CourseID = "" }},
		{"a card names its tee", marram, "required", "tee", func(c *events.CardIssued) { c.Tee = "" }},
		{"rounds count from 1", marram, "out_of_range", "round", func(c *events.CardIssued) { c.Round = 0 }},
		{"a card has a format, or nobody could say what no score means", "Rules of Golf 21", "unknown", "format", func(c *events.CardIssued) { c.Format = "skins" }},
		{"nobody marks their own card", "Rules of Golf, definition of Marker", "own_card", "marker_id", func(c *events.CardIssued) { c.MarkerID = "ann" }},
		{"eight holes are no round", "Rules of Golf 5.1", "hole_count", "holes", func(c *events.CardIssued) { c.Holes = c.Holes[:8] }},
		{"a hole stands once", marram, "out_of_order", "holes[4].number", func(c *events.CardIssued) { c.Holes[4].Number = 4 }},
		{"strokes are allocated to every hole", handicap, "hole_count", "strokes_by_hole", func(c *events.CardIssued) { c.Figures.StrokesByHole = []int{6} }},
		{"strokes by hole add up to the playing handicap", handicap, "sum", "strokes_by_hole", func(c *events.CardIssued) { c.Figures.StrokesByHole[2] = 1 }},
		{"the holes' pars add up to par", marram, "sum", "par", func(c *events.CardIssued) { c.Figures.Par = 37 }},
		{"the exact course handicap is a fraction", marram, "out_of_range", "course_handicap_den", func(c *events.CardIssued) { c.Figures.CourseHandicapDen = 0 }},
		{"the course handicap is the rounded fraction", "Rules of Handicapping 6.1", "rounding", "course_handicap", func(c *events.CardIssued) { c.Figures.CourseHandicap = 5 }},
		{"the playing handicap is the allowance of the unrounded course handicap", handicap, "rounding", "playing_handicap", func(c *events.CardIssued) { c.Figures.AllowancePercent = 50 }},
		{"play starts on a hole that is in play", "Rules of Golf 5.1", "not_in_play", "starting_hole", func(c *events.CardIssued) { c.StartingHole = 10 }},
	} {
		cases = append(cases, rule{Rule: c.rule, Source: c.source, When: card.Issue{CardIssued: with(medal, c.change)}, Refused: invalid(c.code, c.field)})
	}
	decider.Check(t, cases)
}

// off7 is the same card with a handicap that was put right.
var off7 = with(medal, func(c *events.CardIssued) {
	c.Figures.IndexTenths, c.Figures.IndexUsedTenths = 123, 123
	c.Figures.CourseHandicapNum, c.Figures.CourseHandicap, c.Figures.PlayingHandicap = 13, 7, 7
	c.Figures.StrokesByHole = []int{1, 1, 0, 1, 1, 0, 1, 1, 1}
})

func TestReissue(t *testing.T) {
	t.Parallel()
	longer := with(medal, func(c *events.CardIssued) { c.Holes[3].LengthM += 15 })
	backNine := with(off7, func(c *events.CardIssued) {
		for i := range c.Holes {
			c.Holes[i].Number += 9
		}
		c.StartingHole = 10
	})
	again := func(c events.CardIssued, reason string) card.Reissue {
		return card.Reissue{CardReissued: reissueOf(c, reason)}
	}
	off7WithReason := given(reissueOf(off7, "index was out of date"))
	decider.Check(t, []rule{
		{Rule: "an index amended after the draw changes a card without scores", Source: committee, Given: given(medal), When: again(off7, ""), Then: given(reissueOf(off7, ""))},
		{Rule: "a draw changed after cards are out brings another marker and start", Source: markerDo, Given: given(medal),
			When: again(with(medal, func(c *events.CardIssued) { c.MarkerID, c.StartingHole = "cat", 5 }), ""),
			Then: given(reissueOf(with(medal, func(c *events.CardIssued) { c.MarkerID, c.StartingHole = "cat", 5 }), ""))},
		{Rule: "the same again changes nothing", Source: marram, Given: given(medal), When: again(medal, "for luck")},
		{Rule: "a hole that was measured again is a change", Source: marram, Given: given(medal), When: again(longer, ""), Then: given(reissueOf(longer, ""))},
		{Rule: "before a score another nine may be played", Source: "Rules of Golf 5.1", Given: given(medal), When: again(backNine, ""), Then: given(reissueOf(backNine, ""))},
		{Rule: "a wrong handicap is put right on a card with scores", Source: committee, Given: complete, When: again(off7, "index was out of date"), Then: off7WithReason},
		{Rule: "a wrong handicap is put right on a returned card, without time limit", Source: adminFix, Given: home, When: again(off7, "index was out of date"), Then: off7WithReason},
		{Rule: "a wrong handicap is put right on a ruled card", Source: adminFix, Given: given(complete, ruled("RTD", "ill")), When: again(off7, "index was out of date"), Then: off7WithReason},
		{Rule: "that needs a reason", Source: marram, Given: complete, When: again(off7, " "), Refused: invalid("required", "reason")},
		{Rule: "a ruled card needs a reason even without scores", Source: marram, Given: given(medal, ruled("WD", "ill")), When: again(off7, ""), Refused: invalid("required", "reason")},
		{Rule: "scores never move to other holes", Source: marram, Given: complete, When: again(backNine, "wrong nine"), Refused: notNow("has_scores", "holes")},
		{Rule: "a card names its tee", Source: marram, Given: given(medal), When: again(with(medal, func(c *events.CardIssued) { c.Tee = "" }), ""), Refused: invalid("required", "tee")},
		{Rule: "nobody marks their own card", Source: "Rules of Golf, definition of Marker", Given: given(medal),
			When: again(with(medal, func(c *events.CardIssued) { c.MarkerID = "ann" }), ""), Refused: invalid("own_card", "marker_id")},
		{Rule: "figures fit together", Source: handicap, Given: given(medal),
			When: again(with(off7, func(c *events.CardIssued) { c.Figures.PlayingHandicap = 8 }), ""), Refused: invalid("sum", "strokes_by_hole")},
		{Rule: "play starts on a hole that is in play", Source: "Rules of Golf 5.1", Given: given(medal),
			When: again(with(off7, func(c *events.CardIssued) { c.StartingHole = 0 }), ""), Refused: invalid("not_in_play", "starting_hole")},
		{Rule: "a card that was never issued is not reissued", Source: marram, When: again(medal, ""), Refused: refused(events.KindNotFound, "not_found", "card_id")},
	})
}

func TestAHandicapPutRightLeavesScoresAndSignatures(t *testing.T) {
	t.Parallel()
	s := decider.Fold(given(home, reissueOf(off7, "index was out of date"))...)
	require.Equal(t, events.StatusReturned, s.Status())
	require.True(t, s.CertifiedPlayer && s.CertifiedMarker, "hole scores are what they certified")
	require.Equal(t, 9, s.Played())
	require.Equal(t, 7, s.Figures.PlayingHandicap)
	require.Equal(t, 1, s.Holes[7].Received)
	require.Equal(t, strokes(5), s.Holes[7].Marker)
}

func TestAssignMarker(t *testing.T) {
	t.Parallel()
	decider.Check(t, []rule{
		{Rule: "another player of the group keeps the card from now on", Source: markerDo, Given: complete,
			When: card.AssignMarker{MarkerID: "cat", StartingHole: 1, Reason: "ben went home"},
			Then: given(events.MarkerAssigned{MarkerID: "cat", StartingHole: 1, Reason: "ben went home"})},
		{Rule: "the committee may keep it", Source: markerDo, Given: given(medal), When: card.AssignMarker{StartingHole: 1}, Then: given(events.MarkerAssigned{StartingHole: 1})},
		{Rule: "the group may start elsewhere", Source: "Rules of Golf 5.1", Given: given(medal),
			When: card.AssignMarker{MarkerID: "ben", StartingHole: 4}, Then: given(events.MarkerAssigned{MarkerID: "ben", StartingHole: 4})},
		{Rule: "the same marker changes nothing", Source: marram, Given: given(medal), When: card.AssignMarker{MarkerID: "ben", StartingHole: 1}},
		{Rule: "nobody marks their own card", Source: "Rules of Golf, definition of Marker", Given: given(medal),
			When: card.AssignMarker{MarkerID: "ann", StartingHole: 1}, Refused: invalid("own_card", "marker_id")},
		{Rule: "play starts on a hole that is in play", Source: "Rules of Golf 5.1", Given: given(medal),
			When: card.AssignMarker{MarkerID: "cat", StartingHole: 12}, Refused: invalid("not_in_play", "starting_hole")},
		{Rule: "a card that was never issued has no marker", Source: marram, When: card.AssignMarker{MarkerID: "cat", StartingHole: 1},
			Refused: refused(events.KindNotFound, "not_found", "card_id")},
	})
}

func TestHolesArePlayedFromTheStartingHole(t *testing.T) {
	t.Parallel()
	s := decider.Fold(medal, events.MarkerAssigned{MarkerID: "ben", StartingHole: 4})
	require.Equal(t, []int{3, 4, 5, 6, 7, 8, 0, 1, 2}, s.PlayOrder())
}
