package web_test

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/club"
	"marram.example/projections/difficulty"
)

// switchOn lets the club work estimates out.
func (m *morning) switchOn() {
	m.t.Helper()
	d, err := m.commands.SwitchEstimates(context.Background(), by(), command.SwitchEstimates{On: true, Caution: club.Caution})
	require.NoError(m.t, err)
	m.settle(d)
}

// season plays so many medals of one round, a week apart, for the first two players,
// each hole in strokes over par as said; it ends before the medal of the day. Cards
// are in the order of play.
func (m *morning) season(rounds int, over func(round, player, hole int) int) (cards [][2]string) {
	m.t.Helper()
	ctx := context.Background()
	day := now.AddDate(0, 0, -7*rounds)
	c, _, err := m.commands.Competition(ctx, m.competition)
	require.NoError(m.t, err)
	course, _, err := m.commands.Course(ctx, c.Terms.CourseID)
	require.NoError(m.t, err)
	var last command.Done
	for _, p := range m.players[:2] {
		_, err := m.commands.RecordIndex(ctx, by(), p, command.RecordIndex{IndexTenths: 100, Effective: "2024-01-01", Origin: events.OriginOfficial})
		require.NoError(m.t, err)
	}
	for r := range rounds {
		d, err := m.commands.Plan(ctx, by(), "", command.PlanCompetition{Name: fmt.Sprintf("Medal %d", r+1), Date: day.AddDate(0, 0, 7*r).Format(time.DateOnly)})
		require.NoError(m.t, err)
		id := d.ID
		terms := command.PresetTerms("stroke_play")
		terms.CourseID, terms.Tees = c.Terms.CourseID, []string{"White"}
		_, err = m.commands.SetTerms(ctx, by(), id, terms)
		require.NoError(m.t, err)
		var entries [2]string
		for p := range entries {
			d, err := m.commands.Enter(ctx, by(), id, command.EnterPlayer{Member: command.Member{PlayerID: m.players[p]}})
			require.NoError(m.t, err)
			entries[p] = d.ID
		}
		_, err = m.commands.Draw(ctx, by(), id, command.Draw{Method: "as_entered"})
		require.NoError(m.t, err)
		_, err = m.commands.OpenRound(ctx, by(), id)
		require.NoError(m.t, err)
		var pair [2]string
		for p := range entries {
			pair[p] = command.CardID(id, entries[p], 1)
			in := command.EnterCard{Confirmed: true, Signed: true}
			for _, h := range course.Tees["White"].Holes {
				n := h.Par + over(r, p, h.Number)
				in.Scores = append(in.Scores, command.HoleEntry{Strokes: &n})
			}
			last, err = m.commands.EnterCard(ctx, by(), pair[p], in)
			require.NoError(m.t, err)
		}
		cards = append(cards, pair)
	}
	m.settle(last)
	return cards
}

func TestNothingIsWorkedOutWhileEstimatesAreOff(t *testing.T) {
	t.Parallel()
	m := medal(t, 4)
	m.season(4, func(int, int, int) int { return 1 })
	at := "/players/" + m.players[0]
	v := m.secretary()
	for _, page := range []string{at, "/desk/players/" + m.players[0]} {
		v.reads(page)
		assert.NotContains(t, v.text, "/record", page)
	}
	v.open(at + "/record")
	require.Equal(t, http.StatusNotFound, v.status)
	require.Contains(t, v.words(), "switches them on beside a caution")
	require.NotContains(t, strings.ToLower(v.words()), "differential")

	v.reads("/desk/estimates").wellMade()
	require.Contains(t, v.words(), club.Caution)
	v.form("/desk/estimates").set("reason", "the association agreed").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status, "without the tick")
	v.wellMade()
	require.Contains(t, v.words(), "Tick that the committee has read the caution")
	s, _, err := m.commands.Club(context.Background())
	require.NoError(t, err)
	require.False(t, s.Estimates)

	v.form("/desk/estimates").set("caution", club.Caution).send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	require.Contains(t, v.words(), "Unofficial estimates are switched on.")
	v.wellMade()
	s, _, err = m.commands.Club(context.Background())
	require.NoError(t, err)
	require.Equal(t, club.Caution, s.Caution)
	for _, page := range []string{at, "/desk/players/" + m.players[0]} {
		require.Contains(t, v.reads(page).text, at+"/record", page)
	}
	v.reads(at + "/record").wellMade()

	v.reads("/desk/estimates").form("/desk/estimates").set("reason", "asked to").send()
	require.Contains(t, v.words(), "switched off")
	require.Equal(t, http.StatusNotFound, v.open(at+"/record").status)
}

