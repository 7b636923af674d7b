package app_test

import (
	"encoding/csv"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/cmd/marram/app"
	"marram.example/events"
	"marram.example/projections/store/storetest"
)

var medalFolder = filepath.Join("..", "..", "..", "testdata", "medal")

func TestMain(m *testing.M) {
	if folder := os.Getenv(crashFolder); folder != "" {
		os.Exit(beTheProgram(folder))
	}
	storetest.Main(m)
}

// table reads a CSV file of the medal as one map a row.
func table(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join(medalFolder, filepath.FromSlash(name)))
	require.NoError(t, err)
	defer func() { require.NoError(t, f.Close()) }()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	out := make([]map[string]string, len(rows)-1)
	for i, row := range rows[1:] {
		out[i] = map[string]string{}
		for j, column := range rows[0] {
			out[i][column] = row[j]
		}
	}
	return out
}

// medalTerms are testdata/medal/terms.json as the API takes them.
func medalTerms(format, courseID string) events.Terms {
	t := command.PresetTerms(format)
	t.CourseID, t.Tees = courseID, []string{"White", "Yellow", "Red"}
	t.Divisions = []events.Division{
		{Name: "Division 1", FromTenths: -100, ToTenths: 99}, {Name: "Division 2", FromTenths: 100, ToTenths: 184},
		{Name: "Division 3", FromTenths: 185, ToTenths: 540},
	}
	t.Prizes = []events.Prize{
		{Name: "best gross", Ranking: "gross", Places: 1}, {Name: "best net", Ranking: "net", Places: 3},
		{Name: "best net Division 1", Ranking: "net", Division: "Division 1", Places: 2},
		{Name: "best net Division 2", Ranking: "net", Division: "Division 2", Places: 2},
		{Name: "best net Division 3", Ranking: "net", Division: "Division 3", Places: 2},
	}
	return t
}

// medal is a whole competition driven through the public API.
type medal struct {
	*client
	id    string
	cards map[string]medalCard // by member number
}

type medalCard struct {
	ID       string         `json:"card_id"`
	EntryID  string         `json:"entry_id"`
	PlayerID string         `json:"player_id"`
	Tee      string         `json:"tee"`
	Figures  events.Figures `json:"figures"`
}

// playMedal brings the files in, draws, opens, enters every card and closes.
func playMedal(t *testing.T, a *app.App, format string) *medal {
	t.Helper()
	m := &medal{client: mustSignIn(t, a), cards: map[string]medalCard{}}
	m.importFile("course", "", "course.csv")
	m.importFile("players", "", "players.csv")
	var courses struct {
		Items []struct {
			ID string `json:"course_id"`
		} `json:"items"`
	}
	m.read("/api/v1/courses", &courses)
	require.Len(t, courses.Items, 1)
	m.id = m.write(http.MethodPost, "/api/v1/competitions", command.PlanCompetition{Name: "Saturday Medal", Date: "2025-06-14"}).ID
	root := "/api/v1/competitions/" + m.id
	m.write(http.MethodPut, root+"/terms", medalTerms(format, courses.Items[0].ID))
	m.importFile("entries", "&competition="+m.id, "entries.csv")
	m.write(http.MethodPost, root+"/draw", command.Draw{Method: "random", Seed: 614})
	m.write(http.MethodPost, root+"/round/opening", struct{}{})
	m.findCards()
	for i, row := range table(t, "cards.csv") {
		m.enter(i, row)
	}
	m.write(http.MethodPost, root+"/round/closing", command.CloseRound{})
	m.write(http.MethodPost, root+"/result", struct{}{})
	return m
}

// findCards maps member numbers to cards by the ids that derive from them.
func (m *medal) findCards() {
	m.t.Helper()
	byPlayer := map[string]string{}
	next := ""
	for {
		var page struct {
			Items []struct {
				ID       string `json:"player_id"`
				MemberNo string `json:"member_no"`
			} `json:"items"`
			Next string `json:"next"`
		}
		m.send(http.MethodGet, fmt.Sprintf("/api/v1/players?min_sequence=%d&limit=50&cursor=%s", m.last, next), "", nil, http.StatusOK, &page)
		for _, p := range page.Items {
			byPlayer[p.ID] = p.MemberNo
		}
		if next = page.Next; next == "" {
			break
		}
	}
	require.Len(m.t, byPlayer, 60)
	var entries struct {
		Items []struct {
			ID       string `json:"id"`
			PlayerID string `json:"player_id"`
		} `json:"items"`
	}
	m.send(http.MethodGet, fmt.Sprintf("/api/v1/competitions/%s/entries?min_sequence=%d&limit=200", m.id, m.last), "", nil, http.StatusOK, &entries)
	require.Len(m.t, entries.Items, 60)
	for _, e := range entries.Items {
		var k medalCard
		m.read("/api/v1/cards/"+command.CardID(m.id, e.ID, 1), &k)
		m.cards[byPlayer[e.PlayerID]] = k
	}
	require.Len(m.t, m.cards, 60)
}

