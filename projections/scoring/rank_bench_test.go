package scoring_test

import (
	"fmt"
	"testing"

	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

// field makes cards that differ in score, handicap and holes played, the same in every run.
func field(b *testing.B, size int, complete bool) []scoring.Result {
	b.Helper()
	results := make([]scoring.Result, size)
	for i := range results {
		card := scoring.Card{Par: coursePar, StrokeIndex: courseIndex, Playing: handicap.Playing(i % 37), Scores: make([]scoring.Score, 18)}
		played := 18
		if !complete {
			played = 1 + i%18
		}
		for hole := range played {
			card.Scores[hole] = scoring.Strokes(3 + (i*7+hole*5)%4)
		}
		results[i] = mustScore(b, scoring.StrokePlay(), card, scoring.Net)
	}
	return results
}

func benchmarkRank(b *testing.B, size int, complete bool, ties scoring.TieMethod) {
	results := field(b, size, complete)
	entries := make([]scoring.Entry, size)
	for i := range entries {
		if complete {
			entries[i] = scoring.FinalEntry(fmt.Sprint(i), "", &results[i])
		} else {
			entries[i] = scoring.LiveEntry(fmt.Sprint(i), "", &results[i])
		}
	}
	terms := scoring.RankTerms{Format: scoring.StrokePlay(), Ties: ties}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := scoring.Rank(entries, terms); err != nil {
			b.Fatal(err)
		}
	}
}

// 300 cards in play, as a board ranks them after every score.
func BenchmarkRankLive300(b *testing.B) { benchmarkRank(b, 300, false, scoring.ByCountback) }

// 300 returned cards with ties left.
func BenchmarkRankFinalShared300(b *testing.B) { benchmarkRank(b, 300, true, scoring.Shared) }

// 300 returned cards of which nearly all are tied with others, so that countbacks do most of the work.
func BenchmarkRankFinalCountback300(b *testing.B) { benchmarkRank(b, 300, true, scoring.ByCountback) }

// One net card of 18 holes, from scores to totals.
func BenchmarkScoreCard(b *testing.B) {
	card := cardOf(13, medalCard)
	received, err := handicap.StrokesReceived(card.Playing, card.StrokeIndex)
	if err != nil {
		b.Fatal(err)
	}
	card.Received = received
	for _, format := range scoring.Formats() {
		b.Run(format.Name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := format.Score(card, scoring.Net); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
