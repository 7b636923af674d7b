package web_test

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"marram.example/api/command"
	"marram.example/events"
)

// weight is the most that a review may weigh before it is compressed.
const weight = 120 << 10

// logRound logs the strokes of a whole round, invented: drives finish to the right,
// strikes go good, fair, poor in turn, and the first putt stops short.
func (m *morning) logRound(card string, seed int) {
	m.t.Helper()
	ctx := context.Background()
	k, err := m.commands.Card(ctx, card)
	require.NoError(m.t, err)
	at := now.Add(-5 * time.Hour)
	n := seed
	var last command.Done
	for _, h := range k.State.Holes {
		var strokes []command.LoggedStroke
		left, lie := float64(h.LengthM), events.LieTee
		for stroke := 0; left > 0; stroke++ {
			n++
			intent, struck := at, at.Add(time.Duration(18+n*7%30)*time.Second)
			at = struck.Add(2 * time.Minute)
			enough := n%3 != 0
			s := command.LoggedStroke{Stroke: command.Stroke{
				Lie: lie, Distance: left, Commitment: 2 + n%4, IntentAt: &intent, StruckAt: &struck,
				Strike: []string{events.StrikeGood, events.StrikeFair, events.StrikePoor}[n%3], GoodEnough: &enough,
			}}
			s.Miss = command.Miss{Side: events.MissRight, SideBy: float64(4 + n%9), Length: events.MissShort, LengthBy: float64(1 + n%5)}
			switch {
			case lie == events.LieGreen && (left < 1.2 || n%4 == 0):
				s.Club, s.Finish, left = "putter", &command.Finish{Holed: true}, 0
				s.Miss = command.Miss{}
			case lie == events.LieGreen:
				s.Club, left = "putter", left/6
				s.Miss = command.Miss{Length: events.MissShort, LengthBy: left}
			case left > 250:
				s.Club, left, lie = "driver", left-190-float64(n%20), events.LieFairway
			case left > 60:
				s.Club, left, lie = "iron-7", 8+float64(n%12), events.LieGreen
			default:
				s.Club, left, lie = "sand-wedge", 3+float64(n%4), events.LieGreen
			}
			if left > 0 {
				s.Finish = &command.Finish{Lie: lie, Distance: left}
			}
			strokes = append(strokes, s)
		}
		last, err = m.commands.LogHole(ctx, as(events.RolePlayer, card), card, h.Number, command.LogHole{Strokes: strokes})
		require.NoError(m.t, err)
	}
	m.settle(last)
}

// returned types in what the strokes say and returns the card.
func (m *morning) returned(card string) {
	m.t.Helper()
	ctx := context.Background()
	k, err := m.commands.Card(ctx, card)
	require.NoError(m.t, err)
	in := command.EnterCard{Confirmed: true, Signed: true}
	for _, h := range k.State.Holes {
		strokes := h.Counting().Strokes
		if strokes == 0 {
			strokes = h.Par + 1
		}
		in.Scores = append(in.Scores, command.HoleEntry{Strokes: &strokes})
	}
	d, err := m.commands.EnterCard(ctx, by(), card, in)
	require.NoError(m.t, err)
	m.settle(d)
}

// pictures are the figures of a page that are drawn, and checks that each says in
// words and in a table what it shows.
func (v *visitor) pictures() map[string]*html.Node {
	v.t.Helper()
	out := map[string]*html.Node{}
	for _, f := range byClass(v.page, "drawing") {
		id := attr(f, "id")
		var drawn *html.Node
		for _, svg := range all(f, "svg") {
			if attr(svg, "role") == "img" {
				drawn = svg
			}
		}
		if drawn == nil {
			assert.NotEmpty(v.t, byClass(f, "too-few"), "%s is neither drawn nor excused", id)
			continue
		}
		out[id] = drawn
		assert.NotEmpty(v.t, words(all(drawn, "title")[0]), id)
		assert.NotEmpty(v.t, words(all(drawn, "desc")[0]), id)
		details := all(f, "details")
		if assert.NotEmpty(v.t, details, "no numbers behind %s", id) {
			rows := all(details[0], "tr")
			assert.Greater(v.t, len(rows), 1, "an empty table behind %s", id)
			for _, tr := range rows[1:] {
				assert.NotEmpty(v.t, words(all(tr, "th")[0]), id)
			}
		}
		each(drawn, func(n *html.Node) {
			for _, a := range n.Attr {
				assert.NotContains(v.t, a.Val, "NaN", id)
				assert.NotContains(v.t, a.Val, "Inf", id)
			}
		})
	}
	return out
}

