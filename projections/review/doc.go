// Package review composes what a player is told about a round, or about several:
// three sentences, what to practise first, and the figures behind every word. The
// page and the API show the same value. It is pure, and random only from a seed
// that is stored with the result.
//
// Whether a review may be shown at all (Rules of Golf 4.3a) is decided by whoever
// asks for it: nothing here knows whether a card has been returned.
package review