// Who may see a player's index on the player's page may see the record, and nobody
// else learns that there is one.
func TestWhoSeesARecord(t *testing.T) {
	t.Parallel()
	m := medal(t, 4)
	cards := m.season(3, func(int, int, int) int { return 1 })
	m.switchOn()
	at := "/players/" + m.players[0] + "/record"
	open := func(card string, role events.Role) *visitor {
		token, err := m.commands.CardLink(context.Background(), card, role)
		require.NoError(t, err)
		return m.visit().reads("/c/" + token)
	}
	for who, v := range map[string]*visitor{
		"a passer-by": m.visit(), "the marker": open(cards[0][0], events.RoleMarker), "another player": open(cards[0][1], events.RolePlayer),
	} {
		require.Equal(t, http.StatusNotFound, v.open(at).status, who)
		require.NotContains(t, v.words(), "estimate", who)
	}
	v := open(cards[1][0], events.RolePlayer).reads(at)
	require.Contains(t, v.words(), "Unofficial estimate")
	r, _ := v.get(at, nil)
	require.Equal(t, "no-store", r.Header.Get("Cache-Control"))
	require.Equal(t, http.StatusNotFound, v.open("/players/nobody/record").status)
	require.Equal(t, http.StatusNotFound, m.secretary().open("/players/nobody/record").status)
}

// A card link sent as a bearer token opens its own card alone: not the index and
// the record of whoever else has played.
func TestABearerLinkOpensNobodyElse(t *testing.T) {
	t.Parallel()
	m := medal(t, 4)
	cards := m.season(3, func(int, int, int) int { return 1 })
	m.switchOn()
	ask := func(as, path string) (int, string) {
		token, err := m.commands.CardLink(context.Background(), as, events.RolePlayer)
		require.NoError(t, err)
		r, err := http.NewRequestWithContext(context.Background(), http.MethodGet, m.server.URL+path, http.NoBody)
		require.NoError(t, err)
		r.Header.Set("Authorization", "Bearer "+token)
		r.Header.Set("Accept", "text/html")
		res, err := m.server.Client().Do(r)
		require.NoError(t, err)
		defer func() { require.NoError(t, res.Body.Close()) }()
		body, err := io.ReadAll(res.Body)
		require.NoError(t, err)
		return res.StatusCode, string(body)
	}
	of := "/players/" + m.players[0]
	own, text := ask(cards[0][0], of+"/record")
	require.Equal(t, http.StatusOK, own, text)
	another, text := ask(cards[0][1], of+"/record")
	require.Equal(t, http.StatusNotFound, another)
	require.NotContains(t, text, "estimate")
	_, text = ask(cards[0][0], of)
	require.Contains(t, text, of+"/record")
	_, text = ask(cards[0][1], of)
	require.NotContains(t, text, of+"/record")
	require.NotContains(t, text, "Handicap index")
}

func TestARecordIsDrawnAndItsTableSaysTheSame(t *testing.T) {
	t.Parallel()
	m := medal(t, 4)
	m.season(23, func(r, p, hole int) int { return (r*7+hole)%3 + p })
	m.switchOn()
	at := "/players/" + m.players[0] + "/record"
	v := m.secretary().reads(at)
	v.wellMade()
	require.Empty(t, all(all(v.page, "main")[0], "script"), "no script is needed")
	chart := all(v.page, "figure")[0]
	svg := all(chart, "svg")[0]
	require.Equal(t, "img", attr(svg, "role"))
	require.NotEmpty(t, words(all(svg, "title")[0]))
	require.Contains(t, words(all(svg, "desc")[0]), "The lowest 8 of the most recent 20 count")
	marks := map[string]int{}
	for _, n := range all(svg, "g") {
		marks[attr(n, "class")]++
		shape := map[string]string{"counts": "path", "recent": "circle", "older": "path"}[attr(n, "class")]
		require.Len(t, all(n, shape), 1, "the mark differs in shape")
	}
	require.Equal(t, map[string]int{"counts": 8, "recent": 12, "older": 3}, marks)
	require.Contains(t, words(svg), "average ")
	require.Contains(t, words(svg), "low index ")
	require.Contains(t, words(svg), "most recent 20")
	rows := all(byClass(v.page, "record-rounds")[0], "tr")
	inTable := map[string]int{}
	opened := 0
	for _, tr := range rows {
		if class := attr(tr, "class"); class == "opened" {
			opened++
			require.Contains(t, words(tr), "Adjusted gross score", "every round opens to its sum")
		} else if class != "" {
			inTable[class]++
		}
	}
	require.Equal(t, marks, inTable)
	require.Equal(t, 23, opened)
	require.Contains(t, v.words(), "No cap bites")
	require.Contains(t, v.words(), "used in no competition")
	require.Contains(t, v.words(), club.Caution)
	require.Contains(t, words(byClass(v.page, "official")[0]), "from the national association")

	// A round that was better than the index by seven is told in words.
	found := false
	each(v.page, func(n *html.Node) { found = found || n.Data == "dt" && words(n) == "Playing conditions" })
	require.True(t, found)
}

