package api

import (
	"context"
	"time"

	"marram.example/events"
	"marram.example/events/club"
	"marram.example/events/competition"
	"marram.example/projections/cards"
	"marram.example/projections/handicap"
	"marram.example/projections/record"
)

// HandicapRecord is a player's scoring record with the unofficial estimate.
type HandicapRecord struct {
	PlayerID string `json:"player_id"`
	Label    string `json:"label"`   // always "unofficial estimate": of everything that is worked out here
	Caution  string `json:"caution"` // as the committee acknowledged it
	record.Record
}

func getHandicapRecord(ctx context.Context, r reading) (HandicapRecord, error) {
	if err := r.committee(); err != nil {
		return HandicapRecord{}, err
	}
	return r.api.HandicapRecord(ctx, r.Param("player"), time.Now().UTC().Format(time.DateOnly))
}

// HandicapRecord works a player's record out from the cards as they stand; today is
// YYYY-MM-DD. It is refused with estimates_off while the club has not switched
// estimates on, and for a player whose personal data is erased: there is nobody to
// show a handicap to. Who may see it is the caller's to ask.
func (a *API) HandicapRecord(ctx context.Context, playerID, today string) (HandicapRecord, error) {
	settled, _, err := a.Commands.Club(ctx)
	if err != nil {
		return HandicapRecord{}, err
	}
	if !settled.Estimates {
		return HandicapRecord{}, errEstimatesOff()
	}
	p, _, err := a.Commands.Player(ctx, playerID)
	if err != nil {
		return HandicapRecord{}, err
	}
	if p.Erased {
		return HandicapRecord{}, events.NotFound("player_id", "this player's personal data was erased; no handicap record is kept")
	}
	in := record.Input{PlayerID: playerID, Today: today}
	for _, x := range p.Indexes {
		if x.Origin == events.OriginOfficial {
			in.Official = append(in.Official, handicap.DatedIndex{Index: handicap.Index(x.Tenths), Date: x.Effective})
		}
	}
	if in.Expected, err = expectedTable(settled.Expected); err != nil {
		return HandicapRecord{}, err
	}
	played, err := a.Models.Cards.ByPlayer(ctx, playerID)
	if err != nil {
		return HandicapRecord{}, fromStore(err)
	}
	if in.Cards, err = a.recorded(ctx, played); err != nil {
		return HandicapRecord{}, err
	}
	worked, err := record.Of(in)
	if err != nil {
		return HandicapRecord{}, err
	}
	return HandicapRecord{PlayerID: playerID, Label: handicap.UnofficialEstimate, Caution: settled.Caution, Record: worked}, nil
}

// recorded adds to cards what their competitions say about the rounds.
func (a *API) recorded(ctx context.Context, played []cards.Card) ([]record.Card, error) {
	known := map[string]*competition.State{}
	out := make([]record.Card, 0, len(played))
	for _, k := range played {
		c := k.State
		s := known[c.CompetitionID]
		if s == nil {
			var err error
			if s, _, err = a.Commands.Competition(ctx, c.CompetitionID); err != nil {
				return nil, err
			}
			known[c.CompetitionID] = s
		}
		x := record.Card{ID: k.ID, CompetitionID: c.CompetitionID, Competition: s.Name, Date: s.Date, State: c}
		if s.Terms != nil {
			x.Date, x.LeaveOutPar = s.Terms.DateOf(c.Round, s.Date), s.Terms.LeaveOutPar
		}
		if at, entered := s.Conditions[c.Round]; entered {
			x.Conditions = &at
		}
		out = append(out, x)
	}
	return out, nil
}

// expectedTable is what the club imported as the arithmetic takes it, nil for none.
func expectedTable(x *club.Expected) (*handicap.ExpectedTable, error) {
	if x == nil {
		return nil, nil
	}
	rows := make([]handicap.ExpectedRow, len(x.Rows))
	for i, r := range x.Rows {
		exact, err := handicap.NewExactDifferential(r.ExpectedNum, r.ExpectedDen)
		if err != nil {
			return nil, err
		}
		rows[i] = handicap.ExpectedRow{Index: handicap.Index(r.IndexTenths), Expected: exact}
	}
	return handicap.NewExpectedTable(x.Source, rows)
}
