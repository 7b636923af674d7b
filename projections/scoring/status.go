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
	// MissedCut is of an entry that returned every card and is not through the cut: it keeps its total and is ordered by
	// it, without a position.
	MissedCut Status = "MC"
)

// statusOrder is the order below the ranked cards: those who missed a cut, then the empty status (nothing to rank yet).
var statusOrder = []Status{MissedCut, "", NoReturn, Retired, Withdrew, NoShow, Disqualified}

// ParseStatus reads one of the codes, or an empty text for a card without a ruling.
func ParseStatus(text string) (Status, error) {
	status := Status(text)
	if !slices.Contains(statusOrder, status) {
		return "", refuse("status", "", "%q is unknown; use NR, RTD, WD, NS, DQ or MC", text)
	}
	return status, nil
}
