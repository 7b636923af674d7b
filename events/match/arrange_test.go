package match_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/match"
)

func TestArranging(t *testing.T) {
	t.Parallel()
	arranged := func(change func(*events.MatchArranged)) match.Arrange {
		return match.Arrange{MatchArranged: with(four(), change)}
	}
	ok := func(name string, m events.MatchArranged) rule {
		return rule{Rule: name, Source: handicap, When: match.Arrange{MatchArranged: m}, Then: given(m)}
	}
	no := func(name, source, code, field string, change func(*events.MatchArranged)) rule {
		return rule{Rule: name, Source: source, When: arranged(change), Refused: invalid(code, field)}
	}
	eighteen := with(singles(), func(m *events.MatchArranged) {
		m.Length = 36
		for _, b := range []*events.MatchBall{&m.A.Balls[0], &m.B.Balls[0]} {
			for _, h := range nine() {
				h.Number, h.StrokeIndex = h.Number+9, h.StrokeIndex+9
				b.Holes = append(b.Holes, h)
				b.Strokes = append(b.Strokes, 0)
				b.Figures.StrokesByHole = append(b.Figures.StrokesByHole, 0)
			}
			b.Figures.Par = 72
		}
	})
	plus := with(singles(), func(m *events.MatchArranged) {
		m.A.Balls[0], m.B.Balls[0] = ball("p1", -2, 0), ball("p2", 5, 7)
	})
	decider.Check(t, []rule{
		ok("the lower plays off 0 and the other receives the difference", singles()),
		ok("in a four-ball all are compared with the lowest of the four", four()),
		ok("the lowest may play on either side", with(singles(), func(m *events.MatchArranged) {
			m.A.Balls[0], m.B.Balls[0] = ball("p1", 5, 3), ball("p2", 2, 0)
		})),
		ok("a plus player's difference goes to the opponent", plus),
		ok("the terms may give whole playing handicaps", with(plus, func(m *events.MatchArranged) {
			m.FullNet, m.A.Balls[0].Strokes, m.B.Balls[0].Strokes = true, allocated(-2), allocated(5)
		})),
		ok("18 holes may be played twice", eighteen),
		ok("a side may play one ball", with(singles(), func(m *events.MatchArranged) { m.Side = events.SideFoursomes })),
		no("a match has its competition", marram, "required", "competition_id", func(m *events.MatchArranged) { m.CompetitionID = "" }),
		no("and two entries", marram, "required", "b.entry_id", func(m *events.MatchArranged) { m.B.EntryID = "" }),
		no("different ones", matchRule, "same_entry", "b.entry_id", func(m *events.MatchArranged) { m.B.EntryID = "ann" }),
		no("rounds count from 1", marram, "out_of_range", "round", func(m *events.MatchArranged) { m.Round = 0 }),
		no("matches too", marram, "out_of_range", "number", func(m *events.MatchArranged) { m.Number = 0 }),
		no("it is net or gross", marram, "unknown", "ranking", func(m *events.MatchArranged) { m.Ranking = "" }),
		no("no team plays a match", marram, "unknown", "side", func(m *events.MatchArranged) { m.Side = events.SideBestOf }),
		no("no scramble either", marram, "unknown", "side", func(m *events.MatchArranged) { m.Side = events.SideScramble }),
		no("a four-ball has two balls a side", fourBall, "ball_count", "b.balls", func(m *events.MatchArranged) { m.B.Balls = m.B.Balls[:1] }),
		no("a single has one", matchRule, "ball_count", "a.balls", func(m *events.MatchArranged) { m.Side = "" }),
		no("nobody plays two balls", marram, "twice", "b.balls[1].player_id", func(m *events.MatchArranged) { m.B.Balls[1].PlayerID = "p1" }),
		no("a ball has its tee", marram, "required", "a.balls[1]", func(m *events.MatchArranged) { m.A.Balls[1].Tee = "" }),
		no("18 or 9 holes are in play", matchRule, "hole_count", "a.balls[0].holes", func(m *events.MatchArranged) { m.A.Balls[0].Holes = m.A.Balls[0].Holes[:8] }),
		no("a match is as long as its holes", matchRule, "out_of_range", "length", func(m *events.MatchArranged) { m.Length = 18 }),
		no("nine holes are not played four times", matchRule, "out_of_range", "length", func(m *events.MatchArranged) { m.Length = 36 }),
		no("everybody plays the same holes", matchRule, "other_holes", "b.balls[0].holes", func(m *events.MatchArranged) { m.B.Balls[0].Holes[8].Number = 10 }),
		no("in order", marram, "out_of_order", "a.balls[0].holes[2].number", func(m *events.MatchArranged) {
			for _, side := range []events.MatchSide{m.A, m.B} {
				for _, b := range side.Balls {
					b.Holes[2].Number = 2
				}
			}
		}),
		no("the starting hole is one of them", "Rules of Golf 5.1", "not_in_play", "starting_hole", func(m *events.MatchArranged) { m.StartingHole = 10 }),
		no("par is that of the holes", marram, "sum", "a.balls[1].figures.par", func(m *events.MatchArranged) { m.A.Balls[1].Figures.Par = 35 }),
		no("strokes of the figures add up", handicap, "sum", "b.balls[0].figures.strokes_by_hole", func(m *events.MatchArranged) { m.B.Balls[0].Figures.StrokesByHole[0] = 7 }),
		no("a course handicap is rounded", handicap, "rounding", "b.balls[0].figures.course_handicap", func(m *events.MatchArranged) { m.B.Balls[0].Figures.CourseHandicapNum = 4 }),
		no("its denominator is positive", marram, "out_of_range", "b.balls[0].figures.course_handicap_den", func(m *events.MatchArranged) { m.B.Balls[0].Figures.CourseHandicapDen = 0 }),
		no("the playing handicap follows", handicap, "rounding", "b.balls[0].figures.playing_handicap", func(m *events.MatchArranged) { m.B.Balls[0].Figures.AllowancePercent = 50 }),
		no("strokes in the match are the difference", handicap, "sum", "b.balls[1].strokes", func(m *events.MatchArranged) { m.B.Balls[1].Strokes = allocated(6) }),
		no("one for every hole", handicap, "hole_count", "b.balls[1].strokes", func(m *events.MatchArranged) { m.B.Balls[1].Strokes = []int{7} }),
		no("by stroke index", "Rules of Handicapping, Appendix E", "not_by_index", "b.balls[1].strokes", func(m *events.MatchArranged) {
			m.B.Balls[1].Strokes[0], m.B.Balls[1].Strokes[2] = 0, 1
		}),
		no("one on every hole before a second on any", "Rules of Handicapping, Appendix E", "not_by_index", "b.balls[1].strokes", func(m *events.MatchArranged) {
			m.B.Balls[1].Strokes = []int{2, 0, 0, 2, 1, 0, 2, 0, 0}
		}),
		no("a gross match has no strokes", handicap, "sum", "a.balls[1].strokes", func(m *events.MatchArranged) { m.Ranking = "gross" }),
	})
}

