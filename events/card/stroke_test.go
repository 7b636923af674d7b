package card_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
)

func TestRecordStroke(t *testing.T) {
	t.Parallel()
	other := events.StrokeRecorded{StrokeID: "z", Hole: 2, Stroke: drive}
	decider.Check(t, []rule{
		{Rule: "a stroke needs nothing but lie and distance", Source: marram, Given: given(medal),
			When: record("a", events.Stroke{Lie: "sand", DistanceM: 20}), Then: given(logged("a", events.Stroke{Lie: "sand", DistanceM: 20}))},
		{Rule: "a stroke is logged during the round", Source: notOurBusiness, Given: given(medal), When: record("a", drive), Then: given(logged("a", drive))},
		{Rule: "and from memory after the return", Source: marram, Given: home, When: record("a", drive), Then: given(logged("a", drive))},
		{Rule: "and on a ruled card", Source: marram, Given: given(medal, ruled("RTD", "ill")), When: record("a", drive), Then: given(logged("a", drive))},
		{Rule: "a hole may be logged from the green on", Source: marram, Given: given(medal), When: record("a", tapIn), Then: given(logged("a", tapIn))},
		{Rule: "a stroke may be put in before another", Source: marram, Given: given(medal, logged("b", tapIn)),
			When: card.RecordStroke{StrokeID: "a", Hole: 1, Before: "b", Stroke: putt}, Then: given(events.StrokeRecorded{StrokeID: "a", Hole: 1, Before: "b", Stroke: putt})},
		{Rule: "but only of the same hole", Source: marram, Given: given(medal, other),
			When: card.RecordStroke{StrokeID: "a", Hole: 1, Before: "z", Stroke: putt}, Refused: invalid("unknown", "before")},
		{Rule: "and only before one that stands", Source: marram, Given: given(medal),
			When: card.RecordStroke{StrokeID: "a", Hole: 1, Before: "z", Stroke: putt}, Refused: invalid("unknown", "before")},
		{Rule: "the same again changes nothing", Source: marram, Given: given(medal, logged("a", drive)), When: record("a", drive)},
		{Rule: "also with sealed words", Source: marram, Given: given(medal, logged("a", saying(drive, func(x *events.Stroke) { x.Words = []byte("w") }))),
			When: record("a", saying(drive, func(x *events.Stroke) { x.Words = []byte("w") }))},
		{Rule: "an id is of one stroke", Source: marram, Given: given(medal, logged("a", drive)), When: record("a", approach), Refused: refused(events.KindConflict, "taken", "stroke_id")},
		{Rule: "on one hole", Source: marram, Given: given(medal, other), When: record("z", drive), Refused: refused(events.KindConflict, "taken", "stroke_id")},
		{Rule: "a stroke has an id", Source: marram, Given: given(medal), When: record("", drive), Refused: invalid("required", "strokes[0].stroke_id")},
		{Rule: "a hole is on the card", Source: marram, Given: given(medal), When: card.RecordStroke{StrokeID: "a", Hole: 10, Stroke: drive}, Refused: invalid("not_in_play", "hole")},
		{Rule: "so is a ball", Source: marram, Given: given(medal), When: card.RecordStroke{StrokeID: "a", Ball: 1, Hole: 1, Stroke: drive}, Refused: invalid("not_on_card", "ball")},
		{Rule: "a partner logs the partner's ball", Source: marram, Given: given(pair), When: card.RecordStroke{StrokeID: "a", Ball: 1, Hole: 1, Stroke: drive},
			Then: given(events.StrokeRecorded{StrokeID: "a", Ball: 1, Hole: 1, Stroke: drive})},
		{Rule: "there are no strokes without a card", Source: marram, When: record("a", drive), Refused: refused(events.KindNotFound, "not_found", "card_id")},
	})
}

