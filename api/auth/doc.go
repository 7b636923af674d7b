// Package auth says who a request comes from: an account of the committee by a
// session, or a player or marker by a card link. It keeps accounts and sessions
// in buckets of the event log, never in the read store, so that signing in works
// whenever scores can be accepted.
//
// What is stored opens nothing by itself: passwords are hashed with argon2id,
// the tokens of sessions, card links and the setup link with SHA-256.
//
// A browser holds its session, and each card that it opened, in cookies that
// scripts cannot read. A program sends the token of a session or of a card link
// in the header Authorization: Bearer; then cookies do not count, and no other
// site can make a browser send that header, so such requests are exempt from the
// cross-site check.
package auth
