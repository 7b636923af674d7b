package web

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
	"marram.example/projections/shots"
)

// A hole's strokes can be written as one line, as one says them from memory:
//
//	t 380 driver, f 120 iron-8, g 6, g 0.5
//
// Strokes are parted by commas. Each begins with the letter of its lie (strokeLies)
// and the distance to the hole; a club, and penalty strokes as +1, may follow in any
// order. A number is in the units of the page; m, yd or ft behind it says otherwise.
// The last stroke was holed, unless an x follows it.

// lineStroke is a stroke as a line says it.
type lineStroke struct {
	Lie       string
	DistanceM float64 // to a tenth of a millimetre
	Club      string
	Penalty   int
}

// holeLine is what a line says: the strokes, and whether the last one was not holed.
type holeLine struct {
	Strokes []lineStroke
	Open    bool
}

// lineError says which stroke of a line is wrong, counted from 1, and the rule.
type lineError struct {
	Stroke int
	Rule   string
}

func (e *lineError) Error() string { return fmt.Sprintf("stroke %d: %s", e.Stroke, e.Rule) }

// strokeLie is a lie with its letter on a line and its name for people.
type strokeLie struct {
	Lie, Letter, Name string
}

// strokeLies are the lies in the order in which they are offered.
func strokeLies() []strokeLie {
	return []strokeLie{
		{events.LieTee, "t", "Tee"}, {events.LieFairway, "f", "Fairway"}, {events.LieRough, "r", "Rough"},
		{events.LieSand, "s", "Sand"}, {events.LieRecovery, "v", "Recovery"}, {events.LieGreen, "g", "Green"},
	}
}

// noStrokes on a line takes the strokes of its hole off.
const noStrokes = "0"

var (
	lineForm = regexp.MustCompile(`^([a-z]+)\s*([0-9]{1,5}(?:\.[0-9]{1,6})?)\s*(m|yd|ft)?(?:\s+(.*))?$`)
	clubForm = regexp.MustCompile(`^(?:([hiw])-?([1-9])|([1-9])-?([hiw]))$`)
)

const lineRule = "a stroke is its lie, the distance left and, if you like, a club: f 120 iron-8"

// parseLine reads the line of a hole. An empty one has no strokes.
func parseLine(text string, u units) (holeLine, *lineError) {
	var out holeLine
	text = strings.ToLower(strings.TrimSpace(text))
	if text == "" {
		return out, nil
	}
	items := strings.Split(text, ",")
	for i, item := range items {
		item = strings.TrimSpace(item)
		last := i == len(items)-1
		if item == "x" && last && i > 0 && !out.Open {
			out.Open = true
			continue
		}
		if len(out.Strokes) == card.MostStrokes {
			return out, &lineError{i + 1, fmt.Sprintf("a hole holds at most %d strokes", card.MostStrokes)}
		}
		x, open, rule := parseItem(item, u)
		if rule == "" && open && !last {
			rule = "x stands after the last stroke alone"
		}
		if rule != "" {
			return out, &lineError{i + 1, rule}
		}
		out.Strokes, out.Open = append(out.Strokes, x), open
	}
	return out, nil
}

// parseItem reads one stroke of a line; rule is what is wrong with it.
func parseItem(item string, u units) (x lineStroke, open bool, rule string) {
	if item == "" {
		return x, false, "nothing stands between two commas; " + lineRule
	}
	m := lineForm.FindStringSubmatch(item)
	if m == nil {
		return x, false, fmt.Sprintf("%q cannot be read; %s", item, lineRule)
	}
	lies := strokeLies()
	at := slices.IndexFunc(lies, func(l strokeLie) bool { return m[1] == l.Letter || m[1] == l.Lie })
	if at < 0 {
		return x, false, fmt.Sprintf("%q is no lie; use t, f, r, s, v or g", m[1])
	}
	x.Lie = lies[at].Lie
	unit := m[3]
	if unit == "" {
		unit = u.Unit(x.Lie)
	}
	n, err := strconv.ParseFloat(m[2], 64)
	if err != nil {
		return x, false, fmt.Sprintf("%q is no distance", m[2])
	}
	x.DistanceM = toMetres(n, unit)
	if x.DistanceM <= 0 || x.DistanceM > card.MostDistanceM {
		return x, false, fmt.Sprintf("the distance to the hole is above 0 and at most %d m", card.MostDistanceM)
	}
	for _, word := range strings.Fields(m[4]) {
		switch {
		case word == "x" && !open:
			open = true
		case word == "x", word[0] == '+' && x.Penalty > 0:
			return x, false, fmt.Sprintf("%q is one word too many", word)
		case word[0] == '+':
			n, err := strconv.Atoi(word[1:])
			if err != nil || n < 1 || n > card.MostStrokePenalty {
				return x, false, fmt.Sprintf("%q: one stroke incurs +1 to +%d penalty strokes", word, card.MostStrokePenalty)
			}
			x.Penalty = n
		case x.Club == "":
			if x.Club = clubNamed(word); x.Club == "" {
				return x, false, fmt.Sprintf("%q is no club, penalty or x; clubs are written driver, wood-3, hybrid-4, iron-8, pw, gw, sw, lw, putter", word)
			}
		default:
			return x, false, fmt.Sprintf("%q is one word too many", word)
		}
	}
	return x, open, ""
}

