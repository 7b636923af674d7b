package api_test

import (
	"encoding/csv"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/api/command"
	"marram.example/events"
)

// csvOf is a table as one map a row.
func csvOf(t *testing.T, body []byte) []map[string]string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(string(body))).ReadAll()
	require.NoError(t, err)
	out := make([]map[string]string, len(rows)-1)
	for i, row := range rows[1:] {
		out[i] = map[string]string{}
		for j, heading := range rows[0] {
			out[i][heading] = row[j]
		}
	}
	return out
}

// pairs is a four-ball of two sides, with cards out.
func pairs(t *testing.T, c *apitest.Client, change ...func(*events.Terms)) apitest.Morning {
	t.Helper()
	var m apitest.Morning
	m.Course = c.Post(t, "/courses", map[string]any{"name": "Low Marsh (invented)", "tees": []any{apitest.Tee()}}).Must(t, http.StatusCreated).Written(t).ID
	m.Competition = c.Post(t, "/competitions", map[string]any{"name": "Pairs", "date": "2031-05-03"}).Must(t, http.StatusCreated).Written(t).ID
	comp := "/competitions/" + m.Competition
	var terms events.Terms
	c.Get(t, comp+"/terms/preset?format=stroke_play&side=four_ball").Must(t, http.StatusOK).JSON(t, &terms)
	terms.CourseID, terms.Tees = m.Course, []string{"White"}
	for _, f := range change {
		f(&terms)
	}
	c.Put(t, comp+"/terms", terms).Must(t, http.StatusOK)
	for i, name := range []string{"Imke Sandvoort", "Teunis Krammer", "Ada Marsh", "Olaf Dyke"} {
		m.Players = append(m.Players, c.Post(t, "/players", map[string]any{
			"member_no": fmt.Sprintf("%04d", 100+i), "name": name, "index_tenths": 50 + 30*i, "effective": "2031-05-01", "origin": "official",
		}).Must(t, http.StatusCreated).Written(t).ID)
	}
	for i, team := range []string{"Terns", ""} {
		m.Entries = append(m.Entries, c.Post(t, comp+"/entries", map[string]any{
			"player_id": m.Players[2*i], "team_name": team, "partners": []any{map[string]any{"player_id": m.Players[2*i+1], "tee": "White", "index_tenths": 180}},
		}).Must(t, http.StatusCreated).Written(t).ID)
	}
	c.Post(t, comp+"/draw", map[string]any{"method": "as_entered"}).Must(t, http.StatusCreated)
	c.Post(t, comp+"/round/opening", nil).Must(t, http.StatusOK)
	for _, e := range m.Entries {
		m.Cards = append(m.Cards, command.CardID(m.Competition, e, 1))
	}
	return m
}

