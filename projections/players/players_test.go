package players_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/projections/players"
	"marram.example/projections/projectiontest"
	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
)

// club registers players with these names; ids are p0, p1 and so on, member
// numbers M0, M1.
func club(names ...string) *projectiontest.Writer {
	w := projectiontest.NewWriter()
	for i, n := range names {
		w.Add(stream(i), events.PlayerRegistered{MemberNo: fmt.Sprintf("M%d", i), Sealed: projectiontest.Seal(n)})
	}
	return w
}

func stream(i int) events.StreamID {
	return events.PlayerStream(projectiontest.Club, fmt.Sprintf("p%d", i))
}

// list reads all pages of a search.
func list(t *testing.T, p *players.Players, search string, limit int) []string {
	t.Helper()
	var got []string
	for after := ""; ; {
		page, next, err := p.List(t.Context(), search, after, limit)
		require.NoError(t, err)
		require.LessOrEqual(t, len(page), limit)
		for _, d := range page {
			got = append(got, d.State.Name)
		}
		if next == "" {
			return got
		}
		after = next
	}
}

func TestListOrdersNamesAsPeopleDo(t *testing.T) {
	w := club("Zoë Müller", "öberg", "Oberg", "anna", "Ann", "ANNA", "Ånn", "bob", "Émile", "Frank")
	want := []string{"Ann", "Ånn", "anna", "ANNA", "bob", "Émile", "Frank", "Oberg", "öberg", "Zoë Müller"}
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		p := players.New(s, (&projectiontest.Keys{}).Open)
		projectiontest.MustCatchUp(t, s, projectiontest.NewLog(w.All, 4), p)
		for limit := 1; limit <= 11; limit++ {
			require.Equal(t, want, list(t, p, "", limit), "pages of %d", limit)
		}
	})
}

