package store

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/jmoiron/sqlx"
)

// rowsPerStatement keeps a statement far below the parameter limits of both
// databases (SQLite 32,766, PostgreSQL 65,535).
const rowsPerStatement = 100

// Upsert writes rows by key, many a statement. Columns names every column in the
// order of the values; the table has a column "position", and a row that is
// there already is replaced only by one of a higher position, so that applying
// an event twice changes nothing. Every key may stand in rows once (PostgreSQL
// refuses a second one in the same statement).
func Upsert(ctx context.Context, tx *sqlx.Tx, table string, key, columns []string, rows [][]any) error {
	var set []string
	for _, c := range columns {
		if !slices.Contains(key, c) {
			set = append(set, c+" = excluded."+c)
		}
	}
	head := "INSERT INTO " + table + " (" + strings.Join(columns, ", ") + ") VALUES "
	tail := " ON CONFLICT (" + strings.Join(key, ", ") + ") DO UPDATE SET " + strings.Join(set, ", ") +
		" WHERE " + table + ".position < excluded.position"
	one := "(" + strings.TrimSuffix(strings.Repeat("?, ", len(columns)), ", ") + ")"
	for chunk := range slices.Chunk(rows, rowsPerStatement) {
		args := make([]any, 0, len(chunk)*len(columns))
		for _, r := range chunk {
			if len(r) != len(columns) {
				return fmt.Errorf("upsert into %s: %d values for %d columns", table, len(r), len(columns))
			}
			for _, v := range r {
				args = append(args, portable(v))
			}
		}
		query := head + strings.TrimSuffix(strings.Repeat(one+", ", len(chunk)), ", ") + tail
		if _, err := tx.ExecContext(ctx, tx.Rebind(query), args...); err != nil {
			return fmt.Errorf("upsert into %s: %w", table, err)
		}
	}
	return nil
}

// portable makes text acceptable to both databases.
func portable(v any) any {
	if s, ok := v.(string); ok {
		return Text(s)
	}
	return v
}

// Text makes text from outside fit for a row or a query: PostgreSQL takes
// neither a zero byte nor malformed UTF-8, and one such name must not stop a
// projection.
func Text(s string) string {
	return strings.ReplaceAll(strings.ToValidUTF8(s, "\uFFFD"), "\x00", "\uFFFD")
}
