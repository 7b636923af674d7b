package projectiontest

import (
	"fmt"
	"math/rand/v2"
	"time"

	"marram.example/events"
)

// happening is an event before it is in the log.
type happening struct {
	stream events.StreamID
	event  events.Event
}

// History invents a log: courses, players and as many competitions, each with a
// card for every player. It holds every type of event when there is at least
// one competition of two players. The streams are mixed at random, each in its
// own order; the same seed gives the same log. The facts have the right shapes;
// they are not good golf.
func History(seed uint64, competitions, players int) []events.Recorded {
	r := rand.New(rand.NewPCG(seed, 1))
	var scripts [][]happening
	scripts = append(scripts, courseScript("links"), courseScript("heath"), clubScript())
	for p := range players {
		scripts = append(scripts, playerScript(r, p, p == players-1 && players > 2))
	}
	for c := range competitions {
		scripts = append(scripts, competitionScript(r, c, players))
		for p := range players {
			scripts = append(scripts, cardScript(r, c, p))
		}
		scripts = append(scripts, matchScript(c))
	}
	w := NewWriter()
	mix(r, w, scripts)
	return w.All
}

// Season is like History, but the competitions are played one after the other.
func Season(seed uint64, competitions, players int) []events.Recorded {
	r := rand.New(rand.NewPCG(seed, 2))
	w := NewWriter()
	scripts := [][]happening{courseScript("links")}
	for p := range players {
		scripts = append(scripts, playerScript(r, p, false))
	}
	mix(r, w, scripts)
	for c := range competitions {
		scripts = [][]happening{competitionScript(r, c, players)}
		for p := range players {
			scripts = append(scripts, cardScript(r, c, p))
		}
		mix(r, w, scripts)
	}
	return w.All
}

// mix writes scripts in a random order that keeps the order of each.
func mix(r *rand.Rand, w *Writer, scripts [][]happening) {
	for len(scripts) > 0 {
		i := r.IntN(len(scripts))
		w.Add(scripts[i][0].stream, scripts[i][0].event)
		if scripts[i] = scripts[i][1:]; len(scripts[i]) == 0 {
			scripts[i] = scripts[len(scripts)-1]
			scripts = scripts[:len(scripts)-1]
		}
	}
}

// names are invented, and awkward on purpose: accents, signs of LIKE and HTML, a
// zero byte, nothing that both databases would sort alike by themselves.
var names = []string{"Åsa Öberg", "anna Quist", "Zoë <Müller>", "100% Sure_Shot", "Ånn Ber\x00g", "Özil-Smythe", "bob B.", "李 Wén", "ANNA quist", "Émile d’Or"}

// Name is the name of a player of a history.
func Name(player int) string {
	if player < len(names) {
		return names[player]
	}
	return fmt.Sprintf("%s %d", names[player%len(names)], player)
}

// PlayerID is the id of a player of a history.
func PlayerID(player int) string { return fmt.Sprintf("player-%03d", player) }

// CompetitionID is the id of a competition of a history.
func CompetitionID(competition int) string { return fmt.Sprintf("comp-%03d", competition) }

// CardID is the id of a player's card of a history.
func CardID(competition, player int) string {
	return fmt.Sprintf("card-%03d-%03d", competition, player)
}

// EntryID is the id of a player's entry of a history.
func EntryID(competition, player int) string {
	return fmt.Sprintf("entry-%03d-%03d", competition, player)
}

func holes() []events.Hole {
	h := make([]events.Hole, 18)
	for i := range h {
		h[i] = events.Hole{Number: i + 1, Par: 3 + i%3, StrokeIndex: 18 - i, LengthM: 120 + 20*i}
	}
	return h
}

func courseScript(id string) []happening {
	s := events.CourseStream(Club, id)
	tee := events.TeeDefinition{Tee: "white", CourseRatingTenths: 712, SlopeRating: 128, Front: &events.NineRating{CourseRatingTenths: 356, SlopeRating: 127}, Holes: holes()}
	second := tee
	second.Tee, second.Front = "yellow", nil
	revised := tee
	revised.SlopeRating = 131
	return []happening{
		{s, events.CourseDefined{Name: "The " + id}}, {s, events.TeeDefined{TeeDefinition: tee}}, {s, events.TeeDefined{TeeDefinition: second}},
		{s, events.CourseRevised{Name: "the Old " + id, Reason: "renamed & re-rated"}}, {s, events.TeeDefined{TeeDefinition: revised}},
	}
}