// A side has its own names, balls and card; nothing of a name that is not to be
// shown gets out.
func TestSides(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := pairs(t, c, func(terms *events.Terms) { terms.NamesAs = "initials" })
	comp, card := "/competitions/"+m.Competition, "/cards/"+m.Cards[0]
	var entries api.Page[api.Entry]
	c.Get(t, comp+"/entries").Must(t, http.StatusOK).JSON(t, &entries)
	require.Equal(t, []string{"Terns", "Ada Marsh & Olaf Dyke"}, []string{entries.Items[0].Name, entries.Items[1].Name})
	require.Equal(t, []api.Named{{PlayerID: m.Players[0], Name: "Imke Sandvoort"}, {PlayerID: m.Players[1], Name: "Teunis Krammer"}}, entries.Items[0].Players)
	require.Equal(t, 180, entries.Items[0].Partners[0].IndexTenths)

	player := s.Bearer(apitest.MustLink(t, c, m.Cards[0], events.RolePlayer))
	player.Post(t, card+"/scores", map[string]any{"hole": 1, "ball": 1, "strokes": 3}).Must(t, http.StatusCreated)
	w := player.Post(t, card+"/scores", map[string]any{"hole": 1, "strokes": 5}).Must(t, http.StatusCreated).Written(t)
	before := s.Position(t)
	p := player.Post(t, card+"/scores", map[string]any{"hole": 1, "ball": 2, "strokes": 5}).Must(t, http.StatusUnprocessableEntity).Problem(t)
	require.Equal(t, "ball", p.Field)
	require.Equal(t, before, s.Position(t))

	var k api.Card
	s.Anonymous().Get(t, fmt.Sprintf("%s?min_sequence=%d", card, w.Position)).Must(t, http.StatusOK).JSON(t, &k)
	require.Equal(t, "four_ball", k.Play.Side)
	require.Equal(t, []string{"I. S.", "T. K."}, []string{k.Balls[0].Name, k.Balls[1].Name})
	require.Equal(t, 3, k.Balls[1].Holes[0].Counting.Strokes)
	require.Equal(t, []int{1}, k.Counts[0].By)
	require.Equal(t, 3, *k.Counts[0].Gross)
	require.Empty(t, k.Counts[1].By)
	require.Equal(t, 3, *k.Totals.Gross)
	require.Equal(t, 85, k.Balls[0].Figures.AllowancePercent)
	for _, path := range []string{comp, comp + "/entries", comp + "/draw", comp + "/board", card, card + "/figures", card + "/events"} {
		body := string(s.Anonymous().Get(t, path).Must(t, http.StatusOK).Body)
		for _, name := range []string{"Sandvoort", "Krammer", "Marsh\"", "Dyke"} {
			require.NotContains(t, body, name, path)
		}
	}
	// A whole card of both balls, typed in.
	for i, id := range m.Cards {
		in := apitest.Scores(apitest.Par + i)
		in["partners"], in["signed"], in["confirmed"] = []any{apitest.Scores(apitest.Par + 2)["scores"]}, true, true
		if i == 0 {
			in["reason"] = "from the paper"
		}
		c.Put(t, "/cards/"+id+"/scores", in).Must(t, http.StatusOK)
	}
	var lines api.Page[api.CardLine]
	c.Get(t, comp+"/cards?round=1").Must(t, http.StatusOK).JSON(t, &lines)
	require.Equal(t, []string{api.CardReturned, api.CardReturned}, []string{lines.Items[0].State, lines.Items[1].State})
	c.Post(t, comp+"/round/closing", nil).Must(t, http.StatusOK)
	w = c.Post(t, comp+"/result", nil).Must(t, http.StatusCreated).Written(t)
	table := csvOf(t, c.Get(t, fmt.Sprintf("%s/result.csv?min_sequence=%d", comp, w.Position)).Must(t, http.StatusOK).Body)
	require.Equal(t, "Imke Sandvoort & Teunis Krammer", table[0]["players"])
	require.Equal(t, "official", table[0]["index_origin"])
	require.Contains(t, table[0], "gross")
	require.NotContains(t, table[0], "points")
}

// A card is complete as soon as what counts is there: one ball a hole in four-ball.
func TestAttentionOfASide(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := pairs(t, c)
	for i := range 18 {
		c.Post(t, "/cards/"+m.Cards[0]+"/scores", map[string]any{"hole": i + 1, "ball": i % 2, "strokes": 4}).Must(t, http.StatusCreated)
	}
	c.Post(t, "/competitions/"+m.Competition+"/excluded-holes", map[string]any{"hole": 3, "reason": "under water"}).Must(t, http.StatusOK)
	var a api.Attention
	c.Get(t, "/competitions/"+m.Competition+"/attention").Must(t, http.StatusOK).JSON(t, &a)
	require.Equal(t, map[string]int{"out": 1, "differs": 0, "not_certified": 1, "returned": 0, "ruled": 0}, a.Counts)
	require.Equal(t, 17, a.Items[0].Holes)
}

