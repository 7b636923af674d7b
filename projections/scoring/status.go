package scoring

import "slices"

// Status is a ruling that takes a card out of the ranking.
type Status string

// A card without a ruling has an empty status, whether complete or in progress. The codes are the trade's own.
const (
	NoReturn     Status = "NR"
	Retired      Status = "RTD"
	Withdrew     Status = "WD"
	NoShow       Status = "NS"
	Disqualified Status = "DQ"
)

// statusOrder is the order below the ranked cards; the empty status (nothing to rank yet) comes first.
var statusOrder = []Status{"", NoReturn, Retired, Withdrew, NoShow, Disqualified}

// ParseStatus reads one of the codes, or an empty text for a card without a ruling.
func ParseStatus(text string) (Status, error) {
	status := Status(text)
	if !slices.Contains(statusOrder, status) {
		return "", refuse("status", "", "%q is unknown; use NR, RTD, WD, NS or DQ", text)
	}
	return status, nil
}
