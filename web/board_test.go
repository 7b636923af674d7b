package web_test

import (
	"bufio"
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"marram.example/events"
	"marram.example/projections/board"
)

// byClass finds the elements of a class.
func byClass(n *html.Node, class string) []*html.Node {
	var out []*html.Node
	each(n, func(x *html.Node) {
		for _, c := range strings.Fields(attr(x, "class")) {
			if c == class {
				out = append(out, x)
			}
		}
	})
	return out
}

func boardRows(v *visitor) []*html.Node {
	v.t.Helper()
	bodies := all(v.page, "tbody")
	require.Len(v.t, bodies, 1)
	return all(bodies[0], "tr")
}

func (m *morning) boardAt(ranking string) string {
	return "/competitions/" + m.competition + "/board?ranking=" + url.QueryEscape(ranking)
}

func TestBoardSaysWhatTheReadModelSays(t *testing.T) {
	t.Parallel()
	m := medal(t, 24)
	m.open()
	m.play(func(i int) int { return i })
	b, ok := m.boards.Snapshot(context.Background(), m.competition)
	require.True(t, ok)
	v := m.visit()
	for _, ranking := range b.Rankings {
		v.reads(m.boardAt(ranking))
		v.wellMade()
		rows := boardRows(v)
		want := map[int]board.Row{}
		for _, r := range b.Rows {
			if p, in := r.Places[ranking]; in {
				want[p.Order] = r
			}
		}
		require.Len(t, rows, len(want), ranking)
		for i, tr := range rows {
			r := want[i]
			assert.Equal(t, r.Places[ranking].Position, words(byClass(tr, "pos")[0]), ranking)
			assert.Contains(t, words(tr), r.Name)
			toPar := r.NetToPar
			if strings.HasPrefix(ranking, "gross") {
				toPar = r.GrossToPar
			}
			if toPar == nil {
				assert.Empty(t, words(byClass(tr, "fig")[0]))
				continue
			}
			figure := words(byClass(tr, "fig")[0])
			link := all(byClass(tr, "fig")[0], "a")[0]
			assert.Equal(t, "/cards/"+r.CardID+"/figures", attr(link, "href"), "every figure opens")
			switch {
			case *toPar < 0:
				assert.True(t, strings.HasPrefix(figure, "\u2212"), figure)
				assert.Equal(t, "under", attr(link, "class"))
			case *toPar == 0:
				assert.Equal(t, "E", figure)
				assert.Equal(t, "level", attr(link, "class"))
			default:
				assert.True(t, strings.HasPrefix(figure, "+"), figure)
				assert.Equal(t, "over", attr(link, "class"))
			}
		}
	}
	v.reads(m.boardAt("no such ranking"))
	assert.Len(t, boardRows(v), 24, "an unknown ranking shows the competition's own")
	assert.Contains(t, v.words(), "Provisional")
	assert.Contains(t, v.words(), "10:42:31", "as of when it was made")
}

func TestBoardGoesOnFromThePageThatWasMade(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	m.play(func(int) int { return 2 })
	v := m.visit().reads("/competitions/" + m.competition + "/board")
	stream := attr(all(v.page, "table")[0], "data-stream")
	require.NotEmpty(t, stream)
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	q, err := http.NewRequestWithContext(ctx, http.MethodGet, m.server.URL+stream, nil)
	require.NoError(t, err)
	r, err := http.DefaultClient.Do(q)
	require.NoError(t, err)
	defer func() { _ = r.Body.Close() }()
	require.Equal(t, http.StatusOK, r.StatusCode)
	three := 3
	_, err = m.commands.EnterScore(ctx, as(events.RoleMarker, m.card(0)), m.card(0), enter(3, &three))
	require.NoError(t, err)
	lines := bufio.NewScanner(r.Body)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		if lines.Text() == "event: "+board.EventBoard {
			require.Fail(t, "the page has this board already")
		}
		if lines.Text() == "event: "+board.EventPatch {
			return
		}
	}
	require.Fail(t, "no patch came", lines.Err())
}

func TestSuspensionStandsBeforeEverything(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	m.play(func(int) int { return 2 })
	d, err := m.commands.Suspend(context.Background(), by(), m.competition, "immediate", "lightning near the 12th")
	require.NoError(t, err)
	m.settle(d)
	v := m.visit().reads("/competitions/" + m.competition + "/board")
	said := v.words()
	at := strings.Index(said, "Play is suspended")
	require.Positive(t, at)
	assert.Less(t, at, strings.Index(said, "To par"), "before the rows")
	assert.Contains(t, said, "Lightning near the 12th. Stop at once")
	card := m.holder(0, events.RolePlayer)
	assert.Contains(t, card.words(), "Play is suspended")
	assert.Contains(t, m.visit().reads("/").words(), "Play is suspended")
	d, err = m.commands.Resume(context.Background(), by(), m.competition)
	require.NoError(t, err)
	m.settle(d)
	v.reads("/competitions/" + m.competition + "/board")
	for _, n := range byClass(v.page, "halt") {
		assert.True(t, has(n, "hidden"))
	}
}

func TestBigScreenHasNothingToPress(t *testing.T) {
	t.Parallel()
	m := medal(t, 6)
	m.open()
	m.play(func(i int) int { return i })
	v := m.visit().reads("/competitions/" + m.competition + "/board?screen=1")
	v.wellMade()
	assert.Empty(t, all(v.page, "button"))
	assert.Empty(t, all(v.page, "footer"))
	assert.Len(t, boardRows(v), 6)
	assert.Contains(t, v.text, `<noscript><meta http-equiv="refresh" content="20">`, "it asks again without script")
}

func TestPrivateCompetitionIsForItsPlayers(t *testing.T) {
	t.Parallel()
	m := medal(t, 3, func(t *events.Terms) { t.BoardPublic = false })
	m.open()
	at := "/competitions/" + m.competition
	stranger, player := m.visit(), m.holder(0, events.RolePlayer)
	for _, path := range []string{at, at + "/board", at + "/entries", at + "/start-sheet", at + "/result", m.at(1), m.at(1) + "/figures"} {
		stranger.open(path)
		assert.Equal(t, http.StatusUnauthorized, stranger.status, path)
		stranger.wellMade()
		player.reads(path)
	}
	stranger.open("/players/" + m.players[0])
	assert.Equal(t, http.StatusNotFound, stranger.status)
}

func TestInitialsStandForNames(t *testing.T) {
	t.Parallel()
	m := medal(t, 3, func(t *events.Terms) { t.NamesAs = "initials" })
	m.open()
	m.play(func(int) int { return 1 })
	people := map[string]string{}
	for _, p := range readCSV(t, "players.csv") {
		people[p["member_no"]] = p["name"]
	}
	name := people[readCSV(t, "entries.csv")[0]["member_no"]]
	at := "/competitions/" + m.competition
	v := m.visit()
	for _, path := range []string{at + "/board", at + "/entries", at + "/start-sheet", m.at(0), m.at(0) + "/figures", "/players/" + m.players[0]} {
		v.reads(path)
		assert.NotContains(t, v.text, name, path)
	}
	assert.Contains(t, m.secretary().reads(at+"/start-sheet").text, name, "the committee sees names")
}
