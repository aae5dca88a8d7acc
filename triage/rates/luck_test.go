package rates

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// Worked by hand. Three coins: none with 1/8, one with 3/8, two with 3/8, three with 1/8; no end has 2.5 % or
// less, so 0 to 3. Six: 1/64 = 1.6 % for none and for six, 7/64 for one or fewer, so 1 to 5.
func TestLuckByHand(t *testing.T) {
	for _, c := range []struct {
		parts []Part
		want  Luck
	}{
		{[]Part{{3, 0.5}}, Luck{1.5, 0, 3}},
		{[]Part{{6, 0.5}}, Luck{3, 1, 5}},
		{[]Part{{2, 0.5}, {1, 0.5}, {3, 0.5}}, Luck{3, 1, 5}}, // the same six coins
		{[]Part{{7, 1}}, Luck{7, 7, 7}},
		{[]Part{{7, 1}, {3, 0.5}}, Luck{8.5, 7, 10}},
		{[]Part{{7, 0}}, Luck{}},
		{nil, Luck{}},
		{[]Part{{1, 0.025}}, Luck{0.025, 0, 0}},                              // exactly 2.5 % above 0: allowed
		{[]Part{{1, 0.0251}}, Luck{0.0251, 0, 1}},                            // a little more: not allowed
		{[]Part{{1, 0.975}}, Luck{0.975, 1, 1}},                              // exactly 2.5 % below 1
		{[]Part{{1, 0.1}, {1, 0.25}}, Luck{0.35, 0, 1}},                      // both with exactly 2.5 %
		{[]Part{{1, 0.1}, {2, 0.5}}, Luck{1.1, 0, 2}},                        // all three with exactly 2.5 %
		{[]Part{{1, 0.9}, {1, 0.75}}, Luck{1.65, 1, 2}},                      // neither with exactly 2.5 %
		{[]Part{{-5, 0.5}, {4, -1}, {2, 7}, {3, math.NaN()}}, Luck{2, 2, 2}}, // out of range: nearest, and none for no number
	} {
		if got := LuckOf(c.parts); got != c.want {
			t.Errorf("%v: %+v, want %+v", c.parts, got, c.want)
		}
	}
}

// Every kind of note from never to always, against going through them one by one.
func TestLuckOfParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var parts []Part
		for range rapid.IntRange(1, 6).Draw(t, "parts") {
			parts = append(parts, Part{rapid.IntRange(0, 60).Draw(t, "n"), rapid.Float64Range(0, 1).Draw(t, "p")})
		}
		truth := window{0, plainSum(parts)}
		l := LuckOf(parts)
		if low, top := truth.central(); l.Low != low || l.Top != top {
			t.Fatalf("%v: %d to %d, want %d to %d", parts, l.Low, l.Top, low, top)
		}
		mean := 0.0
		for k, c := range truth.chances {
			mean += float64(k) * c
		}
		if !near(l.Expected, mean, 1e-9) {
			t.Fatalf("%v: %g expected, want %g", parts, l.Expected, mean)
		}
	})
}

// The chance of k or fewer itself, not only where it passes 2.5 %.
func TestAtMost(t *testing.T) {
	for _, parts := range [][]Part{{{400, 0.3}}, {{200, 1e-8}, {3, 0.5}}, {{50, 0.9}, {70, 0.1}, {1, 1}}} {
		d, sum := distributionOf(parts), 0.0
		for k, c := range plainSum(parts) {
			sum += c
			if k < d.middle-d.half || k > d.middle+d.half {
				continue
			}
			if got := d.atMost(k); !near(got, sum, 1e-13) {
				t.Errorf("%v: %d or fewer with %g, want %g", parts, k, got, sum)
			}
		}
	}
}

var manyNotes = []int{1, 40, 1000, 99_999, 2_000_000}

