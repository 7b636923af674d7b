package api

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"marram.example/events"
)

// resultCSV answers with a result as a table (RFC 4180, UTF-8, comma).
func (a *API) resultCSV(c echo.Context) error {
	r, err := a.reading(c)
	if err != nil {
		return err
	}
	res, err := getResult(c.Request().Context(), r)
	if err != nil {
		return err
	}
	if fresh(c, res.Sequence) {
		return c.NoContent(http.StatusNotModified)
	}
	body, err := ResultTable(res)
	if err != nil {
		return err
	}
	c.Response().Header().Set(echo.HeaderContentDisposition, fmt.Sprintf(`attachment; filename="result-%s.csv"`, res.Date))
	return c.Blob(http.StatusOK, "text/csv; charset=utf-8", body)
}

// ResultTable writes a result as CSV: one row an entry with the figures of its
// format, or of match play one row a match. Cells of text cannot be taken for
// formulas; figures are plain numbers, plus handicaps with their mathematical
// sign (-2.3 is +2.3); dates are ISO 8601.
func ResultTable(res Result) ([]byte, error) {
	columns, rows := entryColumns(res), len(res.Rows)
	if res.Format == events.MatchPlay {
		columns, rows = matchColumns(res), len(res.Matches)
	}
	table := make([][]string, rows+1)
	for _, c := range columns {
		table[0] = append(table[0], c.heading)
		for i := range rows {
			table[i+1] = append(table[i+1], c.cell(i))
		}
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	if err := w.WriteAll(table); err != nil {
		return nil, fmt.Errorf("write the result as CSV: %w", err)
	}
	return b.Bytes(), nil
}

// column is one column of a table: its heading, and the cell of a row.
type column struct {
	heading string
	cell    func(row int) string
}

// entryColumns are the columns of a competition that is ranked by cards.
func entryColumns(res Result) []column {
	of := func(heading string, text func(ResultRow) string) column {
		return column{heading, func(i int) string { return text(res.Rows[i]) }}
	}
	out := []column{
		of("competition", func(ResultRow) string { return cell(res.Name) }),
		of("date", func(ResultRow) string { return res.Date }),
		of("position", func(x ResultRow) string { return x.Positions[res.Ranking] }),
		of("name", func(x ResultRow) string { return cell(x.Name) }),
	}
	if res.Side != "" {
		out = append(out, of("players", func(x ResultRow) string { return cell(joinNames(x.Players)) }))
	}
	out = append(out,
		of("division", func(x ResultRow) string { return cell(x.Division) }),
		of("tee", func(x ResultRow) string { return cell(x.Tee) }),
		of("handicap_index", func(x ResultRow) string { return tenths(x.IndexTenths) }),
		of("index_origin", func(x ResultRow) string { return string(x.IndexOrigin) }),
		of("playing_handicap", func(x ResultRow) string { return strconv.Itoa(x.PlayingHandicap) }),
	)
	switch res.Format {
	case events.Stableford:
		out = append(out,
			of("points", func(x ResultRow) string { return number(x.Points) }),
			of("gross_points", func(x ResultRow) string { return number(x.GrossPoints) }),
		)
	case events.ParBogey:
		out = append(out, of("par_bogey", func(x ResultRow) string { return number(x.ParBogey) }))
	default:
		out = append(out,
			of("gross", func(x ResultRow) string { return number(x.Gross) }),
			of("net", func(x ResultRow) string { return number(x.Net) }),
		)
	}
	for round := 1; round <= res.Rounds && res.Rounds > 1; round++ {
		out = append(out, roundColumns(res, round)...)
	}
	return append(out,
		of("status", func(x ResultRow) string { return x.Status }),
		of("net_position", func(x ResultRow) string { return x.Positions["net"] }),
		of("gross_position", func(x ResultRow) string { return x.Positions["gross"] }),
		of("countback", func(x ResultRow) string { return cell(x.Countback) }),
		of("provisional", func(ResultRow) string { return strconv.FormatBool(res.Provisional) }),
	)
}

// roundColumns are those of one round of several.
func roundColumns(res Result, round int) []column {
	of := func(heading string, text func(events.RoundFigures) string) column {
		return column{fmt.Sprintf("round_%d_%s", round, heading), func(i int) string {
			for _, f := range res.Rows[i].Rounds {
				if f.Round == round {
					return text(f)
				}
			}
			return ""
		}}
	}
	status := of("status", func(f events.RoundFigures) string { return f.Status })
	switch res.Format {
	case events.Stableford:
		return []column{of("points", func(f events.RoundFigures) string { return number(f.Points) }), status}
	case events.ParBogey:
		return []column{of("par_bogey", func(f events.RoundFigures) string { return number(f.ParBogey) }), status}
	default:
		return []column{
			of("gross", func(f events.RoundFigures) string { return number(f.Gross) }),
			of("net", func(f events.RoundFigures) string { return number(f.Net) }), status,
		}
	}
}

// matchColumns are the columns of a match competition.
func matchColumns(res Result) []column {
	of := func(heading string, text func(ResultMatch) string) column {
		return column{heading, func(i int) string { return text(res.Matches[i]) }}
	}
	return []column{
		of("competition", func(ResultMatch) string { return cell(res.Name) }),
		of("date", func(ResultMatch) string { return res.Date }),
		of("round", func(m ResultMatch) string { return strconv.Itoa(m.Round) }),
		of("match", func(m ResultMatch) string { return strconv.Itoa(m.Number) }),
		of("side_a", func(m ResultMatch) string { return cell(m.Names[0]) }),
		of("side_b", func(m ResultMatch) string { return cell(m.Names[1]) }),
		of("winner", func(m ResultMatch) string {
			if at := slices.Index(m.EntryIDs, m.Winner); at >= 0 {
				return cell(m.Names[at])
			}
			return ""
		}),
		of("result", func(m ResultMatch) string { return cell(m.Text) }),
		of("holes_up", func(m ResultMatch) string { return strconv.Itoa(m.By) }),
		of("provisional", func(ResultMatch) string { return strconv.FormatBool(res.Provisional) }),
	}
}

func joinNames(players []Named) string {
	out := make([]string, len(players))
	for i, p := range players {
		out[i] = p.Name
	}
	return strings.Join(out, " & ")
}

// cell keeps text from being read as a formula: spreadsheets take a cell that
// begins like one for it (OWASP, CSV injection, from memory).
func cell(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r\n", rune(s[0])) {
		return "'" + s
	}
	return s
}

func number(n *int) string {
	if n == nil {
		return ""
	}
	return strconv.Itoa(*n)
}

// tenths writes -23 as -2.3.
func tenths(n int) string { return strconv.FormatFloat(float64(n)/10, 'f', 1, 64) }
