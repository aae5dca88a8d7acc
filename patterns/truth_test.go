package patterns

import (
	"flag"
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"
)

var long = flag.Bool("long", false, "check all 100,000,000 serials: some minutes, 1 GB of memory")

func defaultBook(t testing.TB) *Book {
	t.Helper()
	b, err := NewBook(DefaultSettings())
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// naiveMatch asks every naive rule.
func naiveMatch(rules map[ID]naiveRule, d Digits) (match Set) {
	text := [Places]byte{}
	for i, c := range d.all() {
		text[i] = '0' + c
	}
	s := string(text[:])
	for id, rule := range rules {
		if rule(s) {
			match = match.With(id)
		}
	}
	return match
}

// naiveNear tries every edit and asks the naive rules again.
func naiveNear(match func(Digits) Set, d Digits) (near Set) {
	s := d.String()
	for i := range s {
		for c := byte('0'); c <= '9'; c++ {
			if c != s[i] {
				near |= match(mustDigits(s[:i] + string(c) + s[i+1:]))
			}
		}
		if i > 0 {
			near |= match(mustDigits(s[:i-1] + s[i:i+1] + s[i-1:i] + s[i+1:]))
		}
	}
	return near &^ match(d)
}

func mustDigits(s string) Digits {
	d, err := ParseDigits(s)
	if err != nil {
		panic(err)
	}
	return d
}

// each gives every serial that matches a rule, by asking what is possible digit by digit.
func each(b *Book, id ID, do func(Digits)) {
	var from func(prefix string)
	from = func(prefix string) {
		if match, _ := b.Possible(prefix); !match.Has(id) {
			return
		}
		if len(prefix) == Places {
			do(mustDigits(prefix))
			return
		}
		for c := byte('0'); c <= '9'; c++ {
			from(prefix + string(c))
		}
	}
	from("")
}

// The tables agree with the naive rules: on random serials, on every serial of the rules that
// fewer than 1,000 match, and one edit away from some of these.
func TestSetsAgreeWithPlainRules(t *testing.T) {
	for _, c := range []struct {
		book  *Book
		rules map[ID]naiveRule
	}{
		{defaultBook(t), naive()},
		{bookOf(t, otherSettings), otherNaive()},
	} {
		agree(t, c.book, c.rules)
	}
}

func agree(t *testing.T, b *Book, rules map[ID]naiveRule) {
	t.Helper()
	if len(rules) != len(b.Rules()) {
		t.Errorf("%d naive rules, %d rules in the book", len(rules), len(b.Rules()))
	}
	one := func(d Digits) Set { return naiveMatch(rules, d) }
	check := func(d Digits) {
		match, near := b.Sets(d)
		if want := one(d); match != want {
			t.Errorf("%v matches %v, want %v", d, match.IDs(), want.IDs())
		}
		if want := naiveNear(one, d); near != want {
			t.Errorf("%v is near %v, want %v", d, near.IDs(), want.IDs())
		}
	}
	r := rand.New(rand.NewPCG(8, 1776))
	for range 300 {
		check(Digits(r.IntN(Total)))
	}
	for range 50_000 {
		d := Digits(r.IntN(Total))
		if match, _ := b.Sets(d); match != one(d) {
			t.Fatalf("%v matches %v, want %v", d, match.IDs(), one(d).IDs())
		}
	}
	for _, rule := range b.Rules() {
		if rule.Total >= 1000 {
			continue
		}
		n := 0
		each(b, rule.ID, func(d Digits) {
			n++
			if !rules[rule.ID](d.String()) {
				t.Errorf("%v is no %s", d, rule.Name)
			}
			if n%30 == 0 {
				check(d)
				check(d.apply(Change{Pos: r.IntN(8), To: byte(r.IntN(10))}))
			}
		})
		if n != rule.Total {
			t.Errorf("%s: %d serials walked, Total says %d", rule.Name, n, rule.Total)
		}
	}
}

// Everything the package counts or promises for the default settings, checked serial by serial.
func TestAllSerials(t *testing.T) {
	if !*long {
		t.Skip("run with -long")
	}
	b, rules := defaultBook(t), naive()
	truth := make([]Set, Total)
	parallel(Total, func(d int) { truth[d] = naiveMatch(rules, Digits(d)) })
	t.Log("naive rules done")

	tops := []Digits{1_000_000, 47_110_815, 96_000_000, 99_200_000, 99_999_999}
	watches := []Watch{b.DefaultWatch(), {Hit: 1<<Date | 1<<Radar, Near: 1<<Date | 1<<Trinary}, {Hit: ^Set(0)}, {}}
	sums := newSums(b, tops, watches)
	for d := Digits(0); d < Total; d++ {
		match := truth[d]
		near := truthNear(truth, d)
		if m, n := b.Sets(d); m != match || n != near {
			t.Fatalf("%v: match %v near %v, want %v and %v", d, m.IDs(), n.IDs(), match.IDs(), near.IDs())
		}
		sums.add(t, d, match, near)
	}
	sums.check(t)
}

func truthNear(truth []Set, d Digits) (near Set) {
	digits := d.all()
	for i, here := range digits {
		low := d - Digits(here)*powers[i]
		for c := Digits(0); c < 10; c++ {
			near |= truth[low+c*powers[i]]
		}
		if i > 0 {
			before := Digits(digits[i-1])
			near |= truth[d-before*powers[i-1]-Digits(here)*powers[i]+Digits(here)*powers[i-1]+before*powers[i]]
		}
	}
	return near &^ truth[d]
}

// parallel runs do for 0 to n-1 on all processors.
func parallel(n int, do func(int)) {
	workers := runtime.GOMAXPROCS(0)
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for i := n / workers * w; i < n/workers*(w+1); i++ {
				do(i)
			}
		})
	}
	wg.Wait()
}

