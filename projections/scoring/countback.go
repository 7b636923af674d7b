package scoring

import (
	"slices"
	"strings"

	"marram.example/events"
)

const countbackRule = "Committee Procedures 5A(6)"

// Share says how a window of a net stroke-play card takes the handicap into account. Formats that do not share the
// handicap, and the gross basis, ignore it.
type Share string

const (
	// ExactFraction deducts h/18 of the playing handicap for h holes, unrounded: 1/2, 1/3, 1/6, 1/18.
	ExactFraction Share = "exact_fraction"
	// RoundedHalfUp deducts the same share rounded to whole strokes, a half toward plus infinity (a club policy).
	RoundedHalfUp Share = "rounded_half_up"
	// AsAllocated deducts the strokes received on those holes by stroke index (a club policy).
	AsAllocated Share = "as_allocated"
)

// ParseShare reads one of the three names; empty means [ExactFraction].
func ParseShare(text string) (Share, error) {
	switch s := Share(text); s {
	case "":
		return ExactFraction, nil
	case ExactFraction, RoundedHalfUp, AsAllocated:
		return s, nil
	default:
		return "", refuse("share", countbackRule, "%q is unknown", text)
	}
}

// ShareOf says which handicap the share is taken of.
type ShareOf string

const (
	// OfPlaying takes the share of the playing handicap, in whole strokes. Empty means the same.
	OfPlaying ShareOf = "playing"
	// OfCourse takes the share of the exact, unrounded course handicap (common practice, no source).
	OfCourse ShareOf = "course"
)

// ParseShareOf reads "playing" or "course"; empty means [OfPlaying].
func ParseShareOf(text string) (ShareOf, error) {
	switch of := ShareOf(text); of {
	case "":
		return OfPlaying, nil
	case OfPlaying, OfCourse:
		return of, nil
	default:
		return "", refuse("tie_handicap", countbackRule, "%q is unknown; use playing or course", text)
	}
}

// CountbackTerms are what the terms of the competition say about matching cards. The zero value is the recommended way:
// exact fractions of the playing handicap, holes by number, the first nine after hole 18, one round.
type CountbackTerms struct {
	Share    Share
	Of       ShareOf
	Windows  Windows
	Sequence Sequence
	// SeveralRounds compares the total of the last round, whose cards are given, before the windows.
	SeveralRounds bool
}

// CountbackTermsOf reads what the terms of a competition say. Words that are unknown are refused.
func CountbackTermsOf(t *events.Terms) (CountbackTerms, error) {
	share, err := ParseShare(t.TieShare)
	if err != nil {
		return CountbackTerms{}, err
	}
	of, err := ParseShareOf(t.TieHandicap)
	if err != nil {
		return CountbackTerms{}, err
	}
	windows, err := ParseWindows(t.TieHoles)
	if err != nil {
		return CountbackTerms{}, err
	}
	sequence, err := ParseSequence(t.TieWindows)
	return CountbackTerms{Share: share, Of: of, Windows: windows, Sequence: sequence, SeveralRounds: t.Rounds > 1}, err
}

// Contender is a complete card in a countback.
type Contender struct {
	ID   string
	Card *Result
}

// WindowValue is a card's arithmetic in one window, for display. Gross is in strokes. Share is the part of the playing
// handicap deducted, Value what is compared; both are exact fractions as text ("9/2"). Share is empty where the figures
// as allocated by hole are compared.
type WindowValue struct {
	Window string `json:"window"`
	Holes  int    `json:"holes"`
	Gross  int    `json:"gross"`
	Share  string `json:"share,omitempty"`
	Value  string `json:"value"`
}

// CardWindows is one card with all its windows, in the order of comparison.
type CardWindows struct {
	ID      string        `json:"id"`
	Windows []WindowValue `json:"windows"`
}

// Decision says which window separated a group from the next one, and by which values.
type Decision struct {
	Window     string `json:"window"`
	AboveValue string `json:"above_value"`
	BelowValue string `json:"below_value"`
}

// CountbackResult is the outcome. Order lists groups of ids, best first; ids that nothing separates share a group, sorted
// by id. Decided[i] separates Order[i] from Order[i+1]. Cards run in the order of the groups.
type CountbackResult struct {
	Order   [][]string    `json:"order"`
	Decided []Decision    `json:"decided"`
	Cards   []CardWindows `json:"cards"`
	Rule    string        `json:"rule"`
}

