package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/board"
	"marram.example/projections/scoring"
	"marram.example/projections/standing"
)

// boardPage is the board as it stands when the page is made. The script goes on
// from its position.
type boardPage struct {
	board.Heading
	Ranking    string
	Bases      []boardLink // net and gross
	Divisions  []boardLink // the whole field first; empty where there is none
	Points     bool        // the main figure is points
	Screen     bool
	Rows       []boardRow
	Blank      boardRow // from which the script makes new rows
	Higher     bool     // a row's tee has a higher par than the lowest
	Shown      time.Time
	Offset     int // of the club's clock from UTC, seconds
	StreamURL  string
	RefreshURL string
	ScreenURL  string
}

// boardLink is a way to another ranking.
type boardLink struct {
	Words   string
	Ranking string
	URL     string
	Here    bool
}

// boardRow is a row as it is shown in one ranking. board.js fills rows in the
// same way.
type boardRow struct {
	No       int
	Position string
	Loose    bool // without a position
	Name     string
	CardID   string
	PlayerID string
	About    string // playing handicap, tee, division
	OtherPar bool   // the own tee's par is higher than that of others
	Figure   string // to par, or points
	Tint     string
	Total    string // strokes, or points against two a hole
	Thru     string
	Move     int
	Note     string
}

// screenRefresh is how often a big screen without script asks again, in seconds.
const screenRefresh = 20

func (w *Web) board(c echo.Context) error {
	id, s, err := w.watched(c)
	if err != nil {
		return err
	}
	b, ok := w.api.Boards.Snapshot(c.Request().Context(), id)
	if !ok {
		return events.NotFound("competition_id", "there is no such competition")
	}
	screen := c.QueryParam("screen") == "1"
	p := boardOf(b, c.QueryParam("ranking"), screen)
	p.Shown = w.now()
	_, p.Offset = p.Shown.In(w.location).Zone()
	title := page{
		Title: "Board, " + s.Name, Body: "board", Styles: []string{"board.css"}, Scripts: []string{"board.js"},
		Competition: nav(id, s, "board"), Data: p,
	}
	if screen {
		title.Bare, title.Competition, title.Body, title.Refresh = true, nil, "board big", screenRefresh
	}
	return w.render(c, http.StatusOK, "board.html", title)
}

// boardOf shows a board in one of its rankings; an unknown one means the
// competition's own.
func boardOf(b board.Board, ranking string, screen bool) boardPage {
	p := boardPage{Heading: b.Heading, Points: b.Format == "stableford", Screen: screen}
	if !slices.Contains(b.Rankings, ranking) {
		ranking = standing.Net
		if len(b.Rankings) > 0 {
			ranking = b.Rankings[0]
		}
	}
	p.Ranking = ranking
	p.links()
	rows := make([]board.Row, 0, len(b.Rows))
	for _, r := range b.Rows {
		if _, in := r.Places[ranking]; in || len(b.Rankings) == 0 {
			rows = append(rows, r)
		}
	}
	slices.SortStableFunc(rows, func(x, y board.Row) int { return x.Places[ranking].Order - y.Places[ranking].Order })
	for _, r := range rows {
		p.Rows = append(p.Rows, boardRowOf(r, ranking, b.Format))
		p.Higher = p.Higher || r.ParDifference > 0
	}
	p.Blank = boardRow{No: -1, CardID: "-"}
	at := "/competitions/" + b.CompetitionID + "/board"
	p.StreamURL = fmt.Sprintf("/api/v1/competitions/%s/board/stream?after=%d", b.CompetitionID, b.Position)
	p.RefreshURL = rankingURL(at, ranking, screen)
	p.ScreenURL = rankingURL(at, ranking, true)
	return p
}

func rankingURL(at, ranking string, screen bool) string {
	u := at + "?ranking=" + url.QueryEscape(ranking)
	if screen {
		u += "&screen=1"
	}
	return u
}

