package record_test

import (
	"fmt"
	"math/rand"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/handicap"
	"marram.example/projections/record"
)

// The invented tee has par 4 on every hole, a course rating of par and a slope of
// 113, so that an index of 10.0 is a course handicap of 10 and a differential is
// strokes above par.
func issued(numbers ...int) events.CardIssued {
	e := events.CardIssued{
		CompetitionID: "medal", Round: 1, EntryID: "entry", PlayerID: "player", CourseID: "course", Tee: "White", StartingHole: numbers[0],
		Format: events.StrokePlay,
		Figures: events.Figures{
			IndexTenths: 100, IndexOrigin: events.OriginClub, IndexUsedTenths: 100, CourseRatingTenths: 40 * len(numbers), SlopeRating: 113,
			Par: 4 * len(numbers), LowestPar: 4 * len(numbers), CourseHandicapNum: 10, CourseHandicapDen: 1, CourseHandicap: 10,
			AllowancePercent: 95, PlayingHandicap: 10, StrokesByHole: make([]int, len(numbers)),
		},
	}
	for _, n := range numbers {
		e.Holes = append(e.Holes, events.Hole{Number: n, Par: 4, StrokeIndex: n})
	}
	return e
}

func span(from, to int) []int {
	var out []int
	for n := from; n <= to; n++ {
		out = append(out, n)
	}
	return out
}

// returned is a card with the same strokes on every hole, changed before the return.
func returned(date string, strokes int, holes []int, change ...events.Event) record.Card {
	s := card.New()
	i := issued(holes...)
	card.Evolve(s, i)
	for _, n := range holes {
		card.Evolve(s, events.HoleScored{Hole: n, Score: events.Score{Strokes: strokes}, By: events.RoleMarker})
	}
	for _, e := range change {
		card.Evolve(s, e)
	}
	card.Evolve(s, events.CardReturned{Receipt: "r"})
	return record.Card{ID: "card-" + date, CompetitionID: "medal-" + date, Competition: "Medal", Date: date, State: s}
}

func says(hole int, v events.Score) events.Event {
	return events.HoleScoreCorrected{Hole: hole, New: v, By: events.RoleCommittee, Reason: "as on paper"}
}

func ten() []handicap.DatedIndex { return []handicap.DatedIndex{{Index: 100, Date: "2026-01-01"}} }

func of(t *testing.T, in record.Input) record.Record {
	t.Helper()
	in.PlayerID = "player"
	if in.Today == "" {
		in.Today = "2026-12-31"
	}
	r, err := record.Of(in)
	require.NoError(t, err)
	return r
}

func words(e handicap.Explanation) string {
	var b strings.Builder
	for _, l := range e {
		fmt.Fprintf(&b, "%s: %s [%s]\n", l.Label, l.Arithmetic, l.Rule)
	}
	return b.String()
}

func TestAdjustedGrossOfACard(t *testing.T) {
	t.Parallel()
	all := span(1, 18)
	for name, c := range map[string]struct {
		change []events.Event
		want   int
		says   []string
	}{
		"as it was scored": {nil, 90, []string{"the sum of 18 holes is 90"}},
		"a hole counts at most net double bogey": {
			[]events.Event{says(1, events.Score{Strokes: 9})}, 90 + 2, []string{"Hole 1: 9 strokes; at most par 4 + 2 + 1 strokes received = 7"},
		},
		"a hole without a stroke received counts two over": {[]events.Event{says(18, events.Score{Strokes: 9})}, 90 + 1, []string{"Hole 18: 9 strokes"}},
		"a hole picked up on was started":                  {[]events.Event{says(7, events.Score{None: events.PickedUp})}, 90 + 2, []string{"Hole 7: started"}},
		"penalty strokes belong to their hole": {
			[]events.Event{events.PenaltyAdded{PenaltyID: "p", Hole: 3, Strokes: 1, Reason: "late"}}, 91, []string{"is 91"},
		},
		"and fall under its maximum": {
			[]events.Event{events.PenaltyAdded{PenaltyID: "p", Hole: 18, Strokes: 2, Reason: "late"}}, 91, []string{"Hole 18: 7 strokes; at most"},
		},
		"penalty strokes of the round belong to no hole": {
			[]events.Event{events.PenaltyAdded{PenaltyID: "p", Strokes: 2, Reason: "pace"}}, 92, []string{"90 + 2 = 92", "from memory"},
		},
	} {
		r := of(t, record.Input{Cards: []record.Card{returned("2026-05-01", 5, all, c.change...)}, Official: ten()})
		require.Len(t, r.Rounds, 1, name)
		x := r.Rounds[0]
		require.Equal(t, c.want, *x.AdjustedGross, name)
		require.Equal(t, 10*(c.want-72), *x.DifferentialTenths, name)
		require.Equal(t, 18, x.Played, name)
		require.Empty(t, x.Reason, name)
		for _, s := range append(c.says, "Index in effect: 10.0, official", "Playing conditions: pending", fmt.Sprintf("113/113 x (%d - 72.0 - 0)", c.want)) {
			require.Contains(t, words(x.Explanation), s, name)
		}
	}
}

