package patterns

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

var everyRule = Watch{Hit: ^Set(0), Near: ^Set(0)}

// Case I04 is a collector's question; the answer is arithmetic: the pairs 3 and 3, 4 and 4, 5 and 5 are
// read, so it is a radar with the ten equal pairs and with no other.
func TestUnreadI04(t *testing.T) {
	b := defaultBook(t)
	got, err := b.Unread("3?4554?3", Watch{Hit: Set(0).With(Radar)})
	if err != nil || len(got) != 1 {
		t.Fatalf("3?4554?3 could be %+v (%v), want one rule", got, err)
	}
	c := got[0]
	if c.Rule != Radar || c.Near || c.Fillings != 10 || c.Of != 100 || !c.Equal || c.Always() || c.Told != 10 ||
		!slices.Equal(c.First, []string{"00", "11", "22"}) {
		t.Errorf("3?4554?3 could be %+v, want a radar with the ten equal pairs of 100", c)
	}
}

// Every filling judged one by one says the same: counts, the lowest fillings, equality, what is told,
// and the order.
func TestUnreadAgreesWithEveryFilling(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 1862))
	books := []*Book{defaultBook(t), bookOf(t, otherSettings), bookOf(t, func(s *Settings) {
		s.Templates = []Template{{Pattern: "ABBACDDC"}, {Pattern: "??1234??"}, {Pattern: "ABC1ABCD"}}
		s.Numbers = []OwnNumber{{Number: "1607"}, {Number: "88", Place: End}}
		s.SolidAlso = false
	})}
	for _, text := range []string{"77?77?77", "7777777?", "?2345678", "1234567?", "0000000?", "????5678", "98?6543?", "0?29202?", "?000????", "8?8?8?8?"} {
		for _, b := range books {
			checkUnread(t, b, text, everyRule)
			checkUnread(t, b, text, b.DefaultWatch())
		}
	}
	for i := range 400 {
		b := books[i%len(books)]
		of := everyRule
		switch i % 4 {
		case 1:
			of = b.DefaultWatch()
		case 2:
			of = Watch{Hit: Set(r.Uint64()), Near: Set(r.Uint64())}
		}
		unread := 1 + r.IntN(3)
		if i%50 == 0 {
			unread = 4
		}
		checkUnread(t, b, blanked(r, b, unread), of)
	}
}

// blanked draws a serial, mostly one that some rule has, and hides so many digits of it.
func blanked(r *rand.Rand, b *Book, unread int) string {
	d := Digits(r.IntN(Total))
	if r.IntN(4) > 0 {
		rules := b.Rules()
		d = rules[r.IntN(len(rules))].Example
		if r.IntN(2) == 0 {
			d = d.apply(Change{Pos: r.IntN(Places), To: byte(r.IntN(10))})
		}
	}
	text := []byte(d.String())
	for _, i := range r.Perm(Places)[:unread] {
		text[i] = UnreadSign
	}
	return string(text)
}

// fillings gives every serial that the text can be, by rising number.
func fillings(text string) []Digits {
	i := strings.IndexByte(text, UnreadSign)
	if i < 0 {
		return []Digits{mustDigits(text)}
	}
	var all []Digits
	for c := '0'; c <= '9'; c++ {
		all = append(all, fillings(text[:i]+string(c)+text[i+1:])...)
	}
	return all
}

func checkUnread(t *testing.T, b *Book, text string, of Watch) {
	t.Helper()
	var want [2][64]Could
	var unequal, equal [2][64]int
	all := fillings(text)
	for _, d := range all {
		j := b.Judge(d)
		filled := ""
		for i, c := range text {
			if c == UnreadSign {
				filled += d.String()[i : i+1]
			}
		}
		same := strings.Count(filled, filled[:1]) == len(filled)
		named := watchedNames(b, j, of.Hit)
		for i, met := range [2]Set{j.Match() & of.Hit, j.NearSet() & of.Near} {
			for _, id := range met.IDs() {
				c := &want[i][id]
				c.Rule, c.Near, c.Of = id, i == 1, len(all)
				c.Fillings++
				if len(c.First) < 3 {
					c.First = append(c.First, filled)
				}
				if c.Near || named.Has(id) {
					c.Told++
				}
				if same {
					equal[i][id]++
				} else {
					unequal[i][id]++
				}
			}
		}
	}
	var list []Could
	for i := range want {
		for _, r := range b.Rules() {
			if c := want[i][r.ID]; c.Fillings > 0 {
				c.Equal = len(c.First[0]) > 1 && equal[i][r.ID] == 10 && unequal[i][r.ID] == 0
				list = append(list, c)
			}
		}
	}
	got, err := b.Unread(text, of)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.EqualFunc(got, list, sameCould) {
		t.Fatalf("%s of %x and %x could be\n%+v\nbut judging all fillings gives\n%+v", text, of.Hit, of.Near, got, list)
	}
}

