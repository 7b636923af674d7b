package app_test

import (
	"maps"
	"os"
	"slices"
	"strings"

	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/command"
	"marram.example/events"
)

// shown are the competitions whose pages a browser opens in every run: one of each
// kind of page. With a folder for pictures all of them are looked at.
var shown = []string{
	"par_bogey", "stroke_play_36_cut", "four_ball_stableford", "best_varying", "match_singles", "match_four_ball",
}

// looksRight opens every page of the competition on a phone and on a desk: nothing
// is cut off to the side, nothing complains on the console.
func (p *played) looksRight(name string) {
	p.t.Helper()
	widths := []int64{360}
	if os.Getenv(pictures) != "" {
		widths = []int64{360, 1280}
	} else if !slices.Contains(shown, name) {
		return
	}
	for _, width := range widths {
		b := mustBrowse(p.t, p.url, width, 900)
		p.signIn(b)
		pages := p.pages()
		for _, page := range slices.Sorted(maps.Keys(pages)) {
			b.open(pages[page])
			require.NotEmpty(p.t, strings.TrimSpace(b.text("h1")), pages[page])
			b.fits(name + "-" + page)
		}
	}
}

func (p *played) signIn(b *browser) {
	b.open("/sign-in")
	b.fill("#name", secretary)
	b.fill("#password", password)
	b.follow("main form button")
}

// pages are the addresses of what a competition shows, by a name for the picture.
func (p *played) pages() map[string]string {
	public, desk := "/competitions/"+p.id, "/desk/competitions/"+p.id
	out := map[string]string{
		"terms": public, "entries": public + "/entries", "start-sheet": public + "/start-sheet", "board": public + "/board", "result": public + "/result",
		"desk": desk, "desk-terms": desk + "/terms", "desk-entries": desk + "/entries", "desk-draw": desk + "/draw", "desk-result": desk + "/result",
		"desk-print": desk + "/print", "desk-print-sheet": desk + "/print/start-sheet",
	}
	if p.terms.Format == events.MatchPlay {
		var list api.Page[api.MatchLine]
		p.ask(p.root+"/matches?round=1", &list)
		require.NotEmpty(p.t, list.Items)
		id := list.Items[0].MatchID
		out["match"], out["figures"] = "/matches/"+id, "/matches/"+id+"/figures"
		out["desk-matches"], out["desk-match"] = desk+"/matches", "/desk/matches/"+id
		return out
	}
	out["what-if"] = public + "/what-if?allowance_percent=100"
	if events.OneBall(p.terms.Side) {
		out["what-if"] = public + "/what-if?ranking=gross"
	}
	id := command.CardID(p.id, p.result.Rows[0].EntryID, 1)
	out["card"], out["figures"], out["desk-card"], out["desk-cards"] = "/cards/"+id, "/cards/"+id+"/figures", "/desk/cards/"+id, desk+"/cards"
	out["desk-conditions"] = desk + "/conditions"
	return out
}
