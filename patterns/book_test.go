package patterns

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
)

// Files hold these numbers: they may be added to, never changed.
func TestRuleNumbersStay(t *testing.T) {
	for i, id := range []ID{
		Solid, LadderUp, LadderDown, Radar, SuperRadar, RadarRepeater, Repeater, SuperRepeater, Rotator, Binary,
		TrueBinary, Trinary, FourInRow, FiveInRow, SixInRow, SevenInRow, FiveAlike, SixAlike, SevenAlike, DoubleQuad,
		FourPairs, Bookends2, Bookends3, Alternator, LowNumber, RoundMillion, AllDifferent, TenMillion, HighNumber, Flipper,
		BrokenLadder, LadderRadar, SevenSteps, SixSteps, StutteringLadder, SkippingLadder, PartialLadder, Date, OwnNumbers,
	} {
		if int(id) != i+1 {
			t.Errorf("rule number %d was %d when files were written", id, i+1)
		}
	}
	if FirstTemplate != 48 || LastTemplate != 63 {
		t.Errorf("templates are %d to %d, were 48 to 63", FirstTemplate, LastTemplate)
	}
}

// Every rule says what it is, and its example is one: told, with the definition's own words.
func TestRulesExplainThemselves(t *testing.T) {
	for _, change := range []func(*Settings){
		func(*Settings) {},
		func(s *Settings) { *s = Settings{} },
		func(s *Settings) {
			s.LadderZero, s.OneTurns, s.Binary, s.BinaryPowers = AnyWrap, false, ZeroAndOne, false
			s.SolidAlso, s.FourDifferent, s.LowLimit, s.HighFrom, s.HighTo = false, true, 10, 99_999_999, 99_999_999
			s.MonthFirst, s.DayFirst, s.FromYear, s.ToYear = false, false, 1, 3
			s.Templates = []Template{{Pattern: "A?1B?2A?"}}
			s.Numbers = []OwnNumber{{Number: "77", Place: End}}
		},
	} {
		b := bookOf(t, change)
		names := map[string]bool{}
		for _, r := range b.Rules() {
			if r.Name == "" || r.Definition == "" || r.Source == "" || names[r.Name] {
				t.Errorf("rule %d lacks a name of its own, a definition or a source: %+v", r.ID, r)
			}
			names[r.Name] = true
			if r.Sure != "P" && r.Sure != "C" && r.Sure != "own" {
				t.Errorf("%s: sure %q", r.Name, r.Sure)
			}
			if match, _ := b.Sets(r.Example); !match.Has(r.ID) {
				t.Errorf("%s: the example %v is none", r.Name, r.Example)
			}
			if r.HasNear != (r.NearTotal > 0) || r.Total == 0 {
				t.Errorf("%s: HasNear %v, NearTotal %d, Total %d", r.Name, r.HasNear, r.NearTotal, r.Total)
			}
			if again, ok := b.Rule(r.ID); !ok || again != r {
				t.Errorf("%s: Rule gives %+v", r.Name, again)
			}
		}
		if !slices.IsSortedFunc(b.Rules(), func(x, y Rule) int { return cmp.Compare(x.Total, y.Total) }) {
			t.Error("the rules are not told rarest first")
		}
	}
	for _, id := range []ID{0, 47, FirstTemplate, 64, 255} {
		if r, ok := defaultBook(t).Rule(id); ok {
			t.Errorf("there is no rule %d, got %+v", id, r)
		}
	}
}

// A judgement agrees with Sets, leads with the rarest, and lists exactly the changes that make a
// rule.
func TestJudgementsAreComplete(t *testing.T) {
	b := defaultBook(t)
	r := rand.New(rand.NewPCG(1, 1928))
	for range 5000 {
		d := Digits(r.IntN(Total))
		if r.IntN(3) == 0 {
			d = d / 10_000 * 10_001 % Total // repeaters, to have findings
		}
		j := b.Judge(d)
		match, near := b.Sets(d)
		if j.Digits != d || j.Match() != match || j.NearSet() != near || len(j.Near) != near.Len() {
			t.Fatalf("%v: judgement %+v, Sets %v %v", d, j, match.IDs(), near.IDs())
		}
		last := 0
		for _, f := range j.Findings {
			rule, _ := b.Rule(f.Rule)
			if !match.Has(f.Rule) || rule.Total < last || f.Places == 0 {
				t.Errorf("%v: finding %+v, matches %v, the one before has %d", d, f, match.IDs(), last)
			}
			last = rule.Total
		}
		if len(j.Findings) < match.Len() && !match.Has(Solid) && !match.Has(BrokenLadder) {
			t.Errorf("%v: %d findings, matches %v", d, len(j.Findings), match.IDs())
		}
		checkChanges(t, b, j)
	}
}

