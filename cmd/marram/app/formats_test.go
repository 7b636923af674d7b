package app_test

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/command"
	"marram.example/events"
)

var formatsFolder = filepath.Join("..", "..", "..", "testdata", "formats")

// formatsDay is the day of every one of these competitions.
const formatsDay = "2026-06-06"

// Every competition under testdata/formats goes through the public API, from the
// course file to the published result. The expected files were worked out apart, in
// another language and with fractions; every line has to agree.
func TestEveryFormatAgreesWithACalculationMadeApart(t *testing.T) {
	t.Parallel()
	entries, err := os.ReadDir(formatsFolder)
	require.NoError(t, err)
	ran := 0
	for _, e := range entries {
		if _, err := os.Stat(filepath.Join(formatsFolder, e.Name(), "terms.json")); err != nil {
			continue
		}
		ran++
		t.Run(e.Name(), func(t *testing.T) {
			t.Parallel()
			p := preparePlayed(t, e.Name())
			if p.terms.Format == events.MatchPlay {
				p.playMatches()
				p.looksRight(e.Name())
				return
			}
			p.playCards()
			p.agreesWithResult()
			p.agreesWithRounds()
			p.agreesWithBalls()
			p.agreesWithCut()
			p.looksRight(e.Name())
		})
	}
	require.Equal(t, 28, ran, "competitions of testdata/formats/README.md")
}

// played is one competition of testdata/formats on its way through the API.
type played struct {
	*client
	t       *testing.T
	folder  string
	id      string
	root    string
	terms   events.Terms
	member  map[string]string // by player id
	player  map[string]string // by member number
	entries map[string]string // by member number of the first player
	of      map[string]string // the same the other way round
	result  api.Result
}

// preparePlayed brings course, players, terms and entries in.
func preparePlayed(t *testing.T, name string) *played {
	t.Helper()
	p := &played{
		client: mustSignIn(t, mustStart(t)), t: t, folder: filepath.Join(formatsFolder, name),
		member: map[string]string{}, player: map[string]string{}, entries: map[string]string{}, of: map[string]string{},
	}
	p.bring("course", "", p.file("../course.csv"))
	p.bring("players", "", p.file("players.csv"))
	var courses api.Page[api.Course]
	p.read("/api/v1/courses", &courses)
	require.Len(t, courses.Items, 1)
	require.NoError(t, json.Unmarshal(p.file("terms.json"), &p.terms))
	p.terms.CourseID = courses.Items[0].ID
	p.id = p.write(http.MethodPost, "/api/v1/competitions", command.PlanCompetition{Name: name, Date: formatsDay}).ID
	p.root = "/api/v1/competitions/" + p.id
	p.write(http.MethodPut, p.root+"/terms", p.terms)
	p.bring("entries", "&competition="+p.id, p.file("entries.csv"))
	var players api.Page[api.Player]
	p.ask("/api/v1/players?limit=200", &players)
	for _, x := range players.Items {
		p.member[x.ID], p.player[x.MemberNo] = x.MemberNo, x.ID
	}
	var entries api.Page[api.Entry]
	p.ask(p.root+"/entries?limit=200", &entries)
	for _, e := range entries.Items {
		require.Len(t, e.Players, max(1, p.terms.SideSize))
		for _, who := range e.Players {
			require.NotEmpty(t, who.Name)
		}
		p.entries[p.member[e.PlayerID]], p.of[e.ID] = e.ID, p.member[e.PlayerID]
	}
	require.Len(t, p.entries, len(p.table("entries.csv")))
	return p
}

// ask is read for an address that has a query already.
func (p *played) ask(path string, out any) {
	p.t.Helper()
	p.send(http.MethodGet, fmt.Sprintf("%s&min_sequence=%d", path, p.last), "", nil, http.StatusOK, out)
}

func (p *played) file(name string) []byte {
	p.t.Helper()
	b, err := os.ReadFile(filepath.Join(p.folder, filepath.FromSlash(name)))
	require.NoError(p.t, err)
	return b
}

// table reads a CSV file as one map a row; nil where there is no such file.
func (p *played) table(name string) []map[string]string {
	p.t.Helper()
	if _, err := os.Stat(filepath.Join(p.folder, filepath.FromSlash(name))); err != nil {
		return nil
	}
	rows, err := csv.NewReader(strings.NewReader(string(p.file(name)))).ReadAll()
	require.NoError(p.t, err)
	out := make([]map[string]string, len(rows)-1)
	for i, row := range rows[1:] {
		out[i] = map[string]string{}
		for j, column := range rows[0] {
			out[i][column] = row[j]
		}
	}
	return out
}

