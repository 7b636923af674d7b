package command_test

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
	eventlog "marram.example/events/log"
	"marram.example/events/log/logtest"
)

// morning is a club with a course, six players and a competition, on a real log.
type morning struct {
	*command.Service
	t        *testing.T
	log      *eventlog.Log
	id       string   // of the competition
	playerID []string //
	count    int
}

func day() time.Time { return time.Date(2026, 5, 30, 7, 0, 0, 0, time.UTC) }

func mustMorning(t *testing.T, change func(*events.Terms)) *morning {
	t.Helper()
	l := logtest.MustOpen(t, func(o *eventlog.Options) { o.Club = "club" })
	s, err := command.New(t.Context(), command.Options{Log: l, Club: "club", Now: day})
	require.NoError(t, err)
	m := &morning{Service: s, t: t, log: l}
	course, err := s.DefineCourse(t.Context(), m.committee(), "", command.DefineCourse{Name: "Test links (invented)", Tees: []events.TeeDefinition{
		tee("White", 724, 131, 0), tee("Red", 729, 128, 1),
	}})
	require.NoError(t, err)
	for i, index := range []int{-12, 41, 98, 155, 220, 361} {
		in := command.RegisterPlayer{MemberNo: fmt.Sprintf("%03d", i+1), Name: fmt.Sprintf("Player %c", 'A'+i), IndexTenths: &index, Effective: "2026-05-01"}
		done, err := s.RegisterPlayer(t.Context(), m.committee(), in)
		require.NoError(t, err)
		m.playerID = append(m.playerID, done.ID)
	}
	planned, err := s.Plan(t.Context(), m.committee(), "", command.PlanCompetition{Name: "Medal", Date: "2026-05-30"})
	require.NoError(t, err)
	m.id = planned.ID
	terms := command.PresetTerms("stroke_play")
	terms.CourseID, terms.Tees = course.ID, []string{"White", "Red"}
	if change != nil {
		change(&terms)
	}
	_, err = s.SetTerms(t.Context(), m.committee(), m.id, terms)
	require.NoError(t, err)
	return m
}

// tee is a tee of par 72, or more where one hole is longer.
func tee(name string, rating, slope, longer int) events.TeeDefinition {
	out := events.TeeDefinition{
		Tee: name, CourseRatingTenths: rating, SlopeRating: slope,
		Front: &events.NineRating{CourseRatingTenths: rating / 2, SlopeRating: slope},
	}
	for i, par := range []int{4, 4, 3, 5, 4, 4, 3, 4, 5, 4, 3, 4, 5, 4, 4, 3, 4, 5} {
		if i == 13 {
			par += longer
		}
		out.Holes = append(out.Holes, events.Hole{Number: i + 1, Par: par, StrokeIndex: (i*7)%18 + 1, LengthM: 300})
	}
	return out
}

func (m *morning) committee() command.Request {
	m.count++
	return command.Request{Who: command.Who{Role: events.RoleCommittee, ID: "secretary"}, CommandID: fmt.Sprintf("c-%d", m.count)}
}

func (m *morning) as(role events.Role, cardID string) command.Request {
	r := m.committee()
	r.Who = command.Who{Role: role, ID: "somebody", CardID: cardID}
	return r
}

// enter takes the first n players into the field.
func (m *morning) enter(n int) {
	m.t.Helper()
	for _, p := range m.playerID[:n] {
		_, err := m.Enter(m.t.Context(), m.committee(), m.id, command.EnterPlayer{Member: command.Member{PlayerID: p}})
		require.NoError(m.t, err)
	}
}

func (m *morning) open() {
	m.t.Helper()
	_, err := m.Draw(m.t.Context(), m.committee(), m.id, command.Draw{Method: "as_entered"})
	require.NoError(m.t, err)
	_, err = m.OpenRound(m.t.Context(), m.committee(), m.id)
	require.NoError(m.t, err)
}

func (m *morning) card(player int) command.CardView {
	m.t.Helper()
	k, err := m.Card(m.t.Context(), command.CardID(m.id, command.EntryID(m.id, m.playerID[player]), 1))
	require.NoError(m.t, err)
	return k
}

