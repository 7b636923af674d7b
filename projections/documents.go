package projections

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/jmoiron/sqlx"

	"marram.example/events"
	"marram.example/projections/store"
)

// Meta says where a document comes from.
type Meta struct {
	ID       string          `json:"id"`       // of the aggregate
	Stream   string          `json:"stream"`   // subject of its stream
	Sequence events.Sequence `json:"sequence"` // of the last event folded: the version of the resource
	Position events.Position `json:"position"` // of that event
	EventID  string          `json:"event_id"` // of that event
	Created  time.Time       `json:"created"`  // time of the first event, UTC
	Updated  time.Time       `json:"updated"`  // time of the last, UTC
}

// Document is the folded state of one stream. As JSON it is one object with the
// names of Meta and "state".
type Document[S any] struct {
	Meta
	State *S `json:"state"`
}

// Column is a column beside the document, to select and order by.
type Column[S any] struct {
	Name  string
	Value func(*Document[S]) any // string, int64 or bool
}

// Spec says how the streams of one aggregate are kept as documents. The table is
// named after the projection and has the columns id, position and doc beside
// those named here.
type Spec[S any] struct {
	Name      string
	Version   int
	Aggregate events.Aggregate
	New       func() *S
	Evolve    func(*S, events.Event)
	Columns   []Column[S]

	// Finish completes a document after its events were folded; nil for nothing.
	Finish func(context.Context, *Document[S]) error
}

// Documents is the projection that keeps one document a stream, and its queries.
// The state's JSON must hold all of the state: it is what the fold goes on from.
type Documents[S any] struct {
	spec    Spec[S]
	store   *store.Store
	columns []string
}

// NewDocuments returns the projection that a spec describes.
func NewDocuments[S any](s *store.Store, spec Spec[S]) *Documents[S] {
	columns := []string{"id", "position", "doc"}
	for _, c := range spec.Columns {
		columns = append(columns, c.Name)
	}
	return &Documents[S]{spec: spec, store: s, columns: columns}
}

// Name implements Projection.
func (d *Documents[S]) Name() string { return d.spec.Name }

// Version implements Projection.
func (d *Documents[S]) Version() int { return d.spec.Version }

// Tables implements Projection.
func (d *Documents[S]) Tables() []Table { return []Table{{Name: d.spec.Name, Key: []string{"id"}}} }

// Apply implements Projection: it loads the documents that the batch touches,
// folds in memory, and writes each once.
func (d *Documents[S]) Apply(ctx context.Context, tx *sqlx.Tx, batch []events.Recorded) error {
	touched := map[string][]events.Recorded{}
	for _, e := range batch {
		if e.Stream.Aggregate == d.spec.Aggregate {
			touched[e.Stream.ID] = append(touched[e.Stream.ID], e)
		}
	}
	if len(touched) == 0 {
		return nil
	}
	ids := make([]string, 0, len(touched))
	for id := range touched {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	docs, err := d.load(ctx, tx, ids)
	if err != nil {
		return err
	}
	rows := make([][]any, 0, len(ids))
	for _, id := range ids {
		row, err := d.fold(ctx, docs[id], touched[id])
		if err != nil {
			return err
		}
		rows = append(rows, row)
	}
	return store.Upsert(ctx, tx, d.spec.Name, []string{"id"}, d.columns, rows)
}

// idsPerQuery keeps an IN list far below the parameter limits.
const idsPerQuery = 500

func (d *Documents[S]) load(ctx context.Context, tx *sqlx.Tx, ids []string) (map[string]*Document[S], error) {
	docs := make(map[string]*Document[S], len(ids))
	for some := range slices.Chunk(ids, idsPerQuery) {
		query, args, err := sqlx.In("SELECT doc FROM "+d.spec.Name+" WHERE id IN (?)", some)
		if err != nil {
			return nil, fmt.Errorf("load %s: %w", d.spec.Name, err)
		}
		var stored []string
		if err := tx.SelectContext(ctx, &stored, tx.Rebind(query), args...); err != nil {
			return nil, fmt.Errorf("load %s: %w", d.spec.Name, err)
		}
		for _, s := range stored {
			doc, err := d.decode(s)
			if err != nil {
				return nil, err
			}
			docs[doc.ID] = doc
		}
	}
	return docs, nil
}

func (d *Documents[S]) decode(stored string) (*Document[S], error) {
	doc := &Document[S]{State: d.spec.New()}
	if err := json.Unmarshal([]byte(stored), doc); err != nil {
		return nil, fmt.Errorf("read %s: %w", d.spec.Name, err)
	}
	return doc, nil
}

// fold adds a stream's new events to its document, which may be nil, and returns
// the row to write.
func (d *Documents[S]) fold(ctx context.Context, doc *Document[S], added []events.Recorded) ([]any, error) {
	if doc == nil {
		first := added[0]
		doc = &Document[S]{Meta: Meta{ID: first.Stream.ID, Stream: first.Stream.Subject(), Created: first.Time.UTC()}, State: d.spec.New()}
	}
	for _, e := range added {
		if e.Position <= doc.Position {
			continue
		}
		if s := e.Stream.Subject(); s != doc.Stream || e.Sequence != doc.Sequence+1 {
			return nil, fmt.Errorf("%w: sequence %d of %s at position %d follows sequence %d of %s", ErrGap, e.Sequence, s, e.Position, doc.Sequence, doc.Stream)
		}
		d.spec.Evolve(doc.State, e.Event)
		doc.Sequence, doc.Position, doc.EventID, doc.Updated = e.Sequence, e.Position, e.ID, e.Time.UTC()
	}
	if d.spec.Finish != nil {
		if err := d.spec.Finish(ctx, doc); err != nil {
			return nil, fmt.Errorf("finish %s: %w", doc.Stream, err)
		}
	}
	text, err := json.Marshal(doc)
	if err != nil {
		return nil, fmt.Errorf("write %s: %w", doc.Stream, err)
	}
	row := []any{doc.ID, int64(doc.Position), string(text)}
	for _, c := range d.spec.Columns {
		row = append(row, c.Value(doc))
	}
	return row, nil
}

// Get reads one document, or a not-found *events.Error that names field.
func (d *Documents[S]) Get(ctx context.Context, field, id string) (*Document[S], error) {
	missing := events.NotFound(field, "there is no "+string(d.spec.Aggregate)+" with this id")
	if !events.ValidToken(id) {
		return nil, missing
	}
	db := d.store.DB()
	var stored string
	err := db.GetContext(ctx, &stored, db.Rebind("SELECT doc FROM "+d.spec.Name+" WHERE id = ?"), id)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, missing
	}
	if err != nil {
		return nil, fmt.Errorf("get %s: %w", d.spec.Name, err)
	}
	return d.decode(stored)
}

// Select reads the documents that the end of a query chooses: everything from
// WHERE on, with "?" for the arguments.
func (d *Documents[S]) Select(ctx context.Context, where string, args ...any) ([]Document[S], error) {
	db := d.store.DB()
	var stored []string
	if err := db.SelectContext(ctx, &stored, db.Rebind("SELECT doc FROM "+d.spec.Name+" "+strings.TrimSpace(where)), args...); err != nil {
		return nil, fmt.Errorf("select %s: %w", d.spec.Name, err)
	}
	docs := make([]Document[S], 0, len(stored))
	for _, s := range stored {
		doc, err := d.decode(s)
		if err != nil {
			return nil, err
		}
		docs = append(docs, *doc)
	}
	return docs, nil
}