func TestHolesAreNamedByTheirNumbers(t *testing.T) {
	t.Parallel()
	c := returned("2026-05-01", 5, span(10, 18), says(12, events.Score{Strokes: 9}), says(16, events.Score{None: events.PickedUp}))
	text := words(of(t, record.Input{Cards: []record.Card{c}, Official: ten()}).Rounds[0].Explanation)
	require.Contains(t, text, "Hole 12: 9 strokes")
	require.Contains(t, text, "Hole 16: started")
	require.NotContains(t, text, "at place")
}

func TestHolesThatWereNotPlayed(t *testing.T) {
	t.Parallel()
	excluded := events.HoleScored{Hole: 4, Score: events.Score{None: events.Excluded}, By: events.RoleCommittee}
	none := func(holes ...int) []events.Event {
		var out []events.Event
		for _, n := range holes {
			out = append(out, says(n, events.Score{None: events.NoScore}))
		}
		return append(out, events.CardStatusRuled{Status: events.StatusNoReturn, Reason: "holes without a score"})
	}
	awaits := func(name string, holes []int, change ...events.Event) {
		t.Helper()
		r := of(t, record.Input{Cards: []record.Card{returned("2026-05-01", 5, holes, change...)}, Official: ten()})
		require.Len(t, r.Rounds, 1, name)
		require.Nil(t, r.Rounds[0].DifferentialTenths, name)
		require.Nil(t, r.Rounds[0].AdjustedGross, name)
		require.Equal(t, handicap.AwaitingAssociation, r.Rounds[0].Reason, name)
		require.Equal(t, 1, r.Awaiting, name)
	}
	awaits("an excluded hole was not played", span(1, 18), excluded)
	awaits("ten holes are enough of eighteen", span(1, 18), none(span(11, 18)...)...)

	leaves := func(name, reason string, official []handicap.DatedIndex, holes []int, change ...events.Event) {
		t.Helper()
		r := of(t, record.Input{Cards: []record.Card{returned("2026-05-01", 5, holes, change...)}, Official: official})
		require.Empty(t, r.Rounds, name)
		require.Len(t, r.LeftOut, 1, name)
		require.Contains(t, r.LeftOut[0].Reason, reason, name)
		require.Equal(t, "Rules of Handicapping 2.2", r.LeftOut[0].Rule, name)
	}
	leaves("nine are not", "only 9 holes were played", ten(), span(1, 18), none(span(10, 18)...)...)
	leaves("nine holes need all nine", "needs all nine", ten(), span(1, 9), none(9)...)
	leaves("without an index all are needed", "before an index exists all are needed", nil, span(1, 18), none(18)...)

	r := of(t, record.Input{Official: ten(), Cards: []record.Card{
		returned("2026-05-01", 5, span(1, 18), says(2, events.Score{None: events.PickedUp}), events.CardStatusRuled{Status: events.StatusNoReturn, Reason: "hole 2"}),
	}})
	require.Equal(t, 92, *r.Rounds[0].AdjustedGross, "no return in the competition, and yet every hole was started")
}

func TestCardsLeftOut(t *testing.T) {
	t.Parallel()
	ruled := func(status string) record.Card {
		return returned("2026-05-01", 5, span(1, 18), events.CardStatusRuled{Status: status, Reason: "as ruled"})
	}
	changed := func(change func(*card.State)) record.Card {
		c := returned("2026-05-01", 5, span(1, 18))
		change(c.State)
		return c
	}
	for reason, c := range map[string]record.Card{
		"disqualified":                ruled(events.StatusDisqualified),
		"did not start":               ruled(events.StatusNoShow),
		"withdrew":                    ruled(events.StatusWithdrew),
		"the card is not returned":    changed(func(s *card.State) { s.Returned = false }),
		"a practice round":            changed(func(s *card.State) { s.Practice = true }),
		"this format is not":          changed(func(s *card.State) { s.Format = "match" }),
		"played as one of a side: ":   changed(func(s *card.State) { s.Side = events.SideFourBall }),
		"played as one of a side: o":  changed(func(s *card.State) { s.Figures.Shares = []events.Share{{PlayerID: "player"}} }),
		"played as one of a side: on": changed(func(s *card.State) { s.PlayerID = "somebody else" }),
	} {
		r := of(t, record.Input{Cards: []record.Card{c}, Official: ten()})
		require.Empty(t, r.Rounds, reason)
		require.Len(t, r.LeftOut, 1, reason)
		require.Contains(t, r.LeftOut[0].Reason, reason)
		require.Equal(t, c.ID, r.LeftOut[0].CardID)
	}
	for _, format := range []string{events.StrokePlay, events.Stableford, events.MaximumScore, events.ParBogey} {
		r := of(t, record.Input{Cards: []record.Card{changed(func(s *card.State) { s.Format = format })}, Official: ten()})
		require.Len(t, r.Rounds, 1, format)
	}
}

