// Package board is the live board of a club's competitions, kept in memory from
// the event log alone, so that it works while the read store is down.
//
// [Boards] follows the log and folds every competition with the deciders' own
// Evolve. A [Board] is how one competition stands at a position of the log: a
// pure function of its events, so the board of any past moment ([Boards.AsOf]),
// the board in another process and the board after a restart are the same.
// Players' names are the one thing the log does not say in the clear; they are
// looked up when a board is shown.
//
// # Publication
//
// A competition that somebody watches is published at once when its last
// publication is [Options.Interval] ago, else when that time is over; what
// happened in between goes out together. A publication is one [Frame], encoded
// once for all listeners, with only what changed since the frame before. A
// subscription starts where its listener already is, or with the whole board,
// and goes on with the following frames: one call, no gap, nothing twice. A
// listener that falls behind gets the whole board as it stands instead of a
// queue.
package board
