package command

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"marram.example/api/csvfile"
	"marram.example/events"
	"marram.example/events/card"
	"marram.example/events/competition"
)

// ImportStrokes takes the strokes of one card in from a CSV file, all of them or
// nothing, as Import does. The rows of a hole stand for all its strokes; holes
// without a row stay as they are. The player does it, or the committee.
func (s *Service) ImportStrokes(ctx context.Context, r Request, cardID string, body io.Reader, dryRun bool) (ImportReport, error) {
	if err := s.mayLog(r, cardID); err != nil {
		return ImportReport{}, err
	}
	k, c, err := s.cardIn(ctx, cardID)
	if err != nil {
		return ImportReport{}, err
	}
	data, err := csvfile.Load(body)
	if err != nil {
		return ImportReport{}, err
	}
	read, rows := csvfile.ReadStrokes(data)
	file := &readFile{kind: ImportStrokes, file: read, plan: func(ctx context.Context, i *importing) error {
		return i.strokesOf(ctx, cardID, rows, follows(r, k.State, c))
	}}
	reports, err := replan(func() ([]ImportReport, error) {
		return s.importOnce(ctx, r, k.State.CompetitionID, []*readFile{file}, dryRun)
	})
	if len(reports) == 0 {
		return ImportReport{}, err
	}
	return reports[0], err
}