// Two rounds with a cut: phases, start sheets, cards and figures by round.
func TestRoundsAndCut(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c, func(terms *events.Terms) {
		terms.Rounds, terms.Ranking = 2, "gross"
		terms.Cut = &events.Cut{AfterRound: 1, Places: 2}
		terms.PerRound = []events.RoundTerms{{}, {Date: "2031-05-04"}}
	})
	comp := "/competitions/" + m.Competition
	apitest.MustHandIn(t, c, m)
	require.Equal(t, "not_now", c.Post(t, comp+"/cut", nil).Must(t, http.StatusConflict).Problem(t).Code)
	c.Post(t, comp+"/round/closing", nil).Must(t, http.StatusOK)
	var k api.Competition
	s.Anonymous().Get(t, comp).Must(t, http.StatusOK).JSON(t, &k)
	require.EqualValues(t, "between", k.Phase)
	require.Equal(t, m.Entries[:2], k.Cut.Through)
	require.Equal(t, m.Entries[2:], k.Cut.Missed)
	// A correction moves the cut only when it is made again.
	c.Post(t, "/cards/"+m.Cards[3]+"/scores", map[string]any{"hole": 1, "strokes": 1, "confirmed": true, "reason": "typed wrongly"}).Must(t, http.StatusCreated)
	for i := 2; i <= 18; i++ {
		c.Post(t, "/cards/"+m.Cards[3]+"/scores", map[string]any{"hole": i, "strokes": 3, "reason": "typed wrongly"}).Must(t, http.StatusCreated)
	}
	c.Post(t, comp+"/cut", nil).Must(t, http.StatusOK)
	c.Get(t, comp).JSON(t, &k)
	require.Equal(t, []string{m.Entries[3], m.Entries[0]}, k.Cut.Through)
	c.Post(t, comp+"/draw", map[string]any{"method": "standing"}).Must(t, http.StatusCreated)
	c.Post(t, comp+"/round/opening", nil).Must(t, http.StatusOK)
	c.Get(t, comp).JSON(t, &k)
	require.Equal(t, []int{2, 2, 1}, []int{k.Round, k.Rounds, len(k.Past)})
	require.Equal(t, "2031-05-03", k.Past[0].Date)
	require.Equal(t, "/api/v1"+comp+"/draw?round=1", k.Past[0].Path)
	var draw api.Draw
	c.Get(t, comp+"/draw?round=1").Must(t, http.StatusOK).JSON(t, &draw)
	require.Len(t, draw.Groups, 2)
	c.Get(t, comp+"/draw").JSON(t, &draw)
	require.Len(t, draw.Groups, 1)
	require.Equal(t, m.Entries[3], draw.Groups[0].Places[1].EntryID, "the leader last")
	var lines api.Page[api.CardLine]
	c.Get(t, comp+"/cards").JSON(t, &lines)
	require.Len(t, lines.Items, 2)
	require.Equal(t, 2, lines.Items[0].Round)
	c.Get(t, comp+"/cards?round=1").JSON(t, &lines)
	require.Len(t, lines.Items, 4)
	for _, e := range []string{m.Entries[0], m.Entries[3]} {
		in := apitest.Scores(5)
		in["signed"] = true
		c.Put(t, "/cards/"+command.CardID(m.Competition, e, 2)+"/scores", in).Must(t, http.StatusOK)
	}
	s.Anonymous().Get(t, "/cards/"+command.CardID(m.Competition, m.Entries[0], 2)+"/figures").Must(t, http.StatusOK)
	c.Post(t, comp+"/round/closing", nil).Must(t, http.StatusOK)
	w := c.Post(t, comp+"/result", nil).Must(t, http.StatusCreated).Written(t)
	var res api.Result
	c.Get(t, fmt.Sprintf("%s/result?min_sequence=%d", comp, w.Position)).JSON(t, &res)
	require.Equal(t, 2, res.Rounds)
	require.Len(t, res.Rows[0].Rounds, 2)
	require.Equal(t, "MC", res.Rows[2].Status)
	require.Empty(t, res.Rows[2].Positions["gross"])
	table := csvOf(t, c.Get(t, fmt.Sprintf("%s/result.csv?min_sequence=%d", comp, w.Position)).Body)
	require.Equal(t, "90", table[0]["round_2_gross"])
	require.Empty(t, table[2]["round_2_gross"])
	require.Equal(t, "returned", table[2]["round_1_status"])
}

