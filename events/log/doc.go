// Package log is the event log: append, load, replay and follow on JetStream,
// in the process or on a remote NATS, and load-decide-append in one call.
//
// # One stream
//
// Every event of a club is one message of one JetStream stream, on the subject
// marram.<club>.<aggregate>.<competition or ->.<id>. The subject is the stream
// of one aggregate; its place there is an [events.Sequence]. The place in the
// whole log is an [events.Position], which is the stream sequence of JetStream.
// The stream denies deletes and purges, so positions run from 1 to the last
// without a gap; [Log.Verify] reads them all, and every reader stops loudly at
// a gap.
//
// # One call
//
// [Log.Execute] loads the aggregates that a command touches, lets the pure
// deciders decide, and appends what they decided: all of it or nothing. The
// append carries the last position of the subject as expectation, so two
// writers never both win. Who lost the race reads again and decides again,
// here and nowhere else.
//
// # Repeats
//
// A command id counts once per aggregate, for ever: the ids are in the headers
// of the events, and so in every loaded aggregate. JetStream's own window of
// known message ids (two minutes) only shortens the way in a cluster.
//
// # On disk
//
// With the embedded server every acknowledgement follows an fsync. What waits
// while one fsync runs is written together as one atomic batch (group commit);
// there is no timer, so a lone writer never waits for company. On a remote NATS
// Raft groups by itself and each command is published alone.
package log
