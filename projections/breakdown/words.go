package breakdown

import (
	"fmt"
	"strconv"

	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

func lineOf(r events.Recorded, words string) EventLine {
	l := EventLine{
		Position: r.Position, Sequence: r.Sequence, ID: r.ID, Type: r.Type, Time: r.Time, Role: r.Actor.Role, Words: words,
	}
	if !r.RecordedAt.IsZero() {
		at := r.RecordedAt
		l.RecordedAt = &at
	}
	return l
}

// about is the hole of a ball that an event on a card is about, as the card stood
// before it; false for none.
func about(c *card.State, e events.Event) (ballHole, bool) {
	var at ballHole
	switch e := e.(type) {
	case events.HoleScored:
		at = ballHole{e.Ball, e.Hole}
	case events.HoleScoreCorrected:
		at = ballHole{e.Ball, e.Hole}
	case events.PenaltyAdded:
		at = ballHole{e.Ball, e.Hole}
	case events.PenaltyRemoved:
		for _, p := range c.Penalties {
			if p.ID == e.PenaltyID {
				at = ballHole{p.Ball, p.Hole}
			}
		}
	}
	return at, at.hole > 0
}

// Words says in a sentence what an event on a card or of a match means. The sides
// of a match go by A and B.
func Words(e events.Event) string { return wordsOn(e, 1) }

// wordsOn are the words of an event on a card of so many balls.
func wordsOn(e events.Event, balls int) string {
	switch e := e.(type) {
	case events.CardIssued:
		return fmt.Sprintf("Card issued: %s", issuedWords(e.Tee, e.Figures, e.Partners))
	case events.CardReissued:
		return fmt.Sprintf("Card issued again: %s%s", issuedWords(e.Tee, e.Figures, e.Partners), because(e.Reason))
	case events.MarkerAssigned:
		if e.MarkerID == "" {
			return "The committee keeps the card from now on" + because(e.Reason)
		}
		return "Another marker keeps the card" + because(e.Reason)
	case events.HoleScored:
		if e.Score.None == events.Excluded {
			return holeText(e.Ball, e.Hole, balls) + ": excluded by the committee, it counts for nobody"
		}
		return fmt.Sprintf("%s: %s entered by %s", holeText(e.Ball, e.Hole, balls), ScoreText(e.Score), who(e.By))
	case events.HoleScoreCorrected:
		return correctedWords(e, balls)
	case events.PenaltyAdded:
		p := card.Penalty{Ball: e.Ball, Hole: e.Hole, Strokes: e.Strokes, Rule: e.Rule, Reason: e.Reason}
		return "Penalty added: " + penaltyWords(p, balls, scoring.UnitStrokes)
	case events.PenaltyRemoved:
		return "Penalty taken back" + because(e.Reason)
	case events.CardCertified:
		if e.Keeper != "" {
			return fmt.Sprintf("Certified by %s on paper, typed in by the committee", who(e.By))
		}
		return "Certified by " + who(e.By)
	case events.CardReturned:
		if e.Receipt == "" {
			return "Card returned"
		}
		return "Card returned, receipt " + e.Receipt
	case events.CardReopened:
		return "Card reopened by the committee" + because(e.Reason)
	case events.CardStatusRuled:
		if e.Status == events.StatusInPlay {
			return "Ruling lifted" + because(e.Reason)
		}
		return "Ruled " + e.Status + because(e.Reason)
	case events.StrokeRecorded:
		return holeText(e.Ball, e.Hole, balls) + ": a stroke is logged"
	case events.StrokeAmended:
		return "A logged stroke is amended"
	case events.StrokeRemoved:
		return "A logged stroke is taken off"
	default:
		return matchWords(e, sideNames{})
	}
}

func correctedWords(e events.HoleScoreCorrected, balls int) string {
	at := holeText(e.Ball, e.Hole, balls)
	switch {
	case e.New.None == events.Excluded:
		return at + ": excluded by the committee, it counts for nobody" + because(e.Reason)
	case e.Old.None == events.Excluded:
		return at + ": counts again" + because(e.Reason)
	default:
		return fmt.Sprintf("%s: %s changed to %s by %s%s", at, ScoreText(e.Old), ScoreText(e.New), who(e.By), because(e.Reason))
	}
}

// issuedWords say with what a card was issued.
func issuedWords(tee string, f events.Figures, partners []events.Ball) string {
	text := fmt.Sprintf("%s tee, playing handicap %s", tee, handicap.Playing(f.PlayingHandicap))
	if len(partners) > 0 {
		text = "ball 1 " + text
	}
	for i, b := range partners {
		text += fmt.Sprintf("; ball %d %s tee, playing handicap %s", i+2, b.Tee, handicap.Playing(b.Figures.PlayingHandicap))
	}
	return text
}

// holeText names a hole, and the ball where there are several.
func holeText(ball, hole, balls int) string {
	if balls > 1 || ball > 0 {
		return fmt.Sprintf("Hole %d, ball %d", hole, ball+1)
	}
	return fmt.Sprintf("Hole %d", hole)
}

// penaltyWords say where strokes were added, by which rule and why.
func penaltyWords(p card.Penalty, balls int, unit scoring.Unit) string {
	what := "penalty stroke"
	if p.Hole == 0 && unit != scoring.UnitStrokes {
		what = string(unit[:len(unit)-1]) // a point, a hole
	}
	if p.Strokes != 1 {
		what += "s"
	}
	var text string
	switch {
	case p.Hole > 0:
		text = fmt.Sprintf("%d %s on hole %d", p.Strokes, what, p.Hole)
	case unit == scoring.UnitStrokes:
		text = fmt.Sprintf("%d %s against the round", p.Strokes, what)
	default:
		text = fmt.Sprintf("%d %s off the round", p.Strokes, what)
	}
	if balls > 1 || p.Ball > 0 {
		text += fmt.Sprintf(", ball %d", p.Ball+1)
	}
	if p.Rule != "" {
		text += ", " + p.Rule
	}
	return text + because(p.Reason)
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
	case s.None == events.Excluded:
		return "excluded"
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