// links are the ways to the other rankings: the same division on the other
// basis, and the other divisions on the same basis.
func (p *boardPage) links() {
	at := "/competitions/" + p.CompetitionID + "/board"
	basis, division, _ := strings.Cut(p.Ranking, "/")
	seen := map[string]bool{}
	for _, name := range p.Rankings {
		b, d, _ := strings.Cut(name, "/")
		link := boardLink{Ranking: name, URL: rankingURL(at, name, p.Screen), Here: name == p.Ranking}
		if d == division && !seen["basis "+b] {
			seen["basis "+b] = true
			link.Words = rankingWords(b)
			p.Bases = append(p.Bases, link)
		}
		if b == basis {
			link.Words = d
			if d == "" {
				link.Words = "Everybody"
			}
			p.Divisions = append(p.Divisions, link)
		}
	}
	if len(p.Divisions) < 2 {
		p.Divisions = nil
	}
}

// boardRowOf puts a row into words.
func boardRowOf(r board.Row, ranking, format string) boardRow {
	basis, division, _ := strings.Cut(ranking, "/")
	place := r.Places[ranking]
	out := boardRow{
		No: r.No, Position: place.Position, Loose: place.Position == "", Name: r.Name, CardID: r.CardID, PlayerID: r.PlayerID,
		Thru: thruWords(r), Move: r.Movement,
	}
	if out.Name == "" {
		out.Name = erasedName
	}
	about := make([]string, 0, 3)
	if r.PlayingHandicap != nil {
		about = append(about, "plays off "+playingText(*r.PlayingHandicap))
	}
	tee := r.Tee
	if r.ParDifference > 0 {
		tee += " (par " + scoring.ToPar(r.ParDifference) + ")"
	}
	about = append(about, tee)
	if r.Division != "" && division == "" {
		about = append(about, r.Division)
	}
	out.About, out.OtherPar = strings.Join(about, ", "), r.ParDifference > 0
	out.Figure, out.Tint, out.Total = figureWords(r, basis, format)
	switch {
	case len(r.Differences) > 0:
		out.Note = "Player and marker differ on " + holeList(r.Differences)
	case r.Countback != "":
		out.Note = "Countback: " + countbackWords(r.Countback)
	case out.Figure == "" && r.Thru > 0 && r.Status == events.StatusInPlay:
		out.Note = "A hole has no score, so there is no total"
	}
	return out
}

// figureWords are the figure that counts and the total beside it.
func figureWords(r board.Row, basis, format string) (figure, class, total string) {
	toPar, strokes, points, level := r.NetToPar, r.Net, r.Points, r.Level
	if basis == standing.Gross {
		toPar, strokes, points, level = r.GrossToPar, r.Gross, r.GrossPoints, r.GrossLevel
	}
	if format == "stableford" {
		if points == nil {
			return "", "", ""
		}
		if level != nil {
			class, total = tint(-*level), scoring.ToPar(*level)
		}
		return strconv.Itoa(*points), class, total
	}
	if toPar == nil {
		return "", "", ""
	}
	if strokes != nil {
		total = strconv.Itoa(*strokes)
	}
	return scoring.ToPar(*toPar), tint(*toPar), total
}

// thruWords say how far a card has come: holes played, "in", or when it starts.
func thruWords(r board.Row) string {
	switch {
	case r.Status != "" && r.Status != events.StatusInPlay && r.Status != events.StatusReturned:
		return r.Status
	case r.Returned:
		return "in"
	case r.Thru > 0:
		return strconv.Itoa(r.Thru)
	default:
		return r.GroupTime
	}
}

// holeList writes "hole 7" or "holes 7 and 12".
func holeList(holes []int) string {
	if len(holes) == 1 {
		return "hole " + strconv.Itoa(holes[0])
	}
	words := make([]string, len(holes))
	for i, h := range holes {
		words[i] = strconv.Itoa(h)
	}
	return "holes " + strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// State says in a word whether the board may still change.
func (p boardPage) State() string {
	switch {
	case !p.Provisional:
		return "Final"
	case p.Phase == competition.Planned || p.Phase == competition.Drawn:
		return "Not started"
	default:
		return "Provisional"
	}
}
