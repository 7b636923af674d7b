package scoring

import (
	"fmt"
	"time"
)

const (
	minutesADay   = 24 * 60
	intervalsRule = "Committee Procedures 4A(1)"
)

// TeeTimes returns the start of each group in minutes after midnight: the first at first, then one every interval
// minutes, with one interval left empty after every emptyAfter groups (0 for none), so that a delay can be made up
// (Committee Procedures 4A(1)). Times past the end of the day are refused.
func TeeTimes(first, interval, groups, emptyAfter int) ([]int, error) {
	switch {
	case first < 0 || first >= minutesADay:
		return nil, refuse("first", "", "minute %d is not within one day", first)
	case interval < 1 || interval > minutesADay:
		return nil, refuse("interval_minutes", intervalsRule, "%d is not a number of minutes from 1 on within one day", interval)
	case groups < 1 || groups > minutesADay:
		return nil, refuse("groups", "", "%d is not a number of groups from 1 on within one day", groups)
	case emptyAfter < 0:
		return nil, refuse("empty_interval_after", intervalsRule, "%d is negative; 0 leaves no interval empty", emptyAfter)
	}
	times := make([]int, groups)
	for group := range times {
		slot := group
		if emptyAfter > 0 {
			slot += group / emptyAfter
		}
		times[group] = first + slot*interval
	}
	if last := times[groups-1]; last >= minutesADay {
		return nil, refuse("groups", "", "group %d would start after the end of the day", groups)
	}
	return times, nil
}

// ParseClock reads a time of day such as "07:30" into minutes after midnight.
func ParseClock(text string) (int, error) {
	clock, err := time.Parse("15:04", text)
	if err != nil || len(text) != len("15:04") {
		return 0, refuse("first", "", "%q is not a time of day such as 07:30", text)
	}
	return 60*clock.Hour() + clock.Minute(), nil
}

// ClockText shows minutes after midnight as a time of day: 450 is "07:30".
func ClockText(minutes int) string { return fmt.Sprintf("%02d:%02d", minutes/60, minutes%60) }
