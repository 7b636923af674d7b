package web_test

import (
	"context"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/competition"
)

// TestTwoRoundsWithACut plays two rounds of different formats: who misses the cut
// does not play the second one, and a corrected card moves the cut.
func TestTwoRoundsWithACut(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	at := clubByForm(v)
	f := chosen(v, at, "rounds", "2")
	f.set("per_round[1].date", "2025-06-15").set("per_round[1].first_time", "09:30").set("per_round[1].format", "stableford").
		set("cut.after_round", "1").set("cut.places", "2").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Contains(t, v.words(), "Strokes count in the other rounds")
	v.form(at+"/terms").set("per_round[1].format", "maximum_score").set("per_round[1].maximum", "double_par").set("per_round[1].allowances", "90").ok()
	terms := m.stateAt(at).Terms
	require.Equal(t, &events.Cut{AfterRound: 1, Places: 2, TiesIn: true}, terms.Cut)
	second := terms.Round(2)
	require.Equal(t, []any{"maximum_score", "double_par", 90, "09:30", false},
		[]any{second.Format, second.Maximum.Kind, second.AllowancePercent, second.Start.FirstTime, second.ParDifference})
	require.Equal(t, "2025-06-15", terms.DateOf(2, "2025-06-14"))
	before := m.length()
	v.reads(at + "/terms")
	v.form(at + "/terms").ok()
	require.Equal(t, before, m.length(), "the form says what the terms say")

	for _, p := range dunesfolk {
		v.reads(at + "/entries")
		v.form(at+"/entries").set("player_id", p.no).ok()
	}
	drawnFirst(v, at)
	require.Contains(t, v.words(), "round 1 of 2")
	first := v.cardsByName(at)
	// Net: Ailsa 72 - 4 = 68, Bram 81 - 11 = 70, Corin 90 - 16 = 74, Dervla 76 + 2 = 78.
	for name, scores := range map[string]map[int]string{"Ailsa Machair": {}, "Bram Oxeye": nine("5"), "Corin Seathrift": eighteen("5"), "Dervla Gorsedale": {0: "6", 1: "6"}} {
		v.reads(first[name])
		typeCard(v.form(first[name]), "4", scores).ok()
	}
	v.reads(at + "/close")
	require.Contains(t, v.words(), "The cut is made with it")
	v.form(at + "/close").ok()
	require.Equal(t, competition.Between, m.stateAt(at).Phase)
	require.Contains(t, v.words(), "Round 1 is closed")
	require.Contains(t, v.words(), "Play on: 2 Ailsa Machair Bram Oxeye")
	require.Contains(t, v.words(), "the line is 70")

	// Corin's card was misread: 4 better on a hole, now 70 as well.
	v.reads(first["Corin Seathrift"])
	v.form(first["Corin Seathrift"]).set("scores[0]", "3").set("scores[1]", "3").set("reason", "misread").ok()
	v.reads(at + "/close")
	v.form(at + "/cut").ok()
	require.Contains(t, v.words(), "Play on: 3")
	require.Contains(t, v.words(), "Missed it: 1 Dervla Gorsedale")

	v.reads("/desk")
	require.Contains(t, v.words(), "Draw round 2")
	drawnFirst(v, at)
	s := m.stateAt(at)
	require.Equal(t, "standing", s.Draw.Method)
	require.Equal(t, "09:30", s.Draw.Groups[0].Time)
	second2 := v.cardsByName(at)
	require.Len(t, second2, 3)
	require.NotContains(t, second2, "Dervla Gorsedale")
	v.reads(at + "/cards?round=1")
	require.Contains(t, v.words(), "Dervla Gorsedale", "cards of a past round stay within reach")
	v.reads(at + "/print?round=1")
	require.Len(t, all(v.page, "article"), 4)

	// A hole was flooded: it counts for nobody.
	v.reads(at + "/conditions")
	v.form(at+"/exclusions").set("hole", "18").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	v.form(at+"/exclusions").set("hole", "18").set("reason", "flooded").ok()
	require.Contains(t, v.words(), "Hole 18 counts for nobody: flooded")
	v.form(at+"/conditions").set("adjustment", "2").set("source", "the association, Saturday evening").ok()
	require.Contains(t, v.words(), "Stated now: 2")
	require.Equal(t, competition.Conditions{Adjustment: 2, Source: "the association, Saturday evening"}, m.stateAt(at).Conditions[2])

	for name, each := range map[string]string{"Ailsa Machair": "5", "Bram Oxeye": "4", "Corin Seathrift": "9"} {
		v.reads(second2[name])
		require.Contains(t, v.words(), "18 4 18 taken out")
		f := v.form(second2[name])
		require.NotContains(t, f.values, "scores[17]", "nothing is asked on a hole that is out")
		for i := range 17 {
			f.set(scoresField(i), each)
		}
		f.set("confirmed", "1").ok()
	}
	v.reads(second2["Corin Seathrift"])
	require.Contains(t, v.words(), "136 gross", "17 holes at twice par")
	v.reads(at + "/conditions")
	v.form(at+"/exclusions/lifting").set("reason", "").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)

	v.reads(at + "/close")
	v.form(at + "/close").ok()
	require.Contains(t, v.words(), "Dervla Gorsedale MC")
	v.form(at + "/result").ok()
	rows := m.stateAt(at).Result.Rows
	require.Equal(t, m.commands.PlayerID("0102"), rows[0].PlayerID, "Bram is ahead over both rounds")
	require.Len(t, rows[0].Rounds, 2)
	require.Equal(t, events.StatusMissedCut, rows[3].Status)
}