func TestARoundIsReviewed(t *testing.T) {
	t.Parallel()
	m := medal(t, 4)
	m.open()
	for i := range 3 {
		m.logRound(m.card(i), i)
	}
	at := "/cards/" + m.card(0) + "/review"
	v := m.holder(0, events.RolePlayer)
	require.NotContains(t, v.text, at, "no way in while the round is on")
	v.open(at)
	require.Equal(t, http.StatusConflict, v.status)
	v.wellMade()
	require.Contains(t, v.words(), "Opens when the card is returned")
	require.Contains(t, v.words(), "4.3a")
	require.Empty(t, byClass(v.page, "drawing"))
	require.NotContains(t, strings.ToLower(v.words()), "practise first")

	for i := range 3 {
		m.returned(m.card(i))
	}
	v.reads("/cards/" + m.card(0))
	require.Contains(t, v.text, `href="`+at+`"`)
	v.reads(at).wellMade()
	r, _ := v.get(at, nil)
	require.Equal(t, "no-store", r.Header.Get("Cache-Control"))
	require.Less(t, len(v.text), weight)
	first := byClass(v.page, "first")[0]
	require.Contains(t, words(first), "Practise first")
	sentences := all(byClass(v.page, "sentences")[0], "li")
	require.Len(t, sentences, 3)
	drawn := v.pictures()
	for _, id := range []string{"phases", "areas", "holes", "patterns-driver", "patterns-mid-irons", "putts", "square", "commitment", "routine", "clubs"} {
		require.Contains(t, drawn, id)
	}
	ids := map[string]bool{}
	each(v.page, func(n *html.Node) { ids[attr(n, "id")] = true })
	for _, li := range sentences {
		a := all(li, "a")[0]
		require.True(t, ids[strings.TrimPrefix(attr(a, "href"), "#")], "a sentence opens nothing: %s", words(li))
	}
	require.Contains(t, words(drawn["holes"]), "the day’s field of 3")
	require.Contains(t, words(drawn["patterns-driver"]), "right")
	// Signs stand in the text: the tint is only a second cue.
	for _, n := range all(drawn["phases"], "text") {
		if strings.Contains(attr(n, "class"), "figure under") {
			require.True(t, strings.HasPrefix(words(n), "+"), words(n))
		}
		if strings.Contains(attr(n, "class"), "figure over") {
			require.True(t, strings.HasPrefix(words(n), "\u2212"), words(n))
		}
	}
	require.Empty(t, all(all(v.page, "main")[0], "script"), "no script is needed")
}

// The waterfall's steps are the phases, and the table behind it says the same.
func TestTheWaterfallAddsUp(t *testing.T) {
	t.Parallel()
	m := medal(t, 2)
	m.open()
	m.logRound(m.card(0), 5)
	m.returned(m.card(0))
	v := m.holder(0, events.RolePlayer).reads("/cards/" + m.card(0) + "/review?baseline=broadie-2012")
	svg := v.pictures()["phases"]
	var shown []string
	for _, n := range all(svg, "text") {
		if strings.Contains(attr(n, "class"), "figure") {
			shown = append(shown, words(n))
		}
	}
	var listed []string
	for _, f := range byClass(v.page, "drawing") {
		if attr(f, "id") != "phases" {
			continue
		}
		for _, tr := range all(f, "tr")[1:] {
			if cells := all(tr, "td"); words(cells[1]) != "" {
				listed = append(listed, words(cells[1]))
			}
		}
	}
	require.Equal(t, listed, shown)
	require.Len(t, shown, 4, "three phases have strokes in this round, and the total")
	require.Contains(t, v.words(), "PGA TOUR 2003\u20132010 (published)")
}

func TestWhoReadsAReview(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	m.logRound(m.card(0), 1)
	m.returned(m.card(0))
	card, player := "/cards/"+m.card(0)+"/review", "/players/"+m.players[0]+"/review"
	for who, v := range map[string]*visitor{
		"a passer-by": m.visit(), "the marker": m.holder(0, events.RoleMarker), "another player": m.holder(1, events.RolePlayer), "the committee": m.secretary(),
	} {
		for _, at := range []string{card, player} {
			v.open(at)
			require.Contains(t, []int{http.StatusForbidden, http.StatusUnauthorized}, v.status, "%s on %s", who, at)
			require.NotContains(t, v.words(), "gained", "%s on %s", who, at)
		}
		v.reads("/cards/" + m.card(0))
		require.NotContains(t, v.text, card, who)
		v.reads("/players/" + m.players[0])
		require.NotContains(t, v.text, player, who)
	}
	v := m.holder(0, events.RolePlayer)
	v.reads("/players/" + m.players[0])
	require.Contains(t, v.text, player)
	for _, at := range []string{"/cards/none/review", "/cards/a%20b/review", "/cards/a-b-1/review"} {
		require.Equal(t, http.StatusNotFound, v.open(at).status, at)
		v.wellMade()
	}
	require.Equal(t, http.StatusNotFound, v.open("/players/a%20b/review").status)
}

