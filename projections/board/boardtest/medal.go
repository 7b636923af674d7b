package boardtest

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/handicap"
)

// Options say what is played. The zero value is a net medal over 18 holes with
// countback, two tees of different par and three divisions.
type Options struct {
	ID       string // default "medal"
	Players  int
	Change   func(*events.Terms)                 // changes the terms before they are set
	Playing  func(player int) (index, plays int) // index in tenths and playing handicap without the par difference
	Unopened bool                                // stop before the round is opened
}

var strokeIndexes = []int{9, 3, 17, 7, 1, 13, 5, 15, 11, 8, 2, 18, 6, 12, 4, 16, 14, 10}

// tee lays out a tee; the red one has a par 5 where the white one has a par 4.
func tee(name string) events.TeeDefinition {
	t := events.TeeDefinition{
		Tee: name, CourseRatingTenths: 710, SlopeRating: 125,
		Front: &events.NineRating{CourseRatingTenths: 355, SlopeRating: 125}, Back: &events.NineRating{CourseRatingTenths: 355, SlopeRating: 125},
	}
	for i, index := range strokeIndexes {
		par := []int{4, 4, 3, 5, 4, 4, 3, 4, 5}[i%9]
		if name == "Red" && i == 4 {
			par = 5
		}
		t.Holes = append(t.Holes, events.Hole{Number: i + 1, Par: par, StrokeIndex: index})
	}
	return t
}

func terms() events.Terms {
	return events.Terms{
		Format: "stroke_play", Ranking: "net", Rounds: 1, Holes: []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18},
		AllowancePercent: 100, AllowanceSource: "committee", ParDifference: true, CourseID: "links", Tees: []string{"White", "Red"},
		Divisions: []events.Division{
			{Name: "Division 1", FromTenths: -100, ToTenths: 99}, {Name: "Division 2", FromTenths: 100, ToTenths: 184},
			{Name: "Division 3", FromTenths: 185, ToTenths: 540},
		},
		TieMethod: "countback", TieShare: "exact_fraction", BoardPublic: true, NamesAs: "name",
		Start: events.StartTerms{Kind: "one_tee", FirstTime: "07:00", IntervalMinutes: 8, GroupSize: 3},
	}
}

// EntryID is the entry of a player, counted from 0.
func EntryID(player int) string { return fmt.Sprintf("e%d", player) }

// PlayerID is a player, counted from 0.
func PlayerID(player int) string { return fmt.Sprintf("p%d", player) }

func spread(player int) (index, plays int) { return (player * 37) % 300, (player*37)%300/10 + 1 }

// Play plans a competition, enters players and draws them; unless told not to,
// it opens the round and issues the cards.
func Play(t testing.TB, club *Club, o Options) *Competition {
	t.Helper()
	if o.ID == "" {
		o.ID = "medal"
	}
	if o.Playing == nil {
		o.Playing = spread
	}
	c := &Competition{ID: o.ID, Club: club, State: competition.New(), Cards: map[string]*card.State{}, Terms: terms()}
	if o.Change != nil {
		o.Change(&c.Terms)
	}
	tees := map[string]events.TeeDefinition{"White": tee("White"), "Red": tee("Red")}
	require.NoError(t, c.Do(competition.Plan{Name: "Medal " + o.ID, Date: "2025-06-14"}))
	require.NoError(t, c.Do(competition.SetTerms{Terms: c.Terms, Courses: map[string]map[string]events.TeeDefinition{c.Terms.CourseID: tees}}))
	for i := range o.Players {
		club.Player(PlayerID(i))
		index, _ := o.Playing(i)
		require.NoError(t, c.Do(competition.AcceptEntry{
			EntryID: EntryID(i), PlayerID: PlayerID(i), Tee: c.Terms.Tees[i%len(c.Terms.Tees)], IndexTenths: index, IndexOrigin: events.OriginClub,
		}))
	}
	require.NoError(t, c.Do(competition.PublishDraw{Method: "as_entered", Groups: groups(c.State, c.Terms)}))
	if o.Unopened {
		return c
	}
	require.NoError(t, c.Do(competition.OpenRound{}))
	for i, e := range c.State.Field() {
		index, plays := o.Playing(i)
		require.NoError(t, c.DoCard(e.ID, card.Issue{CardIssued: c.issued(e, index, plays)}))
	}
	return c
}

func groups(s *competition.State, t events.Terms) []events.Group {
	var out []events.Group
	for i, e := range s.Field() {
		if i%3 == 0 {
			minutes := 7*60 + 4*len(out)
			out = append(out, events.Group{
				Number: len(out) + 1, Time: fmt.Sprintf("%02d:%02d", minutes/60, minutes%60), StartingHole: t.Holes[0],
			})
		}
		g := &out[len(out)-1]
		g.Places = append(g.Places, events.GroupSlot{EntryID: e.ID})
	}
	for i := range out {
		for j := range out[i].Places {
			if n := len(out[i].Places); n > 1 {
				out[i].Places[j].MarkerID = out[i].Places[(j+1)%n].EntryID
			}
		}
	}
	return out
}

// issued is the card of an entry with figures that fit together.
func (c *Competition) issued(e competition.Entry, index, plays int) events.CardIssued {
	g, place, _ := c.State.Group(e.ID)
	holes := tee(e.Tee).Holes[c.Terms.Holes[0]-1:][:len(c.Terms.Holes)]
	par, lowest := 0, 0
	indexes := make([]int, len(holes))
	for i, h := range holes {
		par += h.Par
		lowest += tee("White").Holes[h.Number-1].Par
		indexes[i] = h.StrokeIndex
	}
	f := events.Figures{
		IndexTenths: index, IndexUsedTenths: index, IndexOrigin: events.OriginClub, CourseRatingTenths: 710, SlopeRating: 125,
		Par: par, LowestPar: lowest, CourseHandicapNum: int64(plays), CourseHandicapDen: 1, CourseHandicap: plays, AllowancePercent: 100,
	}
	if c.Terms.ParDifference {
		f.ParDifference = par - lowest
	}
	f.PlayingHandicap = plays + f.ParDifference
	strokes, err := handicap.StrokesReceived(handicap.Playing(f.PlayingHandicap), indexes)
	if err != nil {
		panic(err)
	}
	f.StrokesByHole = strokes
	return events.CardIssued{
		CompetitionID: c.ID, Round: 1, EntryID: e.ID, PlayerID: e.PlayerID, MarkerID: place.MarkerID, CourseID: c.Terms.CourseID,
		Tee: e.Tee, Holes: holes, StartingHole: g.StartingHole, Format: c.Terms.Format, Figures: f,
	}
}
