package review

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"marram.example/projections/shots"
)

const (
	threeSentences = 3
	longest        = 160 // characters of a sentence
)

// candidate is a sentence that may be one of the three.
type candidate struct {
	Sentence
	topic int // which of equally sure ones comes first
}

// Topics, in the order in which equally sure sentences come.
const (
	topicUsual = iota
	topicPattern
	topicSquare
	topicGain
	topicField
	topicTrend
	topicPenalties
	topicThreePutts
	topicHole
	topicCommitment
	topicTotal
	topicPars
	topicBounceBack
	topicScores
	topicLog // what there is to go by, when there is nothing else to say
)

// sentences chooses the three.
//
// First comes the part of the game that lost most, of phases and areas, against what
// advice compares with: one that is clear, then one that is likely, and otherwise
// whichever phase or area lost most, with the word for how little that says. Then whatever else is surest (clear, likely, counted, a hint
// only, too few to say), and of equally sure ones in the order of the topics, no topic
// and no figure's item twice. A round with nothing but scores is told from scores.
func (c *composer) sentences() {
	c.out.Sentences = []Sentence{}
	if c.out.Title.Scored == 0 && !c.out.Title.Logged {
		return
	}
	all := slices.Concat(c.usualSentences(), c.patternSentences(), c.squareSentence(), c.gainSentence(), c.fieldSentences(),
		c.trendSentence(), c.countedSentences(), c.commitmentSentence(), c.scoreSentences(), c.logSentences())
	slices.SortStableFunc(all, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(a.topic/topicLog, b.topic/topicLog), cmp.Compare(sureness(a.Sure), sureness(b.Sure)), cmp.Compare(a.topic, b.topic))
	})
	all = slices.Concat(c.lossSentence(), all)
	topics := map[int]bool{}
	items := map[string]bool{}
	for _, s := range all {
		item := s.Figure + " " + s.Item
		if len(c.out.Sentences) == threeSentences || topics[s.topic] && s.topic < topicLog || s.Item != "" && items[item] {
			continue
		}
		topics[s.topic], items[item] = true, true
		c.out.Sentences = append(c.out.Sentences, s.Sentence)
	}
}

func say(topic int, figure, item, sure string, words ...string) []candidate {
	return []candidate{{Sentence{Words: fit(words...), Figure: figure, Item: item, Sure: sure}, topic}}
}

// fit is the first text that is short enough; the last one must be.
func fit(texts ...string) string {
	for _, t := range texts {
		if utf8.RuneCountInString(t) <= longest {
			return t
		}
	}
	return texts[len(texts)-1]
}

// part of the game that a sentence may name.
type named struct {
	GainLine
	subject string
	figure  string
	area    bool
}

// parts are the phases and areas against what advice compares with.
func (c *composer) named() []named {
	var out []named
	figure := FigurePhases
	phases := c.out.Phases
	if !c.same {
		figure, phases = FigureAreas, c.work(phaseList(advised), c.own)
	}
	for _, l := range phases {
		if l.N > 0 {
			out = append(out, named{l, phaseSubject(shots.Phase(l.Key)), figure, false})
		}
	}
	for _, l := range c.out.Areas {
		out = append(out, named{l, l.Label, FigureAreas, true})
	}
	return out
}

// aRound says that a figure is one of several rounds.
func (c *composer) aRound() string {
	if c.one || len(c.own) == 1 {
		return ""
	}
	return " a round"
}

func basis(rounds int) string {
	if rounds == 1 {
		return "one round"
	}
	return fmt.Sprintf("%d rounds", rounds)
}

// least is the smallest gain or loss, in strokes a round, that a sentence is made of.
const least = 0.1

func (c *composer) lossSentence() []candidate {
	return c.mostSentence(-1)
}

// gainSentence names the part that gained most, which is a sentence like any other.
func (c *composer) gainSentence() []candidate {
	return c.mostSentence(1)
}

