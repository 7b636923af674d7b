package command

import (
	"context"
	"fmt"
	"slices"

	"marram.example/api/csvfile"
	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
	"marram.example/projections/scoring"
)

// cards plans a cards file: what the committee types in from paper.
//
// A row without a status is a paper card with both signatures: its scores are
// entered, certified and returned. A row with one of NR, RTD, WD, NS and DQ has
// its scores entered as far as there are any, is not certified, and gets that
// ruling; a blank hole leaves what stands on the card. One case is read by the
// format: NR beside a card on which every hole stands, one or more as PU, is a
// card that was handed in and lacks a score. In stroke play it becomes a no
// return by itself; in Stableford such a hole counts no points and the card is
// as good as any (Rules of Golf 3.3c, 21.1b).
//
// Unlikely numbers are taken and noted: a file is typed from the card and can be
// read again before it is sent, which a hole on a phone cannot.
func (i *importing) cards(ctx context.Context, rows []csvfile.CardRow) error {
	c, err := i.competition(ctx)
	if c == nil || err != nil {
		return err
	}
	switch c.Phase {
	case competition.Planned, competition.Drawn:
		i.problem(0, "", "not_open", "", "no card is out: open the round first")
		return nil
	case competition.Published:
		i.note(0, "a result is published: revise it after cards have changed")
	}
	if !i.holeColumns(c.RoundTerms().Holes) {
		return nil
	}
	format, err := scoring.FormatByName(c.RoundTerms().Format)
	if err != nil {
		return domain(err)
	}
	for _, r := range rows {
		entry := EntryID(i.competitionID, i.service.PlayerID(r.MemberNo))
		if e, ok := c.Entries[entry]; !ok || e.Withdrawn {
			if p, err := i.member(ctx, r.Line, r.MemberNo); err != nil {
				return err
			} else if p != nil {
				i.problem(r.Line, "member_no", "no_entry", "", "%s has no entry in this competition", r.MemberNo)
			}
			continue
		}
		if err := i.card(ctx, r, i.cardStream(entry, c.Round), format.EveryHole); err != nil {
			return err
		}
	}
	return nil
}

// holeColumns checks that every hole in play has its column.
func (i *importing) holeColumns(holes []int) bool {
	ok := true
	for _, n := range holes {
		if column := holeColumn(n); !i.file.Has(column) {
			i.problem(i.file.HeaderLine, column, "missing_column", "", "the column %s is missing; hole %d is played", column, n)
			ok = false
		}
	}
	return ok
}

func holeColumn(n int) string { return fmt.Sprintf("h%d", n) }

// paper is a row as it goes onto a card.
type paper struct {
	scores []events.Score // in the order of the card's holes
	any    bool           // something is stated
	signed bool           // handed in with both signatures
	ruling string         // empty for none
}

// card plans one row.
func (i *importing) card(ctx context.Context, r csvfile.CardRow, stream events.StreamID, everyHole bool) error {
	k, err := look(ctx, i.draft, cards, stream)
	if err != nil {
		return err
	}
	if !k.Exists() {
		i.problem(r.Line, "member_no", "no_card", "", "%s has no card: the entry has no place on the start sheet", r.MemberNo)
		return nil
	}
	p, ok := i.paper(r, k, everyHole)
	if !ok {
		return nil
	}
	had := k.Played() > 0 || k.Status() != events.StatusInPlay
	changed, err := i.write(ctx, r, stream, k, p)
	if err != nil {
		return i.refused(err, r.Line, func(field string) string { return cardColumn(field, k) })
	}
	i.count(had, changed)
	after, err := look(ctx, i.draft, cards, stream)
	if err == nil && r.Status == "" && after.Ruled != "" {
		i.note(r.Line, "%s: the card is %s (%s)", r.MemberNo, after.Ruled, after.RuledReason)
	}
	return err
}

// cardColumn is the column that a field of the card's decider comes from.
func cardColumn(field string, k *card.State) string {
	var at int
	if n, _ := fmt.Sscanf(field, "scores[%d]", &at); n == 1 && at < len(k.Holes) {
		return holeColumn(k.Holes[at].Number)
	}
	return "status"
}

