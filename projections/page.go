package projections

import (
	"encoding/base64"
	"encoding/json"

	"marram.example/events"
	"marram.example/projections/store"
)

// MaxPage is the most rows that a query returns at once.
const MaxPage = 200

// PageSize brings a wanted number of rows between 1 and MaxPage; 0 or less means MaxPage.
func PageSize(limit int) int {
	if limit <= 0 || limit > MaxPage {
		return MaxPage
	}
	return limit
}

// Cursor is an opaque mark of the row that has these values: a page that begins
// after it neither repeats nor misses a row when rows are added.
func Cursor(values ...string) string {
	b, err := json.Marshal(values)
	if err != nil {
		panic(err) // a slice of strings always has JSON
	}
	return base64.RawURLEncoding.EncodeToString(b)
}

// ParseCursor is the inverse of Cursor for n values. A malformed one is an
// invalid *events.Error of the field "cursor".
func ParseCursor(cursor string, n int) ([]string, error) {
	bad := events.Invalid("cursor", "malformed", "this is not a cursor that an earlier page gave")
	b, err := base64.RawURLEncoding.DecodeString(cursor)
	if err != nil {
		return nil, bad
	}
	var values []string
	if err := json.Unmarshal(b, &values); err != nil || len(values) != n {
		return nil, bad
	}
	for i := range values {
		values[i] = store.Text(values[i])
	}
	return values, nil
}