// watchedNames gives the rules of the set by which the serial is told: as Judge tells it, but names
// that are not asked for hide none.
func watchedNames(b *Book, j Judgement, asked Set) Set {
	match := j.Match() & asked
	names := match
	if match.Has(Solid) {
		names = 0
		for _, id := range match.IDs() {
			if r, _ := b.Rule(id); id == Solid || id == Date || r.Sure == "own" || id == OwnNumbers {
				names = names.With(id)
			}
		}
	}
	if match.Has(LadderUp) || match.Has(LadderDown) {
		names = names.Without(BrokenLadder)
	}
	if asked == ^Set(0) { // nothing is left out: the Judgement itself must say the same
		names = 0
		for _, f := range j.Findings {
			names = names.With(f.Rule)
		}
	}
	return names
}

func sameCould(a, b Could) bool {
	return a.Rule == b.Rule && a.Near == b.Near && a.Fillings == b.Fillings && a.Of == b.Of && a.Equal == b.Equal &&
		a.Told == b.Told && slices.Equal(a.First, b.First)
}

// With no digit read, every rule can be met in as many ways as it has serials.
func TestUnreadOfNothingIsTheTotal(t *testing.T) {
	b := defaultBook(t)
	got, err := b.Unread("????????", everyRule)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, c := range got {
		r, _ := b.Rule(c.Rule)
		want := r.Total
		if c.Near {
			want = r.NearTotal
		}
		if n++; c.Fillings != want || c.Of != Total {
			t.Errorf("%s, near %v: %d of %d, want %d of %d", r.Name, c.Near, c.Fillings, c.Of, want, Total)
		}
	}
	if n < len(b.Rules()) {
		t.Errorf("%d rules and near misses told, the book has %d rules", n, len(b.Rules()))
	}
}

// Five digits and more: each digit that a place can be taken as splits the fillings.
func TestUnreadIsTheSumOverOneDigit(t *testing.T) {
	b := defaultBook(t)
	r := rand.New(rand.NewPCG(5, 1913))
	for range 12 {
		text := blanked(r, b, 5+r.IntN(3))
		whole, err := b.Unread(text, everyRule)
		if err != nil {
			t.Fatal(err)
		}
		i := strings.IndexByte(text, UnreadSign)
		sum := map[[2]int]int{}
		for c := '0'; c <= '9'; c++ {
			parts, err := b.Unread(text[:i]+string(c)+text[i+1:], everyRule)
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range parts {
				sum[kindOf(p)] += p.Fillings
			}
		}
		for _, w := range whole {
			if sum[kindOf(w)] != w.Fillings {
				t.Errorf("%s: rule %d near %v in %d cases, digit by digit in %d", text, w.Rule, w.Near, w.Fillings, sum[kindOf(w)])
			}
			delete(sum, kindOf(w))
		}
		if len(sum) > 0 {
			t.Errorf("%s: digit by digit there is more: %v", text, sum)
		}
	}
}

func kindOf(c Could) [2]int {
	if c.Near {
		return [2]int{int(c.Rule), 1}
	}
	return [2]int{int(c.Rule), 0}
}

func TestUnreadRefuses(t *testing.T) {
	b := defaultBook(t)
	for text, says := range map[string]string{
		"":            "0 characters",
		"3?4554?":     "7 characters",
		"3?4554?33":   "9 characters",
		"34?5543A":    "character 8",
		"34?55\x1b43": "neither a digit",
		"34455443":    "all eight digits are read",
	} {
		got, err := b.Unread(text, everyRule)
		if err == nil || !strings.Contains(err.Error(), says) || strings.ContainsRune(err.Error(), '\x1b') {
			t.Errorf("%q gives %v and %v, want an error with %q", text, got, err, says)
		}
	}
}

func BenchmarkUnread(b *testing.B) {
	book := defaultBook(b)
	watch := book.DefaultWatch()
	for name, text := range map[string]string{"2 radar": "3?4554?3", "2 plain": "4?81602?", "4": "3?45?4??", "4 first": "????5678", "4 last": "1234????", "6": "3??5????", "8": "????????"} {
		for kind, of := range map[string]Watch{"watched": watch, "every rule": everyRule} {
			b.Run(name+"/"+kind, func(b *testing.B) {
				for b.Loop() {
					if _, err := book.Unread(text, of); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
