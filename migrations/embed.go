// Package migrations holds the schema of the read models: one set of goose SQL
// files that both SQLite and PostgreSQL accept.
//
// Columns are TEXT, BIGINT, SMALLINT or BOOLEAN and nothing else: those mean the
// same in both databases. Times stand as RFC 3339 text in UTC inside documents.
// Everything stored here can be rebuilt from the event log, so a migration may
// drop a table as long as the projection that fills it gets a new version.
package migrations

import "embed"

// FS holds the migrations, in its root.
//
//go:embed *.sql
var FS embed.FS
