// Package scoring turns the scores on a card into a result: formats hole by hole, countback, positions, tee times.
//
// Everything is a pure function of its inputs, in whole strokes or points; shares of a handicap are compared as integers,
// never as rounded or floating values. A [Format] is one plain description in a file of its own; [FormatByName] finds it.
// The arithmetic behind a result is kept as data so that a page can show it.
package scoring