// bring imports a file, after a dry run of it.
func (p *played) bring(kind, query string, body []byte) {
	p.t.Helper()
	var dry, done api.Imported
	p.send(http.MethodPost, "/api/v1/imports/"+kind+"?dry_run=true"+query, "text/csv", body, http.StatusOK, &dry)
	require.Empty(p.t, dry.Problems)
	p.send(http.MethodPost, "/api/v1/imports/"+kind+"?dry_run=false"+query, "text/csv", body, http.StatusOK, &done)
	require.Equal(p.t, dry.Rows, done.Rows)
	p.last = max(p.last, uint64(done.Position))
}

// drawn is a round of draw.json.
type drawn struct {
	Round  int    `json:"round"`
	Method string `json:"method"`
	Groups []struct {
		Number       int      `json:"number"`
		Time         string   `json:"time"`
		StartingHole int      `json:"starting_hole"`
		Letter       string   `json:"letter"`
		Entries      []string `json:"entries"`
	} `json:"groups"`
}

func (p *played) draws() []drawn {
	p.t.Helper()
	if _, err := os.Stat(filepath.Join(p.folder, "draw.json")); err != nil {
		return nil
	}
	var out []drawn
	require.NoError(p.t, json.Unmarshal(p.file("draw.json"), &out))
	return out
}

// draw puts a start sheet up: the one of draw.json, else any.
func (p *played) draw(round int) {
	p.t.Helper()
	in := command.Draw{Method: "as_entered"}
	for _, d := range p.draws() {
		if d.Round != round || d.Method != "by_hand" {
			continue
		}
		in.Method = d.Method
		for _, g := range d.Groups {
			group := events.Group{Number: g.Number, Time: g.Time, StartingHole: g.StartingHole, Letter: g.Letter}
			for _, no := range g.Entries {
				group.Places = append(group.Places, events.GroupSlot{EntryID: p.entries[no]})
			}
			in.Groups = append(in.Groups, group)
		}
	}
	p.write(http.MethodPost, p.root+"/draw", in)
}

// playCards plays every round and publishes the result.
func (p *played) playCards() {
	p.t.Helper()
	for round := 1; round <= p.terms.Rounds; round++ {
		p.draw(round)
		p.write(http.MethodPost, p.root+"/round/opening", struct{}{})
		p.rule(round, "play")
		p.bring("cards", "&competition="+p.id, p.cardsOf(round))
		p.rule(round, "returned")
		p.write(http.MethodPost, p.root+"/round/closing", command.CloseRound{})
		var c api.Competition
		p.read(p.root, &c)
		require.Equal(p.t, round, c.Round)
		require.Equal(p.t, p.terms.Rounds, c.Rounds)
		require.Len(p.t, c.Past, round-1)
		want := "between"
		if round == p.terms.Rounds {
			want = "closed"
		}
		require.EqualValues(p.t, want, c.Phase)
	}
	p.write(http.MethodPost, p.root+"/result", struct{}{})
	p.read(p.root+"/result", &p.result)
	require.False(p.t, p.result.Provisional)
}

// cardsOf are the rows of a round, as a cards file.
func (p *played) cardsOf(round int) []byte {
	p.t.Helper()
	lines := strings.SplitAfter(string(p.file("cards.csv")), "\n")
	out := lines[0]
	for _, l := range lines[1:] {
		if strings.HasPrefix(l, strconv.Itoa(round)+",") {
			out += l
		}
	}
	return []byte(out)
}

func (p *played) card(no string, round int) string {
	return "/api/v1/cards/" + command.CardID(p.id, p.entries[no], round)
}

// rule carries the rulings of one moment of a round out.
func (p *played) rule(round int, when string) {
	p.t.Helper()
	added := map[string]string{}
	for _, r := range p.table("rulings.csv") {
		if r["when"] != when || r["round"] != strconv.Itoa(round) {
			continue
		}
		card, hole, ball := p.card(r["member_no"], round), whole(r["hole"]), whole(r["ball"])
		out := command.HoleOut{Round: round, Hole: hole, Reason: r["reason"]}
		onReturn := r["rule"] == "Rules of Golf 3.3b(3)"
		switch r["kind"] {
		case "exclude_hole":
			p.write(http.MethodPost, p.root+"/excluded-holes", out)
		case "restore_hole":
			p.write(http.MethodPost, p.root+"/excluded-holes/restoration", out)
		case "penalty":
			if onReturn {
				p.actualScore(card, hole, ball, whole(r["strokes"]), whole(r["strokes"]), r["reason"], command.ScorePenaltyAdded)
				continue
			}
			added[r["id"]] = p.write(http.MethodPost, card+"/penalties", command.AddPenalty{
				Ball: ball, Hole: hole, Strokes: whole(r["strokes"]), Rule: r["rule"], Reason: r["reason"],
			}).ID
		case "penalty_removed":
			p.write(http.MethodPost, card+"/penalties/"+added[r["id"]]+"/removal", map[string]string{"reason": r["reason"]})
		case "correction":
			p.write(http.MethodPost, card+"/scores", command.EnterScore{
				Hole: hole, Ball: ball, Strokes: number(r["score"]), Confirmed: true, Reason: r["reason"],
			})
		case "stands":
			p.actualScore(card, hole, ball, -1, 0, r["reason"], command.ScoreStands)
		case "status":
			if onReturn && r["status"] == events.StatusDisqualified {
				p.actualScore(card, hole, ball, 1, 0, r["reason"], command.ScoreDisqualified)
				continue
			}
			p.write(http.MethodPost, card+"/ruling", command.RuleStatus{Status: r["status"], Reason: r["reason"] + " (" + r["rule"] + ")"})
		default:
			require.Fail(p.t, "a kind of ruling that nobody here knows", r["kind"])
		}
	}
}

