package odds

import (
	"math"
	"math/bits"
	"math/rand/v2"

	"app/unband/patterns"
)

// Figures must be the same on every machine. So the dice use only the bits of the generator, whose
// algorithm is fixed, sums run in a fixed order, and float64(x*y) keeps a compiler from joining a product
// with a sum, which some processors round differently.

// pairs is how many neighbouring pairs a serial has.
const pairs = patterns.Places - 1

// dice decide what is drawn.
type dice struct{ bits rand.PCG }

// newDice gives the dice of a line.
func newDice(seed uint64, line int) *dice {
	d := &dice{}
	d.bits.Seed(seed, uint64(line))
	return d
}

// below gives a number from 0 to n-1.
func (d *dice) below(n int) int {
	high, _ := bits.Mul64(d.bits.Uint64(), uint64(n))
	return int(high)
}

// unit gives a number from 0 up to, not including, 1.
func (d *dice) unit() float64 { return float64(d.bits.Uint64()>>11) / (1 << 53) }

// some gives so many of the bits 0 to from-1.
func (d *dice) some(count, from int) (mask uint8) {
	for count > 0 {
		if bit := uint8(1) << d.below(from); mask&bit == 0 {
			mask |= bit
			count--
		}
	}
	return mask
}

// misread gives what is typed of a note with so many digits misread and pairs swapped.
func (d *dice) misread(note patterns.Digits, digits, swaps int) patterns.Digits {
	s := slips{digits: d.some(digits, patterns.Places), swaps: d.some(swaps, pairs)}
	right := apart(note)
	s.apply(right[:], d)
	return whole(right)
}

// Slips say which digits of what is being typed are misread and which pairs swapped: bit i is digit i
// from the left, or that and the next.
type slips struct{ digits, swaps uint8 }

// slips draws the misreadings of eight digits; of fewer, the first count.
func (d *dice) slips(m Misreading) (s slips) {
	for i := range patterns.Places {
		if d.unit() < m.Digit {
			s.digits |= 1 << i
		}
	}
	for i := range pairs {
		if d.unit() < m.Swap {
			s.swaps |= 1 << i
		}
	}
	return s
}

func (s slips) any() bool { return s.digits|s.swaps != 0 }

// apply makes of the right digits what is typed.
func (s slips) apply(digits []uint8, d *dice) {
	for i := range digits {
		if i+1 < len(digits) && s.swaps>>i&1 == 1 {
			digits[i], digits[i+1] = digits[i+1], digits[i]
		}
	}
	for i, c := range digits {
		if s.digits>>i&1 == 1 {
			digits[i] = uint8((int(c) + 1 + d.below(9)) % 10)
		}
	}
}

// chances[k][m] is how likely a note is read with k digits misread and m pairs swapped.
type chances [patterns.Places + 1][pairs + 1]float64

func chancesOf(m Misreading) (c chances) {
	for k := range c {
		for n := range c[k] {
			c[k][n] = binomial(patterns.Places, k, m.Digit) * binomial(pairs, n, m.Swap)
		}
	}
	return c
}

// binomial is the chance that of n events, each with chance p, k come.
func binomial(n, k int, p float64) float64 {
	x := 1.0
	for i := range k {
		x = x * p * float64(n-i) / float64(i+1)
	}
	for range n - k {
		x *= 1 - p
	}
	return x
}

// sum is the chance of so many misreadings or more.
func (c *chances) sum(least int) float64 { return c.atLeast(least).total }

// exactlyOne has the numbers of misreadings that make one together.
func (c *chances) exactlyOne() mixture { return c.mix(1, 1) }

// atLeast has the numbers of misreadings that make so many together, or more.
func (c *chances) atLeast(least int) mixture { return c.mix(least, patterns.Places+pairs) }

func (c *chances) mix(least, most int) (x mixture) {
	for k := range c {
		for n, chance := range c[k] {
			if k+n >= least && k+n <= most && chance > 0 {
				x.total += chance
				x.kinds = append(x.kinds, kind{k, n, x.total})
			}
		}
	}
	return x
}

// A mixture is numbers of misreadings to be drawn from, each with its chance.
type mixture struct {
	kinds []kind
	total float64 // the chance that one of them comes
}

// A kind is a number of misread digits and of swapped pairs.
type kind struct {
	digits, swaps int
	upTo          float64 // the chance of this kind or one before it
}

func (x mixture) pick(d *dice) (digits, swaps int) {
	at := d.unit() * x.total
	for _, k := range x.kinds {
		if at < k.upTo {
			return k.digits, k.swaps
		}
	}
	last := x.kinds[len(x.kinds)-1] // the product may be rounded up to the total
	return last.digits, last.swaps
}

// A share is how many of some readings lose the keeper.
type share struct {
	lost, of int
	draws    int // how many independent draws it comes from; 0 for an exact share
}

func (s *share) add(lost bool) {
	s.of++
	if lost {
		s.lost++
	}
}

// beyond is what this share of the same readings has more than another.
func (s share) beyond(other share) share { return share{s.lost - other.lost, s.of, s.draws} }

func (s share) part() float64 {
	if s.of == 0 {
		return 0
	}
	return float64(s.lost) / float64(s.of)
}

// variance is that of part. Where no draw lost a keeper it is as if one had: not having met something
// does not prove that it is not there.
func (s share) variance() float64 {
	if s.draws == 0 {
		return 0
	}
	n := float64(s.draws)
	p := min(max(s.part(), 1/n), 1-1/n)
	return p * (1 - p) / n
}

// A figure is a sum of shares, each with its chance.
type figure struct{ value, variance float64 }

func (f *figure) add(chance float64, s share) {
	f.value += float64(chance * s.part())
	f.variance += float64(chance * chance * s.variance())
}

// noise is the standard error.
func (f figure) noise() float64 { return math.Sqrt(f.variance) }

// worth[i] is what one digit at place i from the left counts.
var worth = [patterns.Places]patterns.Digits{10_000_000, 1_000_000, 100_000, 10_000, 1_000, 100, 10, 1}

// apart gives the eight digits from the left.
func apart(d patterns.Digits) (a [patterns.Places]uint8) {
	for i := range a {
		a[i] = uint8(d / worth[i] % 10)
	}
	return a
}

// whole is the serial of eight digits.
func whole(a [patterns.Places]uint8) (d patterns.Digits) {
	for _, c := range a {
		d = d*10 + patterns.Digits(c)
	}
	return d
}

// swapped gives the digits with those at a place and the next in each other's place.
func swapped(a [patterns.Places]uint8, place int) [patterns.Places]uint8 {
	a[place], a[place+1] = a[place+1], a[place]
	return a
}
