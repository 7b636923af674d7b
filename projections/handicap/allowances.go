package handicap

import "slices"

// Recommended is one row of the published table of handicap allowances. Percents has one entry for an individual or for
// every player alike, and one entry a player of the side, lowest handicap first, where handicaps are combined. Count and
// Of are for "best Count of Of" and for the size of a side, else 0.
type Recommended struct {
	Format   string      `json:"format"`
	Count    int         `json:"count,omitempty"`
	Of       int         `json:"of,omitempty"`
	Percents []Allowance `json:"percents"`
	Source   string      `json:"source"`
	Year     int         `json:"year"`
}

// Allowances returns the table of Appendix C of the Rules of Handicapping, edition 2024. These are recommendations: the
// national association may set others, and the committee states the allowance in the terms of the competition.
func Allowances() []Recommended {
	const source, year = "Rules of Handicapping, Appendix C", 2024
	row := func(format string, count, of int, percents ...int) Recommended {
		allowances := make([]Allowance, len(percents))
		for i, p := range percents {
			allowances[i] = Percent(p)
		}
		return Recommended{Format: format, Count: count, Of: of, Percents: allowances, Source: source, Year: year}
	}
	return []Recommended{
		row("stroke_play", 0, 0, 95),
		row("stableford", 0, 0, 95),
		row("par_bogey", 0, 0, 95),
		row("maximum_score", 0, 0, 95),
		row("four_ball_stroke_play", 0, 2, 85),
		row("four_ball_stableford", 0, 2, 85),
		row("four_ball_par_bogey", 0, 2, 90),
		row("match", 0, 0, 100),
		row("four_ball_match", 0, 2, 90),
		row("foursomes", 0, 2, 50, 50),
		row("greensomes", 0, 2, 60, 40),
		row("chapman", 0, 2, 60, 40),
		row("scramble", 0, 2, 35, 15),
		row("scramble", 0, 3, 30, 20, 10),
		row("scramble", 0, 4, 25, 20, 15, 10),
		row("best_of_stroke_play", 1, 4, 75),
		row("best_of_stroke_play", 2, 4, 85),
		row("best_of_stroke_play", 3, 4, 100),
		row("best_of_stroke_play", 4, 4, 100),
		row("total_of_two_match", 0, 2, 100), // total score of 2, match play
		row("best_of_par_bogey", 1, 4, 75),
		row("best_of_par_bogey", 2, 4, 80),
		row("best_of_par_bogey", 3, 4, 90),
		row("best_of_par_bogey", 4, 4, 100),
	}
}

// AllowanceFor finds the recommendation for a format. count and of are 0 unless the format comes in several sizes, as
// scramble and best-of do. An unknown format (field "format") and a size without a published recommendation (field
// "of") are refused with an [InputError].
func AllowanceFor(format string, count, of int) (Recommended, error) {
	const rule = "Rules of Handicapping 2024, Appendix C"
	rows := slices.DeleteFunc(Allowances(), func(r Recommended) bool { return r.Format != format })
	if len(rows) == 0 {
		return Recommended{}, refuse("format", rule, "%q is not in the table of allowances", format)
	}
	single := len(rows) == 1
	for _, r := range rows {
		if (r.Count == count) && (r.Of == of || single && of == 0) {
			return r, nil
		}
	}
	return Recommended{}, refuse("of", rule, "there is no recommendation for %q with count %d of %d", format, count, of)
}