// actualScore rules on a score that was returned so many strokes lower than the
// actual one, first to see the ruling and then to apply it.
func (p *played) actualScore(path string, hole, ball, lower, unknown int, reason, outcome string) {
	p.t.Helper()
	var k api.Card
	p.read(path, &k)
	at := slices.IndexFunc(k.Balls[ball].Holes, func(h api.CardHole) bool { return h.Number == hole })
	actual := k.Balls[ball].Holes[at].Counting.Strokes + lower
	in := command.RuleScore{Hole: hole, Ball: ball, Actual: &actual, UnknownPenalty: unknown, Reason: reason, DryRun: true}
	var seen, applied api.ScoreRuling
	p.do(http.MethodPost, path+"/actual-score", in, http.StatusOK, &seen)
	require.Equal(p.t, outcome, seen.Outcome, "%v", seen.Words)
	require.False(p.t, seen.Changed)
	require.Equal(p.t, k.Sequence, seen.Sequence)
	in.DryRun = false
	p.do(http.MethodPost, path+"/actual-score", in, http.StatusOK, &applied)
	require.Equal(p.t, seen.Words, applied.Words)
	require.True(p.t, applied.Changed)
	p.last = max(p.last, uint64(applied.Position))
}

func whole(text string) int {
	if n := number(text); n != nil {
		return *n
	}
	return 0
}

// status is what the files leave blank.
func status(text string) string {
	if text == "" {
		return events.StatusReturned
	}
	return text
}

// figures are totals as the service has them, with those of formats that the
// expected files leave blank taken out.
type figures struct{ gross, net, points, grossPoints, parBogey *int }

func (p *played) wanted(format string, row map[string]string) figures {
	out := figures{
		gross: number(row["gross"]), net: number(row["net"]), points: number(row["points"]), grossPoints: number(row["gross_points"]),
		parBogey: number(row["par_bogey"]),
	}
	if format == events.MaximumScore {
		out.gross = number(row["counted"])
	}
	return out
}

func (p *played) inFormat(format string, f figures) figures {
	switch format {
	case events.Stableford:
		return figures{points: f.points, grossPoints: f.grossPoints}
	case events.ParBogey:
		return figures{parBogey: f.parBogey}
	default:
		return f
	}
}

func (p *played) agreesWithResult() {
	p.t.Helper()
	rows := map[string]api.ResultRow{}
	for _, r := range p.result.Rows {
		rows[p.of[r.EntryID]] = r
	}
	wanted := p.table("expected/result.csv")
	require.Len(p.t, rows, len(wanted))
	for _, want := range wanted {
		no := want["member_no"]
		got := rows[no]
		require.Equal(p.t, status(want["status"]), got.Status, no)
		require.Equal(p.t, want["position"], got.Positions[p.terms.Ranking], "%s: %s", no, got.Countback)
		f := figures{gross: got.Gross, net: got.Net, points: got.Points, grossPoints: got.GrossPoints, parBogey: got.ParBogey}
		require.Equal(p.t, p.wanted(p.terms.Format, want), p.inFormat(p.terms.Format, f), no)
		require.Len(p.t, got.Players, max(1, p.terms.SideSize), no)
		require.Len(p.t, got.Partners, max(0, p.terms.SideSize-1), no)
	}
}