func TestExpectedScoresAtTheDesk(t *testing.T) {
	t.Parallel()
	m := medal(t, 2)
	v := m.secretary().reads("/desk/import?kind=expected-scores")
	v.wellMade()
	require.Contains(t, v.words(), "expected_differential")
	d, err := m.commands.ImportExpected(context.Background(), by(), command.ExpectedScores{
		Source: "a letter, invented", Rows: []events.ExpectedScore{{IndexTenths: -12, ExpectedNum: -5, ExpectedDen: 10}, {IndexTenths: 140, ExpectedNum: 8125, ExpectedDen: 1000}},
	})
	require.NoError(t, err)
	m.settle(d)
	v.reads("/desk/estimates").wellMade()
	require.Contains(t, v.words(), "2 indexes have a figure. Source: a letter, invented")
	require.Contains(t, v.words(), "+1.2")
	require.Contains(t, v.words(), "\u22120.5")
	require.Contains(t, v.words(), "8.125")
	v.form("/desk/estimates/withdrawal").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status, "a reason is needed")
	v.form("/desk/estimates/withdrawal").set("reason", "of another year").send()
	require.Contains(t, v.words(), "The expected scores are withdrawn.")
	require.Contains(t, v.words(), "None are stated.")
}

func TestStrokeIndexesAtTheDesk(t *testing.T) {
	t.Parallel()
	m := medal(t, 2)
	c, _, err := m.commands.Competition(context.Background(), m.competition)
	require.NoError(t, err)
	v := m.secretary().reads("/desk/courses/" + c.Terms.CourseID)
	v.wellMade()
	at := "/desk/courses/" + c.Terms.CourseID + "/stroke-indexes?tee=White"
	require.Contains(t, v.text, `href="`+at+`"`)

	v.reads(at).wellMade()
	require.Contains(t, v.words(), "No proposal yet")
	require.Contains(t, v.words(), fmt.Sprintf("a proposal needs %d on every hole (common practice, no source)", difficulty.Fewest))

	ranked := at
	for hole := 1; hole <= 18; hole++ {
		ranked += fmt.Sprintf("&rank%d=%d", hole, 19-hole)
	}
	v.reads(ranked).wellMade()
	require.Contains(t, v.words(), "A proposal from the committee’s ranks")
	require.Contains(t, v.words(), "The lowest of its nine")
	v.open(ranked + "&rank1=1&back_harder=1")
	require.Equal(t, http.StatusOK, v.status, "the first of two values counts")
	v.open(at + "&rank1=1&rank2=1")
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Contains(t, v.words(), "2 of 18 holes have a rank")
	v.wellMade()
	v.open(strings.Replace(ranked, "rank1=18", "rank1=17", 1))
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Contains(t, v.words(), "appears twice")
	require.Equal(t, http.StatusUnprocessableEntity, v.open(at+"&rank1=hard").status)
	require.Equal(t, http.StatusNotFound, v.open(strings.Replace(at, "White", "Mauve", 1)).status)

	m.season(difficulty.Fewest/2, func(_, _, hole int) int { return hole % 3 })
	v.reads(at).wellMade()
	require.Contains(t, v.words(), fmt.Sprintf("A proposal from %d returned cards", difficulty.Fewest))
	require.Contains(t, v.words(), "+2.00")
}
