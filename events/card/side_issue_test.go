package card_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
)

func TestIssueOfEveryFormatAndSide(t *testing.T) {
	t.Parallel()
	sums := map[string]events.CardIssued{
		"four-ball stroke play": pair, "four-ball Stableford": pairPoints, "the best two of three": bestTwo, "one, two and all balls": oneTwoAll,
		"the best two rounds of three": bestRounds, "both balls": together, "both rounds": rounds, "foursomes": foursome,
		"maximum score": capped, "par/bogey": parBogey,
		"greensomes Stableford":    shared("stableford", "greensomes"),
		"chapman par/bogey":        shared("par_bogey", "chapman"),
		"scramble of two":          shared("stroke_play", "scramble"),
		"the best of two":          sideOf("stableford", 2, events.Play{Side: "best_of", Count: []int{1}}),
		"the best three of four":   sideOf("par_bogey", 4, events.Play{Side: "best_of", Count: []int{3}}),
		"all of four":              sideOf("stableford", 4, events.Play{Side: "aggregate", CountBy: "hole"}),
		"twice par at most":        with(capped, func(c *events.CardIssued) { c.Maximum.Kind = "double_par" }),
		"ten strokes at most":      with(capped, func(c *events.CardIssued) { c.Maximum = events.Maximum{Kind: "strokes", Strokes: 10} }),
		"a maximum of a four-ball": with(pair, func(c *events.CardIssued) { c.Format, c.Maximum.Kind = "maximum_score", "double_par" }),
		"a side of a plus player":  plusShare(),
		"a scramble of four":       scrambleOfFour(),
		"foursomes of equals": with(own(foursome), func(c *events.CardIssued) {
			c.Figures.Shares[0], c.Figures.Shares[1] = share("p2", 5, 50), share("p1", 5, 50)
		}),
		"a scratch side of no share": with(own(foursome), func(c *events.CardIssued) {
			c.Figures.Shares[0].Percent, c.Figures.Shares[1].Percent = 0, 0
			c.Figures.CourseHandicapNum, c.Figures.CourseHandicap, c.Figures.PlayingHandicap, c.Figures.StrokesByHole = 0, 0, 0, make([]int, 9)
		}),
	}
	var cases []rule
	for name, c := range sums {
		cases = append(cases, rule{Rule: name + " has a card", Source: "Rules of Golf 21 to 24", When: card.Issue{CardIssued: c}, Then: given(c)})
	}
	decider.Check(t, cases)
}

// plusShare is half of minus 1 1/3 and of 8: 3 1/3.
func plusShare() events.CardIssued {
	c := shared("stroke_play", "foursomes")
	c.Figures.Shares = []events.Share{share("p1", 0, 50), share("p2", 8, 50)}
	c.Figures.Shares[0].CourseHandicapNum = -4
	c.Figures.CourseHandicapNum, c.Figures.CourseHandicapDen, c.Figures.CourseHandicap, c.Figures.PlayingHandicap = 10, 3, 3, 3
	c.Figures.StrokesByHole = []int{1, 0, 0, 1, 0, 0, 1, 0, 0}
	return c
}

// scrambleOfFour is 25, 20, 15 and 10 % of 0, 5, 10 and 15: 4.
func scrambleOfFour() events.CardIssued {
	c := shared("stroke_play", "scramble")
	c.Figures.Shares = []events.Share{share("p3", 0, 25), share("p1", 5, 20), share("p2", 10, 15), share("p4", 15, 10)}
	c.Figures.CourseHandicapNum, c.Figures.CourseHandicap, c.Figures.PlayingHandicap = 4, 4, 4
	c.Figures.StrokesByHole = []int{1, 0, 0, 1, 1, 0, 1, 0, 0}
	return c
}

// own copies what a change of a side's card writes to.
func own(c events.CardIssued) events.CardIssued {
	c.Partners, c.Figures.Shares, c.Count = slices.Clone(c.Partners), slices.Clone(c.Figures.Shares), slices.Clone(c.Count)
	for i := range c.Partners {
		b := &c.Partners[i]
		b.Holes, b.Figures.StrokesByHole = slices.Clone(b.Holes), slices.Clone(b.Figures.StrokesByHole)
	}
	return c
}