// Who is disqualified between two rounds is not drawn, whoever is given back a card
// holds the draw up, and a draw by standing says the same when it is made again.
func TestCorrectionsBetweenRounds(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c, func(terms *events.Terms) { terms.Rounds, terms.Ranking = 2, "gross" })
	comp := "/competitions/" + m.Competition
	apitest.MustHandIn(t, c, m)
	worst := apitest.Scores(9)
	worst["signed"], worst["confirmed"], worst["reason"] = true, true, "another card"
	c.Put(t, "/cards/"+m.Cards[0]+"/scores", worst).Must(t, http.StatusOK)
	c.Post(t, comp+"/round/closing", nil).Must(t, http.StatusOK)
	c.Post(t, "/cards/"+m.Cards[1]+"/reopening", map[string]any{"reason": "given back"}).Must(t, http.StatusOK)
	require.Equal(t, "cards_out", c.Post(t, comp+"/draw", map[string]any{"method": "standing"}).Must(t, http.StatusConflict).Problem(t).Code)
	c.Post(t, "/cards/"+m.Cards[1]+"/ruling", map[string]any{"status": "DQ", "reason": "a serious breach"}).Must(t, http.StatusOK)
	drawn := func(in map[string]any) []string {
		c.Post(t, comp+"/draw", in).Must(t, http.StatusCreated)
		var d api.Draw
		c.Get(t, comp+"/draw").Must(t, http.StatusOK).JSON(t, &d)
		var out []string
		for _, g := range d.Groups {
			for _, p := range g.Places {
				out = append(out, p.EntryID)
			}
		}
		return out
	}
	leaderLast := []string{m.Entries[0], m.Entries[3], m.Entries[2]}
	require.Equal(t, leaderLast, drawn(map[string]any{"method": "standing"}))
	drawn(map[string]any{"method": "as_entered", "reason": "tried"})
	require.Equal(t, leaderLast, drawn(map[string]any{"method": "standing", "reason": "as before"}))
}

// Holes out, playing conditions and penalties: what they do, who sees why.
func TestRulingsOfTheDay(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	comp, card := "/competitions/"+m.Competition, "/cards/"+m.Cards[0]
	c.Post(t, comp+"/excluded-holes", map[string]any{"hole": 14, "reason": "green under water"}).Must(t, http.StatusOK)
	c.Post(t, comp+"/excluded-holes", map[string]any{"hole": 5, "reason": "taken for the flooded one"}).Must(t, http.StatusOK)
	c.Post(t, comp+"/excluded-holes/restoration", map[string]any{"hole": 5, "reason": "it was the 14th"}).Must(t, http.StatusOK)
	c.Post(t, comp+"/playing-conditions", map[string]any{"adjustment": 2, "source": "association, 3 May 2031"}).Must(t, http.StatusOK)
	var k api.Competition
	s.Anonymous().Get(t, comp).Must(t, http.StatusOK).JSON(t, &k)
	require.Len(t, k.Excluded, 1)
	require.Equal(t, 14, k.Excluded[0].Hole)
	require.Equal(t, 2, k.Conditions[0].Adjustment)
	require.Equal(t, "excluded", c.Post(t, card+"/scores", map[string]any{"hole": 14, "strokes": 4}).Must(t, http.StatusConflict).Problem(t).Code)
	for i, id := range m.Cards {
		in := apitest.Scores(apitest.Par + i)
		in["signed"], in["scores"].([]any)[13] = true, map[string]any{}
		c.Put(t, "/cards/"+id+"/scores", in).Must(t, http.StatusOK)
	}
	one := c.Post(t, card+"/penalties", map[string]any{"hole": 17, "strokes": 2, "rule": "Rules of Golf 14.7", "reason": "a private matter"}).
		Must(t, http.StatusCreated).Written(t)
	c.Post(t, card+"/penalties", map[string]any{"strokes": 1, "reason": "a private matter"}).Must(t, http.StatusCreated)
	var got api.Card
	c.Get(t, card).Must(t, http.StatusOK).JSON(t, &got)
	require.Equal(t, one.ID, got.Penalties[0].ID)
	require.Equal(t, 17*apitest.Par+3, *got.Totals.Gross)
	require.Equal(t, []any{2, true, []int{}}, []any{got.Counts[16].Penalty, got.Counts[13].Entered, got.Counts[13].By})
	for _, path := range []string{card, card + "/figures", card + "/events"} {
		require.NotContains(t, string(s.Anonymous().Get(t, path).Must(t, http.StatusOK).Body), "private", path)
		require.Contains(t, string(c.Get(t, path).Must(t, http.StatusOK).Body), "private", path)
	}
	c.Post(t, card+"/penalties/"+one.ID+"/removal", map[string]any{"reason": "it was in the score"}).Must(t, http.StatusOK)
	p := c.Post(t, card+"/penalties/"+one.ID+"/removal", map[string]any{"reason": "again"}).Must(t, http.StatusNotFound).Problem(t)
	require.Equal(t, "penalty_id", p.Field)
	c.Post(t, comp+"/round/closing", nil).Must(t, http.StatusOK)
	late := map[string]any{"hole": 2, "strokes": 1, "reason": "known before the close"}
	require.Equal(t, "late", c.Post(t, card+"/penalties", late).Must(t, http.StatusConflict).Problem(t).Field)
	late["late"] = true
	c.Post(t, card+"/penalties", late).Must(t, http.StatusCreated)
}

