// Package rates says how sure a rate is that was counted, and what is luck.
//
// Every range and every test is exact: it comes from the binomial and hypergeometric distributions
// themselves, not from the normal one, because what is counted here is often none, one or two. Only how many
// more notes a comparison needs is an approximation, and says so. Rates and chances are between 0 and 1, numbers
// are numbers of notes. Nothing returns an error: input out of range counts as the nearest that is possible.
//
// The package is pure: equal input, equal output.
package rates

import (
	"fmt"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/mathext"

	"app/unband/triage"
)

// Level is how sure every range is: in the long run 95 of 100 such ranges hold the truth.
const Level = 0.95

const tail = (1 - Level) / 2

// An Interval is a rate from k found in n notes, with the range in which the true rate lies. All three are
// between 0 and 1.
type Interval struct {
	K, N     int
	Rate     float64
	Low, Top float64
}

// Of gives the exact interval of C. J. Clopper and E. S. Pearson (Biometrika 26, 1934, 404-413): the limits
// are the rates at which k or more, or k or fewer, would be found with a chance of 2.5 %. It never covers
// less than Level, and is right for small counts: with none found the lower limit is 0, with all found the
// upper is 1. Of no notes nothing is known: 0 to 1. k is between 0 and n.
func Of(k, n int) Interval {
	if n <= 0 {
		return Interval{Top: 1}
	}
	k = min(max(k, 0), n)
	i := Interval{K: k, N: n, Rate: float64(k) / float64(n)}
	i.Low, i.Top = limits(k, n, tail)
	return i
}

// limits inverts the incomplete beta function, which is the tail of the binomial distribution.
func limits(k, n int, tail float64) (low, top float64) {
	top = 1
	if k > 0 {
		low = mathext.InvRegIncBeta(float64(k), float64(n-k+1), tail)
	}
	if k < n {
		top = mathext.InvRegIncBeta(float64(k+1), float64(n-k), 1-tail)
	}
	return low, top
}

// String tells the rate per 1,000 notes: "3.1 per 1,000 (1.2 to 6.4)".
func (i Interval) String() string {
	if i.N == 0 {
		return "no note was looked at"
	}
	return fmt.Sprintf("%s per 1,000 (%s to %s)", thousandth(i.Rate), thousandth(i.Low), thousandth(i.Top))
}

// thousandth writes a rate per 1,000 with two figures or as many as stand before the point.
func thousandth(rate float64) string {
	switch x := 1000 * rate; {
	case x == 0:
		return "0"
	case x < 0.0995:
		return plain(x)
	case x < 9.95:
		return fmt.Sprintf("%.1f", x)
	default:
		return triage.Thousands(int(x + 0.5))
	}
}

// plain writes two figures of what is below 1 without an exponent, which few would read.
func plain(x float64) string {
	_, exponent, _ := strings.Cut(strconv.FormatFloat(x, 'e', 1, 64), "e-")
	places, _ := strconv.Atoi(exponent)
	return strconv.FormatFloat(x, 'f', places+1, 64)
}
