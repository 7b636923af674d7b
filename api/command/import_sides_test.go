package command_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/events"
)

// mustPairs is a club with six players and the terms of a four-ball over two rounds.
func mustPairs(t *testing.T, change func(*events.Terms)) *desk {
	t.Helper()
	d := mustDesk(t)
	d.must(command.ImportCourse, text(t, medal+"course.csv"))
	d.must(command.ImportPlayers, "member_no,name,handicap_index,index_date\n01,Ann,12.3,2025-06-01\n02,Ben,20.0,2025-06-01\n"+
		"03,Cat,4.0,2025-06-01\n04,Dan,8.1,2025-06-01\n05,Eve,9.0,2025-06-01\n06,Fay,30.5,2025-06-01\n")
	d.plan(func(terms *events.Terms) {
		preset, err := command.PresetFor(command.Preset{Side: events.SideFourBall})
		require.NoError(t, err)
		terms.Side, terms.SideSize, terms.AllowancePercent, terms.Start, terms.TieShare = preset.Side, preset.SideSize, preset.AllowancePercent, preset.Start, preset.TieShare
		terms.Rounds, terms.Divisions = 2, []events.Division{}
		if change != nil {
			change(terms)
		}
	})
	return d
}

func TestSidesAreEntered(t *testing.T) {
	d := mustPairs(t, nil)
	r := d.must(command.ImportEntries, "member_no,tee,partners,team_name\n01,Red,02:Yellow,Terns\n03,,04,\n")
	require.Equal(t, 2, r.Added)
	e := d.entryOf("01")
	require.Equal(t, []any{"Terns", "Red"}, []any{e.TeamName, e.Tee})
	require.Equal(t, []events.Partner{{PlayerID: d.PlayerID("02"), Tee: "Yellow", IndexTenths: 200, IndexOrigin: events.OriginOfficial}}, e.Partners)
	require.Equal(t, "White", d.entryOf("03").Partners[0].Tee, "the first tee of the terms")

	// What a row leaves open stays; another partner replaces the one before.
	r = d.must(command.ImportEntries, "member_no,partners,team_name\n01,,Gulls\n03,05:Red,\n")
	require.Equal(t, 2, r.Changed)
	require.Equal(t, "Gulls", d.entryOf("01").TeamName)
	require.Equal(t, "Yellow", d.entryOf("01").Partners[0].Tee)
	require.Equal(t, d.PlayerID("05"), d.entryOf("03").Partners[0].PlayerID)

	for file, want := range map[string]cell{
		"member_no,partners\n06,99\n":                                           {2, "partners", "unknown"},
		"member_no,partners\n06,01\n":                                           {2, "partners", "already_entered"},
		"member_no,partners\n06,04 05\n":                                        {2, "partners", "side_size"},
		"member_no,partners\n06,\n":                                             {2, "partners", "side_size"},
		"member_no\n06\n":                                                       {2, "member_no", "side_size"},
		"member_no,partners\n06,04:Blue\n":                                      {2, "partners", "unknown"},
		"member_no,partners\n06,:Red\n":                                         {2, "partners", "malformed"},
		"member_no,partners\n06,04\n04,06\n":                                    {3, "member_no", "duplicate"},
		"member_no,partners\n06,06\n":                                           {2, "partners", "duplicate"},
		"member_no,partners,team_name\n06,04," + strings.Repeat("x", 61) + "\n": {2, "team_name", "too_long"},
	} {
		got := cells(d.refused(command.ImportEntries, file))
		require.Contains(t, got, want, file)
	}
}

// A late change of partner brings the card that is out into line.
func TestPartnerIsReplacedOnTheDay(t *testing.T) {
	d := mustPairs(t, nil)
	d.must(command.ImportEntries, "member_no,partners\n01,02\n03,04\n")
	d.open()
	d.must(command.ImportEntries, "member_no,partners\n03,05\n")
	require.Equal(t, d.PlayerID("05"), d.cardOf("03").Partners[0].PlayerID)
	require.Equal(t, "White", d.cardOf("03").Partners[0].Tee)
}

// sideCards is a cards file with balls and rounds.
func sideCards(rows ...string) string {
	return strings.Replace(cardsFile(rows...), "member_no,", "round,member_no,ball,", 1)
}

