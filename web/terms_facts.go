package web

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"marram.example/events"
	"marram.example/events/competition"
)

// termsFacts are the terms of a competition in words, so that a player can read
// what is played. Courses are names by id.
func termsFacts(s *competition.State, courses map[string]string) []fact {
	t := s.Terms
	var facts []fact
	if t.Practice {
		facts = append(facts, fact{"Practice", practiceWords})
	}
	facts = append(facts, fact{"What counts", countingWords(t)})
	if t.Side != "" {
		facts = append(facts, fact{"Who plays", sideWords(t)})
	}
	facts = append(facts, fact{"Handicap", handicapWords(t)}, fact{"Tees", []string{teesWords(t.Tees)}})
	if t.Match != nil {
		facts = append(facts, fact{"Matches", matchTermsWords(t.Match)})
	}
	if words := roundsWords(s, courses); len(words) > 0 {
		facts = append(facts, fact{"Rounds", words})
	}
	if t.Cut != nil {
		facts = append(facts, fact{"Cut", []string{cutWords(t)}})
	}
	facts = append(facts, fact{"Start", []string{startWords(t)}})
	if len(t.Divisions) > 0 {
		var words []string
		for _, d := range t.Divisions {
			words = append(words, fmt.Sprintf("%s: %s.", d.Name, divisionWords(d)))
		}
		if t.Players() > 1 {
			words = append(words, "A side goes by the mean of its players’ indexes.")
		}
		facts = append(facts, fact{"Divisions", words})
	}
	facts = append(facts, fact{"Ties", []string{tieWords(t)}})
	if len(t.Prizes) > 0 {
		facts = append(facts, fact{"Prizes", prizeWords(t)})
	}
	if t.FieldLimit > 0 {
		facts = append(facts, fact{"Field", []string{fmt.Sprintf("At most %s.", entriesText(t, t.FieldLimit))}})
	}
	return append(facts, excludedFacts(s)...)
}

// practiceWords say what a practice round is, and is not.
var practiceWords = []string{
	"These rounds are practice. Players who log their strokes may see what they show while they play.",
	"In a competition that waits until the card is returned: information about one’s strokes of the round must not be used during it (Rules of Golf 4.3a).",
	"A practice round is left out of the handicap record.",
}

// entriesText counts the entries of a field as what they are.
func entriesText(t *events.Terms, n int) string {
	if t != nil && t.Players() > 1 {
		return count(n, "side", "sides")
	}
	return count(n, "player", "players")
}

// countingWords say what a hole and a round come to.
func countingWords(t *events.Terms) []string {
	net := "strokes"
	if t.Ranking != "gross" {
		net = "strokes less strokes received"
	}
	switch t.Format {
	case events.Stableford:
		return []string{"Points a hole: two for " + net + " level with par, one more for every stroke better, one for a stroke over par, " +
			"none for more (Rules of Golf 21.1). A hole without a score has none. The most points win."}
	case events.ParBogey:
		return []string{"Each hole is won, tied or lost against par by " + net + " (Rules of Golf 21.3). A hole without a score is lost. " +
			"The most holes won less holes lost win."}
	case events.MaximumScore:
		return []string{
			"The fewest " + net + " win, with a maximum on every hole (Rules of Golf 21.2).",
			maximumWords(t.Maximum) + " A hole without a score counts it.",
		}
	case events.MatchPlay:
		return []string{"Hole by hole: the fewer " + net + " win it (Rules of Golf 3.2). Who leads by more holes than remain wins the match."}
	default:
		return []string{"The fewest " + net + " win (Rules of Golf 3.3). Every hole needs a score."}
	}
}

// maximumWords say how many strokes count on a hole at most.
func maximumWords(m events.Maximum) string {
	switch m.Kind {
	case events.NetDoubleBogey:
		return "The maximum is two over par and strokes received."
	case events.DoublePar:
		return "The maximum is twice par."
	default:
		return fmt.Sprintf("The maximum is %d strokes on every hole.", m.Strokes)
	}
}

// sideWords say who an entry is and which of its balls count.
func sideWords(t *events.Terms) []string {
	switch t.Side {
	case events.SideFourBall:
		return []string{"Two players a side, each with a ball of their own; the better score of the two counts on each hole (Rules of Golf 23)."}
	case events.SideFoursomes:
		return []string{"Two players a side with one ball: they drive in turn from the tees and strike in turn on each hole (Rules of Golf 22)."}
	case events.SideGreensomes:
		return []string{"Two players a side: both drive, one ball is chosen and struck in turn from there (Committee Procedures 9B)."}
	case events.SideChapman:
		return []string{"Two players a side: both drive, each plays the other’s ball, then one is chosen and struck in turn (Committee Procedures 9B)."}
	case events.SideScramble:
		return []string{fmt.Sprintf("%d players a side: all play from the chosen spot, until the ball is holed (Committee Procedures 9C).", t.Players())}
	case events.SideAggregate:
		if t.CountBy == "round" {
			return []string{fmt.Sprintf("%d players a side; the round totals of all of them are added up.", t.Players())}
		}
		return []string{fmt.Sprintf("%d players a side; the scores of all of them are added up on each hole.", t.Players())}
	case events.SideBestOf:
		return bestOfWords(t)
	default:
		return nil
	}
}