func TestNineHoles(t *testing.T) {
	t.Parallel()
	cards := []record.Card{returned("2026-05-01", 5, span(1, 9))}
	without := of(t, record.Input{Cards: cards, Official: ten()})
	require.Nil(t, without.Rounds[0].DifferentialTenths)
	require.Equal(t, 45, *without.Rounds[0].AdjustedGross)
	require.Equal(t, handicap.AwaitingAssociation, without.Rounds[0].Reason)
	require.Contains(t, words(without.Rounds[0].Explanation), "awaiting the association's figure")
	require.Empty(t, without.ExpectedSource)

	table, err := handicap.NewExpectedTable("invented", []handicap.ExpectedRow{{Index: 100, Expected: handicap.ExactDifferential{Num: 625, Den: 100}}})
	require.NoError(t, err)
	with := of(t, record.Input{Cards: cards, Official: ten(), Expected: table})
	require.Equal(t, 153, *with.Rounds[0].DifferentialTenths, "9 + 6.25 = 15.25, a half goes up")
	require.Equal(t, "invented", with.ExpectedSource)
	require.Contains(t, words(with.Rounds[0].Explanation), "figures: invented")

	between := of(t, record.Input{Cards: cards, Official: []handicap.DatedIndex{{Index: 101, Date: "2026-01-01"}}, Expected: table})
	require.Equal(t, handicap.AwaitingAssociation, between.Rounds[0].Reason, "nothing is read between rows")
}

func TestLatePlayingConditions(t *testing.T) {
	t.Parallel()
	c := returned("2026-05-01", 5, span(1, 18))
	pending := of(t, record.Input{Cards: []record.Card{c}, Official: ten()})
	require.Equal(t, 180, *pending.Rounds[0].DifferentialTenths)
	require.Nil(t, pending.Rounds[0].PlayingConditions)
	for n, want := range map[int]int{-1: 190, 0: 180, 1: 170, 3: 150} {
		c.Conditions = &competition.Conditions{Adjustment: n, Source: "the association's notice"}
		late := of(t, record.Input{Cards: []record.Card{c}, Official: ten()})
		require.Equal(t, want, *late.Rounds[0].DifferentialTenths)
		require.Equal(t, n, *late.Rounds[0].PlayingConditions)
		text := words(late.Rounds[0].Explanation)
		require.Contains(t, text, "from the association's notice")
		require.NotContains(t, text, "pending")
	}
}

func TestTheOfficialIndexWins(t *testing.T) {
	t.Parallel()
	var cards []record.Card
	for month := 1; month <= 4; month++ {
		cards = append(cards, returned(fmt.Sprintf("2026-%02d-01", month), 5, span(1, 18), says(1, events.Score{Strokes: 15})))
	}
	none := of(t, record.Input{Cards: cards})
	for i, want := range []int{94, 94, 94, 93} {
		require.Equal(t, want, *none.Rounds[i].AdjustedGross, "par + 5 until an estimate stands in for an index; the committee's own index of the card is not asked")
	}
	require.Nil(t, none.Rounds[2].InEffectTenths)
	require.Equal(t, 200, *none.Rounds[3].InEffectTenths, "the lowest of three differentials of 22.0 less 2.0")
	require.True(t, none.Rounds[3].StandsIn)
	require.Contains(t, words(none.Rounds[3].Explanation), "20.0, the unofficial estimate before the round")
	require.Nil(t, none.Official)

	official := []handicap.DatedIndex{{Index: 40, Date: "2026-03-01"}, {Index: 30, Date: "2026-04-02"}, {Index: 50, Date: "2026-03-01"}}
	with := of(t, record.Input{Cards: cards, Official: official})
	require.Equal(t, 50, *with.Rounds[2].InEffectTenths, "from its day on, and of one day the one recorded last")
	require.Equal(t, 50, *with.Rounds[3].InEffectTenths, "the official index, not the estimate")
	require.False(t, with.Rounds[3].StandsIn)
	require.Equal(t, record.Dated{Tenths: 30, Date: "2026-04-02"}, *with.Official)
	require.Contains(t, words(with.Explanation), "Official handicap index: 3.0, as issued; it is the one that counts")

	cards[0].State.Figures.IndexOrigin = events.OriginOfficial
	card := of(t, record.Input{Cards: cards})
	require.Equal(t, 100, *card.Rounds[0].InEffectTenths, "an official index of the card counts where the record has none")
	require.Equal(t, 92, *card.Rounds[0].AdjustedGross)
}

