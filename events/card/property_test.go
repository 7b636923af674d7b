package card_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/decidertest"
)

func anyScore() *rapid.Generator[events.Score] {
	return rapid.OneOf(
		rapid.Map(rapid.IntRange(3, 6), strokes),
		rapid.Map(rapid.IntRange(-1, 101), strokes),
		rapid.SampledFrom([]events.Score{nothing, pickedUp, noScore, {None: "lost"}, {Strokes: 4, None: events.PickedUp}}),
	)
}

func anyRole() *rapid.Generator[events.Role] {
	return rapid.SampledFrom([]events.Role{player, marker, office, player, marker, events.RoleService})
}

func anyReason() *rapid.Generator[string] { return rapid.SampledFrom([]string{"", "because"}) }

func anyScoring() *rapid.Generator[card.Command] {
	return rapid.OneOf(
		rapid.Custom(func(t *rapid.T) card.Command {
			return card.EnterScore{
				Hole: rapid.IntRange(0, 10).Draw(t, "hole"), Score: anyScore().Draw(t, "score"), By: anyRole().Draw(t, "by"),
				Confirmed: rapid.Bool().Draw(t, "confirmed"), Reason: anyReason().Draw(t, "reason"),
			}
		}),
		rapid.Custom(func(t *rapid.T) card.Command {
			scores := paper()
			for range rapid.IntRange(0, 2).Draw(t, "odd holes") {
				scores[rapid.IntRange(0, 8).Draw(t, "odd hole")] = anyScore().Draw(t, "odd score")
			}
			return card.EnterCard{
				Scores: scores, By: anyRole().Draw(t, "by"), Confirmed: true, Signed: rapid.Bool().Draw(t, "signed"),
				Receipt: rapid.SampledFrom([]string{"", "K7PX", "N2QD"}).Draw(t, "receipt"), Reason: anyReason().Draw(t, "reason"),
			}
		}),
	)
}

func anyOfficial() *rapid.Generator[card.Command] {
	statuses := []string{"NR", "RTD", "WD", "NS", "DQ", "in_play", "in_play", "returned"}
	return rapid.OneOf(
		rapid.Custom(func(t *rapid.T) card.Command { return card.Certify{By: anyRole().Draw(t, "by")} }),
		rapid.Just[card.Command](card.Return{Receipt: "K7PX"}),
		rapid.Custom(func(t *rapid.T) card.Command { return card.Reopen{Reason: anyReason().Draw(t, "reason")} }),
		rapid.Custom(func(t *rapid.T) card.Command {
			return card.RuleStatus{Status: rapid.SampledFrom(statuses).Draw(t, "status"), Reason: anyReason().Draw(t, "reason")}
		}),
		rapid.Custom(func(t *rapid.T) card.Command {
			return card.AssignMarker{MarkerID: rapid.SampledFrom([]string{"ann", "ben", "cat", ""}).Draw(t, "marker"), StartingHole: rapid.IntRange(0, 9).Draw(t, "start")}
		}),
		rapid.Custom(func(t *rapid.T) card.Command {
			c := rapid.SampledFrom([]events.CardIssued{medal, off7}).Draw(t, "figures")
			return card.Reissue{CardReissued: reissueOf(c, anyReason().Draw(t, "reason"))}
		}),
		rapid.Just[card.Command](card.Issue{CardIssued: medal}),
	)
}

// TestAnyCommandsOfACard: see decidertest.Run.Do for what holds at every step,
// besides what is checked here.
func TestAnyCommandsOfACard(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		run := decider.Start(t, rapid.SampledFrom([]events.CardIssued{medal, stableford}).Draw(t, "card"))
		command := rapid.OneOf(anyScoring(), anyScoring(), anyOfficial())
		for range rapid.IntRange(1, 25).Draw(t, "commands") {
			c := command.Draw(t, "command")
			wasReturned, ruled := run.State.Returned, run.State.Ruled != "" && run.State.RuledReason == "because"
			before := run.State
			out, err := run.Do(t, c)
			if err != nil {
				continue
			}
			if wasReturned && byPlayerOrMarker(c) {
				require.Empty(t, out, "after the return only the committee changes the card: %#v", c)
			}
			if ruled && !onRulings(c) {
				require.Equal(t, before.Ruled, run.State.Ruled, "what the committee ruled stands until it rules again: %#v", c)
			}
			requireNothingLost(t, run)
			requireRulingsFit(t, run.State)
		}
	})
}

// byPlayerOrMarker reports whether a command comes from the group, not the committee.
func byPlayerOrMarker(c card.Command) bool {
	switch c := c.(type) {
	case card.EnterScore:
		return c.By != office
	case card.EnterCard:
		return c.By != office
	case card.Certify, card.Return:
		return true
	default:
		return false
	}
}

// onRulings reports whether a command is about the card's status itself.
func onRulings(c card.Command) bool {
	switch c.(type) {
	case card.RuleStatus, card.Reopen:
		return true
	default:
		return false
	}
}

// requireNothingLost works the card out again from the log, by another way: what
// each person entered last stands, every correction names the value before it,
// and what counts and what differs follow from the three values.
func requireNothingLost(t *rapid.T, run *decidertest.Run[card.State, card.Command]) {
	type place struct {
		hole int
		by   events.Role
	}
	last := map[place]events.Score{}
	counting := func(hole int) events.Score {
		for _, r := range []events.Role{office, marker, player} {
			if v := last[place{hole, r}]; v.Entered() {
				return v
			}
		}
		return nothing
	}
	for _, e := range run.Log {
		switch e := e.(type) {
		case events.HoleScored:
			require.False(t, last[place{e.Hole, e.By}].Entered(), "a first value where one stands: %#v", e)
			require.True(t, e.Score.Entered())
			last[place{e.Hole, e.By}] = e.Score
		case events.HoleScoreCorrected:
			before := last[place{e.Hole, e.By}]
			if e.By == office && !before.Entered() {
				before = counting(e.Hole)
			}
			require.Equal(t, before, e.Old, "a correction names what it replaces: %#v", e)
			last[place{e.Hole, e.By}] = e.New
		}
	}
	for _, h := range run.State.Holes {
		p, m, c := last[place{h.Number, player}], last[place{h.Number, marker}], last[place{h.Number, office}]
		require.Equal(t, [3]events.Score{p, m, c}, [3]events.Score{h.Player, h.Marker, h.Committee}, "hole %d", h.Number)
		require.Equal(t, counting(h.Number), h.Counting(), "hole %d", h.Number)
		require.Equal(t, !c.Entered() && p.Entered() && m.Entered() && p != m, h.Differs(), "hole %d", h.Number)
	}
}

// requireRulingsFit: what a card's status may be, whatever was done to it.
func requireRulingsFit(t *rapid.T, s *card.State) {
	missing := false
	for _, h := range s.Holes {
		missing = missing || h.Counting().Strokes == 0
	}
	if s.Format == "stroke_play" && s.Returned {
		if missing {
			require.NotEqual(t, events.StatusReturned, s.Status(), "a missing score makes a no return")
		} else if s.Ruled == events.StatusNoReturn {
			require.Equal(t, "because", s.RuledReason, "the no return that followed by itself is lifted by itself")
		}
	}
	if s.Format == "stableford" && s.Ruled == events.StatusNoReturn {
		require.Equal(t, "because", s.RuledReason, "in Stableford only the committee rules a no return")
	}
	if s.Ruled == events.StatusNoShow {
		require.Zero(t, s.Played(), "who has a score did show up")
	}
	require.Equal(t, s.Returned, s.Receipt != "", "a returned card has its receipt")
}
