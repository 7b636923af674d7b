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
	Unit       string // strokes, points, holes or matches
	Ranking    string
	Bases      []boardLink // net and gross
	Divisions  []boardLink // the whole field first; empty where there is none
	Screen     bool
	Rows       []boardRow
	Blank      boardRow // from which the script makes new rows
	Higher     bool     // a row's tee has a higher par than the lowest
	Matches    []matchRound
	Table      []tableLine
	Shown      time.Time
	Offset     int // of the club's clock from UTC, seconds
	StreamURL  string
	RefreshURL string
	ScreenURL  string
	Past       bool   // how it stood, not how it stands
	At         string // that moment, as a form has it
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
	Missed   bool // the cut
	Name     string
	CardID   string
	PlayerID string
	About    string // playing handicap, tee, division
	OtherPar bool   // the own tee's par is higher than that of others
	Figure   string // to par, points, or holes up or down
	Tint     string
	Total    string // strokes, points against two a hole, or holes on the other basis
	Rounds   []roundCell
	Several  bool // there is a cell for rounds
	Thru     string
	Move     int
	Note     string
}

// roundCell is one round of a row.
type roundCell struct {
	Round  int
	Figure string
	Tint   string
	CardID string
}

// screenRefresh is how often a big screen without script asks again, in seconds.
const screenRefresh = 20

func (w *Web) board(c echo.Context) error {
	id, s, err := w.watched(c)
	if err != nil {
		return err
	}
	b, past, err := w.boardShown(c, id)
	if err != nil {
		return err
	}
	screen := c.QueryParam("screen") == "1"
	p := boardOf(b, c.QueryParam("ranking"), screen)
	p.Shown, p.Past = w.now(), past
	if past {
		p.Shown = b.AsOf
	}
	p.At = p.Shown.In(w.location).Format(formTime)
	_, p.Offset = p.Shown.In(w.location).Zone()
	title := page{
		Title: "Board, " + s.Name, Body: "board", Styles: []string{"board.css"}, Scripts: []string{"board.js"},
		Competition: nav(id, s, "board"), Data: p,
	}
	if p.Unit == "matches" {
		title.Styles = append(title.Styles, "matches.css")
	}
	if p.Past {
		title.Scripts = nil
	}
	if screen {
		title.Bare, title.Screen, title.Competition, title.Body, title.Refresh = true, true, nil, "board big", screenRefresh
	}
	return w.render(c, http.StatusOK, "board.html", title)
}

// formTime is how a form writes a moment of the club's clock (WHATWG HTML, a local
// date and time).
const formTime = "2006-01-02T15:04"

// boardShown is the board now, or how it stood where the visitor asks for a
// moment (at) or a position (as_of).
func (w *Web) boardShown(c echo.Context, id string) (b board.Board, past bool, err error) {
	text := c.QueryParam("at")
	if text == "" {
		b, err = w.api.BoardFor(c)
		return b, c.QueryParam("as_of") != "", err
	}
	at, err := time.ParseInLocation(formTime, text, w.location)
	if err != nil {
		return b, false, events.Invalid("at", "malformed", "a moment is written like 2031-05-03T09:12")
	}
	b, err = w.api.BoardAt(c, id, at.Add(time.Minute-time.Nanosecond)) // the whole minute
	return b, true, err
}

