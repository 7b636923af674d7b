// Package scoring turns the scores on a card into a result: formats hole by hole, sides, countback, positions, rounds,
// cuts, tee times.
//
// Everything is a pure function of its inputs, in whole strokes, points or holes; shares of a handicap are compared as
// integers, never as rounded or floating values. A [Format] says how a ball's holes count and a [Side] whose balls make
// a result; each is one plain description in a file of its own, and they combine freely: [ScoreSide] gives a side a
// [Result] like a player's, so that ranking and countback know no difference. The arithmetic behind a result is kept as
// data so that a page can show it.
package scoring
