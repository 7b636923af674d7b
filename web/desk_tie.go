package web

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// lotHere is the choice of a lot that is drawn here from a seed.
const lotHere = "lot_here"

// deskTie settles a tie: by a lot drawn here, or every entry of it gets the place
// that a lot or a play-off gave it.
func (w *Web) deskTie(c echo.Context) error {
	f, err := readForm(c)
	if err != nil {
		return err
	}
	id, r := c.Param("competition"), &cells{v: f.Values}
	in := command.DecideTie{Ranking: f.V("ranking"), Division: f.V("division"), Method: f.V("method"), Reason: r.text("reason")}
	if in.Method == lotHere {
		in.EntryIDs = slices.Clone(f.Values["entry"])
		drawTie(r, &in)
	} else {
		in.EntryIDs = placesOf(r, f.Values["entry"])
	}
	if r.refused(f) {
		return w.deskShowResult(c, nil, f)
	}
	if _, err := w.api.Commands.DecideTie(c.Request().Context(), w.request(c, f), id, in); err != nil {
		if err = f.refuse(err); err != nil {
			return err
		}
		return w.deskShowResult(c, nil, f)
	}
	return done(c, "/desk/competitions/"+id+"/result", "tie")
}

// drawTie reads the seed of a lot.
func drawTie(r *cells, in *command.DecideTie) {
	seed, err := readSeed("seed", r.text("seed"))
	if e := events.AsError(err); e != nil {
		r.wrong(e)
		return
	}
	in.Method, in.Seed = "lot", &seed
	if in.Reason == "" {
		in.Reason = fmt.Sprintf("lot drawn at the desk from the seed %d", seed)
	}
}

// placesOf puts the entries of a tie in the order of the places typed.
func placesOf(r *cells, tied []string) []string {
	entries := slices.Clone(tied)
	places := map[string]int{}
	for _, e := range entries {
		places[e] = r.whole("place."+e, 0)
	}
	for n := 1; n <= len(entries); n++ {
		if !slices.ContainsFunc(entries, func(e string) bool { return places[e] == n }) {
			r.wrong(events.Invalid("entry_ids", "order", fmt.Sprintf("give every one of the tie a place of their own, from 1 to %d", len(entries))))
			break
		}
	}
	slices.SortFunc(entries, func(a, b string) int { return cmp.Compare(places[a], places[b]) })
	return entries
}
