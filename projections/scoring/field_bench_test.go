package scoring_test

import (
	"fmt"
	"testing"

	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

const largeField = 10_000

// largeCards are returned net cards of a field too large for any one day; many of them tie.
func largeCards() []scoring.Card {
	cards := make([]scoring.Card, largeField)
	for i := range cards {
		playing := handicap.Playing(i % 37)
		received, err := handicap.StrokesReceived(playing, courseIndex)
		if err != nil {
			panic(err)
		}
		cards[i] = scoring.Card{Holes: numbers(1, 18), Par: coursePar, StrokeIndex: courseIndex, Playing: playing, Received: received, Scores: make([]scoring.Score, 18)}
		for hole := range cards[i].Scores {
			cards[i].Scores[hole] = scoring.Strokes(3 + (i*7+hole*5+i*hole%11)%5)
		}
	}
	return cards
}

var largeTerms = scoring.RankTerms{Format: scoring.StrokePlay(), Ties: scoring.ByCountback}

// 10,000 net cards from scores to places, ties broken by countback.
func BenchmarkFieldFromScratch10000(b *testing.B) {
	cards := largeCards()
	entries := make([]scoring.Entry, len(cards))
	results := make([]scoring.Result, len(cards))
	ids := make([]string, len(cards))
	for i := range ids {
		ids[i] = fmt.Sprint(i)
	}
	b.ReportAllocs()
	for b.Loop() {
		for i, card := range cards {
			result, err := largeTerms.Format.Score(card, scoring.Net)
			if err != nil {
				b.Fatal(err)
			}
			results[i] = result
			entries[i] = scoring.FinalEntry(ids[i], "", &results[i])
		}
		if _, err := scoring.Rank(entries, largeTerms); err != nil {
			b.Fatal(err)
		}
	}
}

// One more hole of one card while the other 9,999 stand: that card is scored again and the whole field ranked live.
func BenchmarkOneMoreHole10000(b *testing.B) {
	cards := largeCards()
	entries := make([]scoring.Entry, len(cards))
	for i, card := range cards {
		for hole := 1 + i%18; hole < 18; hole++ {
			card.Scores[hole] = scoring.Score{}
		}
		result := mustScore(b, largeTerms.Format, card, scoring.Net)
		entries[i] = scoring.LiveEntry(fmt.Sprint(i), "", &result)
	}
	b.ReportAllocs()
	for n := 0; b.Loop(); n++ {
		card := cards[16]
		card.Scores[17] = scoring.Strokes(3 + n%4)
		result, err := largeTerms.Format.Score(card, scoring.Net)
		if err != nil {
			b.Fatal(err)
		}
		entries[16] = scoring.LiveEntry("16", "", &result)
		if _, err := scoring.Rank(entries, largeTerms); err != nil {
			b.Fatal(err)
		}
	}
}