func (m *morning) state() *competition.State {
	m.t.Helper()
	c, _, err := m.Competition(m.t.Context(), m.id)
	require.NoError(m.t, err)
	return c
}

func code(t *testing.T, err error) string {
	t.Helper()
	require.Error(t, err)
	e := events.AsError(err)
	require.NotNil(t, e, "a domain error, not %v", err)
	return e.Code
}

func strokes(n int) *int { return &n }

func level(k command.CardView) command.EnterCard {
	in := command.EnterCard{Signed: true}
	for _, h := range k.State.Holes {
		in.Scores = append(in.Scores, command.HoleEntry{Strokes: strokes(h.Par)})
	}
	return in
}

func TestAWholeMorning(t *testing.T) {
	t.Parallel()
	m := mustMorning(t, nil)
	m.enter(6)
	m.open()
	ctx := t.Context()
	for i := range 5 {
		_, err := m.EnterCard(ctx, m.committee(), m.card(i).ID, level(m.card(i)))
		require.NoError(t, err)
	}
	_, err := m.CloseRound(ctx, m.committee(), m.id, command.CloseRound{})
	require.Equal(t, "cards_out", code(t, err), "a card that is out stops the closing")
	_, err = m.CloseRound(ctx, m.committee(), m.id, command.CloseRound{MissingAs: "NR"})
	require.NoError(t, err)
	_, err = m.Publish(ctx, m.committee(), m.id)
	require.NoError(t, err)
	res := m.state().Result
	require.Len(t, res.Rows, 6)
	require.Equal(t, m.playerID[4], res.Rows[0].PlayerID, "all took par, so the most strokes received win")
	require.Equal(t, "NR", res.Rows[5].Status)
	require.Empty(t, res.Rows[5].Positions)

	_, err = m.EnterScore(ctx, m.as(events.RolePlayer, m.card(5).ID), m.card(5).ID, command.EnterScore{Hole: 1, Strokes: strokes(4)})
	require.Equal(t, "round_closed", code(t, err))
	_, err = m.EnterScore(ctx, m.committee(), m.card(0).ID, command.EnterScore{Hole: 1, Strokes: strokes(9), Reason: "misread"})
	require.NoError(t, err, "there is no time limit for the committee")
	_, err = m.Revise(ctx, m.committee(), m.id, "hole 1 of a card misread")
	require.NoError(t, err)
	require.Equal(t, 1, m.state().Revision)
}

// The par of the red tee is one higher: its players get one stroke more after the
// allowance (Rules of Handicapping 6.2b), and every figure carries its grounds.
func TestFiguresAreFixedWithTheirGrounds(t *testing.T) {
	t.Parallel()
	m := mustMorning(t, nil)
	m.enter(2)
	_, err := m.Enter(t.Context(), m.committee(), m.id, command.EnterPlayer{Member: command.Member{PlayerID: m.playerID[2], Tee: "Red"}})
	require.NoError(t, err)
	m.open()
	f := m.card(2).State.Figures
	// 9.8 x 128/113 + (72.9 - 73) = 11.0009; 95 % = 10.4508, + 1 = 11.4508 (worked by hand)
	require.Equal(t, 11, f.CourseHandicap)
	require.Equal(t, 1, f.ParDifference)
	require.Equal(t, 11, f.PlayingHandicap)
	require.Equal(t, 72, f.LowestPar)
	require.NotZero(t, f.CourseSequence)
	require.NotZero(t, f.CompetitionSequence)
	require.NotZero(t, f.PlayerSequence)
	// +1.2 x 131/113 + (72.4 - 72) = -0.9912; 95 % = -0.9416: gives one back on the highest index
	plus := m.card(0).State
	require.Equal(t, -1, plus.Figures.PlayingHandicap)
	for _, h := range plus.Holes {
		want := 0
		if h.StrokeIndex == 18 {
			want = -1
		}
		require.Equal(t, want, h.Received)
	}
}

