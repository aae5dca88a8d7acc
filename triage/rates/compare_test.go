package rates

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// Fisher's lady tasting tea: of 8 cups, 4 with the milk first, 3 of those told right. Two-sided the chance is
// 34/70 = 0.4857; all 4 right: 2/70 = 0.0286 (R. A. Fisher, The Design of Experiments, 1935, chapter 2;
// worked by hand).
func TestLadyTastingTea(t *testing.T) {
	if c := Compare(3, 4, 1, 4); !near(c.Chance, 34.0/70, 1e-12) || c.Apart() {
		t.Errorf("three right: %+v", c)
	}
	if c := Compare(4, 4, 0, 4); !near(c.Chance, 2.0/70, 1e-12) || !c.Apart() {
		t.Errorf("four right: %+v", c)
	}
}

// countedFisher counts tables in whole numbers, so ties are ties.
func countedFisher(k1, n1, k2, n2 int) float64 {
	k := k1 + k2
	ways := func(i int) *big.Int {
		w := new(big.Int).Binomial(int64(n1), int64(i))
		return w.Mul(w, new(big.Int).Binomial(int64(n2), int64(k-i)))
	}
	own, all, unlikely := ways(k1), new(big.Int), new(big.Int)
	for i := max(0, k-n2); i <= min(k, n1); i++ {
		w := ways(i)
		if all.Add(all, w); w.Cmp(own) <= 0 {
			unlikely.Add(unlikely, w)
		}
	}
	chance, _ := new(big.Rat).SetFrac(unlikely, all).Float64()
	return chance
}

func TestFisherAgainstCounting(t *testing.T) {
	for n1 := range 13 {
		for n2 := range 13 {
			for k1 := range n1 + 1 {
				for k2 := range n2 + 1 {
					if got, want := Compare(k1, n1, k2, n2).Chance, countedFisher(k1, n1, k2, n2); !near(got, want, 1e-12) {
						t.Errorf("%d of %d beside %d of %d: %g, want %g", k1, n1, k2, n2, got, want)
					}
				}
			}
		}
	}
	for _, c := range [][4]int{{5, 2_000_000, 14, 1_999_999}, {0, 2_000_000, 4, 1_000_000}, {200, 2_000_000, 140, 1_000_000}, {30, 50, 900, 2_000_000}, {999, 1000, 990, 1000}} {
		got, want := Compare(c[0], c[1], c[2], c[3]).Chance, countedFisher(c[0], c[1], c[2], c[3])
		if !near(got/want, 1, 1e-9) {
			t.Errorf("%v: %g, want %g", c, got, want)
		}
	}
}

func TestCompareTurnedRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n1, n2 := rapid.IntRange(0, 3_000_000).Draw(t, "n1"), rapid.IntRange(0, 3_000_000).Draw(t, "n2")
		k1, k2 := rapid.IntRange(0, n1).Draw(t, "k1"), rapid.IntRange(0, n2).Draw(t, "k2")
		a, b := Compare(k1, n1, k2, n2), Compare(k2, n2, k1, n1)
		if !near(a.Chance, b.Chance, 1e-9) || a.Chance < 0 || a.Chance > 1 || a.More < 0 || a.More != b.More || a.Both != b.Both {
			t.Fatalf("%+v and turned round %+v", a, b)
		}
		if a.Apart() && a.More != 0 {
			t.Fatalf("told apart, and more is asked for: %+v", a)
		}
		if same := Compare(k1, n1, k1, n1); same.Apart() || !near(same.Chance, 1, 1e-9) {
			t.Fatalf("equal sources: %+v", same)
		}
	})
}

// Of tables with the same sums, the further one is from the likeliest, the smaller is the chance.
func TestChanceFallsOutward(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n1, n2 := rapid.IntRange(1, 2000).Draw(t, "n1"), rapid.IntRange(1, 2000).Draw(t, "n2")
		k := rapid.IntRange(0, n1+n2).Draw(t, "k")
		before, falling := 0.0, false
		for i := max(0, k-n2); i <= min(k, n1); i++ {
			chance := Compare(i, n1, k-i, n2).Chance
			if falling && chance > before+1e-9 {
				t.Fatalf("%d of %d beside %d of %d: %g after %g", i, n1, k-i, n2, chance, before)
			}
			falling = falling || chance < before-1e-9
			before = chance
		}
	})
}

func TestCompareOutOfRange(t *testing.T) {
	if got, want := Compare(-1, 5, 9, 8), Compare(0, 5, 8, 8); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	if c := Compare(3, 0, 2, 9); c.Chance != 1 || c.Apart() || c.More < 0 {
		t.Errorf("none beside nine: %+v", c)
	}
}

func TestCompareWords(t *testing.T) {
	for _, c := range []struct {
		c    Comparison
		want string
	}{
		{Compare(0, 0, 1, 10), "one of them has no notes yet"},
		{Compare(0, 10, 0, 20), "nothing was found in either: no rate can be compared yet"},
		{Compare(40, 1000, 0, 1000), "told apart: the first is higher"}, // no ratio to none
		{Compare(10, 1000, 40, 1000), "told apart: the second is higher, 4.0 times"},
		{Compare(10, 10, 10, 10), "not told apart; a rate this high cannot double"},
		{Compare(1000, 100_000, 1000, 100_000), "not told apart, and there are notes enough to have shown a doubling"},
		{Comparison{A: Of(100, 10_000), B: Of(9, 900), Chance: 1, More: 400}, "not yet to be told apart; about 400 more notes of the second would show a doubling"},
		{Comparison{A: Of(9, 900), B: Of(100, 10_000), Chance: 1, More: 4000}, "not yet to be told apart; about 4,000 more notes of the first would show a doubling"},
		{Comparison{A: Of(9, 900), B: Of(9, 900), Chance: 1, More: 2900, Both: true}, "not yet to be told apart; about 2,900 more notes, until both have as many, would show a doubling"},
	} {
		if got := c.c.String(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func BenchmarkCompare(b *testing.B) {
	for b.Loop() {
		Compare(12, 20_000, 31, 30_000)
	}
}

func BenchmarkCompareMany(b *testing.B) {
	for b.Loop() {
		Compare(400_000, 2_000_000, 401_000, 2_000_000)
	}
}