func TestIssueRefusesSidesThatDoNotFitTogether(t *testing.T) {
	t.Parallel()
	var cases []rule
	for _, c := range []struct {
		rule, source string
		card         events.CardIssued
		code, field  string
		change       func(*events.CardIssued)
	}{
		{"a match has no card", "Rules of Golf 3.2", medal, "unknown", "format", func(c *events.CardIssued) { c.Format = "match" }},
		{"a side is a known one", marram, medal, "unknown", "side", func(c *events.CardIssued) { c.Side = "trio" }},
		{"one player has one ball", marram, pair, "ball_count", "partners", func(c *events.CardIssued) { c.Side = "" }},
		{"a four-ball has two balls", fourBall, pair, "ball_count", "partners", func(c *events.CardIssued) { c.Partners = nil }},
		{"a four-ball has not three balls", fourBall, bestTwo, "ball_count", "partners", func(c *events.CardIssued) { c.Side, c.Count = "four_ball", nil }},
		{"a team has more than one ball", team, bestTwo, "ball_count", "partners", func(c *events.CardIssued) { c.Partners = nil }},
		{"a team has at most four balls", team, sideOf("stroke_play", 5, events.Play{Side: "aggregate"}), "ball_count", "partners", func(*events.CardIssued) {}},
		{"foursomes play one ball", oneBall, foursome, "ball_count", "partners", func(c *events.CardIssued) { c.Partners = []events.Ball{partner(1)} }},
		{"a partner is named", marram, pair, "required", "partners[0].player_id", func(c *events.CardIssued) { c.Partners[0].PlayerID = "" }},
		{"nobody is their own partner", marram, pair, "twice", "partners[0].player_id", func(c *events.CardIssued) { c.Partners[0].PlayerID = "p1" }},
		{"nobody plays two balls", marram, bestTwo, "twice", "partners[1].player_id", func(c *events.CardIssued) { c.Partners[1].PlayerID = "p2" }},
		{"a partner's tee is named", marram, pair, "required", "partners[0].tee", func(c *events.CardIssued) { c.Partners[0].Tee = "" }},
		{"a partner plays as many holes", "Rules of Golf 5.1", pair, "hole_count", "partners[0].holes", func(c *events.CardIssued) { c.Partners[0].Holes = c.Partners[0].Holes[:8] }},
		{"a partner plays the same holes", "Rules of Golf 5.1", pair, "other_holes", "partners[0].holes[8].number", func(c *events.CardIssued) { c.Partners[0].Holes[8].Number = 18 }},
		{"a partner's strokes add up", handicap, pair, "sum", "partners[0].strokes_by_hole", func(c *events.CardIssued) { c.Partners[0].Figures.StrokesByHole[0] = 1 }},
		{"a partner's par adds up", marram, pair, "sum", "partners[0].par", func(c *events.CardIssued) { c.Partners[0].Holes[0].Par = 5 }},
		{"a partner's strokes are for every hole", handicap, pair, "hole_count", "partners[0].strokes_by_hole", func(c *events.CardIssued) { c.Partners[0].Figures.StrokesByHole = nil }},
		{"a partner's course handicap is a fraction", marram, pair, "out_of_range", "partners[0].course_handicap_den", func(c *events.CardIssued) { c.Partners[0].Figures.CourseHandicapDen = 0 }},
		{"a partner's course handicap is rounded right", "Rules of Handicapping 6.1", pair, "rounding", "partners[0].course_handicap", func(c *events.CardIssued) { c.Partners[0].Figures.CourseHandicap = 3 }},
		{"a partner's allowance is taken right", handicap, pair, "rounding", "partners[0].playing_handicap", func(c *events.CardIssued) { c.Partners[0].Figures.AllowancePercent = 50 }},
		{"an own ball is not shared", appendixC, medal, "not_allowed", "shares", func(c *events.CardIssued) { c.Figures.Shares = foursome.Figures.Shares }},
		{"a partner's own ball is not shared", appendixC, pair, "not_allowed", "partners[0].shares", func(c *events.CardIssued) { c.Partners[0].Figures.Shares = foursome.Figures.Shares }},
		{"a ball of a side has shares", appendixC, foursome, "player_count", "shares", func(c *events.CardIssued) { c.Figures.Shares = nil }},
		{"foursomes are not three", oneBall, scrambleOfFour(), "player_count", "shares", func(c *events.CardIssued) { c.Side, c.Figures.Shares = "foursomes", c.Figures.Shares[:3] }},
		{"a scramble is at most four", "Committee Procedures 9C", scrambleOfFour(), "player_count", "shares", func(c *events.CardIssued) { c.Figures.Shares = append(c.Figures.Shares, share("p5", 20, 0)) }},
		{"a share is somebody's", marram, foursome, "required", "shares[0].player_id", func(c *events.CardIssued) { c.Figures.Shares[0].PlayerID = "" }},
		{"a share names its tee", marram, foursome, "required", "shares[1].tee", func(c *events.CardIssued) { c.Figures.Shares[1].Tee = "" }},
		{"nobody has two shares", marram, foursome, "twice", "shares[1].player_id", func(c *events.CardIssued) { c.Figures.Shares[1].PlayerID = "p2" }},
		{"the card's player has a share", marram, foursome, "required", "shares", func(c *events.CardIssued) { c.PlayerID = "p7" }},
		{"a share's course handicap is a fraction", marram, foursome, "out_of_range", "shares[1].course_handicap_den", func(c *events.CardIssued) { c.Figures.Shares[1].CourseHandicapDen = -3 }},
		{"a share is not negative", appendixC, foursome, "out_of_range", "shares[0].percent", func(c *events.CardIssued) { c.Figures.Shares[0].Percent = -1 }},
		{"a share of 201 % is a slip", unsourced, foursome, "out_of_range", "shares[0].percent", func(c *events.CardIssued) { c.Figures.Shares[0].Percent = 201 }},
		{"the lowest share comes first", appendixC, foursome, "out_of_order", "shares[1].course_handicap_num", func(c *events.CardIssued) { slices.Reverse(c.Figures.Shares) }},
		{"the shares add up exactly", appendixC, foursome, "sum", "course_handicap_num", func(c *events.CardIssued) { c.Figures.Shares[1].CourseHandicapNum++ }},
		{"the whole of the sum counts", appendixC, foursome, "out_of_range", "allowance_percent", func(c *events.CardIssued) { c.Figures.AllowancePercent = 101 }},
		{"maximum score has a maximum", maximum, capped, "required", "maximum", func(c *events.CardIssued) { c.Maximum = events.Maximum{} }},
		{"stroke play has none", maximum, medal, "not_allowed", "maximum", func(c *events.CardIssued) { c.Maximum.Kind = "double_par" }},
		{"nor a number without a kind", maximum, stableford, "not_allowed", "maximum", func(c *events.CardIssued) { c.Maximum.Strokes = 10 }},
		{"a maximum is of a known kind", maximum, capped, "unknown", "maximum.kind", func(c *events.CardIssued) { c.Maximum.Kind = "triple_par" }},
		{"twice par needs no number", maximum, capped, "not_allowed", "maximum.strokes", func(c *events.CardIssued) { c.Maximum = events.Maximum{Kind: "double_par", Strokes: 8} }},
		{"a number of strokes is one", maximum, capped, "out_of_range", "maximum.strokes", func(c *events.CardIssued) { c.Maximum = events.Maximum{Kind: "strokes"} }},
		{"a maximum has two digits", maximum, capped, "out_of_range", "maximum.strokes", func(c *events.CardIssued) { c.Maximum = events.Maximum{Kind: "strokes", Strokes: 100} }},
		{"the best of a team says how many", team, bestTwo, "required", "count", func(c *events.CardIssued) { c.Count = nil }},
		{"none is no number that counts", team, bestTwo, "out_of_range", "count[0]", func(c *events.CardIssued) { c.Count[0] = 0 }},
		{"the best three of three is an aggregate", team, bestTwo, "out_of_range", "count[0]", func(c *events.CardIssued) { c.Count[0] = 3 }},
		{"on a hole not more count than there are", team, oneTwoAll, "out_of_range", "count[5]", func(c *events.CardIssued) { c.Count[5] = 4 }},
		{"numbers by hole are for every hole", team, oneTwoAll, "hole_count", "count", func(c *events.CardIssued) { c.Count = c.Count[:8] }},
		{"by round one number counts", team, oneTwoAll, "hole_count", "count", func(c *events.CardIssued) { c.CountBy = "round" }},
		{"a four-ball's better ball counts anyway", fourBall, pair, "not_allowed", "count", func(c *events.CardIssued) { c.Count = []int{1} }},
		{"a four-ball counts by hole anyway", fourBall, pair, "not_allowed", "count_by", func(c *events.CardIssued) { c.CountBy = "round" }},
		{"one player counts in no other way", marram, medal, "not_allowed", "count_by", func(c *events.CardIssued) { c.CountBy = "hole" }},
		{"balls count by hole or by round", team, together, "unknown", "count_by", func(c *events.CardIssued) { c.CountBy = "nine" }},
	} {
		changed := with(own(c.card), c.change)
		cases = append(cases, rule{Rule: c.rule, Source: c.source, When: card.Issue{CardIssued: changed}, Refused: invalid(c.code, c.field)})
	}
	decider.Check(t, cases)
}

