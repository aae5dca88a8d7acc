package rates

import "math"

// pooled is the rate of both sources together.
func (c Comparison) pooled() float64 {
	return float64(c.A.K+c.B.K) / float64(max(c.A.N+c.B.N, 1))
}

// more is how many notes must still be looked through until a source with twice the pooled rate would be told
// apart from one with the pooled rate in four of five cases. It is 0 where there are notes enough, and where
// no rate is known or the rate cannot double.
//
// What counts for two sources of unequal size is 1/n1 + 1/n2. So the larger may make up for the smaller as
// long as it has more than half of what equal ones would need; while neither has what equal ones would need,
// the fewest notes are those that make them equal.
func (c Comparison) more() (notes int, both bool) {
	p := c.pooled()
	if p == 0 || 2*p > 1 {
		return 0, false
	}
	equal := needed(p, 2*p)
	few, many := float64(min(c.A.N, c.B.N)), float64(max(c.A.N, c.B.N))
	if many > equal {
		return roundUp(1/(2/equal-1/many) - few), false
	}
	return roundUp(2*equal - few - many), true
}

// Quantiles of the normal distribution at 97.5 % and at 80 %.
const z975, z80 = 1.959963985, 0.841621234

// needed is how many notes each of two sources needs for their rates p and q to be told apart with a chance
// of 80 % at 5 %, two-sided: the normal approximation with the correction for continuity, without which it
// falls short of Fisher's test (J. L. Fleiss, Statistical Methods for Rates and Proportions, chapter 3; the
// correction by Fleiss, Tytun and Ury, Biometrics 36, 1980; both from memory):
//
//	n  = (z₀.₉₇₅ √(2m(1-m)) + z₀.₈ √(p(1-p) + q(1-q)))² / (q-p)², m = (p+q)/2
//	n' = n/4 · (1 + √(1 + 4/(n|q-p|)))²
func needed(p, q float64) float64 {
	m, d := (p+q)/2, math.Abs(q-p)
	n := math.Pow((z975*math.Sqrt(2*m*(1-m))+z80*math.Sqrt(p*(1-p)+q*(1-q)))/d, 2)
	return n / 4 * math.Pow(1+math.Sqrt(1+4/(n*d)), 2)
}

// roundUp keeps two figures, for more would pretend; what is negative is 0.
func roundUp(x float64) int {
	if x <= 0 {
		return 0
	}
	scale := math.Pow(10, max(math.Floor(math.Log10(x))-1, 0))
	return int(math.Ceil(x/scale) * scale)
}
