package web

import (
	"fmt"
	"html/template"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/scoring"
)

// funcs are what templates call. Numbers relative to par always carry their sign
// as text; the class beside them is only a second cue.
func (w *Web) funcs() template.FuncMap {
	return template.FuncMap{
		"static":        w.assets.url,
		"toPar":         scoring.ToPar,
		"tint":          tint,
		"handicap":      handicapText,
		"playing":       playingAny,
		"signed":        signedText,
		"count":         count,
		"day":           dayText,
		"clock":         w.clockText,
		"stamp":         w.stampText,
		"machine":       func(t time.Time) string { return t.UTC().Format(time.RFC3339) },
		"status":        statusWords,
		"holes":         holesText,
		"ordinal":       ordinal,
		"add":           func(a, b int) int { return a + b },
		"dict":          dict,
		"join":          strings.Join,
		"sentence":      sentence,
		"formatWords":   formatWords,
		"ranking":       rankingWords,
		"score":         scoreWords,
		"mixed":         mixedText,
		"shortDay":      shortDay,
		"less":          func(n int) int { return -n },
		"freshKey":      freshKey,
		"scoreText":     scoreText,
		"sawText":       sawText,
		"times":         func(n int) []struct{} { return make([]struct{}, n) },
		"keys":          func() []int { return []int{1, 2, 3, 4, 5, 6, 7, 8, 9} },
		"keyWords":      keyWords,
		"signs":         signsText,
		"taken":         takenText,
		"suspension":    suspensionWords,
		"countback":     countbackWords,
		"window":        windowWords,
		"gained":        gainedText,
		"gainedTint":    gainedTint,
		"sentenceStart": sentenceStart,
	}
}

// tint is the class of a number relative to par.
func tint(n int) string {
	switch {
	case n < 0:
		return "under"
	case n > 0:
		return "over"
	default:
		return "level"
	}
}

// handicapText writes a handicap index in tenths: "12.4"; a plus handicap leads
// with its plus: "+1.2".
func handicapText(tenths int) string {
	sign := ""
	if tenths < 0 {
		sign, tenths = "+", -tenths
	}
	return fmt.Sprintf("%s%d.%d", sign, tenths/10, tenths%10)
}

// playingText writes a course or playing handicap; a plus handicap leads with
// its plus.
func playingText(n int) string {
	if n < 0 {
		return "+" + strconv.Itoa(-n)
	}
	return strconv.Itoa(n)
}

// signedText writes a number with a true minus sign.
func signedText(n int) string {
	if n < 0 {
		return "\u2212" + strconv.Itoa(-n)
	}
	return strconv.Itoa(n)
}

// count writes a number of things: "1 player", "3 players".
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// dayText writes YYYY-MM-DD as a person says it.
func dayText(date string) string {
	d, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return d.Format("Monday 2 January 2006")
}

// clockText is the club's time of day, to the second.
func (w *Web) clockText(t time.Time) string { return t.In(w.location).Format("15:04:05") }

// stampText is the club's date and time of day.
func (w *Web) stampText(t time.Time) string { return t.In(w.location).Format("2 Jan 2006, 15:04:05") }

// statusWords says what a status of a card means.
func statusWords(status string) string {
	switch status {
	case events.StatusInPlay:
		return "in play"
	case events.StatusReturned:
		return "returned"
	case events.StatusNoReturn:
		return "no return"
	case events.StatusRetired:
		return "retired"
	case events.StatusWithdrew:
		return "withdrew"
	case events.StatusNoShow:
		return "no show"
	case events.StatusDisqualified:
		return "disqualified"
	case events.StatusMissedCut:
		return "missed the cut"
	case "":
		return "not started"
	default:
		return status
	}
}

// holesText names the holes of a round: "18 holes", "holes 10 to 18".
func holesText(holes []int) string {
	if len(holes) == 0 {
		return ""
	}
	if len(holes) == 18 {
		return "18 holes"
	}
	return fmt.Sprintf("%d holes, %d to %d", len(holes), holes[0], holes[len(holes)-1])
}

// ordinal writes a place: "1st", "2nd", "11th".
func ordinal(n int) string {
	end := "th"
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			end = "st"
		case 2:
			end = "nd"
		case 3:
			end = "rd"
		}
	}
	return strconv.Itoa(n) + end
}

// dict lets a template hand several values to a part.
func dict(pairs ...any) (map[string]any, error) {
	if len(pairs)%2 != 0 {
		return nil, fmt.Errorf("dict needs pairs, got %d values", len(pairs))
	}
	m := make(map[string]any, len(pairs)/2)
	for i := 0; i < len(pairs); i += 2 {
		key, ok := pairs[i].(string)
		if !ok {
			return nil, fmt.Errorf("dict key %v is not text", pairs[i])
		}
		m[key] = pairs[i+1]
	}
	return m, nil
}