func TestTheEstimateIsLabelled(t *testing.T) {
	t.Parallel()
	cards := []record.Card{returned("2026-01-01", 5, span(1, 18)), returned("2026-02-01", 5, span(1, 18), says(1, events.Score{Strokes: 4}))}
	two := of(t, record.Input{Cards: cards, Official: ten()})
	require.Nil(t, two.Estimate)
	require.Contains(t, words(two.Explanation), "2 differentials on record; an index needs at least 3")
	three := of(t, record.Input{Cards: append(cards, returned("2026-03-01", 5, span(1, 18))), Official: ten()})
	require.Equal(t, &record.Estimate{Label: "unofficial estimate", Tenths: 150, AverageTenths: 150, OnRecord: 3, Lowest: 1, Cap: handicap.NoCap}, three.Estimate)
	require.Equal(t, []bool{false, true, false}, []bool{three.Rounds[0].Counts, three.Rounds[1].Counts, three.Rounds[2].Counts})
	require.Contains(t, words(three.Explanation), "unofficial estimate: 15.0")
}

func TestTheOrderOfTheCardsDoesNotMatter(t *testing.T) {
	t.Parallel()
	var cards []record.Card
	for day := 1; day <= 25; day++ {
		cards = append(cards, returned(fmt.Sprintf("2026-05-%02d", day), 4+day%3, span(1, 18)))
	}
	want := of(t, record.Input{Cards: cards, Official: ten()})
	require.Equal(t, 20, want.Estimate.OnRecord)
	for seed := range int64(5) {
		shuffled := append([]record.Card(nil), cards...)
		rand.New(rand.NewSource(seed)).Shuffle(len(shuffled), func(a, b int) { shuffled[a], shuffled[b] = shuffled[b], shuffled[a] })
		require.Equal(t, want, of(t, record.Input{Cards: shuffled, Official: ten()}))
	}
}

func TestFiguresThatGiveNothingLeaveTheRestAlone(t *testing.T) {
	t.Parallel()
	broken := returned("2026-05-01", 5, span(1, 18))
	broken.State.Figures.SlopeRating = 0
	r := of(t, record.Input{Cards: []record.Card{broken, returned("2026-05-02", 5, span(1, 18))}, Official: ten()})
	require.Len(t, r.Rounds, 1)
	require.Len(t, r.LeftOut, 1)
	require.Contains(t, r.LeftOut[0].Reason, "outside 55 to 155")
	noIndex := of(t, record.Input{Cards: []record.Card{broken}})
	require.Contains(t, noIndex.Rounds[0].Reason, "the figures give no score differential")
	_, err := record.Of(record.Input{PlayerID: "player", Today: "2026-05-02", Cards: []record.Card{returned("someday", 5, span(1, 18))}})
	require.ErrorContains(t, err, "not a date")
}

func TestAnEmptyRecord(t *testing.T) {
	t.Parallel()
	r := of(t, record.Input{})
	require.NotNil(t, r.Rounds)
	require.NotNil(t, r.LeftOut)
	require.Nil(t, r.Estimate)
	require.NotEmpty(t, r.Explanation)
}

// BenchmarkOf works out ten years of a keen player, with an official index for every
// round, and without one: then each round looks for the estimate before it.
func BenchmarkOf(b *testing.B) {
	var cards []record.Card
	for n := range 300 {
		cards = append(cards, returned(fmt.Sprintf("20%02d-%02d-%02d", 10+n/30, 1+n%30/3, 1+9*(n%3)), 4+n%3, span(1, 18)))
	}
	for name, official := range map[string][]handicap.DatedIndex{"official": {{Index: 100, Date: "2010-01-01"}}, "estimates": nil} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := record.Of(record.Input{PlayerID: "player", Cards: cards, Official: official, Today: "2020-12-31"}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// Cards that nobody plays, such as one stroke on every hole, are odd figures and no
// reason to show no record: reductions of exceptional scores add up on them.
func TestImplausibleCardsAreStillARecord(t *testing.T) {
	t.Parallel()
	var cards []record.Card
	for n := range 25 {
		cards = append(cards, returned(fmt.Sprintf("2026-05-%02d", n+1), 1, span(1, 18)))
	}
	r := of(t, record.Input{Cards: cards, Official: ten()})
	require.Len(t, r.Rounds, 25)
	require.NotNil(t, r.Estimate)
	require.Equal(t, -2, r.Rounds[24].Reduction)
	require.Equal(t, -54*10-20*20, *r.Rounds[5].AdjustedTenths, "its own reduction and those of the 19 rounds after it")
	require.Less(t, *r.Rounds[5].AdjustedTenths, int(handicap.LowestDifferential))
}
