package events_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
)

func TestSubjectOfEachStream(t *testing.T) {
	t.Parallel()
	for want, s := range map[string]events.StreamID{
		"marram.sandholm.course.-.links":       events.CourseStream("sandholm", "links"),
		"marram.sandholm.player.-.p1":          events.PlayerStream("sandholm", "p1"),
		"marram.sandholm.competition.m1.m1":    events.CompetitionStream("sandholm", "m1"),
		"marram.sandholm.card.m1.Card_7-b":     events.CardStream("sandholm", "m1", "Card_7-b"),
		"marram.sandholm.match.m1.m1-m4-2":     events.MatchStream("sandholm", "m1", "m1-m4-2"),
		"marram.sandholm.club.-.club":          events.ClubStream("sandholm"),
		"marram.sandholm.card.m1." + sixtyFour: events.CardStream("sandholm", "m1", sixtyFour),
	} {
		require.NoError(t, s.Check())
		require.Equal(t, want, s.Subject())
		back, err := events.ParseSubject(want)
		require.NoError(t, err)
		require.Equal(t, s, back)
	}
}

var sixtyFour = strings.Repeat("x", 64)

func TestParseSubjectRefusesAnythingElse(t *testing.T) {
	t.Parallel()
	for _, subject := range []string{
		"", "marram", "marram.a.card.b", "marram.a.card.b.c.d", "other.a.card.b.c", "Marram.a.card.b.c",
		"marram..card.b.c", "marram.a.card.b.", "marram.a.card.*.c", "marram.a.card.b.>", "marram.a.card.b.c\n", "marram.a.card.b.ü",
		"marram.a.card.b c.d", "marram.a.card.b." + sixtyFour + "x",
	} {
		_, err := events.ParseSubject(subject)
		require.Error(t, err, "%q", subject)
	}
}

func TestMalformedIDNamesItsRule(t *testing.T) {
	t.Parallel()
	err := events.AsError(events.CardStream("sandholm", "m.1", "c").Check())
	require.NotNil(t, err)
	require.Equal(t, events.KindInvalid, err.Kind)
	require.Equal(t, "malformed_id", err.Code)
}

// FuzzParseSubject: a subject that parses is written back the same, and every
// part of it may stand in a subject.
func FuzzParseSubject(f *testing.F) {
	for _, s := range []string{"marram.sandholm.card.m1.c1", "marram.sandholm.course.-.links", "marram.a.b.c.d.e", "marram.*.>.-.-", "...."} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, subject string) {
		s, err := events.ParseSubject(subject)
		if err != nil {
			return
		}
		require.Equal(t, subject, s.Subject())
		require.NoError(t, s.Check())
		for _, part := range []string{s.Club, string(s.Aggregate), s.Competition, s.ID} {
			require.True(t, events.ValidToken(part), part)
			require.NotContains(t, part, ".")
		}
	})
}
