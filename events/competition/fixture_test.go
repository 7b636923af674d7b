package competition_test

import (
	"fmt"
	"slices"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/events/decidertest"
)

var decider = decidertest.Decider[competition.State, competition.Command]{
	New: competition.New, Clone: competition.Clone, Evolve: competition.Evolve, Decide: competition.Decide,
}

type rule = decidertest.Case[competition.Command]

// The words of the tables.
var (
	refused  = decidertest.Refused
	invalid  = decidertest.Invalid
	notNow   = decidertest.NotNow
	conflict = decidertest.Conflict
	given    = decidertest.Given
)

// Where the rules come from.
const (
	marram    = "Marram"
	stated    = "Committee Procedures 5A: terms are stated in advance"
	nineRated = "Rules of Handicapping 6.1b"
	starting  = "Committee Procedures 4A and 6"
	markers   = "Rules of Golf 3.3b(1)"
	suspended = "Rules of Golf 5.7b"
	closing   = "Committee Procedures 7B"
	adminFix  = "Rules of Golf 20.2d(2)"
	ties      = "Committee Procedures 5A(6)"
	unsourced = "common practice, no source"
)

func holes(from, to int) []int {
	var out []int
	for h := from; h <= to; h++ {
		out = append(out, h)
	}
	return out
}

// tee is an invented tee; only what terms ask of it matters here.
func tee(name string, n int) events.TeeDefinition {
	t := events.TeeDefinition{Tee: name, CourseRatingTenths: 39 * n, SlopeRating: 120}
	for h := 1; h <= n; h++ {
		t.Holes = append(t.Holes, events.Hole{Number: h, Par: 4, StrokeIndex: h})
	}
	return t
}

// tees of the course: White is rated by nines, Red only as a whole, Short has nine holes.
func tees() map[string]events.TeeDefinition {
	white := tee("White", 18)
	white.Front = &events.NineRating{CourseRatingTenths: 350, SlopeRating: 118}
	white.Back = &events.NineRating{CourseRatingTenths: 352, SlopeRating: 122}
	return map[string]events.TeeDefinition{"White": white, "Red": tee("Red", 18), "Short": tee("Short", 9)}
}

func medalTerms() events.Terms {
	return events.Terms{
		Format: "stroke_play", Ranking: "net", Rounds: 1, Holes: holes(1, 18), AllowancePercent: 95, AllowanceSource: "Rules of Handicapping, Appendix C",
		CourseID: "sandholm", Tees: []string{"White", "Red"},
		Divisions: []events.Division{{Name: "Division 1", FromTenths: -100, ToTenths: 124}, {Name: "Division 2", FromTenths: 125, ToTenths: 540}},
		TieMethod: "countback", TieShare: "exact_fraction", FieldLimit: 6,
		Start:   events.StartTerms{Kind: "one_tee", FirstTime: "07:30", IntervalMinutes: 10, GroupSize: 3},
		Prizes:  []events.Prize{{Name: "Best net", Ranking: "net", Places: 1}, {Name: "Best of Division 2", Ranking: "gross", Division: "Division 2", Places: 2}},
		NamesAs: "initials",
	}
}

// with is the medal's terms after a change.
func with(change func(*events.Terms)) events.Terms {
	t := medalTerms()
	change(&t)
	return t
}

func set(t events.Terms) competition.SetTerms {
	return competition.SetTerms{Terms: t, Courses: courses()}
}

func accept(id string) competition.AcceptEntry {
	return competition.AcceptEntry{EntryID: id, PlayerID: "player-" + id, Tee: "White", IndexTenths: 120, IndexOrigin: events.OriginOfficial}
}

func accepted(id string, late bool) events.EntryAccepted {
	return events.EntryAccepted{EntryID: id, PlayerID: "player-" + id, Tee: "White", IndexTenths: 120, IndexOrigin: events.OriginOfficial, Late: late}
}

func field(ids ...string) []events.Event {
	var out []events.Event
	for _, id := range ids {
		out = append(out, accepted(id, false))
	}
	return out
}

// groups of three in the order given, each marked by the next of the group.
func groups(ids ...string) []events.Group {
	var out []events.Group
	for part := range slices.Chunk(ids, 3) {
		n := len(out)
		g := events.Group{Number: n + 1, Time: fmt.Sprintf("%02d:%02d", 7+(30+10*n)/60, (30+10*n)%60), StartingHole: 1}
		for i, id := range part {
			slot := events.GroupSlot{EntryID: id}
			if len(part) > 1 {
				slot.MarkerID = part[(i+1)%len(part)]
			}
			g.Places = append(g.Places, slot)
		}
		out = append(out, g)
	}
	return out
}

func drawn(ids ...string) events.DrawPublished {
	return events.DrawPublished{Round: 1, Method: "by_hand", Groups: groups(ids...)}
}

func standing(status string, ids ...string) []events.CardStanding {
	var out []events.CardStanding
	for _, id := range ids {
		out = append(out, events.CardStanding{CardID: "card-" + id, EntryID: id, Status: status, Sequence: 9})
	}
	return out
}

func result(status string, ids ...string) events.Result {
	r := events.Result{Prizes: []events.PrizeAwarded{{Prize: "Best net", Place: 1, EntryID: ids[0]}}, Countbacks: []events.Countback{}}
	for _, id := range ids {
		r.Rows = append(r.Rows, events.ResultRow{EntryID: id, PlayerID: "player-" + id, CardID: "card-" + id, Status: status, Positions: map[string]string{}})
	}
	return r
}

// The medal as it moves through the day, with ann, ben and cat.
var (
	planned   = given(events.CompetitionPlanned{Name: "Saturday medal", Date: "2026-05-02"})
	stating   = given(planned, events.TermsSet{Terms: medalTerms()})
	entered   = given(stating, field("ann", "ben", "cat"))
	onSheet   = given(entered, drawn("ann", "ben", "cat"))
	open      = given(onSheet, events.RoundOpened{Round: 1})
	stopped   = given(open, events.RoundSuspended{Round: 1, Kind: "normal", Reason: "fog"})
	lightning = given(open, events.RoundSuspended{Round: 1, Kind: "immediate", Reason: "lightning"})
	closed    = given(open, events.RoundClosed{Round: 1, Cards: standing(events.StatusReturned, "ann", "ben", "cat")})
	published = given(closed, events.ResultPublished{Result: result(events.StatusReturned, "ann", "ben", "cat")})
)

func courses() map[string]map[string]events.TeeDefinition {
	return map[string]map[string]events.TeeDefinition{"sandholm": tees()}
}
