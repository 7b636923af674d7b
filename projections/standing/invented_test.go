package standing_test

import (
	"fmt"
	"slices"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/handicap"
	"marram.example/projections/standing"
)

// invented is a competition whose cards are issued from course handicaps in
// tenths and typed in by hand.
type invented struct {
	t     require.TestingT
	state *competition.State
	cards map[string][]*card.State // by entry, in the order of rounds
}

// eighteen are holes of par 72; those of a longer tee play one stroke more.
func eighteen(longer int) []events.Hole {
	out := make([]events.Hole, 18)
	for i, par := range []int{4, 4, 3, 5, 4, 4, 3, 4, 5, 4, 4, 3, 5, 4, 4, 3, 4, 5} {
		if i == 0 {
			par += longer
		}
		out[i] = events.Hole{Number: i + 1, Par: par, StrokeIndex: (i*7)%18 + 1}
	}
	return out
}

func plain(change func(*events.Terms)) events.Terms {
	t := events.Terms{
		Format: "stroke_play", Ranking: "net", Rounds: 1, AllowancePercent: 100, TieMethod: "countback", TieShare: "exact_fraction",
		ParDifference: true, Tees: []string{"White", "Red"}, CourseID: "links", NamesAs: "name",
	}
	for n := 1; n <= 18; n++ {
		t.Holes = append(t.Holes, n)
	}
	if change != nil {
		change(&t)
	}
	return t
}

// begin is a competition of entries whose players have these course handicaps in
// tenths, with cards out.
func begin(t require.TestingT, terms events.Terms, courses ...[]int) *invented {
	require.NoError(t, competition.CheckCounting(terms))
	c := &invented{t: t, state: competition.New(), cards: map[string][]*card.State{}}
	c.state.Name, c.state.Terms, c.state.Phase = "Invented", &terms, competition.Open
	for i, players := range courses {
		e := competition.Entry{ID: fmt.Sprintf("e%d", i), PlayerID: fmt.Sprintf("e%d-p0", i), Tee: terms.Tees[0]}
		for j := 1; j < len(players); j++ {
			e.Partners = append(e.Partners, events.Partner{PlayerID: fmt.Sprintf("e%d-p%d", i, j), Tee: terms.Tees[0]})
		}
		c.state.Entries[e.ID], c.state.Order = e, append(c.state.Order, e.ID)
		for round := 1; round <= terms.Rounds; round++ {
			k := card.New()
			c.must(k, card.Issue{CardIssued: c.issued(e, round, players)})
			c.cards[e.ID] = append(c.cards[e.ID], k)
		}
	}
	c.state.Round = terms.Rounds
	return c
}

func (c *invented) must(k *card.State, cmd card.Command) {
	es, err := card.Decide(k, cmd)
	require.NoError(c.t, err)
	for _, e := range es {
		card.Evolve(k, e)
	}
}

// issued lays a card out as the service would.
func (c *invented) issued(e competition.Entry, round int, players []int) events.CardIssued {
	r := c.state.Terms.Round(round)
	out := events.CardIssued{
		CompetitionID: "c", Round: round, EntryID: e.ID, PlayerID: e.PlayerID, CourseID: "links", StartingHole: 1, Format: r.Format,
		Play: events.Play{Side: r.Side, Maximum: r.Maximum, Count: r.Count, CountBy: r.CountBy},
	}
	balls := make([]events.Ball, len(players))
	for i, tenths := range players {
		balls[i] = c.ball(r, e.Players()[i], tenths, i)
	}
	if events.OneBall(r.Side) {
		balls = []events.Ball{c.together(r, balls)}
	}
	out.Tee, out.Holes, out.Figures, out.Partners = balls[0].Tee, balls[0].Holes, balls[0].Figures, balls[1:]
	return out
}