// clubScript switches estimates on, with figures that no association gave.
func clubScript() []happening {
	s := events.ClubStream(Club)
	return []happening{
		{s, events.HandicapEstimatesSwitched{On: true, Caution: "unofficial"}},
		{s, events.ExpectedScoresImported{Source: "invented", Rows: []events.ExpectedScore{{IndexTenths: 100, ExpectedNum: 64, ExpectedDen: 10}}}},
		{s, events.ExpectedScoresWithdrawn{Reason: "invented"}},
	}
}

func playerScript(r *rand.Rand, p int, erased bool) []happening {
	s := events.PlayerStream(Club, PlayerID(p))
	out := []happening{{s, events.PlayerRegistered{MemberNo: fmt.Sprintf("M%d", 100+p), Sealed: Seal(Name(p))}}}
	for i := range 1 + r.IntN(3) {
		out = append(out, happening{s, events.HandicapIndexRecorded{IndexTenths: r.IntN(400) - 30, Effective: fmt.Sprintf("2026-05-%02d", i+1), Origin: events.OriginClub}})
	}
	out = append(out,
		happening{s, events.ReviewShared{ShareID: "coach", Sealed: Seal("a coach")}},
		happening{s, events.CoachNoteAdded{NoteID: "n1", ShareID: "coach", CardID: CardID(0, p), Sealed: Seal("more club")}},
		happening{s, events.CoachNoteAdded{NoteID: "n2", ShareID: "coach", Sealed: Seal("start left")}},
		happening{s, events.CoachNoteRemoved{NoteID: "n1"}})
	if p%2 == 1 {
		out = append(out, happening{s, events.ReviewShareWithdrawn{ShareID: "coach"}})
	}
	switch {
	case erased:
		out = append(out, happening{s, events.PlayerLeft{}}, happening{s, events.PlayerErased{Reason: "asked for"}})
	case p%3 == 0:
		out = append(out, happening{s, events.PlayerDetailsChanged{Sealed: Seal(Name(p) + " jr")}})
	}
	return out
}

func competitionScript(r *rand.Rand, c, players int) []happening {
	id := CompetitionID(c)
	s := events.CompetitionStream(Club, id)
	maximum := 360
	out := []happening{
		{s, events.CompetitionPlanned{Name: fmt.Sprintf("Medal %d", c), Date: fmt.Sprintf("2026-05-%02d", 1+c%5)}},
		{s, events.TermsSet{Terms: events.Terms{Format: "stroke_play", Ranking: "net", Rounds: 1, AllowancePercent: 95, MaximumIndexTenths: &maximum, CourseID: "links", Tees: []string{"white"}}}},
	}
	var group events.Group
	for p := range players {
		out = append(out, happening{s, events.EntryAccepted{EntryID: EntryID(c, p), PlayerID: PlayerID(p), Tee: "white", IndexTenths: r.IntN(300), IndexOrigin: events.OriginOfficial}})
		group.Places = append(group.Places, events.GroupSlot{EntryID: EntryID(c, p), MarkerID: EntryID(c, (p+1)%players)})
	}
	var rows []events.ResultRow
	for p := range players {
		gross := 70 + r.IntN(30)
		rows = append(rows, events.ResultRow{EntryID: EntryID(c, p), PlayerID: PlayerID(p), CardID: CardID(c, p), Status: events.StatusReturned, Gross: &gross, Positions: map[string]string{"net": "T2", "gross": "1", "net/Division 1": "1"}})
	}
	return append(out,
		happening{s, events.EntryAmended{EntryID: EntryID(c, 0), Tee: "yellow", IndexTenths: 99, IndexOrigin: events.OriginClub}},
		happening{s, events.EntryWithdrawn{EntryID: EntryID(c, players-1), Reason: "injured"}},
		happening{s, events.DrawPublished{Round: 1, Method: "random", Seed: 1<<63 + 7, Groups: []events.Group{group}}},
		happening{s, events.RoundOpened{Round: 1}}, happening{s, events.RoundSuspended{Round: 1, Kind: "immediate", Reason: "lightning"}},
		happening{s, events.RoundResumed{Round: 1}}, happening{s, events.HoleExcluded{Round: 1, Hole: 7, Reason: "flooded"}},
		happening{s, events.HoleRestored{Round: 1, Hole: 7, Reason: "drained"}},
		happening{s, events.PlayingConditionsSet{Round: 1, Adjustment: c%5 - 1, Source: "the association's list"}},
		happening{s, events.CutMade{AfterRound: 1, Through: []string{EntryID(c, 0)}, Missed: []string{}, Words: "the first 1: 1 through"}},
		happening{s, events.RoundClosed{Round: 1, Cards: []events.CardStanding{{CardID: CardID(c, 0), EntryID: EntryID(c, 0), Status: events.StatusReturned, Sequence: 21}}}},
		happening{s, events.TieDecided{Ranking: "net", EntryIDs: []string{EntryID(c, 0)}, Method: "lot", Reason: "drawn"}},
		happening{s, events.ResultPublished{Result: events.Result{Rows: rows}}},
		happening{s, events.ResultRevised{Result: events.Result{Rows: rows[:1], Prizes: []events.PrizeAwarded{{Prize: "Cup", Place: 1, EntryID: EntryID(c, 0)}}}, Revision: 1, Reason: "a wrong addition"}})
}

