package patterns

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/combin"
	"gonum.org/v1/gonum/stat/distuv"
)

// Figures from outside the package. Codes in brackets are the sources listed at the end of the
// trade's facts; X is arithmetic done apart from this program, by brute force.

func bookOf(t testing.TB, change func(*Settings)) *Book {
	t.Helper()
	s := DefaultSettings()
	change(&s)
	b, err := NewBook(s)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// OEIS A000110, the Bell numbers: 1, 1, 2, 5, 15, 52, 203, 877, 4140.
func TestShapesAreBellNumbers(t *testing.T) {
	table := shapes()
	for k, want := range []int{1, 1, 2, 5, 15, 52, 203, 877, 4140} {
		if got := table.first[k+1] - table.first[k]; got != want {
			t.Errorf("%d shapes of %d digits, want %d", got, k, want)
		}
	}
}

// OEIS A008277, row 8 of the Stirling numbers of the second kind: 1, 127, 966, 1701, 1050, 266,
// 28, 1 (also in NIST DLMF 26.8, not seen). gonum's combin gives 10!/(10-k)!, and the same row by
// inclusion and exclusion.
func TestShapesAreStirlingNumbers(t *testing.T) {
	rows := [Places + 1]int{}
	for _, f := range shapes().forms {
		rows[f.kinds()]++
	}
	strings := 0
	for k, want := range []int{0, 1, 127, 966, 1701, 1050, 266, 28, 1} {
		if rows[k] != want {
			t.Errorf("%d shapes with %d digits, want %d", rows[k], k, want)
		}
		if k == 0 {
			continue
		}
		sum := 0.0
		for j := 0; j <= k; j++ {
			sum += math.Pow(-1, float64(k-j)) * float64(combin.Binomial(k, j)) * math.Pow(float64(j), Places)
		}
		if got := int(math.Round(sum)) / combin.NumPermutations(k, k); got != rows[k] {
			t.Errorf("inclusion and exclusion gives %d shapes with %d digits, the table has %d", got, k, rows[k])
		}
		if got := combin.NumPermutations(10, k); got != weight(k) {
			t.Errorf("weight(%d) = %d, combin says %d", k, weight(k), got)
		}
		strings += rows[k] * weight(k)
	}
	if strings != Total {
		t.Errorf("the shapes stand for %d strings, want %d", strings, Total)
	}
}

// facts §11 and §12.1 to §12.3, over all 100,000,000 strings.
func TestCountsOverAll(t *testing.T) {
	b := defaultBook(t)
	for _, c := range []struct {
		id     ID
		want   int
		source string
	}{
		{Solid, 10, "[PF][AZ]"},
		{LadderUp, 3, "half of the six of [AZ][VC]"},
		{LadderDown, 3, "half of the six of [AZ][VC]"},
		{Radar, 10_000, "§12.3 X"},
		{SuperRadar, 90, "§11"},
		{RadarRepeater, 90, "§12.3 X: 100 with the solids"},
		{Repeater, 10_000, "§11"},
		{SuperRepeater, 90, "§11"},
		{Rotator, 625, "[PF]"},
		{Flipper, 390_625 - 625, "§11, §12.3 X"},
		{Binary, 11_430, "[FO], §12.1 X"},
		{TrueBinary, 254, "[TY] has Undis' 254"},
		{Trinary, 695_520, "§12.1 X"},
		{FourInRow, 422_910, "§12.2 X"},
		{FiveInRow, 34_200, "§12.2 X"},
		{SixInRow, 2_610, "§12.2 X"},
		{SevenInRow, 180, "§12.2 X"},
		{FiveAlike, 408_240, "§12.2 X"},
		{SixAlike, 22_680, "§12.2 X"},
		{SevenAlike, 720, "[VC] as 1 in 138,889"},
		{DoubleQuad, 90, "§11"},
		{FourPairs, 10_000, "§11"},
		{Bookends2, 1_000_000, "§11"},
		{Bookends3, 100_000, "§11"},
		{Alternator, 199_900, "§11: 100,000 each way, 100 both"},
		{LowNumber, 100, "[GL]"},
		{RoundMillion, 99, "[PF]"},
		{TenMillion, 9, "[AZ]"},
		{AllDifferent, 1_814_400, "[CT14], §12.1 X"},
		{BrokenLadder, 120_960, "§11 X"},
		{SevenSteps, 154 - 6, "§12.3 X: 154 of at least seven"},
		{SixSteps, 2_840 - 154, "§12.3 X: 2,840 of at least six"},
		{SkippingLadder, 45 + 45 - 6, "§12.3 X: 45 strictly rising, 45 falling, less the ladders"},
		{Date, 119_919, "§12.5 X, 1900 to 2025"},
	} {
		r, ok := b.Rule(c.id)
		if !ok || r.Total != c.want {
			t.Errorf("%s: Total = %d, want %d %s", r.Name, r.Total, c.want, c.source)
		}
	}
	if got := math.Round(Total / 720.0); got != 138_889 {
		t.Errorf("seven alike is one in %v, [VC] says 138,889", got)
	}
	atLeastFour := b.count(Total - 1)
	sum := atLeastFour.match[FourInRow] + atLeastFour.match[FiveInRow] + atLeastFour.match[SixInRow] +
		atLeastFour.match[SevenInRow] + 10 - 1 // eight in a row are the solids; 00000000 is not in the tally
	if sum+1 != 459_910 {
		t.Errorf("four or more in a row: %d, want 459,910 (§12.2 X)", sum+1)
	}
}

// facts §12.3: 360,000 strings are one pair off a radar or a repeater, 720 one digit off a solid.
// A swap makes 27,000 and 36,000 more.
func TestNearCounts(t *testing.T) {
	b := defaultBook(t)
	for _, c := range []struct {
		id    ID
		wrong func(Digits) int // how many pairs or digits are wrong
		want  int
	}{
		{Radar, func(d Digits) int { return wrongPairs(d, func(i int) int { return 7 - i }) }, 360_000},
		{Repeater, func(d Digits) int { return wrongPairs(d, func(i int) int { return 4 + i }) }, 360_000},
	} {
		oneOff, swapped := 0, 0
		each := func(d Digits) {
			switch _, near := b.Sets(d); {
			case near.Has(c.id) && c.wrong(d) == 1:
				oneOff++
			case near.Has(c.id):
				swapped++
			}
		}
		nearEach(b, c.id, each)
		if r, _ := b.Rule(c.id); oneOff != c.want || oneOff+swapped != r.NearTotal {
			t.Errorf("%s: %d one pair off and %d by a swap, want %d and together %d", r.Name, oneOff, swapped, c.want, r.NearTotal)
		}
	}
	if r, _ := b.Rule(Solid); r.NearTotal != 720 {
		t.Errorf("%d strings are near a solid, want 720 (§11)", r.NearTotal)
	}
}

func wrongPairs(d Digits, partner func(int) int) (n int) {
	a := d.all()
	for i := range 4 {
		if a[i] != a[partner(i)] {
			n++
		}
	}
	return n
}

// facts §12.4, serials 1 to the cap.
func TestCountsUnderCaps(t *testing.T) {
	b := defaultBook(t)
	sum := func(top Digits, ids ...ID) (n int) {
		for _, id := range ids {
			n += b.Count(id, top)
		}
		return n
	}
	for _, c := range []struct {
		name string
		ids  []ID
		want [3]int
	}{
		{"solid", []ID{Solid}, [3]int{8, 8, 9}},
		{"ladder", []ID{LadderUp, LadderDown}, [3]int{5, 6, 6}},
		{"radar", []ID{Radar}, [3]int{9_599, 9_919, 9_999}},
		{"repeater", []ID{Repeater}, [3]int{9_599, 9_919, 9_999}},
		{"super radar", []ID{SuperRadar}, [3]int{87, 90, 90}},
		{"super repeater", []ID{SuperRepeater}, [3]int{87, 90, 90}},
		{"rotator", []ID{Rotator}, [3]int{549, 609, 624}},
		{"two digits", []ID{Binary}, [3]int{10_671, 10_927, 11_430}},
		{"three digits", []ID{Trinary}, [3]int{657_889, 677_225, 695_520}},
		{"eight digits", []ID{AllDifferent}, [3]int{1_753_920, 1_814_400, 1_814_400}},
		{"run of four or more", []ID{FourInRow, FiveInRow, SixInRow, SevenInRow, Solid}, [3]int{436_119, 447_779, 459_909}},
		{"run of six or more", []ID{SixInRow, SevenInRow, Solid}, [3]int{2_634, 2_692, 2_799}},
	} {
		for i, top := range []Digits{96_000_000, 99_200_000, 99_999_999} {
			if got := sum(top, c.ids...); got != c.want[i] {
				t.Errorf("%s to %v: %d, want %d", c.name, top, got, c.want[i])
			}
		}
	}
}

// facts §12.5, the Gregorian calendar over several year windows.
func TestDateCounts(t *testing.T) {
	total := func(from, to int, month, day, year bool) int {
		b := bookOf(t, func(s *Settings) {
			s.FromYear, s.ToYear, s.MonthFirst, s.DayFirst, s.YearFirst = from, to, month, day, year
		})
		r, _ := b.Rule(Date)
		return r.Total
	}
	for _, c := range []struct{ from, to, one, either, any int }{
		{1900, 1999, 36_524, 58_648, 95_172},
		{1900, 2025, 46_021, 73_898, 119_919},
		{1776, 2025, 91_311, 146_622, 237_933},
		{1, 9999, 3_652_059, 5_864_262, 9_302_123},
	} {
		if got := total(c.from, c.to, true, false, false); got != c.one {
			t.Errorf("%d to %d month first: %d, want %d", c.from, c.to, got, c.one)
		}
		if got := total(c.from, c.to, false, true, false); got != c.one {
			t.Errorf("%d to %d day first: %d, want %d", c.from, c.to, got, c.one)
		}
		if got := total(c.from, c.to, true, true, false); got != c.either {
			t.Errorf("%d to %d month or day first: %d, want %d", c.from, c.to, got, c.either)
		}
		if got := total(c.from, c.to, true, true, true); got != c.any {
			t.Errorf("%d to %d any order: %d, want %d", c.from, c.to, got, c.any)
		}
	}
}

// facts §11: what the disputed definitions count.
func TestDisputedCounts(t *testing.T) {
	for _, c := range []struct {
		why    string
		change func(*Settings)
		ids    []ID
		want   int
	}{
		{"no zero after nine [AZ][VC]", func(s *Settings) { s.LadderZero = "" }, []ID{LadderUp, LadderDown}, 6},
		{"zero low or high [PF]", func(s *Settings) { s.LadderZero = ZeroAsTen }, []ID{LadderUp, LadderDown}, 8},
		{"any wrap [GL]", func(s *Settings) { s.LadderZero = AnyWrap }, []ID{LadderUp, LadderDown}, 20},
		{"1 does not turn [CP1]", func(s *Settings) { s.OneTurns = false }, []ID{Rotator}, 256},
		{"0 6 8 9 less rotators, §12.3 X", func(s *Settings) { s.OneTurns = false }, []ID{Flipper}, 65_536 - 256},
		{"powers of ten are no binaries [PF2]", func(s *Settings) { s.BinaryPowers = false }, []ID{TrueBinary}, 246},
		{"only 0 and 1 [PF]", func(s *Settings) { s.Binary = ZeroAndOne }, []ID{Binary, TrueBinary}, 254},
		{"low to 10 [PF]", func(s *Settings) { s.LowLimit = 10 }, []ID{LowNumber}, 10},
		{"low below 10,000 [LT]", func(s *Settings) { s.LowLimit = 9_999 }, []ID{LowNumber}, 9_999},
		{"four different digits [FO]", func(s *Settings) { s.FourDifferent = true }, []ID{FourPairs}, 5_040},
		{"no solid is a radar", func(s *Settings) { s.SolidAlso = false }, []ID{Radar}, 9_990},
		{"no solid is a repeater: 9,900 and 90 super, §12.3 X", func(s *Settings) { s.SolidAlso = false }, []ID{Repeater}, 9_990},
		{"three solids turn: 0, 1 and 8", func(s *Settings) { s.SolidAlso = false }, []ID{Rotator}, 622},
	} {
		b, got := bookOf(t, c.change), 0
		for _, id := range c.ids {
			r, _ := b.Rule(id)
			got += r.Total
		}
		if got != c.want {
			t.Errorf("%s: %d, want %d", c.why, got, c.want)
		}
	}
}

// facts §12.3: radars by the number of different digits are 10, 630, 4,320, 5,040; four pairs
// anywhere are 529,200. Templates and shapes count them, too.
func TestShapeCounts(t *testing.T) {
	var radars [Places + 1]int
	pairs := 0
	for i, f := range shapes().forms {
		k := shapes().forms[i].kinds()
		if isRadar(&f) {
			radars[k] += weight(k)
		}
		if k == 4 && mostAlike(&f) == 2 {
			pairs += weight(k)
		}
	}
	if want := [Places + 1]int{0, 10, 630, 4_320, 5_040}; radars != want {
		t.Errorf("radars by digits %v, want %v", radars, want)
	}
	if pairs != 529_200 {
		t.Errorf("four pairs anywhere: %d, want 529,200", pairs)
	}
}

// facts §12.6: of 1,000 random notes 9.5 % hold a radar at least; gonum's binomial distribution.
func TestOddsOfOneRadar(t *testing.T) {
	b := defaultBook(t)
	p := float64(b.Count(Radar, Total-1)) / (Total - 1)
	if got := 1 - (distuv.Binomial{N: 1000, P: p}).Prob(0); math.Abs(got-0.095) > 0.0005 {
		t.Errorf("a radar in 1,000 notes: %.4f, want 0.095", got)
	}
	w := Watch{Hit: 1 << Radar}
	if got := b.Price(w, Total-1).HitsPerStrap(1000); math.Abs(got-0.1) > 0.0001 {
		t.Errorf("radars in 1,000 notes: %.4f, want 0.1", got)
	}
}
