package web

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/standing"
)

// quietAfter is how long a card on the course may be without an entry before the
// list points to it (common practice, no source).
const quietAfter = 30 * time.Minute

// Why a card stands where it does in the list, most urgent first.
const (
	cardDiffers = "differs"     // player and marker disagree
	cardQuiet   = "quiet"       // no entry for long
	cardUnsure  = "uncertified" // every hole entered, not handed in
	cardPlaying = "out"         // not in yet, on the course or still to start
	cardRuled   = "ruled"       // NR, RTD, WD, NS or DQ
	cardIn      = "in"          // returned
)

// cardOrder is the order of the list.
func cardOrder() []choice {
	return []choice{
		{cardDiffers, "Differ"}, {cardQuiet, "Quiet"}, {cardUnsure, "Not handed in"}, {cardPlaying, "Still out"}, {cardRuled, "Ruled"}, {cardIn, "Returned"},
	}
}

// deskCardRow is one card of the list.
type deskCardRow struct {
	ID      string
	EntryID string
	Name    string
	Group   int
	Time    string
	Status  string
	Why     string // one of the constants above
	Says    string // the same in words, with the holes
	Thru    int
	Holes   int
	Last    time.Time // of the last entry; zero where unknown
	Total   string    // gross, net or points, once returned
}

// deskCardsPage lists the cards, what needs attention first.
type deskCardsPage struct {
	*deskComp
	Rows    []deskCardRow
	Counts  []cardCount
	Show    string
	Search  string
	Just    *deskCardRow // the card that was just handed in
	Receipt string
}

// cardCount is one part of the drawn bar.
type cardCount struct {
	choice
	N    int
	From float64 // of the bar, in percent
	Wide float64
}

func (w *Web) deskCards(c echo.Context) error {
	k, err := w.deskComp(c, "cards")
	if err != nil {
		return err
	}
	p := deskCardsPage{deskComp: k, Show: c.QueryParam("show"), Search: strings.TrimSpace(c.QueryParam("q"))}
	all := w.cardRows(c, k)
	from := 0.0
	for _, kind := range cardOrder() {
		n := cardCount{choice: kind, From: from}
		for _, r := range all {
			if r.Why == kind.Value {
				n.N++
			}
		}
		if len(all) > 0 {
			n.Wide = 100 * float64(n.N) / float64(len(all))
		}
		from += n.Wide
		p.Counts = append(p.Counts, n)
	}
	found := func(r *deskCardRow) bool { // by a part of the name or by the whole member number
		return strings.Contains(strings.ToLower(r.Name), strings.ToLower(p.Search)) ||
			slices.Contains(k.State.Entries[r.EntryID].Players(), w.api.Commands.PlayerID(p.Search))
	}
	for i := range all {
		r := &all[i]
		if r.ID == c.QueryParam("card") {
			p.Just, p.Receipt, p.Done = r, k.Cards[r.EntryID].State.Receipt, "" // the card says more
		}
		if (p.Show == "" || p.Show == r.Why) && found(r) {
			p.Rows = append(p.Rows, *r)
		}
	}
	return w.deskPage(c, http.StatusOK, "desk_cards.html", "Cards of "+k.State.Name, p, "desk.js")
}