// From rules that one note in a hundred million meets to common ones. The same from the definition, with
// gonum's cumulated binomial; it is right to some ten places.
func TestLuckOfManyNotes(t *testing.T) {
	for _, n := range manyNotes {
		for _, p := range []float64{1e-8, 3e-7, 1e-5, 1e-4, 0.007, 0.1, 0.2} {
			l := LuckOf([]Part{{n, p}})
			if low, top := longBinomial(n, p).central(); l.Low != low || l.Top != top {
				t.Errorf("n %d, p %g: %d to %d, want %d to %d", n, p, l.Low, l.Top, low, top)
			}
			b := distuv.Binomial{N: float64(n), P: p}
			low, top := 0, 0
			for b.CDF(float64(low)) <= tail {
				low++
			}
			for top = low; 1-b.CDF(float64(top)) > tail; {
				top++
			}
			if l.Low != low || l.Top != top || !near(l.Expected, b.Mean(), 1e-6) {
				t.Errorf("n %d, p %g: %+v, gonum says %d to %d", n, p, l, low, top)
			}
		}
	}
}

// Large and small parts together, against convolution pair by pair.
func TestLuckOfManyKinds(t *testing.T) {
	for _, parts := range [][]Part{
		{{2_000_000, 0.001}, {1_000_000, 0.0019}, {500_000, 1e-4}},
		{{100_000, 0.2}, {300, 0.5}, {2_000_000, 1e-8}},
		{{2_000_000, 1e-8}, {2_000_000, 3e-8}, {2_000_000, 1e-6}},
	} {
		truth := window{0, []float64{1}}
		for _, p := range parts {
			truth = truth.with(longBinomial(p.N, p.P))
		}
		l := LuckOf(parts)
		if low, top := truth.central(); l.Low != low || l.Top != top {
			t.Errorf("%v: %d to %d, want %d to %d", parts, l.Low, l.Top, low, top)
		}
	}
}

// Neither the order of the sessions nor how they are cut up changes anything, to the last place.
func TestLuckIsOfTheNotesOnly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		part := rapid.Custom(func(t *rapid.T) Part {
			return Part{rapid.IntRange(1, 100_000).Draw(t, "n"), rapid.SampledFrom([]float64{1e-8, 1e-4, 0.0063, 0.1, 0.2}).Draw(t, "p")}
		})
		parts := rapid.SliceOfN(part, 1, 12).Draw(t, "parts")
		var cut []Part
		for _, p := range rapid.Permutation(parts).Draw(t, "order") {
			first := rapid.IntRange(0, p.N).Draw(t, "cut")
			cut = append(cut, Part{first, p.P}, Part{p.N - first, p.P})
		}
		if a, b := LuckOf(parts), LuckOf(cut); a != b {
			t.Fatalf("%v: %+v, cut up %+v", parts, a, b)
		}
	})
}

func TestSurprise(t *testing.T) {
	l := Luck{Expected: 4, Low: 1, Top: 8}
	for k, want := range map[int]Surprise{0: Fewer, 1: Inside, 4: Inside, 8: Inside, 9: More} {
		if got := l.Surprise(k); got != want {
			t.Errorf("%d beside 1 to 8: %d, want %d", k, got, want)
		}
	}
}

func BenchmarkLuck(b *testing.B) {
	for _, p := range []float64{1e-8, 1e-4, 0.2} {
		b.Run(fmt.Sprintf("2000000x%g", p), func(b *testing.B) {
			for b.Loop() {
				LuckOf([]Part{{2_000_000, p}})
			}
		})
	}
	var kinds []Part
	for i := range 60 {
		kinds = append(kinds, Part{30_000, 0.1 + float64(i)/1000})
	}
	b.Run("3-kinds", func(b *testing.B) {
		for b.Loop() {
			LuckOf([]Part{{2_000_000, 0.2}, {1_000_000, 0.19}, {500_000, 1e-4}})
		}
	})
	b.Run("60-kinds", func(b *testing.B) {
		for b.Loop() {
			LuckOf(kinds)
		}
	})
}
