package events_test

import (
	"time"

	"marram.example/events"
)

// What logging strokes brought, and the reviews made of them.

var exampleIntent = time.Date(2026, 5, 2, 7, 41, 3, 250_000_000, time.UTC)

var strokeExamples = []example{
	{"", events.StrokeRecorded{
		StrokeID: "stroke-2", Ball: 1, Hole: 7, Before: "stroke-3",
		Stroke: events.Stroke{
			Lie: events.LieTee, DistanceM: 371.2464, Club: "driver", Target: events.TargetLeft, Shape: events.ShapeFade, Commitment: 4,
			IntentAt: exampleIntent, StruckAt: exampleIntent.Add(28 * time.Second), Strike: events.StrikePoor,
			Finish: &events.Finish{Lie: events.LieRough, DistanceM: 162.5}, Penalty: 1,
			Miss:       events.Miss{Side: events.MissRight, SideM: 18.288, Length: events.MissShort, LengthM: 25},
			GoodEnough: ptr(false), Words: []byte("not really sealed"),
		},
	}},
	{"putt", events.StrokeRecorded{
		StrokeID: "stroke-4", Hole: 7, Stroke: events.Stroke{Lie: events.LieGreen, DistanceM: 1.2192, Finish: &events.Finish{Holed: true}},
	}},
	{"bare", events.StrokeRecorded{StrokeID: "stroke-5", Hole: 8, Stroke: events.Stroke{Lie: events.LieSand, DistanceM: 20}}},
	{"", events.StrokeAmended{
		StrokeID: "stroke-2", Stroke: events.Stroke{Lie: events.LieFairway, DistanceM: 140, Club: "iron-7", Strike: events.StrikeGood, GoodEnough: ptr(true)},
	}},
	{"", events.StrokeRemoved{StrokeID: "stroke-4"}},
	{"practice", events.TermsSet{Terms: events.Terms{
		Format: "stroke_play", Ranking: "gross", Rounds: 1, Holes: []int{1, 2, 3}, AllowancePercent: 100, AllowanceSource: "committee", CourseID: "course-1",
		Tees: []string{"White"}, Divisions: []events.Division{}, TieMethod: "shared", TieShare: "as_allocated",
		Start: events.StartTerms{Kind: "shotgun", FirstTime: "09:00", GroupSize: 4}, Prizes: []events.Prize{}, NamesAs: "name", Practice: true,
	}}},
	{"practice", events.CardIssued{
		CompetitionID: "competition-1", Round: 1, EntryID: "entry-1", PlayerID: "player-1", CourseID: "course-1", Tee: "White", Holes: exampleHoles,
		StartingHole: 1, Format: "stroke_play", Figures: exampleFigures, Date: "2026-05-02", Practice: true,
	}},
}

var reviewExamples = []example{
	{"", events.ReviewShared{ShareID: "share-1", Sealed: []byte("for whom, not really sealed")}},
	{"", events.ReviewShareWithdrawn{ShareID: "share-1"}},
	{"", events.CoachNoteAdded{NoteID: "note-1", ShareID: "share-1", CardID: "card-1", Sealed: []byte("words, not really sealed")}},
	{"all-rounds", events.CoachNoteAdded{NoteID: "note-2", ShareID: "share-1", Sealed: []byte("other words")}},
	{"", events.CoachNoteRemoved{NoteID: "note-1"}},
}
