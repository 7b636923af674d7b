package api

import (
	"context"
	"net/http"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
)

// What a card waits for.
const (
	CardOut          = "out"           // holes without an entry
	CardDiffers      = "differs"       // player and marker disagree
	CardNotCertified = "not_certified" // complete, not yet returned
	CardReturned     = "returned"
	CardRuled        = "ruled" // NR, RTD, WD, NS or DQ
)

// CardLine is one card in the committee's list of them.
type CardLine struct {
	CardID          string          `json:"card_id"`
	Sequence        events.Sequence `json:"sequence"`
	Round           int             `json:"round"`
	EntryID         string          `json:"entry_id"`
	Name            string          `json:"name"`
	GroupNumber     int             `json:"group_number"`
	GroupTime       string          `json:"group_time"`
	MarkerID        string          `json:"marker_id"`
	MarkerName      string          `json:"marker_name"`
	State           string          `json:"state"`  // out, differs, not_certified, returned or ruled
	Status          string          `json:"status"` // in_play, returned, NR, RTD, WD, NS or DQ
	Entered         int             `json:"entered"`
	Holes           int             `json:"holes"` // that count
	Differences     []int           `json:"differences"`
	CertifiedPlayer bool            `json:"certified_player"`
	CertifiedMarker bool            `json:"certified_marker"`
	Receipt         string          `json:"receipt"`
}

func cardLine(v command.CardView, k Card, g events.Group) CardLine {
	out := CardLine{
		CardID: k.ID, Sequence: k.Sequence, Round: k.Round, EntryID: k.EntryID, Name: k.Name, GroupNumber: g.Number, GroupTime: g.Time,
		MarkerID: k.MarkerID, MarkerName: k.MarkerName, Status: k.Status, Entered: k.Entered, Differences: k.Differences,
		CertifiedPlayer: k.CertifiedPlayer, CertifiedMarker: k.CertifiedMarker, Receipt: k.Receipt, State: CardOut,
	}
	for _, h := range k.Holes {
		if !h.Excluded() {
			out.Holes++
		}
	}
	switch {
	case k.Status == events.StatusReturned:
		out.State = CardReturned
	case k.Status != events.StatusInPlay:
		out.State = CardRuled
	case len(k.Differences) > 0:
		out.State = CardDiffers
	case complete(v.State):
		out.State = CardNotCertified
	}
	return out
}

// complete reports whether a card in play could be certified.
func complete(s *card.State) bool {
	_, err := card.Decide(s, card.Certify{By: events.RolePlayer})
	return err == nil
}

// cardLines lists the issued cards of a competition in the order of the start
// sheet of a round. It also says how far the competition has come.
func (r reading) cardLines(ctx context.Context) ([]CardLine, *competition.State, error) {
	if err := r.committee(); err != nil {
		return nil, nil, err
	}
	id := r.Param("competition")
	s, _, err := r.competition(ctx, id)
	if err != nil {
		return nil, nil, err
	}
	round, err := r.round()
	if err != nil {
		return nil, nil, err
	}
	if round == 0 {
		round = s.Round
	}
	found, err := r.api.Commands.Cards(ctx, id, s, round)
	if err != nil {
		return nil, nil, err
	}
	names := r.names(ctx, id, s)
	out := make([]CardLine, 0, len(found))
	sheet := s.Sheet(round)
	if sheet == nil {
		return out, s, nil
	}
	for _, g := range sheet.Groups {
		for _, p := range g.Places {
			if k, ok := found[p.EntryID]; ok {
				out = append(out, cardLine(k, cardView(k, s, names), g))
			}
		}
	}
	return out, s, nil
}

func listCards(ctx context.Context, r reading) (Page[CardLine], error) {
	all, _, err := r.cardLines(ctx)
	if err != nil {
		return Page[CardLine]{}, err
	}
	return pageOf(r, all, func(k CardLine) string { return k.CardID })
}

// Attention is what the committee has to look at before the round can be closed.
type Attention struct {
	Phase  competition.Phase `json:"phase"`
	Counts map[string]int    `json:"counts"` // cards by state
	Page[CardLine]
}

// attention lists cards by what they wait for; state=... keeps one kind, else
// those that need something are listed.
func attention(ctx context.Context, r reading) (Attention, error) {
	all, s, err := r.cardLines(ctx)
	if err != nil {
		return Attention{}, err
	}
	want := r.QueryParam("state")
	out := Attention{Phase: s.Phase, Counts: map[string]int{CardOut: 0, CardDiffers: 0, CardNotCertified: 0, CardReturned: 0, CardRuled: 0}}
	if _, known := out.Counts[want]; want != "" && !known {
		return Attention{}, events.Invalid("state", "unknown", "a state is out, differs, not_certified, returned or ruled")
	}
	var kept []CardLine
	for _, k := range all {
		out.Counts[k.State]++
		if k.State == want || want == "" && k.State != CardReturned && k.State != CardRuled {
			kept = append(kept, k)
		}
	}
	out.Page, err = pageOf(r, kept, func(k CardLine) string { return k.CardID })
	return out, err
}

// CardLink is what opens a card for its player or its marker.
type CardLink struct {
	CardID string `json:"card_id"`
	Role   string `json:"role"`
	Token  string `json:"token"` // a secret
	Path   string `json:"path"`  // of the page that the token opens
}

// cardLink gives the committee the link of a card; renew=true withdraws the old
// one first.
func (a *API) cardLink(c echo.Context) error {
	w, err := begin[nothing](a, c)
	if err != nil {
		return err
	}
	if err := (reading{Context: c, api: a, who: w.request.Who}).committee(); err != nil {
		return err
	}
	role := events.Role(c.Param("role"))
	if role != events.RolePlayer && role != events.RoleMarker {
		return events.NotFound("role", "a card has a link for its player and one for its marker")
	}
	ctx, id := c.Request().Context(), c.Param("card")
	if _, err := a.Commands.Card(ctx, id); err != nil {
		return err
	}
	renew, err := flag(c, "renew")
	if err != nil {
		return err
	}
	give := func() (string, error) { return a.Commands.CardLink(ctx, id, role) }
	if renew {
		give = func() (string, error) { return a.Commands.RenewLink(ctx, w.request, id, role) }
	}
	token, err := give()
	if err != nil {
		return err
	}
	return encodeJSON(c, http.StatusOK, CardLink{CardID: id, Role: string(role), Token: token, Path: "/c/" + token})
}
