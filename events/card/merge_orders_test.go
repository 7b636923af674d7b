package card_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/events"
	"marram.example/events/card"
)

// offline are devices that entered values without any signal. Every order in which the
// entries can arrive is walked, each device's own kept, with some of them arriving once
// more at any later moment. As the log does, what was stored is known when it comes
// again; what was not is decided anew.
type offline struct {
	*referee
	devices [][]sent
	memo    map[arrival]float64
	quiet   map[values]bool // what stood in the end where nothing was refused; nil where nobody asks
}

// arrival is where a walk stands.
type arrival struct {
	spot
	at      [8]uint8 // entries of each device that have arrived
	open    uint32   // those of them that stored nothing, 4 bits a device
	repeats uint8    // how often one may still come again
	refused bool
}

func bit(device int, entry uint8) uint32 { return 1 << (4*device + int(entry)) }

// orders walks on and counts the orders that are left.
func (w *offline) orders(n arrival) float64 {
	if known, ok := w.memo[n]; ok {
		return known
	}
	total, over := 0.0, true
	for d, entries := range w.devices {
		at := n.at[d]
		if int(at) < len(entries) {
			over = false
			v, next := w.ask(n.spot, entries[at]), n
			next.at[d]++
			if !v.stored {
				next.open |= bit(d, at)
			}
			next.spot, next.refused = v.after, w.refusal(n, v)
			total += w.orders(next)
		}
		for e := uint8(0); e < at && n.repeats > 0; e++ {
			next := n
			next.repeats--
			if n.open&bit(d, e) != 0 {
				v := w.ask(n.spot, entries[e])
				if v.stored {
					next.open &^= bit(d, e)
				}
				next.spot, next.refused = v.after, w.refusal(n, v)
			}
			total += w.orders(next)
		}
	}
	if over {
		total++
		if w.quiet != nil && !n.refused {
			w.quiet[n.values] = true
		}
	}
	w.memo[n] = total
	return total
}

// refusal reports whether anything has been refused, where somebody asks for that.
func (w *offline) refusal(n arrival, v verdict) bool {
	return w.quiet != nil && (n.refused || v.code != "")
}

func (r *referee) offline(repeats uint8, devices ...[]sent) float64 {
	w := &offline{referee: r, devices: devices, memo: map[arrival]float64{}}
	return w.orders(arrival{repeats: repeats})
}

// quiet gives besides what stands in the end of the orders in which nothing is refused.
func (r *referee) quiet(repeats uint8, devices ...[]sent) (ends map[values]bool, orders float64) {
	w := &offline{r, devices, map[arrival]float64{}, map[values]bool{}}
	orders = w.orders(arrival{repeats: repeats})
	return w.quiet, orders
}

// scripts are all that a device can have entered offline: some values one after the
// other, each having seen the one before.
func scripts(by, length int, from ...int) [][]sent {
	out := [][]sent{nil}
	for range length {
		var longer [][]sent
		for _, s := range out {
			saw := values{}
			if len(s) > 0 {
				saw[by] = s[len(s)-1].value
			}
			for _, v := range from {
				longer = append(longer, append(append([]sent{}, s...), sent{by, v, saw}))
			}
		}
		out = longer
	}
	return out
}

// pairs calls do with every two scripts, the order of the two left out: the devices
// of one role are alike.
func pairs(of [][]sent, do func(a, b []sent)) {
	for i, a := range of {
		for _, b := range of[i:] {
			do(a, b)
		}
	}
}

// Two devices of each role with three entries each, all entered without signal: every
// order of arrival.
func TestTwoDevicesOfEachRoleInEveryOrder(t *testing.T) {
	t.Parallel()
	r, walked := newReferee(t), 0.0
	pairs(scripts(ofPlayer, 3, 4, 5), func(p, q []sent) {
		pairs(scripts(ofMarker, 3, 4, 5), func(m, n []sent) {
			orders := r.offline(0, p, q, m, n)
			require.InDelta(t, 369_600, orders, 0, "12! / (3!)^4")
			walked += orders
		})
	})
	t.Logf("%.0f orders of arrival of 12 entries, %d different decisions", walked, len(r.known))
}

