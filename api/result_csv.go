package api

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"
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

// ResultTable writes a result as CSV. Cells of text cannot be taken for
// formulas; figures are plain numbers, plus handicaps with their mathematical
// sign (-2.3 is +2.3); dates are ISO 8601.
func ResultTable(res Result) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	rows := [][]string{{
		"competition", "date", "position", "name", "division", "tee", "handicap_index", "playing_handicap",
		"gross", "net", "points", "status", "net_position", "gross_position", "countback", "provisional",
	}}
	for _, x := range res.Rows {
		rows = append(rows, []string{
			cell(res.Name), res.Date, x.Positions[res.Ranking], cell(x.Name), cell(x.Division), cell(x.Tee),
			tenths(x.IndexTenths), strconv.Itoa(x.PlayingHandicap), number(x.Gross), number(x.Net), number(x.Points), x.Status,
			x.Positions["net"], x.Positions["gross"], cell(x.Countback), strconv.FormatBool(res.Provisional),
		})
	}
	if err := w.WriteAll(rows); err != nil {
		return nil, fmt.Errorf("write the result as CSV: %w", err)
	}
	return b.Bytes(), nil
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