// clubNamed finds a club by its name or a short form of it: "8i", "i8", "pw". It is
// empty for a word that names none.
func clubNamed(word string) string {
	switch word {
	case "d", "dr":
		return "driver"
	case "p", "pt":
		return "putter"
	case "pw":
		return "pitching-wedge"
	case "gw":
		return "gap-wedge"
	case "sw":
		return "sand-wedge"
	case "lw":
		return "lob-wedge"
	}
	if m := clubForm.FindStringSubmatch(word); m != nil {
		kind := map[string]string{"w": "wood-", "i": "iron-", "h": "hybrid-"}[m[1]+m[4]]
		word = kind + m[2] + m[3]
	}
	if slices.Contains(events.Clubs(), word) {
		return word
	}
	return ""
}

// formatLine writes strokes as the line that parseLine reads back as the same.
func formatLine(h holeLine, u units) string {
	items := make([]string, len(h.Strokes))
	lies := strokeLies()
	for i, x := range h.Strokes {
		letter := x.Lie
		if at := slices.IndexFunc(lies, func(l strokeLie) bool { return l.Lie == x.Lie }); at >= 0 {
			letter = lies[at].Letter
		}
		item := letter + " " + exactDistance(x.DistanceM, x.Lie, u)
		if x.Club != "" {
			item += " " + x.Club
		}
		if x.Penalty > 0 {
			item += fmt.Sprintf(" +%d", x.Penalty)
		}
		if h.Open && i == len(h.Strokes)-1 {
			item += " x"
		}
		items[i] = item
	}
	return strings.Join(items, ", ")
}

// exactDistance writes metres so that they read back as the same: in the page's own
// unit, or in metres where only those are short.
func exactDistance(metres float64, lie string, u units) string {
	unit := u.Unit(lie)
	own := shortest(metres, unit)
	if unit == "m" {
		return own
	}
	if inMetres := shortest(metres, "m") + "m"; decimals(own) > 2 && len(inMetres) < len(own) {
		return inMetres
	}
	return own
}

// shortest is the number with the fewest decimals that means these metres.
func shortest(metres float64, unit string) string {
	s := ""
	for d := range 7 {
		s = strconv.FormatFloat(metres/perUnit(unit), 'f', d, 64)
		if n, err := strconv.ParseFloat(s, 64); err == nil && toMetres(n, unit) == toMetres(metres, "m") {
			break
		}
	}
	return s
}

func decimals(number string) int {
	_, after, _ := strings.Cut(number, ".")
	return len(after)
}

func perUnit(unit string) float64 {
	switch unit {
	case "yd":
		return shots.Yard
	case "ft":
		return shots.Foot
	default:
		return 1
	}
}

// toMetres rounds as strokes are stored: to a tenth of a millimetre.
func toMetres(n float64, unit string) float64 { return math.Round(n*perUnit(unit)*1e4) / 1e4 }

// lineOf is what a line can say of strokes that were logged.
func lineOf(strokes []command.LoggedStroke) holeLine {
	var out holeLine
	for _, x := range strokes {
		out.Strokes = append(out.Strokes, lineStroke{x.Lie, toMetres(x.Distance, x.Unit), x.Club, x.Penalty})
	}
	if n := len(strokes); n > 0 {
		f := strokes[n-1].Finish
		out.Open = f == nil || !f.Holed
	}
	return out
}