// cardRows are the cards of a competition, what needs attention first.
func (w *Web) cardRows(c echo.Context, k *deskComp) []deskCardRow {
	updated := map[string]time.Time{}
	if docs, err := w.api.Models.Cards.ByCompetition(c.Request().Context(), k.ID); err == nil { // without them the list only lacks the times
		for i := range docs {
			updated[docs[i].ID] = docs[i].Updated
		}
	}
	rows := make([]deskCardRow, 0, len(k.Cards))
	for entry, v := range k.Cards {
		g := k.groupOf(entry)
		r := deskCardRow{
			ID: v.ID, EntryID: entry, Name: k.Names[entry], Group: g.Number, Time: g.Time, Status: v.State.Status(),
			Thru: v.State.Played(), Holes: counting(v.State), Last: updated[v.ID],
		}
		w.attention(&r, k, v.State.Differences(), v.State.CertifiedPlayer, v.State.CertifiedMarker)
		if r.Why == cardRuled {
			r.Says += ": " + v.State.RuledReason
		}
		if sc, err := standing.Score(v.ID, v.Sequence, v.State); err == nil && r.Why == cardIn {
			r.Total = totalWords(&sc)
		}
		rows = append(rows, r)
	}
	rank := map[string]int{}
	for i, kind := range cardOrder() {
		rank[kind.Value] = i
	}
	slices.SortFunc(rows, func(a, b deskCardRow) int {
		return cmp.Or(cmp.Compare(rank[a.Why], rank[b.Why]), cmp.Compare(a.Group, b.Group), strings.Compare(a.Name, b.Name), strings.Compare(a.ID, b.ID))
	})
	return rows
}

// groupOf is where an entry goes out in the round that is shown.
func (k *deskComp) groupOf(entryID string) events.Group {
	if sheet := k.State.Sheet(k.Shown); sheet != nil {
		for _, g := range sheet.Groups {
			if slices.ContainsFunc(g.Places, func(p events.GroupSlot) bool { return p.EntryID == entryID }) {
				return g
			}
		}
	}
	return events.Group{}
}

// counting is how many holes of a card count.
func counting(s *card.State) int {
	n := 0
	for _, h := range s.Holes {
		if !h.Excluded() {
			n++
		}
	}
	return n
}

// totalWords says what a returned card comes to.
func totalWords(s *standing.Scored) string {
	t := s.Net.Total
	switch s.Net.Format {
	case events.Stableford:
		return count(t.Points, "point", "points")
	case events.ParBogey:
		return upWords(t.ParBogey)
	}
	return fmt.Sprintf("gross %d, net %d", s.Gross.Total.Gross, t.Net)
}

// upWords write holes won less holes lost against the target.
func upWords(n int) string {
	switch {
	case n > 0:
		return fmt.Sprintf("%d up", n)
	case n < 0:
		return fmt.Sprintf("%d down", -n)
	default:
		return "level"
	}
}

// attention says why the committee should look at a card.
func (w *Web) attention(r *deskCardRow, k *deskComp, differ []int, player, marker bool) {
	switch {
	case r.Status == events.StatusReturned:
		r.Why, r.Says = cardIn, "returned"
	case r.Status != events.StatusInPlay:
		r.Why, r.Says = cardRuled, r.Status+", "+statusWords(r.Status)
	case len(differ) > 0:
		r.Why, r.Says = cardDiffers, "player and marker differ on "+holesSaid(differ)
	case r.Thru == r.Holes:
		r.Why = cardUnsure
		switch {
		case player && marker:
			r.Says = "certified by both, not returned"
		case player:
			r.Says = "the marker has not certified"
		case marker:
			r.Says = "the player has not certified"
		default:
			r.Says = "every hole entered, nobody has certified"
		}
	default:
		r.Why, r.Says = cardPlaying, fmt.Sprintf("%d of %d holes", r.Thru, r.Holes)
		silent := w.now().Sub(r.Last)
		if r.Thru > 0 && k.Is("open") && k.Present() && !r.Last.IsZero() && silent > quietAfter {
			r.Why = cardQuiet
			r.Says += ", no entry for " + durationWords(silent)
		}
	}
}

// durationWords writes a time span roughly: "40 minutes", "2 h 5 min".
func durationWords(d time.Duration) string {
	m := int(d.Minutes())
	if m < 60 {
		return count(m, "minute", "minutes")
	}
	return fmt.Sprintf("%d h %d min", m/60, m%60)
}

func holesSaid(holes []int) string {
	words := make([]string, len(holes))
	for i, h := range holes {
		words[i] = strconv.Itoa(h)
	}
	if len(words) == 1 {
		return "hole " + words[0]
	}
	return "holes " + strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
