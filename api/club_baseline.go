package api

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"marram.example/events"
	"marram.example/projections/shots"
	"marram.example/projections/strokes"
)

// When a club's baseline is fitted again: not for every round that is returned, and
// not later than people would wonder.
const (
	refitShare = 20               // when a twentieth more rounds came
	refitAfter = 10 * time.Minute // when anything changed that long ago
)

// clubBaseline is the baseline fitted from the club's returned rounds, as it was
// fitted last. It is worked out when somebody asks for it, once at a time; who asks
// meanwhile is given the one before.
//
// What leaves it is the fitted curve and how many strokes and players it rests on:
// never a distance, a mean or a count of one player.
type clubBaseline struct {
	fitting chan struct{} // held while one is fitted
	mu      sync.Mutex
	last    *shots.Fit
	of      strokes.Extent
	cards   map[string]bool // that it rests on
	at      time.Time
}

func newClubBaseline() *clubBaseline { return &clubBaseline{fitting: make(chan struct{}, 1)} }

// fit is the club's baseline. It fails where the read models do, and where ctx ends.
func (b *clubBaseline) fit(ctx context.Context, from *strokes.Strokes) (*shots.Fit, error) {
	now, err := from.Returned(ctx)
	if err != nil {
		return nil, fromStore(err)
	}
	back, err := from.TakenBack(ctx, b.seen())
	if err != nil {
		return nil, fromStore(err)
	}
	have, stale := b.have(now, back)
	if have != nil && !stale {
		return have, nil
	}
	select {
	case b.fitting <- struct{}{}:
		defer func() { <-b.fitting }()
	default:
		if have != nil {
			return have, nil
		}
		select {
		case b.fitting <- struct{}{}:
			defer func() { <-b.fitting }()
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
	if have, stale = b.have(now, back); have != nil && !stale {
		return have, nil // while waiting
	}
	fitted, cards, err := fitClub(ctx, from)
	if err != nil {
		return nil, err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.last, b.of, b.cards, b.at = fitted, now, cards, time.Now()
	return fitted, nil
}

// seen is where in the log the last fit looked.
func (b *clubBaseline) seen() events.Position {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.of.Last
}

// have is the last fit, nil for none, and whether it is time for another one. Rounds
// that were taken back, because their cards were reopened, are out at once.
func (b *clubBaseline) have(now strokes.Extent, back []string) (fit *shots.Fit, stale bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch {
	case slices.ContainsFunc(back, func(id string) bool { return b.cards[id] }), now.Cards < b.of.Cards:
		return nil, true
	case b.last == nil, now == b.of:
		return b.last, false
	default:
		return b.last, (now.Cards-b.of.Cards)*refitShare >= b.of.Cards || time.Since(b.at) >= refitAfter
	}
}

// fitClub reads the returned rounds of everybody and fits them, leaning on the
// published table stretched to the club's level. It says which cards it read.
func fitClub(ctx context.Context, from *strokes.Strokes) (*shots.Fit, map[string]bool, error) {
	table, err := shots.Named(published)
	if err != nil {
		return nil, nil, err
	}
	var all []shots.Observation
	leftOut := 0
	cards := map[string]bool{}
	err = from.Every(ctx, func(p strokes.Played) error {
		if !p.Returned {
			return nil // practice under way
		}
		cards[p.CardID] = true
		some, left := shots.Observations([]shots.Round{p.Round}, p.PlayerID)
		all, leftOut = append(all, some...), leftOut+left
		return nil
	})
	if err != nil {
		return nil, nil, fromStore(err)
	}
	fit, err := shots.FitClub(levelled(table, all), all, leftOut)
	return fit, cards, err
}

// levelled stretches a table so that the club's own strokes from the tee add up to
// what they took, where there are enough of them: else lies with their own values and
// lies without would not be of the same players.
func levelled(table *shots.Baseline, all []shots.Observation) *shots.Baseline {
	players := map[string]bool{}
	took, expected := 0.0, 0.0
	n := 0
	for _, x := range all {
		if x.Lie != events.LieTee {
			continue
		}
		e, _, err := table.Expected(shots.Position{Lie: x.Lie, Distance: x.Distance})
		if err != nil {
			continue // FitClub says it
		}
		n, players[x.Player] = n+1, true
		took, expected = took+x.Strokes-1, expected+e-1
	}
	if n < shots.FitMinStrokes || len(players) < shots.FitMinPlayers || took <= 0 || expected <= 0 {
		return table
	}
	m := took / expected
	return table.Stretched(table.Name()+" stretched", fmt.Sprintf("%s, stretched to the club's level (derived, not published)", table.Label()), m)
}