// StrokesTable writes the strokes of a card as a table that ImportStrokes takes: the
// same card then stays as it is. Distances are metres; text cannot be taken for a
// formula.
func (s *Service) StrokesTable(ctx context.Context, k CardView) ([]byte, error) {
	head := make([]string, len(csvfile.Strokes.Columns))
	for i, c := range csvfile.Strokes.Columns {
		head[i] = c.Name
	}
	table := [][]string{head}
	for ball := range k.State.Balls() {
		for _, h := range k.State.Lines(ball) {
			strokes, err := s.Logged(ctx, k.State, ball, h.Number)
			if err != nil {
				return nil, err
			}
			for i, x := range strokes {
				table = append(table, asRow(ball, h.Number, i+1, x.Stroke).Cells())
			}
		}
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	if err := w.WriteAll(table); err != nil {
		return nil, fmt.Errorf("write strokes as CSV: %w", err)
	}
	return b.Bytes(), nil
}

// asRow is a logged stroke as a row.
func asRow(ball, hole, n int, x Stroke) csvfile.StrokeRow {
	out := csvfile.StrokeRow{
		Hole: hole, Stroke: n, Ball: ball, Lie: x.Lie, Distance: x.Distance, Unit: x.Unit, Club: x.Club, Target: x.Target, Aim: x.Aim, Shape: x.Shape,
		Commitment: x.Commitment, IntentAt: x.IntentAt, StruckAt: x.StruckAt, Strike: x.Strike, Penalty: x.Penalty, GoodEnough: x.GoodEnough, Word: x.Word,
		MissSide: x.Miss.Side, MissSideBy: x.Miss.SideBy, MissLength: x.Miss.Length, MissLengthBy: x.Miss.LengthBy, MissUnit: x.Miss.Unit,
	}
	if f := x.Finish; f != nil {
		out.FinishLie, out.FinishDistance, out.FinishUnit = f.Lie, f.Distance, f.Unit
		if f.Holed {
			out.FinishLie, out.FinishUnit = csvfile.Holed, ""
		}
	}
	return out
}

// fromRow is asRow, backwards.
func fromRow(v csvfile.StrokeRow) Stroke {
	out := Stroke{
		Lie: v.Lie, Distance: v.Distance, Unit: v.Unit, Club: v.Club, Target: v.Target, Aim: v.Aim, Shape: v.Shape, Commitment: v.Commitment,
		IntentAt: v.IntentAt, StruckAt: v.StruckAt, Strike: v.Strike, Penalty: v.Penalty, GoodEnough: v.GoodEnough, Word: v.Word,
		Miss: Miss{Side: v.MissSide, SideBy: v.MissSideBy, Length: v.MissLength, LengthBy: v.MissLengthBy, Unit: v.MissUnit},
	}
	switch v.FinishLie {
	case "":
	case csvfile.Holed:
		out.Finish = &Finish{Holed: true, Distance: v.FinishDistance, Unit: v.FinishUnit} // a distance is then refused
	default:
		out.Finish = &Finish{Lie: v.FinishLie, Distance: v.FinishDistance, Unit: v.FinishUnit}
	}
	return out
}

// strokes plans a strokes file of many cards.
func (i *importing) strokes(ctx context.Context, rows []csvfile.StrokeRow) error {
	c, err := i.competition(ctx)
	if c == nil || err != nil {
		return err
	}
	switch {
	case !c.Begun():
		i.problem(0, "", "not_open", "", "no card is out: open the round first")
		return nil
	case c.IsMatch():
		i.problem(0, "", "no_cards", "", "matches have no cards")
		return nil
	}
	type whose struct {
		member string
		round  int
	}
	var order []whose
	of := map[whose][]csvfile.StrokeRow{}
	for _, r := range rows {
		w := whose{r.MemberNo, r.Round}
		if _, known := of[w]; !known {
			order = append(order, w)
		}
		of[w] = append(of[w], r)
	}
	for _, w := range order {
		first := of[w][0]
		cardID, err := i.strokesCard(ctx, c, first)
		if err != nil {
			return err
		}
		if cardID == "" {
			continue
		}
		if err := i.strokesOf(ctx, cardID, of[w], false); err != nil {
			return err
		}
	}
	return nil
}

// strokesCard is the card of a row; empty after a problem.
func (i *importing) strokesCard(ctx context.Context, c *competition.State, r csvfile.StrokeRow) (string, error) {
	round, err := i.cardRound(c, csvfile.CardRow{Line: r.Line, Round: r.Round})
	if err != nil || round == 0 {
		return "", err
	}
	p, err := i.member(ctx, r.Line, r.MemberNo)
	if err != nil || p == nil {
		return "", err
	}
	stream := i.cardStream(EntryID(i.competitionID, i.service.PlayerID(r.MemberNo)), round)
	k, err := look(ctx, i.draft, cards, stream)
	if err == nil && !k.Exists() {
		i.problem(r.Line, "member_no", "no_card", "", "%s has no card of round %d in this competition", r.MemberNo, round)
		return "", nil
	}
	return stream.ID, err
}

// strokesOf plans the strokes of one card, in the order in which they are read: by
// ball, hole and stroke.
func (i *importing) strokesOf(ctx context.Context, cardID string, rows []csvfile.StrokeRow, score bool) error {
	for len(rows) > 0 {
		n := 1
		for n < len(rows) && rows[n].Ball == rows[0].Ball && rows[n].Hole == rows[0].Hole {
			n++
		}
		if err := i.strokesOn(ctx, cardID, rows[:n], score); err != nil {
			return err
		}
		rows = rows[n:]
	}
	return nil
}

// strokesOn plans the strokes of one hole. A row takes the place of the stroke that
// stands there, so that the same file again changes nothing.
func (i *importing) strokesOn(ctx context.Context, cardID string, rows []csvfile.StrokeRow, score bool) error {
	stream := events.CardStream(i.service.club, i.competitionID, cardID)
	k, err := look(ctx, i.draft, cards, stream)
	if err != nil {
		return err
	}
	first := rows[0]
	had := k.StrokesOn(first.Ball, first.Hole)
	cmd := card.LogHole{Ball: first.Ball, Hole: first.Hole, Score: score}
	for n, row := range rows {
		if row.Stroke != n+1 {
			i.problem(row.Line, "stroke", "gap", "", "stroke %d of hole %d is missing before this one", n+1, row.Hole)
			return nil
		}
		id, was := shortID(13, "stroke", cardID, i.request.CommandID, fmt.Sprint(row.Ball, row.Hole, n)), []byte(nil)
		if n < len(had) {
			id, was = had[n].ID, had[n].Words
		}
		x, err := i.service.stroke(ctx, i.request, k, row.Ball, was, fmt.Sprintf("strokes[%d].", n), fromRow(row))
		if err != nil {
			return i.refusedStroke(err, rows)
		}
		cmd.Strokes = append(cmd.Strokes, card.StrokeLine{ID: id, Stroke: x})
	}
	decided, err := decide(ctx, i.draft, cards, stream, card.Command(cmd))
	if err != nil {
		return i.refusedStroke(err, rows)
	}
	i.tally(rows, decided)
	k, err = look(ctx, i.draft, cards, stream)
	if d := differs(k, place{first.Ball, first.Hole}); d != nil {
		i.note(first.Line, "%shole %d: the strokes say %d, the card says %s", ofMember(first), d.Hole, d.Strokes, scoreText(d.Card))
	}
	return err
}

// tally counts the rows of a hole, and notes what follows from them.
func (i *importing) tally(rows []csvfile.StrokeRow, decided []events.Event) {
	added, amended, removed := 0, 0, 0
	for _, e := range decided {
		switch e := e.(type) {
		case events.StrokeRecorded:
			added++
		case events.StrokeAmended:
			amended++
		case events.StrokeRemoved:
			removed++
		case events.HoleScored:
			i.note(rows[0].Line, "%shole %d: %d entered", ofMember(rows[0]), e.Hole, e.Score.Strokes)
		}
	}
	i.report.Added += added
	i.report.Changed += amended
	i.report.Unchanged += len(rows) - added - amended
	if removed > 0 {
		i.note(rows[0].Line, "%shole %d: what was logged there beyond these rows is taken off", ofMember(rows[0]), rows[0].Hole)
	}
}

func ofMember(r csvfile.StrokeRow) string {
	if r.MemberNo == "" {
		return ""
	}
	return r.MemberNo + ", "
}

var strokeField = regexp.MustCompile(`^strokes\[(\d+)\]\.(.*)$`)

// refusedStroke is refused on the row of the stroke that is at fault.
func (i *importing) refusedStroke(err error, rows []csvfile.StrokeRow) error {
	line, column := rows[0].Line, "hole"
	if e := events.AsError(domain(err)); e != nil {
		if m := strokeField.FindStringSubmatch(e.Field); m != nil {
			if n, err := strconv.Atoi(m[1]); err == nil && n < len(rows) {
				line, column = rows[n].Line, strokeColumn(m[2])
			}
		} else if e.Field == "ball" {
			column = "ball"
		}
	}
	return i.refused(err, line, func(string) string { return column })
}

// strokeColumn is the column of a field of a stroke.
func strokeColumn(field string) string {
	switch field {
	case "stroke_id":
		return "stroke"
	case "finish.holed":
		return "finish_lie"
	default:
		return strings.ReplaceAll(field, ".", "_")
	}
}
