// Package projections turns the event log into read models and keeps them up to
// date.
//
// A [Projection] is a pure fold plus the SQL that stores it. The [Runner] feeds
// all projections of a store from the log in batches. One transaction holds a
// batch's rows and the checkpoint, so a crash leaves either both or neither and
// every event counts once. Any number of processes may run the same projections
// on one PostgreSQL: a batch begins by moving the checkpoint from where it was
// believed to be; whoever finds it elsewhere has lost the race, reads it again
// and goes on from there.
//
// Read models are disposable. [Runner.Rebuild] drops and replays them,
// [Runner.Dump] writes them in a canonical form, and [Runner.Verify] compares
// them with a replay into an empty store.
//
// [Documents] is the projection that most read models need: one row a stream,
// with the folded state as JSON.
package projections
