package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
)

// Card is a card as it stands. What the committee wrote about it and the receipt
// are for the committee and who holds the card.
type Card struct {
	ID string `json:"card_id"`
	view
	CompetitionID    string                  `json:"competition_id"`
	Round            int                     `json:"round"`
	Date             string                  `json:"date"`     // of the round, YYYY-MM-DD; empty on cards issued before it was kept
	Practice         bool                    `json:"practice"` // the round is practice
	EntryID          string                  `json:"entry_id"`
	PlayerID         string                  `json:"player_id"`
	Name             string                  `json:"name"`
	MarkerID         string                  `json:"marker_id"` // entry that keeps it; empty where the committee does
	MarkerName       string                  `json:"marker_name"`
	CourseID         string                  `json:"course_id"`
	Tee              string                  `json:"tee"`
	StartingHole     int                     `json:"starting_hole"`
	Format           string                  `json:"format"`
	Play             events.Play             `json:"play"`
	Figures          events.Figures          `json:"figures"`
	Holes            []CardHole              `json:"holes"` // of ball 0
	Balls            []CardBall              `json:"balls"` // all of them, ball 0 first
	Penalties        []card.Penalty          `json:"penalties"`
	Counts           []CardCount             `json:"counts"` // by hole
	Totals           CardTotals              `json:"totals"`
	Entered          int                     `json:"entered"`     // holes on which something stands
	Differences      []int                   `json:"differences"` // holes on which player and marker disagree
	Status           string                  `json:"status"`
	CertifiedPlayer  bool                    `json:"certified_player"`
	CertifiedMarker  bool                    `json:"certified_marker"`
	CertifiedOnPaper bool                    `json:"certified_on_paper"`
	Returned         bool                    `json:"returned"`
	Receipt          string                  `json:"receipt"`
	RuledReason      string                  `json:"ruled_reason"`
	ReopenedReason   string                  `json:"reopened_reason"`
	Phase            competition.Phase       `json:"phase"`      // of the competition
	Suspension       *competition.Suspension `json:"suspension"` // null while play goes on
	YourRole         string                  `json:"your_role"`  // in which who asks may write here; empty for none
}

// CardHole is one hole with what each of the three entered and what counts.
type CardHole struct {
	card.HoleLine
	Counting   events.Score `json:"counting"`
	CountingBy events.Role  `json:"counting_by"` // empty where nothing stands
	Differs    bool         `json:"differs"`
}

// CardBall is one ball of a card: a player's own, or the one that a side plays.
type CardBall struct {
	Ball     int            `json:"ball"`
	PlayerID string         `json:"player_id"`
	Name     string         `json:"name"`
	Tee      string         `json:"tee"`
	Figures  events.Figures `json:"figures"`
	Holes    []CardHole     `json:"holes"`
}

func cardView(k command.CardView, c *competition.State, names map[string]string) Card {
	s := k.State
	out := Card{
		ID: k.ID, view: view{k.Sequence}, CompetitionID: s.CompetitionID, Round: s.Round, EntryID: s.EntryID, PlayerID: s.PlayerID,
		Name: names[s.EntryID], MarkerID: s.MarkerID, MarkerName: names[s.MarkerID], CourseID: s.CourseID, Tee: s.Tee,
		StartingHole: s.StartingHole, Format: s.Format, Play: s.Play, Date: s.Date, Practice: s.Practice, Figures: s.Figures, Holes: cardHoles(s.Holes),
		Penalties: append([]card.Penalty{}, s.Penalties...),
		Entered:   s.Played(), Differences: s.Differences(), Status: s.Status(),
		CertifiedPlayer: s.CertifiedPlayer, CertifiedMarker: s.CertifiedMarker, CertifiedOnPaper: s.CertifiedOnPaper,
		Returned: s.Returned, Receipt: s.Receipt, RuledReason: s.RuledReason, ReopenedReason: s.ReopenedReason,
		Phase: c.Phase, Suspension: c.Suspend,
	}
	out.Differences = orEmpty(out.Differences)
	for ball := range s.Balls() {
		out.Balls = append(out.Balls, CardBall{
			Ball: ball, PlayerID: s.BallPlayer(ball), Name: names[s.BallPlayer(ball)], Tee: s.BallTee(ball), Figures: s.BallFigures(ball),
			Holes: cardHoles(s.Lines(ball)),
		})
	}
	return out
}

