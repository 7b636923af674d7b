package handicap_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/projections/handicap"
)

// roundOf is a round on a tee of course rating 70.0 and slope 113, where the differential is the score less 70.
func roundOf(date string, gross int) handicap.Round {
	return handicap.Round{Date: date, Holes: 18, AdjustedGross: gross, Rating: 700, Slope: 113}
}

// weekly are rounds a week apart from the first date on.
func weekly(first string, gross ...int) []handicap.Round {
	day, err := time.Parse(time.DateOnly, first)
	if err != nil {
		panic(err)
	}
	rounds := make([]handicap.Round, len(gross))
	for i, g := range gross {
		rounds[i] = roundOf(day.AddDate(0, 0, 7*i).Format(time.DateOnly), g)
	}
	return rounds
}

func TestRecordFromTheFirstRound(t *testing.T) {
	t.Parallel()
	record, err := handicap.WorkOutRecord(weekly("2025-03-01", 90, 88, 95, 92), handicap.RecordTerms{})
	require.NoError(t, err)
	require.Nil(t, record.Rounds[1].After, "two scores make no index")
	require.Equal(t, handicap.Index(160), record.Rounds[2].After.Index) // 18.0 - 2.0
	require.Equal(t, handicap.Index(170), record.Estimate.Index)        // 18.0 - 1.0
	require.Nil(t, record.Rounds[2].InEffect)
	require.Equal(t, handicap.Index(160), *record.Rounds[3].InEffect)
	require.True(t, record.Rounds[3].StandsIn)
	require.Equal(t, 4, record.Differentials)
	require.Nil(t, record.Low)
	counts := make([]bool, 4)
	for i, round := range record.Rounds {
		counts[i] = round.Counts
		require.True(t, round.Recent)
	}
	require.Equal(t, []bool{false, true, false, false}, counts)
	lines := record.Explain()
	require.Equal(t, "17.0", lines[len(lines)-1].Arithmetic)
	lines = record.Rounds[3].Explain()
	require.Equal(t, "113/113 x (92 - 70.0 - 0) = 22", lines[0].Arithmetic)
	require.Contains(t, lines[2].Rule, "stands in")

	none, err := handicap.WorkOutRecord(nil, handicap.RecordTerms{Official: low(124)})
	require.NoError(t, err)
	require.Nil(t, none.Estimate)
	lines = none.Explain()
	require.Len(t, lines, 2)
	require.Equal(t, "12.4, as issued; it is the one that counts", lines[1].Arithmetic)
}

func TestRecordOfficialIndexWins(t *testing.T) {
	t.Parallel()
	rounds := weekly("2025-03-01", 90, 88, 95, 82)
	// By the estimate of 16.0 the score of 12.0 is ordinary; by the official index of 19.0 it is exceptional.
	record, err := handicap.WorkOutRecord(rounds, handicap.RecordTerms{})
	require.NoError(t, err)
	require.Zero(t, record.Rounds[3].Reduction)
	rounds[3].InEffect = low(190)
	record, err = handicap.WorkOutRecord(rounds, handicap.RecordTerms{})
	require.NoError(t, err)
	require.Equal(t, -1, record.Rounds[3].Reduction)
	require.False(t, record.Rounds[3].StandsIn)
	for _, round := range record.Rounds {
		require.Equal(t, handicap.Differential(-10), round.Adjustment)
		require.Equal(t, *round.Differential-10, *round.Adjusted)
	}
	require.Equal(t, handicap.Index(100), record.Estimate.Index) // 12.0 - 1.0 and 1.0 for four scores
	lines := record.Rounds[0].Explain()
	require.Equal(t, "20.0 + (-1.0) = 19.0", lines[len(lines)-1].Arithmetic)

	rounds[3].NoReduction = true
	rounds[0].Committee = -5
	record, err = handicap.WorkOutRecord(rounds, handicap.RecordTerms{})
	require.NoError(t, err)
	require.Zero(t, record.Rounds[3].Reduction)
	require.Equal(t, handicap.Differential(-5), record.Rounds[0].Adjustment)
	require.Equal(t, handicap.Index(110), record.Estimate.Index)
	require.Contains(t, record.Rounds[3].Explain()[2].Arithmetic, "set a reduction aside")
}