func bestOfWords(t *events.Terms) []string {
	who := fmt.Sprintf("%d players a side, each with a ball of their own", t.Players())
	switch {
	case len(t.Count) == 1 && t.CountBy == "round":
		return []string{fmt.Sprintf("%s; the best %s of the side count.", who, count(t.Count[0], "round total", "round totals"))}
	case len(t.Count) == 1:
		return []string{fmt.Sprintf("%s; the best %s on each hole (Committee Procedures 9D).", who, count(t.Count[0], "ball counts", "balls count"))}
	}
	byCount := map[int][]int{}
	for i, n := range t.Count {
		if i < len(t.Holes) {
			byCount[n] = append(byCount[n], t.Holes[i])
		}
	}
	out := []string{who + "; how many of the best balls count differs by hole (Committee Procedures 9D)."}
	for n := 1; n <= t.Players(); n++ {
		if holes := byCount[n]; len(holes) > 0 {
			out = append(out, fmt.Sprintf("%s on %s.", count(n, "ball", "balls"), holeList(holes)))
		}
	}
	return out
}

// allowanceWords say which part of the course handicaps is played off.
func allowanceWords(t *events.Terms) string {
	words := fmt.Sprintf("%d%% of the course handicap", t.AllowancePercent)
	switch n := len(t.SideAllowances); {
	case n > 1 && allSame(t.SideAllowances):
		words = fmt.Sprintf("%d%% of the course handicaps of all players, added up", t.SideAllowances[0])
	case n > 1:
		parts := make([]string, n)
		for i, p := range t.SideAllowances {
			parts[i] = fmt.Sprintf("%d%%", p)
		}
		words = "The course handicaps of the players, the lowest first, by " + strings.Join(parts[:n-1], ", ") + " and " + parts[n-1] + ", added up"
	case t.Players() > 1:
		words = fmt.Sprintf("%d%% of each player’s course handicap", t.AllowancePercent)
	}
	if t.AllowanceSource != "" && t.AllowanceSource != "committee" {
		return words + " (" + t.AllowanceSource + ")."
	}
	return words + ", as the committee set it."
}

func allSame(ns []int) bool {
	return !slices.ContainsFunc(ns, func(n int) bool { return n != ns[0] })
}

func handicapWords(t *events.Terms) []string {
	words := []string{allowanceWords(t)}
	if t.Ranking == "gross" && t.Format != events.MatchPlay {
		words = append(words, "The competition is decided without strokes received; they count in the net ranking beside it.")
	}
	if t.MaximumIndexTenths != nil {
		words = append(words, fmt.Sprintf("An index above %s counts as %s.", handicapText(*t.MaximumIndexTenths), handicapText(*t.MaximumIndexTenths)))
	}
	if t.ParDifference && len(t.Tees) > 1 {
		words = append(words, "Who plays a tee with a higher par than the lowest gets the difference added (Rules of Handicapping 6.2b).")
	}
	if t.LeaveOutPar {
		words = append(words, "Course rating less par is left out of the course handicap.")
	}
	return words
}

func teesWords(tees []string) string {
	if len(tees) == 0 {
		return "Not stated."
	}
	if len(tees) == 1 {
		return tees[0] + "."
	}
	return strings.Join(tees[:len(tees)-1], ", ") + " or " + tees[len(tees)-1] + "."
}

// matchTermsWords say how matches hang together and when one is over.
func matchTermsWords(m *events.MatchTerms) []string {
	var words []string
	switch m.Bracket {
	case competition.Knockout:
		words = append(words, "A knockout: who wins a match plays on.")
	case competition.RoundRobin:
		words = append(words, "A round robin: everybody meets everybody once; a win is one point, a tie a half.")
	default:
		words = append(words, "Each match is for itself.")
	}
	words = append(words, fmt.Sprintf("A match is over %d holes.", m.Length))
	if m.ExtraHoles {
		words = append(words, "A tied match goes on until a hole is won (Rules of Golf 3.2a(4)).")
	} else {
		words = append(words, "A tied match stays a tie (Rules of Golf 3.2a(4)).")
	}
	if m.FullNet {
		words = append(words, "Everybody receives their whole playing handicap.")
	} else {
		words = append(words, "The lowest playing handicap plays without strokes; the others receive the difference (Rules of Handicapping, Appendix C).")
	}
	return words
}