// mostSentence is about the part that lost most (sign -1) or gained most (1).
func (c *composer) mostSentence(sign float64) []candidate {
	parts := slices.DeleteFunc(c.named(), func(n named) bool {
		return sign*n.PerRound < least || n.Sure == shots.SureTooFew && (sign > 0 || n.area)
	})
	if len(parts) == 0 {
		return nil
	}
	rank := func(n named) int { return min(sureness(n.Sure), sureness(shots.SureHint)) }
	slices.SortStableFunc(parts, func(a, b named) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(-sign*a.PerRound, -sign*b.PerRound))
	})
	best, most := parts[0], ""
	verb, interval := "gained", gainText(best.shown())
	if sign < 0 {
		verb, interval = "cost", lossText(best.shown())
	}
	if !best.area {
		if main := c.mainArea(best, sign); main != "" {
			most = ", most of it " + main
		}
	}
	head := fmt.Sprintf("%s %s you %s%s", best.subject, verb, amountText(best.PerRound), c.aRound())
	more := ""
	if c.mostOf(best, sign) {
		more = ", more than anything else"
	}
	hedge := ". " + hedged(best.Sure, basis(best.Rounds), interval)
	if best.Sure == shots.SureTooFew {
		hedge = ". Too few strokes to say whether that was luck."
	}
	against := " " + c.against
	topic := topicGain
	if sign < 0 {
		topic = -1
	}
	return say(topic, best.figure, best.Key, best.Sure, head+against+more+most+hedge, head+against+most+hedge, head+against+more+hedge, head+more+hedge, head+hedge)
}

// mainArea is the area that holds at least two thirds of what a phase lost or gained,
// unless it is all of the phase.
func (c *composer) mainArea(phase named, sign float64) string {
	for _, l := range c.out.Areas {
		a := areas[slices.IndexFunc(areas, func(a area) bool { return a.key == l.Key })]
		if string(a.phase) == phase.Key && l.N < phase.N && sign*l.Total >= 2.0/3*sign*phase.Total {
			return a.strokes(c.in.Units)
		}
	}
	return ""
}

// mostOf reports whether no other part gained or lost more: of the phases, nor of the
// areas that stand below them on the page, but for those that are part of the same.
func (c *composer) mostOf(best named, sign float64) bool {
	for _, n := range c.named() {
		if sign*n.PerRound < sign*best.PerRound || n.Key == best.Key && n.area == best.area {
			continue
		}
		if n.area == best.area || n.phase() != best.phase() {
			return false
		}
	}
	return true
}

// phase is the phase that a part is or belongs to.
func (n named) phase() shots.Phase {
	if !n.area {
		return shots.Phase(n.Key)
	}
	return areas[slices.IndexFunc(areas, func(a area) bool { return a.key == n.Key })].phase
}

// usualSentences compare with the player's own past.
func (c *composer) usualSentences() []candidate {
	where := map[string]string{
		string(shots.PhaseOffTheTee): "Off the tee", string(shots.PhaseApproach): "On approaches",
		string(shots.PhaseAroundTheGreen): "Around the green", string(shots.PhasePutting): "On the green", "total": "In all",
	}
	lines := slices.DeleteFunc(append([]GainLine{c.out.Total}, c.out.Phases...), func(l GainLine) bool {
		return l.Usual == nil || math.Abs(l.Usual.Difference) < least
	})
	slices.SortStableFunc(lines, func(a, b GainLine) int {
		return cmp.Or(cmp.Compare(sureness(a.Usual.Sure), sureness(b.Usual.Sure)),
			cmp.Compare(math.Abs(b.Usual.Difference), math.Abs(a.Usual.Difference)))
	})
	if len(lines) == 0 {
		return nil
	}
	l, u := lines[0], lines[0].Usual
	shown := u.Likely
	if u.Sure == shots.SureClear {
		shown = u.Interval
	}
	way, interval := "better", betterText(shown, "better", "worse")
	if u.Difference < 0 {
		way, interval = "worse", betterText(negated(shown), "worse", "better")
	}
	words := fmt.Sprintf("%s you were %s%s %s than in your %d rounds before. %s", where[l.Key], amountText(u.Difference), c.aRound(), way,
		u.Rounds, hedged(u.Sure, "", interval))
	return say(topicUsual, FigurePhases, l.Key, u.Sure, words)
}

