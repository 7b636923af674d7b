package card

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"marram.example/events"
)

func issue(s *State, c Issue) ([]events.Event, error) {
	if s.Exists() {
		return nil, events.Conflict("card_id", "card_issued", "this card has been issued already")
	}
	if err := checkNamed(c.CardIssued); err != nil {
		return nil, err
	}
	if err := checkPrinted(printed{
		entryID: c.EntryID, playerID: c.PlayerID, format: c.Format, play: c.Play,
		markerID: c.MarkerID, start: c.StartingHole, holes: c.Holes, figures: c.Figures, partners: c.Partners,
	}); err != nil {
		return nil, err
	}
	return []events.Event{c.CardIssued}, nil
}

// checkNamed makes sure that a card says whose it is and what it is played in.
func checkNamed(c events.CardIssued) error {
	for _, p := range []struct{ field, id string }{
		{"competition_id", c.CompetitionID}, {"entry_id", c.EntryID}, {"player_id", c.PlayerID}, {"course_id", c.CourseID}, {"tee", c.Tee},
	} {
		if p.id == "" {
			return events.Invalid(p.field, "required", "a card names competition, entry, player, course and tee")
		}
	}
	if c.Round < 1 {
		return events.Invalid("round", "out_of_range", "rounds count from 1")
	}
	if !slices.Contains(formats, c.Format) {
		return events.Invalid("format", "unknown", fmt.Sprintf("%q is not played on a card; use %s", c.Format, strings.Join(formats, ", ")))
	}
	return nil
}

// formats are those that are played on a card (Rules of Golf 3.3 and 21).
var formats = []string{events.StrokePlay, events.Stableford, events.ParBogey, events.MaximumScore}

// printed is what stands on a card from the start.
type printed struct {
	entryID, playerID, format string
	play                      events.Play
	markerID                  string
	start                     int
	holes                     []events.Hole
	figures                   events.Figures
	partners                  []events.Ball
}

// checkPrinted makes sure that what stands on a card from the start fits together.
func checkPrinted(p printed) error {
	if err := checkMarker(p.entryID, p.markerID); err != nil {
		return err
	}
	if err := p.figures.Check("", p.holes); err != nil {
		return err
	}
	if err := checkStart(p.holes, p.start); err != nil {
		return err
	}
	if err := checkSide(p); err != nil {
		return err
	}
	if err := checkMaximum(p.format, p.play.Maximum); err != nil {
		return err
	}
	return checkCount(p.play, 1+len(p.partners), len(p.holes))
}

func checkMarker(entryID, markerID string) error {
	if markerID == entryID {
		return events.Invalid("marker_id", "own_card", "nobody marks their own card").WithRule("Rules of Golf, definition of Marker")
	}
	return nil
}

// reissue corrects what stands on a card from the start. The committee is
// responsible for the handicap and puts a wrong one right at any time (Rules of
// Golf 3.3b(4) and 20.2d(2)), so scores, a return or a ruling do not stop it.
func reissue(s *State, c Reissue) ([]events.Event, error) {
	if c.Tee == "" {
		return nil, events.Invalid("tee", "required", "a card names its tee")
	}
	if err := checkPrinted(printed{
		entryID: s.EntryID, playerID: s.PlayerID, format: s.Format, play: s.Play,
		markerID: c.MarkerID, start: c.StartingHole, holes: c.Holes, figures: c.Figures, partners: c.Partners,
	}); err != nil {
		return nil, err
	}
	if c.MarkerID == s.MarkerID && c.StartingHole == s.StartingHole && s.prints(c) {
		return nil, nil
	}
	if s.written() || s.Status() != events.StatusInPlay {
		if strings.TrimSpace(c.Reason) == "" {
			return nil, events.Invalid("reason", "required", "say why a card with scores or a ruling is changed")
		}
	}
	if s.written() || len(s.Strokes) > 0 || s.Status() != events.StatusInPlay {
		if !slices.EqualFunc(c.Holes, s.Holes, func(a events.Hole, b HoleLine) bool { return a.Number == b.Number }) {
			return nil, events.NotNow("holes", "has_scores", "a card with scores or strokes keeps its holes")
		}
		if err := s.keepsPlayers(c); err != nil {
			return nil, err
		}
	}
	return []events.Event{c.CardReissued}, nil
}

// prints reports whether every ball has its tee, holes and figures already.
func (s *State) prints(c Reissue) bool {
	same := func(lines []HoleLine, tee string, f events.Figures, b events.Ball) bool {
		return tee == b.Tee && slices.Equal(layout(lines), b.Holes) && reflect.DeepEqual(f, b.Figures)
	}
	return same(s.Holes, s.Tee, s.Figures, events.Ball{Tee: c.Tee, Holes: c.Holes, Figures: c.Figures}) &&
		slices.EqualFunc(s.Partners, c.Partners, func(p PartnerBall, b events.Ball) bool {
			return p.PlayerID == b.PlayerID && same(p.Holes, p.Tee, p.Figures, b)
		})
}

// written reports whether something on the card is about a certain player.
func (s *State) written() bool { return s.scored() || len(s.Penalties) > 0 }

// keepsPlayers refuses to give scores to somebody else: who plays a ball is
// replaced only while nothing stands on the card, strokes included.
func (s *State) keepsPlayers(c Reissue) error {
	if !slices.EqualFunc(s.Partners, c.Partners, func(p PartnerBall, b events.Ball) bool { return p.PlayerID == b.PlayerID }) {
		return events.NotNow("partners", "has_scores", "a card with scores or strokes keeps its players")
	}
	if !slices.Equal(sharing(s.Figures), sharing(c.Figures)) {
		return events.NotNow("shares", "has_scores", "a card with scores or strokes keeps its players")
	}
	return nil
}

// sharing is who plays a ball together, in no order of handicap.
func sharing(f events.Figures) []string {
	var out []string
	for _, share := range f.Shares {
		out = append(out, share.PlayerID)
	}
	slices.Sort(out)
	return out
}

func assignMarker(s *State, c AssignMarker) ([]events.Event, error) {
	if err := checkMarker(s.EntryID, c.MarkerID); err != nil {
		return nil, err
	}
	if err := checkStart(layout(s.Holes), c.StartingHole); err != nil {
		return nil, err
	}
	if c.MarkerID == s.MarkerID && c.StartingHole == s.StartingHole {
		return nil, nil
	}
	return []events.Event{events.MarkerAssigned{MarkerID: c.MarkerID, StartingHole: c.StartingHole, Reason: c.Reason}}, nil
}

func checkStart(holes []events.Hole, start int) error {
	for _, h := range holes {
		if h.Number == start {
			return nil
		}
	}
	return events.Invalid("starting_hole", "not_in_play", fmt.Sprintf("hole %d is not in play", start))
}
