package api_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api/apitest"
	"marram.example/api/command"
	"marram.example/events"
)

// Terms that cannot be played are refused with the field, and nothing is stored.
func TestBadTerms(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustDraw(t, c)
	path := "/competitions/" + c.Post(t, "/competitions", map[string]any{"name": "Any", "date": "2031-05-03"}).Must(t, http.StatusCreated).Written(t).ID + "/terms"
	strokes := func(kind string, n int) events.Maximum { return events.Maximum{Kind: kind, Strokes: n} }
	many := 201
	for _, b := range []struct {
		name        string
		preset      command.Preset
		change      func(t *events.Terms)
		field, code string
	}{
		{"unknown format", command.Preset{}, func(t *events.Terms) { t.Format = "skins" }, "format", "unknown"},
		{"unknown side", command.Preset{}, func(t *events.Terms) { t.Side, t.SideSize = "trio", 3 }, "side", "unknown"},
		{"side of one", command.Preset{}, func(t *events.Terms) { t.SideSize = 1 }, "side_size", "out_of_range"},
		{"two players without a side", command.Preset{}, func(t *events.Terms) { t.SideSize = 2 }, "side_size", "out_of_range"},
		{"four-ball of three", command.Preset{Side: "four_ball"}, func(t *events.Terms) { t.SideSize = 3 }, "side_size", "out_of_range"},
		{"team of five", command.Preset{Side: "best_of"}, func(t *events.Terms) { t.SideSize = 5 }, "side_size", "out_of_range"},
		{"allowance above 200", command.Preset{}, func(t *events.Terms) { t.AllowancePercent = 201 }, "allowance_percent", "out_of_range"},
		{"negative allowance", command.Preset{}, func(t *events.Terms) { t.AllowancePercent = -1 }, "allowance_percent", "out_of_range"},
		{"side allowances of one player", command.Preset{}, func(t *events.Terms) { t.SideAllowances = []int{95} }, "side_allowances", "not_applicable"},
		{"side allowances of own balls", command.Preset{Side: "four_ball"}, func(t *events.Terms) { t.SideAllowances = []int{60, 40} }, "side_allowances", "not_applicable"},
		{"foursomes without percentages", command.Preset{Side: "foursomes"}, func(t *events.Terms) { t.SideAllowances = nil }, "side_allowances", "side_size"},
		{"three percentages for two", command.Preset{Side: "foursomes"}, func(t *events.Terms) { t.SideAllowances = []int{50, 30, 20} }, "side_allowances", "side_size"},
		{"a percentage above 200", command.Preset{Side: "foursomes"}, func(t *events.Terms) { t.SideAllowances = []int{50, 201} }, "side_allowances[1]", "out_of_range"},
		{"foursomes with a second allowance", command.Preset{Side: "foursomes"}, func(t *events.Terms) { t.AllowancePercent = 90 }, "allowance_percent", "not_applicable"},
		{"maximum in another format", command.Preset{}, func(t *events.Terms) { t.Maximum = strokes("double_par", 0) }, "maximum", "not_applicable"},
		{"maximum score without a maximum", command.Preset{Format: "maximum_score"}, func(t *events.Terms) { t.Maximum = events.Maximum{} }, "maximum.kind", "unknown"},
		{"unknown maximum", command.Preset{Format: "maximum_score"}, func(t *events.Terms) { t.Maximum = strokes("triple_par", 0) }, "maximum.kind", "unknown"},
		{"fixed maximum of three", command.Preset{Format: "maximum_score"}, func(t *events.Terms) { t.Maximum = strokes("strokes", 3) }, "maximum.strokes", "out_of_range"},
		{"strokes beside net double bogey", command.Preset{Format: "maximum_score"}, func(t *events.Terms) { t.Maximum.Strokes = 10 }, "maximum.strokes", "not_applicable"},
		{"count without a team", command.Preset{}, func(t *events.Terms) { t.Count = []int{1} }, "count", "not_applicable"},
		{"best of without a count", command.Preset{Side: "best_of"}, func(t *events.Terms) { t.Count = nil }, "count", "hole_count"},
		{"count of seventeen holes", command.Preset{Side: "best_of"}, func(t *events.Terms) { t.Count = make([]int, 17) }, "count", "hole_count"},
		{"count of all", command.Preset{Side: "best_of"}, func(t *events.Terms) { t.Count = []int{4} }, "count[0]", "out_of_range"},
		{"count of none on a hole", command.Preset{Side: "best_of"}, func(t *events.Terms) { t.Count = []int{1, 1, 1, 1, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1} }, "count[4]", "out_of_range"},
		{"count by hole in four-ball", command.Preset{Side: "four_ball"}, func(t *events.Terms) { t.CountBy = "hole" }, "count_by", "not_applicable"},
		{"count by day", command.Preset{Side: "best_of"}, func(t *events.Terms) { t.CountBy = "day" }, "count_by", "unknown"},
		{"no round", command.Preset{}, func(t *events.Terms) { t.Rounds = 0 }, "rounds", "out_of_range"},
		{"five rounds", command.Preset{}, func(t *events.Terms) { t.Rounds = 5 }, "rounds", "out_of_range"},
		{"two rounds stated for one", command.Preset{}, func(t *events.Terms) { t.PerRound = make([]events.RoundTerms, 2) }, "per_round", "round_count"},
		{"mixed units", command.Preset{}, func(t *events.Terms) { t.Rounds, t.PerRound = 2, []events.RoundTerms{{}, {Format: "stableford"}} }, "per_round[1].format", "other_unit"},
		{"a round that is a match", command.Preset{}, func(t *events.Terms) { t.Rounds, t.PerRound = 2, []events.RoundTerms{{}, {Format: "match"}} }, "per_round[1].format", "other_unit"},
		{"allowance of a round", command.Preset{}, func(t *events.Terms) { t.Rounds, t.PerRound = 2, []events.RoundTerms{{}, {AllowancePercent: &many}} }, "per_round[1].allowance_percent", "out_of_range"},
		{"a round of foursomes without percentages", command.Preset{Side: "four_ball"}, func(t *events.Terms) { t.Rounds, t.PerRound = 2, []events.RoundTerms{{}, {Side: "foursomes"}} }, "per_round[1].side_allowances", "side_size"},
		{"a day that is none", command.Preset{}, func(t *events.Terms) { t.Rounds, t.PerRound = 2, []events.RoundTerms{{}, {Date: "2031-02-30"}} }, "per_round[1].date", "malformed"},
		{"unknown course of a round", command.Preset{}, func(t *events.Terms) { t.Rounds, t.PerRound = 2, []events.RoundTerms{{}, {CourseID: "nowhere"}} }, "per_round[1].course_id", "unknown"},
		{"course of a round that is no id", command.Preset{}, func(t *events.Terms) { t.Rounds, t.PerRound = 2, []events.RoundTerms{{}, {CourseID: "a b"}} }, "per_round[1].course_id", "unknown"},
		{"a course that is no id", command.Preset{}, func(t *events.Terms) { t.CourseID = "a b" }, "course_id", "unknown"},
		{"no course", command.Preset{}, func(t *events.Terms) { t.CourseID = "" }, "course_id", "unknown"},
		{"holes of a round", command.Preset{}, func(t *events.Terms) { t.Rounds, t.PerRound = 2, []events.RoundTerms{{}, {Holes: []int{3, 1, 2}}} }, "per_round[1].holes", "hole_list"},
		{"cut in a one-round event", command.Preset{}, func(t *events.Terms) { t.Cut = &events.Cut{AfterRound: 1, Places: 10} }, "cut.after_round", "out_of_range"},
		{"cut after the last round", command.Preset{}, func(t *events.Terms) { t.Rounds, t.Cut = 2, &events.Cut{AfterRound: 2, Places: 10} }, "cut.after_round", "out_of_range"},
		{"cut of nobody", command.Preset{}, func(t *events.Terms) { t.Rounds, t.Cut = 2, &events.Cut{AfterRound: 1} }, "cut.places", "required"},
		{"cut within -1", command.Preset{}, func(t *events.Terms) { n := -1; t.Rounds, t.Cut = 2, &events.Cut{AfterRound: 1, Within: &n} }, "cut.within", "out_of_range"},
		{"cut in match play", command.Preset{Format: "match"}, func(t *events.Terms) { t.Cut = &events.Cut{AfterRound: 1, Places: 2} }, "cut", "not_applicable"},
		{"two players a side in a singles match", command.Preset{Format: "match"}, func(t *events.Terms) { t.SideSize = 2 }, "side_size", "out_of_range"},
		{"scramble match", command.Preset{Format: "match"}, func(t *events.Terms) {
			t.Side, t.SideSize, t.SideAllowances, t.Start.GroupSize = "scramble", 2, []int{35, 15}, 4
		}, "side", "not_applicable"},
		{"match play without its terms", command.Preset{Format: "match"}, func(t *events.Terms) { t.Match = nil }, "match", "required"},
		{"match terms in stroke play", command.Preset{}, func(t *events.Terms) { t.Match = &events.MatchTerms{Bracket: "single", Length: 18} }, "match", "not_applicable"},
		{"unknown bracket", command.Preset{Format: "match"}, func(t *events.Terms) { t.Match.Bracket = "ladder" }, "match.bracket", "unknown"},
		{"match of twelve holes", command.Preset{Format: "match"}, func(t *events.Terms) { t.Match.Length = 12 }, "match.length", "hole_count"},
		{"knockout without extra holes", command.Preset{Format: "match"}, func(t *events.Terms) { t.Match.ExtraHoles = false }, "match.extra_holes", "no_winner"},
		{"knockout of two rounds", command.Preset{Format: "match"}, func(t *events.Terms) { t.Rounds = 2 }, "rounds", "not_applicable"},
		{"matches with divisions", command.Preset{Format: "match"}, func(t *events.Terms) { t.Divisions = []events.Division{{Name: "One", ToTenths: 540}} }, "divisions", "not_applicable"},
		{"matches with prizes", command.Preset{Format: "match"}, func(t *events.Terms) { t.Prizes = []events.Prize{{Name: "Cup", Ranking: "net", Places: 1}} }, "prizes", "not_applicable"},
		{"group smaller than a side", command.Preset{Side: "best_of"}, func(t *events.Terms) { t.Start.GroupSize = 3 }, "start.group_size", "out_of_range"},
		{"unknown tie method", command.Preset{}, func(t *events.Terms) { t.TieMethod = "race" }, "tie_method", "unknown"},
		{"unknown windows", command.Preset{}, func(t *events.Terms) { t.TieWindows = "even_holes" }, "tie_windows", "unknown"},
		{"unknown holes of windows", command.Preset{}, func(t *events.Terms) { t.TieHoles = "by_length" }, "tie_holes", "unknown"},
		{"unknown handicap of a share", command.Preset{}, func(t *events.Terms) { t.TieHandicap = "index" }, "tie_handicap", "unknown"},
		{"unknown end of a tie", command.Preset{}, func(t *events.Terms) { t.TieThen = "race" }, "tie_then", "unknown"},
	} {
		t.Run(b.name, func(t *testing.T) {
			terms, err := command.PresetFor(b.preset)
			require.NoError(t, err)
			terms.CourseID, terms.Tees = m.Course, []string{"White"}
			c.Put(t, path, terms).Must(t, http.StatusOK)
			b.change(&terms)
			before := s.Position(t)
			p := c.Put(t, path, terms, apitest.Bad()).Must(t, http.StatusUnprocessableEntity).Problem(t)
			require.Equal(t, []string{b.field, b.code}, []string{p.Field, p.Code}, p.Detail)
			require.Equal(t, before, s.Position(t), "something was stored")
		})
	}
}