func cardHoles(lines []card.HoleLine) []CardHole {
	out := make([]CardHole, len(lines))
	for i, h := range lines {
		out[i] = CardHole{HoleLine: h, Counting: h.Counting(), Differs: h.Differs()}
		if out[i].Counting.Entered() {
			out[i].CountingBy = h.CountingBy()
		}
	}
	return out
}

// holds reports whether who asks is of the committee or opened this card.
func (r reading) holds(cardID string) bool {
	return r.isCommittee() || r.who.CardID == cardID && cardID != ""
}

// card reads a card that who asks may see, with its competition.
func (r reading) card(ctx context.Context) (command.CardView, *competition.State, error) {
	k, err := r.api.Commands.Card(ctx, r.Param("card"))
	if err != nil {
		return k, nil, err
	}
	c, _, err := r.api.Commands.Competition(ctx, k.State.CompetitionID)
	if err != nil {
		return k, nil, err
	}
	if r.holds(k.ID) {
		return k, c, nil
	}
	return k, c, r.api.MayWatch(r.Context, k.State.CompetitionID, c.Terms)
}

func getCard(ctx context.Context, r reading) (Card, error) {
	k, c, err := r.card(ctx)
	if err != nil {
		return Card{}, err
	}
	out := cardView(k, c, r.names(ctx, k.State.CompetitionID, c))
	if err := out.count(k, c.Terms.Ranking); err != nil {
		return Card{}, err
	}
	if r.holds(k.ID) {
		out.YourRole = string(r.who.Role)
	} else {
		out.Receipt, out.RuledReason, out.ReopenedReason = "", "", ""
		for i := range out.Penalties {
			out.Penalties[i].Reason = ""
		}
	}
	return out, nil
}

func cardAt(c echo.Context, _ command.Done) string { return "/cards/" + c.Param("card") }

// scoreFields are what the decider of a card calls the fields of one score.
var scoreFields = map[string]string{"score": "strokes", "score.strokes": "strokes", "score.none": "none"}

func (a *API) enterScore(ctx context.Context, w writing[command.EnterScore]) (command.Done, error) {
	done, err := a.Commands.EnterScore(ctx, w.request, w.Param("card"), w.in)
	return done, fieldAs(err, scoreFields)
}

func (a *API) enterCard(ctx context.Context, w writing[command.EnterCard]) (command.Done, error) {
	return a.Commands.EnterCard(ctx, w.request, w.Param("card"), w.in)
}

// certification says for whom the committee certifies; others certify for
// themselves.
type certification struct {
	As events.Role `json:"as"`
}

func (a *API) certify(ctx context.Context, w writing[certification]) (command.Done, error) {
	done, err := a.Commands.Certify(ctx, w.request, w.Param("card"), w.in.As)
	if e := events.AsError(err); e != nil && e.Code == "role" {
		err = events.Invalid("as", "unknown", "the committee certifies as player or as marker")
	}
	return done, err
}

func (a *API) returnCard(ctx context.Context, w writing[nothing]) (command.Done, error) {
	return a.Commands.Return(ctx, w.request, w.Param("card"))
}

func (a *API) reopenCard(ctx context.Context, w writing[because]) (command.Done, error) {
	return a.Commands.Reopen(ctx, w.request, w.Param("card"), w.in.Reason)
}

func (a *API) ruleCard(ctx context.Context, w writing[command.RuleStatus]) (command.Done, error) {
	return a.Commands.Rule(ctx, w.request, w.Param("card"), w.in)
}

// assignMarker names who keeps a card from now on.
type assignMarker struct {
	MarkerID string `json:"marker_id"` // entry of the same group; empty for the committee
	Reason   string `json:"reason"`
}

func (a *API) assignMarker(ctx context.Context, w writing[assignMarker]) (command.Done, error) {
	return a.Commands.AssignMarker(ctx, w.request, w.Param("card"), w.in.MarkerID, w.in.Reason)
}
