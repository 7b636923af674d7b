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
//
// The rows of one card, one a ball of a side, are entered together; a ball without
// a row is left as it stands. A blank cell of a side that plays several balls says
// that this ball has no score there.
func (i *importing) cards(ctx context.Context, rows []csvfile.CardRow) error {
	c, err := i.competition(ctx)
	if c == nil || err != nil {
		return err
	}
	if !c.Begun() {
		i.problem(0, "", "not_open", "", "no card is out: open the round first")
		return nil
	}
	if c.IsMatch() {
		i.problem(0, "", "no_cards", "", "matches have no cards")
		return nil
	}
	if c.Phase == competition.Published {
		i.note(0, "a result is published: revise it after cards have changed")
	}
	formats := map[int]scoring.Format{} // of the rounds whose holes have columns
	for _, group := range onOneCard(rows) {
		round, err := i.cardRound(c, group[0])
		if err != nil || round == 0 {
			return err
		}
		if _, known := formats[round]; !known {
			t := c.Terms.Round(round)
			if !i.holeColumns(t.Holes) {
				return nil
			}
			if formats[round], err = scoring.FormatByName(t.Format); err != nil {
				return domain(err)
			}
		}
		entry := EntryID(i.competitionID, i.service.PlayerID(group[0].MemberNo))
		if e, ok := c.Entries[entry]; !ok || e.Withdrawn {
			if p, err := i.member(ctx, group[0].Line, group[0].MemberNo); err != nil {
				return err
			} else if p != nil {
				i.problem(group[0].Line, "member_no", "no_entry", "", "%s has no entry in this competition", group[0].MemberNo)
			}
			continue
		}
		if err := i.card(ctx, group, i.cardStream(entry, round), formats[round].EveryHole); err != nil {
			return err
		}
	}
	return nil
}

// onOneCard puts the rows of one card together, in the order of the file.
func onOneCard(rows []csvfile.CardRow) [][]csvfile.CardRow {
	var out [][]csvfile.CardRow
	at := map[string]int{}
	for _, r := range rows {
		key := fmt.Sprintf("%d %s", r.Round, r.MemberNo)
		n, known := at[key]
		if !known {
			n = len(out)
			at[key], out = n, append(out, nil)
		}
		out[n] = append(out[n], r)
	}
	return out
}

