package api

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"strconv"
	"strings"

	"marram.example/events"
	"marram.example/projections"
	"marram.example/projections/difficulty"
	"marram.example/projections/handicap"
)

// StrokeIndexes hold the stroke indexes of a tee against the published
// recommendation, with a proposal where the difficulty of the holes is known. All of
// it is advice: the committee decides.
type StrokeIndexes struct {
	CourseID   string            `json:"course_id"`
	Tee        string            `json:"tee"`
	Basis      string            `json:"basis"`       // what the difficulty is taken from: scores, ranks, or none
	Cards      int               `json:"cards"`       // returned from this tee and counted
	Fewest     int               `json:"fewest"`      // scores that every hole needs before a proposal is made from them
	Shortfall  string            `json:"shortfall"`   // why there is no proposal; empty where there is one
	BackHarder bool              `json:"back_harder"` // the back nine is clearly harder and takes the odd indexes
	Holes      []StrokeIndexHole `json:"holes"`
	Advice     []handicap.Advice `json:"advice"` // where the indexes as they are depart from the recommendation

	Explanation handicap.Explanation `json:"explanation"` // of the proposal, index by index
}

// StrokeIndexHole is one hole of a tee.
type StrokeIndexHole struct {
	Hole        int    `json:"hole"`
	Par         int    `json:"par"`
	StrokeIndex int    `json:"stroke_index"` // as it is
	Scores      int    `json:"scores"`       // that were counted
	PickedUp    int    `json:"picked_up"`    // of them
	MeanOverPar string `json:"mean_over_par"`
	Rank        *int   `json:"rank"`     // in difficulty, 1 for the hardest; null where it is not known
	Proposed    *int   `json:"proposed"` // null without a proposal
	Reason      string `json:"reason"`   // for what is proposed
}

// cardsMeasured is how many cards of a tee are looked at, the latest competitions
// first: enough for every hole, and an end to the reading.
const cardsMeasured = 1000

func getStrokeIndexes(ctx context.Context, r reading) (StrokeIndexes, error) {
	if err := r.committee(); err != nil {
		return StrokeIndexes{}, err
	}
	harder, err := flag(r.Context, "back_harder")
	if err != nil {
		return StrokeIndexes{}, err
	}
	ranks, err := ranksOf(r.QueryParam("ranks"))
	if err != nil {
		return StrokeIndexes{}, err
	}
	tee, err := url.PathUnescape(r.Param("tee"))
	if err != nil {
		return StrokeIndexes{}, events.NotFound("tee", "the course has no such tee")
	}
	return r.api.StrokeIndexes(ctx, r.Param("course"), tee, ranks, harder)
}

// ranksOf reads eighteen ranks parted by commas; nil where nothing is stated.
func ranksOf(text string) ([]int, error) {
	if text == "" {
		return nil, nil
	}
	var out []int
	for _, part := range strings.Split(text, ",") {
		n, err := strconv.Atoi(strings.TrimSpace(part))
		if err != nil {
			return nil, events.Invalid("ranks", "malformed", "ranks are whole numbers parted by commas, for holes 1 to 18 in order")
		}
		out = append(out, n)
	}
	return out, nil
}

