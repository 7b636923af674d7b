package projections_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/projections"
	"marram.example/projections/projectiontest"
	"marram.example/projections/store/storetest"
)

// BenchmarkApply measures how many events a second all document read models take
// in, by the number of events in a transaction. A batch of 1 is what a score
// costs while nothing else happens; 10,000 is a rebuild of a season of ten
// competitions of 100 players. Compare the rows of one run.
func BenchmarkApply(b *testing.B) {
	all := projectiontest.Season(1, 10, 100)
	for _, d := range storetest.Dialects() {
		for _, size := range []int{1, 10, 100, 1000, 10_000} {
			b.Run(fmt.Sprintf("%s/batch=%d", d, size), func(b *testing.B) {
				s := storetest.Open(b, d)
				some := all[:min(len(all), 200*size)]
				l := projectiontest.NewLog(some, min(size, 1000))
				r, err := projections.NewRunner(projections.Options{Log: l, Store: s, Replay: size, Projections: projectiontest.ReadModels(s, &projectiontest.Keys{})})
				require.NoError(b, err)
				ctx := context.Background()
				for b.Loop() {
					require.NoError(b, r.Rebuild(ctx, nil))
				}
				b.ReportMetric(float64(b.N*len(some))/b.Elapsed().Seconds(), "events/s")
			})
		}
	}
}
