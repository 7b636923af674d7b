// Package handicap works out course and playing handicaps and the strokes that a player receives on each hole.
//
// It implements parts of the Rules of Handicapping, edition 2024, as pure functions: no clock, no input or output, no
// randomness. All arithmetic is exact (integers and fractions of integers), because many results lie on a rounding edge
// which binary floating point misses. A half always goes up, toward plus infinity: 2.5 becomes 3 and -2.5 becomes -2.
//
// A plus handicap, written "+2.3" by golfers, is a negative number here. Every String method shows it with its plus.
//
// Four kinds of value do not mix: [Index] (tenths), [Course] (an exact fraction of strokes), [Unrounded] (the course
// handicap after the allowance, before rounding) and [Playing] (whole strokes). Official indexes are issued by national
// associations alone: nothing here computes one.
package handicap