// sentence begins with a capital and ends with a stop, as on a page; the domain's
// refusals are written to follow a field's name.
func sentence(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	s = string(unicode.ToUpper(r)) + s[n:]
	if !strings.HasSuffix(s, ".") {
		s += "."
	}
	return s
}

// playingAny is playingText for a template that has a pointer or a number.
func playingAny(v any) (string, error) {
	switch n := v.(type) {
	case int:
		return playingText(n), nil
	case *int:
		if n != nil {
			return playingText(*n), nil
		}
		return "", nil
	}
	return "", fmt.Errorf("%T is no handicap", v)
}

// parts of one as single characters, where there is one for them.
var vulgar = map[string]string{"1/2": "½", "1/3": "⅓", "2/3": "⅔", "1/6": "⅙", "5/6": "⅚", "1/9": "⅑"}

// mixedText writes an exact value such as "65/2" as people do: "32½".
func mixedText(v string) string {
	num, den, ok := strings.Cut(v, "/")
	n, err := strconv.Atoi(num)
	if err != nil {
		return v
	}
	if !ok {
		return signedText(n)
	}
	d, err := strconv.Atoi(den)
	if err != nil || d <= 0 {
		return v
	}
	sign := ""
	if n < 0 {
		sign, n = "\u2212", -n
	}
	part := fmt.Sprintf("%d/%d", n%d, d)
	if short, ok := vulgar[part]; ok {
		part = short
	} else if n/d > 0 {
		part = " " + part
	}
	if n/d == 0 {
		return sign + part
	}
	return sign + strconv.Itoa(n/d) + part
}

// exactValue finds fractions in a sentence about a countback.
var exactValue = regexp.MustCompile(`-?\d+/\d+`)

// countbackWords writes the exact values of a countback as people do.
func countbackWords(s string) string {
	return holeRange.ReplaceAllString(exactValue.ReplaceAllStringFunc(s, mixedText), "$1\u2013$2")
}

// windowWords name what a countback compares: "holes 10–18", "the last round".
func windowWords(window string) string {
	switch {
	case strings.HasPrefix(window, "holes played"):
		return countbackWords(window)
	case window == "last round":
		return "the last round"
	case strings.HasPrefix(window, "last "):
		return "the " + window + " holes"
	case strings.Contains(window, "-"):
		return "holes " + countbackWords(window)
	default:
		return "hole " + window
	}
}

// holeRange finds windows such as 10-18.
var holeRange = regexp.MustCompile(`(\d)-(\d)`)

// suspensionWords say what a suspension asks of players (Rules of Golf 5.7b).
func suspensionWords(s *competition.Suspension) string {
	words := "Finish the hole or stop, as the rules allow."
	if s.Kind == "immediate" {
		words = "Stop at once and follow the committee’s instructions."
	}
	if s.Reason != "" {
		return sentence(s.Reason) + " " + words
	}
	return words
}

// takenText writes gross strokes less a share of the handicap; a plus handicap's
// share is added.
func takenText(gross int, share string) string {
	if plus, ok := strings.CutPrefix(share, "-"); ok {
		return fmt.Sprintf("%d + %s", gross, mixedText(plus))
	}
	return fmt.Sprintf("%d \u2212 %s", gross, mixedText(share))
}

// shortDay writes YYYY-MM-DD as "14 Jun 2025".
func shortDay(date string) string {
	d, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return d.Format("2 Jan 2006")
}

// dayNumber counts days, for drawing; 0 for what is no date.
func dayNumber(date string) int {
	d, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return 0
	}
	return int(d.Unix() / (24 * 60 * 60))
}

// keyWords say under a key what the number is to par.
func keyWords(n, par int) string {
	switch {
	case par == 0:
		return ""
	case n == par:
		return "par"
	default:
		return scoring.ToPar(n - par)
	}
}

// toParWords write a number relative to par with its sign.
func toParWords(n int) string { return scoring.ToPar(n) }

// minus finds hyphens that stand for a minus sign.
var minus = regexp.MustCompile(`(^|[\s(])-(\s|\d)`)

// signsText writes the arithmetic of an explanation with true signs.
func signsText(s string) string {
	s = minus.ReplaceAllString(s, "$1\u2212$2")
	return strings.NewReplacer(" * ", " × ", " x ", " × ").Replace(s)
}