// DecidedBy is the window that decided first place, empty where nothing did.
func (c CountbackResult) DecidedBy() string {
	if len(c.Decided) == 0 {
		return ""
	}
	return c.Decided[0].Window
}

// matched is a card under comparison. Its keys are scaled to integers so that shares of a handicap compare exactly.
// order are the places of its holes that count, in the order in which windows look at them.
type matched struct {
	id    string
	keys  []int
	card  *Result
	order []int
}

// Countback matches complete cards of one format, basis and kind of side, window after window (Committee Procedures
// 5A(6)). It assumes that their totals are equal and does not look at them. For net stroke play of one ball the value of
// a window of h holes is gross - h/n x handicap, with n the 18 or nine holes of the card: the procedures speak of 18
// holes, and the whole nine-hole handicap belongs to the nine in the same way. Everything else compares figures as
// allocated by hole. A hole that is excluded on any of the cards is left out for all of them. What counts against a
// round is in its total only. Refused with an error: no cards, ids missing or repeated, cards without a total, cards of
// different formats, bases, sides or holes, unknown words in the terms, and exact course handicaps too fine to compare
// as integers, which no rated tee yields.
func (f Format) Countback(contenders []Contender, terms CountbackTerms) (CountbackResult, error) {
	m, err := f.match(contenders, terms)
	if err != nil {
		return CountbackResult{}, err
	}
	result := CountbackResult{Rule: countbackRule}
	groups := m.groups()
	for i, group := range groups {
		ids := make([]string, len(group))
		for j, card := range group {
			ids[j] = card.id
			result.Cards = append(result.Cards, m.show(card))
		}
		result.Order = append(result.Order, ids)
		if i > 0 {
			result.Decided = append(result.Decided, m.decision(groups[i-1][0], group[0]))
		}
	}
	return result, nil
}

// matching is a countback in progress. Every key is scaled by scale, the denominator of the shares.
type matching struct {
	format  Format
	terms   CountbackTerms
	shares  bool
	scale   int
	holes   int // of a whole card
	windows []window
	cards   []matched
}

func (f Format) match(contenders []Contender, terms CountbackTerms) (*matching, error) {
	var err error
	if terms.Share, err = ParseShare(string(terms.Share)); err != nil {
		return nil, err
	}
	if terms.Of, err = ParseShareOf(string(terms.Of)); err != nil {
		return nil, err
	}
	if err := terms.Windows.validate(); err != nil {
		return nil, err
	}
	if err := terms.Sequence.validate(); err != nil {
		return nil, err
	}
	if err := f.validateContenders(contenders); err != nil {
		return nil, err
	}
	first := contenders[0].Card
	m := &matching{format: f, terms: terms, scale: 1, holes: len(first.Holes), cards: make([]matched, len(contenders))}
	m.shares = f.SharesHandicap && first.Basis == Net && first.Balls == nil && terms.Share != AsAllocated
	if m.shares && terms.Share == ExactFraction {
		if m.scale, err = m.denominator(contenders); err != nil {
			return nil, err
		}
	}
	out := excludedOn(contenders)
	m.windows = windowsFor(numbersOf(first), out, terms)
	for i, c := range contenders {
		m.cards[i] = matched{id: c.ID, card: c.Card, order: compared(c.Card, terms.Windows, out)}
		m.cards[i].keys = m.keys(&m.cards[i])
	}
	return m, nil
}

// keys are the values of a card in every window, times scale.
func (m *matching) keys(c *matched) []int {
	keys := make([]int, len(m.windows))
	for i, w := range m.windows {
		gross, figure := c.sum(w)
		keys[i] = m.scale * figure
		if m.shares && !w.round {
			keys[i] = m.scale*gross - m.share(c.card, w)
		}
	}
	return keys
}

// share is the part of the handicap that a window deducts, times scale.
func (m *matching) share(card *Result, w window) int {
	num, den := m.handicap(card)
	part := w.holes() * num
	if m.terms.Share == ExactFraction {
		return part * (m.scale / (m.holes * den))
	}
	return floorDiv(2*part+m.holes*den, 2*m.holes*den)
}

// handicap is the one whose share is taken, as a fraction.
func (m *matching) handicap(card *Result) (num, den int) {
	if m.terms.Of == OfCourse && card.Course.Den != 0 {
		return int(card.Course.Num), int(card.Course.Den)
	}
	if m.terms.Of == OfCourse {
		return 0, 1
	}
	return int(card.Playing), 1
}