func TestTheOrderOfAHole(t *testing.T) {
	t.Parallel()
	decider.Check(t, []rule{
		{Rule: "nothing is played after the ball is holed", Source: "Rules of Golf 6.5", Given: given(medal, logged("a", tapIn)),
			When: record("b", putt), Refused: invalid("order", "strokes[0].finish.holed")},
		{Rule: "so that a stroke before the last one is not holed", Source: "Rules of Golf 6.5", Given: given(medal, logged("a", putt), logged("b", tapIn)),
			When: amend("a", tapIn), Refused: invalid("order", "finish.holed")},
		{Rule: "a ball that has left the tee is not there again", Source: "Rules of Golf 18.1", Given: given(medal, logged("a", drive), logged("b", approach)),
			When: record("c", drive), Refused: invalid("order", "lie")},
		{Rule: "but with a penalty it is", Source: "Rules of Golf 18.1", Given: given(medal, logged("a", penalised(drive, 1))), When: record("b", drive), Then: given(logged("b", drive))},
		{Rule: "a missed ball is still on the tee", Source: "Rules of Golf 6.2b(6)", Given: given(medal, logged("a", drive)), When: record("b", drive), Then: given(logged("b", drive))},
		{Rule: "without the penalty between them two strokes do not follow", Source: "Rules of Golf 18.1",
			Given: given(medal, logged("a", approach), logged("b", penalised(approach, 1)), logged("c", drive)),
			When:  card.RemoveStroke{StrokeID: "b"}, Refused: invalid("order", "strokes[1].lie")},
		{Rule: "the stroke that is holed may have incurred a penalty", Source: "Rules of Golf 12.2b", Given: given(medal),
			When: record("a", penalised(finished(events.Stroke{Lie: "sand", DistanceM: 15}, events.Finish{Holed: true}), 2)),
			Then: given(logged("a", penalised(finished(events.Stroke{Lie: "sand", DistanceM: 15}, events.Finish{Holed: true}), 2)))},
	})
}

func TestMostStrokesOfAHole(t *testing.T) {
	t.Parallel()
	s := given(medal)
	for i := range card.MostStrokes {
		s = append(s, logged(fmt.Sprint(i), putt))
	}
	decider.Check(t, []rule{
		{Rule: "a hole has an end", Source: unsourced, Given: s, When: record("x", putt), Refused: invalid("too_many", "strokes")},
		{Rule: "each ball has its own", Source: unsourced, Given: given(pair, s[1:]), When: card.RecordStroke{StrokeID: "x", Ball: 1, Hole: 1, Stroke: putt},
			Then: given(events.StrokeRecorded{StrokeID: "x", Ball: 1, Hole: 1, Stroke: putt})},
	})
}

// Every field of a stroke is checked, whichever way it comes in.
func TestWhatAStrokeCanSay(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		field, code string
		change      func(*events.Stroke)
	}{
		{"lie", "unknown", func(x *events.Stroke) { x.Lie = "" }},
		{"lie", "unknown", func(x *events.Stroke) { x.Lie = "hole" }},
		{"distance", "out_of_range", func(x *events.Stroke) { x.DistanceM = 0 }},
		{"distance", "out_of_range", func(x *events.Stroke) { x.DistanceM = -1 }},
		{"distance", "out_of_range", func(x *events.Stroke) { x.DistanceM = 1500.1 }},
		{"club", "unknown", func(x *events.Stroke) { x.Club = "iron-10" }},
		{"target", "unknown", func(x *events.Stroke) { x.Target = "middle" }},
		{"shape", "unknown", func(x *events.Stroke) { x.Shape = "hook" }},
		{"commitment", "out_of_range", func(x *events.Stroke) { x.Commitment = 6 }},
		{"commitment", "out_of_range", func(x *events.Stroke) { x.Commitment = -1 }},
		{"strike", "unknown", func(x *events.Stroke) { x.Strike = "thin" }},
		{"penalty", "out_of_range", func(x *events.Stroke) { x.Penalty = -1 }},
		{"penalty", "out_of_range", func(x *events.Stroke) { x.Penalty = 5 }},
		{"miss.side", "unknown", func(x *events.Stroke) { x.Miss.Side = "short" }},
		{"miss.length", "unknown", func(x *events.Stroke) { x.Miss.Length = "left" }},
		{"miss.side_by", "ambiguous", func(x *events.Stroke) { x.Miss.SideM = 3 }},
		{"miss.side_by", "ambiguous", func(x *events.Stroke) { x.Miss = events.Miss{Side: "on_line", SideM: 3} }},
		{"miss.length_by", "ambiguous", func(x *events.Stroke) { x.Miss = events.Miss{Length: "level", LengthM: 3} }},
		{"miss.side_by", "out_of_range", func(x *events.Stroke) { x.Miss = events.Miss{Side: "left", SideM: -3} }},
		{"miss.length_by", "out_of_range", func(x *events.Stroke) { x.Miss = events.Miss{Length: "long", LengthM: 501} }},
		{"finish.lie", "unknown", func(x *events.Stroke) { x.Finish = &events.Finish{} }},
		{"finish.distance", "out_of_range", func(x *events.Stroke) { x.Finish = &events.Finish{Lie: "green"} }},
		{"finish.distance", "out_of_range", func(x *events.Stroke) { x.Finish = &events.Finish{Lie: "green", DistanceM: 2000} }},
		{"finish.holed", "ambiguous", func(x *events.Stroke) { x.Finish = &events.Finish{Holed: true, Lie: "green"} }},
		{"finish.holed", "ambiguous", func(x *events.Stroke) { x.Finish = &events.Finish{Holed: true, DistanceM: 1} }},
		{"struck_at", "out_of_range", func(x *events.Stroke) { x.IntentAt, x.StruckAt = clock, clock.Add(-time.Second) }},
		{"struck_at", "out_of_range", func(x *events.Stroke) { x.IntentAt, x.StruckAt = clock, clock.Add(time.Hour+time.Second) }},
		{"intent_at", "out_of_range", func(x *events.Stroke) { x.IntentAt = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC) }},
		{"struck_at", "out_of_range", func(x *events.Stroke) { x.StruckAt = time.Date(1969, 12, 31, 0, 0, 0, 0, time.UTC) }},
	} {
		x := saying(drive, c.change)
		decider.Check(t, []rule{
			{Rule: "refused alone: " + c.field, Source: marram, Given: given(medal), When: record("a", x), Refused: invalid(c.code, c.field)},
			{Rule: "refused when amended: " + c.field, Source: marram, Given: given(medal, logged("a", putt)), When: amend("a", x), Refused: invalid(c.code, c.field)},
			{Rule: "refused with its hole: " + c.field, Source: marram, Given: given(medal), When: hole("p", penalised(drive, 1), "a", x), Refused: invalid(c.code, "strokes[1]."+c.field)},
		})
	}
}

