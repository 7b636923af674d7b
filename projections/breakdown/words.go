package breakdown

import (
	"fmt"
	"strconv"

	"marram.example/events"
	"marram.example/projections/handicap"
)

func lineOf(r events.Recorded) EventLine {
	l := EventLine{
		Position: r.Position, Sequence: r.Sequence, ID: r.ID, Type: r.Type, Time: r.Time, Role: r.Actor.Role, Words: Words(r.Event),
	}
	if !r.RecordedAt.IsZero() {
		at := r.RecordedAt
		l.RecordedAt = &at
	}
	return l
}

// holeOf is the hole that an event is about; 0 for none.
func holeOf(e events.Event) int {
	switch e := e.(type) {
	case events.HoleScored:
		return e.Hole
	case events.HoleScoreCorrected:
		return e.Hole
	}
	return 0
}

// Words says in a sentence what an event on a card means.
func Words(e events.Event) string {
	switch e := e.(type) {
	case events.CardIssued:
		return fmt.Sprintf("Card issued: %s tee, playing handicap %s", e.Tee, handicap.Playing(e.Figures.PlayingHandicap))
	case events.CardReissued:
		return fmt.Sprintf("Card issued again: %s tee, playing handicap %s%s", e.Tee, handicap.Playing(e.Figures.PlayingHandicap), because(e.Reason))
	case events.MarkerAssigned:
		if e.MarkerID == "" {
			return "The committee keeps the card from now on" + because(e.Reason)
		}
		return "Another marker keeps the card" + because(e.Reason)
	case events.HoleScored:
		return fmt.Sprintf("Hole %d: %s entered by %s", e.Hole, ScoreText(e.Score), who(e.By))
	case events.HoleScoreCorrected:
		return fmt.Sprintf("Hole %d: %s changed to %s by %s%s", e.Hole, ScoreText(e.Old), ScoreText(e.New), who(e.By), because(e.Reason))
	case events.CardCertified:
		if e.Keeper != "" {
			return fmt.Sprintf("Certified by %s on paper, typed in by the committee", who(e.By))
		}
		return "Certified by " + who(e.By)
	case events.CardReturned:
		return "Card returned, receipt " + e.Receipt
	case events.CardReopened:
		return "Card reopened by the committee" + because(e.Reason)
	case events.CardStatusRuled:
		if e.Status == events.StatusInPlay {
			return "Ruling lifted" + because(e.Reason)
		}
		return "Ruled " + e.Status + because(e.Reason)
	default:
		return e.EventType()
	}
}

// ScoreText shows a score in words or figures.
func ScoreText(s events.Score) string {
	switch {
	case s.Strokes > 0:
		return strconv.Itoa(s.Strokes)
	case s.None == events.PickedUp:
		return "picked up"
	case s.None == events.NoScore:
		return "no score"
	default:
		return "nothing"
	}
}

func who(r events.Role) string {
	switch r {
	case events.RoleCommittee, events.RoleService:
		return "the committee"
	default:
		return "the " + string(r)
	}
}

func because(reason string) string {
	if reason == "" {
		return ""
	}
	return ": " + reason
}