// roundsWords say what differs from round to round; nothing where there is one.
func roundsWords(s *competition.State, courses map[string]string) []string {
	t := s.Terms
	if t.Match != nil || t.Rounds < 2 {
		return nil
	}
	if len(t.PerRound) == 0 {
		return []string{fmt.Sprintf("%d rounds, all alike; their totals are added up.", t.Rounds)}
	}
	words := []string{fmt.Sprintf("%d rounds; their totals are added up.", t.Rounds)}
	for n := 1; n <= len(t.PerRound); n++ {
		words = append(words, roundWords(s, n, courses))
	}
	return words
}

// roundWords are one round in a sentence: its day and what is its own.
func roundWords(s *competition.State, n int, courses map[string]string) string {
	t, own := s.Terms.Round(n), s.Terms.PerRound[n-1]
	parts := []string{dayText(s.Terms.DateOf(n, s.Date))}
	if own.FirstTime != "" {
		parts = append(parts, "from "+own.FirstTime)
	}
	if own.Format != "" || own.Side != "" || own.Maximum != nil || len(own.Count) > 0 {
		parts = append(parts, gameWords(&t))
	}
	if len(own.Holes) > 0 {
		parts = append(parts, holesText(own.Holes))
	}
	if name := courses[own.CourseID]; own.CourseID != "" && name != "" {
		parts = append(parts, "at "+name)
	}
	if own.AllowancePercent != nil {
		parts = append(parts, fmt.Sprintf("%d%% of the course handicap", *own.AllowancePercent))
	}
	if len(own.SideAllowances) > 0 {
		percents := make([]string, len(own.SideAllowances))
		for i, p := range own.SideAllowances {
			percents[i] = strconv.Itoa(p) + "%"
		}
		parts = append(parts, strings.Join(percents, " and ")+" of the course handicaps")
	}
	if own.Maximum != nil {
		parts = append(parts, strings.ToLower(strings.TrimSuffix(maximumWords(*own.Maximum), ".")))
	}
	return fmt.Sprintf("Round %d: %s.", n, strings.Join(parts, ", "))
}

// cutWords say who plays on.
func cutWords(t *events.Terms) string {
	c := t.Cut
	var who []string
	if c.Places > 0 {
		line := "the first " + entriesText(t, c.Places)
		if c.TiesIn {
			line += " and whoever is level with the last of them"
		} else {
			line += ", and nobody on a shared last place that makes it more"
		}
		who = append(who, line)
	}
	if c.Within != nil {
		unit := map[string]string{"points": "points", "holes": "holes"}[competition.Unit(t.Format)]
		if unit == "" {
			unit = "strokes"
		}
		who = append(who, fmt.Sprintf("everybody within %d %s of the lead", *c.Within, unit))
	}
	return fmt.Sprintf("After round %d these play on: %s.", c.AfterRound, strings.Join(who, "; also "))
}

func startWords(t *events.Terms) string {
	s := t.Start
	groups := fmt.Sprintf("groups of %d", s.GroupSize)
	if t.Match != nil {
		groups = "a group for each match"
	}
	switch s.Kind {
	case "shotgun":
		return fmt.Sprintf("All groups at once at %s, each on its own hole; %s.", s.FirstTime, groups)
	case "two_tee":
		return fmt.Sprintf("From holes 1 and 10 from %s, every %d minutes; %s.", s.FirstTime, s.IntervalMinutes, groups)
	default:
		return fmt.Sprintf("From %s, every %d minutes; %s.", s.FirstTime, s.IntervalMinutes, groups)
	}
}

func prizeWords(t *events.Terms) []string {
	var words []string
	for _, p := range t.Prizes {
		line := p.Name + ": " + strings.ToLower(rankingWords(p.Ranking))
		if p.Division != "" {
			line += ", " + p.Division
		}
		words = append(words, fmt.Sprintf("%s, %s.", line, count(p.Places, "place", "places")))
	}
	if t.OnePrizeAPlayer {
		words = append(words, "One prize each: the first that falls to them, in this order.")
	}
	return words
}

// excludedFacts say what the committee changed on the day: holes that count for
// nobody and the playing conditions that the association published.
func excludedFacts(s *competition.State) []fact {
	var words []string
	for _, x := range s.Excluded {
		words = append(words, fmt.Sprintf("Hole %d of round %d counts for nobody: %s", x.Hole, x.Round, sentence(x.Reason)))
	}
	for n := 1; n <= s.LastRound(); n++ {
		if k, ok := s.Conditions[n]; ok {
			words = append(words, fmt.Sprintf("Round %d: playing conditions adjustment %s, as published by the association (%s). It changes handicap records, not this result.",
				n, signedText(k.Adjustment), k.Source))
		}
	}
	if words == nil {
		return nil
	}
	return []fact{{"On the day", words}}
}
