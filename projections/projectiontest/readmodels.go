package projectiontest

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/projections"
	"marram.example/projections/cards"
	"marram.example/projections/competitions"
	"marram.example/projections/courses"
	"marram.example/projections/players"
	"marram.example/projections/results"
	"marram.example/projections/store"
	"marram.example/projections/strokes"
)

// ReadModels are the read models that keep documents, in a store.
func ReadModels(s *store.Store, k *Keys) []projections.Projection {
	return []projections.Projection{courses.New(s), players.New(s, k.Open), competitions.New(s), cards.New(s), results.New(s), strokes.New(s)}
}

// MustCatchUp applies a log to projections in a store and returns the runner.
func MustCatchUp(t testing.TB, s *store.Store, l projections.Log, p ...projections.Projection) *projections.Runner {
	t.Helper()
	r, err := projections.NewRunner(projections.Options{Log: l, Store: s, Projections: p})
	require.NoError(t, err)
	require.NoError(t, r.CatchUp(context.Background(), nil))
	return r
}