// betterText is an interval of which the upper side has a name.
func betterText(i shots.Interval, above, below string) string {
	low, high := round1(i.Low), round1(i.High)
	if low >= 0 {
		return fmt.Sprintf("between %.1f and %.1f", math.Abs(low), high)
	}
	return fmt.Sprintf("between %.1f %s and %.1f %s", -low, below, math.Abs(high), above)
}

// patternSentences are about misses to one side: of the round under review, and of the
// earlier ones with it where these make it surer.
func (c *composer) patternSentences() []candidate {
	chance := map[string]string{
		shots.SureClear:  "Clear: luck alone rarely does that.",
		shots.SureLikely: "Likely: luck alone does that now and then.",
		shots.SureHint:   "A hint only: luck alone does that often.",
	}
	var out []candidate
	for i := range c.out.Patterns {
		l := &c.out.Patterns[i]
		sure := l.Sure
		if words, said := l.across(); said && chance[l.Sure] != "" {
			if all := l.Pattern.OneSided; c.one && sureness(all.HowSure) < sureness(sure) && all.Side == l.Across.Side {
				sure = all.HowSure
				words += fmt.Sprintf("; with your earlier rounds %d of %d", max(all.Left, all.Right), l.Pattern.Left+l.Pattern.Right+l.Pattern.OnLine)
			}
			further := ""
			if d := l.Pattern.Different; d != nil && d.HowSure == shots.SureClear && l.Pattern.Length > 0 && (d.By > 0) == (l.Right > l.Left) {
				further = fmt.Sprintf(", %s further than usual", acrossText(l.Pattern.Length*math.Tan(d.By*math.Pi/180), c.in.Units))
			}
			out = append(out, say(topicPattern, FigurePatterns, l.Group, sure, words+further+". "+chance[sure], words+". "+chance[sure])...)
		}
		if words, said := l.along(); said && chance[l.SureAlong] != "" {
			out = append(out, say(topicPattern, FigurePatterns, l.Group, l.SureAlong, words+". "+chance[l.SureAlong])...)
		}
	}
	return out
}

// squareSentence says what the poor strikes cost, by the weaker of the two tests.
func (c *composer) squareSentence() []candidate {
	s := c.out.Square
	if len(s.Strikes) == 0 || s.Cost.TooFew != "" || s.Cost.HowSure == shots.SureTooFew {
		return nil
	}
	poor, rounds := s.Strikes[0], float64(max(1, len(c.own)))
	cost, times := s.CostTotal/rounds, float64(poor.N)/rounds
	if cost < least {
		return nil
	}
	sure := s.Cost.HowSure
	if by := shots.HowSure(s.CostTest.P); sureness(by) > sureness(sure) {
		sure = by
	}
	i := s.Cost.Likely
	if sure == shots.SureClear {
		i = s.Cost.Interval
	}
	i = shots.Interval{Low: i.Low * times, High: i.High * times}
	head := fmt.Sprintf("%s cost you %s against as many good ones", counted(poor.N, "poor strike", "poor strikes"), amountText(cost))
	if c.aRound() != "" {
		head = fmt.Sprintf("Poor strikes (%.0f a round) cost you %s a round against good ones", times, amountText(cost))
	}
	saved := ""
	if n := poor.GoodEnough; n.Done > 0 {
		saved = fmt.Sprintf("; %d of them were good enough all the same", n.Done)
		if n.Chances < poor.N || c.aRound() != "" {
			saved = fmt.Sprintf("; %d of %d were good enough all the same", n.Done, n.Chances)
		}
	}
	hedge := ". " + hedged(sure, "", betterText(i, "lost", "gained"))
	return say(topicSquare, FigureSquare, "", sure, head+saved+hedge, head+hedge)
}

func (c *composer) commitmentSentence() []candidate {
	e := c.out.Commitment.Effect
	if e.TooFew != "" || e.HowSure == shots.SureTooFew || e.HowSure == "" || math.Abs(e.Value) < 0.05 {
		return nil
	}
	sure := e.HowSure
	if by := shots.HowSure(c.out.Commitment.Test.P); sureness(by) > sureness(sure) {
		sure = by
	}
	i := e.Likely
	if sure == shots.SureClear {
		i = e.Interval
	}
	i = shots.Interval{Low: 10 * i.Low, High: 10 * i.High}
	way, interval := "more", betterText(i, "more", "less")
	if e.Value < 0 {
		way, interval = "less", betterText(negated(i), "less", "more")
	}
	return say(topicCommitment, FigureCommitment, "", sure, fmt.Sprintf("Ten strokes with a commitment of 4 or 5 gained %s %s than ten others. %s",
		amountText(10*e.Value), way, hedged(sure, "", interval)))
}