// paper reads a row against its card. It reports false after a problem.
func (i *importing) paper(r csvfile.CardRow, k *card.State, everyHole bool) (paper, bool) {
	ok := true
	for n, v := range r.Holes {
		if _, played := k.Line(n + 1); !played && v.Entered() {
			i.problem(r.Line, holeColumn(n+1), "not_in_play", "", "hole %d is not played in this competition", n+1)
			ok = false
		}
	}
	p := paper{ruling: r.Status}
	var lacking, missing []int
	for _, h := range k.Holes {
		v := r.Holes[h.Number-1]
		switch {
		case !v.Entered():
			missing = append(missing, h.Number)
		case v.Strokes == 0:
			lacking = append(lacking, h.Number)
		}
		p.any = p.any || v.Entered()
		if !v.Entered() && r.Status != "" {
			v = h.Committee // leave what stands there
		}
		p.scores = append(p.scores, v)
	}
	switch {
	case r.Status == "" && !p.any:
		i.problem(r.Line, "status", "required", "", "the row has neither scores nor a status; write WD or NS, or leave the row out")
		return p, false
	case r.Status == "" && everyHole && len(missing) > 0:
		for _, n := range missing {
			i.problem(r.Line, holeColumn(n), "hole_missing", "Rules of Golf 3.3c",
				"hole %d has no score; write strokes, PU for picked up, or the ruling under status", n)
		}
		return p, false
	case r.Status == "":
		p.signed = true
		for at, h := range k.Holes {
			if slices.Contains(missing, h.Number) {
				p.scores[at] = events.Score{None: events.NoScore}
			}
		}
	case r.Status == events.StatusNoReturn && len(missing) == 0 && len(lacking) > 0:
		p.signed, p.ruling = true, ""
		if !everyHole {
			i.note(r.Line, "%s: NR is left aside, a hole without a score counts no points here (Rules of Golf 21.1b)", r.MemberNo)
		}
	}
	return p, ok
}

// write decides scores and ruling on a card and reports whether that changes it.
func (i *importing) write(ctx context.Context, r csvfile.CardRow, stream events.StreamID, k *card.State, p paper) (bool, error) {
	changed := false
	if p.any {
		decided, err := decide(ctx, i.draft, cards, stream, card.Command(card.EnterCard{
			Scores: p.scores, By: events.RoleCommittee, Confirmed: true, Signed: p.signed, Receipt: receipt(), Reason: "import of a cards file",
		}))
		if err != nil {
			return false, err
		}
		changed = len(decided) > 0
		i.remark(r, k, decided)
	}
	now, err := look(ctx, i.draft, cards, stream)
	if err != nil {
		return changed, err
	}
	if p.ruling == "" || now.Ruled == p.ruling && (r.Reason == "" || r.Reason == now.RuledReason) {
		return changed, nil
	}
	reason := r.Reason
	if reason == "" {
		reason = "as stated in the cards file"
	}
	decided, err := decide(ctx, i.draft, cards, stream, card.Command(card.RuleStatus{Status: p.ruling, Reason: reason}))
	return changed || len(decided) > 0, err
}

// remark notes what deserves a second look: numbers that change on a card, and
// unlikely ones.
func (i *importing) remark(r csvfile.CardRow, k *card.State, decided []events.Event) {
	for _, e := range decided {
		var hole int
		var v events.Score
		switch e := e.(type) {
		case events.HoleScored:
			hole, v = e.Hole, e.Score
		case events.HoleScoreCorrected:
			hole, v = e.Hole, e.New
			i.note(r.Line, "%s: hole %d changes from %s to %s", r.MemberNo, e.Hole, scoreText(e.Old), scoreText(e.New))
		default:
			continue
		}
		at, _ := k.Line(hole)
		if par := k.Holes[at].Par; card.Unlikely(par, v.Strokes) {
			i.note(r.Line, "%s: %d on hole %d, a par %d, is unlikely", r.MemberNo, v.Strokes, hole, par)
		}
	}
}

func scoreText(v events.Score) string {
	switch {
	case v.Strokes > 0:
		return fmt.Sprint(v.Strokes)
	case v.None == events.PickedUp:
		return "picked up"
	default:
		return "no score"
	}
}