func TestNineHolesUseTheRatingOfTheNine(t *testing.T) {
	t.Parallel()
	m := mustMorning(t, func(t *events.Terms) { t.Holes, t.Tees = command.HoleRange(1, 9), []string{"White"} })
	m.enter(4)
	m.open()
	f := m.card(3).State.Figures
	// 15.5/2 = 7.75 -> 7.8; 7.8 x 131/113 + (36.2 - 36) = 9.2425; 95 % = 8.7804 (worked by hand)
	require.Equal(t, 9, f.PlayingHandicap)
	require.Len(t, f.StrokesByHole, 9)
	m2 := mustMorning(t, nil)
	terms := command.PresetTerms("stroke_play")
	terms.CourseID, terms.Tees, terms.Holes = m2.state().Terms.CourseID, []string{"White"}, command.HoleRange(10, 18)
	_, err := m2.SetTerms(t.Context(), m2.committee(), m2.id, terms)
	require.Equal(t, "no_nine_rating", code(t, err))
}

func TestWhoMayDoWhat(t *testing.T) {
	t.Parallel()
	m := mustMorning(t, nil)
	m.enter(3)
	m.open()
	ctx, k, other := t.Context(), m.card(0).ID, m.card(1).ID
	score := command.EnterScore{Hole: 1, Strokes: strokes(4)}
	for name, try := range map[string]func(command.Request) error{
		"plan": func(r command.Request) error {
			_, err := m.Plan(ctx, r, "", command.PlanCompetition{Name: "x", Date: "2026-01-01"})
			return err
		},
		"enter": func(r command.Request) error {
			_, err := m.Enter(ctx, r, m.id, command.EnterPlayer{Member: command.Member{PlayerID: m.playerID[5]}})
			return err
		},
		"rule": func(r command.Request) error {
			_, err := m.Rule(ctx, r, k, command.RuleStatus{Status: "DQ", Reason: "x"})
			return err
		},
		"reopen":       func(r command.Request) error { _, err := m.Reopen(ctx, r, k, "x"); return err },
		"erase":        func(r command.Request) error { _, err := m.Erase(ctx, r, m.playerID[0], "x"); return err },
		"renew":        func(r command.Request) error { _, err := m.RenewLink(ctx, r, k, events.RolePlayer); return err },
		"close":        func(r command.Request) error { _, err := m.CloseRound(ctx, r, m.id, command.CloseRound{}); return err },
		"publish":      func(r command.Request) error { _, err := m.Publish(ctx, r, m.id); return err },
		"another card": func(r command.Request) error { _, err := m.EnterScore(ctx, r, other, score); return err },
		"signed paper": func(r command.Request) error { _, err := m.EnterCard(ctx, r, k, level(m.card(0))); return err },
	} {
		for _, role := range []events.Role{events.RolePlayer, events.RoleMarker, ""} {
			require.Equal(t, events.KindForbidden, events.AsError(try(m.as(role, k))).Kind, "%s as %q", name, role)
		}
	}
	_, err := m.EnterScore(ctx, m.as(events.RolePlayer, k), k, score)
	require.NoError(t, err)
	_, err = m.EnterScore(ctx, m.as("", k), k, score)
	require.Equal(t, "forbidden", code(t, err))
	_, err = m.Return(ctx, m.as(events.RoleMarker, k), k)
	require.Equal(t, "forbidden", code(t, err), "the player returns the card")
}

func TestStrokesAreGivenOnce(t *testing.T) {
	t.Parallel()
	m := mustMorning(t, nil)
	m.enter(2)
	m.open()
	k := m.card(0).ID
	for _, in := range []command.EnterScore{
		{Hole: 1}, {Hole: 1, Strokes: strokes(0)}, {Hole: 1, Strokes: strokes(100)}, {Hole: 19, Strokes: strokes(4)},
		{Hole: 1, Strokes: strokes(4), Clear: true}, {Hole: 1, None: "lost"}, {Hole: 1, Strokes: strokes(12)},
	} {
		_, err := m.EnterScore(t.Context(), m.as(events.RolePlayer, k), k, in)
		require.Equal(t, events.KindInvalid, events.AsError(err).Kind, "%+v", in)
		require.NotEmpty(t, events.AsError(err).Field)
	}
	require.Zero(t, m.card(0).State.Played())
	require.Equal(t, events.Sequence(1), m.card(0).Sequence, "nothing was stored")
	_, err := m.EnterScore(t.Context(), m.as(events.RolePlayer, k), k, command.EnterScore{Hole: 1, Strokes: strokes(12), Confirmed: true})
	require.NoError(t, err)
}

