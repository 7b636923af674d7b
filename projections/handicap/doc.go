// Package handicap works out course and playing handicaps, the strokes that a player receives on each hole, adjusted gross
// scores, score differentials, unofficial estimates of an index, and proposals for a course's stroke indexes.
//
// It implements parts of the Rules of Handicapping, edition 2024, as pure functions: no clock, no input or output, no
// randomness. All arithmetic is exact (integers and fractions of integers), because many results lie on a rounding edge
// which binary floating point misses. A half always goes up, toward plus infinity: 2.5 becomes 3 and -2.5 becomes -2.
//
// A plus handicap, written "+2.3" by golfers, is a negative number here. Every String method shows it with its plus.
//
// Six kinds of value do not mix: [Index] (tenths), [Course] (an exact fraction of strokes), [Unrounded] (the course
// handicap after the allowance, before rounding), [Playing] (whole strokes), [ExactDifferential] (an exact fraction of
// strokes) and [Differential] (tenths).
//
// Official indexes are issued by national associations alone. What [EstimateIndex] and [WorkOutRecord] yield is an
// [UnofficialEstimate], to be labelled so wherever it is shown. Two parts of the rules have no published formula, and none
// is made up here: expected differentials come from the association ([ExpectedTable]), and so does the playing conditions
// calculation.
package handicap
