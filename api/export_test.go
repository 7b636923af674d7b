package api

import (
	"context"

	"marram.example/projections/shots"
)

// HoldReviews takes every turn of working a review out, until they are released.
func (a *API) HoldReviews() (release func()) {
	var held []func()
	for range cap(a.reviews) {
		giveBack, err := a.reviews.take(context.Background())
		if err != nil {
			panic(err) // that context never ends
		}
		held = append(held, giveBack)
	}
	return func() {
		for _, giveBack := range held {
			giveBack()
		}
	}
}

// ClubFit is the club's baseline as reviews are given it.
func (a *API) ClubFit(ctx context.Context) (*shots.Fit, error) {
	return a.club.fit(ctx, a.Models.Strokes)
}

// HoldClubFit makes who would fit the club's baseline wait, until it is released.
func (a *API) HoldClubFit() (release func()) {
	a.club.fitting <- struct{}{}
	return func() { <-a.club.fitting }
}
