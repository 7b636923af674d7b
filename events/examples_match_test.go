package events_test

import "marram.example/events"

var exampleMatchBall = events.MatchBall{PlayerID: "player-1", Tee: "White", Holes: exampleHoles, Figures: exampleFigures, Strokes: []int{1, 0, 1}}

var (
	forB       = events.MatchWriter{By: events.RolePlayer, BySide: events.SideB}
	office     = events.MatchWriter{By: events.RoleCommittee}
	wonByA     = events.MatchHole{Winner: events.SideA, Grounds: events.HoleStated}
	tiedAtFive = events.MatchHole{
		A: []events.MatchScore{{Score: events.Score{Strokes: 5}}}, B: []events.MatchScore{{Score: events.Score{Strokes: 5}}},
		Winner: events.Tied, Grounds: events.HoleByScores,
	}
)

var matchExamples = []example{
	{"", events.MatchArranged{
		CompetitionID: "competition-1", Round: 2, Number: 4, CourseID: "course-1", Side: "four_ball", Ranking: "net", StartingHole: 10, Length: 36,
		ExtraHoles: true, FullNet: true, Reason: "an index was out of date",
		A: events.MatchSide{EntryID: "entry-1", Balls: []events.MatchBall{exampleMatchBall, {
			PlayerID: "player-2", Tee: "Red", Holes: exampleHoles, Figures: exampleFigures, Strokes: []int{0, 0, 0},
		}}},
		B: events.MatchSide{EntryID: "entry-2", Balls: []events.MatchBall{{
			PlayerID: "player-3", Tee: "Red", Holes: exampleHoles, Figures: exampleFigures, Strokes: []int{1, 1, 1},
		}, {
			PlayerID: "player-4", Tee: "White", Holes: exampleHoles, Figures: exampleFigures, Strokes: []int{0, -1, 0},
		}}},
	}},
	{"singles", events.MatchArranged{
		CompetitionID: "competition-1", Round: 1, Number: 1, CourseID: "course-1", Ranking: "gross", StartingHole: 1, Length: 9,
		A: events.MatchSide{EntryID: "entry-1", Balls: []events.MatchBall{exampleMatchBall}},
		B: events.MatchSide{EntryID: "entry-2", Balls: []events.MatchBall{exampleMatchBall}},
	}},
	{"", events.MatchHoleDecided{
		Number: 19, Hole: 2,
		MatchHole: events.MatchHole{
			A:      []events.MatchScore{{Score: events.Score{Strokes: 5}}, {Score: events.Score{Strokes: 4}, Conceded: true}},
			B:      []events.MatchScore{{Score: events.Score{Strokes: 5}}, {Score: events.Score{None: events.PickedUp}}},
			Winner: events.SideA, Grounds: events.HoleByScores,
		},
		MatchWriter: forB,
	}},
	{"stated", events.MatchHoleDecided{Number: 1, Hole: 10, MatchHole: wonByA, MatchWriter: office}},
	{"", events.MatchHoleCorrected{Number: 1, Hole: 10, Old: wonByA, New: tiedAtFive, MatchWriter: forB, Reason: "written on the wrong line"}},
	{"taken-back", events.MatchHoleCorrected{Number: 1, Hole: 10, Old: tiedAtFive, MatchWriter: forB}},
	{"", events.MatchHoleRemoved{Number: 1, Hole: 10, Old: wonByA, MatchWriter: forB, Reason: "not played yet"}},
	{"", events.HoleConceded{Number: 1, Hole: 10, Side: events.SideB, MatchWriter: forB}},
	{"office", events.HoleConceded{Number: 1, Hole: 10, Side: events.SideA, MatchWriter: office}},
}

var matchResultExamples = []example{
	{"", events.MatchConceded{Side: events.SideB, MatchWriter: forB, Reason: "a bad back"}},
	{"office", events.MatchConceded{Side: events.SideB, MatchWriter: office}},
	{"", events.MatchResultAgreed{Winner: events.SideA, Text: "3 and 2", MatchWriter: forB}},
	{"", events.MatchDecided{
		Winner: events.SideA, Text: "3 and 2", Up: 3, Played: 16, Grounds: events.MatchByHoles, Progress: []int{1, 1, 2, 3}, MatchWriter: forB,
	}},
	{"tie", events.MatchDecided{Winner: events.Tied, Text: "tied", Played: 18, Grounds: events.MatchStated, MatchWriter: office}},
	{"", events.MatchRuled{Ruling: events.MatchDisqualified, Winner: events.SideA, Up: 1, Reason: "played off a handicap that was too high"}},
	{"both", events.MatchRuled{Ruling: events.MatchDefault, Winner: events.NoWinner, Reason: "neither came"}},
	{"lifted", events.MatchRuled{Ruling: events.MatchRulingLifted, Reason: "the ruling was wrong"}},
	{"", events.MatchReopened{Reason: "a hole was written for the wrong side"}},
	{"matches", events.RoundClosed{Round: 1, Cards: []events.CardStanding{}, Matches: []events.MatchStanding{
		{MatchID: "competition-1-m1-1", Number: 1, EntryIDs: []string{"entry-1", "entry-2"}, Winner: "entry-1", Text: "3 and 2", By: 3, Sequence: 17},
		{MatchID: "competition-1-m2-1", Number: 2, EntryIDs: []string{"entry-3", "entry-4"}, Text: "tied", Sequence: 22},
	}}},
	{"match", events.TermsSet{Terms: events.Terms{
		Format: "match", Ranking: "net", Holes: []int{1, 2, 3}, AllowancePercent: 100, AllowanceSource: "Rules of Handicapping, Appendix C",
		CourseID: "course-1", Tees: []string{"White"}, Divisions: []events.Division{}, TieMethod: "shared", TieShare: "as_allocated",
		Start: events.StartTerms{Kind: "one_tee", FirstTime: "08:00", IntervalMinutes: 8, GroupSize: 2}, Prizes: []events.Prize{}, NamesAs: "name",
		Match: &events.MatchTerms{Bracket: "knockout", Length: 36, ExtraHoles: true, FullNet: true},
	}}},
	{"seeded", matchDraw("seeded")},
	{"round-robin", matchDraw("round_robin")},
	{"handicap", matchDraw("handicap")},
	{"as-entered", matchDraw("as_entered")},
	{"by-hand", matchDraw("by_hand")},
	{"matches", events.ResultPublished{Result: events.Result{
		Rows: []events.ResultRow{}, Prizes: []events.PrizeAwarded{}, Countbacks: []events.Countback{},
		Matches: []events.MatchStanding{
			{MatchID: "competition-1-m1-1", Number: 1, EntryIDs: []string{"entry-1", "entry-2"}, Winner: "entry-1", Text: "at the 19th", By: 1, Sequence: 23},
		},
		Table: []events.TableRow{
			{EntryID: "entry-1", Played: 3, Won: 1, Tied: 1, Lost: 1, HalfPoints: 3, Holes: 2, Decided: "holes up less holes down, 2 against -1"},
			{EntryID: "entry-2", Played: 3, Lost: 2, Won: 1, HalfPoints: 2, Holes: -1},
		},
	}}},
}

func matchDraw(method string) events.DrawPublished {
	return events.DrawPublished{Round: 1, Method: method, Groups: []events.Group{
		{Number: 1, Time: "08:00", StartingHole: 1, Places: []events.GroupSlot{{EntryID: "entry-1"}, {EntryID: "entry-2"}}},
	}}
}
