package api

import (
	"context"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/club"
)

// Estimates is whether the club has unofficial estimates worked out, with the caution
// to be acknowledged and the association's expected scores.
type Estimates struct {
	view
	On           bool                    `json:"on"`
	Caution      string                  `json:"caution"`      // to be repeated word for word to switch on
	Acknowledged string                  `json:"acknowledged"` // as it read when it was acknowledged; empty while off
	Reason       string                  `json:"reason"`       // of the last switch
	Expected     *command.ExpectedScores `json:"expected"`     // null where the club has none
}

// EstimatesOf reads what the club has settled about estimates.
func (a *API) EstimatesOf(ctx context.Context) (Estimates, error) {
	s, seq, err := a.Commands.Club(ctx)
	if err != nil {
		return Estimates{}, err
	}
	out := Estimates{view: view{seq}, On: s.Estimates, Caution: club.Caution, Acknowledged: s.Caution, Reason: s.Reason}
	if x := s.Expected; x != nil {
		out.Expected = &command.ExpectedScores{Source: x.Source, Rows: x.Rows}
	}
	return out, nil
}

func getEstimates(ctx context.Context, r reading) (Estimates, error) {
	if err := r.committee(); err != nil {
		return Estimates{}, err
	}
	return r.api.EstimatesOf(ctx)
}

func (a *API) switchEstimates(ctx context.Context, w writing[command.SwitchEstimates]) (command.Done, error) {
	return a.Commands.SwitchEstimates(ctx, w.request, w.in)
}

func (a *API) importExpected(ctx context.Context, w writing[command.ExpectedScores]) (command.Done, error) {
	return a.Commands.ImportExpected(ctx, w.request, w.in)
}

func (a *API) withdrawExpected(ctx context.Context, w writing[because]) (command.Done, error) {
	return a.Commands.WithdrawExpected(ctx, w.request, w.in.Reason)
}

// errEstimatesOff says that nothing is worked out, so there is nothing to be shown.
func errEstimatesOff() error {
	e := events.NotFound("", "the club has no estimates worked out: the committee switches them on beside a caution")
	e.Code = "estimates_off"
	return e.WithRule("Rules of Handicapping 1.2: an index is issued by an authorised association alone")
}