// enter brings one card in: every third by phone, hole by hole, the rest typed in
// from paper.
func (m *medal) enter(i int, row map[string]string) {
	m.t.Helper()
	k := m.cards[row["member_no"]]
	path := "/api/v1/cards/" + k.ID
	scores := make([]command.HoleEntry, 18)
	whole := true
	for h := range scores {
		scores[h] = holeEntry(m.t, row["h"+strconv.Itoa(h+1)])
		whole = whole && scores[h].Strokes != nil
	}
	switch {
	case i%3 == 0 && whole && row["status"] == "":
		m.phone(k, scores)
	case row["status"] == "" || row["status"] == "NR":
		m.write(http.MethodPut, path+"/scores", command.EnterCard{Scores: scores, Confirmed: true, Signed: true})
	default:
		m.write(http.MethodPut, path+"/scores", command.EnterCard{Scores: scores, Confirmed: true})
		m.write(http.MethodPost, path+"/ruling", command.RuleStatus{Status: row["status"], Reason: "as ruled on the day"})
	}
}

func holeEntry(t testing.TB, text string) command.HoleEntry {
	switch text {
	case "":
		return command.HoleEntry{}
	case "PU":
		return command.HoleEntry{None: events.PickedUp}
	}
	n, err := strconv.Atoi(text)
	require.NoError(t, err)
	return command.HoleEntry{Strokes: &n}
}

// phone enters a card by the links of player and marker.
func (m *medal) phone(k medalCard, scores []command.HoleEntry) {
	m.t.Helper()
	link := func(role string) *client {
		var out struct {
			Token string `json:"token"`
		}
		m.do(http.MethodPost, "/api/v1/cards/"+k.ID+"/links/"+role, struct{}{}, http.StatusOK, &out)
		return m.as(out.Token)
	}
	marker, player := link("marker"), link("player")
	path := "/api/v1/cards/" + k.ID
	for h, s := range scores {
		in := command.EnterScore{Hole: h + 1, Strokes: s.Strokes, Confirmed: true}
		marker.write(http.MethodPost, path+"/scores", in)
		player.write(http.MethodPost, path+"/scores", in)
	}
	marker.write(http.MethodPost, path+"/certification", map[string]string{"as": "marker"})
	player.write(http.MethodPost, path+"/certification", map[string]string{"as": "player"})
	m.last = max(m.last, player.write(http.MethodPost, path+"/return", struct{}{}).Position)
}

func number(text string) *int {
	if text == "" {
		return nil
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		panic(err)
	}
	return &n
}

type published struct {
	Rows   []events.ResultRow    `json:"rows"`
	Prizes []events.PrizeAwarded `json:"prizes"`
}

// The expected files were worked out apart, in another language and with
// fractions (testdata/medal/independent); every line has to agree.
func TestAWholeMedalAgreesWithACalculationMadeApart(t *testing.T) {
	t.Parallel()
	a := mustStart(t)
	m := playMedal(t, a, "stroke_play")
	var res published
	m.read("/api/v1/competitions/"+m.id+"/result", &res)
	require.Len(t, res.Rows, 60)
	rows := map[string]events.ResultRow{}
	for _, r := range res.Rows {
		rows[r.EntryID] = r
	}
	for _, want := range table(t, "expected/result.csv") {
		member := want["member_no"]
		k := m.cards[member]
		got := rows[k.EntryID]
		require.Equal(t, want["tee"], got.Tee, member)
		require.Equal(t, want["course_handicap_unrounded"], fraction(k.Figures), member)
		require.Equal(t, *number(want["playing_handicap"]), got.PlayingHandicap, member)
		require.Equal(t, want["strokes"], joined(k.Figures.StrokesByHole), member)
		require.Equal(t, number(want["gross"]), got.Gross, member)
		require.Equal(t, number(want["net"]), got.Net, member)
		require.Equal(t, want["gross_position"], got.Positions["gross"], member)
		require.Equal(t, want["net_position"], got.Positions["net"], member)
		require.Equal(t, want["division"], got.Division, member)
		require.Equal(t, want["division_net_position"], got.Positions["net/"+got.Division], member)
		status := want["status"]
		if status == "" {
			status = "returned"
		}
		require.Equal(t, status, got.Status, member)
	}
	wanted := table(t, "expected/prizes.csv")
	require.Len(t, res.Prizes, len(wanted))
	for i, want := range wanted {
		require.Equal(t, want["category"], res.Prizes[i].Prize)
		require.Equal(t, want["place"], strconv.Itoa(res.Prizes[i].Place))
		require.Equal(t, m.cards[want["member_no"]].EntryID, res.Prizes[i].EntryID, want["category"])
	}
}

// The same cards under Stableford, from the other expected file.
func TestTheSameCardsAsStableford(t *testing.T) {
	t.Parallel()
	a := mustStart(t)
	m := playMedal(t, a, "stableford")
	var res published
	m.read("/api/v1/competitions/"+m.id+"/result", &res)
	rows := map[string]events.ResultRow{}
	for _, r := range res.Rows {
		rows[r.EntryID] = r
	}
	for _, want := range table(t, "expected/stableford.csv") {
		member := want["member_no"]
		k := m.cards[member]
		got := rows[k.EntryID]
		require.Equal(t, *number(want["playing_handicap"]), got.PlayingHandicap, member)
		require.Equal(t, want["strokes"], joined(k.Figures.StrokesByHole), member)
		require.Equal(t, number(want["total"]), got.Points, member)
		require.Equal(t, want["position"], got.Positions["net"], member)
	}
}

func fraction(f events.Figures) string {
	if f.CourseHandicapDen == 1 {
		return strconv.FormatInt(f.CourseHandicapNum, 10)
	}
	return fmt.Sprintf("%d/%d", f.CourseHandicapNum, f.CourseHandicapDen)
}

func joined(strokes []int) string {
	out := make([]string, len(strokes))
	for i, n := range strokes {
		out[i] = strconv.Itoa(n)
	}
	return strings.Join(out, " ")
}