func (c *composer) trendSentence() []candidate {
	if t := c.out.Trend; t != nil && !c.one {
		return say(topicTrend, FigureRounds, "", t.Sure, t.Words)
	}
	return nil
}

// fieldSentences compare with the field of the day, from scores alone.
func (c *composer) fieldSentences() []candidate {
	f := c.out.Field
	if f == nil {
		return nil
	}
	way := "fewer"
	if f.Gained < 0 {
		way = "more"
	}
	words := fmt.Sprintf("You took %d on %s: %s %s than the field of %d averaged there.", f.Score, counted(f.Holes, "hole", "holes"),
		amountText(f.Gained), way, f.Players)
	out := say(topicField, FigureHoles, "", SureCounted, words)
	worst := -1
	for i, h := range c.out.Holes {
		if h.FieldGained != nil && *h.FieldGained < -1 && (worst < 0 || *h.FieldGained < *c.out.Holes[worst].FieldGained) {
			worst = i
		}
	}
	if worst >= 0 && c.out.Title.Logged {
		h := c.out.Holes[worst]
		out = append(out, say(topicHole, FigureHoles, fmt.Sprint(h.Number), SureCounted,
			fmt.Sprintf("Hole %d cost most against the field: %d strokes, where it averaged %.1f.", h.Number, h.Score, *h.FieldMean))...)
	}
	return out
}

// countedSentences are about strokes that were logged and need no inference.
func (c *composer) countedSentences() []candidate {
	var out []candidate
	m := c.out.Classic
	if m.Penalties > 0 {
		words := counted(m.Penalties, "penalty stroke", "penalty strokes")
		if c.one {
			words += ", " + c.penaltyHoles()
		} else {
			words += fmt.Sprintf(" in %s", counted(len(c.own), "round", "rounds"))
		}
		out = append(out, say(topicPenalties, FigureClassic, "penalties", SureCounted, words+".",
			counted(m.Penalties, "penalty stroke", "penalty strokes")+".")...)
	}
	if m.ThreePutts > 0 {
		out = append(out, say(topicThreePutts, FigureClassic, "three_putts", SureCounted,
			fmt.Sprintf("%d of %s took three putts or more.", m.ThreePutts, counted(m.ThreePuttFree.Chances, "hole", "holes")))...)
	}
	return out
}

func (c *composer) penaltyHoles() string {
	var on []string
	for _, h := range c.out.Holes {
		if h.Penalty > 0 {
			on = append(on, fmt.Sprint(h.Number))
		}
	}
	if len(on) == 1 {
		return "on hole " + on[0]
	}
	return "on holes " + listed(on)
}

func listed(items []string) string {
	if len(items) < 2 {
		return strings.Join(items, "")
	}
	return strings.Join(items[:len(items)-1], ", ") + " and " + items[len(items)-1]
}

// scoreSentences need nothing but scores.
func (c *composer) scoreSentences() []candidate {
	out := c.totalSentence()
	m := c.out.Classic
	worst, over := -1, math.Inf(-1)
	for i, a := range m.Averages {
		if lost := (a.Mean - float64(a.Par)) * float64(a.N); lost > over {
			worst, over = i, lost
		}
	}
	if worst >= 0 {
		a := m.Averages[worst]
		n := int(math.Round(over))
		words := fmt.Sprintf("Par %ds cost most: %s on %s, %.1f on average.", a.Par, parText(n), counted(a.N, "hole", "holes"), a.Mean)
		if len(m.Averages) == 1 || n <= 0 {
			words = fmt.Sprintf("On par %ds you were %s over %s, %.1f on average.", a.Par, parText(n), counted(a.N, "hole", "holes"), a.Mean)
		}
		out = append(out, say(topicPars, FigureClassic, "averages", SureCounted, words)...)
	}
	if b := m.BounceBack; b.Chances > 0 {
		out = append(out, say(topicBounceBack, FigureClassic, "bounce_back", SureCounted,
			fmt.Sprintf("You were %s under par on the hole after one over par; there were %s.", times(b.Done), counted(b.Chances, "chance", "chances")))...)
	}
	d := m.Distribution
	if c.out.Title.Scored > 0 {
		out = append(out, say(topicScores, FigureClassic, "distribution", SureCounted, fmt.Sprintf("On %s: %s, %s, %s and %d worse.",
			counted(c.out.Title.Scored, "hole", "holes"), counted(d.EagleOrBetter+d.Birdie, "birdie or better", "birdies or better"),
			counted(d.Par, "par", "pars"), counted(d.Bogey, "bogey", "bogeys"), d.DoubleBogey+d.Worse))...)
	}
	return out
}