func TestAllThatAStrokeCanSayIsKept(t *testing.T) {
	t.Parallel()
	no := false
	all := events.Stroke{
		Lie: events.LieTee, DistanceM: 371.2464, Club: "wood-3", Target: events.TargetRight, Shape: events.ShapeDraw, Commitment: 5,
		IntentAt: clock, StruckAt: clock.Add(time.Hour), Strike: events.StrikeFair, Finish: &events.Finish{Lie: events.LieRecovery, DistanceM: card.MostDistanceM},
		Penalty: card.MostStrokePenalty, GoodEnough: &no, Words: []byte("sealed"),
		Miss: events.Miss{Side: events.MissLeft, SideM: card.MostMissM, Length: events.MissLong, LengthM: 0.0001},
	}
	decider.Check(t, []rule{
		{Rule: "recorded", Source: marram, Given: given(medal), When: record("a", all), Then: given(logged("a", all))},
		{Rule: "amended", Source: marram, Given: given(medal, logged("a", drive)), When: amend("a", all), Then: given(events.StrokeAmended{StrokeID: "a", Stroke: all})},
	})
	for _, c := range []func(*events.Stroke){ // whatever is said otherwise is a change
		func(x *events.Stroke) { x.DistanceM++ },
		func(x *events.Stroke) { x.Lie = events.LieRough },
		func(x *events.Stroke) { x.Club = "" },
		func(x *events.Stroke) { x.Target = "" },
		func(x *events.Stroke) { x.Shape = "" },
		func(x *events.Stroke) { x.Commitment = 0 },
		func(x *events.Stroke) { x.IntentAt = clock.Add(time.Second) },
		func(x *events.Stroke) { x.StruckAt = time.Time{} },
		func(x *events.Stroke) { x.Strike = "" },
		func(x *events.Stroke) { x.Finish = nil },
		func(x *events.Stroke) { x.Finish = &events.Finish{Lie: events.LieRecovery, DistanceM: 7} },
		func(x *events.Stroke) { x.Penalty = 0 },
		func(x *events.Stroke) { x.GoodEnough = nil },
		func(x *events.Stroke) { yes := true; x.GoodEnough = &yes },
		func(x *events.Stroke) { x.Words = nil },
		func(x *events.Stroke) { x.Words = []byte("others") },
		func(x *events.Stroke) { x.Miss.SideM = 0 },
		func(x *events.Stroke) { x.Miss.Length = events.MissShort },
	} {
		changed := saying(all, c)
		out, err := card.Decide(decider.Fold(medal, logged("a", all)), amend("a", changed))
		require.NoError(t, err)
		require.Equal(t, given(events.StrokeAmended{StrokeID: "a", Stroke: changed}), out)
	}
}

