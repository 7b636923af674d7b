package competition

import "marram.example/events"

// checkTies makes sure that the way of breaking ties is stated in full
// (Committee Procedures 5A(6)).
func checkTies(t events.Terms) error {
	return firstError(
		oneOf("tie_method", t.TieMethod, "countback", "shared", "lot", "play_off"),
		oneOf("tie_share", t.TieShare, "exact_fraction", "rounded_half_up", "as_allocated"),
		optional("tie_windows", t.TieWindows, "first_nine", "hole_by_hole"),
		optional("tie_holes", t.TieHoles, "by_number", "by_play"),
		optional("tie_handicap", t.TieHandicap, "playing", "course"),
		optional("tie_then", t.TieThen, "shared", "lot", "play_off"),
	)
}

// optional is oneOf where empty stands for the first.
func optional(field, value string, allowed ...string) error {
	if value == "" {
		return nil
	}
	return oneOf(field, value, allowed...)
}