// A player shares, the coach reads and writes a note, the player withdraws.
func TestSharingAReview(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	m.logRound(m.card(0), 1)
	m.returned(m.card(0))
	at := "/players/" + m.players[0] + "/review"
	v := m.holder(0, events.RolePlayer).reads(at)
	v.wellMade()
	require.Contains(t, v.words(), "Only you.")
	v.form("/players/"+m.players[0]+"/shares").set("for", "the coach, invented").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	require.NotContains(t, v.words(), "Only you.", "a link is out")
	v.wellMade()
	require.Contains(t, v.words(), "the coach, invented")
	link := ""
	for _, in := range all(v.page, "input") {
		if strings.Contains(attr(in, "value"), "/r/") {
			u, err := url.Parse(attr(in, "value"))
			require.NoError(t, err)
			link = u.Path
		}
	}
	require.NotEmpty(t, link)

	coach := m.visit()
	coach.reads("/coach").wellMade()
	require.Contains(t, coach.words(), "holds no link")
	coach.reads(link)
	require.Equal(t, at, coach.at, "the secret is out of the address bar")
	coach.wellMade()
	require.NotContains(t, coach.words(), "Who may read this")
	require.NotContains(t, coach.text, link)
	coach.reads("/coach").wellMade()
	require.Contains(t, coach.text, at)
	coach.reads("/cards/" + m.card(0) + "/review").wellMade()
	coach.form("/players/"+m.players[0]+"/notes").set("text", "Aim further left\noff the tee.").send()
	require.Equal(t, http.StatusOK, coach.status, coach.words())
	require.Equal(t, "/cards/"+m.card(0)+"/review", strings.Split(coach.at, "#")[0])
	require.Contains(t, coach.words(), "Aim further left")
	v.reads(at).wellMade()
	require.Contains(t, v.words(), "Aim further left")
	require.Contains(t, v.words(), "the coach, invented")

	for _, f := range all(v.page, "form") {
		if strings.HasSuffix(attr(f, "action"), "/withdrawal") {
			v.fieldsOf(f).send()
			break
		}
	}
	require.Contains(t, v.words(), "withdrawn")
	require.NotContains(t, v.text, link)
	require.NotEqual(t, http.StatusOK, coach.open(at).status)
	require.NotContains(t, coach.words(), "Aim further left")
	coach.reads("/coach")
	require.Contains(t, coach.words(), "1 link opens nothing any more")
	late := m.visit().open(link)
	require.NotEqual(t, http.StatusOK, late.status)
	require.Contains(t, late.words(), "ask the player for a new one", "no card, and nothing of the committee's")
	require.Contains(t, v.reads(at).words(), "Only you.")
}

func TestTheCorridorIsDrawnInTheUnitsAskedFor(t *testing.T) {
	t.Parallel()
	m := medal(t, 2)
	m.open()
	m.logRound(m.card(0), 1)
	m.returned(m.card(0))
	at := "/cards/" + m.card(0) + "/review"
	v := m.holder(0, events.RolePlayer).reads(at)
	require.NotContains(t, v.pictures(), "corridor")
	asked := func(s *sheet) string { return at + "?" + s.values.Encode() } // a browser puts the query before the fragment
	v.reads(asked(v.form(at+"#corridor").set("left", "20").set("right", "12").set("group", "driver")))
	v.wellMade()
	require.Less(t, len(v.text), weight)
	lane := v.pictures()["corridor"]
	require.NotNil(t, lane)
	require.Contains(t, words(lane), "from 20 m")
	require.Contains(t, words(lane), "of 100 stay between the troubles")

	base, err := url.Parse(m.server.URL)
	require.NoError(t, err)
	v.client.Jar.SetCookies(base, []*http.Cookie{{Name: "units", Value: "yd"}})
	v.reads(at)
	require.Contains(t, v.words(), "to 3 ft")
	v.reads(asked(v.form(at+"#corridor").set("left", "20").set("right", "12")))
	require.Contains(t, words(v.pictures()["corridor"]), "from 20 yd")

	for query, said := range map[string]string{
		"left=far": "left", "left=900": "metres", "baseline=mine": "baselines are", "last=7": "5, 10, 20 or 50", "left=5&right=-9": "edges", "group=spoons": "groups of clubs",
	} {
		v.open(at + "?" + query)
		require.Equal(t, http.StatusUnprocessableEntity, v.status, query)
		v.wellMade()
		require.Contains(t, v.words(), "Not worked out.", query)
		require.Contains(t, v.words(), said, query)
		require.Len(t, all(byClass(v.page, "sentences")[0], "li"), 3, "the review stands without it")
	}
}

