package events_test

import "marram.example/events"

// example is an event with a name for its golden file: empty for the one in
// which every field is filled.
type example struct {
	variant string
	event   events.Event
}

func ptr[T any](v T) *T { return &v }

var exampleFigures = events.Figures{
	IndexTenths: 123, IndexOrigin: events.OriginOfficial, IndexUsedTenths: 120, CourseRatingTenths: 713, SlopeRating: 128,
	Par: 72, LowestPar: 70, CourseHandicapNum: 25781, CourseHandicapDen: 2260, CourseHandicap: 11, AllowancePercent: 95,
	ParDifference: 2, PlayingHandicap: 13, StrokesByHole: []int{2, 1, 1}, CourseSequence: 3, CompetitionSequence: 71, PlayerSequence: 2,
}

var exampleHoles = []events.Hole{
	{Number: 1, Par: 4, StrokeIndex: 5, LengthM: 352},
	{Number: 2, Par: 3, StrokeIndex: 17, LengthM: 148},
	{Number: 3, Par: 5, StrokeIndex: 1, LengthM: 471},
}

var exampleResult = events.Result{
	Rows: []events.ResultRow{{
		EntryID: "entry-1", PlayerID: "player-1", CardID: "card-1", CardSequence: 40, Division: "Division 1", Tee: "White",
		IndexTenths: 123, PlayingHandicap: 13, Status: events.StatusReturned, Gross: ptr(81), Net: ptr(68), Points: ptr(39), GrossPoints: ptr(27),
		Positions: map[string]string{"net": "1", "gross": "T4", "net/Division 1": "1"}, Countback: "ahead on 10-18, 65/2 against 34",
	}},
	Prizes: []events.PrizeAwarded{{Prize: "Best net", Place: 1, EntryID: "entry-1", PassedBy: 2}},
	Countbacks: []events.Countback{{
		Ranking: "net", From: 1, Rule: "exact_fraction", Order: [][]string{{"entry-1"}, {"entry-2", "entry-3"}},
		Steps: []events.CountbackStep{{Window: "10-18", Above: "65/2", Below: "34"}},
		Cards: []events.CountbackWindows{{
			EntryID: "entry-1",
			Windows: []events.CountbackWindow{{Window: "10-18", Gross: 39, Share: "13/2", Value: "65/2"}},
		}},
	}},
}

// resultWithoutTotals is what a ruled card and an empty list look like.
var resultWithoutTotals = events.Result{
	Rows: []events.ResultRow{{
		EntryID: "entry-2", PlayerID: "player-2", CardID: "card-2", Tee: "White", PlayingHandicap: -2, IndexTenths: -14,
		Status: events.StatusNoReturn, Positions: map[string]string{},
	}},
	Prizes: []events.PrizeAwarded{}, Countbacks: []events.Countback{},
}

var courseExamples = []example{
	{"", events.CourseDefined{Name: "Sandholm Links"}},
	{"", events.TeeDefined{TeeDefinition: events.TeeDefinition{
		Tee: "White", CourseRatingTenths: 713, SlopeRating: 128,
		Front: &events.NineRating{CourseRatingTenths: 355, SlopeRating: 126}, Back: &events.NineRating{CourseRatingTenths: 358, SlopeRating: 130},
		Holes: exampleHoles,
	}}},
	{"no-nines", events.TeeDefined{TeeDefinition: events.TeeDefinition{
		Tee: "Red", CourseRatingTenths: 692, SlopeRating: 119, Holes: []events.Hole{{Number: 1, Par: 4, StrokeIndex: 5}},
	}}},
	{"", events.CourseRevised{Name: "Sandholm Old Links", Reason: "the club has a second course now"}},
}

var playerExamples = []example{
	{"", events.PlayerRegistered{MemberNo: "0107", Sealed: []byte("not really sealed")}},
	{"", events.PlayerDetailsChanged{Sealed: []byte("another name")}},
	{"", events.HandicapIndexRecorded{IndexTenths: 123, Effective: "2026-05-02", Origin: events.OriginOfficial}},
	{"plus", events.HandicapIndexRecorded{IndexTenths: -14, Effective: "2026-05-02", Origin: events.OriginClub}},
	{"scratch", events.HandicapIndexRecorded{Effective: "2026-05-02", Origin: events.OriginOfficial}},
	{"", events.PlayerLeft{Reason: "moved away"}},
	{"no-reason", events.PlayerLeft{}},
	{"", events.PlayerErased{Reason: "asked for it"}},
}