// boardOf shows a board in one of its rankings; an unknown one means the
// competition's own.
func boardOf(b board.Board, ranking string, screen bool) boardPage {
	p := boardPage{Heading: b.Heading, Unit: competition.Unit(b.Format), Screen: screen}
	if b.Format == "" {
		p.Unit = "strokes"
	}
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
		row := boardRowOf(r, ranking, p.Unit)
		row.Several = p.Rounds > 1
		p.Rows = append(p.Rows, row)
		p.Higher = p.Higher || r.ParDifference > 0
	}
	p.addMatches(b)
	p.Blank = boardRow{No: -1, CardID: "-", Several: p.Rounds > 1}
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
func boardRowOf(r board.Row, ranking, unit string) boardRow {
	basis, division, _ := strings.Cut(ranking, "/")
	place := r.Places[ranking]
	out := boardRow{
		No: r.No, Position: place.Position, Loose: place.Position == "", Name: r.Name, CardID: r.CardID, PlayerID: r.PlayerID,
		Thru: thruWords(r), Move: r.Movement, Missed: r.Status == events.StatusMissedCut,
	}
	if out.Name == "" {
		out.Name = erasedName
	}
	about := make([]string, 0, 6)
	if r.TeamName != "" {
		about = append(about, nameOr(r.PlayerName))
		for _, p := range r.Partners {
			about = append(about, nameOr(p.Name))
		}
	}
	if r.PlayingHandicap != nil && len(r.Partners) == 0 {
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
	out.Figure, out.Tint, out.Total = figureWords(r, basis, unit)
	for _, t := range r.Rounds {
		out.Rounds = append(out.Rounds, roundCellOf(t, basis, unit))
	}
	switch {
	case len(r.Differences) > 0:
		out.Note = "Player and marker differ on " + holeList(r.Differences)
	case r.Countback != "":
		out.Note = "Countback: " + countbackWords(r.Countback)
	case out.Missed:
		out.Note = "Missed the cut"
	case out.Figure == "" && r.Thru > 0 && r.Status == events.StatusInPlay:
		out.Note = "A hole has no score, so there is no total"
	}
	return out
}

// figureWords are the figure that counts and the total beside it.
func figureWords(r board.Row, basis, unit string) (figure, class, total string) {
	toPar, strokes, points, level, holes, other := r.NetToPar, r.Net, r.Points, r.Level, r.ParBogey, r.GrossParBogey
	if basis == standing.Gross {
		toPar, strokes, points, level, holes, other = r.GrossToPar, r.Gross, r.GrossPoints, r.GrossLevel, other, holes
	}
	switch unit {
	case "points":
		if points == nil {
			return "", "", ""
		}
		if level != nil {
			class, total = tint(-*level), scoring.ToPar(*level)
		}
		return strconv.Itoa(*points), class, total
	case "holes":
		if holes == nil {
			return "", "", ""
		}
		if other != nil {
			total = scoring.ToPar(*other)
		}
		return scoring.ToPar(*holes), tint(-*holes), total
	}
	if toPar == nil {
		return "", "", ""
	}
	if strokes != nil {
		total = strconv.Itoa(*strokes)
	}
	return scoring.ToPar(*toPar), tint(*toPar), total
}

// roundCellOf is one round of a row: what it comes to once it is over, how it
// stands against level play before.
func roundCellOf(t board.RoundTotal, basis, unit string) roundCell {
	value, level := t.Net, t.NetLevel
	if basis == standing.Gross {
		value, level = t.Gross, t.GrossLevel
	}
	out := roundCell{Round: t.Round, CardID: t.CardID}
	if value == nil || level == nil || t.Thru == 0 {
		return out
	}
	switch unit {
	case "points":
		out.Figure, out.Tint = strconv.Itoa(*value), tint(-*level)
	case "holes":
		out.Figure, out.Tint = scoring.ToPar(*value), tint(-*level)
	default:
		out.Figure, out.Tint = scoring.ToPar(*level), tint(*level)
	}
	return out
}

// FigureHead is the heading of the figure that counts, TotalHead of the one
// beside it.
func (p boardPage) FigureHead() string {
	switch p.Unit {
	case "points":
		return "Points"
	case "holes":
		return "Won less lost"
	default:
		return "To par"
	}
}

// TotalHead is the heading of the figure beside the one that counts.
func (p boardPage) TotalHead() string {
	switch {
	case p.Unit == "points":
		return "To level"
	case p.Unit == "holes" && strings.HasPrefix(p.Ranking, standing.Gross):
		return "Net"
	case p.Unit == "holes":
		return "Gross"
	default:
		return "Strokes"
	}
}

// RoundWords say which round is shown, where there are several.
func (p boardPage) RoundWords() string {
	switch {
	case p.Rounds < 2:
		return ""
	case p.Bracket == competition.Knockout:
		return knockoutRound(p.Round, p.Rounds)
	default:
		return fmt.Sprintf("Round %d of %d", p.Round, p.Rounds)
	}
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
	case p.Round < 2 && (p.Phase == competition.Planned || p.Phase == competition.Drawn):
		return "Not started"
	default:
		return "Provisional"
	}
}
