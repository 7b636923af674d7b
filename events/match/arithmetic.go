package match

import (
	"fmt"
	"slices"

	"marram.example/events"
)

// Other is the side that a side plays against; empty for anything but a side.
func Other(side string) string {
	switch side {
	case events.SideA:
		return events.SideB
	case events.SideB:
		return events.SideA
	default:
		return ""
	}
}

// BestNet is a side's score for a hole: the fewest strokes of its balls, less the
// strokes each receives there (Rules of Golf 23.2a for a side of two balls). It is
// false where no ball was completed. Missing received strokes count as none.
func BestNet(scores []events.MatchScore, received []int) (int, bool) {
	best, ok := 0, false
	for ball, s := range scores {
		if s.Strokes == 0 {
			continue
		}
		net := s.Strokes
		if ball < len(received) {
			net -= received[ball]
		}
		if !ok || net < best {
			best, ok = net, true
		}
	}
	return best, ok
}

// HoleWinner is who won a hole by the scores of both sides, gross and by ball, with
// the strokes that each ball receives there, and the grounds: fewer net strokes
// win, as many are a tie (Rules of Golf 3.2c), and who completes the hole beats who
// does not (23.2a). Where nobody does, the side that picked up last wins; the
// scores cannot say which, so the hole is tied until somebody does (Clarification
// 23.2a/1).
func HoleWinner(a, b []events.MatchScore, receivedA, receivedB []int) (winner, grounds string) {
	netA, okA := BestNet(a, receivedA)
	netB, okB := BestNet(b, receivedB)
	switch {
	case !okA && !okB:
		return events.Tied, events.HoleNotFinished
	case !okB || okA && netA < netB:
		return events.SideA, events.HoleByScores
	case !okA || netB < netA:
		return events.SideB, events.HoleByScores
	default:
		return events.Tied, events.HoleByScores
	}
}

// PlayIndex says which of the holes in play, counted from 0 in order of number, is
// the n-th that is played, counted from 1, when the match starts at start, counted
// from 0. Extra holes go on in the order of the round (Rules of Golf 3.2a(4), 5.1).
func PlayIndex(holes, start, n int) int { return (start + n - 1) % holes }

// Standing is how a match stands by its holes.
type Standing struct {
	Lead     int    // holes that side A has won less those that B has; negative where B leads
	Played   int    // holes that count: none after the one that decided the match
	Progress []int  // the lead after each of them
	Over     bool   // no hole is left that counts
	Winner   string // A, B or tied; empty while it is not over
	Text     string // such as 2 up, of whoever leads
}

// Stand works a match out from the winners of its holes in order of play. It is won
// by who leads by more holes than remain of its length (Rules of Golf 3.2a(1)). A
// tie after that stands, or with extra holes goes on until a hole is won (3.2a(4)).
func Stand(winners []string, length int, extraHoles bool) Standing {
	var s Standing
	for _, w := range winners {
		switch w {
		case events.SideA:
			s.Lead++
		case events.SideB:
			s.Lead--
		}
		s.Played++
		s.Progress = append(s.Progress, s.Lead)
		if magnitude(s.Lead) > max(0, length-s.Played) || s.Lead == 0 && s.Played == length && !extraHoles {
			s.Over = true
			break
		}
	}
	switch {
	case s.Over:
		s.Winner, s.Text = leader(s.Lead), StateText(s.Lead, s.Played, length)
	case s.Lead == 0:
		s.Text = allSquare // after the last hole as well: the match goes on
	default:
		s.Text = StateText(s.Lead, s.Played, length)
	}
	return s
}

func leader(lead int) string {
	switch {
	case lead > 0:
		return events.SideA
	case lead < 0:
		return events.SideB
	default:
		return events.Tied
	}
}

// The words of a match.
const (
	allSquare = "all square"
	tied      = "tied"
	dormie    = "dormie"
	conceded  = "conceded"
)

// StateText says how a match of so many holes stands for the side that leads,
// whichever that is: "2 up", "all square", "dormie" where it leads by just the
// holes that remain, "3 and 2" where by more, "1 up" after the last hole or "tied",
// and "at the 19th" where an extra hole was won.
func StateText(lead, played, length int) string {
	up, remain := magnitude(lead), length-played
	switch {
	case up == 0 && remain == 0:
		return tied
	case up == 0:
		return allSquare
	case remain < 0:
		return "at the " + ordinal(played)
	case remain == 0:
		return fmt.Sprintf("%d up", up)
	case up == remain:
		return dormie
	case up > remain:
		return fmt.Sprintf("%d and %d", up, remain)
	default:
		return fmt.Sprintf("%d up", up)
	}
}

// CheckState refuses a state that no match of so many holes can be in: it ends
// when a side leads by more than remain. The error is an *events.Error.
func CheckState(lead, played, length int) error {
	const rule = "Rules of Golf 3.2a"
	switch {
	case !slices.Contains([]int{9, 18, 36}, length):
		return events.Invalid("length", "out_of_range", fmt.Sprintf("a match has 9, 18 or 36 holes, not %d", length)).WithRule(rule)
	case played < 0:
		return events.Invalid("played", "out_of_range", "holes played are not negative").WithRule(rule)
	case magnitude(lead) > played:
		return events.Invalid("lead", "out_of_range", fmt.Sprintf("nobody leads by %d after %d holes", magnitude(lead), played)).WithRule(rule)
	case played > length && magnitude(lead) > 1:
		return events.Invalid("lead", "out_of_range", "an extra hole that is won ends the match: nobody leads by more than 1").WithRule(rule)
	case played <= length && played > 0 && magnitude(lead) > length-played+2:
		return events.Invalid("lead", "out_of_range", fmt.Sprintf("a lead of %d with %d to play was over before", magnitude(lead), length-played)).WithRule(rule)
	}
	return nil
}

// ReadResult is how many holes a side won a match by, and after how many it was
// over, from the text of its result as StateText writes it. Both are 0 up and the
// length for a tie, which is a result only without extra holes. It is false for
// anything that no match of so many holes can end with.
func ReadResult(text string, length int, extraHoles bool) (up, played int, ok bool) {
	if text == tied {
		return 0, length, !extraHoles
	}
	for played := 1; played <= length; played++ {
		remain := length - played
		for up := remain + 1; up <= min(played, remain+2); up++ {
			if StateText(up, played, length) == text {
				return up, played, true
			}
		}
	}
	for played := length + 1; extraHoles && played <= length+maxExtraHoles; played++ {
		if StateText(1, played, length) == text {
			return 1, played, true
		}
	}
	return 0, 0, false
}

// maxExtraHoles is how far a told result may go: more than any day has.
const maxExtraHoles = 36

func magnitude(n int) int { return max(n, -n) }

// ordinal writes 19 as 19th, 21 as 21st.
func ordinal(n int) string {
	suffix := "th"
	if tens := n / 10 % 10; tens != 1 {
		switch n % 10 {
		case 1:
			suffix = "st"
		case 2:
			suffix = "nd"
		case 3:
			suffix = "rd"
		}
	}
	return fmt.Sprintf("%d%s", n, suffix)
}