func times(n int) string {
	switch n {
	case 0:
		return "never"
	case 1:
		return "once"
	case 2:
		return "twice"
	default:
		return fmt.Sprintf("%d times", n)
	}
}

func (c *composer) totalSentence() []candidate {
	t := c.out.Title
	switch {
	case t.Scored == 0 || c.out.Field != nil:
		return nil
	case t.Score == nil:
		sum := 0
		for _, g := range c.own {
			score, par, _ := toPar(g.round)
			sum += score - par
		}
		mean := float64(sum) / float64(t.Scored) * 18
		way := "over"
		if mean < 0 {
			way = "under"
		}
		return say(topicTotal, FigureRounds, "", SureCounted, fmt.Sprintf("Over %s with %s scored you were %s %s par for every 18 holes.",
			counted(t.Rounds, "round", "rounds"), counted(t.Scored, "hole", "holes"), strokesText(mean), way))
	}
	words := fmt.Sprintf("You took %d on %s, %s.", *t.Score, counted(t.Scored, "hole", "holes"), parText(*t.ToPar))
	for _, r := range c.out.Rounds {
		if r.Current && r.AgainstHandicap != nil {
			way := "fewer"
			if *r.AgainstHandicap < 0 {
				way = "more"
			}
			words = fmt.Sprintf("You took %d on %s, %s: %s %s than your handicap averages.", *t.Score, counted(t.Scored, "hole", "holes"),
				parText(*t.ToPar), amountText(*r.AgainstHandicap), way)
		}
	}
	return say(topicTotal, FigureClassic, "", SureCounted, words)
}

// logSentences say what there is to go by.
func (c *composer) logSentences() []candidate {
	n := c.out.Counted
	var out []candidate
	if n.Strokes == 0 {
		out = append(out, say(topicLog, FigureCounted, "strokes", SureCounted,
			"No strokes are logged. With the putts alone this page could say more.")...)
	} else {
		out = append(out, say(topicLog, FigureCounted, "strokes", shots.SureTooFew,
			fmt.Sprintf("%s logged, on %s: the more there are, the surer this page gets.", areLogged(n.Strokes), counted(n.HolesLogged, "hole", "holes")))...)
	}
	out = append(out, say(topicLog, FigureCounted, "holes", SureCounted,
		fmt.Sprintf("%d of %s a score on the card.", n.HolesScored, holesHave(n.Holes)))...)
	usual := fmt.Sprintf("What is usual for you takes %d earlier rounds with strokes; there are %d.", leastRounds, c.pastLogged())
	if c.pastLogged() >= leastRounds {
		usual = fmt.Sprintf("There are %d earlier rounds with strokes to compare with.", c.pastLogged())
	}
	return append(out, say(topicLog, FigureCounted, "past", SureCounted, usual)...)
}

func (c *composer) pastLogged() int { return logged(c.past) }

// logged counts the rounds with strokes that could be compared.
func logged(grounds []*ground) int {
	n := 0
	for _, g := range grounds {
		if len(g.gains) > 0 {
			n++
		}
	}
	return n
}

func areLogged(n int) string {
	if n == 1 {
		return "1 stroke is"
	}
	return fmt.Sprintf("%d strokes are", n)
}

func holesHave(n int) string {
	if n == 1 {
		return "1 hole has"
	}
	return fmt.Sprintf("%d holes have", n)
}