func TestArrangingAnew(t *testing.T) {
	t.Parallel()
	off6 := with(singles(), func(m *events.MatchArranged) { m.B.Balls[0], m.Reason = ball("p2", 6, 4), "index was out of date" })
	anew := match.Arrange{MatchArranged: off6}
	other := match.Arrange{MatchArranged: with(off6, func(m *events.MatchArranged) { m.B.EntryID = "cat" })}
	decider.Check(t, []rule{
		{Rule: "the same again changes nothing", Source: "promise 2", Given: given(singles()), When: match.Arrange{MatchArranged: singles()}},
		{Rule: "before the first hole a figure is corrected", Source: handicap, Given: given(singles()), When: anew, Then: given(off6)},
		{Rule: "with a reason", Source: marram, Given: given(singles()), When: match.Arrange{MatchArranged: with(off6, func(m *events.MatchArranged) { m.Reason = "" })}, Refused: invalid("required", "reason")},
		{Rule: "a lower handicap that was played stands", Source: holeRule, Given: given(singles(), says(forA, 1, won("A"))), When: anew, Refused: notNow("has_holes", "match_id")},
		{Rule: "the sides stay", Source: marram, Given: given(singles()), When: other, Refused: refused(events.KindConflict, "match_arranged", "match_id")},
		{Rule: "a ruled match stays", Source: marram, Given: given(singles(), events.MatchRuled{Ruling: "default", Winner: "A", Up: 1, Reason: "why"}), When: anew, Refused: notNow("match_ruled", "match_id")},
	})
}

func TestHolesOfAnArrangedMatch(t *testing.T) {
	t.Parallel()
	s := decider.Fold(with(extended, func(m *events.MatchArranged) { m.StartingHole = 4 }))
	require.Equal(t, []int{4, 9, 1, 3, 4}, []int{s.HoleAt(1), s.HoleAt(6), s.HoleAt(7), s.HoleAt(9), s.HoleAt(10)})
	require.Zero(t, s.HoleAt(0))
	require.Equal(t, []int{1}, s.Received("B", 1), "hole 4 has the lowest stroke index")
	require.Equal(t, []int{0}, s.Received("B", 2))
	require.Equal(t, []int{1}, s.Received("B", 10), "and again as an extra hole")
	require.Equal(t, []int{0}, s.Received("A", 1))
	require.Zero(t, decider.Fold(singles()).HoleAt(10), "no extra holes")
	require.Nil(t, decider.Fold(singles()).Received("B", 10))
	require.Zero(t, match.New().HoleAt(1))
}
