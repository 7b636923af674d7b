package shots

// Definitions says of each classic measure what it counts, and what it is known to overlook (the flaws of
// fairways, scrambles and putts as reported in golfweek.usatoday.com, 10 September 2018; the others follow from the counting). That
// a sand save counts, whatever the score, is from memory; that greenside means within 50 yards is a convention of ours.
func Definitions() []Definition {
	return []Definition{
		{"fairways_hit",
			"holes of par 4 or more; hit when the first stroke, without penalty, comes to rest on the fairway or the green, with any club",
			"a ball in the first cut counts like one out of bounds"},
		{"greens",
			"on the green, or in, with two strokes of par left or more; penalties count",
			"a ball on the fringe beside the hole counts as a miss, one at the far end of the green as a hit"},
		{"scrambles",
			"par or better on a hole whose green was missed in regulation",
			"it ignores how hard the recovery was"},
		{"sand_saves",
			"the first stroke from sand within 50 yards of the hole; saved when it or the next goes in, without penalty or a second bunker stroke, whatever the score",
			"it mixes the bunker stroke with the putt after it"},
		{"up_and_down",
			"the first stroke around the green, sand included; done when it or the next goes in, without penalty or a second bunker stroke",
			"it ignores how hard the stroke was"},
		{"bounce_back",
			"a hole over par followed by another; done when that one is under par, in the order of play",
			"there are few chances in a round"},
		{"three_putt_free",
			"holes with a putt; free of three-putts when there were one or two",
			"a long first putt counts like a short one"},
		{"putts",
			"strokes from the green, whatever the club; a putter from the fringe is no putt",
			"putts in a round fall when greens are missed and the ball is chipped close"},
		{"putts_per_green",
			"putts on holes whose green was hit in regulation, by the number of those holes; a ball holed from off such a green has none",
			"it still depends on how near the approach finished"},
		{"proximity",
			"median distance left by approach strokes, without penalty, that finish on the green or within 30 yards of the hole",
			"strokes that finish elsewhere are left out"},
		{"penalties", "penalty strokes, with the stroke that incurred them", ""},
		{"averages", "mean score on finished holes of a par", ""},
	}
}
