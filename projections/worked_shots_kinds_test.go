package projections_test

import (
	"errors"
	"fmt"
	"math/big"

	"marram.example/projections/shots"
)

func (in inputs) float(key string) (float64, error) { return float(key, in[key]) }

func float(key string, value any) (float64, error) {
	exact, err := rational(key, value)
	if err != nil {
		return 0, err
	}
	number, _ := exact.Float64()
	return number, nil
}

func (in inputs) floats(keys ...string) ([]float64, error) {
	values := make([]float64, len(keys))
	for i, key := range keys {
		var err error
		if values[i], err = in.float(key); err != nil {
			return nil, err
		}
	}
	return values, nil
}

// fraction is a figure as same compares it.
func fraction(value float64) *big.Rat { return new(big.Rat).SetFloat64(value) }

// shotUnits are the units of a case in metres.
var shotUnits = map[string]float64{"m": 1, "yd": shots.Yard, "ft": shots.Foot}

func (in inputs) baseline() (*shots.Baseline, error) {
	name, err := in.text("baseline")
	if err != nil {
		return nil, err
	}
	return shots.Named(name)
}

func (in inputs) shotPosition() (shots.Position, error) {
	lie, err := in.text("lie")
	if err != nil {
		return shots.Position{}, err
	}
	unit, err := in.text("unit")
	if err != nil {
		return shots.Position{}, err
	}
	metres, known := shotUnits[unit]
	if !known {
		return shots.Position{}, fmt.Errorf("unit: %q is not a unit", unit)
	}
	distance, err := in.float("distance")
	return shots.Position{Lie: lie, Distance: distance * metres}, err
}

// shotHole reads a hole of a case: positions from which a stroke was played, then "holed" or where the ball lay when it was picked up.
func shotHole(in inputs, number int) (shots.Hole, error) {
	par, err := in.integer("par")
	if err != nil {
		return shots.Hole{}, err
	}
	entries, err := in.list("strokes")
	if err != nil {
		return shots.Hole{}, err
	}
	h := shots.Hole{Number: number, Par: par}
	for i, entry := range entries {
		if entry == "holed" {
			if i != len(entries)-1 || i == 0 {
				return h, errors.New("strokes: holed comes last, after a stroke")
			}
			h.Holed = true
			break
		}
		position, ok := entry.(map[string]any)
		if !ok {
			return h, fmt.Errorf("strokes: %v is not a position", entry)
		}
		from, err := inputs(position).shotPosition()
		if err != nil {
			return h, err
		}
		penalty, err := inputs(position).integerOr("penalty", 0)
		if err != nil {
			return h, err
		}
		if i == len(entries)-1 {
			if i > 0 {
				h.Strokes[i-1].Finish = &from
			}
			break // nobody played from there
		}
		h.Strokes = append(h.Strokes, shots.Stroke{From: from, Penalty: penalty})
	}
	return h, nil
}

func (in inputs) shotRound() (shots.Round, error) {
	holes, err := in.list("holes")
	if err != nil {
		return shots.Round{}, err
	}
	var r shots.Round
	for i, value := range holes {
		given, ok := value.(map[string]any)
		if !ok {
			return r, fmt.Errorf("holes: %v is not a hole", value)
		}
		h, err := shotHole(given, i+1)
		if err != nil {
			return r, err
		}
		if err := h.Check(); err != nil {
			return r, err
		}
		r.Holes = append(r.Holes, h)
	}
	return r, nil
}

func expectedStrokesCase(in inputs) (answers, error) {
	b, err := in.baseline()
	if err != nil {
		return nil, err
	}
	p, err := in.shotPosition()
	if err != nil {
		return nil, err
	}
	strokes, _, err := b.Expected(p)
	if err != nil {
		return nil, err
	}
	return answers{"strokes": fraction(strokes)}, nil
}

func strokesGainedHoleCase(in inputs) (answers, error) {
	b, err := in.baseline()
	if err != nil {
		return nil, err
	}
	h, err := shotHole(in, 1)
	if err != nil {
		return nil, err
	}
	gains, err := shots.Gained(h, b)
	if err != nil {
		return nil, err
	}
	gained := make([]any, len(gains))
	for i, g := range gains {
		gained[i] = fraction(g.Gained)
	}
	return answers{"gained": gained, "total": totalGained(gains)}, nil
}

func totalGained(gains []shots.Gain) *big.Rat {
	total := 0.0
	for _, sum := range shots.ByPhase(gains) {
		total += sum.Total
	}
	return fraction(total)
}

func phaseTotalsCase(in inputs) (answers, error) {
	b, err := in.baseline()
	if err != nil {
		return nil, err
	}
	r, err := in.shotRound()
	if err != nil {
		return nil, err
	}
	gains, err := shots.GainedRound(r, b)
	if err != nil {
		return nil, err
	}
	answer := answers{"total": totalGained(gains)}
	for _, sum := range shots.ByPhase(gains) {
		answer[sum.Key] = fraction(sum.Total)
	}
	return answer, nil
}

func classicMeasuresCase(in inputs) (answers, error) {
	r, err := in.shotRound()
	if err != nil {
		return nil, err
	}
	c := shots.ClassicOf([]shots.Round{r})
	return answers{
		"fairways_hit": c.FairwaysHit.Done, "fairways_possible": c.FairwaysHit.Chances, "greens_in_regulation": c.Greens.Done,
		"scrambles": c.Scrambles.Done, "scramble_chances": c.Scrambles.Chances,
		"sand_saves": c.SandSaves.Done, "sand_save_chances": c.SandSaves.Chances,
		"putts": c.Putts, "penalties": c.Penalties,
	}, nil
}

func biasPosteriorCase(in inputs) (answers, error) {
	v, err := in.floats("prior_mean", "prior_sd", "observation_sd")
	if err != nil {
		return nil, err
	}
	list, err := in.list("observations")
	if err != nil {
		return nil, err
	}
	observations := make([]float64, len(list))
	for i, value := range list {
		if observations[i], err = float("observations", value); err != nil {
			return nil, err
		}
	}
	p, err := shots.BiasPosterior(v[0], v[1], observations, v[2])
	if err != nil {
		return nil, err
	}
	return answers{"mean": fraction(p.Mean), "sd": fraction(p.SD)}, nil
}

func corridorCase(in inputs) (answers, error) {
	v, err := in.floats("bias", "spread", "left", "right")
	if err != nil {
		return nil, err
	}
	c, err := shots.CorridorOf(v[0], v[1], v[2], v[3])
	if err != nil {
		return nil, err
	}
	return answers{
		"probability_inside": fraction(c.Inside), "probability_left": fraction(c.Left), "probability_right": fraction(c.Right),
	}, nil
}

func oneSidedMissCase(in inputs) (answers, error) {
	left, err := in.integer("left")
	if err != nil {
		return nil, err
	}
	right, err := in.integer("right")
	if err != nil {
		return nil, err
	}
	if left < 0 || right < 0 {
		return nil, errors.New("left, right: a count is not below 0")
	}
	return answers{"p_value": fraction(shots.OneSidedMiss(left, right).P)}, nil
}
