package rates

import (
	"fmt"
	"math"
	"strings"
)

// A Comparison sets the rates of two sources side by side.
type Comparison struct {
	A, B   Interval
	Chance float64 // of a difference at least as large where there is none; 0 to 1
	More   int     // notes of both still to look through to show a doubling, rounded; 0 where they are told apart
}

// significance is the chance below which two sources are told apart, power that with which a doubling is to
// be found. Both are common practice.
const (
	significance = 0.05
	power        = 0.80
)

// Compare tests whether k1 of n1 and k2 of n2 can be of one rate, by Fisher's exact test, two-sided: the
// chance of all tables with the same sums that are no likelier than this one (R. A. Fisher, Statistical
// Methods for Research Workers, 1934, section 21.02).
func Compare(k1, n1, k2, n2 int) Comparison {
	c := Comparison{A: Of(k1, n1), B: Of(k2, n2), Chance: fisher(k1, n1, k2, n2)}
	if !c.Apart() {
		c.More = c.more()
	}
	return c
}

// Apart reports whether the sources are told apart.
func (c Comparison) Apart() bool { return c.Chance < significance }

// fisher sums the hypergeometric chances.
func fisher(k1, n1, k2, n2 int) float64 {
	k, n := k1+k2, n1+n2
	if n1 <= 0 || n2 <= 0 {
		return 1
	}
	logChance := func(i int) float64 { return choose(n1, i) + choose(n2, k-i) - choose(n, k) }
	own := logChance(k1)
	sum := 0.0
	for i := max(0, k-n2); i <= min(k, n1); i++ {
		if l := logChance(i); l <= own+1e-9 { // equal ones come out unequal in the last places
			sum += math.Exp(l)
		}
	}
	return min(sum, 1)
}

// choose is the logarithm of n over k.
func choose(n, k int) float64 {
	a, _ := math.Lgamma(float64(n + 1))
	b, _ := math.Lgamma(float64(k + 1))
	c, _ := math.Lgamma(float64(n - k + 1))
	return a - b - c
}

// more is how many notes must still be looked through until twice the pooled rate would be told apart from it
// with the power set: the normal approximation of the textbooks for two proportions (Fleiss, Statistical
// Methods for Rates and Proportions; from memory). They are of the source with fewer notes, as long as the
// other has enough, and else of both.
func (c Comparison) more() int {
	n1, n2 := c.A.N, c.B.N
	if c.A.K+c.B.K == 0 || n1+n2 == 0 {
		return 0
	}
	p := float64(c.A.K+c.B.K) / float64(n1+n2)
	q := min(2*p, 1)
	const alpha, beta = 1.959964, 0.841621 // quantiles of the normal distribution at 97.5 % and 80 %
	mean := (p + q) / 2
	equal := math.Pow(alpha*math.Sqrt(2*mean*(1-mean))+beta*math.Sqrt(p*(1-p)+q*(1-q)), 2) / math.Pow(q-p, 2)
	small, large := float64(min(n1, n2)), float64(max(n1, n2))
	if large > equal {
		return round2(1/(2/equal-1/large) - small) // 1/n1 + 1/n2 is what counts
	}
	return round2(2*equal - small - large)
}

// round2 rounds to two figures, and what is negative to 0.
func round2(x float64) int {
	if x <= 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	scale := math.Pow(10, max(math.Floor(math.Log10(x))-1, 0))
	return int(math.Ceil(x/scale) * scale)
}

// String says whether the two are told apart, and if not what it would take.
func (c Comparison) String() string {
	switch {
	case c.A.N == 0 || c.B.N == 0:
		return "one of them has no notes yet"
	case c.A.K+c.B.K == 0:
		return "nothing was found in either: no rate can be compared yet"
	case c.Apart() && c.A.Rate > c.B.Rate:
		return "told apart: the first is higher" + ratio(c.A.Rate, c.B.Rate)
	case c.Apart():
		return "told apart: the second is higher" + ratio(c.B.Rate, c.A.Rate)
	case c.More == 0:
		return "not told apart, and there are notes enough to have shown a doubling"
	}
	return fmt.Sprintf("not yet to be told apart; about %s more notes would show a doubling", commas(c.More))
}

func ratio(high, low float64) string {
	if low == 0 {
		return ""
	}
	return fmt.Sprintf(", %.1f times", high/low)
}

func commas(n int) string {
	s := fmt.Sprint(n)
	var parts []string
	for len(s) > 3 {
		parts = append([]string{s[len(s)-3:]}, parts...)
		s = s[:len(s)-3]
	}
	return strings.Join(append([]string{s}, parts...), ",")
}
