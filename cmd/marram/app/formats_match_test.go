package app_test

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/command"
	"marram.example/events"
)

// playMatches plays every round of a match competition by the links of both sides
// and compares each match before the next round is drawn.
func (p *played) playMatches() {
	p.t.Helper()
	for _, d := range p.draws() {
		p.write(http.MethodPost, p.root+"/draw", command.Draw{Method: d.Method})
		p.write(http.MethodPost, p.root+"/round/opening", struct{}{})
		var sheet api.Draw
		p.ask(fmt.Sprintf("%s/draw?round=%d", p.root, d.Round), &sheet)
		var ids []string
		for _, g := range sheet.Groups {
			if len(g.Places) < 2 {
				require.Empty(p.t, g.MatchID, "a bye")
				continue
			}
			want := d.Groups[len(ids)].Entries
			require.Equal(p.t, strings.Join(want, " "), p.numbers([]string{g.Places[0].EntryID, g.Places[1].EntryID}))
			ids = append(ids, g.MatchID)
		}
		require.Len(p.t, ids, len(d.Groups))
		for i, id := range ids {
			p.playMatch(id, p.rowsOf(d.Round, i+1))
			p.agreesWithMatch(id, d.Round, i+1)
		}
		p.write(http.MethodPost, p.root+"/round/closing", command.CloseRound{})
	}
	p.write(http.MethodPost, p.root+"/result", struct{}{})
	p.read(p.root+"/result", &p.result)
	p.agreesWithMatches()
	p.agreesWithTable()
}

// rowsOf are the lines of one match, by side.
func (p *played) rowsOf(round, number int) map[string][]map[string]string {
	p.t.Helper()
	out := map[string][]map[string]string{}
	for _, r := range p.table("matches.csv") {
		if r["round"] == strconv.Itoa(round) && r["match"] == strconv.Itoa(number) {
			out[r["side"]] = append(out[r["side"]], r)
		}
	}
	require.Len(p.t, out, 2)
	return out
}

// playMatch enters a match hole by hole as its players would: side A writes the
// scores, whoever concedes does it for the own side, and both stand for the result.
func (p *played) playMatch(id string, rows map[string][]map[string]string) {
	p.t.Helper()
	path := "/api/v1/matches/" + id
	links := map[string]*client{}
	for side, lines := range rows {
		var l api.MatchLink
		p.do(http.MethodPost, path+"/links/"+p.entries[lines[0]["member_no"]], struct{}{}, http.StatusOK, &l)
		links[side] = p.as(l.Token)
	}
	after := func(a answer) { p.last = max(p.last, a.Position) }
	for number := 1; number <= len(p.terms.Holes)+4; number++ {
		column := holeOf(number, len(p.terms.Holes))
		a, b := rows[events.SideA], rows[events.SideB]
		if a[0][column] == "" && b[0][column] == "" && blank(a, column) && blank(b, column) {
			break
		}
		switch {
		case a[0][column] == "C":
			after(links[events.SideA].write(http.MethodPost, path+"/concessions/hole", command.ConcedeHole{Number: number}))
		case b[0][column] == "C":
			after(links[events.SideB].write(http.MethodPost, path+"/concessions/hole", command.ConcedeHole{Number: number}))
		default:
			after(links[events.SideA].write(http.MethodPost, path+"/holes", command.EnterMatchHole{
				Number: number, A: p.matchScores(a, column), B: p.matchScores(b, column),
			}))
		}
	}
	for side, lines := range rows {
		if lines[0]["conceded_after"] != "" {
			after(links[side].write(http.MethodPost, path+"/concessions/match", command.ConcedeMatch{}))
			return
		}
	}
	for _, side := range []string{events.SideA, events.SideB} {
		after(links[side].write(http.MethodPost, path+"/result", command.MatchResult{}))
	}
}

func holeOf(number, length int) string {
	if number > length {
		return "x" + strconv.Itoa(number-length)
	}
	return "h" + strconv.Itoa(number)
}

func blank(lines []map[string]string, column string) bool {
	for _, l := range lines {
		if l[column] != "" {
			return false
		}
	}
	return true
}

func (p *played) matchScores(lines []map[string]string, column string) []command.MatchScore {
	p.t.Helper()
	out := make([]command.MatchScore, len(lines))
	for i, l := range lines {
		h := holeEntry(p.t, l[column])
		out[i] = command.MatchScore{Strokes: h.Strokes, None: h.None}
	}
	return out
}

