package review

import "testing"

// BenchmarkOf composes the review of one round with 20 earlier ones, and of 500
// rounds.
func BenchmarkOf(b *testing.B) {
	past, m := history(500), matched()
	own := invented("card-1", "2033-07-05", 3, 0)
	field := field(own, 40)
	for name, in := range map[string]Input{
		"one round": {Own: past[:1], One: true, Past: past[1:21], Field: field, Baseline: m},
		"500":       {Own: past, Baseline: m},
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Of(in); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