func checkChanges(t *testing.T, b *Book, j Judgement) {
	t.Helper()
	doubtful := uint8(0)
	for _, n := range j.Near {
		want := 0
		for _, e := range editsOf(j.Digits) {
			if m, _ := b.Sets(e); m.Has(n.Rule) {
				want++
			}
		}
		if len(n.Changes) != want {
			t.Errorf("%v: %d changes make rule %d, want %d", j.Digits, len(n.Changes), n.Rule, want)
		}
		for _, c := range n.Changes {
			if m, _ := b.Sets(j.Digits.apply(c)); !m.Has(n.Rule) {
				t.Errorf("%v: %+v does not make rule %d", j.Digits, c, n.Rule)
			}
			doubtful |= 1 << c.Pos
			if c.Swap {
				doubtful |= 2 << c.Pos
			}
		}
	}
	if got := j.Doubtful(^Set(0)); got != doubtful {
		t.Errorf("%v: doubtful %08b, want %08b", j.Digits, got, doubtful)
	}
	if got := j.Doubtful(0); got != 0 {
		t.Errorf("%v: doubtful %08b when nothing is watched", j.Digits, got)
	}
}

// What is told as doubtful in a near radar: both places of the pair; after a swap, both neighbours.
func TestDoubtfulPlaces(t *testing.T) {
	b := defaultBook(t)
	for _, c := range []struct {
		digits  string
		watched ID
		want    uint8
	}{
		{"31400419", Radar, 0b10000001},
		{"12345687", LadderUp, 0b11000000},
		{"12345679", LadderUp, 0b10000000},
		{"12345679", Radar, 0},
	} {
		if got := b.Judge(mustDigits(c.digits)).Doubtful(1 << c.watched); got != c.want {
			t.Errorf("%s, rule %d: doubtful %08b, want %08b", c.digits, c.watched, got, c.want)
		}
	}
}

// The figures the default watch list was chosen by: about two stops in a strap of 100, 6.5 digits
// typed, 56 to 58 % settled after six and 90 % after seven. The full counts are checked one by one
// under -long.
func TestDefaultWatch(t *testing.T) {
	b := defaultBook(t)
	w := b.DefaultWatch()
	p, s := b.Price(w, 96_000_000), b.Settling(w, 96_000_000)
	t.Logf("%.3f stops in a strap: %.3f hits, %.3f near; mean %.3f, by six %.3f, by seven %.3f",
		p.StopsPerStrap(100), p.HitsPerStrap(100), p.NearPerStrap(100), s.Mean(), s.By(6), s.By(7))
	for _, c := range []struct {
		what           string
		got, low, high float64
	}{
		{"stops in a strap", p.StopsPerStrap(100), 1.7, 2.1},
		{"digits typed", s.Mean(), 6.45, 6.58},
		{"settled after six", s.By(6), 0.55, 0.59},
		{"settled after seven", s.By(7), 0.895, 0.91},
	} {
		if c.got < c.low || c.got > c.high {
			t.Errorf("%s: %.3f, want %.3f to %.3f", c.what, c.got, c.low, c.high)
		}
	}
	common := Set(0).With(Bookends2).With(Trinary).With(AllDifferent).With(FourInRow).With(Flipper).With(Alternator)
	if (w.Hit|w.Near)&common != 0 {
		t.Errorf("common names are watched: %v", ((w.Hit | w.Near) & common).IDs())
	}
	for _, id := range []ID{Radar, Repeater, Binary, LadderUp, LadderDown, Solid, Rotator, SixInRow, SevenAlike, FourPairs} {
		if !w.Near.Has(id) {
			t.Errorf("near misses of rule %d are not watched", id)
		}
	}
	wide := bookOf(t, func(s *Settings) { s.FromYear, s.ToYear = 1, 9999 })
	if wide.DefaultWatch().Hit.Has(Date) {
		t.Error("nine serials in a hundred are dates, and all would stop")
	}
}