// A tie drawn by lot with a seed is drawn here, and anybody can repeat it.
func TestSeededLot(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	apitest.MustHandIn(t, c, m)
	comp := "/competitions/" + m.Competition
	c.Post(t, comp+"/round/closing", nil).Must(t, http.StatusOK)
	tie := map[string]any{"ranking": "net", "entry_ids": m.Entries, "method": "lot", "reason": "drawn here", "seed": 7}
	c.Post(t, comp+"/ties", tie).Must(t, http.StatusOK)
	var first, second api.Competition
	c.Get(t, comp).JSON(t, &first)
	require.EqualValues(t, 7, first.Ties[0].Seed)
	tie["entry_ids"] = []string{m.Entries[3], m.Entries[1], m.Entries[0], m.Entries[2]}
	c.Post(t, comp+"/ties", tie).Must(t, http.StatusOK)
	c.Get(t, comp).JSON(t, &second)
	require.Equal(t, first.Ties, second.Ties)
	tie["method"] = "play_off"
	require.Equal(t, "seed", c.Post(t, comp+"/ties", tie).Must(t, http.StatusUnprocessableEntity).Problem(t).Field)
}

// The published table, and what terms begin with.
func TestAllowancesAndPresets(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	a := s.Anonymous()
	var table api.Allowances
	a.Get(t, "/allowances").Must(t, http.StatusOK).JSON(t, &table)
	require.Len(t, table.Items, 24, "Rules of Handicapping 2024, Appendix C")
	for _, x := range table.Items {
		require.NotEmpty(t, x.Source)
		require.Equal(t, 2024, x.Year)
	}
	for _, k := range []struct {
		query   string
		percent int
		shares  []int
		source  bool
		check   func(t *testing.T, terms events.Terms)
	}{
		{"", 95, nil, true, func(t *testing.T, x events.Terms) { require.True(t, x.ParDifference) }},
		{"format=stableford", 95, nil, true, func(t *testing.T, x events.Terms) { require.False(t, x.ParDifference) }},
		{"format=par_bogey", 95, nil, true, func(t *testing.T, x events.Terms) { require.Equal(t, "as_allocated", x.TieShare) }},
		{"format=maximum_score", 95, nil, true, func(t *testing.T, x events.Terms) {
			require.Equal(t, events.Maximum{Kind: events.NetDoubleBogey}, x.Maximum)
			require.False(t, x.ParDifference)
		}},
		{"side=four_ball", 85, nil, true, func(t *testing.T, x events.Terms) { require.Equal(t, 2, x.SideSize) }},
		{"format=par_bogey&side=four_ball", 90, nil, true, nil},
		{"side=foursomes", 100, []int{50, 50}, true, nil},
		{"format=stableford&side=greensomes", 100, []int{60, 40}, true, nil},
		{"side=chapman", 100, []int{60, 40}, true, nil},
		{"side=scramble", 100, []int{35, 15}, true, nil},
		{"side=scramble&side_size=3", 100, []int{30, 20, 10}, true, nil},
		{"side=scramble&side_size=4", 100, []int{25, 20, 15, 10}, true, nil},
		{"side=best_of", 85, nil, true, func(t *testing.T, x events.Terms) { require.Equal(t, []int{2}, x.Count) }},
		{"side=best_of&count=1", 75, nil, true, nil},
		{"side=best_of&count=3", 100, nil, true, nil},
		{"format=par_bogey&side=best_of&count=2", 80, nil, true, nil},
		{"side=aggregate&side_size=4", 100, nil, true, nil},
		{"side=best_of&side_size=3", 100, nil, false, nil},
		{"format=stableford&side=aggregate", 100, nil, false, nil},
		{"format=match", 100, nil, true, func(t *testing.T, x events.Terms) {
			require.Equal(t, &events.MatchTerms{Bracket: "knockout", Length: 18, ExtraHoles: true}, x.Match)
			require.True(t, x.ParDifference)
			require.Zero(t, x.Rounds)
		}},
		{"format=match&side=four_ball", 90, nil, true, nil},
		{"format=match&side=foursomes", 100, []int{50, 50}, true, nil},
	} {
		var terms events.Terms
		a.Get(t, "/competitions/any/terms/preset?"+k.query).Must(t, http.StatusOK).JSON(t, &terms)
		require.Equal(t, []any{k.percent, k.shares, k.source}, []any{terms.AllowancePercent, terms.SideAllowances, terms.AllowanceSource != "committee"}, k.query)
		if k.check != nil {
			k.check(t, terms)
		}
	}
	for query, field := range map[string]string{
		"format=chess": "format", "side=trio": "side", "side=four_ball&side_size=3": "side_size", "side_size=2": "side_size",
		"side=best_of&count=4": "count", "side=four_ball&count=1": "count", "format=match&side=scramble": "side",
		"side=scramble&side_size=5": "side_size", "side=best_of&count=x": "count",
	} {
		p := a.Get(t, "/competitions/any/terms/preset?"+query, apitest.Bad()).Must(t, http.StatusUnprocessableEntity).Problem(t)
		require.Equal(t, field, p.Field, query)
	}
}

// Every preset can be played as it is, with course and tees filled in.
func TestPresetsCanBePlayed(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	course := c.Post(t, "/courses", course("Low Marsh (invented)")).Must(t, http.StatusCreated).Written(t).ID
	for _, format := range []string{"stroke_play", "stableford", "par_bogey", "maximum_score", "match"} {
		for _, side := range []string{"", "four_ball", "foursomes", "greensomes", "chapman", "scramble", "best_of", "aggregate"} {
			id := c.Post(t, "/competitions", map[string]any{"name": "Any", "date": "2031-05-03"}).Must(t, http.StatusCreated).Written(t).ID
			a := c.Get(t, fmt.Sprintf("/competitions/%s/terms/preset?format=%s&side=%s", id, format, side))
			if format == "match" && (side == "scramble" || side == "best_of" || side == "aggregate") {
				a.Must(t, http.StatusUnprocessableEntity)
				continue
			}
			var terms events.Terms
			a.Must(t, http.StatusOK).JSON(t, &terms)
			terms.CourseID, terms.Tees = course, []string{"White"}
			c.Put(t, "/competitions/"+id+"/terms", terms).Must(t, http.StatusOK)
		}
	}
}