func scoresField(i int) string { return "scores[" + numbers[i] + "]" }

var numbers = strings.Fields("0 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17")

// nine is the same score on the second nine, eighteen on every hole.
func nine(score string) map[int]string {
	out := map[int]string{}
	for i := 9; i < 18; i++ {
		out[i] = score
	}
	return out
}

func eighteen(score string) map[int]string {
	out := nine(score)
	for i := range 9 {
		out[i] = score
	}
	return out
}

// TestPenaltiesAndRulings adds strokes, takes them back, and rules on a returned
// score that is not the actual one after looking at the ruling.
func TestPenaltiesAndRulings(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	v := m.secretary()
	m.open()
	at := "/desk/cards/" + m.card(0)
	v.reads(at)
	v.form(at+"/penalties").set("hole", "3").set("reason", "played from a wrong place").send()
	require.Equal(t, http.StatusConflict, v.status)
	require.Contains(t, v.words(), "Hole 3 has no strokes to which a penalty is added")
	require.Equal(t, "played from a wrong place", v.form(at+"/penalties").values.Get("reason"))
	typeCard(v.form(at), "5", nil).ok()
	v.reads(at)
	v.form(at+"/penalties").set("hole", "3").set("strokes", "2").set("rule", "Rule 14.7").set("reason", "played from a wrong place").ok()
	require.Contains(t, v.words(), "2 strokes on hole 3, Rule 14.7: played from a wrong place")
	require.Contains(t, v.words(), "92 gross")
	v.form(at+"/penalties").set("strokes", "1").set("reason", "pace of play").ok()
	require.Contains(t, v.words(), "1 stroke on the round: pace of play")
	require.Contains(t, v.words(), "93 gross")
	v.form(at + "/penalties/removal").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Contains(t, v.words(), "Say why the penalty is taken back")
	v.form(at+"/penalties/removal").set("reason", "it was the right place").ok()
	require.Contains(t, v.words(), "91 gross")
	require.Len(t, m.state(0).Penalties, 1)

	// Hole 5 took 6 and the player knew: looked at first, nothing is stored.
	before := m.length()
	v.form(at+"/wrong-score").set("hole", "5").set("actual", "6").set("step", "look").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	require.Contains(t, v.words(), "The card is disqualified")
	require.Equal(t, before, m.length())
	// One of these strokes was a penalty that the player did not know of.
	v.form(at+"/wrong-score").set("unknown_penalty", "1").set("step", "look").send()
	require.Contains(t, v.words(), "The committee adds 1 penalty stroke")
	v.form(at+"/wrong-score").set("step", "rule").set("reason", "ball moved, seen by a spectator").ok()
	require.Equal(t, events.StatusReturned, m.state(0).Status())
	require.Contains(t, v.words(), "92 gross")

	// After the close the committee says that the Rules still allow it.
	for i := 1; i < 3; i++ {
		v.reads("/desk/cards/" + m.card(i))
		typeCard(v.form("/desk/cards/"+m.card(i)), "5", nil).ok()
	}
	k := "/desk/competitions/" + m.competition
	v.reads(k + "/close")
	v.form(k + "/close").ok()
	v.reads(at)
	v.form(at+"/penalties").set("hole", "4").set("reason", "agreed to ignore a rule").send()
	require.Equal(t, http.StatusConflict, v.status)
	require.Contains(t, v.words(), "say that the Rules still allow this penalty")
	v.form(at+"/penalties").set("late", "1").ok()
	require.Len(t, m.state(0).Penalties, 3)
}

