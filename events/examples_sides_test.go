package events_test

import "marram.example/events"

// What competitions over several rounds and of sides brought: types of their own,
// and fields that older golden files of a type do not have.

// sideFigures are those of a side that plays one ball.
var sideFigures = events.Figures{
	Par: 72, LowestPar: 72, CourseHandicapNum: 1573, CourseHandicapDen: 200, CourseHandicap: 8, AllowancePercent: 100, PlayingHandicap: 8,
	StrokesByHole: []int{1, 0, 1}, CourseSequence: 3, CompetitionSequence: 71,
	Shares: []events.Share{
		{
			PlayerID: "player-2", Tee: "White", IndexTenths: 81, IndexOrigin: events.OriginClub, IndexUsedTenths: 80, CourseRatingTenths: 713, SlopeRating: 128,
			Par: 72, CourseHandicapNum: 847, CourseHandicapDen: 100, Percent: 60, PlayerSequence: 4,
		},
		{
			PlayerID: "player-1", Tee: "Red", IndexTenths: 123, IndexOrigin: events.OriginOfficial, IndexUsedTenths: 123, CourseRatingTenths: 692, SlopeRating: 119,
			Par: 72, CourseHandicapNum: 1113, CourseHandicapDen: 100, Percent: 40, PlayerSequence: 2,
		},
	},
}

var examplePartners = []events.Partner{{PlayerID: "player-2", Tee: "Red", IndexTenths: 181, IndexOrigin: events.OriginClub}}

var exampleBall = events.Ball{PlayerID: "player-2", Tee: "Red", Holes: exampleHoles, Figures: exampleFigures}

var roundExamples = []example{
	{"rounds-and-cut", events.TermsSet{Terms: events.Terms{
		Format: "stroke_play", Ranking: "gross", Rounds: 4, Holes: []int{1, 2, 3}, AllowancePercent: 100, AllowanceSource: "committee",
		CourseID: "course-1", Tees: []string{"White"}, Divisions: []events.Division{}, TieMethod: "countback", TieShare: "exact_fraction",
		Start:  events.StartTerms{Kind: "two_tee", FirstTime: "07:30", IntervalMinutes: 10, GroupSize: 3},
		Prizes: []events.Prize{}, NamesAs: "name",
		PerRound: []events.RoundTerms{
			{},
			{
				Date: "2026-05-03", FirstTime: "08:10", Format: "maximum_score", Side: "aggregate", CourseID: "course-2", Holes: []int{10, 11, 12},
				AllowancePercent: ptr(90), SideAllowances: []int{60, 40}, ParDifference: ptr(true), Maximum: &events.Maximum{Kind: "strokes", Strokes: 9},
				Count: []int{2}, CountBy: "round",
			},
			{AllowancePercent: ptr(0), ParDifference: ptr(false)},
			{},
		},
		Cut:        &events.Cut{AfterRound: 2, Places: 40, TiesIn: true, Within: ptr(10)},
		TieWindows: "hole_by_hole", TieHoles: "by_play", TieHandicap: "course", TieThen: "lot",
	}}},
	{"standing", events.DrawPublished{
		Round: 3, Method: "standing",
		Groups: []events.Group{{Number: 1, Time: "07:30", StartingHole: 1, Places: []events.GroupSlot{{EntryID: "entry-9"}, {EntryID: "entry-4"}}}},
	}},
	{"", events.CutMade{AfterRound: 2, Through: []string{"entry-1", "entry-2"}, Missed: []string{"entry-3"}, Line: ptr(146), Words: "2 of 3 are through with 146 or better"}},
	{"nobody", events.CutMade{AfterRound: 1, Through: []string{}, Missed: []string{}, Words: "nobody has a total"}},
	{"", events.PlayingConditionsSet{Round: 2, Adjustment: -1, Source: "the association's notice of the evening"}},
	{"none", events.PlayingConditionsSet{Round: 1, Source: "the association's notice of the evening"}},
	{"", events.HoleExcluded{Round: 1, Hole: 7, Reason: "the green was under water"}},
	{"", events.HoleRestored{Round: 1, Hole: 7, Reason: "the wrong hole"}},
	{"drawn", events.TieDecided{Ranking: "gross", EntryIDs: []string{"entry-2", "entry-1"}, Method: "lot", Reason: "drawn here", Seed: 18446744073709551615}},
	{"rounds", events.ResultPublished{Result: events.Result{
		Rows: []events.ResultRow{
			{
				EntryID: "entry-1", PlayerID: "player-1", CardID: "card-2", CardSequence: 41, Tee: "White", IndexTenths: 123, PlayingHandicap: 13,
				Status: events.StatusReturned, Gross: ptr(162), Net: ptr(136), ParBogey: ptr(-3), Positions: map[string]string{"net": "1"},
				TeamName: "Early Birds", Partners: []events.ResultPlayer{{PlayerID: "player-2", Tee: "Red", IndexTenths: 181, PlayingHandicap: 17}},
				Rounds: []events.RoundFigures{
					{
						Round: 1, CardID: "card-1", CardSequence: 40, Status: events.StatusReturned, PlayingHandicap: 13, Gross: ptr(81), Net: ptr(68),
						Points: ptr(39), ParBogey: ptr(3),
					},
					{Round: 2, CardID: "card-2", CardSequence: 41, Status: events.StatusReturned, PlayingHandicap: 13, Gross: ptr(81), Net: ptr(68)},
				},
			},
			{
				EntryID: "entry-3", PlayerID: "player-3", CardID: "card-3", CardSequence: 9, Tee: "White", Status: events.StatusMissedCut,
				Gross: ptr(90), Positions: map[string]string{},
				Rounds: []events.RoundFigures{{Round: 1, CardID: "card-3", CardSequence: 9, Status: events.StatusReturned, Gross: ptr(90)}},
			},
		},
		Prizes: []events.PrizeAwarded{}, Countbacks: []events.Countback{},
	}}},
}

