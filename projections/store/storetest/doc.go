// Package storetest gives tests a real database of the read models: a SQLite
// file in the test's folder, and a PostgreSQL database of its own on a temporary
// server made from Debian's binaries.
//
// A package that uses it calls Main from TestMain. MARRAM_TEST_DATABASE_URL names
// a running PostgreSQL to use instead; its user must be allowed to create
// databases and roles. Where PostgreSQL is missing the tests fail: half the
// promise would be untested.
package storetest
