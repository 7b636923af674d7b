package web

import "math"

// trendRound is one round in a trend, the oldest first.
type trendRound struct {
	Date  string
	Value float64
	Words string
}

// trend draws one value a round in the order of play, up is better, and its mean.
func (d *drawing) trend(rounds []trendRound) {
	const left, right, top, foot = 44, 350, 22, 150
	d.Width, d.Height = 360, 182
	low, high, sum := rounds[0].Value, rounds[0].Value, 0.0
	for _, r := range rounds {
		low, high, sum = math.Min(low, r.Value), math.Max(high, r.Value), sum+r.Value
	}
	mean := sum / float64(len(rounds))
	step := roundStep(math.Max(high-low, 1), 4)
	low, high = math.Floor(low/step)*step, math.Ceil(high/step)*step
	if low == high {
		low, high = low-step, high+step
	}
	y := scale{low, high, foot, top}
	for n := math.Round(low / step); n*step <= high+step/2; n++ {
		class := "grid"
		if n == 0 {
			class = "zero"
		}
		d.shape(class, "", "M%v %vH%v", float64(left), y.at(n*step), float64(right))
		d.label(left-5, y.at(n*step)+4, end, "soft", decimalText(n*step, decimalsOf(step), true))
	}
	d.shape("mean", "mean", "M%v %vH%v", float64(left), y.at(mean), float64(right))
	x := scale{-0.5, float64(len(rounds)) - 0.5, left, right}
	line := ""
	for i, r := range rounds {
		letter := "L"
		if i == 0 {
			letter = "M"
		}
		line += pathText(letter+"%v %v", x.at(float64(i)), y.at(r.Value))
	}
	d.Paths = append(d.Paths, drawnPath{"line", line, ""})
	for i, r := range rounds {
		class, size := "stop", 3.5
		if i == len(rounds)-1 {
			class, size = "last", 5.0
		}
		d.Paths = append(d.Paths, drawnPath{class, disc(x.at(float64(i)), y.at(r.Value), size), r.Words})
	}
	d.label(left, foot+22, start, "soft", shortDay(rounds[0].Date))
	d.label(right, foot+22, end, "soft", shortDay(rounds[len(rounds)-1].Date))
	d.label(left+4, y.at(mean)-5, start, "name", "mean "+gainedText(mean))
	d.key("line", "round by round: up is better", "M1 12L6 8L10 9L15 3")
	d.key("mean", "mean", "M1 8h14")
}

// spark is a trend as small as a word, 120 by 32.
func spark(values []float64) *drawing {
	if len(values) < 2 {
		return nil
	}
	low, high := values[0], values[0]
	for _, v := range values {
		low, high = math.Min(low, v), math.Max(high, v)
	}
	d := &drawing{Width: 120, Height: 32}
	x, y := scale{0, float64(len(values) - 1), 5, 115}, scale{low, high, 27, 5}
	line := ""
	for i, v := range values {
		letter := "L"
		if i == 0 {
			letter = "M"
		}
		line += pathText(letter+"%v %v", x.at(float64(i)), y.at(v))
	}
	d.Paths = []drawnPath{{"line", line, ""}, {"last", disc(115, y.at(values[len(values)-1]), 4), ""}}
	return d
}