// onLine brings what was logged into line with what a line says. A stroke that the
// line still holds, or holds changed, keeps its id and all that a line cannot say.
func onLine(stood []command.LoggedStroke, h holeLine) []command.LoggedStroke {
	was := lineOf(stood)
	from := align(was.Strokes, h.Strokes)
	out := make([]command.LoggedStroke, len(h.Strokes))
	for i, x := range h.Strokes {
		if from[i] >= 0 {
			out[i] = stood[from[i]]
		}
		out[i].Lie, out[i].Distance, out[i].Unit, out[i].Club, out[i].Penalty = x.Lie, x.DistanceM, "m", x.Club, x.Penalty
		last := i == len(h.Strokes)-1
		holed := out[i].Finish != nil && out[i].Finish.Holed
		switch {
		case last && !h.Open && !holed:
			out[i].Finish = &command.Finish{Holed: true}
		case holed && (!last || h.Open):
			out[i].Finish = nil
		}
	}
	return out
}

// align says for each stroke of a new line which one that stood it is, or -1: in
// order, and so that as much as possible stays.
func align(was, is []lineStroke) []int {
	best := make([][]int, len(was)+1) // of was[i:] and is[j:]
	for i := range best {
		best[i] = make([]int, len(is)+1)
	}
	for i := len(was) - 1; i >= 0; i-- {
		for j := len(is) - 1; j >= 0; j-- {
			best[i][j] = max(best[i+1][j], best[i][j+1])
			if w := alike(was[i], is[j]); w > 0 {
				best[i][j] = max(best[i][j], best[i+1][j+1]+w)
			}
		}
	}
	out := make([]int, len(is))
	for j := range out {
		out[j] = -1
	}
	for i, j := 0, 0; i < len(was) && j < len(is); {
		w := alike(was[i], is[j])
		switch {
		case w > 0 && best[i][j] == best[i+1][j+1]+w:
			out[j] = i
			i, j = i+1, j+1
		case best[i][j] == best[i+1][j]:
			i++
		default:
			j++
		}
	}
	return out
}

// alike weighs how much two strokes have in common; 0 for two different ones.
func alike(a, b lineStroke) int {
	w := 0
	if a.Lie == b.Lie {
		w += 2
	}
	if a.DistanceM == b.DistanceM {
		w += 3
	}
	if w > 0 && a.Club == b.Club {
		w++
	}
	if a == b {
		w += 4
	}
	return w
}

// lineWords read a line back to who wrote it.
func lineWords(h holeLine, u units) string {
	if len(h.Strokes) == 0 {
		return ""
	}
	n := 0
	parts := make([]string, len(h.Strokes))
	for i, x := range h.Strokes {
		n += 1 + x.Penalty
		part := strings.ToLower(lieName(x.Lie)) + " " + u.edit(x.DistanceM, x.Lie) + " " + u.Unit(x.Lie)
		if x.Club != "" {
			part += ", " + clubWords(x.Club)
		}
		if x.Penalty > 0 {
			part += ", " + count(x.Penalty, "penalty stroke", "penalty strokes")
		}
		parts[i] = part
	}
	end := "holed"
	if h.Open {
		end = "not holed"
	}
	what := count(n, "stroke", "strokes")
	if !slices.ContainsFunc(h.Strokes, func(x lineStroke) bool { return x.Lie != events.LieGreen }) {
		what = count(n, "putt", "putts")
	}
	return what + ": " + strings.Join(parts, "; ") + "; " + end
}

func lieName(lie string) string {
	for _, l := range strokeLies() {
		if l.Lie == lie {
			return l.Name
		}
	}
	return lie
}

// clubWords is a club as a person says it: "8 iron", "sand wedge".
func clubWords(club string) string {
	kind, number, has := strings.Cut(club, "-")
	if has && len(number) == 1 {
		return number + " " + kind
	}
	return strings.ReplaceAll(club, "-", " ")
}

// clubShort is a club for a key: "8i", "SW".
func clubShort(club string) string {
	switch club {
	case "driver":
		return "Dr"
	case "putter":
		return "Pt"
	}
	kind, number, _ := strings.Cut(club, "-")
	if number == "wedge" {
		return strings.ToUpper(kind[:1]) + "W"
	}
	return number + kind[:1]
}