// cardRound is the round of a row; 0 after a problem.
func (i *importing) cardRound(c *competition.State, r csvfile.CardRow) (int, error) {
	last := c.Round // whose cards are out
	if !c.CardsOut() {
		last--
	}
	switch {
	case r.Round == 0 && last < c.Round:
		i.problem(r.Line, "round", "not_open", "", "round %d is not open yet; say which round the card is of", c.Round)
		return 0, nil
	case r.Round == 0:
		return c.Round, nil
	case r.Round > last:
		i.problem(r.Line, "round", "not_open", "", "round %d has not begun", r.Round)
		return 0, nil
	default:
		return r.Round, nil
	}
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

// paper is the rows of a card as they go onto it.
type paper struct {
	balls  [][]events.Score // of every ball, in the order of the card's holes
	any    bool             // something is stated
	signed bool             // handed in with both signatures
	stated string           // status in the file; empty for none
	ruling string           // that follows; empty for none
	reason string
}

// card plans the rows of one card.
func (i *importing) card(ctx context.Context, rows []csvfile.CardRow, stream events.StreamID, everyHole bool) error {
	k, err := look(ctx, i.draft, cards, stream)
	if err != nil {
		return err
	}
	first := rows[0]
	if !k.Exists() {
		i.problem(first.Line, "member_no", "no_card", "", "%s has no card: the entry has no place on the start sheet", first.MemberNo)
		return nil
	}
	p, ok := i.paper(rows, k, everyHole)
	if !ok {
		return nil
	}
	had := k.Played() > 0 || k.Status() != events.StatusInPlay
	changed, err := i.write(ctx, rows, stream, k, p)
	if err != nil {
		return i.refusedOnCard(err, rows, k)
	}
	i.count(had, changed)
	after, err := look(ctx, i.draft, cards, stream)
	if err == nil && p.stated == "" && after.Ruled != "" {
		i.note(first.Line, "%s: the card is %s (%s)", first.MemberNo, after.Ruled, after.RuledReason)
	}
	return err
}

// refusedOnCard is refused on the row of the ball that is at fault.
func (i *importing) refusedOnCard(err error, rows []csvfile.CardRow, k *card.State) error {
	line, column := rows[0].Line, "status"
	if e := events.AsError(domain(err)); e != nil {
		var ball, at int
		if n, _ := fmt.Sscanf(e.Field, "partners[%d][%d]", &ball, &at); n == 2 {
			ball++
		} else if n, _ = fmt.Sscanf(e.Field, "scores[%d]", &at); n != 1 {
			at = len(k.Holes)
		}
		if at < len(k.Holes) {
			column = holeColumn(k.Holes[at].Number)
		}
		for _, r := range rows {
			if r.Ball == ball {
				line = r.Line
			}
		}
	}
	return i.refused(err, line, func(string) string { return column })
}

// paper reads the rows of a card against it. It reports false after a problem.
func (i *importing) paper(rows []csvfile.CardRow, k *card.State, everyHole bool) (paper, bool) {
	p, ok := i.ruled(rows)
	if !i.onCard(rows, k) || !ok {
		return p, false
	}
	lacking, missing := i.without(rows, k)
	p.any = len(missing) < counting(k)
	first := rows[0]
	switch {
	case p.ruling == "" && !p.any:
		i.problem(first.Line, "status", "required", "", "the row has neither scores nor a status; write WD or NS, or leave the row out")
		return p, false
	case p.ruling == "" && everyHole && len(missing) > 0:
		for _, n := range missing {
			i.problem(first.Line, holeColumn(n), "hole_missing", "Rules of Golf 3.3c",
				"hole %d has no score; write strokes, PU for picked up, or the ruling under status", n)
		}
		return p, false
	case p.ruling == "":
		p.signed = true
	case p.ruling == events.StatusNoReturn && len(missing) == 0 && len(lacking) > 0:
		p.signed, p.ruling = true, ""
		if !everyHole {
			i.note(first.Line, "%s: NR is left aside, a hole without a score counts no points here (Rules of Golf 21.1b)", first.MemberNo)
		}
	}
	p.balls = typed(rows, k, p.ruling != "", everyHole)
	return p, true
}

// onCard reports whether the rows speak of balls and holes that are on the card.
func (i *importing) onCard(rows []csvfile.CardRow, k *card.State) bool {
	ok := true
	for _, r := range rows {
		if r.Ball >= k.Balls() {
			i.problem(r.Line, "ball", "not_on_card", "", "the card of %s has no ball %d", r.MemberNo, r.Ball)
			ok = false
			continue
		}
		for n, v := range r.Holes {
			if _, played := k.Line(n + 1); !played && v.Entered() {
				i.problem(r.Line, holeColumn(n+1), "not_in_play", "", "hole %d is not played in this competition", n+1)
				ok = false
			}
		}
	}
	return ok
}

// counting is how many holes of a card count.
func counting(k *card.State) int {
	n := 0
	for _, h := range k.Holes {
		if !h.Excluded() {
			n++
		}
	}
	return n
}

// without lists the holes that count on which no ball of the rows has strokes, and
// those on which none has anything.
func (i *importing) without(rows []csvfile.CardRow, k *card.State) (lacking, missing []int) {
	for _, h := range k.Holes {
		entered, holed := false, h.Excluded()
		for _, r := range rows {
			v := r.Holes[h.Number-1]
			entered, holed = entered || v.Entered(), holed || v.Strokes > 0
			if h.Excluded() && v.Entered() {
				i.note(r.Line, "%s: hole %d is excluded, what stands there is left aside", r.MemberNo, h.Number)
			}
		}
		switch {
		case !entered && !h.Excluded():
			missing = append(missing, h.Number)
		case !holed:
			lacking = append(lacking, h.Number)
		}
	}
	return lacking, missing
}

// ruled is the ruling that one of the rows of a card states.
func (i *importing) ruled(rows []csvfile.CardRow) (paper, bool) {
	p := paper{}
	for _, r := range rows {
		if r.Status != "" && p.ruling != "" && r.Status != p.ruling {
			i.problem(r.Line, "status", "ambiguous", "", "the rows of one card state %s and %s", p.ruling, r.Status)
			return p, false
		}
		if r.Status != "" {
			p.stated, p.ruling, p.reason = r.Status, r.Status, r.Reason
		}
	}
	return p, true
}

// typed is what the rows of a card say, ball by ball. Beside a ruling a blank hole
// leaves what stands; on a signed card it says no score where the format can do
// without, and on the ball of a side nothing.
func typed(rows []csvfile.CardRow, k *card.State, ruled, everyHole bool) [][]events.Score {
	out := make([][]events.Score, k.Balls())
	for ball := range out {
		at := slices.IndexFunc(rows, func(r csvfile.CardRow) bool { return r.Ball == ball })
		out[ball] = make([]events.Score, len(k.Holes))
		for n, h := range k.Lines(ball) {
			v := &out[ball][n]
			switch {
			case h.Excluded():
			case at < 0 && !ruled:
				*v = h.Counting()
			case at < 0:
				*v = h.Committee
			default:
				if *v = rows[at].Holes[h.Number-1]; v.Entered() {
					continue
				}
				if ruled {
					*v = h.Committee
				} else if !everyHole {
					*v = events.Score{None: events.NoScore}
				}
			}
		}
	}
	return out
}

// write decides scores and ruling on a card and reports whether that changes it.
func (i *importing) write(ctx context.Context, rows []csvfile.CardRow, stream events.StreamID, k *card.State, p paper) (bool, error) {
	changed := false
	if p.any {
		decided, err := decide(ctx, i.draft, cards, stream, card.Command(card.EnterCard{
			Scores: p.balls[0], Partners: p.balls[1:], By: events.RoleCommittee, Confirmed: true, Signed: p.signed, Receipt: receipt(),
			Reason: "import of a cards file",
		}))
		if err != nil {
			return false, err
		}
		changed = len(decided) > 0
		i.remark(rows, k, decided)
	}
	now, err := look(ctx, i.draft, cards, stream)
	if err != nil {
		return changed, err
	}
	if p.ruling == "" || now.Ruled == p.ruling && (p.reason == "" || p.reason == now.RuledReason) {
		return changed, nil
	}
	reason := p.reason
	if reason == "" {
		reason = "as stated in the cards file"
	}
	decided, err := decide(ctx, i.draft, cards, stream, card.Command(card.RuleStatus{Status: p.ruling, Reason: reason}))
	return changed || len(decided) > 0, err
}

// remark notes what deserves a second look: numbers that change on a card, and
// unlikely ones.
func (i *importing) remark(rows []csvfile.CardRow, k *card.State, decided []events.Event) {
	for _, e := range decided {
		var hole, ball int
		var v events.Score
		r := rows[0]
		switch e := e.(type) {
		case events.HoleScored:
			hole, ball, v = e.Hole, e.Ball, e.Score
		case events.HoleScoreCorrected:
			hole, ball, v = e.Hole, e.Ball, e.New
		default:
			continue
		}
		for _, other := range rows {
			if other.Ball == ball {
				r = other
			}
		}
		if e, again := e.(events.HoleScoreCorrected); again {
			i.note(r.Line, "%s: hole %d changes from %s to %s", r.MemberNo, e.Hole, scoreText(e.Old), scoreText(e.New))
		}
		at, _ := k.Line(hole)
		if par := k.Lines(ball)[at].Par; card.Unlikely(par, v.Strokes) {
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
