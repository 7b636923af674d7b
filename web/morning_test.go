package web_test

import (
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/auth"
	"marram.example/api/command"
	"marram.example/api/live"
	"marram.example/events"
	eventlog "marram.example/events/log"
	"marram.example/events/log/logtest"
	"marram.example/projections"
	"marram.example/projections/board"
	"marram.example/projections/store"
	"marram.example/projections/store/storetest"
	"marram.example/web"
)

// morning is a club with its pages on a real log, a real read store and a real
// server.
type morning struct {
	t        testing.TB
	log      *eventlog.Log
	commands *command.Service
	auth     *auth.Auth
	boards   *board.Boards
	runner   *projections.Runner
	store    *store.Store
	models   api.ReadModels
	server   *httptest.Server

	competition string
	players     []string // ids, in the order of the file
	entries     []string // ids, in the same order
}

// now is the moment at which the pages are seen.
var now = time.Date(2025, 6, 14, 10, 42, 31, 0, time.UTC)

func mustOpenClub(t testing.TB) *morning {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	m := &morning{t: t, log: logtest.MustOpen(t, quick)}
	var err error
	m.commands, err = command.New(ctx, command.Options{Log: m.log, Club: logtest.Club})
	require.NoError(t, err)
	m.auth, err = auth.New(ctx, auth.Options{Log: m.log, Commands: m.commands})
	require.NoError(t, err)
	s := storetest.MustOpen(t, storetest.Options(t, store.SQLite))
	m.store, m.models = s, api.NewReadModels(s, m.commands)
	m.runner, err = projections.NewRunner(projections.Options{Log: m.log, Store: s, Projections: m.models.Projections()})
	require.NoError(t, err)
	m.boards = board.New(board.Options{Names: api.NamesOf(m.commands), History: m.log.Competition})
	routes, err := api.New(api.Options{
		Club: logtest.Club, Log: m.log, Commands: m.commands, Auth: m.auth, Boards: m.boards, Store: s, Runner: m.runner, Models: m.models,
		Live: live.Options{Beat: time.Second},
	})
	require.NoError(t, err)
	pages, err := web.New(web.Options{API: routes, Club: "Thrumsay Links (invented)", Location: time.UTC, Now: func() time.Time { return now }})
	require.NoError(t, err)
	e := echo.New()
	routes.Register(e)
	pages.Register(e)
	m.server = httptest.NewServer(e)

	var work sync.WaitGroup
	work.Go(func() { _ = m.runner.Run(ctx) })
	work.Go(func() { _ = m.boards.Run(ctx, m.log) })
	t.Cleanup(func() {
		_ = routes.Listeners().Stop(context.Background())
		m.server.Close()
		cancel()
		m.boards.Close()
		work.Wait()
	})
	return m
}

// quick leaves the disk to itself: what pages show does not hang on a power cut.
func quick(o *eventlog.Options) { o.LazySync = true }

// by is a request of the committee with a fresh id.
func by() command.Request {
	id := uuid.NewString()
	return command.Request{Who: command.Who{Role: events.RoleCommittee, ID: "desk"}, CommandID: id, Hash: id}
}

// as is a request of a card's player or marker.
func as(role events.Role, card string) command.Request {
	r := by()
	r.Who = command.Who{Role: role, ID: "link", CardID: card}
	return r
}

func readCSV(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", "medal", name))
	require.NoError(t, err)
	defer func() { require.NoError(t, f.Close()) }()
	r := csv.NewReader(f)
	head, err := r.Read()
	require.NoError(t, err)
	var out []map[string]string
	for {
		line, err := r.Read()
		if err == io.EOF {
			return out
		}
		require.NoError(t, err)
		row := map[string]string{}
		for i, h := range head {
			row[h] = line[i]
		}
		out = append(out, row)
	}
}

func number(t testing.TB, s string) int {
	t.Helper()
	n, err := strconv.Atoi(s)
	require.NoError(t, err)
	return n
}

// tenths reads "12.4" and, for a plus handicap, "+1.2".
func tenths(t testing.TB, s string) int {
	t.Helper()
	plus := strings.HasPrefix(s, "+")
	n := number(t, strings.Replace(strings.TrimPrefix(s, "+"), ".", "", 1))
	if plus {
		return -n
	}
	return n
}

// medal is the invented medal with its first n entries, up to the draw; where
// there are more than the file has, they come again under other names.
func medal(t testing.TB, n int, change ...func(*events.Terms)) *morning {
	t.Helper()
	m := mustOpenClub(t)
	ctx := context.Background()
	course := m.course()
	done, err := m.commands.DefineCourse(ctx, by(), "", course)
	require.NoError(t, err)
	terms := command.PresetTerms("stroke_play")
	terms.CourseID, terms.Tees = done.ID, []string{"White", "Yellow", "Red"}
	terms.Divisions = []events.Division{
		{Name: "Division 1", FromTenths: -100, ToTenths: 99}, {Name: "Division 2", FromTenths: 100, ToTenths: 184}, {Name: "Division 3", FromTenths: 185, ToTenths: 540},
	}
	terms.Prizes = []events.Prize{{Name: "Best gross", Ranking: "gross", Places: 1}, {Name: "Best net", Ranking: "net", Places: 3}}
	for _, c := range change {
		c(&terms)
	}
	planned, err := m.commands.Plan(ctx, by(), "", command.PlanCompetition{Name: "Saturday Medal", Date: "2025-06-14"})
	require.NoError(t, err)
	m.competition = planned.ID
	_, err = m.commands.SetTerms(ctx, by(), m.competition, terms)
	require.NoError(t, err)
	people := map[string]map[string]string{}
	for _, p := range readCSV(t, "players.csv") {
		people[p["member_no"]] = p
	}
	file := readCSV(t, "entries.csv")
	for i := range n {
		e := file[i%len(file)]
		p := people[e["member_no"]]
		no, name := p["member_no"], p["name"]
		if again := i / len(file); again > 0 {
			no, name = fmt.Sprintf("%s-%d", no, again), name+strings.Repeat(" II", again)
		}
		index := tenths(t, p["handicap_index"])
		registered, err := m.commands.RegisterPlayer(ctx, by(), command.RegisterPlayer{
			MemberNo: no, Name: name, IndexTenths: &index, Effective: p["index_date"], Origin: events.OriginOfficial,
		})
		require.NoError(t, err)
		entered, err := m.commands.Enter(ctx, by(), m.competition, command.EnterPlayer{Member: command.Member{PlayerID: registered.ID, Tee: e["tee"]}})
		require.NoError(t, err)
		m.players, m.entries = append(m.players, registered.ID), append(m.entries, entered.ID)
	}
	drawn, err := m.commands.Draw(ctx, by(), m.competition, command.Draw{Method: "as_entered"})
	require.NoError(t, err)
	m.settle(drawn)
	return m
}