// finest bounds the common denominator, so that every key stays inside 64 bits with room to spare.
const finest = 1_000_000_000_000

// denominator is what makes the share of every window of every card a whole number.
func (m *matching) denominator(contenders []Contender) (int, error) {
	common := 1
	for _, c := range contenders {
		_, den := m.handicap(c.Card)
		a, b := common, den
		for b != 0 {
			a, b = b, a%b
		}
		if common = common / a * den; common > finest {
			return 0, refuse("course_handicap", countbackRule, "the exact course handicaps are too fine to be compared as integers")
		}
	}
	return m.holes * common, nil
}

// sum adds up a window: gross strokes, and figures in the format's unit.
func (c *matched) sum(w window) (gross, figure int) {
	if w.round {
		return c.card.Total.Gross, c.card.Value
	}
	for _, place := range c.order[w.first : w.last+1] {
		gross += c.card.Holes[place].Gross
		figure += c.card.Holes[place].Figure
	}
	return gross, figure
}

// groups sorts the cards, best first, and gathers those that nothing separates, by id.
func (m *matching) groups() [][]matched {
	compare := func(a, b matched) int {
		for i := range a.keys {
			if c := m.format.Direction.Compare(a.keys[i], b.keys[i]); c != 0 {
				return c
			}
		}
		return 0
	}
	sorted := slices.Clone(m.cards)
	slices.SortFunc(sorted, func(a, b matched) int {
		if c := compare(a, b); c != 0 {
			return c
		}
		return strings.Compare(a.id, b.id)
	})
	var groups [][]matched
	for start := 0; start < len(sorted); {
		end := start + 1
		for end < len(sorted) && compare(sorted[start], sorted[end]) == 0 {
			end++
		}
		groups = append(groups, sorted[start:end])
		start = end
	}
	return groups
}

// decision finds the first window in which two cards of neighbouring groups differ.
func (m *matching) decision(above, below matched) Decision {
	for i, w := range m.windows {
		if above.keys[i] != below.keys[i] {
			return Decision{Window: w.name, AboveValue: fractionText(above.keys[i], m.scale), BelowValue: fractionText(below.keys[i], m.scale)}
		}
	}
	return Decision{}
}

func (m *matching) show(card matched) CardWindows {
	shown := CardWindows{ID: card.id, Windows: make([]WindowValue, len(m.windows))}
	for i, w := range m.windows {
		gross, _ := card.sum(w)
		value := WindowValue{Window: w.name, Holes: w.holes(), Gross: gross, Value: fractionText(card.keys[i], m.scale)}
		switch {
		case m.shares && w.round:
			value.Share = fractionText(card.card.Total.Gross-card.card.Total.Net, 1)
		case m.shares:
			value.Share = fractionText(m.share(card.card, w), m.scale)
		case m.format.SharesHandicap && card.card.Basis == Gross:
			value.Share = "0"
		}
		shown.Windows[i] = value
	}
	return shown
}

func (f Format) validateContenders(contenders []Contender) error {
	if len(contenders) == 0 {
		return refuse("cards", countbackRule, "there are no cards to match")
	}
	seen := make(map[string]bool, len(contenders))
	var first *Result
	for i, c := range contenders {
		switch {
		case c.ID == "" || seen[c.ID]:
			return refuse("cards", "", "card %d has the id %q, which is empty or taken", i+1, c.ID)
		case c.Card == nil || !c.Card.Complete:
			return refuse("cards", countbackRule, "card %q has no total, so that it cannot be matched", c.ID)
		case c.Card.Format != f.Name || first != nil && c.Card.Basis != first.Basis:
			return refuse("cards", countbackRule, "card %q is scored as %s %s, unlike the others", c.ID, c.Card.Basis, c.Card.Format)
		case first != nil && (c.Card.Side != first.Side || len(c.Card.Balls) != len(first.Balls)):
			return refuse("cards", countbackRule, "card %q is that of another kind of side than the first", c.ID)
		case first != nil && holeSet(c.Card, anyState) != holeSet(first, anyState):
			return refuse("cards", countbackRule, "card %q was played over other holes than the first card", c.ID)
		}
		seen[c.ID] = true
		if first == nil {
			first = c.Card
		}
	}
	return nil
}

// floorDiv is the quotient rounded toward minus infinity, for a positive den.
func floorDiv(num, den int) int {
	q := num / den
	if num%den < 0 {
		q--
	}
	return q
}