func TestLatecomersGetACardAndMarkersFollow(t *testing.T) {
	t.Parallel()
	m := mustMorning(t, nil)
	m.enter(5)
	m.open()
	ctx := t.Context()
	late, err := m.Enter(ctx, m.committee(), m.id, command.EnterPlayer{Member: command.Member{PlayerID: m.playerID[5]}})
	require.NoError(t, err)
	_, err = m.PlaceLate(ctx, m.committee(), m.id, command.PlaceLate{EntryID: late.ID, Group: 1})
	require.NoError(t, err)
	require.Equal(t, m.card(5).State.EntryID, late.ID)
	g, slot, ok := m.state().Group(late.ID)
	require.True(t, ok)
	require.Len(t, g.Places, 3)
	require.Equal(t, slot.MarkerID, m.card(5).State.MarkerID)
	for i := range 6 {
		_, slot, _ := m.state().Group(m.card(i).State.EntryID)
		require.Equal(t, slot.MarkerID, m.card(i).State.MarkerID, "player %d", i)
	}
	_, err = m.PlaceLate(ctx, m.committee(), m.id, command.PlaceLate{EntryID: late.ID, Group: 2})
	require.Equal(t, "placed", code(t, err))
}

// However a marker changes, by hand or with the start sheet, the link of the one
// before opens nothing any more, and neither does a withdrawn one when its holder
// keeps the card again.
func TestALinkIsWorthNothingOnceAnotherKeepsTheCard(t *testing.T) {
	t.Parallel()
	m := mustMorning(t, nil)
	m.enter(6)
	m.open()
	ctx, k := t.Context(), m.card(0)
	first, err := m.CardLink(ctx, k.ID, events.RoleMarker)
	require.NoError(t, err)
	groups := m.state().Draw.Groups
	groups = append([]events.Group(nil), groups...)
	groups[0].Places = append([]events.GroupSlot(nil), groups[0].Places...)
	swapped := groups[0].Places
	old := swapped[0].MarkerID
	swapped[0].MarkerID, swapped[1].MarkerID, swapped[2].MarkerID = swapped[2].EntryID, swapped[0].EntryID, swapped[1].EntryID
	_, err = m.Draw(ctx, m.committee(), m.id, command.Draw{Method: "by_hand", Groups: groups, Reason: "they play in another order"})
	require.NoError(t, err)
	require.NotEqual(t, old, m.card(0).State.MarkerID)
	_, err = m.OpenLink(ctx, first)
	require.Equal(t, "bad_link", code(t, err))
	second, err := m.CardLink(ctx, k.ID, events.RoleMarker)
	require.NoError(t, err)
	who, err := m.OpenLink(ctx, second)
	require.NoError(t, err)
	require.Equal(t, m.card(0).State.MarkerID, who.ID)
	_, err = m.RenewLink(ctx, m.committee(), k.ID, events.RoleMarker)
	require.NoError(t, err)
	_, err = m.AssignMarker(ctx, m.committee(), k.ID, old, "back again")
	require.NoError(t, err)
	for _, token := range []string{first, second} {
		_, err = m.OpenLink(ctx, token)
		require.Equal(t, "bad_link", code(t, err))
	}
}

func TestALateEntryWithoutAPlaceIsAmended(t *testing.T) {
	t.Parallel()
	m := mustMorning(t, nil)
	m.enter(5)
	m.open()
	late, err := m.Enter(t.Context(), m.committee(), m.id, command.EnterPlayer{Member: command.Member{PlayerID: m.playerID[5]}})
	require.NoError(t, err)
	_, err = m.Amend(t.Context(), m.committee(), m.id, late.ID, command.AmendEntry{Tee: "Red", Reason: "asked for it"})
	require.NoError(t, err)
	require.Equal(t, "Red", m.state().Entries[late.ID].Tee)
}

