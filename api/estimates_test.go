package api_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/apitest"
	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/club"
	"marram.example/projections/difficulty"
)

// expected are invented figures for two indexes.
func expected(source string) command.ExpectedScores {
	return command.ExpectedScores{Source: source, Rows: []events.ExpectedScore{
		{IndexTenths: 50, ExpectedNum: 4, ExpectedDen: 1}, {IndexTenths: 80, ExpectedNum: 525, ExpectedDen: 100},
	}}
}

func mustSwitchOn(t testing.TB, c *apitest.Client) {
	t.Helper()
	var now api.Estimates
	c.Get(t, "/club/handicap-estimates").Must(t, http.StatusOK).JSON(t, &now)
	c.Put(t, "/club/handicap-estimates", command.SwitchEstimates{On: true, Caution: now.Caution, Reason: "the association agreed"}).Must(t, http.StatusOK)
}

func recordOf(t testing.TB, c *apitest.Client, player string, at events.Position) api.HandicapRecord {
	t.Helper()
	var r api.HandicapRecord
	c.Get(t, fmt.Sprintf("/players/%s/handicap-record?min_sequence=%d", player, at)).Must(t, http.StatusOK).JSON(t, &r)
	return r
}

func TestEstimatesAreOffUntilTheCautionIsAcknowledged(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	apitest.MustHandIn(t, c, m)
	path := "/players/" + m.Players[0] + "/handicap-record"
	off := func() {
		t.Helper()
		p := c.Get(t, path).Must(t, http.StatusNotFound).Problem(t)
		require.Equal(t, "estimates_off", p.Code)
		require.Equal(t, "urn:marram:problem:not-found", p.Type)
		require.NotContains(t, p.Detail, "differential")
	}
	off()
	before := s.Position(t)
	for _, caution := range []string{"", "yes", strings.ToLower(club.Caution), club.Caution + " "} {
		p := c.Put(t, "/club/handicap-estimates", command.SwitchEstimates{On: true, Caution: caution}).Must(t, http.StatusUnprocessableEntity).Problem(t)
		require.Equal(t, "not_acknowledged", p.Code)
		require.Equal(t, "caution", p.Field)
	}
	require.Equal(t, before, s.Position(t), "nothing is stored")
	off()

	mustSwitchOn(t, c)
	var now api.Estimates
	c.Get(t, "/club/handicap-estimates").Must(t, http.StatusOK).JSON(t, &now)
	require.True(t, now.On)
	require.Equal(t, now.Caution, now.Acknowledged)
	require.Nil(t, now.Expected)
	r := recordOf(t, c, m.Players[0], s.Position(t))
	require.Len(t, r.Rounds, 1)
	require.Equal(t, "unofficial estimate", r.Label)
	require.Equal(t, club.Caution, r.Caution)
	c.Get(t, "/players/nobody/handicap-record").Must(t, http.StatusNotFound)

	stale := apitest.Header("If-Match", `"7"`)
	c.Put(t, "/club/handicap-estimates", command.SwitchEstimates{}, stale).Must(t, http.StatusPreconditionFailed)
	c.Put(t, "/club/handicap-estimates", command.SwitchEstimates{Reason: "the association asked"}).Must(t, http.StatusOK)
	off()
}

func TestARecordThroughTheAPI(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	mustSwitchOn(t, c)
	m := apitest.MustOpenRound(t, c)
	apitest.MustHandIn(t, c, m)
	c.Post(t, "/cards/"+m.Cards[3]+"/ruling", command.RuleStatus{Status: events.StatusDisqualified, Reason: "wrong scorecard"}).Must(t, http.StatusOK)

	// The second player has 5 on every hole of par 4, an official index of 8.0 and
	// neither rating nor slope to be corrected for: 90 - 72 = 18.0.
	r := recordOf(t, c, m.Players[1], s.Position(t))
	require.Len(t, r.Rounds, 1)
	x := r.Rounds[0]
	require.Equal(t, 90, *x.AdjustedGross)
	require.Equal(t, 180, *x.DifferentialTenths)
	require.Equal(t, 80, *x.InEffectTenths)
	require.Nil(t, r.Official, "the morning lies years ahead, and so does the index")
	require.Nil(t, x.PlayingConditions)
	require.Nil(t, r.Estimate)
	require.NotEmpty(t, x.Explanation)

	// The association's figure of the day comes late.
	two := 2
	done, err := s.Commands.SetConditions(t.Context(), committee("late"), m.Competition, command.SetConditions{Round: 1, Adjustment: &two, Source: "invented notice"})
	require.NoError(t, err)
	x = recordOf(t, c, m.Players[1], done.Position).Rounds[0]
	require.Equal(t, 160, *x.DifferentialTenths)
	require.Equal(t, 2, *x.PlayingConditions)

	// So does an official index that counted on that day already.
	c.Post(t, "/players/"+m.Players[1]+"/handicap-indexes", command.RecordIndex{IndexTenths: 30, Effective: "2031-05-02", Origin: events.OriginOfficial}).Must(t, http.StatusOK)
	require.Equal(t, 30, *recordOf(t, c, m.Players[1], s.Position(t)).Rounds[0].InEffectTenths)

	out := recordOf(t, c, m.Players[3], s.Position(t))
	require.Empty(t, out.Rounds)
	require.Len(t, out.LeftOut, 1)
	require.Equal(t, "disqualified", out.LeftOut[0].Reason)

	c.Post(t, "/players/"+m.Players[1]+"/erasure", nil).Must(t, http.StatusOK)
	c.Get(t, "/players/"+m.Players[1]+"/handicap-record").Must(t, http.StatusNotFound)
}