func cardScript(r *rand.Rand, c, p int) []happening {
	s := events.CardStream(Club, CompetitionID(c), CardID(c, p))
	f := events.Figures{IndexTenths: 123, SlopeRating: 128, CourseHandicapNum: 1234, CourseHandicapDen: 113, PlayingHandicap: 18, StrokesByHole: make([]int, 18)}
	for i := range f.StrokesByHole {
		f.StrokesByHole[i] = 1
	}
	issued := events.CardIssued{
		CompetitionID: CompetitionID(c), Round: 1, EntryID: EntryID(c, p), PlayerID: PlayerID(p), MarkerID: "m", CourseID: "links", Tee: "white",
		Holes: holes(), StartingHole: 1 + r.IntN(18), Format: "stroke_play", Figures: f,
	}
	out := []happening{{s, issued}, {s, events.CardReissued{MarkerID: "n", StartingHole: 10, Tee: "white", Holes: holes(), Figures: f, Reason: "other tee"}}, {s, events.MarkerAssigned{MarkerID: "o", StartingHole: 1}}}
	for h := 1; h <= 18; h++ {
		out = append(out, happening{s, events.HoleScored{Hole: h, Score: events.Score{Strokes: 3 + r.IntN(5)}, By: events.RoleMarker}})
		if h%6 == 0 {
			out = append(out, happening{s, events.HoleScored{Hole: h, Score: events.Score{None: events.PickedUp}, By: events.RolePlayer}},
				happening{s, events.HoleScoreCorrected{Hole: h, Old: events.Score{None: events.PickedUp}, New: events.Score{Strokes: 6}, By: events.RolePlayer}})
		}
	}
	out = append(out, happening{s, events.PenaltyAdded{PenaltyID: "late", Hole: 1, Strokes: 2, Rule: "Rules of Golf 5.3a", Reason: "four minutes late"}},
		happening{s, events.PenaltyAdded{PenaltyID: "slow", Strokes: 1, Reason: "pace policy"}}, happening{s, events.PenaltyRemoved{PenaltyID: "slow", Reason: "the clock was wrong"}})
	out = append(out, strokesScript(s, p)...)
	out = append(out, happening{s, events.CardCertified{By: events.RoleMarker}}, happening{s, events.CardCertified{By: events.RolePlayer}}, happening{s, events.CardReturned{Receipt: "R" + CardID(c, p)}})
	if p%2 == 1 {
		out = append(out, happening{s, events.CardReopened{Reason: "hole 7"}}, happening{s, events.CardStatusRuled{Status: events.StatusDisqualified, Reason: "not returned again"}})
	}
	return out
}