// Entries that are not what the terms say, and rulings that cannot be.
func TestBadInputOfFormats(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := pairs(t, c)
	matches := apitest.MustOpenMatches(t, c)
	comp, card, match := "/competitions/"+m.Competition, "/cards/"+m.Cards[0], "/matches/"+matches.IDs[0]
	spare := c.Post(t, "/players", map[string]any{"member_no": "0900", "name": "Invented Spare", "index_tenths": 10}).Must(t, http.StatusCreated).Written(t).ID
	o := func(kv ...any) map[string]any {
		out := map[string]any{}
		for i := 0; i < len(kv); i += 2 {
			out[kv[i].(string)] = kv[i+1]
		}
		return out
	}
	partner := func(id string) []any { return []any{o("player_id", id)} }
	const post, put, patch, get = http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodGet
	for _, b := range []struct {
		name         string
		method, path string
		body         any
		status       int
		field, code  string
	}{
		{"side of one", post, comp + "/entries", o("player_id", spare), 422, "partners", "side_size"},
		{"partner twice", post, comp + "/entries", o("player_id", spare, "partners", partner(spare)), 422, "partners[0].player_id", "duplicate"},
		{"unknown partner", post, comp + "/entries", o("player_id", spare, "partners", partner("nobody")), 422, "partners[0].player_id", "unknown"},
		{"partner who plays already", post, comp + "/entries", o("player_id", spare, "partners", partner(m.Players[0])), 409, "partners[0].player_id", "already_entered"},
		{"tee of a partner", patch, comp + "/entries/" + m.Entries[0], o("partners", []any{o("player_id", m.Players[1], "tee", "Pink", "index_tenths", 180)}), 422, "partners[0].tee", "unknown"},
		{"index of a partner", patch, comp + "/entries/" + m.Entries[0], o("partners", []any{o("player_id", m.Players[1], "index_tenths", 541)}), 422, "partners[0].index_tenths", "out_of_range"},
		{"partner of a single player", post, "/competitions/" + matches.Competition + "/entries", o("player_id", spare, "partners", partner(m.Players[0])), 422, "partners", "side_size"},
		{"unknown draw method", post, comp + "/draw", o("method", "by_age"), 422, "method", "unknown"},
		{"draw of a round that is not there", get, comp + "/draw?round=3", nil, 404, "competition_id", "not_found"},
		{"round that is none", get, comp + "/cards?round=first", nil, 422, "round", "malformed"},
		{"cut without one", post, comp + "/cut", nil, 409, "cut", "no_cut"},
		{"hole 19 out", post, comp + "/excluded-holes", o("hole", 19, "reason", "flood"), 422, "hole", "not_in_play"},
		{"hole out without a reason", post, comp + "/excluded-holes", o("hole", 3), 422, "reason", "required"},
		{"hole out of a round to come", post, comp + "/excluded-holes", o("round", 2, "hole", 3, "reason", "flood"), 409, "round", "not_begun"},
		{"hole out of matches", post, "/competitions/" + matches.Competition + "/excluded-holes", o("hole", 3, "reason", "flood"), 409, "hole", "not_applicable"},
		{"no adjustment", post, comp + "/playing-conditions", o("source", "association"), 422, "adjustment", "required"},
		{"adjustment of 4", post, comp + "/playing-conditions", o("adjustment", 4, "source", "association"), 422, "adjustment", "out_of_range"},
		{"adjustment from nowhere", post, comp + "/playing-conditions", o("adjustment", 1), 422, "source", "required"},
		{"third ball of a pair", post, card + "/scores", o("hole", 1, "ball", 2, "strokes", 4), 422, "ball", "not_on_card"},
		{"two partners of one", put, card + "/scores", o("scores", apitest.Scores(4)["scores"], "partners", []any{apitest.Scores(4)["scores"], apitest.Scores(4)["scores"]}), 422, "partners", "ball_count"},
		{"a hole of a partner", put, card + "/scores", o("scores", apitest.Scores(4)["scores"], "partners", []any{withHole(5, 100)["scores"]}), 422, "partners[0][5].strokes", "out_of_range"},
		{"penalty of nothing", post, card + "/penalties", o("hole", 1, "reason", "none"), 422, "strokes", "out_of_range"},
		{"penalty without a reason", post, card + "/penalties", o("strokes", 1), 422, "reason", "required"},
		{"penalty on hole 19", post, card + "/penalties", o("hole", 19, "strokes", 1, "reason", "none"), 422, "hole", "not_in_play"},
		{"penalty on ball 3", post, card + "/penalties", o("ball", 3, "strokes", 1, "reason", "none"), 422, "ball", "not_on_card"},
		{"penalty on an empty hole", post, card + "/penalties", o("hole", 1, "strokes", 1, "reason", "none"), 409, "hole", "hole_missing"},
		{"unknown penalty", post, card + "/penalties/none/removal", o("reason", "none"), 404, "penalty_id", "not_found"},
		{"ruling on a card in play", post, card + "/actual-score", o("hole", 1, "actual", 5, "reason", "none"), 409, "card_id", "not_returned"},
		{"ruling on hole 19", post, card + "/actual-score", o("hole", 19, "actual", 5, "reason", "none"), 422, "hole", "not_in_play"},
		{"ruling on ball 3", post, card + "/actual-score", o("hole", 1, "ball", 3, "actual", 5, "reason", "none"), 422, "ball", "not_on_card"},
		{"actual 0", post, card + "/actual-score", o("hole", 1, "actual", 0, "reason", "none"), 422, "actual", "out_of_range"},
		{"ruling without a reason", post, card + "/actual-score", o("hole", 1, "actual", 4), 422, "reason", "required"},
		{"unknown match", get, "/matches/none", nil, 404, "match_id", "not_found"},
		{"card as a match", get, "/matches/" + m.Cards[0], nil, 404, "match_id", "not_found"},
		{"match as a card", get, "/cards/" + matches.IDs[0], nil, 404, "card_id", "not_found"},
		{"hole out of order", post, match + "/holes", o("number", 3, "winner", "A"), 409, "number", "hole_order"},
		{"hole of nobody", post, match + "/holes", o("number", 1), 422, "winner", "required"},
		{"one side's scores", post, match + "/holes", o("number", 1, "a", []any{o("strokes", 4)}), 422, "winner", "required"},
		{"two balls of a single", post, match + "/holes", o("number", 1, "a", []any{o("strokes", 4), o("strokes", 4)}, "b", []any{o("strokes", 4)}), 422, "a", "ball_count"},
		{"0 strokes in a match", post, match + "/holes", o("number", 1, "a", []any{o("strokes", 0)}, "b", []any{o("strokes", 4)}), 422, "a[0].strokes", "out_of_range"},
		{"result that cannot be", post, match + "/result", o("winner", "A", "text", "12 and 1"), 422, "text", "no_result"},
		{"unknown ruling", post, match + "/ruling", o("ruling", "stopped", "reason", "none"), 422, "ruling", "unknown"},
		{"link of somebody else", post, match + "/links/" + matches.Sides[1][0], nil, 404, "entry_id", "not_found"},
		{"seed of a play-off", post, comp + "/ties", o("ranking", "net", "entry_ids", m.Entries, "method", "play_off", "reason", "played", "seed", 3), 422, "seed", "not_applicable"},
	} {
		t.Run(b.name, func(t *testing.T) {
			before := s.Position(t)
			p := c.Do(t, b.method, b.path, b.body, apitest.Bad()).Must(t, b.status).Problem(t)
			require.Equal(t, []string{b.field, b.code}, []string{p.Field, p.Code}, p.Detail)
			require.Equal(t, before, s.Position(t), "something was stored")
		})
	}
}