func committee(id string) command.Request {
	return command.Request{Who: command.Who{Role: events.RoleCommittee, ID: "secretary"}, CommandID: "test-" + id, Hash: id}
}

// A nine-hole round awaits the association's figure until the club has it, by JSON or
// by file, and again when it is withdrawn.
func TestExpectedScoresCompleteNineHoles(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	mustSwitchOn(t, c)
	nine := apitest.Tee()
	nine.Front = &events.NineRating{CourseRatingTenths: 360, SlopeRating: 113}
	m := apitest.MustDraw(t, c)
	c.Put(t, "/courses/"+m.Course, command.DefineCourse{Name: "Low Marsh (invented)", Tees: []events.TeeDefinition{nine}}).Must(t, http.StatusOK)
	terms := apitest.Terms(m.Course)
	terms.Holes = []int{1, 2, 3, 4, 5, 6, 7, 8, 9}
	c.Put(t, "/competitions/"+m.Competition+"/terms", terms).Must(t, http.StatusOK)
	c.Post(t, "/competitions/"+m.Competition+"/round/opening", nil).Must(t, http.StatusOK)
	holes := make([]any, 9)
	for i := range holes {
		holes[i] = map[string]any{"strokes": 5}
	}
	c.Put(t, "/cards/"+command.CardID(m.Competition, m.Entries[1], 1)+"/scores", map[string]any{"scores": holes, "signed": true}).Must(t, http.StatusOK)

	awaits := func() {
		t.Helper()
		x := recordOf(t, c, m.Players[1], s.Position(t)).Rounds[0]
		require.Nil(t, x.DifferentialTenths)
		require.Equal(t, "awaiting the association's figure", x.Reason)
	}
	awaits()
	c.Post(t, "/club/expected-scores", expected("invented")).Must(t, http.StatusOK)
	r := recordOf(t, c, m.Players[1], s.Position(t))
	require.Equal(t, 143, *r.Rounds[0].DifferentialTenths, "45 - 36.0 + 5.25 = 14.25, a half goes up")
	require.Equal(t, "invented", r.ExpectedSource)
	c.Post(t, "/club/expected-scores/withdrawal", map[string]any{}).Must(t, http.StatusUnprocessableEntity)
	c.Post(t, "/club/expected-scores/withdrawal", map[string]any{"reason": "of another year"}).Must(t, http.StatusOK)
	awaits()
	file := "handicap_index,expected_differential,source\n5.0,4,a letter\n8.0,5.25,a letter\n"
	dry := c.Post(t, "/imports/expected-scores?dry_run=true", nil, apitest.Raw("text/csv", file)).Must(t, http.StatusOK)
	require.Contains(t, string(dry.Body), `"added":2`)
	awaits()
	c.Post(t, "/imports/expected-scores", nil, apitest.Raw("text/csv", file)).Must(t, http.StatusOK)
	require.Equal(t, 143, *recordOf(t, c, m.Players[1], s.Position(t)).Rounds[0].DifferentialTenths)
}

func TestBadExpectedScoresStoreNothing(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	before := s.Position(t)
	for name, file := range map[string]struct {
		text   string
		row    int
		column string
	}{
		"indexes fall":             {"8.0,5.25,x\n5.0,4,x\n", 3, "handicap_index"},
		"figures fall":             {"5.0,4,x\n8.0,3.9,x\n", 3, "expected_differential"},
		"five decimals":            {"5.0,4.00001,x\n", 2, "expected_differential"},
		"no number":                {"5.0,about 4,x\n", 2, "expected_differential"},
		"no source":                {"5.0,4,\n", 2, "source"},
		"two sources":              {"5.0,4,x\n8.0,5,y\n", 3, "source"},
		"an index beyond 54.0":     {"54.1,4,x\n", 2, "handicap_index"},
		"a score beyond all sense": {"54.0,400,x\n", 2, "expected_differential"},
	} {
		p := c.Post(t, "/imports/expected-scores", nil, apitest.Raw("text/csv", "handicap_index,expected_differential,source\n"+file.text)).
			Must(t, http.StatusUnprocessableEntity).Problem(t)
		require.Equal(t, "import_refused", p.Code, name)
		require.Len(t, p.Problems, 1, name)
		require.Equal(t, file.row, p.Problems[0].Row, name)
		require.Equal(t, file.column, p.Problems[0].Column, name)
	}
	rows := expected("x")
	rows.Rows[1].IndexTenths = 50
	p := c.Post(t, "/club/expected-scores", rows).Must(t, http.StatusUnprocessableEntity).Problem(t)
	require.Equal(t, "rows[1].index_tenths", p.Field)
	require.Equal(t, before, s.Position(t))
}