func TestAmendAndRemoveStroke(t *testing.T) {
	t.Parallel()
	decider.Check(t, []rule{
		{Rule: "the same again changes nothing", Source: marram, Given: given(medal, logged("a", drive)), When: amend("a", drive)},
		{Rule: "only a stroke that stands is amended", Source: marram, Given: given(medal), When: amend("a", drive), Refused: refused(events.KindNotFound, "not_found", "stroke_id")},
		{Rule: "a stroke is amended after the return", Source: marram, Given: given(home, logged("a", drive)), When: amend("a", approach),
			Then: given(events.StrokeAmended{StrokeID: "a", Stroke: approach})},
		{Rule: "a stroke is taken off", Source: marram, Given: given(medal, logged("a", drive)), When: card.RemoveStroke{StrokeID: "a"}, Then: given(events.StrokeRemoved{StrokeID: "a"})},
		{Rule: "once", Source: marram, Given: given(medal, logged("a", drive), events.StrokeRemoved{StrokeID: "a"}), When: card.RemoveStroke{StrokeID: "a"},
			Refused: refused(events.KindNotFound, "not_found", "stroke_id")},
		{Rule: "the score that followed from it stays", Source: marram, Given: given(medal, almost, logged("d", tapIn), four), When: card.RemoveStroke{StrokeID: "d"},
			Then: given(events.StrokeRemoved{StrokeID: "d"})},
	})
}

func TestScoresThatFollowFromStrokes(t *testing.T) {
	t.Parallel()
	last := logged("d", tapIn)
	five := saying(tapIn, func(x *events.Stroke) { x.Penalty = 1 })
	noScoreYet := card.RecordStroke{StrokeID: "d", Hole: 1, Stroke: tapIn}
	decider.Check(t, []rule{
		{Rule: "a whole hole has its score", Source: marram, Given: given(medal, almost), When: record("d", tapIn), Then: given(last, four)},
		{Rule: "penalties included", Source: marram, Given: given(medal, almost), When: record("d", five), Then: given(logged("d", five), by(player, 1, strokes(5)))},
		{Rule: "also where an amendment makes it whole", Source: marram, Given: given(medal, almost), When: amend("c", tapIn),
			Then: given(events.StrokeAmended{StrokeID: "c", Stroke: tapIn}, by(player, 1, strokes(3)))},
		{Rule: "also where all of it is logged at once", Source: marram, Given: given(medal), When: hole("a", drive, "b", tapIn), Then: given(logged("a", drive), logged("b", tapIn), by(player, 1, strokes(2)))},
		{Rule: "on a partner's ball it is the partner's", Source: fourBall, Given: given(pair),
			When: card.LogHole{Ball: 1, Hole: 1, Score: true, Strokes: []card.StrokeLine{{ID: "a", Stroke: finished(drive, events.Finish{Holed: true})}}},
			Then: given(events.StrokeRecorded{StrokeID: "a", Ball: 1, Hole: 1, Stroke: finished(drive, events.Finish{Holed: true})}, of(1, by(player, 1, strokes(1))))},
		{Rule: "a hole that is not holed out has none", Source: holeOut, Given: given(medal, almost), When: record("d", putt), Then: given(logged("d", putt))},
		{Rule: "nor has one that does not begin on the tee", Source: marram, Given: given(medal), When: record("d", tapIn), Then: given(last)},
		{Rule: "nor while the round takes no entries", Source: marram, Given: given(medal, almost), When: noScoreYet, Then: given(last)},
		{Rule: "the player's number is not written over", Source: marram, Given: given(medal, almost, by(player, 1, strokes(5))), When: record("d", tapIn), Then: given(last)},
		{Rule: "nor that the player picked up", Source: marram, Given: given(medal, almost, by(player, 1, pickedUp)), When: record("d", tapIn), Then: given(last)},
		{Rule: "beside the marker's number the player's stands", Source: markerDo, Given: given(medal, almost, by(marker, 1, strokes(5))), When: record("d", tapIn), Then: given(last, four)},
		{Rule: "the committee's word is final", Source: committee, Given: given(medal, almost, by(office, 1, strokes(5))), When: record("d", tapIn), Then: given(last)},
		{Rule: "an excluded hole has no score", Source: marram, Given: given(medal, almost, by(office, 1, notInPlay)), When: record("d", tapIn), Then: given(last)},
		{Rule: "a signature stands for the hole scores", Source: playerDo, Given: given(complete, almost, certifiedPlayer), When: record("d", tapIn), Then: given(last)},
		{Rule: "the marker's too", Source: markerDo, Given: given(complete, almost, certifiedMarker), When: record("d", tapIn), Then: given(last)},
		{Rule: "a returned card is the committee's", Source: playerDo, Given: given(home, almost), When: record("d", tapIn), Then: given(last)},
		{Rule: "a ruled card takes no score", Source: marram, Given: given(medal, almost, ruled("WD", "ill")), When: record("d", tapIn), Then: given(last)},
	})
}