// Price, counts and settling of the first serials, against looking at each; to the end under -long.
func TestFirstSerialsAddUp(t *testing.T) {
	b := bookOf(t, func(s *Settings) {
		s.Templates = []Template{{Pattern: "0?ABBA0?"}, {Pattern: "ABAB????"}}
		s.Numbers = []OwnNumber{{Number: "777"}}
	})
	watches := []Watch{b.DefaultWatch(), {Hit: ^Set(0), Near: ^Set(0)}, {Hit: 1 << Bookends2, Near: 1<<Date | 1<<FirstTemplate}, {}}
	price := make([]Price, len(watches))
	var match, near [64]int
	tops := []Digits{0, 1, 9, 100, 9_999, 123_456, 700_001}
	for d := Digits(0); d <= tops[len(tops)-1]; d++ {
		m, n := b.Sets(d)
		for i, w := range watches {
			switch {
			case d == 0:
			case m&w.Hit != 0:
				price[i].Hits++
			case n&w.Near != 0:
				price[i].NearOnly++
			}
		}
		for _, id := range m.IDs() {
			match[id] += min(1, int(d))
		}
		for _, id := range n.IDs() {
			near[id] += min(1, int(d))
		}
		if !slices.Contains(tops, d) {
			continue
		}
		for i, w := range watches {
			price[i].Top = d
			if got := b.Price(w, d); got != price[i] {
				t.Errorf("watch %d: Price %+v, counted %+v", i, got, price[i])
			}
			if got, want := b.open(w, d), openOneByOne(b, w, d); got != want {
				t.Errorf("watch %d to %v: open %v, counted %v", i, d, got, want)
			}
		}
		for _, r := range b.Rules() {
			if b.Count(r.ID, d) != match[r.ID] || b.NearCount(r.ID, d) != near[r.ID] {
				t.Errorf("%s to %v: %d and %d, counted %d and %d", r.Name, d, b.Count(r.ID, d), b.NearCount(r.ID, d), match[r.ID], near[r.ID])
			}
		}
	}
}

// openOneByOne asks Possible for every prefix of the serials 1 to top.
func openOneByOne(b *Book, w Watch, top Digits) (open [Places]int) {
	for k := range open {
		length := Digits(size[k])
		for first := Digits(0); first <= top; first += length {
			if w.stops(b.Possible(first.String()[:k])) {
				open[k] += int(min(first+length-1, top)) - max(int(first), 1) + 1
			}
		}
	}
	return open
}

// What is possible after random digits, against every completion.
func TestPossibleAgainstCompletions(t *testing.T) {
	b := defaultBook(t)
	r := rand.New(rand.NewPCG(5, 1934))
	for i := range 300 {
		k := 4 + i%5
		prefix := Digits(r.IntN(Total)).String()[:k]
		var match, near Set
		for rest := Digits(0); rest < Digits(size[k]); rest++ {
			m, n := b.Sets(Digits(number(prefix))*Digits(size[k]) + rest)
			match, near = match|m, near|n
		}
		if m, n := b.Possible(prefix); m != match || n != near {
			t.Errorf("after %s possible %v and %v, want %v and %v", prefix, m.IDs(), n.IDs(), match.IDs(), near.IDs())
		}
	}
	for _, bad := range []string{"12a", "123456789", "１", " "} {
		if m, n := b.Possible(bad); m != 0 || n != 0 {
			t.Errorf("after %q something is possible", bad)
		}
	}
}

// A book is used from several goroutines, also while counts under other tops are asked for.
func TestBookIsShared(t *testing.T) {
	b := defaultBook(t)
	var wg sync.WaitGroup
	for i := range 4 {
		wg.Go(func() {
			for j := range 20 {
				top := Digits(90_000_000 + i*1_000 + j)
				if b.Count(Radar, top) != int(top/10_000)-1+oneIf(top%10_000 >= 9) {
					t.Errorf("radars to %v: %d", top, b.Count(Radar, top))
				}
				b.Price(b.DefaultWatch(), top)
				b.Judge(top)
			}
		})
	}
	wg.Wait()
}

func oneIf(yes bool) int { return int(one(yes)) }
