package web

import (
	"fmt"
	"html/template"
	"slices"

	"marram.example/events"
)

// deskFuncs are what only the console's templates call.
func deskFuncs() template.FuncMap {
	return template.FuncMap{
		"says":            sentence,
		"rating":          ratingText,
		"strokeIndexPath": strokeIndexPath,
		"deref":           func(n *int) int { return *n },
		"choices":         choices,
		"cond": func(test any, yes, no string) string {
			if truth, ok := template.IsTrue(test); ok && truth {
				return yes
			}
			return no
		},
		"tenth":    func(f float64) string { return fmt.Sprintf("%.1f", f) },
		"ranking":  rankingWords,
		"cell":     cellText,
		"subtract": func(a, b int) int { return a - b },
	}
}

// choices makes a list to choose from out of values and labels by turns.
func choices(pairs ...string) ([]choice, error) {
	if len(pairs)%2 != 0 {
		return nil, fmt.Errorf("choices need values and labels, got %d texts", len(pairs))
	}
	out := make([]choice, 0, len(pairs)/2)
	for i := 0; i < len(pairs); i += 2 {
		out = append(out, choice{pairs[i], pairs[i+1]})
	}
	return out, nil
}

// ErrRow is what is wrong with a row of an editor that none of its fields shows.
func (f *form) ErrRow(row string, fields ...string) *events.Error {
	shown := slices.ContainsFunc(fields, func(name string) bool { return f.Err(row+"."+name) != nil })
	if shown {
		return nil
	}
	return f.ErrIn(row)
}

// verbs say what the next step is.
var verbs = map[string]string{
	"Terms": "State the terms", "Entries": "Take entries", "Draw": "Draw the start sheet", "Open": "Open the round",
	"Cards": "Take the cards in", "Matches": "Take the results in", "Close": "Close the round", "Result": "Publish the result",
}

// Verb is the step as something to do.
func (s deskStep) Verb() string {
	if s.Round > 0 {
		return fmt.Sprintf("Draw round %d", s.Round)
	}
	return verbs[s.Name]
}

// FormatWords name what is played.
func (k *deskComp) FormatWords() string {
	if k.State.Terms == nil {
		return ""
	}
	return formatWords(k.Terms())
}

// RoundDate is the day of the round that is shown.
func (k *deskComp) RoundDate() string {
	if k.State.Terms == nil {
		return k.State.Date
	}
	return k.State.Terms.DateOf(k.Shown, k.State.Date)
}