func TestStrokesAndScoreThatDiffer(t *testing.T) {
	t.Parallel()
	whole := given(medal, almost, logged("d", tapIn)) // four strokes
	for name, c := range map[string]struct {
		given []events.Event
		want  bool
	}{
		"nothing is entered":                     {whole, false},
		"they agree":                             {given(whole, four), false},
		"the player entered another number":      {given(whole, by(player, 1, strokes(5))), true},
		"the player picked up":                   {given(whole, by(player, 1, pickedUp)), true},
		"the marker entered another number":      {given(whole, by(marker, 1, strokes(5))), true},
		"the marker did, and the player agrees":  {given(whole, four, by(marker, 1, strokes(5))), false},
		"the committee settled it as logged":     {given(whole, by(player, 1, strokes(5)), by(office, 1, strokes(4))), false},
		"the committee settled it otherwise":     {given(whole, four, by(office, 1, strokes(5))), true},
		"the hole is excluded":                   {given(whole, by(player, 1, strokes(5)), by(office, 1, notInPlay)), false},
		"not all strokes are logged":             {given(medal, almost, by(player, 1, strokes(5))), false},
		"the committee adds a penalty beside it": {given(whole, four, events.PenaltyAdded{PenaltyID: "p", Hole: 1, Strokes: 2, Reason: "late"}), false},
	} {
		require.Equal(t, c.want, decider.Fold(c.given...).StrokesDiffer(0, 1), name)
	}
	require.False(t, decider.Fold(whole...).StrokesDiffer(0, 10), "a hole that is not on the card")
	require.False(t, decider.Fold(whole...).StrokesDiffer(3, 1), "a ball that is not on the card")
}

func TestLogHole(t *testing.T) {
	t.Parallel()
	stands := given(medal, almost)
	before := func(id, next string, x events.Stroke) events.StrokeRecorded {
		return events.StrokeRecorded{StrokeID: id, Hole: 1, Before: next, Stroke: x}
	}
	gone := func(id string) events.StrokeRemoved { return events.StrokeRemoved{StrokeID: id} }
	decider.Check(t, []rule{
		{Rule: "the same again changes nothing", Source: marram, Given: stands, When: hole("a", drive, "b", approach, "c", putt)},
		{Rule: "an empty hole stays empty", Source: marram, Given: given(medal), When: hole()},
		{Rule: "a hole may be emptied", Source: marram, Given: stands, When: hole(), Then: given(gone("a"), gone("b"), gone("c"))},
		{Rule: "what is new goes where it is listed", Source: marram, Given: stands, When: hole("a", drive, "x", approach, "y", approach, "b", approach, "c", putt, "z", putt),
			Then: given(before("x", "b", approach), before("y", "b", approach), logged("z", putt))},
		{Rule: "what is not listed is gone", Source: marram, Given: stands, When: hole("a", drive, "c", putt), Then: given(gone("b"))},
		{Rule: "what is said otherwise is amended", Source: marram, Given: stands, When: hole("a", drive, "b", putt, "c", putt), Then: given(events.StrokeAmended{StrokeID: "b", Stroke: putt})},
		{Rule: "what is moved is taken off and put in again", Source: marram, Given: given(medal, logged("a", approach), logged("b", approach), logged("c", putt)),
			When: hole("b", approach, "a", approach, "c", putt), Then: given(gone("b"), before("b", "a", approach))},
		{Rule: "a stroke is listed once", Source: marram, Given: stands, When: hole("a", drive, "a", drive), Refused: invalid("twice", "strokes[1].stroke_id")},
		{Rule: "a stroke of another hole stays there", Source: marram, Given: stands, When: card.LogHole{Hole: 2, Strokes: []card.StrokeLine{{ID: "a", Stroke: drive}}},
			Refused: refused(events.KindConflict, "taken", "strokes[0].stroke_id")},
		{Rule: "a stroke has an id", Source: marram, Given: given(medal), When: hole("", drive), Refused: invalid("required", "strokes[0].stroke_id")},
		{Rule: "the hole is on the card", Source: marram, Given: given(medal), When: card.LogHole{Hole: 10}, Refused: invalid("not_in_play", "hole")},
		{Rule: "and the ball", Source: marram, Given: given(medal), When: card.LogHole{Ball: 1, Hole: 1}, Refused: invalid("not_on_card", "ball")},
		{Rule: "the order is checked as a whole", Source: "Rules of Golf 6.5", Given: given(medal), When: hole("a", drive, "b", tapIn, "c", putt), Refused: invalid("order", "strokes[1].finish.holed")},
	})
}