func (m *morning) course() command.DefineCourse {
	tees := map[string]*events.TeeDefinition{}
	out := command.DefineCourse{Name: "Thrumsay Links"}
	var order []string
	for _, r := range readCSV(m.t, "course.csv") {
		tee := tees[r["tee"]]
		if tee == nil {
			tee = &events.TeeDefinition{Tee: r["tee"], CourseRatingTenths: tenths(m.t, r["course_rating"]), SlopeRating: number(m.t, r["slope_rating"])}
			tees[r["tee"]], order = tee, append(order, r["tee"])
		}
		tee.Holes = append(tee.Holes, events.Hole{
			Number: number(m.t, r["hole"]), Par: number(m.t, r["par"]), StrokeIndex: number(m.t, r["stroke_index"]), LengthM: number(m.t, r["length_m"]),
		})
	}
	for _, name := range order {
		out.Tees = append(out.Tees, *tees[name])
	}
	return out
}

// settle waits until pages show what a command did.
func (m *morning) settle(d command.Done) {
	m.t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	require.NoError(m.t, m.runner.WaitFor(ctx, d.Position))
	require.NoError(m.t, m.boards.WaitFor(ctx, d.Position))
}

func (m *morning) card(entry int) string { return command.CardID(m.competition, m.entries[entry], 1) }

// open lets play begin.
func (m *morning) open() {
	m.t.Helper()
	d, err := m.commands.OpenRound(context.Background(), by(), m.competition)
	require.NoError(m.t, err)
	m.settle(d)
}

// scores are the cards of the file: what stands on each hole, then the status.
func scores(t testing.TB) [][]string {
	t.Helper()
	var out [][]string
	for _, r := range readCSV(t, "cards.csv") {
		line := make([]string, 0, 19)
		for h := 1; h <= 18; h++ {
			line = append(line, r[fmt.Sprintf("h%d", h)])
		}
		out = append(out, append(line, r["status"]))
	}
	return out
}

// play enters the first holes of everybody by player and marker.
func (m *morning) play(holes func(entry int) int) {
	m.t.Helper()
	ctx := context.Background()
	all := scores(m.t)
	var last command.Done
	for i := range m.entries {
		for h := 1; h <= min(holes(i), 18); h++ {
			in := command.EnterScore{Hole: h, Confirmed: true}
			switch text := all[i%len(all)][h-1]; {
			case text == "PU":
				in.None = events.PickedUp
			case text == "" && all[i%len(all)][18] == "":
				in.None = events.NoScore
			case text == "":
				continue // stopped here
			default:
				n := number(m.t, text)
				in.Strokes = &n
			}
			for _, role := range []events.Role{events.RolePlayer, events.RoleMarker} {
				d, err := m.commands.EnterScore(ctx, as(role, m.card(i)), m.card(i), in)
				require.NoError(m.t, err)
				last = d
			}
		}
	}
	m.settle(last)
}

// finish returns every card, rules those of the file, closes the round and publishes.
func (m *morning) finish() {
	m.t.Helper()
	ctx := context.Background()
	all := scores(m.t)
	for i := range m.entries {
		in := command.EnterCard{Confirmed: true, Signed: true}
		for h := range 18 {
			if n, err := strconv.Atoi(all[i%len(all)][h]); err == nil {
				in.Scores = append(in.Scores, command.HoleEntry{Strokes: &n})
			} else {
				in.Scores = append(in.Scores, command.HoleEntry{None: events.NoScore})
			}
		}
		status := all[i%len(all)][18]
		if status == events.StatusNoShow || status == events.StatusWithdrew || status == events.StatusRetired || status == events.StatusDisqualified {
			_, err := m.commands.Rule(ctx, by(), m.card(i), command.RuleStatus{Status: status, Reason: "as the card says"})
			require.NoError(m.t, err)
			continue
		}
		_, err := m.commands.EnterCard(ctx, by(), m.card(i), in)
		require.NoError(m.t, err)
	}
	_, err := m.commands.CloseRound(ctx, by(), m.competition, command.CloseRound{})
	require.NoError(m.t, err)
	d, err := m.commands.Publish(ctx, by(), m.competition)
	require.NoError(m.t, err)
	m.settle(d)
}

func enter(hole int, strokes *int) command.EnterScore {
	return command.EnterScore{Hole: hole, Strokes: strokes, Confirmed: true}
}