func (p *played) agreesWithMatch(id string, round, number int) {
	p.t.Helper()
	var m api.Match
	p.read("/api/v1/matches/"+id, &m)
	want := p.expectedMatch(round, number)
	require.Equal(p.t, want["side_a"], p.of[m.A.EntryID])
	require.Equal(p.t, want["side_b"], p.of[m.B.EntryID])
	require.Equal(p.t, want["received_a"], receivedBy(m.A), id)
	require.Equal(p.t, want["received_b"], receivedBy(m.B), id)
	require.Equal(p.t, want["lead"], joined(m.Standing.Progress), id)
	require.NotNil(p.t, m.Outcome, id)
	require.Equal(p.t, want["result"], m.Outcome.Text, id)
	require.Empty(p.t, m.Differences)
	require.NotEmpty(p.t, m.Explanation)
	for _, side := range []api.MatchSide{m.A, m.B} {
		for _, b := range side.Balls {
			p.agreesWithMatchBall(round, side, b)
		}
	}
}

func receivedBy(s api.MatchSide) string {
	out := make([]int, len(s.Balls))
	for i, b := range s.Balls {
		out[i] = b.Received
	}
	return joined(out)
}

func (p *played) expectedMatch(round, number int) map[string]string {
	p.t.Helper()
	for _, row := range p.table("expected/matches.csv") {
		if row["round"] == strconv.Itoa(round) && row["match"] == strconv.Itoa(number) {
			return row
		}
	}
	require.Fail(p.t, "no such match is expected")
	return nil
}

func (p *played) agreesWithMatchBall(round int, side api.MatchSide, b api.MatchBall) {
	p.t.Helper()
	at := fmt.Sprintf("%s, round %d, ball %d", p.of[side.EntryID], round, b.Ball)
	for _, want := range p.table("expected/balls.csv") {
		if want["round"] != strconv.Itoa(round) || want["member_no"] != p.of[side.EntryID] || want["ball"] != strconv.Itoa(b.Ball) {
			continue
		}
		require.Equal(p.t, want["player"], p.member[b.Players[0].PlayerID], at)
		p.agreesWithFigures(want, b.Tee, b.Figures, at)
		strokes := make([]int, len(b.Holes))
		for i, h := range b.Holes {
			strokes[i] = h.Received
		}
		require.Equal(p.t, want["strokes"], joined(strokes), at)
		return
	}
	require.Fail(p.t, "no such ball is expected", at)
}

// agreesWithMatches compares the matches of the published result.
func (p *played) agreesWithMatches() {
	p.t.Helper()
	wanted := p.table("expected/matches.csv")
	require.Len(p.t, p.result.Matches, len(wanted))
	for i, want := range wanted {
		got := p.result.Matches[i]
		require.Equal(p.t, want["round"], strconv.Itoa(got.Round))
		require.Equal(p.t, want["side_a"]+" "+want["side_b"], p.numbers(got.EntryIDs))
		require.Equal(p.t, want["result"], got.Text)
		require.Equal(p.t, want["winner"], p.of[got.Winner])
		if want["by"] != "" {
			require.Equal(p.t, whole(want["by"]), got.By)
		}
	}
}

func (p *played) agreesWithTable() {
	p.t.Helper()
	wanted := p.table("expected/table.csv")
	require.Len(p.t, p.result.Table, len(wanted))
	positions := map[string]string{}
	for _, r := range p.result.Rows {
		positions[p.of[r.EntryID]] = r.Positions["match"]
	}
	for i, want := range wanted {
		got := p.result.Table[i]
		require.Equal(p.t, want["member_no"], p.of[got.EntryID])
		require.Equal(p.t, []int{
			whole(want["played"]), whole(want["won"]), whole(want["tied"]), whole(want["lost"]), whole(want["half_points"]), whole(want["holes"]),
		}, []int{got.Played, got.Won, got.Tied, got.Lost, got.HalfPoints, got.Holes}, want["member_no"])
		require.Equal(p.t, want["position"], positions[want["member_no"]])
		require.Equal(p.t, want["decided"] != "", got.Decided != "", want["member_no"])
	}
}
