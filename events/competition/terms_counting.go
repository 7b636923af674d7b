package competition

import "marram.example/events"

// CheckCounting says whether cards can be counted as the terms say: ranking,
// format, side, allowances, maximum, balls that count and ties. It is CheckTerms
// without the course and without what concerns play.
func CheckCounting(t events.Terms) error {
	if err := firstError(oneOf("ranking", t.Ranking, "net", "gross"), checkSide(t), checkTies(t)); err != nil {
		return err
	}
	for n := 1; n <= max(1, len(t.PerRound)); n++ {
		r := t.Round(n)
		if err := firstError(checkFormat(perRound(t, n), r), checkUnit(t, n)); err != nil {
			return err
		}
	}
	return nil
}
