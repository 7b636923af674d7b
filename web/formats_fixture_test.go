package web_test

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/competition"
)

// contest is a competition of the medal's invented players under other terms, with
// its entries: sides of the terms' size where they have one.
func contest(t testing.TB, entries int, change func(*events.Terms)) *morning {
	t.Helper()
	m := mustOpenClub(t)
	ctx := context.Background()
	done, err := m.commands.DefineCourse(ctx, by(), "", m.course())
	require.NoError(t, err)
	terms := command.PresetTerms(events.StrokePlay)
	terms.CourseID, terms.Tees = done.ID, []string{"White", "Yellow", "Red"}
	change(&terms)
	planned, err := m.commands.Plan(ctx, by(), "", command.PlanCompetition{Name: "Sandpiper Bowl", Date: "2025-06-14"})
	require.NoError(t, err)
	m.competition = planned.ID
	_, err = m.commands.SetTerms(ctx, by(), m.competition, terms)
	require.NoError(t, err)
	people := map[string]map[string]string{}
	for _, p := range readCSV(t, "players.csv") {
		people[p["member_no"]] = p
	}
	file := readCSV(t, "entries.csv")
	next := 0
	member := func() command.Member {
		p := people[file[next]["member_no"]]
		index := tenths(t, p["handicap_index"])
		registered, err := m.commands.RegisterPlayer(ctx, by(), command.RegisterPlayer{
			MemberNo: p["member_no"], Name: p["name"], IndexTenths: &index, Effective: p["index_date"], Origin: events.OriginOfficial,
		})
		require.NoError(t, err)
		m.players = append(m.players, registered.ID)
		tee := file[next]["tee"]
		if len(terms.Tees) == 1 {
			tee = terms.Tees[0]
		}
		next++
		return command.Member{PlayerID: registered.ID, Tee: tee}
	}
	for i := range entries {
		in := command.EnterPlayer{Member: member()}
		for range terms.Players() - 1 {
			in.Partners = append(in.Partners, member())
		}
		if i == 0 && terms.Players() > 1 {
			in.TeamName = "The Turnstones"
		}
		entered, err := m.commands.Enter(ctx, by(), m.competition, in)
		require.NoError(t, err)
		m.entries = append(m.entries, entered.ID)
	}
	return m
}

// draw puts up a start sheet.
func (m *morning) draw(method string) {
	m.t.Helper()
	d, err := m.commands.Draw(context.Background(), by(), m.competition, command.Draw{Method: method})
	require.NoError(m.t, err)
	m.settle(d)
}

func (m *morning) cardIn(entry, round int) string {
	return command.CardID(m.competition, m.entries[entry], round)
}

// paper types a card: the score of each ball on each hole is par plus what over says.
func (m *morning) paper(entry, round int, over func(ball, hole int) int) {
	m.t.Helper()
	ctx := context.Background()
	k, err := m.commands.Card(ctx, m.cardIn(entry, round))
	require.NoError(m.t, err)
	in := command.EnterCard{Confirmed: true, Signed: true}
	for ball := range k.State.Balls() {
		var scores []command.HoleEntry
		for _, h := range k.State.Lines(ball) {
			n := h.Par + over(ball, h.Number)
			scores = append(scores, command.HoleEntry{Strokes: &n})
		}
		if ball == 0 {
			in.Scores = scores
		} else {
			in.Partners = append(in.Partners, scores)
		}
	}
	d, err := m.commands.EnterCard(ctx, by(), k.ID, in)
	require.NoError(m.t, err)
	m.settle(d)
}

// closeRound ends the round.
func (m *morning) closeRound() {
	m.t.Helper()
	d, err := m.commands.CloseRound(context.Background(), by(), m.competition, command.CloseRound{})
	require.NoError(m.t, err)
	m.settle(d)
}

func (m *morning) publish() {
	m.t.Helper()
	d, err := m.commands.Publish(context.Background(), by(), m.competition)
	require.NoError(m.t, err)
	m.settle(d)
}

// matchPlay makes terms those of matches.
func matchPlay(bracket string) func(*events.Terms) {
	return func(t *events.Terms) {
		t.Format, t.Rounds, t.ParDifference, t.AllowancePercent = events.MatchPlay, 0, false, 100
		t.Match = &events.MatchTerms{Bracket: bracket, Length: 18, ExtraHoles: bracket == competition.Knockout}
		if bracket == competition.Single {
			t.Rounds = 1
		}
	}
}

// matchWords enters who won each hole of a match: A, B or - for a tie.
func (m *morning) matchHoles(id, winners string) {
	m.t.Helper()
	var last command.Done
	for i, w := range strings.Split(winners, "") {
		winner := w
		if w == "-" {
			winner = events.Tied
		}
		d, err := m.commands.EnterMatchHole(context.Background(), by(), id, command.EnterMatchHole{Number: i + 1, Winner: winner})
		require.NoError(m.t, err)
		last = d
	}
	m.settle(last)
}

// holderOfMatch is a visitor who opened the link of a side of a match.
func (m *morning) holderOfMatch(id, entry string) *visitor {
	m.t.Helper()
	token, err := m.commands.MatchLink(context.Background(), id, entry)
	require.NoError(m.t, err)
	return m.visit().reads("/c/" + token)
}
