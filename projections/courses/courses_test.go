package courses_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/projections/courses"
	"marram.example/projections/projectiontest"
	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
)

func TestCourses(t *testing.T) {
	w := projectiontest.NewWriter()
	white := events.TeeDefinition{Tee: "white", CourseRatingTenths: 712, SlopeRating: 128, Holes: []events.Hole{{Number: 1, Par: 4, StrokeIndex: 1}}}
	first := w.Add(events.CourseStream(projectiontest.Club, "b"), events.CourseDefined{Name: "the Links"})
	last := w.Add(events.CourseStream(projectiontest.Club, "b"), events.TeeDefined{TeeDefinition: white})
	w.Add(events.CourseStream(projectiontest.Club, "c"), events.CourseDefined{Name: "Heath"})
	w.Add(events.CourseStream(projectiontest.Club, "a"), events.CourseDefined{Name: "The links"})

	storetest.Each(t, func(t *testing.T, s *store.Store) {
		c := courses.New(s)
		none, err := c.List(t.Context())
		require.NoError(t, err)
		require.Empty(t, none)
		projectiontest.MustCatchUp(t, s, projectiontest.NewLog(w.All), c)

		got, err := c.Get(t.Context(), "b")
		require.NoError(t, err)
		require.Equal(t, "the Links", got.State.Name)
		require.Equal(t, map[string]events.TeeDefinition{"white": white}, got.State.Tees)
		require.Equal(t, events.Sequence(2), got.Sequence)
		require.Equal(t, last.Position, got.Position)
		require.Equal(t, last.ID, got.EventID)
		require.Equal(t, first.Time.UTC(), got.Created)
		require.Equal(t, last.Time.UTC(), got.Updated)

		all, err := c.List(t.Context())
		require.NoError(t, err)
		require.Equal(t, []string{"c", "a", "b"}, []string{all[0].ID, all[1].ID, all[2].ID})

		for _, id := range []string{"d", "", "not an id", "\x00", "\xff"} {
			_, err := c.Get(t.Context(), id)
			require.Equal(t, events.KindNotFound, events.AsError(err).Kind, "%q", id)
			require.Equal(t, "course_id", events.AsError(err).Field)
		}
	})
}
