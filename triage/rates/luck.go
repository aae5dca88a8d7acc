package rates

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

// A Part is N notes of which each is found with the chance P, independently.
type Part struct {
	N int
	P float64
}

// Luck is what chance alone makes of some notes: how many are found on average, and the central range in
// which the number lies with a chance of at least Level: fewer than Low come up with at most 2.5 %, more
// than Top with at most 2.5 %, and no smaller range can say that.
type Luck struct {
	Expected float64
	Low, Top int
}

// A Surprise says where a count stands beside the range of luck.
type Surprise int

// Counts at the ends of the range are inside.
const (
	Fewer  Surprise = -1
	Inside Surprise = 0
	More   Surprise = 1
)

// Surprise says where a count of k stands.
func (l Luck) Surprise(k int) Surprise {
	switch {
	case k < l.Low:
		return Fewer
	case k > l.Top:
		return More
	}
	return Inside
}

// LuckOf gives the exact range for notes of one or several kinds, as sessions under other definitions or of
// other denominations are. Its cost grows with the number of different chances, not with that of the notes.
func LuckOf(parts []Part) Luck {
	d := distributionOf(merge(parts))
	reaches := func(chance float64) int {
		first := d.middle - d.half
		return first + sort.Search(2*d.half, func(i int) bool { return d.atMost(first+i) >= chance })
	}
	return Luck{Expected: d.mean, Low: reaches(tail + slack), Top: reaches(1 - tail - slack)}
}

// slack is more than rounding does to a tail, so that a tail of exactly 2.5 % counts as such.
const slack = 1e-11

// merge puts the notes of one chance together, in an order that does not depend on theirs: else the last
// places of a sum would.
func merge(parts []Part) []Part {
	var sorted, merged []Part
	for _, p := range parts {
		if p.N > 0 && p.P > 0 {
			sorted = append(sorted, Part{p.N, min(p.P, 1)})
		}
	}
	slices.SortFunc(sorted, func(a, b Part) int { return cmp.Compare(a.P, b.P) })
	for _, p := range sorted {
		if last := len(merged) - 1; last >= 0 && merged[last].P == p.P {
			merged[last].N += p.N
			continue
		}
		merged = append(merged, p)
	}
	return merged
}

// A distribution is that of how many are found, as a Fourier series on middle-half to middle+half.
//
// The characteristic function of a sum is the product of those of its parts, so nothing needs to be
// convolved; its values at the angles 2πj/(2·half+1) give the chances back by a discrete Fourier transform
// (Y. Hong, Computational Statistics & Data Analysis 59, 2013; from memory). What is left out is bounded:
//
//   - Outside the window lie less than 2·e⁻⁵⁰ (Bernstein's inequality with 10σ + 40).
//   - A factor is at most exp(-pq(1 - cos θ)), so the terms die out as exp(-σ²(1 - cos θ)) and some thirty
//     are enough however wide the window is.
type distribution struct {
	mean         float64
	middle, half int
	terms        []complex128 // for j = 1, 2, …; that of 0 is 1, those of -j are conjugate
}

func distributionOf(parts []Part) distribution {
	var d distribution
	variance := 0.0
	for _, p := range parts {
		d.mean += float64(p.N) * p.P
		variance += float64(p.N) * p.P * (1 - p.P)
	}
	d.middle = int(math.Round(d.mean))
	d.half = int(math.Ceil(10*math.Sqrt(variance))) + 40
	const lost = 40 // e⁻⁴⁰ is below the last place of a sum near 1
	for j := 1; j <= d.half; j++ {
		angle := 2 * math.Pi * float64(j) / float64(2*d.half+1)
		if variance*(1-math.Cos(angle)) > lost {
			break
		}
		d.terms = append(d.terms, d.characteristic(parts, angle))
	}
	return d
}

// characteristic is the mean of exp(iθ(X - middle)). Each note's mean is taken off its phase before the
// phases are added up; the sum would lose its last places otherwise.
func (d distribution) characteristic(parts []Part, angle float64) complex128 {
	sin, _ := math.Sincos(angle)
	rest := 2 * math.Pow(math.Sin(angle/2), 2) // 1 - cos θ without its loss near 0
	size, phase := 0.0, angle*(d.mean-float64(d.middle))
	for _, p := range parts {
		size += float64(p.N) / 2 * math.Log1p(-2*p.P*(1-p.P)*rest)
		phase += float64(p.N) * (math.Atan2(p.P*sin, 1-p.P*rest) - p.P*angle)
	}
	sin, cos := math.Sincos(phase)
	return complex(math.Exp(size)*cos, math.Exp(size)*sin)
}

// atMost is the chance of k or fewer. The chances of the single numbers from the window's start to k add up
// to a geometric sum for each term.
func (d distribution) atMost(k int) float64 {
	width, count := float64(2*d.half+1), float64(k-d.middle+d.half+1)
	sum := count
	for j, c := range d.terms {
		halfAngle := math.Pi * float64(j+1) / width
		sin, cos := math.Sincos(halfAngle * float64(k-d.middle-d.half))
		sum += 2 * math.Sin(halfAngle*count) / math.Sin(halfAngle) * (real(c)*cos + imag(c)*sin)
	}
	return sum / width
}
