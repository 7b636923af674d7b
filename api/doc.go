// Package api is the HTTP interface: routes under /api/v1 as openapi.yaml
// describes them, problem details for whatever is refused, health and metrics.
//
// A handler decodes, identifies, calls and encodes; [write] and [read] do what
// is common, so that no handler can forget it. Rules and permissions live in
// api/command, errors are mapped to HTTP in one table (problem.go), and the
// committee's pages use the same table.
//
// Competitions, courses and cards are read from the event log, so that an answer
// is never older than the last accepted command and works while the read store is
// down. Lists and names come from the read models; a query may carry
// min_sequence, the position that a write answered with, to wait for them.
package api