// strokesScript is what a player logs on two holes, with every field somewhere: put
// in between, said otherwise, and taken off. Words are sealed bytes to everybody.
func strokesScript(s events.StreamID, p int) []happening {
	good, intent := p%2 == 0, start.UTC()
	drive := events.Stroke{
		Lie: events.LieTee, DistanceM: 351.4332 + float64(p), Club: "driver", Target: events.TargetLeft, Shape: events.ShapeFade, Commitment: 4,
		IntentAt: intent, StruckAt: intent.Add(31500 * time.Millisecond), Strike: events.StrikePoor, Penalty: 1,
		Finish: &events.Finish{Lie: events.LieRough, DistanceM: 140.5}, GoodEnough: &good, Words: Seal("the left edge of the tower"),
		Miss: events.Miss{Side: events.MissRight, SideM: 18.288, Length: events.MissShort, LengthM: 9},
	}
	putt := events.Stroke{Lie: events.LieGreen, DistanceM: 1.2192, Finish: &events.Finish{Holed: true}}
	approach := events.Stroke{Lie: events.LieSand, DistanceM: 120, StruckAt: intent}
	return []happening{
		{s, events.StrokeRecorded{StrokeID: "s2", Hole: 2, Stroke: putt}},
		{s, events.StrokeRecorded{StrokeID: "s1", Hole: 1, Stroke: drive}},
		{s, events.StrokeRecorded{StrokeID: "s3", Hole: 1, Stroke: putt}},
		{s, events.StrokeRecorded{StrokeID: "s4", Hole: 1, Before: "s3", Stroke: approach}},
		{s, events.StrokeAmended{StrokeID: "s2", Stroke: approach}},
		{s, events.StrokeRecorded{StrokeID: "s5", Hole: 2, Stroke: putt}},
		{s, events.StrokeRemoved{StrokeID: "s5"}},
	}
}

// matchScript is a match with every kind of word on it.
func matchScript(c int) []happening {
	s := events.MatchStream(Club, CompetitionID(c), fmt.Sprintf("match-%03d", c))
	side := func(p int) events.MatchSide {
		return events.MatchSide{EntryID: EntryID(c, p), Balls: []events.MatchBall{{PlayerID: PlayerID(p), Tee: "white", Holes: holes(), Strokes: make([]int, 18)}}}
	}
	a := events.MatchWriter{By: events.RolePlayer, BySide: events.SideA}
	b := events.MatchWriter{By: events.RolePlayer, BySide: events.SideB}
	committee := events.MatchWriter{By: events.RoleCommittee}
	won := events.MatchHole{Winner: events.SideA, Grounds: events.HoleStated}
	tied := events.MatchHole{Winner: events.Tied, Grounds: events.HoleStated}
	return []happening{
		{s, events.MatchArranged{CompetitionID: CompetitionID(c), Round: 1, Number: 1, CourseID: "links", StartingHole: 1, Length: 18, A: side(0), B: side(1)}},
		{s, events.MatchHoleDecided{Number: 1, Hole: 1, MatchHole: won, MatchWriter: a}},
		{s, events.MatchHoleDecided{Number: 1, Hole: 1, MatchHole: tied, MatchWriter: b}},
		{s, events.MatchHoleCorrected{Number: 1, Hole: 1, Old: tied, New: won, MatchWriter: b}},
		{s, events.HoleConceded{Number: 2, Hole: 2, Side: events.SideB, MatchWriter: b}},
		{s, events.MatchHoleDecided{Number: 3, Hole: 3, MatchHole: tied, MatchWriter: committee}},
		{s, events.MatchHoleRemoved{Number: 3, Hole: 3, Old: tied, MatchWriter: committee, Reason: "another match's"}},
		{s, events.MatchResultAgreed{Winner: events.SideA, Text: "3 and 2", MatchWriter: a}},
		{s, events.MatchDecided{Winner: events.SideA, Text: "3 and 2", Up: 3, Played: 16, Grounds: events.MatchStated, MatchWriter: committee}},
		{s, events.MatchReopened{Reason: "the other result was meant"}},
		{s, events.MatchConceded{Side: events.SideB, MatchWriter: b}},
		{s, events.MatchRuled{Ruling: events.MatchAwarded, Winner: events.SideA, Up: 1, Reason: "wrong handicap"}},
	}
}