// Who logs before the draw is final does not have strokes go to other people or holes.
func TestStrokesHoldHolesAndPlayers(t *testing.T) {
	t.Parallel()
	again := func(c events.CardIssued) card.Reissue {
		r := reissueOf(c, "")
		r.Partners = c.Partners
		return card.Reissue{CardReissued: r}
	}
	back := with(medal, func(c *events.CardIssued) {
		for i := range c.Holes {
			c.Holes[i].Number += 9
		}
		c.StartingHole = 10
	})
	another := sideOf("stroke_play", 2, pair.Play)
	another.Partners[0].PlayerID = "p9"
	decider.Check(t, []rule{
		{Rule: "holes stay", Source: marram, Given: given(medal, logged("a", drive)), When: again(back), Refused: notNow("has_scores", "holes")},
		{Rule: "players stay", Source: marram, Given: given(pair, logged("a", drive)), When: again(another), Refused: notNow("has_scores", "partners")},
		{Rule: "a handicap changes without a reason, as no score stands", Source: marram, Given: given(medal, logged("a", drive)), When: again(off7), Then: given(reissueOf(off7, ""))},
		{Rule: "once they are taken off both may change", Source: marram, Given: given(medal, logged("a", drive), events.StrokeRemoved{StrokeID: "a"}), When: again(back), Then: given(reissueOf(back, ""))},
	})
}

func TestStrokesOfOneHoleStandTogether(t *testing.T) {
	t.Parallel()
	on := func(ball, hole int, id string) events.StrokeRecorded {
		return events.StrokeRecorded{StrokeID: id, Ball: ball, Hole: hole, Stroke: putt}
	}
	s := decider.Fold(pair, on(1, 2, "e"), on(0, 9, "d"), on(0, 1, "a"), on(0, 9, "d2"), on(0, 2, "c"), on(0, 1, "b"), on(1, 1, "e0"))
	var ids []string
	for _, x := range s.Strokes {
		ids = append(ids, x.ID)
	}
	require.Equal(t, []string{"a", "b", "c", "d", "d2", "e0", "e"}, ids)
	require.Len(t, s.StrokesOn(0, 9), 2)
	found, ok := s.Stroke("c")
	require.True(t, ok)
	require.Equal(t, card.StrokeLine{ID: "c", Hole: 2, Stroke: putt}, found)
	_, ok = s.Stroke("x")
	require.False(t, ok)
}

// Scores are what other read models need; they fold without strokes.
func TestEvolveScoresLeavesStrokesOut(t *testing.T) {
	t.Parallel()
	s, want := card.New(), decider.Fold(medal, four, by(marker, 1, strokes(4)))
	for _, e := range given(medal, almost, four, events.StrokeAmended{StrokeID: "a", Stroke: putt}, by(marker, 1, strokes(4)), events.StrokeRemoved{StrokeID: "c"}) {
		card.EvolveScores(s, e)
	}
	require.Equal(t, want, s)
}

func TestClonesHaveStrokesOfTheirOwn(t *testing.T) {
	t.Parallel()
	decider.Siblings(t, given(medal, almost), logged("x", putt), logged("y", approach))
	decider.Siblings(t, given(medal, almost), events.StrokeRemoved{StrokeID: "a"}, events.StrokeAmended{StrokeID: "a", Stroke: putt})
	decider.Siblings(t, given(medal, almost), events.StrokeRecorded{StrokeID: "x", Hole: 1, Before: "a", Stroke: putt}, events.StrokeAmended{StrokeID: "c", Stroke: tapIn})
}