var sideExamples = []example{
	{"sides", events.TermsSet{Terms: events.Terms{
		Format: "maximum_score", Ranking: "net", Rounds: 1, Holes: []int{1, 2, 3}, AllowancePercent: 85, AllowanceSource: "Rules of Handicapping, Appendix C",
		CourseID: "course-1", Tees: []string{"White"}, Divisions: []events.Division{}, TieMethod: "play_off", TieShare: "as_allocated",
		Start:  events.StartTerms{Kind: "shotgun", FirstTime: "09:00", GroupSize: 4},
		Prizes: []events.Prize{}, NamesAs: "initials",
		Side: "best_of", SideSize: 4, Maximum: events.Maximum{Kind: "net_double_bogey"}, Count: []int{2, 2, 3}, CountBy: "hole",
	}}},
	{"one-ball", events.TermsSet{Terms: events.Terms{
		Format: "par_bogey", Ranking: "net", Rounds: 1, Holes: []int{1, 2, 3}, AllowancePercent: 100, AllowanceSource: "committee",
		CourseID: "course-1", Tees: []string{"White"}, Divisions: []events.Division{}, TieMethod: "shared", TieShare: "as_allocated",
		Start: events.StartTerms{Kind: "shotgun", FirstTime: "09:00", GroupSize: 4}, Prizes: []events.Prize{}, NamesAs: "name",
		Side: "greensomes", SideSize: 2, SideAllowances: []int{60, 40},
	}}},
	{"side", events.EntryAccepted{
		EntryID: "entry-1", PlayerID: "player-1", Tee: "White", IndexTenths: 123, IndexOrigin: events.OriginOfficial,
		Side: events.Side{TeamName: "Early Birds", Partners: examplePartners},
	}},
	{"side", events.EntryAmended{
		EntryID: "entry-1", Tee: "White", IndexTenths: 123, IndexOrigin: events.OriginOfficial, Reason: "a partner is ill",
		Side: events.Side{TeamName: "Late Birds", Partners: examplePartners},
	}},
	{"balls", events.CardIssued{
		CompetitionID: "competition-1", Round: 1, EntryID: "entry-1", PlayerID: "player-1", MarkerID: "entry-2", CourseID: "course-1", Tee: "White",
		Holes: exampleHoles, StartingHole: 2, Format: "maximum_score", Figures: exampleFigures,
		Play: events.Play{
			Side: "best_of", Maximum: events.Maximum{Kind: "strokes", Strokes: 9}, Count: []int{1, 2, 1}, CountBy: "hole",
		},
		Partners: []events.Ball{exampleBall},
	}},
	{"one-ball", events.CardIssued{
		CompetitionID: "competition-1", Round: 1, EntryID: "entry-1", PlayerID: "player-1", CourseID: "course-1", Tee: "White", Holes: exampleHoles,
		StartingHole: 1, Format: "stableford", Figures: sideFigures, Play: events.Play{Side: "greensomes"},
	}},
	{"balls", events.CardReissued{
		MarkerID: "entry-3", StartingHole: 3, Tee: "Red", Holes: exampleHoles, Figures: exampleFigures, Reason: "index was out of date",
		Partners: []events.Ball{exampleBall},
	}},
	{"partner", events.HoleScored{Hole: 7, Score: events.Score{Strokes: 4}, By: events.RoleMarker, Ball: 1}},
	{"excluded", events.HoleScored{Hole: 7, Score: events.Score{None: events.Excluded}, By: events.RoleCommittee}},
	{"partner", events.HoleScoreCorrected{Hole: 7, Old: events.Score{Strokes: 4}, New: events.Score{Strokes: 5}, By: events.RoleMarker, Ball: 1}},
	{"", events.PenaltyAdded{PenaltyID: "penalty-1", Ball: 1, Hole: 7, Strokes: 2, Rule: "Rules of Golf 4.1b", Reason: "a fifteenth club"}},
	{"round", events.PenaltyAdded{PenaltyID: "penalty-2", Strokes: 1, Reason: "pace of play"}},
	{"", events.PenaltyRemoved{PenaltyID: "penalty-1", Reason: "it was fourteen"}},
}
