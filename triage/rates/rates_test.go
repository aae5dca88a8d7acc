package rates

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

func near(a, b, by float64) bool { return math.Abs(a-b) <= by }

// The worked example of the NIST/SEMATECH e-Handbook of Statistical Methods, section 7.2.4.1, exact
// intervals for small numbers: 4 defectives among 20, 90 %: 0.071354 to 0.401029 (figures from memory).
func TestWorkedExample(t *testing.T) {
	low, top := limits(4, 20, 0.05)
	if !near(low, 0.071354, 1e-6) || !near(top, 0.401029, 1e-6) {
		t.Errorf("%f to %f", low, top)
	}
}

// With none found the upper limit has a closed form: (1-p)^n = 2.5 %. With all found it is the mirror
// image.
func TestNoneAndAll(t *testing.T) {
	for _, n := range []int{1, 2, 10, 100, 1000, 1_000_000} {
		want := 1 - math.Pow(0.025, 1/float64(n))
		if i := Of(0, n); i.Low != 0 || !near(i.Top, want, 1e-9) {
			t.Errorf("0 of %d: %v, want %g", n, i, want)
		}
		if i := Of(n, n); i.Top != 1 || !near(i.Low, 1-want, 1e-9) {
			t.Errorf("%d of %d: %v, want %g", n, n, i, 1-want)
		}
	}
	if i := Of(0, 0); i.Low != 0 || i.Top != 1 {
		t.Errorf("0 of 0: %+v", i)
	}
}

// slowTail is the chance of k or more of n, by adding up plain products.
func slowTail(k, n int, p float64) float64 {
	sum := 0.0
	for i := k; i <= n; i++ {
		c := 1.0
		for j := range i {
			c = c * float64(n-j) / float64(j+1)
		}
		sum += c * math.Pow(p, float64(i)) * math.Pow(1-p, float64(n-i))
	}
	return sum
}

// At the limits the tails are 2.5 %: the definition itself, by plain sums.
func TestLimitsByPlainSums(t *testing.T) {
	for n := 1; n <= 40; n++ {
		for k := 0; k <= n; k++ {
			i := Of(k, n)
			if k > 0 && !near(slowTail(k, n, i.Low), 0.025, 1e-9) {
				t.Errorf("%d of %d: %g or more at the lower limit", k, n, slowTail(k, n, i.Low))
			}
			if k < n && !near(1-slowTail(k+1, n, i.Top), 0.025, 1e-9) {
				t.Errorf("%d of %d: %g or fewer at the upper limit", k, n, 1-slowTail(k+1, n, i.Top))
			}
		}
	}
}

// Whatever the true rate, at least 95 of 100 intervals hold it.
func TestCoverage(t *testing.T) {
	for _, n := range []int{5, 20, 50} {
		for p := 0.01; p < 1; p += 0.01 {
			covered := 0.0
			for k := 0; k <= n; k++ {
				if i := Of(k, n); i.Low <= p && p <= i.Top {
					covered += slowTail(k, n, p) - slowTail(k+1, n, p)
				}
			}
			if covered < Level-1e-9 {
				t.Errorf("n %d, rate %.2f: covered with %.4f", n, p, covered)
			}
		}
	}
}

// Three coins: none with 1/8, one with 3/8, two with 3/8, three with 1/8. No end has 2.5 % or less, so all of
// 0 to 3 is luck. Six: 1/64 = 1.6 % for none and for six, 7/64 for one or fewer, so 1 to 5. Worked by hand.
func TestLuckByHand(t *testing.T) {
	for n, want := range map[int][2]int{3: {0, 3}, 6: {1, 5}} {
		if l := LuckOf([]Part{{n, 0.5}}); l.Low != want[0] || l.Top != want[1] || l.Expected != float64(n)/2 {
			t.Errorf("%d coins: %+v", n, l)
		}
	}
	if l := LuckOf(nil); l != (Luck{}) {
		t.Errorf("nothing: %+v", l)
	}
	if l := LuckOf([]Part{{7, 1}}); l.Low != 7 || l.Top != 7 {
		t.Errorf("sure things: %+v", l)
	}
}

// The range against gonum's cumulated binomial, from rules that one note in a hundred million meets to
// common ones.
func TestLuckAgainstGonum(t *testing.T) {
	for _, n := range []int{1, 40, 1000, 100_000, 2_000_000} {
		for _, p := range []float64{1e-8, 1e-5, 1e-4, 0.007, 0.1, 0.2} {
			l := LuckOf([]Part{{n, p}})
			b := distuv.Binomial{N: float64(n), P: p}
			below, above := b.CDF(float64(l.Low-1)), 1-b.CDF(float64(l.Top))
			if l.Low == 0 {
				below = 0
			}
			if below > tail+1e-9 || above > tail+1e-9 || b.CDF(float64(l.Low)) <= tail-1e-9 || 1-b.CDF(float64(l.Top-1)) <= tail-1e-9 && l.Top > 0 {
				t.Errorf("n %d, p %g: %+v; below %g, above %g", n, p, l, below, above)
			}
		}
	}
}