func TestListSearches(t *testing.T) {
	w := club("Zoë Müller", "100% Sure_Shot", `back\slash`, "Anna Berg", "Anna Quist", "nul\x00 name")
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		p := players.New(s, (&projectiontest.Keys{}).Open)
		projectiontest.MustCatchUp(t, s, projectiontest.NewLog(w.All, 4), p)
		for search, want := range map[string][]string{
			"muller": {"Zoë Müller"}, "ZOË": {"Zoë Müller"}, "MÜLL": {"Zoë Müller"},
			"%": {"100% Sure_Shot"}, "_": {"100% Sure_Shot"}, `\`: {`back\slash`}, "0%s": nil,
			"anna": {"Anna Berg", "Anna Quist"}, "quist anna": {"Anna Quist"}, "anna zoe": nil,
			"m4": {"Anna Quist"}, "M": {"100% Sure_Shot", "Anna Berg", "Anna Quist", `back\slash`, "nul\x00 name", "Zoë Müller"},
			"\x00": {"nul\x00 name"}, "\xff": {"nul\x00 name"}, // both are searched as the replacement character
			"'": nil, "a' OR 'a": nil,
		} {
			require.ElementsMatch(t, want, list(t, p, search, 2), "search %q", search)
		}
		for _, after := range []string{"x", "WyJhIl0"} {
			_, _, err := p.List(t.Context(), "", after, 2)
			require.Equal(t, events.KindInvalid, events.AsError(err).Kind)
		}
	})
}

func TestGetAndNames(t *testing.T) {
	w := club("Anna Berg", "Bob")
	w.Add(stream(0), events.HandicapIndexRecorded{IndexTenths: 123, Effective: "2026-05-01", Origin: events.OriginOfficial})
	w.Add(stream(0), events.PlayerDetailsChanged{Sealed: projectiontest.Seal("Anna Quist")})
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		p := players.New(s, (&projectiontest.Keys{}).Open)
		projectiontest.MustCatchUp(t, s, projectiontest.NewLog(w.All, 2), p)

		got, err := p.Get(t.Context(), "p0")
		require.NoError(t, err)
		require.Equal(t, "Anna Quist", got.State.Name)
		require.Equal(t, 123, got.State.Indexes[0].Tenths)
		require.Equal(t, events.Sequence(3), got.Sequence)
		byNo, err := p.ByMemberNo(t.Context(), "M0")
		require.NoError(t, err)
		require.Equal(t, got, byNo)

		names, err := p.Names(t.Context(), []string{"p0", "p1", "p1", "nobody", "", "\x00"})
		require.NoError(t, err)
		require.Equal(t, map[string]string{"p0": "Anna Quist", "p1": "Bob"}, names)
		names, err = p.Names(t.Context(), nil)
		require.NoError(t, err)
		require.Empty(t, names)
		many := make([]string, 70_000)
		for i := range many {
			many[i] = fmt.Sprintf("p%d", i)
		}
		names, err = p.Names(t.Context(), many)
		require.NoError(t, err)
		require.Len(t, names, 2)

		_, err = p.Get(t.Context(), "nobody")
		require.Equal(t, "player_id", events.AsError(err).Field)
		for _, no := range []string{"M9", "", "m0", "\x00", "\xff"} {
			_, err = p.ByMemberNo(t.Context(), no)
			require.Equal(t, events.KindNotFound, events.AsError(err).Kind)
			require.Equal(t, "member_no", events.AsError(err).Field)
		}
	})
}

func TestErasureBlanksTheName(t *testing.T) {
	w := club("Anna Berg", "Bob")
	before := len(w.All)
	w.Add(stream(0), events.PlayerErased{Reason: "asked for"})
	for name, destroy := range map[string]bool{"event before the key goes": false, "key and event": true} {
		t.Run(name, func(t *testing.T) {
			storetest.Each(t, func(t *testing.T, s *store.Store) {
				keys := &projectiontest.Keys{}
				p := players.New(s, keys.Open)
				l := projectiontest.NewLog(w.All[:before], 10)
				r := projectiontest.MustCatchUp(t, s, l, p)
				if destroy {
					keys.Destroy("p0")
				}
				l.Append(w.All[before:]...)
				require.NoError(t, r.CatchUp(t.Context(), nil))
				check := func() {
					got, err := p.Get(t.Context(), "p0")
					require.NoError(t, err)
					require.True(t, got.State.Erased)
					require.Empty(t, got.State.Name)
					require.Empty(t, got.State.Sealed)
					require.Equal(t, "M0", got.State.MemberNo, "scores keep their player")
					names, err := p.Names(t.Context(), []string{"p0", "p1"})
					require.NoError(t, err)
					require.Equal(t, map[string]string{"p0": "", "p1": "Bob"}, names)
					require.Empty(t, list(t, p, "anna", 5))
					require.Equal(t, []string{"Bob", ""}, list(t, p, "", 1), "last in the list")
					var dump bytes.Buffer
					require.NoError(t, r.Dump(t.Context(), &dump))
					require.NotContains(t, dump.String(), "Anna")
				}
				check()
				require.NoError(t, r.Rebuild(t.Context(), nil))
				check()
			})
		})
	}
}

// The write-ahead log would keep what the table has lost.
func TestErasureLeavesNoNameInTheFiles(t *testing.T) {
	w := club("Anna Berg", "Bob")
	before := len(w.All)
	w.Add(stream(0), events.PlayerErased{Reason: "asked for"})
	folder := t.TempDir()
	s, err := store.Open(t.Context(), store.Options{SQLitePath: filepath.Join(folder, "read-models.db")})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	holds := func() bool {
		files, err := os.ReadDir(folder)
		require.NoError(t, err)
		found := false
		for _, f := range files {
			b, err := os.ReadFile(filepath.Join(folder, f.Name()))
			require.NoError(t, err)
			found = found || bytes.Contains(b, []byte("Anna Berg"))
		}
		return found
	}
	keys := &projectiontest.Keys{}
	l := projectiontest.NewLog(w.All[:before])
	r := projectiontest.MustCatchUp(t, s, l, players.New(s, keys.Open))
	require.True(t, holds(), "the name can be found where it is")
	l.Append(w.All[before:]...)
	require.NoError(t, r.CatchUp(t.Context(), nil))
	require.False(t, holds())
}

// Where the key is gone and the event not yet there, a replay shows nobody's name.
func TestAKeyThatIsGoneLeavesNoName(t *testing.T) {
	w := club("Anna Berg")
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		keys := &projectiontest.Keys{}
		keys.Destroy("p0")
		p := players.New(s, keys.Open)
		projectiontest.MustCatchUp(t, s, projectiontest.NewLog(w.All), p)
		got, err := p.Get(t.Context(), "p0")
		require.NoError(t, err)
		require.True(t, got.State.Erased)
		require.Empty(t, got.State.Name)
	})
}