// A reduction stays on the twenty scores that were on record, so it fades as later ones come in.
func TestReductionFades(t *testing.T) {
	t.Parallel()
	gross := make([]int, 45)
	for i := range gross {
		gross[i] = 90
	}
	gross[22] = 76 // 14.0 better than the index of 20.0
	record, err := handicap.WorkOutRecord(weekly("2024-01-06", gross...), handicap.RecordTerms{})
	require.NoError(t, err)
	require.Equal(t, -2, record.Rounds[22].Reduction)
	for i, round := range record.Rounds {
		carries := i >= 3 && i <= 22
		require.Equal(t, carries, round.Adjustment == -20, "round %d", i+1)
		require.Equal(t, i >= 25, round.Recent, "round %d", i+1)
	}
	// (4.0 + 7 x 18.0)/8 = 16.25 with the reduction
	require.Equal(t, handicap.Index(163), record.Rounds[22].After.Index)
	require.Equal(t, handicap.Index(200), record.Rounds[42].After.Uncapped, "nothing carries the reduction any more")
	require.Equal(t, handicap.Index(197), record.Rounds[42].After.Index, "16.3 + 3.0 + 0.35")
}

func TestRecordLowIndexAndCaps(t *testing.T) {
	t.Parallel()
	gross := make([]int, 60)
	for i := range gross {
		gross[i] = 80
		if i >= 20 {
			gross[i] = 100
		}
	}
	record, err := handicap.WorkOutRecord(weekly("2024-01-06", gross...), handicap.RecordTerms{})
	require.NoError(t, err)
	require.Nil(t, record.Rounds[18].Low)
	require.Nil(t, record.Rounds[19].Low, "the twentieth score makes the first full record")
	require.Equal(t, handicap.Index(100), record.Rounds[20].Low.Index)
	capped := record.Rounds[40]
	require.Equal(t, handicap.Index(300), capped.After.Uncapped)
	require.Equal(t, handicap.Index(150), capped.After.Index)
	require.Equal(t, handicap.HardCap, capped.After.Cap)
	// Round 20 was on 18 May 2024; 10.0 stood until the scores of 100 took over.
	require.Equal(t, handicap.Index(100), record.Low.Index)
	require.Equal(t, "2024-08-10", record.Low.Date, "the last day of the ten-handicap, 12 scores of 100 later")
	lines := record.Explain()
	require.Contains(t, lines[0].Arithmetic, "10.0 on 2024-08-10")

	// An official low index takes its place at the end, and only there.
	official, err := handicap.WorkOutRecord(weekly("2024-01-06", gross...), handicap.RecordTerms{OfficialLow: &handicap.DatedIndex{Index: 120, Date: "2024-09-01"}})
	require.NoError(t, err)
	require.Equal(t, handicap.Index(170), official.Estimate.Index)
	require.Equal(t, handicap.Index(120), official.Low.Index)
	require.Equal(t, official.Estimate, official.Rounds[59].After)
	require.Equal(t, handicap.Index(150), official.Rounds[58].After.Index)

	// Once more than 365 days have passed, the low index is what stood within them.
	late := append(weekly("2024-01-06", gross...), roundOf("2026-08-01", 100))
	record, err = handicap.WorkOutRecord(late, handicap.RecordTerms{})
	require.NoError(t, err)
	require.Equal(t, handicap.Index(150), record.Low.Index, "only the capped index was in effect")
	require.Equal(t, handicap.Index(200), record.Estimate.Index)
}

// The day itself decides: an index that stood until 365 days before the score still counts, a day longer ago it does not.
func TestLowIndexLooksBack365Days(t *testing.T) {
	t.Parallel()
	rounds := weekly("2024-01-06", slices.Repeat([]int{80}, 20)...) // 10.0 after 18 May 2024
	for range 20 {
		rounds = append(rounds, roundOf("2024-06-01", 86)) // 14.5 by the cap, from the day on which 10.0 was last in effect
	}
	for _, c := range []struct {
		date string
		low  handicap.Index
	}{{"2025-06-01", 100}, {"2025-06-02", 145}} {
		record, err := handicap.WorkOutRecord(append(slices.Clone(rounds), roundOf(c.date, 86)), handicap.RecordTerms{})
		require.NoError(t, err)
		require.Equal(t, c.low, record.Low.Index, c.date)
	}
}

