package projections

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"iter"
	"strings"

	"github.com/jmoiron/sqlx"

	"marram.example/projections/store"
)

// Dump writes every table of every projection, and the checkpoints, as JSON
// lines: {"row": {...}, "table": "..."} with sorted names, ordered by table and
// key, all of one moment. Two dumps are the same to the byte when the read models
// are, whichever database they lie in and however they were built.
func (r *Runner) Dump(ctx context.Context, w io.Writer) error {
	out := bufio.NewWriter(w)
	err := r.opts.Store.Snapshot(ctx, func(tx *sqlx.Tx) error {
		for _, t := range r.tables() {
			for row, err := range readTable(ctx, r.opts.Store, tx, t) {
				if err != nil {
					return err
				}
				if _, err := out.Write(append(row.line, '\n')); err != nil {
					return fmt.Errorf("write dump: %w", err)
				}
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	if err := out.Flush(); err != nil {
		return fmt.Errorf("write dump: %w", err)
	}
	return nil
}

// tables lists what a dump holds, in its order. The checkpoints of projections
// that this runner does not have are none of its business, but there is one
// table for all, so they show.
func (r *Runner) tables() []Table {
	tables := []Table{{Name: checkpointTable, Key: []string{"name"}}}
	for _, p := range r.opts.Projections {
		tables = append(tables, p.Tables()...)
	}
	return tables
}

// dumped is one row in its canonical form.
type dumped struct {
	table string
	key   []string
	line  []byte
}

// readTable reads a table in the order of its key, compared as the bytes of its text.
func readTable(ctx context.Context, s *store.Store, tx *sqlx.Tx, t Table) iter.Seq2[dumped, error] {
	return func(yield func(dumped, error) bool) {
		if err := eachRow(ctx, s, tx, t, func(d dumped) bool { return yield(d, nil) }); err != nil {
			yield(dumped{}, fmt.Errorf("dump %s: %w", t.Name, err))
		}
	}
}

func eachRow(ctx context.Context, s *store.Store, tx *sqlx.Tx, t Table, each func(dumped) bool) (err error) {
	order := make([]string, 0, len(t.Key))
	for _, k := range t.Key {
		order = append(order, s.Bytewise("CAST("+k+" AS TEXT)"))
	}
	rows, err := tx.QueryxContext(ctx, "SELECT * FROM "+t.Name+" ORDER BY "+strings.Join(order, ", ")) //nolint:unqueryvet // a dump holds every column there is
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	types, err := rows.ColumnTypes()
	if err != nil {
		return err
	}
	for rows.Next() {
		values, err := rows.SliceScan()
		if err != nil {
			return err
		}
		row := make(map[string]any, len(values))
		for i, v := range values {
			if row[types[i].Name()], err = canonical(types[i].Name(), types[i].DatabaseTypeName(), v); err != nil {
				return err
			}
		}
		d := dumped{table: t.Name}
		for _, k := range t.Key {
			d.key = append(d.key, fmt.Sprint(row[k]))
		}
		if d.line, err = json.Marshal(map[string]any{"table": t.Name, "row": row}); err != nil {
			return err
		}
		if !each(d) {
			return nil
		}
	}
	return rows.Err()
}

// canonical gives a value one form whichever driver read it.
func canonical(column, kind string, v any) (any, error) {
	if b, ok := v.([]byte); ok {
		v = string(b)
	}
	if n, ok := v.(int64); ok && strings.HasPrefix(kind, "BOOL") {
		v = n != 0
	}
	text, ok := v.(string)
	if !ok || column != "doc" {
		return v, nil
	}
	// Decoded and encoded again, so that its names are sorted; numbers keep their digits.
	d := json.NewDecoder(bytes.NewReader([]byte(text)))
	d.UseNumber()
	var doc any
	if err := d.Decode(&doc); err != nil {
		return nil, fmt.Errorf("document: %w", err)
	}
	return doc, nil
}
