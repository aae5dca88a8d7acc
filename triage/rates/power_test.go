package rates

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// power adds up how often a source of rate p1 is told apart from one of rate p2, over all outcomes.
func power(n1 int, p1 float64, n2 int, p2 float64) float64 {
	a, b := longBinomial(n1, p1), longBinomial(n2, p2)
	sum := 0.0
	for i, x := range a.chances {
		for j, y := range b.chances {
			if x*y > 1e-8 && fisher(a.first+i, n1, b.first+j, n2) < significance {
				sum += x * y
			}
		}
	}
	return sum
}

// What is said to be enough is enough, and not much more than that: with so many notes twice the rate is told
// apart in about four of five cases. Sources of unequal size differ a little with which of them has the
// higher rate; the approximation lies between.
func TestMoreIsEnough(t *testing.T) {
	for _, have := range [][2]int{{1000, 900}, {900, 900}, {3500, 0}, {10_000, 900}, {30_000, 100}, {0, 100}} { // 1 % in both
		c := Compare(have[0]/100, have[0], have[1]/100, have[1])
		many, few := max(have[0], have[1]), min(have[0], have[1])+c.More
		if c.Both {
			if few < many {
				t.Errorf("of %v, %d more notes do not bring both to the same number", have, c.More)
			}
			many = (many + few) / 2
			few = many
		}
		power1, power2 := power(many, 0.01, few, 0.02), power(many, 0.02, few, 0.01)
		if mean := (power1 + power2) / 2; mean < 0.78 || mean > 0.86 || min(power1, power2) < 0.78 {
			t.Errorf("of %v, with %d more notes a doubling is found with %.2f or %.2f", have, c.More, power1, power2)
		}
	}
}

func TestNormalQuantiles(t *testing.T) {
	for p, z := range map[float64]float64{0.975: z975, 0.8: z80} {
		if want := distuv.UnitNormal.Quantile(p); !near(z, want, 1e-8) {
			t.Errorf("z at %g: %g, want %g", p, z, want)
		}
	}
}

// Where both have as many as needed nothing is asked for, and with every note more no more is.
func TestMoreFallsToNone(t *testing.T) {
	before := math.MaxInt
	for n := 100; n <= 10_000; n += 100 {
		c := Compare(n/100, n, n/100, n)
		if c.More > before {
			t.Errorf("%d of each: %d more, with fewer %d", n, c.More, before)
		}
		before = c.More
	}
	if before != 0 {
		t.Errorf("10,000 of each at 1 %%: %d more", before)
	}
}

func TestRoundUp(t *testing.T) {
	for x, want := range map[float64]int{-3: 0, 0: 0, 0.2: 1, 7.1: 8, 99.5: 100, 101: 110, 4000: 4000, 4001: 4100} {
		if got := roundUp(x); got != want {
			t.Errorf("%g: %d, want %d", x, got, want)
		}
	}
}