func TestRecordNineHoles(t *testing.T) {
	t.Parallel()
	nine := handicap.Round{Date: "2025-05-01", Holes: 9, AdjustedGross: 42, Rating: 350, Slope: 113, InEffect: low(140)}
	rounds := append(weekly("2025-03-01", 90, 88, 95), nine)
	record, err := handicap.WorkOutRecord(rounds, handicap.RecordTerms{})
	require.NoError(t, err)
	require.Nil(t, record.Rounds[3].Differential)
	require.Equal(t, handicap.AwaitingAssociation, record.Rounds[3].Reason)
	require.Equal(t, 1, record.Awaiting)
	require.Equal(t, record.Rounds[2].After, record.Estimate)
	require.Len(t, record.Rounds[3].Explain(), 2)

	record, err = handicap.WorkOutRecord(rounds, handicap.RecordTerms{Expected: inventedTable(t)})
	require.NoError(t, err)
	require.Equal(t, handicap.Differential(154), *record.Rounds[3].Differential) // 7.0 + 8.4
	lines := record.Rounds[3].Explain()
	require.Equal(t, "7 + 8.4 = 15.4", lines[2].Arithmetic)

	official := handicap.Differential(149)
	rounds[3].Official = &official
	record, err = handicap.WorkOutRecord(rounds, handicap.RecordTerms{Expected: inventedTable(t)})
	require.NoError(t, err)
	require.Equal(t, official, *record.Rounds[3].Differential)
	require.Contains(t, record.Rounds[3].Explain()[0].Arithmetic, "given by the association: 14.9")

	nine.InEffect = nil
	record, err = handicap.WorkOutRecord([]handicap.Round{nine}, handicap.RecordTerms{Expected: inventedTable(t)})
	require.NoError(t, err)
	require.Contains(t, record.Rounds[0].Reason, "once an index exists")
}

func TestRecordUnavailableRoundsDoNotCount(t *testing.T) {
	t.Parallel()
	rounds := weekly("2025-03-01", 90, 88, 95)
	rounds = append(rounds, handicap.Round{Date: "2025-04-01", Holes: 18, Unavailable: handicap.AwaitingAssociation})
	record, err := handicap.WorkOutRecord(rounds, handicap.RecordTerms{})
	require.NoError(t, err)
	require.Equal(t, 3, record.Differentials)
	require.Equal(t, 1, record.Awaiting)
	require.Equal(t, handicap.Index(160), record.Estimate.Index)
	require.Equal(t, handicap.AwaitingAssociation, record.Rounds[3].Explain()[0].Arithmetic)
}

func TestRecordRefuses(t *testing.T) {
	t.Parallel()
	good := roundOf("2025-03-01", 90)
	change := func(edit func(*handicap.Round)) []handicap.Round {
		round := good
		edit(&round)
		return []handicap.Round{good, round}
	}
	wild := handicap.Differential(9000)
	for name, rounds := range map[string][]handicap.Round{
		"earlier":        change(func(r *handicap.Round) { r.Date = "2025-02-28" }),
		"no date":        change(func(r *handicap.Round) { r.Date = "" }),
		"no such date":   change(func(r *handicap.Round) { r.Date = "2025-02-30" }),
		"day first":      change(func(r *handicap.Round) { r.Date = "01.03.2025" }),
		"holes":          change(func(r *handicap.Round) { r.Holes = 12 }),
		"slope":          change(func(r *handicap.Round) { r.Slope = 20 }),
		"no score":       change(func(r *handicap.Round) { r.AdjustedGross = 0 }),
		"score and none": change(func(r *handicap.Round) { r.Unavailable = "no" }),
		"pcc":            change(func(r *handicap.Round) { r.PCC = 5 }),
		"index":          change(func(r *handicap.Round) { r.InEffect = low(541) }),
		"official":       change(func(r *handicap.Round) { r.Official = &wild }),
		"committee":      change(func(r *handicap.Round) { r.Committee = wild }),
	} {
		record, err := handicap.WorkOutRecord(rounds, handicap.RecordTerms{})
		requireField(t, err, "rounds")
		require.ErrorContains(t, err, "round 2", name)
		require.Zero(t, record)
	}
	_, err := handicap.WorkOutRecord(nil, handicap.RecordTerms{Official: low(541)})
	requireField(t, err, "handicap_index")
	_, err = handicap.WorkOutRecord(nil, handicap.RecordTerms{OfficialLow: &handicap.DatedIndex{Index: 541}})
	requireField(t, err, "low_index")
	_, err = handicap.WorkOutRecord(nil, handicap.RecordTerms{Exceptional: 4})
	requireField(t, err, "exceptional_basis")
}

