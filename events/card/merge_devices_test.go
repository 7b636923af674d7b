package card_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
)

// device is a phone, or a desk of the committee's: what the server told it last, what
// waits on it, and how often somebody still enters something.
type device struct {
	by      int
	view    values
	waiting [2]sent
	count   int // of what waits
	left    int
}

// day is a moment of a hole that several devices write, with and without signal.
type day struct {
	spot
	devices [4]device
	signs   int // how often player or marker may still certify
}

// days walks through every day: at any moment any device looks, somebody enters a
// value on it, something that waits arrives, or somebody certifies.
type days struct {
	*referee
	memo    map[day]float64
	refused map[string]int
}

// shows is what a device shows: what waits on it over what it was told.
func (d device) shows() values {
	v := d.view
	if d.count > 0 {
		v[d.by] = d.waiting[d.count-1].value
	}
	return v
}

func (w *days) walk(n day) float64 {
	if known, ok := w.memo[n]; ok {
		return known
	}
	total := 0.0
	for i, d := range n.devices {
		if d.view != n.values && d.left+d.count > 0 {
			next := n
			next.devices[i].view = n.values
			total += w.walk(next)
		}
		if d.left > 0 && d.count < len(d.waiting) {
			for _, v := range []int{4, 5} {
				next := n
				to := &next.devices[i]
				to.waiting[d.count] = sent{d.by, v, d.shows()}
				to.count, to.left = d.count+1, d.left-1
				total += w.walk(next)
			}
		}
		if d.count > 0 {
			total += w.walk(w.arrive(n, i))
		}
	}
	if next, ok := w.sign(n); ok {
		total += w.walk(next)
	}
	if total == 0 {
		total = 1
	}
	w.memo[n] = total
	return total
}

// arrive is the day after what waited first on a device has arrived, and the device
// has the answer.
func (w *days) arrive(n day, i int) day {
	d := n.devices[i]
	first := d.waiting[0]
	v := w.ask(n.spot, first)
	n.spot = v.after
	d.waiting, d.count = [2]sent{d.waiting[1]}, d.count-1
	if v.code == "" {
		d.view[d.by] = first.value
	} else {
		w.refused[v.code]++
	}
	n.devices[i] = d
	return n
}

// sign is the day after somebody has certified what stands there, where that may be.
func (w *days) sign(n day) (day, bool) {
	if n.signs == 0 || n.signed || slices.Max(n.values[:]) == 0 {
		return n, false
	}
	out, err := card.Decide(stateOf(n.spot), card.Certify{By: marker})
	if err != nil {
		require.Equal(w.t, "hole_differs", events.AsError(err).Code)
		return n, false
	}
	require.Len(w.t, out, 1)
	n.signs, n.signed = n.signs-1, true
	return n, true
}

// Two phones of the player, one of the marker and the committee's desk write one hole,
// each looking or not before it writes: every day that can be.
func TestEveryDayOfAHole(t *testing.T) {
	t.Parallel()
	w := &days{referee: newReferee(t), memo: map[day]float64{}, refused: map[string]int{}}
	walked := w.walk(day{signs: 1, devices: [4]device{{by: ofPlayer, left: 2}, {by: ofPlayer, left: 1}, {by: ofMarker, left: 1}, {by: ofCommittee, left: 1}}})
	t.Logf("%.3g days through %d moments, %d different decisions, refused %v", walked, len(w.memo), len(w.known), w.refused)
	require.NotZero(t, w.refused["changed_since"])
	require.NotZero(t, w.refused["settled"])
}
