package web

import (
	"fmt"
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"marram.example/api"
	"marram.example/events"
	"marram.example/projections/cards"
	"marram.example/projections/handicap"
	"marram.example/projections/record"
)

// recordPage is a player's handicap record. It is shown to whom the player's own
// page shows the index: the committee, and who holds one of the player's cards.
type recordPage struct {
	ID     string
	Name   string
	Record api.HandicapRecord
	Chart  *recordChart
	Rounds []record.Round // the latest first
	Review bool           // the visitor may read the reviews
}

func (w *Web) playerRecord(c echo.Context) error {
	ctx, id := c.Request().Context(), c.Param("player")
	none := events.NotFound("player_id", "there is no such player, or nothing of theirs may be shown")
	if !events.ValidToken(id) {
		return none
	}
	may, err := w.maySeeRecord(c, id)
	if err != nil {
		return err
	}
	if !may {
		return none
	}
	worked, err := w.api.HandicapRecord(ctx, id, w.today())
	if err != nil {
		return err
	}
	known, err := w.api.Models.Players.Get(ctx, id)
	if err != nil {
		return err
	}
	p := recordPage{ID: id, Name: known.State.Name, Record: worked, Chart: recordChartOf(&worked.Record), Rounds: slices.Clone(worked.Rounds)}
	slices.Reverse(p.Rounds)
	if p.Review, err = w.readsReviews(c, id); err != nil {
		return err
	}
	return w.render(c, http.StatusOK, "player_record.html", page{
		Title: "Handicap record, " + p.Name, Body: "record", Styles: []string{"figures.css", "record.css"}, Private: true, Data: p,
	})
}

// maySeeRecord reports whether the visitor is the committee or holds a card of the
// player's as the player.
func (w *Web) maySeeRecord(c echo.Context, playerID string) (bool, error) {
	if isCommittee(w.who(c)) {
		return true, nil
	}
	held, err := w.api.Models.Cards.ByPlayer(c.Request().Context(), playerID)
	return slices.ContainsFunc(held, func(k cards.Card) bool {
		return k.State.PlayerID == playerID && w.roleOn(c, k.ID) == events.RolePlayer
	}), err
}

// Limit says in words which limit shaped the estimate.
func (p recordPage) Limit() string {
	r := p.Record
	switch {
	case r.Estimate == nil:
		return ""
	case r.Low == nil:
		return fmt.Sprintf("No cap applies: a low index exists once 20 differentials are on record, and there are %d.", r.Estimate.OnRecord)
	}
	low := fmt.Sprintf("The low index is %s, in effect on %s. ", handicapText(r.Low.Tenths), shortDay(r.Low.Date))
	switch r.Estimate.Cap {
	case handicap.SoftCap:
		return low + fmt.Sprintf("The soft cap bites: of what the average, %s, lies more than 3.0 above it only half counts.", handicapText(r.Estimate.AverageTenths))
	case handicap.HardCap:
		return low + fmt.Sprintf("The hard cap bites: the average, %s, is held 5.0 above it.", handicapText(r.Estimate.AverageTenths))
	default:
		return low + "No cap bites: the average is not more than 3.0 above it."
	}
}

// Mark says what a round is to the estimate: counts, recent, older or none.
func (p recordPage) Mark(r record.Round) string { return markOf(r) }

func markOf(r record.Round) string {
	switch {
	case r.AdjustedTenths == nil:
		return "none"
	case r.Counts:
		return "counts"
	case r.Recent:
		return "recent"
	default:
		return "older"
	}
}

// differentialText writes a differential in tenths with its mathematical sign.
func differentialText(tenths int) string {
	return signsText(handicap.Differential(tenths).String())
}

// Differential is what a round's differential carries now, in words.
func (p recordPage) Differential(r record.Round) string {
	if r.AdjustedTenths == nil {
		return ""
	}
	return differentialText(*r.AdjustedTenths)
}

// Before is the differential before adjustments, where there are any.
func (p recordPage) Before(r record.Round) string {
	if r.DifferentialTenths == nil || r.AdjustmentTenths == 0 {
		return ""
	}
	return differentialText(*r.DifferentialTenths)
}