func TestReissueOfASide(t *testing.T) {
	t.Parallel()
	again := func(c events.CardIssued, reason string) card.Reissue {
		r := reissueOf(c, reason)
		r.Partners = c.Partners
		return card.Reissue{CardReissued: r}
	}
	changed := func(c events.CardIssued, change func(*events.CardIssued)) events.CardIssued {
		return with(own(c), change)
	}
	off3 := changed(pair, func(c *events.CardIssued) {
		f := &c.Partners[0].Figures
		f.CourseHandicapNum, f.CourseHandicap, f.PlayingHandicap, f.StrokesByHole[8] = 3, 3, 3, 1
	})
	another := changed(pair, func(c *events.CardIssued) { c.Partners[0].PlayerID = "p9" })
	anotherShare := changed(foursome, func(c *events.CardIssued) { c.Figures.Shares[0].PlayerID = "p9" })
	turned := changed(foursome, func(c *events.CardIssued) { // p1 was 3 and p2 8 in truth
		c.Figures.Shares[0].PlayerID, c.Figures.Shares[1].PlayerID = "p1", "p2"
	})
	then := func(r card.Reissue) []events.Event { return given(r.CardReissued) }
	partnerScored := given(pair, of(1, by(marker, 3, strokes(4))))
	decider.Check(t, []rule{
		{Rule: "the same again changes nothing", Source: marram, Given: partnerScored, When: again(pair, "for luck")},
		{Rule: "a partner's handicap is put right", Source: committee, Given: partnerScored, When: again(off3, "index was out of date"), Then: then(again(off3, "index was out of date"))},
		{Rule: "that needs a reason once the partner has a score", Source: marram, Given: partnerScored, When: again(off3, ""), Refused: invalid("required", "reason")},
		{Rule: "a partner's tee is a change", Source: marram, Given: given(pair), When: again(changed(pair, func(c *events.CardIssued) { c.Partners[0].Tee = "Red" }), ""),
			Then: then(again(changed(pair, func(c *events.CardIssued) { c.Partners[0].Tee = "Red" }), ""))},
		{Rule: "a partner is replaced before a score", Source: marram, Given: given(pair), When: again(another, ""), Then: then(again(another, ""))},
		{Rule: "a partner is replaced on a card on which only a hole is excluded", Source: marram, Given: given(pair, by(office, 3, notInPlay), of(1, by(office, 3, notInPlay))),
			When: again(another, ""), Then: then(again(another, ""))},
		{Rule: "a partner is not replaced once there is a score, whoever's", Source: marram, Given: given(pair, by(player, 3, strokes(4))), When: again(another, "ill"), Refused: notNow("has_scores", "partners")},
		{Rule: "nor once there is a penalty", Source: marram, Given: given(pair, late), When: again(another, "ill"), Refused: notNow("has_scores", "partners")},
		{Rule: "a team may become larger before a score", Source: team, Given: given(bestTwo), When: again(sideOf("stroke_play", 4, bestTwo.Play), ""),
			Then: then(again(sideOf("stroke_play", 4, bestTwo.Play), ""))},
		{Rule: "but a four-ball stays two", Source: fourBall, Given: given(pair), When: again(bestTwo, ""), Refused: invalid("ball_count", "partners")},
		{Rule: "a team does not become as small as what counts", Source: team, Given: given(bestTwo), When: again(sideOf("stroke_play", 2, bestTwo.Play), ""), Refused: invalid("out_of_range", "count[0]")},
		{Rule: "who shares a ball is replaced before a score", Source: marram, Given: given(foursome), When: again(anotherShare, ""), Then: then(again(anotherShare, ""))},
		{Rule: "who shares a ball is not replaced after one", Source: marram, Given: given(foursome, by(marker, 1, strokes(4))), When: again(anotherShare, "ill"), Refused: notNow("has_scores", "shares")},
		{Rule: "handicaps of those who share a ball are put right in another order", Source: committee, Given: given(foursome, by(marker, 1, strokes(4))),
			When: again(turned, "exchanged"), Then: then(again(turned, "exchanged"))},
		{Rule: "a partner's figures fit together", Source: handicap, Given: given(pair), When: again(changed(off3, func(c *events.CardIssued) { c.Partners[0].Figures.CourseHandicap = 2 }), ""),
			Refused: invalid("rounding", "partners[0].course_handicap")},
	})
}