func TestStrokeIndexesOfATee(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	m := apitest.MustOpenRound(t, c)
	apitest.MustHandIn(t, c, m)
	path := "/courses/" + m.Course + "/tees/White/stroke-indexes"
	ask := func(query string) api.StrokeIndexes {
		t.Helper()
		var x api.StrokeIndexes
		c.Get(t, fmt.Sprintf("%s?min_sequence=%d%s", path, s.Position(t), query)).Must(t, http.StatusOK).JSON(t, &x)
		return x
	}
	few := ask("")
	require.Equal(t, "none", few.Basis)
	require.Equal(t, 4, few.Cards)
	require.Equal(t, difficulty.Fewest, few.Fewest)
	require.Contains(t, few.Shortfall, "common practice, no source")
	require.NotEmpty(t, few.Advice, "advice on the indexes as they are needs no scores")
	require.Equal(t, "+1.50", few.Holes[0].MeanOverPar)
	require.Nil(t, few.Holes[0].Proposed)

	ranked := ask("&ranks=" + url.QueryEscape("18, 17,16,15,1,13,12,11,10,9,8,7,6,2,4,3,5,14"))
	require.Equal(t, "ranks", ranked.Basis)
	require.Empty(t, ranked.Shortfall)
	require.Equal(t, 1, *ranked.Holes[4].Proposed, "the hardest hole of the middle triad of the first nine")
	require.Equal(t, 2, *ranked.Holes[13].Proposed)
	require.NotEmpty(t, ranked.Holes[4].Reason)
	require.Len(t, ranked.Explanation, 19)
	harder := ask("&back_harder=true&ranks=" + url.QueryEscape("18,17,16,15,1,13,12,11,10,9,8,7,6,2,4,3,5,14"))
	require.Equal(t, 1, *harder.Holes[13].Proposed)

	for query, field := range map[string]string{"ranks=1,2": "ranks", "ranks=a": "ranks", "ranks=" + strings.Repeat("1,", 17) + "1": "ranks", "back_harder=perhaps": "back_harder"} {
		p := c.Get(t, path+"?"+query, apitest.Bad()).Must(t, http.StatusUnprocessableEntity).Problem(t)
		require.Equal(t, field, p.Field)
	}
	c.Get(t, "/courses/"+m.Course+"/tees/Blue/stroke-indexes").Must(t, http.StatusNotFound)
	c.Get(t, "/courses/none/tees/White/stroke-indexes").Must(t, http.StatusNotFound)
}

// A tee may be called anything that fits on a card.
func TestATeeWithASpaceInItsName(t *testing.T) {
	t.Parallel()
	s := apitest.MustServe(t)
	c := s.Committee(t)
	tee := apitest.Tee()
	tee.Tee = "Früh 50% / Blue"
	id := c.Post(t, "/courses", command.DefineCourse{Name: "High Marsh (invented)", Tees: []events.TeeDefinition{tee}}).Must(t, http.StatusCreated).Written(t).ID
	nine := apitest.Tee()
	nine.Tee, nine.CourseRatingTenths = "Nine", 360
	nine.Holes = nine.Holes[:9]
	for i := range nine.Holes {
		nine.Holes[i].StrokeIndex = i + 1
	}
	c.Put(t, "/courses/"+id, command.DefineCourse{Name: "High Marsh (invented)", Tees: []events.TeeDefinition{nine}}).Must(t, http.StatusOK)
	var x api.StrokeIndexes
	// The contract's router does not know a slash in a name, so this one goes past it.
	r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, s.URL+api.Root+"/courses/"+id+"/tees/"+url.PathEscape(tee.Tee)+"/stroke-indexes", nil)
	require.NoError(t, err)
	r.Header.Set("Authorization", "Bearer "+c.Token())
	res, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer func() { require.NoError(t, res.Body.Close()) }()
	require.Equal(t, http.StatusOK, res.StatusCode)
	require.NoError(t, json.NewDecoder(res.Body).Decode(&x))
	require.Equal(t, tee.Tee, x.Tee)
	require.Zero(t, x.Cards)
	require.Equal(t, "nine_holes", c.Get(t, "/courses/"+id+"/tees/Nine/stroke-indexes").Must(t, http.StatusUnprocessableEntity).Problem(t).Code)
}