func (p *played) agreesWithRounds() {
	p.t.Helper()
	wanted := p.table("expected/rounds.csv")
	require.NotEmpty(p.t, wanted)
	for _, want := range wanted {
		no, round := want["member_no"], whole(want["round"])
		t := p.terms.Round(round)
		at := fmt.Sprintf("%s, round %d", no, round)
		var k api.Card
		p.read(p.card(no, round), &k)
		require.Equal(p.t, round, k.Round)
		require.Equal(p.t, status(want["status"]), k.Status, at)
		p.agreesInResult(no, round, want)
		if want["status"] != "" {
			continue
		}
		f := figures{
			gross: k.Totals.Gross, net: k.Totals.Net, points: k.Totals.Points, grossPoints: k.Totals.GrossPoints, parBogey: k.Totals.ParBogey,
		}
		require.Equal(p.t, p.wanted(t.Format, want), p.inFormat(t.Format, f), at)
		var holes, balls []string
		for i, c := range k.Counts {
			require.Equal(p.t, t.Holes[i], c.Number)
			holes = append(holes, strconv.Itoa(onHole(t, c)))
			by := make([]string, len(c.By))
			for j, b := range c.By {
				by[j] = strconv.Itoa(b)
			}
			balls = append(balls, strings.Join(by, "+"))
		}
		require.Equal(p.t, want["by_hole"], strings.Join(holes, " "), at)
		if len(k.Balls) > 1 {
			require.Equal(p.t, want["balls_counting"], strings.Join(balls, " "), at)
		} else {
			require.Empty(p.t, want["balls_counting"], at)
		}
		if t.Format == events.MaximumScore {
			require.Equal(p.t, number(want["gross"]), strokesMade(k), at)
		}
	}
}

// agreesInResult looks at the round of an entry in the published result.
func (p *played) agreesInResult(no string, round int, want map[string]string) {
	p.t.Helper()
	if p.terms.Rounds == 1 {
		return
	}
	format := p.terms.Round(round).Format
	for _, row := range p.result.Rows {
		for _, r := range row.Rounds {
			if p.of[row.EntryID] != no || r.Round != round {
				continue
			}
			require.Equal(p.t, status(want["status"]), r.Status, no)
			f := p.wanted(format, want)
			f.grossPoints = nil
			require.Equal(p.t, f, p.inFormat(format, figures{gross: r.Gross, net: r.Net, points: r.Points, parBogey: r.ParBogey}), no)
			return
		}
	}
	require.Fail(p.t, "a round is missing in the result", "%s, round %d", no, round)
}

// onHole is what a hole comes to in the ranking of the terms and the unit of the
// format.
func onHole(t events.Terms, c api.CardCount) int {
	of := c.Net
	switch {
	case t.Format == events.Stableford:
		of = c.Points
	case t.Format == events.ParBogey:
		of = c.ParBogey
	case t.Ranking == "gross":
		of = c.Gross
	}
	if of == nil {
		return 0
	}
	return *of
}

// strokesMade is what stands on a card of one ball; nil where a hole has none.
func strokesMade(k api.Card) *int {
	sum := 0
	for _, h := range k.Holes {
		if h.Counting.Strokes == 0 {
			return nil
		}
		sum += h.Counting.Strokes
	}
	return &sum
}

func (p *played) agreesWithBalls() {
	p.t.Helper()
	wanted := p.table("expected/balls.csv")
	require.NotEmpty(p.t, wanted)
	for _, want := range wanted {
		at := fmt.Sprintf("%s, round %s, ball %s", want["member_no"], want["round"], want["ball"])
		var k api.Card
		p.read(p.card(want["member_no"], whole(want["round"])), &k)
		b := k.Balls[whole(want["ball"])]
		require.Equal(p.t, want["player"], p.member[b.PlayerID], at)
		p.agreesWithFigures(want, b.Tee, b.Figures, at)
		require.Equal(p.t, want["strokes"], joined(b.Figures.StrokesByHole), at)
	}
}

func (p *played) agreesWithFigures(want map[string]string, tee string, f events.Figures, at string) {
	p.t.Helper()
	require.Equal(p.t, want["tee"], tee, at)
	require.Equal(p.t, want["course_handicap_unrounded"], fraction(f), at)
	require.Equal(p.t, whole(want["playing_handicap"]), f.PlayingHandicap, at)
	shares := make([]string, len(f.Shares))
	for i, s := range f.Shares {
		shares[i] = fmt.Sprintf("%s:%d", p.member[s.PlayerID], s.Percent)
	}
	require.Equal(p.t, want["shares"], strings.Join(shares, " "), at)
}

func (p *played) agreesWithCut() {
	p.t.Helper()
	var c api.Competition
	p.read(p.root, &c)
	wanted := p.table("expected/cut.csv")
	if len(wanted) == 0 {
		require.Nil(p.t, c.Cut)
		return
	}
	require.NotNil(p.t, c.Cut)
	require.Equal(p.t, whole(wanted[0]["after_round"]), c.Cut.AfterRound)
	require.Equal(p.t, number(wanted[0]["line"]), c.Cut.Line)
	require.Equal(p.t, wanted[0]["through"], p.numbers(c.Cut.Through))
	require.Equal(p.t, wanted[0]["missed"], p.numbers(c.Cut.Missed))
}

// numbers are the member numbers of entries.
func (p *played) numbers(ids []string) string {
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = p.of[id]
	}
	return strings.Join(out, " ")
}