// TestATieIsDrawnHere lets the desk draw the lot from the seed that it shows.
func TestATieIsDrawnHere(t *testing.T) {
	t.Parallel()
	m := medal(t, 3, func(t *events.Terms) { t.TieMethod, t.Ranking = "shared", "gross" })
	v := m.secretary()
	m.open()
	for i := range 3 {
		at := "/desk/cards/" + m.card(i)
		v.reads(at)
		typeCard(v.form(at), "5", nil).ok()
	}
	at := "/desk/competitions/" + m.competition
	v.reads(at + "/close")
	v.form(at + "/close").ok()
	f := v.form(at + "/ties")
	require.NotEmpty(t, f.values.Get("seed"), "a fresh seed stands there")
	f.set("seed", "five").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	v.form(at+"/ties").set("seed", "614").ok()
	require.Contains(t, v.words(), "by lot with the seed 614: lot drawn at the desk from the seed 614")
	s, _, err := m.commands.Competition(context.Background(), m.competition)
	require.NoError(t, err)
	require.Equal(t, uint64(614), s.Ties[0].Seed)
	require.ElementsMatch(t, m.entries, s.Ties[0].EntryIDs)
}

// TestRoundsOfDifferentSides plays one ball in the first round and two in the second:
// what the terms as a whole cannot say stands with each round.
func TestRoundsOfDifferentSides(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := secretary(t, m)
	at := clubByForm(v)
	f := chosen(v, at, "side", "foursomes", "rounds", "2")
	f.set("per_round[1].side", "four_ball").ok()
	terms := m.stateAt(at).Terms
	first, second := terms.Round(1), terms.Round(2)
	require.Equal(t, []any{"foursomes", 100, []int{50, 50}}, []any{first.Side, first.AllowancePercent, first.SideAllowances})
	require.Equal(t, []any{"four_ball", 85, 0}, []any{second.Side, second.AllowancePercent, len(second.SideAllowances)}, "as published for a four-ball")
	before := m.length()
	v.reads(at + "/terms")
	require.Equal(t, "50", v.form(at+"/terms").values.Get("side_allowances[0]"))
	v.form(at + "/terms").ok()
	require.Equal(t, before, m.length(), "the form says what the terms say")

	f = chosen(v, at, "format", "maximum_score", "side", "best_of", "side_size", "3", "count", "2", "rounds", "2")
	f.set("per_round[1].side", "aggregate").set("per_round[1].format", "stroke_play").set("per_round[1].allowances", "100").ok()
	terms = m.stateAt(at).Terms
	first, second = terms.Round(1), terms.Round(2)
	require.Equal(t, []any{[]int{2}, "hole", "net_double_bogey"}, []any{first.Count, first.CountBy, first.Maximum.Kind})
	require.Equal(t, []any{0, "hole", "", 100}, []any{len(second.Count), second.CountBy, second.Maximum.Kind, second.AllowancePercent})
	before = m.length()
	v.reads(at + "/terms")
	v.form(at + "/terms").ok()
	require.Equal(t, before, m.length(), "the form says what the terms say")
}
