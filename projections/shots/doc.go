// Package shots analyses a round stroke by stroke: strokes gained against a
// baseline, patterns of misses, strike and outcome, routine, and the classic
// measures. Everything is a pure function of the strokes given: no clock, no I/O,
// and no randomness but from a seed that is stored with the result.
package shots