func TestCardsOfSides(t *testing.T) {
	d := mustPairs(t, nil)
	d.must(command.ImportEntries, "member_no,partners\n01,02\n03,04\n05,06\n")
	fours, fives, none := strings.Repeat("4,", 18), strings.Repeat("5,", 18), strings.Repeat(",", 18)
	require.Equal(t, []cell{{0, "", "not_open"}}, cells(d.refused(command.ImportCards, sideCards(",01,0,"+fours))))
	d.open()

	// Both rows of a card go together, in any order; one partner may have nothing.
	r := d.must(command.ImportCards, sideCards(",01,1,"+fives, "1,03,0,5,"+strings.Repeat("4,", 17), ",01,0,"+fours, "1,03,1,"+none))
	require.Equal(t, 2, r.Added)
	k := d.cardOf("01")
	require.Equal(t, []any{"returned", 4, 5}, []any{k.Status(), k.Lines(0)[0].Counting().Strokes, k.Lines(1)[0].Counting().Strokes})
	require.Equal(t, "returned", d.cardOf("03").Status())
	require.False(t, d.cardOf("03").Lines(1)[0].Counting().Entered(), "blank: the ball has nothing there")

	// A row of one ball alone leaves the other as it stands.
	r = d.must(command.ImportCards, sideCards(",01,1,6,"+strings.Repeat("5,", 17)))
	require.Equal(t, []string{"line 2, 01: hole 1 changes from 5 to 6"}, r.Notes)
	require.Equal(t, 4, d.cardOf("01").Lines(0)[0].Counting().Strokes)

	for file, want := range map[string]cell{
		sideCards(",05,2," + fours):                                    {2, "ball", "not_on_card"},
		sideCards(",05,4," + fours):                                    {2, "ball", "out_of_range"},
		sideCards("2,05,0," + fours):                                   {2, "round", "not_open"},
		sideCards("5,05,0," + fours):                                   {2, "round", "out_of_range"},
		sideCards(",05,0,"+fours, ",05,0,"+fours):                      {3, "member_no", "duplicate"},
		sideCards(",05,0,"+none+"WD", ",05,1,"+none+"NS"):              {3, "status", "ambiguous"},
		sideCards(",05,0,,"+strings.Repeat("4,", 17), ",05,1,"+none):   {2, "h1", "hole_missing"},
		sideCards(",05,0,"+none, ",05,1,"+none):                        {2, "status", "required"},
		sideCards(",05,0,"+strings.Repeat("4,", 17)+"100,", ",05,1,,"): {2, "h18", "out_of_range"},
	} {
		require.Contains(t, cells(d.refused(command.ImportCards, file)), want, file)
	}
	// Neither holed out: no return by itself, and the file may say so.
	pu := "PU," + strings.Repeat("4,", 17)
	r = d.must(command.ImportCards, sideCards(",05,0,"+pu, ",05,1,"+pu+"NR"))
	require.Empty(t, r.Notes)
	require.Equal(t, "hole 1 has no score", d.cardOf("05").RuledReason)
}

func TestCardsOfALaterRound(t *testing.T) {
	d := mustPairs(t, nil)
	d.must(command.ImportEntries, "member_no,partners\n01,02\n03,04\n")
	fours := strings.Repeat("4,", 18)
	d.open()
	d.must(command.ImportCards, sideCards(",01,0,"+fours, ",01,1,"+fours, "1,03,0,"+fours, "1,03,1,"+fours))
	_, err := d.CloseRound(t.Context(), d.committee(), d.id, command.CloseRound{})
	require.NoError(t, err)
	d.open()
	r := d.must(command.ImportCards, sideCards(",01,0,"+strings.Repeat("5,", 18), ",01,1,"+fours))
	require.Equal(t, 1, r.Added)
	k, err := d.Card(t.Context(), command.CardID(d.id, command.EntryID(d.id, d.PlayerID("01")), 2))
	require.NoError(t, err)
	require.Equal(t, 5, k.State.Lines(0)[0].Counting().Strokes)
	require.Equal(t, 4, d.cardOf("01").Lines(0)[0].Counting().Strokes, "the first round stays")
	// A card of the round before is corrected by naming it.
	r = d.must(command.ImportCards, sideCards("1,01,0,3,"+strings.Repeat("4,", 17)))
	require.Equal(t, 1, r.Changed)
	require.Equal(t, 3, d.cardOf("01").Lines(0)[0].Counting().Strokes)
}

// What stands on paper for a hole that is out is left aside, and said.
func TestCardsWithAnExcludedHole(t *testing.T) {
	d := mustPairs(t, nil)
	d.must(command.ImportEntries, "member_no,partners\n01,02\n03,04\n")
	d.open()
	_, err := d.ExcludeHole(t.Context(), d.committee(), d.id, command.HoleOut{Hole: 2, Reason: "flood"})
	require.NoError(t, err)
	fours := strings.Repeat("4,", 18)
	r := d.must(command.ImportCards, sideCards(",01,0,"+fours, ",01,1,4,,"+strings.Repeat("4,", 16)))
	require.Equal(t, []string{fmt.Sprintf("line 2, 01: hole %d is excluded, what stands there is left aside", 2)}, r.Notes)
	require.Equal(t, "returned", d.cardOf("01").Status())
	blank := strings.Repeat(",", 18)
	require.Equal(t, []cell{{2, "status", "required"}}, cells(d.refused(command.ImportCards, sideCards(",03,0,"+blank))))
	d.must(command.ImportCards, sideCards(",03,0,"+blank+"NS"))
	require.Equal(t, "NS", d.cardOf("03").Status())
}

// An index that comes with a file moves the strokes of a match that is not begun,
// as an amendment at the desk does.
func TestAnEntriesFileMovesTheStrokesOfAMatch(t *testing.T) {
	d := mustPairs(t, func(terms *events.Terms) {
		preset, err := command.PresetFor(command.Preset{Format: events.MatchPlay})
		require.NoError(t, err)
		preset.CourseID, preset.Tees = terms.CourseID, terms.Tees
		*terms = preset
	})
	d.must(command.ImportEntries, "member_no\n01\n02\n")
	_, err := d.Draw(t.Context(), d.committee(), d.id, command.Draw{Method: "seeded"})
	require.NoError(t, err)
	_, err = d.OpenRound(t.Context(), d.committee(), d.id)
	require.NoError(t, err)
	strokes := func() int {
		m, err := d.Match(t.Context(), command.MatchID(d.id, 1, 1))
		require.NoError(t, err)
		sum := 0
		for _, n := range m.State.Arranged.B.Balls[0].Strokes {
			sum += n
		}
		return sum
	}
	before := strokes()
	require.Positive(t, before)
	d.must(command.ImportEntries, "member_no,handicap_index\n02,36.0\n")
	require.Greater(t, strokes(), before)
}
