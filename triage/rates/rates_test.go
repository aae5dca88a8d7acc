package rates

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// The worked example of the NIST/SEMATECH e-Handbook of Statistical Methods, section 7.2.4.1, exact
// intervals for small numbers: 4 defectives among 20, 90 %: 0.071354 to 0.401029 (figures from memory).
func TestWorkedExample(t *testing.T) {
	low, top := limits(4, 20, 0.05)
	if !near(low, 0.071354, 1e-6) || !near(top, 0.401029, 1e-6) {
		t.Errorf("4 of 20 at 90 %%: %f to %f, want 0.071354 to 0.401029", low, top)
	}
}

// With none found the upper limit has a closed form: (1-p)ⁿ = 2.5 %. With all found it is the mirror image.
func TestNoneAndAll(t *testing.T) {
	for _, n := range []int{1, 2, 10, 100, 1000, 1_000_000} {
		want := -math.Expm1(math.Log(0.025) / float64(n))
		if i := Of(0, n); i.Low != 0 || !near(i.Top/want, 1, 1e-9) {
			t.Errorf("0 of %d: %g to %g, want 0 to %g", n, i.Low, i.Top, want)
		}
		if i := Of(n, n); i.Top != 1 || !near(i.Low, 1-want, 1e-9) {
			t.Errorf("%d of %d: %g to %g, want %g to 1", n, n, i.Low, i.Top, 1-want)
		}
	}
	if i := Of(0, 0); i != (Interval{Top: 1}) {
		t.Errorf("0 of 0: %+v, want 0 to 1", i)
	}
}

func TestOutOfRangeCountsAsNearest(t *testing.T) {
	for _, c := range []struct{ got, want Interval }{
		{Of(-1, 5), Of(0, 5)},
		{Of(9, 5), Of(5, 5)},
		{Of(3, 0), Of(0, 0)},
		{Of(0, -3), Of(0, 0)},
	} {
		if c.got != c.want {
			t.Errorf("%+v, want %+v", c.got, c.want)
		}
	}
}

// At the limits the tails are 2.5 %: the definition itself, by plain sums.
func TestLimitsByPlainSums(t *testing.T) {
	for n := 1; n <= 60; n++ {
		for k := 0; k <= n; k++ {
			i := Of(k, n)
			orMore, orFewer := 0.0, 0.0
			for j, c := range plainBinomial(n, i.Low) {
				if j >= k {
					orMore += c
				}
			}
			for j, c := range plainBinomial(n, i.Top) {
				if j <= k {
					orFewer += c
				}
			}
			if k > 0 && !near(orMore, 0.025, 1e-11) {
				t.Errorf("%d of %d: at the lower limit %d or more come with %g", k, n, k, orMore)
			}
			if k < n && !near(orFewer, 0.025, 1e-11) {
				t.Errorf("%d of %d: at the upper limit %d or fewer come with %g", k, n, k, orFewer)
			}
		}
	}
}

// The same for as many notes as anybody will ever go through.
func TestLimitsOfManyNotes(t *testing.T) {
	for _, n := range []int{1000, 99_999, 2_000_000} {
		for _, k := range []int{1, 2, 3, 7, 40, n / 1000, n / 5, n / 2, n - 1} {
			i := Of(k, n)
			if sum := longBinomial(n, i.Low).between(k, n); !near(sum/0.025, 1, 1e-7) {
				t.Errorf("%d of %d: at the lower limit %d or more come with %g", k, n, k, sum)
			}
			if sum := longBinomial(n, i.Top).between(0, k); !near(sum/0.025, 1, 1e-7) {
				t.Errorf("%d of %d: at the upper limit %d or fewer come with %g", k, n, k, sum)
			}
		}
	}
}

// The limits are quantiles of the beta distribution; gonum's cumulated one must lead back from each.
func TestLimitsAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 10_000_000).Draw(t, "n")
		k := rapid.IntRange(0, n).Draw(t, "k")
		i := Of(k, n)
		if !(0 <= i.Low && i.Low <= i.Rate && i.Rate <= i.Top && i.Top <= 1) {
			t.Fatalf("out of order: %+v", i)
		}
		if k > 0 && !near((distuv.Beta{Alpha: float64(k), Beta: float64(n - k + 1)}).CDF(i.Low), 0.025, 1e-8) {
			t.Fatalf("%d of %d: lower limit %g", k, n, i.Low)
		}
		if k < n && !near((distuv.Beta{Alpha: float64(k + 1), Beta: float64(n - k)}).CDF(i.Top), 0.975, 1e-8) {
			t.Fatalf("%d of %d: upper limit %g", k, n, i.Top)
		}
	})
}

// Whatever the true rate, at least 95 of 100 intervals hold it. Those made for 90 must not, or this test could not fail.
func TestCoverage(t *testing.T) {
	least := 1.0
	for _, n := range []int{1, 5, 20, 50, 200} {
		for p := 0.005; p < 1; p += 0.005 {
			covered, covered90 := 0.0, 0.0
			for k, c := range plainBinomial(n, p) {
				if i := Of(k, n); i.Low <= p && p <= i.Top {
					covered += c
				}
				if low, top := limits(k, n, 0.05); low <= p && p <= top {
					covered90 += c
				}
			}
			if covered < Level-1e-12 {
				t.Errorf("n %d, rate %.3f: covered with %.4f", n, p, covered)
			}
			least = min(least, covered90)
		}
	}
	if least >= Level {
		t.Errorf("intervals for 90 %% cover with %.4f at least: this test would not see a wrong level", least)
	}
}

func TestRateWords(t *testing.T) {
	for _, c := range []struct {
		i    Interval
		want string
	}{
		{Of(1, 320), "3.1 per 1,000 (0.079 to 17)"},
		{Of(0, 0), "no note was looked at"},
		{Of(0, 5), "0 per 1,000 (0 to 522)"},
		{Of(5, 5), "1,000 per 1,000 (478 to 1,000)"},
		{Of(1, 3_000_000_000), "0.00000033 per 1,000 (0.0000000084 to 0.0000019)"}, // no exponent
		{Interval{N: 1, Rate: 0.00996, Low: 0.0000999, Top: 0.009949}, "10 per 1,000 (0.1 to 9.9)"},
		{Interval{N: 1, Rate: 0.0000994, Low: 0.0000099, Top: 0.9996}, "0.099 per 1,000 (0.0099 to 1,000)"},
	} {
		if got := c.i.String(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func BenchmarkInterval(b *testing.B) {
	for b.Loop() {
		Of(12, 100_000)
	}
}

func BenchmarkIntervalOfMany(b *testing.B) {
	for b.Loop() {
		Of(400_000, 2_000_000)
	}
}