// sums gathers, serial by serial, what the book computes without looking at serials.
type sums struct {
	book    *Book
	tops    []Digits
	watches []Watch
	match   [64]int
	near    [64]int
	byTop   []([2][64]int)
	price   [][]Price          // by watch and top
	open    [][][Places]int    // by watch and top
	below   [Places + 1][2]Set // what the serials below the prefix so far match and are near
}

func newSums(b *Book, tops []Digits, watches []Watch) *sums {
	s := &sums{book: b, tops: tops, watches: watches, byTop: make([][2][64]int, len(tops))}
	for range watches {
		s.price = append(s.price, make([]Price, len(tops)))
		s.open = append(s.open, make([][Places]int, len(tops)))
	}
	return s
}

func (s *sums) add(t *testing.T, d Digits, match, near Set) {
	for _, id := range match.IDs() {
		s.match[id]++
	}
	for _, id := range near.IDs() {
		s.near[id]++
	}
	for i, w := range s.watches {
		for j := range s.tops {
			if d == 0 || d > s.tops[j] {
				continue
			}
			switch {
			case match&w.Hit != 0:
				s.price[i][j].Hits++
			case near&w.Near != 0:
				s.price[i][j].NearOnly++
			}
		}
	}
	for i, top := range s.tops {
		if d == top {
			s.byTop[i] = [2][64]int{s.match, s.near}
		}
	}
	s.prefixes(t, d, match, near)
}

// prefixes closes every prefix whose last serial d is, and compares what its serials showed with
// what the book said was possible.
func (s *sums) prefixes(t *testing.T, d Digits, match, near Set) {
	for k := range s.below {
		s.below[k][0] |= match
		s.below[k][1] |= near
		length := int(size[k])
		if (int(d)+1)%length != 0 {
			continue
		}
		got := [2]Set{}
		prefix := d.String()[:k]
		got[0], got[1] = s.book.Possible(prefix)
		if got != s.below[k] {
			t.Fatalf("after %q possible %v, want %v", prefix, got, s.below[k])
		}
		if k < Places {
			s.opened(int(d)+1-length, length, k)
		}
		s.below[k] = [2]Set{}
	}
}

// opened counts the serials first, first+1, ... as open after k digits where a stop was seen.
func (s *sums) opened(first, length, k int) {
	for i, w := range s.watches {
		if !w.stops(s.below[k][0], s.below[k][1]) {
			continue
		}
		for j, top := range s.tops {
			from, to := max(first, 1), min(first+length-1, int(top))
			s.open[i][j][k] += max(0, to-from+1)
		}
	}
}

func (s *sums) check(t *testing.T) {
	b := s.book
	for _, r := range b.Rules() {
		if r.Total != s.match[r.ID] || r.NearTotal != s.near[r.ID] {
			t.Errorf("%s: Total %d, NearTotal %d; counted %d, %d", r.Name, r.Total, r.NearTotal, s.match[r.ID], s.near[r.ID])
		}
		match, near := b.Sets(0)
		for i, top := range s.tops {
			want, wantNear := s.byTop[i][0][r.ID], s.byTop[i][1][r.ID]
			if match.Has(r.ID) {
				want--
			}
			if near.Has(r.ID) {
				wantNear--
			}
			if got := b.Count(r.ID, top); got != want {
				t.Errorf("%s to %v: Count %d, counted %d", r.Name, top, got, want)
			}
			if got := b.NearCount(r.ID, top); got != wantNear {
				t.Errorf("%s to %v: NearCount %d, counted %d", r.Name, top, got, wantNear)
			}
		}
	}
	for i, w := range s.watches {
		for j, top := range s.tops {
			want := s.price[i][j]
			want.Top = top
			if got := b.Price(w, top); got != want {
				t.Errorf("watch %d: Price %+v, counted %+v", i, got, want)
			}
			if got := b.open(w, top); got != s.open[i][j] {
				t.Errorf("watch %d to %v: open %v, counted %v", i, top, got, s.open[i][j])
			}
			t.Logf("watch %d to %v: %+v, mean %.4f, by six %.4f, by seven %.4f", i, top, want,
				b.Settling(w, top).Mean(), b.Settling(w, top).By(6), b.Settling(w, top).By(7))
		}
	}
}

// nearEach gives every serial that is a near miss of a rule.
func nearEach(b *Book, id ID, do func(Digits)) {
	var from func(prefix string)
	from = func(prefix string) {
		if _, near := b.Possible(prefix); !near.Has(id) {
			return
		}
		if len(prefix) == Places {
			do(mustDigits(prefix))
			return
		}
		for c := byte('0'); c <= '9'; c++ {
			from(prefix + string(c))
		}
	}
	from("")
}