// The record agrees with adding one score after the other, and its marks add up to the estimate.
func TestRecordAgreesWithStepByStep(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		gross := rapid.SliceOfN(rapid.IntRange(65, 120), 0, 50).Draw(t, "gross")
		rounds := weekly("2023-01-07", gross...)
		record, err := handicap.WorkOutRecord(rounds, handicap.RecordTerms{})
		require.NoError(t, err)
		again, err := handicap.WorkOutRecord(rounds, handicap.RecordTerms{})
		require.NoError(t, err)
		require.Equal(t, record, again, "the same rounds give the same record")

		var before []handicap.Differential // as adjusted so far
		for i, figures := range record.Rounds {
			var lowIndex *handicap.Index
			if figures.Low != nil {
				lowIndex = &figures.Low.Index
			}
			if i >= 2 {
				after, _, err := handicap.IndexAfterScore(before, *figures.Unrounded, figures.InEffect, lowIndex, handicap.UnroundedDifferential)
				require.NoError(t, err)
				require.Equal(t, after.Estimate, *figures.After, "round %d", i+1)
				require.Equal(t, after.Reduction, figures.Reduction)
			}
			before = append(before, *figures.Differential)
			for j := max(0, len(before)-20); j < len(before); j++ {
				before[j] += handicap.Differential(10 * figures.Reduction)
			}
		}
		if record.Estimate == nil {
			require.Less(t, len(gross), 3)
			return
		}
		total, counting := 0, 0
		for i, figures := range record.Rounds {
			require.Equal(t, before[i], *figures.Adjusted)
			if figures.Counts {
				require.True(t, figures.Recent)
				total += int(*figures.Adjusted)
				counting++
			}
		}
		require.Equal(t, record.Estimate.Lowest, counting)
		_, adjustment, err := handicap.CountingDifferentials(record.Estimate.OnRecord)
		require.NoError(t, err)
		tenths, err := handicap.RoundTenth(int64(total+counting*int(adjustment)), int64(10*counting))
		require.NoError(t, err)
		require.EqualValues(t, record.Estimate.Uncapped, tenths)
		lines := record.Explain()
		require.Equal(t, record.Estimate.Index.String(), lines[len(lines)-1].Arithmetic)
	})
}

// BenchmarkRecord replays a player's 100 rounds, as a page of the record does.
func BenchmarkRecord(b *testing.B) {
	gross := make([]int, 100)
	for i := range gross {
		gross[i] = 78 + i*7%23
	}
	rounds := weekly("2023-01-07", gross...)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := handicap.WorkOutRecord(rounds, handicap.RecordTerms{}); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleWorkOutRecord() {
	record, err := handicap.WorkOutRecord(weekly("2025-03-01", 90, 88, 95), handicap.RecordTerms{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(record.Estimate.Index, handicap.UnofficialEstimate)
	// Output: 16.0 unofficial estimate
}

// The official index is what was in effect, so it also makes the low index; the estimate it replaces does not.
func TestOfficialIndexMakesTheLowIndex(t *testing.T) {
	t.Parallel()
	rounds := weekly("2024-01-06", slices.Repeat([]int{80}, 22)...)
	rounds[20].InEffect = low(95)
	record, err := handicap.WorkOutRecord(rounds, handicap.RecordTerms{})
	require.NoError(t, err)
	require.Equal(t, handicap.DatedIndex{Index: 95, Date: rounds[20].Date}, *record.Low)
	rounds[20].InEffect = low(105)
	record, err = handicap.WorkOutRecord(rounds, handicap.RecordTerms{})
	require.NoError(t, err)
	require.Equal(t, handicap.DatedIndex{Index: 100, Date: rounds[20].Date}, *record.Low, "10.5 stood before it")
}

func TestRecordReadsTheDifferentialThatTheTermsName(t *testing.T) {
	t.Parallel()
	round := handicap.Round{Date: "2025-03-01", Holes: 18, AdjustedGross: 82, Rating: 704, Slope: 131, PCC: 1, InEffect: low(161)} // 9.1435
	record, err := handicap.WorkOutRecord([]handicap.Round{round}, handicap.RecordTerms{})
	require.NoError(t, err)
	require.Zero(t, record.Rounds[0].Reduction)
	require.Contains(t, record.Rounds[0].Explain()[2].Arithmetic, "16.1 - 9.144 = 6.956")
	record, err = handicap.WorkOutRecord([]handicap.Round{round}, handicap.RecordTerms{Exceptional: handicap.RoundedDifferential})
	require.NoError(t, err)
	require.Equal(t, -1, record.Rounds[0].Reduction)
	require.Contains(t, record.Rounds[0].Explain()[2].Arithmetic, "16.1 - 9.1 = 7")
}
