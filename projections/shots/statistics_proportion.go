package shots

import "math"

// Wilson is Wilson's 95 % score interval of a share, done of n (Wilson 1927, from memory; no
// continuity correction). Without any tries, or with counts that make no sense,
// nothing is known: 0 to 1.
func Wilson(done, n int) Interval {
	if n <= 0 || done < 0 || done > n {
		return Interval{0, 1}
	}
	size, share := float64(n), float64(done)/float64(n)
	z2 := z95 * z95
	middle := (share + z2/(2*size)) / (1 + z2/size)
	half := z95 / (1 + z2/size) * math.Sqrt(share*(1-share)/size+z2/(4*size*size))
	// The ends are exact where nothing or everything was done; rounding must not leave [0, 1].
	return Interval{max(0, middle-half), min(1, middle+half)}
}

// Newcombe is the difference of two shares, first less second, with the 95 % hybrid
// interval made of their Wilson intervals (Newcombe 1998, method 10, from memory). Without tries
// in either group the difference is 0 and the interval -1 to 1.
func Newcombe(firstDone, firstN, secondDone, secondN int) (float64, Interval) {
	if firstN <= 0 || secondN <= 0 || firstDone < 0 || secondDone < 0 || firstDone > firstN || secondDone > secondN {
		return 0, Interval{-1, 1}
	}
	p, q := float64(firstDone)/float64(firstN), float64(secondDone)/float64(secondN)
	first, second := Wilson(firstDone, firstN), Wilson(secondDone, secondN)
	difference := p - q
	return difference, Interval{
		difference - math.Hypot(p-first.Low, second.High-q),
		difference + math.Hypot(first.High-p, q-second.Low),
	}
}

// Fisher is Fisher's exact two-sided p-value of a 2 x 2 table: the chance of all
// tables with these margins that are no likelier than this one. An empty margin, or
// a negative count, gives 1.
func Fisher(a, b, c, d int) float64 {
	if a < 0 || b < 0 || c < 0 || d < 0 {
		return 1
	}
	first, second, column := a+b, c+d, a+c
	chance := func(x int) float64 {
		return logChoose(first, x) + logChoose(second, column-x) - logChoose(first+second, column)
	}
	observed := chance(a)
	p := 0.0
	for x := max(0, column-second); x <= min(first, column); x++ {
		// Tables as likely as this one in exact arithmetic must count whatever rounding did.
		if at := chance(x); at <= observed+1e-7 {
			p += math.Exp(at)
		}
	}
	return min(1, p)
}

// signTest is the exact two-sided sign test: min(1, 2·Σ_{i≤min} C(n,i)/2ⁿ).
func signTest(left, right int) float64 {
	n := left + right
	if n <= 0 || left == right {
		return 1
	}
	sum := 0.0
	for i := 0; i <= min(left, right); i++ {
		sum += math.Exp(logChoose(n, i) - float64(n)*math.Ln2)
	}
	return min(1, 2*sum)
}

// logChoose is the logarithm of the binomial coefficient n over k.
func logChoose(n, k int) float64 {
	if k < 0 || k > n {
		return math.Inf(-1)
	}
	top, _ := math.Lgamma(float64(n + 1))
	left, _ := math.Lgamma(float64(k + 1))
	right, _ := math.Lgamma(float64(n - k + 1))
	return top - left - right
}