func TestAnAmendedEntryGetsItsCardAgain(t *testing.T) {
	t.Parallel()
	m := mustMorning(t, nil)
	m.enter(2)
	m.open()
	ctx, k := t.Context(), m.card(1)
	_, err := m.Amend(ctx, m.committee(), m.id, k.State.EntryID, command.AmendEntry{IndexTenths: strokes(120), Reason: "index was wrong"})
	require.NoError(t, err)
	require.Equal(t, 120, m.card(1).State.Figures.IndexTenths)
	_, err = m.EnterScore(ctx, m.as(events.RolePlayer, k.ID), k.ID, command.EnterScore{Hole: 1, Strokes: strokes(4)})
	require.NoError(t, err)
	_, err = m.Amend(ctx, m.committee(), m.id, k.State.EntryID, command.AmendEntry{IndexTenths: strokes(41)})
	require.Equal(t, "required", code(t, err), "a card with scores changes only with a reason")
	require.Equal(t, 120, m.state().Entries[k.State.EntryID].IndexTenths, "all or nothing")
	_, err = m.Amend(ctx, m.committee(), m.id, k.State.EntryID, command.AmendEntry{IndexTenths: strokes(41), Reason: "it was right before"})
	require.NoError(t, err)
	require.Equal(t, 41, m.card(1).State.Figures.IndexTenths)
	require.Equal(t, 4, m.card(1).State.Holes[0].Counting().Strokes, "scores stay")
}

func TestErasingTakesTheNameAndLeavesTheScores(t *testing.T) {
	t.Parallel()
	m := mustMorning(t, nil)
	m.enter(2)
	m.open()
	ctx, id := t.Context(), m.playerID[0]
	names, err := m.Names(ctx, m.playerID[:2])
	require.NoError(t, err)
	require.Equal(t, map[string]string{m.playerID[0]: "Player A", m.playerID[1]: "Player B"}, names)
	p, _, err := m.Player(ctx, id)
	require.NoError(t, err)
	require.NotContains(t, string(p.Sealed), "Player A")
	_, err = m.Erase(ctx, m.committee(), id, "asked for it")
	require.NoError(t, err)
	_, err = m.OpenPersonal(ctx, id, p.Sealed)
	require.ErrorIs(t, err, command.ErrErased, "a copy of the sealed name is worth nothing now")
	names, err = m.Names(ctx, m.playerID[:2])
	require.NoError(t, err)
	require.Equal(t, map[string]string{m.playerID[1]: "Player B"}, names)
	require.Equal(t, id, m.card(0).State.PlayerID)
}

// The link of a marker who was replaced would write in the name of the next one.
func TestAReplacedMarkersLinkOpensNothing(t *testing.T) {
	t.Parallel()
	m := mustMorning(t, nil)
	m.enter(3)
	m.open()
	ctx, k := t.Context(), m.card(0)
	player, err := m.CardLink(ctx, k.ID, events.RolePlayer)
	require.NoError(t, err)
	old, err := m.CardLink(ctx, k.ID, events.RoleMarker)
	require.NoError(t, err)

	stale := m.committee()
	stale.Expect = new(events.Sequence)
	_, err = m.AssignMarker(ctx, stale, k.ID, "", "went home")
	require.Equal(t, "stale_sequence", code(t, err))
	_, err = m.OpenLink(ctx, old)
	require.NoError(t, err, "a refused change withdraws nothing")

	r := m.committee()
	_, err = m.AssignMarker(ctx, r, k.ID, "", "went home")
	require.NoError(t, err)
	_, err = m.OpenLink(ctx, old)
	require.Equal(t, "bad_link", code(t, err))
	_, err = m.OpenLink(ctx, player)
	require.NoError(t, err, "the player's link is another")

	fresh, err := m.CardLink(ctx, k.ID, events.RoleMarker)
	require.NoError(t, err)
	done, err := m.AssignMarker(ctx, r, k.ID, "", "went home")
	require.NoError(t, err)
	require.True(t, done.Known)
	_, err = m.OpenLink(ctx, fresh)
	require.NoError(t, err, "the same command again withdraws nothing more")
}

