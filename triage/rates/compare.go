package rates

import (
	"fmt"
	"iter"

	"app/unband/triage"
)

// A Comparison sets the rates of two sources side by side.
type Comparison struct {
	A, B   Interval
	Chance float64 // of a table no likelier than this one where both rates are the same; 0 to 1
	More   int     // notes still to look through to show a doubling, rounded up to two figures; 0 where they are told apart
	Both   bool    // More is for both sources, to bring them to the same number; else for the one with fewer notes
}

// significance is the chance below which two sources are told apart; common practice.
const significance = 0.05

// Compare tests whether k1 of n1 and k2 of n2 can be of one rate, by Fisher's exact test, two-sided: the
// chance of all tables with the same sums that are no likelier than this one (R. A. Fisher, Statistical
// Methods for Research Workers, 1934, section 21.02; from memory).
func Compare(k1, n1, k2, n2 int) Comparison {
	c := Comparison{A: Of(k1, n1), B: Of(k2, n2)}
	c.Chance = fisher(c.A.K, c.A.N, c.B.K, c.B.N)
	if !c.Apart() {
		c.More, c.Both = c.more()
	}
	return c
}

// Apart reports whether the sources are told apart.
func (c Comparison) Apart() bool { return c.Chance < significance }

// fisher adds up the chances of the tables.
func fisher(k1, n1, k2, n2 int) float64 {
	if n1 == 0 || n2 == 0 {
		return 1
	}
	const tie = 1 + 1e-9 // equal ones come out unequal in the last places
	own, all, unlikely := 0.0, 0.0, 0.0
	for i, w := range tables(n1, n2, k1+k2) {
		if i == k1 {
			own = w
		}
	}
	for _, w := range tables(n1, n2, k1+k2) {
		all += w
		if w <= own*tie {
			unlikely += w
		}
	}
	return unlikely / all
}

// tables yields how likely it is that i of the k found are among the n1, the likeliest first with the weight
// 1, then outward on each side until a double holds no more. Going by ratios from there keeps clear of both
// overflow and the rounding of large logarithms.
func tables(n1, n2, k int) iter.Seq2[int, float64] {
	const least = 1e-300
	ratio := func(i int) float64 { // of i+1 to i
		return float64(n1-i) / float64(i+1) * float64(k-i) / float64(n2-k+i+1)
	}
	low, top := max(0, k-n2), min(k, n1)
	likeliest := min(max(int(float64(k+1)*float64(n1+1)/float64(n1+n2+2)), low), top)
	return func(yield func(int, float64) bool) {
		if !yield(likeliest, 1) {
			return
		}
		for i, w := likeliest, 1.0; i < top && w > least; i++ {
			if w *= ratio(i); !yield(i+1, w) {
				return
			}
		}
		for i, w := likeliest, 1.0; i > low && w > least; i-- {
			if w /= ratio(i - 1); !yield(i-1, w) {
				return
			}
		}
	}
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
	case 2*c.pooled() > 1:
		return "not told apart; a rate this high cannot double"
	case c.More == 0:
		return "not told apart, and there are notes enough to have shown a doubling"
	}
	return fmt.Sprintf("not yet to be told apart; about %s more notes%s would show a doubling", triage.Thousands(c.More), c.where())
}

// where says whose notes are missing: those of the other source would not help.
func (c Comparison) where() string {
	switch {
	case c.Both:
		return ", until both have as many,"
	case c.A.N < c.B.N:
		return " of the first"
	}
	return " of the second"
}

func ratio(high, low float64) string {
	if low == 0 {
		return ""
	}
	return fmt.Sprintf(", %.1f times", high/low)
}