func TestAReissueKeepsTheScoresOfEveryBall(t *testing.T) {
	t.Parallel()
	r := reissueOf(bestTwo, "a tee was moved")
	r.Partners = own(bestTwo).Partners
	r.Partners[1].Tee, r.Partners[1].Holes[2].LengthM = "Red", 111
	s := decider.Fold(given(bestTwo, by(player, 3, strokes(3)), of(1, by(marker, 3, strokes(4))), of(2, by(office, 3, strokes(5))), late, r)...)
	require.Equal(t, strokes(3), s.Lines(0)[2].Player)
	require.Equal(t, strokes(4), s.Lines(1)[2].Marker)
	require.Equal(t, strokes(5), s.Lines(2)[2].Committee)
	require.Equal(t, 111, s.Lines(2)[2].LengthM)
	require.Equal(t, "Red", s.BallTee(2))
	require.Equal(t, 2, s.PenaltyOn(1, 1))
}

func TestANewPartnerFindsExcludedHolesExcluded(t *testing.T) {
	t.Parallel()
	larger := sideOf("stroke_play", 4, bestTwo.Play)
	r := reissueOf(larger, "")
	r.Partners = larger.Partners
	s := decider.Fold(given(bestTwo, by(office, 3, notInPlay), of(1, by(office, 3, notInPlay)), of(2, by(office, 3, notInPlay)), r)...)
	for b := range s.Balls() {
		require.True(t, s.Lines(b)[2].Excluded(), "ball %d", b)
		require.False(t, s.Lines(b)[3].Excluded(), "ball %d", b)
	}
}

