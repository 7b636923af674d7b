package handicap

import "strings"

// Index is a handicap index in tenths of a stroke: 124 is 12.4. A plus handicap is negative: +2.3 is -23.
type Index int

// Limits of an index. 54.0 is the maximum of Rules of Handicapping 5.3. The rules set no lower limit; +10.0 is where an
// entry is taken for a slip of the finger (common practice, no source).
const (
	LowestIndex  Index = -100
	HighestIndex Index = 540
)

const indexRule = "Rules of Handicapping 5.3; +10.0 to 54.0"

// ParseIndex reads an index as golfers write it: "12.4", "12,4" or "12", and "+2.3" for a plus handicap. A minus sign is
// refused, because it may mean either; so are a second decimal and values outside +10.0 to 54.0. The error is an
// [InputError] with field "handicap_index".
func ParseIndex(text string) (Index, error) {
	const field = "handicap_index"
	s := strings.TrimSpace(text)
	if strings.HasPrefix(s, "-") || strings.HasPrefix(s, "\u2212") {
		return 0, refuse(field, "", "%q has a minus sign; write a plus handicap as +2.3 and any other as 2.3", text)
	}
	digits, plus := strings.CutPrefix(s, "+")
	tenths, ok := parseTenths(digits, 2)
	if !ok {
		return 0, refuse(field, "", "%q is not an index; write it with one decimal, such as 12.4, or +2.3 for a plus handicap", text)
	}
	if plus {
		tenths = -tenths
	}
	index := Index(tenths)
	if err := index.Validate(); err != nil {
		return 0, err
	}
	return index, nil
}

// String shows the index with one decimal, a plus handicap with a leading plus: "12.4", "+2.3".
func (i Index) String() string {
	if i < 0 {
		return "+" + signedTenths(-int(i))
	}
	return signedTenths(int(i))
}

// Validate refuses an index outside +10.0 to 54.0 with an [InputError].
func (i Index) Validate() error {
	if i < LowestIndex || i > HighestIndex {
		return refuse("handicap_index", indexRule, "%s is outside %s to %s", i, LowestIndex, HighestIndex)
	}
	return nil
}

// parseTenths reads digits with at most one decimal, after a point or a comma, into tenths.
func parseTenths(s string, maxWholeDigits int) (int, bool) {
	whole, decimal, found := strings.Cut(strings.Replace(s, ",", ".", 1), ".")
	if whole == "" || len(whole) > maxWholeDigits || (found && len(decimal) != 1) {
		return 0, false
	}
	if !found {
		decimal = "0"
	}
	value := 0
	for _, r := range whole + decimal {
		if r < '0' || r > '9' {
			return 0, false
		}
		value = 10*value + int(r-'0')
	}
	return value, true
}