// Where next to nothing was logged the page says so, and draws nothing that it does
// not know.
func TestAReviewOfScoresAlone(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	for i := range 3 {
		m.returned(m.card(i))
	}
	v := m.holder(0, events.RolePlayer).reads("/cards/" + m.card(0) + "/review")
	v.wellMade()
	drawn := v.pictures()
	require.Contains(t, drawn, "holes")
	require.NotContains(t, drawn, "phases")
	require.NotContains(t, drawn, "patterns-driver")
	require.Contains(t, v.words(), "No stroke with lie and distance is logged")
	require.Len(t, all(byClass(v.page, "sentences")[0], "li"), 3)
	v.reads("/players/" + m.players[0] + "/review").wellMade()
	v.pictures()
}

// A practice round may be looked at while it is played, beside the caution.
func TestAPracticeRoundIsReviewedLive(t *testing.T) {
	t.Parallel()
	m := medal(t, 2, func(terms *events.Terms) { terms.Practice = true })
	m.open()
	m.logRound(m.card(0), 1)
	v := m.holder(0, events.RolePlayer).reads("/cards/" + m.card(0) + "/review")
	v.wellMade()
	require.Contains(t, words(byClass(v.page, "caution-line")[0]), "4.3a")
	require.Contains(t, v.pictures(), "phases")

	m = medal(t, 3, func(terms *events.Terms) { terms.Practice = true })
	m.open()
	v = m.holder(0, events.RolePlayer)
	m.twoToTheGreen(v)
	v.reads("/cards/" + m.card(0) + "/review")
	require.Contains(t, v.pictures(), "holes")
	require.NotContains(t, v.words(), "Dearest", "one hole is neither the best nor the dearest")
}

// Each ball of a side has a review of its own, which names its player and leads to
// the other one.
func TestAReviewOfEachBall(t *testing.T) {
	t.Parallel()
	m := fourBall(t)
	k := m.state(0)
	who := as(events.RolePlayer, m.card(0))
	for b := range 2 {
		who.CommandID = fmt.Sprintf("ball-%d", b)
		_, err := m.commands.RecordStroke(t.Context(), who, m.card(0), command.RecordStroke{Ball: b, Hole: 1, Stroke: command.Stroke{
			Lie: events.LieTee, Distance: 300, Finish: &command.Finish{Lie: events.LieFairway, Distance: float64(100 + b)}}})
		require.NoError(t, err)
	}
	scores := make([]command.HoleEntry, len(k.Holes))
	for i, h := range k.Holes {
		scores[i].Strokes = &h.Par
	}
	d, err := m.commands.EnterCard(t.Context(), by(), m.card(0), command.EnterCard{Scores: scores, Partners: [][]command.HoleEntry{scores}, Confirmed: true, Signed: true})
	require.NoError(t, err)
	m.settle(d)
	at := "/cards/" + m.card(0) + "/review"
	v := m.holder(0, events.RolePlayer)
	var named []string
	for b, path := range []string{at, at + "?ball=1"} {
		v.reads(path).wellMade()
		links := all(byClass(v.page, "whose")[0], "a")
		require.Len(t, links, 2)
		require.Equal(t, "page", attr(links[b], "aria-current"))
		require.Equal(t, at+"?ball="+fmt.Sprint(1-b), attr(links[1-b], "href"))
		require.Contains(t, words(byClass(v.page, "lead")[0]), words(links[b]), "the heading names whose ball it is")
		require.NotContains(t, words(byClass(v.page, "lead")[0]), words(links[1-b]))
		named = append(named, words(links[b]))
	}
	require.NotEqual(t, named[0], named[1])
	require.Equal(t, http.StatusUnprocessableEntity, v.open(at+"?ball=7").status)
	require.Contains(t, words(byClass(v.page, "lead")[0]), named[0])
}
