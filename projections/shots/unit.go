package shots

// Metres in a yard and in a foot, both exact.
const (
	Yard = 0.9144
	Foot = 0.3048
)

// stored is half of the last digit that a distance is kept with (a tenth of a millimetre). A distance that was written in yards
// or feet counts as the edge it was meant to be when it is this near.
const stored = 0.00005

// upTo reports whether a distance is at most the edge, both in metres.
func upTo(distance, edge float64) bool { return distance <= edge+stored }
