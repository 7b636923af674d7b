package review

import (
	"strings"

	"marram.example/events"
	"marram.example/projections/shots"
)

// area is a part of the game that can be practised by itself. Every stroke belongs to
// exactly one.
type area struct {
	key           string
	phase         shots.Phase
	from, to      float64 // metres to the hole, above from and up to to; 0 for no end
	metres, yards string  // the strokes in it, as a sentence begins with them
}

// The edges are ours: on the green 3, 10 and 20 feet, further out every 50 yards from
// 50 to 200. In metres they are said as the nearest round number, 2 m off at most or a little more.
var areas = []area{
	{"tee", shots.PhaseOffTheTee, 0, 0, "tee shots on par 4s and 5s", ""},
	{"beyond_200_yd", shots.PhaseApproach, 200 * shots.Yard, 0, "shots from beyond 185 m", "shots from beyond 200 yd"},
	{"150_to_200_yd", shots.PhaseApproach, 150 * shots.Yard, 200 * shots.Yard, "shots from 135 to 185 m", "shots from 150 to 200 yd"},
	{"100_to_150_yd", shots.PhaseApproach, 100 * shots.Yard, 150 * shots.Yard, "shots from 90 to 135 m", "shots from 100 to 150 yd"},
	{"50_to_100_yd", shots.PhaseApproach, 50 * shots.Yard, 100 * shots.Yard, "shots from 45 to 90 m", "shots from 50 to 100 yd"},
	{"short_sand", shots.PhaseAroundTheGreen, 0, shots.AroundTheGreen, "sand shots near the green", ""},
	{"short_grass", shots.PhaseAroundTheGreen, 0, shots.AroundTheGreen, "chips and pitches", ""},
	{"putts_to_3_ft", shots.PhasePutting, 0, 3 * shots.Foot, "putts up to 1 m", "putts up to 3 ft"},
	{"putts_3_to_10_ft", shots.PhasePutting, 3 * shots.Foot, 10 * shots.Foot, "putts from 1 to 3 m", "putts from 3 to 10 ft"},
	{"putts_10_to_20_ft", shots.PhasePutting, 10 * shots.Foot, 20 * shots.Foot, "putts from 3 to 6 m", "putts from 10 to 20 ft"},
	{"putts_beyond_20_ft", shots.PhasePutting, 20 * shots.Foot, 0, "putts beyond 6 m", "putts beyond 20 ft"},
}

// edge is half of the last digit that distances are kept with, in metres.
const edge = 0.00005

// areaOf is the place in areas of a stroke.
func areaOf(g *shots.Gain) int {
	for i, a := range areas {
		if a.phase != g.Phase {
			continue
		}
		switch a.key {
		case "short_sand":
			if g.From.Lie == events.LieSand {
				return i
			}
			continue
		case "short_grass", "tee", "50_to_100_yd": // the last of its phase, the shortest of par 3s too
			return i
		}
		if (a.from == 0 || g.From.Distance > a.from+edge) && (a.to == 0 || g.From.Distance <= a.to+edge) {
			return i
		}
	}
	return 0
}

func (a area) kind() string {
	if a.phase == shots.PhasePutting {
		return kindPutts
	}
	return kindRest
}

// strokes are the strokes in the area in the middle of a sentence.
func (a area) strokes(units string) string {
	if units == Yards && a.yards != "" {
		return a.yards
	}
	return a.metres
}

func (a area) label(units string) string { return upper(a.strokes(units)) }

// bandLabel names a band of shots.ByBand in the units asked for.
func bandLabel(s shots.Sum, units string) string {
	if s.Key == shots.OffTheTeeBand {
		return "Off the tee"
	}
	lie, what, from := events.LieFairway, "", "From "
	if strings.HasPrefix(s.Key, "putt") {
		lie, what, from = events.LieGreen, "Putts ", "Putts "
	}
	switch {
	case s.To == 0:
		return upper(what + "beyond " + distanceText(s.From, lie, units))
	case s.From == 0:
		return upper(what + "up to " + distanceText(s.To, lie, units))
	}
	number, _, _ := strings.Cut(distanceText(s.From, lie, units), " ")
	return from + number + " to " + distanceText(s.To, lie, units)
}