// Notes split into parts of one rate are one part; of several rates the sum is that of plain enumeration.
func TestLuckOfParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var parts []Part
		chances := []float64{1}
		for range rapid.IntRange(1, 4).Draw(t, "parts") {
			p := Part{rapid.IntRange(0, 12).Draw(t, "n"), float64(rapid.IntRange(0, 10).Draw(t, "p")) / 10}
			parts = append(parts, p)
			for range p.N { // one note after another
				next := make([]float64, len(chances)+1)
				for i, c := range chances {
					next[i] += c * (1 - p.P)
					next[i+1] += c * p.P
				}
				chances = next
			}
		}
		l := LuckOf(parts)
		sum := func(from, to int) (s float64) {
			for i := max(from, 0); i <= to && i < len(chances); i++ {
				s += chances[i]
			}
			return s
		}
		if sum(0, l.Low-1) > tail+1e-9 || sum(l.Top+1, len(chances)) > tail+1e-9 || sum(0, l.Low) <= tail-1e-9 || sum(l.Top, len(chances)) <= tail-1e-9 {
			t.Fatalf("%v: %+v, chances %v", parts, l, chances)
		}
		if l.Surprise(l.Low-1) != -1 || l.Surprise(l.Top+1) != 1 || l.Surprise(l.Low) != 0 {
			t.Fatal("a count stands on the wrong side")
		}
	})
}

// Fisher's lady tasting tea: of 8 cups, 4 with the milk first, 3 of those told right. Two-sided the chance is
// 34/70 = 0.4857; all 4 right: 2/70 = 0.0286 (R. A. Fisher, The Design of Experiments, 1935, chapter 2;
// worked by hand).
func TestLadyTastingTea(t *testing.T) {
	if c := Compare(3, 4, 1, 4); !near(c.Chance, 34.0/70, 1e-9) || c.Apart() {
		t.Errorf("three right: %+v", c)
	}
	if c := Compare(4, 4, 0, 4); !near(c.Chance, 2.0/70, 1e-9) || !c.Apart() {
		t.Errorf("four right: %+v", c)
	}
}

func TestCompare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n1, n2 := rapid.IntRange(0, 3000).Draw(t, "n1"), rapid.IntRange(0, 3000).Draw(t, "n2")
		k1, k2 := rapid.IntRange(0, n1).Draw(t, "k1"), rapid.IntRange(0, n2).Draw(t, "k2")
		a, b := Compare(k1, n1, k2, n2), Compare(k2, n2, k1, n1)
		if !near(a.Chance, b.Chance, 1e-9) || a.Chance < 0 || a.Chance > 1 || a.More < 0 || a.More != b.More {
			t.Fatalf("%+v and turned round %+v", a, b)
		}
		if n1 == n2 && k1 == k2 && a.Apart() {
			t.Fatal("equal sources are told apart")
		}
	})
}

// What is said to be enough is enough: with so many notes twice the rate is found in at least three of four
// trials. A plain simulation by sums, not by chance: the power of the test is added up over all outcomes.
func TestMoreIsEnough(t *testing.T) {
	for _, have := range [][2]int{{1000, 900}, {10_000, 900}} { // 1 % in both
		c := Compare(have[0]/100, have[0], have[1]/100, have[1])
		if c.Apart() || c.More == 0 {
			t.Fatalf("%+v", c)
		}
		large, small := have[0], have[1]+c.More
		if have[0] == 1000 {
			large, small = (1900+c.More)/2, (1900+c.More)/2
		}
		b1, b2 := distuv.Binomial{N: float64(large), P: 0.01}, distuv.Binomial{N: float64(small), P: 0.02}
		found := 0.0
		for k1 := 0; k1 <= large/25; k1++ {
			for k2 := 0; k2 <= small/12; k2++ {
				if w := b1.Prob(float64(k1)) * b2.Prob(float64(k2)); w > 1e-9 && fisher(k1, large, k2, small) < significance {
					found += w
				}
			}
		}
		if found < 0.70 || found > 0.95 { // the exact test is a little more careful than the normal one
			t.Errorf("of %v, with %d more notes a doubling is found with %.2f", have, c.More, found)
		}
	}
}

func TestWords(t *testing.T) {
	for want, got := range map[string]string{
		"3.1 per 1,000 (0.079 to 17)":                              Of(1, 320).String(),
		"no note was looked at":                                    Of(0, 0).String(),
		"one of them has no notes yet":                             Compare(0, 0, 1, 10).String(),
		"told apart: the first is higher":                          Compare(40, 1000, 0, 1000).String(),
		"told apart: the second is higher, 4.0 times":              Compare(10, 1000, 40, 1000).String(),
		"nothing was found in either: no rate can be compared yet": Compare(0, 10, 0, 20).String(),
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func BenchmarkLuck(b *testing.B) {
	parts := []Part{{2_000_000, 0.2}, {1_000_000, 0.19}, {500_000, 1e-4}}
	for b.Loop() {
		LuckOf(parts)
	}
}

func BenchmarkInterval(b *testing.B) {
	for b.Loop() {
		Of(12, 100_000)
	}
}
