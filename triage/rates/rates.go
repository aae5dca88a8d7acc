// Package rates says how sure a rate is that was counted, and what is luck.
//
// Every range is exact: it comes from the binomial distribution itself, not from the normal one, because
// what is counted here is often none, one or two. The package is pure.
package rates

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
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

// Of gives the exact interval of Clopper and Pearson (Biometrika 26, 1934, 404-413): the limits are the
// rates at which k or more, or k or fewer, would be found with a chance of 2.5 %. It never covers less than
// Level, and is right for small counts: with none found the lower limit is 0. Of no notes nothing is known:
// 0 to 1. k is between 0 and n.
func Of(k, n int) Interval {
	if n <= 0 {
		return Interval{Top: 1}
	}
	k = min(max(k, 0), n)
	i := Interval{K: k, N: n, Rate: float64(k) / float64(n), Top: 1}
	i.Low, i.Top = limits(k, n, tail)
	return i
}

// limits are the quantiles of the beta distribution that the binomial tails are.
func limits(k, n int, tail float64) (low, top float64) {
	top = 1
	if k > 0 {
		low = distuv.Beta{Alpha: float64(k), Beta: float64(n - k + 1)}.Quantile(tail)
	}
	if k < n {
		top = distuv.Beta{Alpha: float64(k + 1), Beta: float64(n - k)}.Quantile(1 - tail)
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

// thousandth writes a rate per 1,000 with as many figures as mean something.
func thousandth(rate float64) string {
	switch x := 1000 * rate; {
	case x == 0:
		return "0"
	case x < 0.1:
		return fmt.Sprintf("%.2g", x)
	case x < 10:
		return fmt.Sprintf("%.1f", x)
	default:
		return fmt.Sprintf("%.0f", x)
	}
}

// A Part is n notes of which each is found with the chance p, independently.
type Part struct {
	N int
	P float64
}

// Luck is what chance alone makes of some notes: how many are found on average, and the central range in
// which the number lies with a chance of at least Level: fewer than Low come up with at most 2.5 %, more
// than Top with at most 2.5 %.
type Luck struct {
	Expected float64
	Low, Top int
}

// LuckOf gives the exact range for notes of one or several kinds, as sessions under other definitions or of
// other denominations are: the distribution of the sum, by convolution of binomial ones (gonum has the
// single ones). Chances below 1e-12 at the far ends are left out; the limits do not depend on them.
func LuckOf(parts []Part) Luck {
	var l Luck
	merged := map[float64]int{}
	for _, p := range parts {
		l.Expected += float64(p.N) * p.P
		if p.N > 0 && p.P > 0 {
			merged[p.P] += p.N
		}
	}
	dist := mass{chances: []float64{1}}
	for p, n := range merged {
		dist = dist.with(binomial(n, p))
	}
	l.Low, l.Top = dist.central()
	return l
}

// Surprise says where a count stands: -1 below the range of luck, 1 above it, 0 inside.
func (l Luck) Surprise(k int) int {
	switch {
	case k < l.Low:
		return -1
	case k > l.Top:
		return 1
	}
	return 0
}

// A mass is a distribution over whole numbers from first on.
type mass struct {
	first   int
	chances []float64
}

// negligible is the chance below which an end is left out.
const negligible = 1e-15

// binomial gives the part of a binomial distribution that is not negligible, outward from its mode.
func binomial(n int, p float64) mass {
	if p >= 1 {
		return mass{n, []float64{1}}
	}
	mode := min(int(float64(n+1)*p), n)
	top := distuv.Binomial{N: float64(n), P: p}.Prob(float64(mode))
	if top == 0 || math.IsNaN(top) { // so peaked that it underflows; never for n below 10^15
		return mass{mode, []float64{1}}
	}
	odds := p / (1 - p)
	var up, down []float64
	for k, c := mode, top; k < n; k++ {
		c *= float64(n-k) / float64(k+1) * odds
		if c < negligible {
			break
		}
		up = append(up, c)
	}
	for k, c := mode, top; k > 0; k-- {
		c *= float64(k) / float64(n-k+1) / odds
		if c < negligible {
			break
		}
		down = append(down, c)
	}
	m := mass{first: mode - len(down)}
	for i := len(down) - 1; i >= 0; i-- {
		m.chances = append(m.chances, down[i])
	}
	return mass{m.first, append(append(m.chances, top), up...)}
}

// with gives the distribution of the sum of both.
func (m mass) with(o mass) mass {
	sum := mass{m.first + o.first, make([]float64, len(m.chances)+len(o.chances)-1)}
	for i, a := range m.chances {
		for j, b := range o.chances {
			sum.chances[i+j] += a * b
		}
	}
	return sum
}

// central gives the numbers beyond which at most 2.5 % lie on each side.
func (m mass) central() (low, top int) {
	below, above := 0.0, 0.0
	i := 0
	for ; i < len(m.chances)-1; i++ {
		if below += m.chances[i]; below > tail {
			break
		}
	}
	j := len(m.chances) - 1
	for ; j > 0; j-- {
		if above += m.chances[j]; above > tail {
			break
		}
	}
	return m.first + i, m.first + j
}
