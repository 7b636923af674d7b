package command

import (
	"context"
	"fmt"
	"strings"

	"marram.example/api/csvfile"
	"marram.example/events"
	"marram.example/events/club"
)

// expected plans a file of expected scores. It replaces all figures before, so the
// rows stand or fall together; the report counts them against those before by index.
func (i *importing) expected(ctx context.Context, rows []csvfile.ExpectedRow) error {
	if len(rows) < i.file.Rows || len(rows) == 0 {
		return nil // what is wrong is a problem of the file already
	}
	stream := events.ClubStream(i.service.club)
	have, err := look(ctx, i.draft, clubs, stream)
	if err != nil {
		return err
	}
	before := map[int]events.ExpectedScore{}
	if have.Expected != nil {
		for _, x := range have.Expected.Rows {
			before[x.IndexTenths] = x
		}
	}
	in := club.ImportExpected{Source: rows[0].Source}
	for _, r := range rows {
		if r.Source != in.Source {
			i.problem(r.Line, "source", "differs", "", "the source is the same on every row; on line %d it is %q", rows[0].Line, in.Source)
			return nil
		}
		in.Rows = append(in.Rows, events.ExpectedScore{IndexTenths: r.IndexTenths, ExpectedNum: r.ExpectedNum, ExpectedDen: r.ExpectedDen})
	}
	if _, err := decide(ctx, i.draft, clubs, stream, club.Command(in)); err != nil {
		return i.expectedRefused(err, rows)
	}
	for _, x := range in.Rows {
		old, existed := before[x.IndexTenths]
		i.count(existed, !existed || old != x)
		delete(before, x.IndexTenths)
	}
	if n := len(before); n > 0 {
		i.note(0, "%d of the indexes before are not in this file and have no expected score any more", n)
	}
	return nil
}

// expectedRefused puts a refusal of the decider on the line of its row.
func (i *importing) expectedRefused(err error, rows []csvfile.ExpectedRow) error {
	e := events.AsError(err)
	if e == nil {
		return err
	}
	at, line := 0, 0
	if n, _ := fmt.Sscanf(e.Field, "rows[%d]", &at); n == 1 && at < len(rows) {
		line = rows[at].Line
	}
	column := "source"
	switch {
	case strings.HasSuffix(e.Field, "index_tenths"):
		column = "handicap_index"
	case strings.Contains(e.Field, "expected_"):
		column = "expected_differential"
	}
	i.problem(line, column, e.Code, e.Rule, "%s", e.Detail)
	return nil
}