func TestACardLinkOpensOneCardUntilItIsRenewed(t *testing.T) {
	t.Parallel()
	m := mustMorning(t, nil)
	m.enter(3)
	m.open()
	ctx, k := t.Context(), m.card(0)
	token, err := m.CardLink(ctx, k.ID, events.RolePlayer)
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(token), 22, "128 bits")
	again, err := m.CardLink(ctx, k.ID, events.RolePlayer)
	require.NoError(t, err)
	require.Equal(t, token, again, "a start sheet can be printed again")
	who, err := m.OpenLink(ctx, token)
	require.NoError(t, err)
	require.Equal(t, command.Who{Role: events.RolePlayer, ID: k.State.EntryID, CardID: k.ID}, who)
	marker, err := m.CardLink(ctx, k.ID, events.RoleMarker)
	require.NoError(t, err)
	require.NotEqual(t, token, marker)
	who, err = m.OpenLink(ctx, marker)
	require.NoError(t, err)
	require.Equal(t, k.State.MarkerID, who.ID)
	fresh, err := m.RenewLink(ctx, m.committee(), k.ID, events.RolePlayer)
	require.NoError(t, err)
	_, err = m.OpenLink(ctx, token)
	require.Equal(t, "bad_link", code(t, err))
	_, err = m.OpenLink(ctx, fresh)
	require.NoError(t, err)
	_, err = m.OpenLink(ctx, "nonsense")
	require.Equal(t, "bad_link", code(t, err))
	// What is stored is the hash alone.
	links, err := m.log.Bucket(ctx, "links", 0)
	require.NoError(t, err)
	keys, err := links.Keys(ctx)
	require.NoError(t, err)
	for _, key := range keys {
		require.NotContains(t, key, fresh)
	}
}

func TestARepeatHasOneEffect(t *testing.T) {
	t.Parallel()
	m := mustMorning(t, nil)
	m.enter(2)
	m.open()
	k := m.card(0).ID
	r := m.as(events.RolePlayer, k)
	r.Hash = "a"
	in := command.EnterScore{Hole: 3, Strokes: strokes(4)}
	first, err := m.EnterScore(t.Context(), r, k, in)
	require.NoError(t, err)
	second, err := m.EnterScore(t.Context(), r, k, in)
	require.NoError(t, err)
	require.True(t, second.Known)
	require.Equal(t, first.Position, second.Position)
	r.Hash = "b"
	_, err = m.EnterScore(t.Context(), r, k, command.EnterScore{Hole: 3, Strokes: strokes(5)})
	require.Equal(t, "command_id_reused", code(t, err))
	stale := m.as(events.RolePlayer, k)
	seen := events.Sequence(1)
	stale.Expect = &seen
	_, err = m.EnterScore(t.Context(), stale, k, command.EnterScore{Hole: 4, Strokes: strokes(4)})
	require.Equal(t, "stale_sequence", code(t, err))
}

func TestRegisteringAgainChangesNothing(t *testing.T) {
	t.Parallel()
	m := mustMorning(t, nil)
	in := command.RegisterPlayer{MemberNo: "001", Name: "Player  A", IndexTenths: strokes(-12), Effective: "2026-05-01"}
	done, err := m.RegisterPlayer(t.Context(), m.committee(), in)
	require.NoError(t, err)
	require.False(t, done.Changed)
	in.Name = "Player Alpha"
	done, err = m.RegisterPlayer(t.Context(), m.committee(), in)
	require.NoError(t, err)
	require.True(t, done.Changed)
	bad := command.RegisterPlayer{MemberNo: "777", Name: "Nobody", IndexTenths: strokes(600)}
	_, err = m.RegisterPlayer(t.Context(), m.committee(), bad)
	require.Equal(t, "out_of_range", code(t, err))
	_, _, err = m.Player(context.WithoutCancel(t.Context()), m.PlayerID("777"))
	require.Equal(t, "not_found", code(t, err))
}
