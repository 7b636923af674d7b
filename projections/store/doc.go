// Package store opens the database of the read models, SQLite or PostgreSQL,
// and brings its schema up to date. Everything in it can be rebuilt from the
// event log; nothing that cannot may be kept here.
//
// One code path serves both databases: sqlx with "?" and Rebind, transactions
// through Tx, upserts through Upsert. What differs between them is in this
// package and nowhere else.
package store