func TestWhoIsOnACard(t *testing.T) {
	t.Parallel()
	require.Equal(t, []string{"p1"}, decider.Fold(medal).Players())
	require.Equal(t, []string{"p1", "p2", "p3"}, decider.Fold(bestTwo).Players())
	require.Equal(t, []string{"p1", "p2"}, decider.Fold(foursome).Players(), "the card's own player first, whoever has the lowest handicap")
	s := decider.Fold(bestTwo)
	require.Equal(t, 3, s.Balls())
	require.Equal(t, []string{"p1", "p2", "p3"}, []string{s.BallPlayer(0), s.BallPlayer(1), s.BallPlayer(2)})
	require.Equal(t, []string{"White", "Blue", "Blue"}, []string{s.BallTee(0), s.BallTee(1), s.BallTee(2)})
	require.Equal(t, []int{6, 2, 2}, []int{s.BallFigures(0).PlayingHandicap, s.BallFigures(1).PlayingHandicap, s.BallFigures(2).PlayingHandicap})
	require.Equal(t, 1, s.Lines(1)[3].Received)
	for _, ball := range []int{-1, 3} {
		require.Empty(t, s.Lines(ball))
		require.Empty(t, s.BallPlayer(ball))
		require.Empty(t, s.BallTee(ball))
		require.Equal(t, events.Figures{}, s.BallFigures(ball))
	}
}