func (c *invented) ball(r events.Terms, player string, tenths, i int) events.Ball {
	b := events.Ball{PlayerID: player, Tee: r.Tees[i%len(r.Tees)], Holes: eighteen(i % len(r.Tees))}
	exact, err := handicap.NewCourse(int64(tenths), 10)
	require.NoError(c.t, err)
	f := &b.Figures
	f.Par, f.LowestPar, f.AllowancePercent = 72+i%len(r.Tees), 72, r.AllowancePercent
	if r.ParDifference {
		f.ParDifference = f.Par - f.LowestPar
	}
	f.CourseHandicapNum, f.CourseHandicapDen, f.CourseHandicap = exact.Num, max(1, exact.Den), exact.Rounded()
	playing, _, err := handicap.PlayingHandicap(exact, handicap.Percent(f.AllowancePercent), f.ParDifference)
	require.NoError(c.t, err)
	c.allocate(&b, playing)
	return b
}

func (c *invented) allocate(b *events.Ball, playing handicap.Playing) {
	index := make([]int, len(b.Holes))
	for i, h := range b.Holes {
		index[i] = h.StrokeIndex
	}
	var err error
	b.Figures.PlayingHandicap = int(playing)
	b.Figures.StrokesByHole, err = handicap.StrokesReceived(playing, index)
	require.NoError(c.t, err)
}

func (c *invented) together(r events.Terms, balls []events.Ball) events.Ball {
	out := balls[0]
	slices.SortStableFunc(balls, func(a, b events.Ball) int {
		return int(a.Figures.CourseHandicapNum*b.Figures.CourseHandicapDen - b.Figures.CourseHandicapNum*a.Figures.CourseHandicapDen)
	})
	var courses []handicap.Course
	var percents []handicap.Allowance
	for i, b := range balls {
		courses = append(courses, handicap.Course{Num: b.Figures.CourseHandicapNum, Den: b.Figures.CourseHandicapDen})
		percents = append(percents, handicap.Percent(r.SideAllowances[i]))
		out.Figures.Shares = append(out.Figures.Shares, events.Share{
			PlayerID: b.PlayerID, Tee: b.Tee, CourseHandicapNum: b.Figures.CourseHandicapNum, CourseHandicapDen: b.Figures.CourseHandicapDen,
			Percent: r.SideAllowances[i],
		})
	}
	sum, playing, _, err := handicap.SidePlaying(courses, percents, out.Figures.ParDifference)
	require.NoError(c.t, err)
	exact, err := handicap.NewCourse(sum.Num, sum.Den)
	require.NoError(c.t, err)
	f := &out.Figures
	f.CourseHandicapNum, f.CourseHandicapDen, f.CourseHandicap, f.AllowancePercent = exact.Num, exact.Den, exact.Rounded(), 100
	c.allocate(&out, playing)
	return out
}

// par are strokes of par on every hole of a ball, and other ones on some: 0 picks up.
func (c *invented) par(k *card.State, ball int, other map[int]int) []events.Score {
	out := make([]events.Score, 18)
	for i, h := range k.Lines(ball) {
		out[i].Strokes = h.Par
		if n, ok := other[h.Number]; ok {
			out[i] = events.Score{Strokes: n}
			if n == 0 {
				out[i].None = events.PickedUp
			}
		}
	}
	return out
}

// returns types in the signed card of a round; other are strokes by ball and hole.
func (c *invented) returns(entry string, round int, other ...map[int]int) {
	k := c.cards[entry][round-1]
	in := card.EnterCard{By: events.RoleCommittee, Confirmed: true, Signed: true, Receipt: "R"}
	for ball := range k.Balls() {
		var o map[int]int
		if ball < len(other) {
			o = other[ball]
		}
		if ball == 0 {
			in.Scores = c.par(k, 0, o)
		} else {
			in.Partners = append(in.Partners, c.par(k, ball, o))
		}
	}
	c.must(k, in)
}

func (c *invented) over() *invented {
	c.state.Phase = competition.Closed
	return c
}

func (c *invented) scored() standing.Cards {
	out := standing.Cards{}
	for entry, rounds := range c.cards {
		for i, k := range rounds {
			s, err := standing.Score(fmt.Sprintf("%s-%d", entry, i+1), 1, k)
			require.NoError(c.t, err)
			out.Put(entry, i+1, &s)
		}
	}
	return out
}

func (c *invented) compare(other standing.OtherTerms) standing.Comparison {
	out, err := standing.Compare(c.state, c.scored(), other)
	require.NoError(c.t, err)
	return out
}