// Two entries each that overtake one another on the way, though a device sends them in
// order: every order of all of them.
func TestEntriesThatOvertakeOneAnother(t *testing.T) {
	t.Parallel()
	r, walked := newReferee(t), 0.0
	pairs(scripts(ofPlayer, 2, 4, 5), func(p, q []sent) {
		pairs(scripts(ofMarker, 2, 4, 5), func(m, n []sent) {
			var alone [][]sent
			for _, entry := range slices.Concat(p, q, m, n) {
				alone = append(alone, []sent{entry})
			}
			orders := r.offline(0, alone...)
			require.InDelta(t, 40_320, orders, 0, "8!")
			walked += orders
		})
	})
	t.Logf("%.0f orders of arrival of 8 entries that overtake, %d different decisions", walked, len(r.known))
}

// Two entries each, taking back among them, and one of them coming once
// more at any later moment.
func TestTwoDevicesOfEachRoleWithARepeat(t *testing.T) {
	t.Parallel()
	r, walked := newReferee(t), 0.0
	pairs(scripts(ofPlayer, 2, 0, 4, 5), func(p, q []sent) {
		pairs(scripts(ofMarker, 2, 0, 4, 5), func(m, n []sent) {
			orders := r.offline(1, p, q, m, n)
			// Of each of the 8!/(2!)^4 orders: without a repeat, or with one of what has
			// arrived at one of the moments after 1 to 8 arrivals.
			require.InDelta(t, 2_520*(1+36), orders, 0)
			walked += orders
		})
	})
	t.Logf("%.0f orders of arrival of 8 entries and a repeat, %d different decisions", walked, len(r.known))
}

// Where each role writes from one device and nothing is refused, what each entered
// last stands, whatever the order.
func TestOneDeviceOfEachRoleEndsAlikeInEveryOrder(t *testing.T) {
	t.Parallel()
	r, walked := newReferee(t), 0.0
	for _, p := range scripts(ofPlayer, 3, 0, 4, 5) {
		for _, m := range scripts(ofMarker, 3, 0, 4, 5) {
			ends, orders := r.quiet(2, p, m)
			walked += orders
			for end := range ends {
				require.Equal(t, values{p[2].value, m[2].value, 0}, end, "player %v, marker %v", p, m)
			}
		}
	}
	t.Logf("%.0f orders of arrival of 6 entries with up to two repeats", walked)
}

// The first entries of player and marker are never refused, and stand in either order.
func TestFirstEntriesStandInEveryOrder(t *testing.T) {
	t.Parallel()
	for _, p := range scripts(ofPlayer, 1, 4, 5) {
		for _, m := range scripts(ofMarker, 1, 4, 5) {
			r := newReferee(t)
			ends, _ := r.quiet(2, p, m)
			require.Equal(t, map[values]bool{{p[0].value, m[0].value}: true}, ends)
			for q, v := range r.known {
				require.Empty(t, v.code, "%+v", q)
			}
		}
	}
}

// Holes know nothing of one another: entries for different holes end alike in every
// order, whatever each of them meets on its own hole.
func TestHolesAreMergedEachForItself(t *testing.T) {
	t.Parallel()
	one := []card.Command{
		having([3]events.Score{}, enter(player, 1, strokes(4))),
		having([3]events.Score{}, enter(player, 1, strokes(5))),
		having([3]events.Score{}, enter(marker, 1, strokes(4))),
	}
	other := []card.Command{
		having([3]events.Score{}, enter(marker, 2, strokes(5))),
		having([3]events.Score{nothing, strokes(5)}, enter(marker, 2, strokes(6))),
		having([3]events.Score{}, enter(player, 2, strokes(5))),
	}
	var ends []*card.State
	interleave(one, other, nil, func(order []card.Command) {
		s := decider.Fold(medal)
		for _, c := range order {
			out, err := card.Decide(s, c)
			if err != nil {
				require.Equal(t, "changed_since", events.AsError(err).Code)
			}
			for _, e := range out {
				card.Evolve(s, e)
			}
		}
		ends = append(ends, s)
	})
	require.Len(t, ends, 20)
	for _, s := range ends {
		require.Equal(t, ends[0], s)
	}
	require.Equal(t, []int{2}, ends[0].Differences())
}

func interleave(a, b, done []card.Command, do func([]card.Command)) {
	if len(a) == 0 && len(b) == 0 {
		do(done)
	}
	if len(a) > 0 {
		interleave(a[1:], b, append(done[:len(done):len(done)], a[0]), do)
	}
	if len(b) > 0 {
		interleave(a, b[1:], append(done[:len(done):len(done)], b[0]), do)
	}
}