var competitionExamples = []example{
	{"", events.CompetitionPlanned{Name: "Saturday medal", Date: "2026-05-02"}},
	{"", events.TermsSet{Terms: events.Terms{
		Format: "stroke_play", Ranking: "net", Rounds: 1, Holes: []int{1, 2, 3}, AllowancePercent: 95,
		AllowanceSource: "Rules of Handicapping, Appendix C", ParDifference: true, LeaveOutPar: true, MaximumIndexTenths: ptr(360),
		CourseID: "course-1", Tees: []string{"White", "Red"}, Divisions: []events.Division{{Name: "Division 1", FromTenths: -100, ToTenths: 124}},
		TieMethod: "countback", TieShare: "exact_fraction", FieldLimit: 90,
		Start:  events.StartTerms{Kind: "one_tee", FirstTime: "07:30", IntervalMinutes: 10, GroupSize: 3, EmptyIntervalAfter: 8},
		Prizes: []events.Prize{{Name: "Best net, Division 1", Ranking: "net", Division: "Division 1", Places: 2}}, OnePrizeAPlayer: true,
		BoardPublic: true, NamesAs: "initials",
	}}},
	{"bare", events.TermsSet{Terms: events.Terms{
		Format: "stableford", Ranking: "gross", Rounds: 1, Holes: []int{10}, CourseID: "course-1", Tees: []string{"White"},
		Divisions: []events.Division{}, TieMethod: "shared", TieShare: "as_allocated",
		Start: events.StartTerms{Kind: "shotgun", FirstTime: "09:00", GroupSize: 4}, Prizes: []events.Prize{}, NamesAs: "name",
	}}},
	{"", events.EntryAccepted{EntryID: "entry-1", PlayerID: "player-1", Tee: "White", IndexTenths: 123, IndexOrigin: events.OriginOfficial, Late: true}},
	{"", events.EntryAmended{EntryID: "entry-1", Tee: "Red", IndexTenths: 121, IndexOrigin: events.OriginClub, Reason: "plays from the front today"}},
	{"", events.EntryWithdrawn{EntryID: "entry-1", Reason: "a cold"}},
	{"", events.DrawPublished{
		Round: 1, Method: "random", Seed: 18446744073709551615, Reason: "a late entry",
		Groups: []events.Group{{Number: 1, Time: "07:30", StartingHole: 10, Letter: "B", Places: []events.GroupSlot{{EntryID: "entry-1", MarkerID: "entry-2"}}}},
	}},
	{"", events.RoundOpened{Round: 1}},
	{"", events.RoundSuspended{Round: 1, Kind: "immediate", Reason: "lightning"}},
	{"", events.RoundResumed{Round: 1}},
	{"", events.RoundClosed{Round: 1, Cards: []events.CardStanding{{CardID: "card-1", EntryID: "entry-1", Status: events.StatusReturned, Sequence: 40}}}},
	{"", events.TieDecided{Ranking: "net", Division: "Division 1", EntryIDs: []string{"entry-2", "entry-1"}, Method: "lot", Reason: "drawn in front of both"}},
	{"", events.ResultPublished{Result: exampleResult}},
	{"no-totals", events.ResultPublished{Result: resultWithoutTotals}},
	{"", events.ResultRevised{Result: exampleResult, Revision: 1, Reason: "one playing handicap was wrong"}},
}

var cardExamples = []example{
	{"", events.CardIssued{
		CompetitionID: "competition-1", Round: 1, EntryID: "entry-1", PlayerID: "player-1", MarkerID: "entry-2", CourseID: "course-1",
		Tee: "White", Holes: exampleHoles, StartingHole: 2, Format: "stroke_play", Figures: exampleFigures,
	}},
	{"plus-no-marker", events.CardIssued{
		CompetitionID: "competition-1", Round: 1, EntryID: "entry-1", PlayerID: "player-1", CourseID: "course-1", Tee: "White",
		Holes: exampleHoles, StartingHole: 1, Format: "stableford",
		Figures: events.Figures{
			IndexTenths: -14, IndexOrigin: events.OriginClub, IndexUsedTenths: -14, CourseRatingTenths: 713, SlopeRating: 128, Par: 72, LowestPar: 72,
			CourseHandicapNum: -2583, CourseHandicapDen: 1130, CourseHandicap: -2, AllowancePercent: 100, PlayingHandicap: -2, StrokesByHole: []int{0, -1, -1},
		},
	}},
	{"", events.CardReissued{MarkerID: "entry-3", StartingHole: 3, Tee: "Red", Holes: exampleHoles, Figures: exampleFigures, Reason: "index was out of date"}},
	{"", events.MarkerAssigned{MarkerID: "entry-3", StartingHole: 3, Reason: "the marker went home"}},
	{"", events.HoleScored{Hole: 7, Score: events.Score{Strokes: 5}, By: events.RoleMarker}},
	{"picked-up", events.HoleScored{Hole: 7, Score: events.Score{None: events.PickedUp}, By: events.RolePlayer}},
	{"no-score", events.HoleScored{Hole: 7, Score: events.Score{None: events.NoScore}, By: events.RoleCommittee}},
	{"", events.HoleScoreCorrected{Hole: 7, Old: events.Score{Strokes: 5}, New: events.Score{Strokes: 6}, By: events.RoleCommittee, Reason: "penalty stroke"}},
	{"taken-back", events.HoleScoreCorrected{Hole: 7, Old: events.Score{None: events.NoScore}, By: events.RolePlayer}},
	{"", events.CardCertified{By: events.RoleMarker, Keeper: "committee"}},
	{"on-phone", events.CardCertified{By: events.RolePlayer}},
	{"", events.CardReturned{Receipt: "K7PX"}},
	{"", events.CardReopened{Reason: "typed into the wrong card"}},
	{"", events.CardStatusRuled{Status: events.StatusDisqualified, Reason: "hole 4 returned lower than played"}},
	{"lifted", events.CardStatusRuled{Status: events.StatusInPlay, Reason: "the ruling was wrong"}},
}

// examples lists every event that has a golden file.
func examples() []example {
	var all []example
	for _, list := range [][]example{
		courseExamples, playerExamples, competitionExamples, cardExamples, roundExamples, sideExamples, matchExamples, matchResultExamples,
		clubExamples, strokeExamples, reviewExamples,
	} {
		all = append(all, list...)
	}
	return all
}
