package scoring

import (
	"slices"
	"strings"
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

// CountbackTerms are what the terms of the competition say about matching cards. The zero value is the recommended way:
// exact fractions, holes by number, one round.
type CountbackTerms struct {
	Share   Share
	Windows Windows
	// SeveralRounds compares the total of the last round, whose cards are given, before the windows.
	SeveralRounds bool
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
type matched struct {
	id   string
	keys []int
	card *Result
}

// Countback matches complete cards of one format and basis, window after window (Committee Procedures 5A(6)). It assumes
// that their totals are equal and does not look at them. For net stroke play the value of a window of h holes is
// gross - h/n x playing handicap, with n the 18 or nine holes of the card: the procedures speak of 18 holes, and the
// whole nine-hole handicap belongs to the nine in the same way. Everything else compares figures as allocated by hole.
// Refused with an error: no cards, ids missing or repeated, cards without a total, cards of different formats, bases or
// holes, an unknown share.
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
	windows []window
	cards   []matched
}

func (f Format) match(contenders []Contender, terms CountbackTerms) (*matching, error) {
	share, err := ParseShare(string(terms.Share))
	if err != nil {
		return nil, err
	}
	terms.Share = share
	if terms.Windows != ByNumber && terms.Windows != ByPlay {
		return nil, refuse("windows", countbackRule, "%d is unknown", int(terms.Windows))
	}
	if err := f.validateContenders(contenders); err != nil {
		return nil, err
	}
	first := contenders[0].Card
	m := &matching{format: f, terms: terms, scale: 1, cards: make([]matched, len(contenders))}
	m.windows = windowsFor(numbersOf(first), terms.Windows, terms.SeveralRounds)
	m.shares = f.SharesHandicap && first.Basis == Net && share != AsAllocated
	if m.shares && share == ExactFraction {
		m.scale = len(first.Holes)
	}
	for i, c := range contenders {
		keys := make([]int, len(m.windows))
		holes := compared(c.Card, terms.Windows)
		for j, w := range m.windows {
			gross, figure := sumOver(holes, w)
			keys[j] = m.scale * figure
			if m.shares {
				keys[j] = m.scale*gross - m.share(c.Card, w)
			}
		}
		m.cards[i] = matched{id: c.ID, keys: keys, card: c.Card}
	}
	return m, nil
}

// share is the part of the handicap that a window deducts, times scale.
func (m *matching) share(card *Result, w window) int {
	n, part := len(card.Holes), w.holes()*int(card.Playing)
	if m.terms.Share == ExactFraction {
		return part
	}
	return floorDiv(2*part+n, 2*n)
}

func sumOver(holes []HoleResult, w window) (gross, figure int) {
	for i := w.first; i <= w.last; i++ {
		gross += holes[i].Score.Strokes
		figure += holes[i].Figure
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
	holes := compared(card.card, m.terms.Windows)
	shown := CardWindows{ID: card.id, Windows: make([]WindowValue, len(m.windows))}
	for i, w := range m.windows {
		gross, _ := sumOver(holes, w)
		value := WindowValue{Window: w.name, Holes: w.holes(), Gross: gross, Value: fractionText(card.keys[i], m.scale)}
		switch {
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
	var numbers []int
	for i, c := range contenders {
		switch {
		case c.ID == "" || seen[c.ID]:
			return refuse("cards", "", "card %d has the id %q, which is empty or taken", i+1, c.ID)
		case c.Card == nil || !c.Card.Complete:
			return refuse("cards", countbackRule, "card %q has no total, so that it cannot be matched", c.ID)
		case c.Card.Format != f.Name || c.Card.Basis != contenders[0].Card.Basis:
			return refuse("cards", countbackRule, "card %q is scored as %s %s, unlike the others", c.ID, c.Card.Basis, c.Card.Format)
		}
		seen[c.ID] = true
		if own := numbersOf(c.Card); i == 0 {
			numbers = own
		} else if !slices.Equal(own, numbers) {
			return refuse("cards", countbackRule, "card %q was played over other holes than the first card", c.ID)
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