// StrokeIndexes looks at the stroke indexes of a tee. Where ranks of difficulty are
// given, 1 for the hardest hole, they are what the proposal is made from; else the
// scores of returned cards are, where there are enough.
func (a *API) StrokeIndexes(ctx context.Context, courseID, tee string, ranks []int, backHarder bool) (StrokeIndexes, error) {
	s, _, err := a.Commands.Course(ctx, courseID)
	if err != nil {
		return StrokeIndexes{}, err
	}
	t, ok := s.Tees[tee]
	if !ok {
		return StrokeIndexes{}, events.NotFound("tee", "the course has no such tee")
	}
	if len(t.Holes) != 18 {
		return StrokeIndexes{}, events.Invalid("tee", "nine_holes", "the recommendation is made for eighteen holes").
			WithRule("Rules of Handicapping, Appendix E")
	}
	scores, err := a.scoresFrom(ctx, courseID, t)
	if err != nil {
		return StrokeIndexes{}, err
	}
	out := StrokeIndexes{
		CourseID: courseID, Tee: tee, Basis: "none", Cards: scores.Cards, Fewest: difficulty.Fewest, BackHarder: backHarder,
		Advice: []handicap.Advice{}, Explanation: handicap.Explanation{},
	}
	var hard []handicap.HoleDifficulty
	switch measured, enough := scores.Difficulties(); {
	case ranks != nil:
		if hard, err = handicap.HolesByRank(parsOf(t), ranks); err != nil {
			return StrokeIndexes{}, aboutField("ranks", err)
		}
		out.Basis = "ranks"
	case enough:
		hard, out.Basis = measured, "scores"
	default:
		out.Shortfall = fmt.Sprintf("a hole has only %d scores, and a proposal needs %d on every hole (common practice, no source)", scores.Scarcest(), difficulty.Fewest)
	}
	return out, out.compare(t, scores, hard)
}

// compare fills in holes, advice and proposal.
func (x *StrokeIndexes) compare(t events.TeeDefinition, scores *difficulty.Scores, hard []handicap.HoleDifficulty) error {
	now := make([]int, len(t.Holes))
	for i, h := range t.Holes {
		now[i] = h.StrokeIndex
		m := scores.Holes[i]
		x.Holes = append(x.Holes, StrokeIndexHole{
			Hole: h.Number, Par: h.Par, StrokeIndex: h.StrokeIndex, Scores: m.Scores, PickedUp: m.PickedUp, MeanOverPar: m.Mean(),
		})
	}
	advice, err := handicap.CheckStrokeIndexes(now, hard, x.BackHarder)
	if err != nil {
		return aboutField("tee", err)
	}
	x.Advice = orEmpty(advice)
	if hard == nil {
		return nil
	}
	proposal, err := handicap.ProposeStrokeIndexes(hard, x.BackHarder)
	if err != nil {
		return aboutField("tee", err)
	}
	x.Explanation = proposal.Explanation
	for i, h := range proposal.Holes {
		x.Holes[i].Rank, x.Holes[i].Proposed, x.Holes[i].Reason = &h.Rank, &h.Index, h.Reason
	}
	return nil
}

// scoresFrom adds up what was scored from a tee, the latest competitions first.
func (a *API) scoresFrom(ctx context.Context, courseID string, t events.TeeDefinition) (*difficulty.Scores, error) {
	scores := difficulty.Of(t)
	for cursor := ""; ; {
		page, next, err := a.Models.Competitions.List(ctx, projections.MaxPage, cursor)
		if err != nil {
			return nil, fromStore(err)
		}
		for _, c := range page {
			if !playedOn(c.State.Terms, courseID) {
				continue
			}
			cards, err := a.Models.Cards.ByCompetition(ctx, c.ID)
			if err != nil {
				return nil, fromStore(err)
			}
			for _, k := range cards {
				if k.State.CourseID == courseID && scores.Add(k.State) && scores.Cards == cardsMeasured {
					return scores, nil
				}
			}
		}
		if next == "" {
			return scores, nil
		}
		cursor = next
	}
}

// playedOn reports whether any round of a competition is on a course.
func playedOn(t *events.Terms, courseID string) bool {
	if t == nil {
		return false
	}
	for round := range max(1, len(t.PerRound)) {
		if t.Round(round+1).CourseID == courseID {
			return true
		}
	}
	return false
}

func parsOf(t events.TeeDefinition) []int {
	out := make([]int, len(t.Holes))
	for i, h := range t.Holes {
		out[i] = h.Par
	}
	return out
}

// aboutField turns a refusal of the arithmetic into one about a field of the request.
func aboutField(field string, err error) error {
	var in *handicap.InputError
	if errors.As(err, &in) {
		return events.Invalid(field, "invalid", in.Problem).WithRule(in.Rule)
	}
	return err
}
