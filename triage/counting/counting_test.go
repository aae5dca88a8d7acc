package counting

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"app/unband/triage"
)

// K10 (common practice): four keepers taken out of a hundred ones. 96 are left; four others put in their
// place make the strap whole again. Kept, returned and put in place equal the band.
func TestFourKeepersOfAHundred(t *testing.T) {
	l := Line{Strap: 1, Band: 100, Entered: 100, Kept: 4}
	if l.Back() != 96 {
		t.Errorf("%d go back, want 96", l.Back())
	}
	l.InPlace = 4
	if l.Back() != 100 || l.Kept+l.Back()-l.InPlace != l.Band {
		t.Errorf("%d go back, want 100", l.Back())
	}
	c := Count{Denomination: 1, StrapNotes: 100, Straps: []Line{l}}
	if s, rest := c.Whole(l.Back()); s != 1 || rest != 0 {
		t.Errorf("%d straps and %d", s, rest)
	}
}

// K12: ten straps are a bundle of a thousand notes; 12 kept, 1 set aside: 987 go back, $987, 9 straps and
// 87 notes. Worked by hand.
func TestABundle(t *testing.T) {
	c := Count{Denomination: 1, StrapNotes: 100}
	for i := range 10 {
		l := Line{Strap: i + 1, Band: 100, Entered: 100, Kept: 1}
		if i < 2 {
			l.Kept = 2
		}
		if i == 4 {
			l.Aside = 1
		}
		c.Straps = append(c.Straps, l)
	}
	all := c.Together()
	if s, rest := c.Whole(all.Back()); all.Back() != 987 || s != 9 || rest != 87 || c.Dollars(all.Back()) != 987 {
		t.Errorf("%+v: %d straps and %d", all, s, rest)
	}
	if _, ok := all.Difference(); ok || c.Causes() != nil || c.Agrees() {
		t.Error("a pile that nobody counted has a difference")
	}
}

// What may be behind a difference, with the straps to look at first.
func TestCauses(t *testing.T) {
	plain := func(n int) Line { return Line{Strap: n, Band: 100, Entered: 100, Kept: 1} }
	with := func(change func(lines []Line)) []Line {
		lines := []Line{plain(1), plain(2), plain(3)}
		change(lines)
		return lines
	}
	for _, c := range []struct {
		why     string
		straps  []Line
		counted int
		want    []string // each in this order among the causes
	}{
		{"it agrees", with(func(l []Line) {}), 297, nil},
		{"K01: short from the bank on", with(func(l []Line) { l[1].Entered = 99 }), 296, []string{"strap 2 came short from the bank: keep the band"}},
		{"more than the band says from the bank on", with(func(l []Line) { l[2].Entered = 101 }), 298, []string{"strap 3 held more than the band says"}},
		{"two stuck together when they were sorted", with(func(l []Line) { l[1].Entered = 99 }), 297, []string{"two notes stuck together", "strap 2", "keeper is still in the pile"}},
		{"a note typed twice", with(func(l []Line) { l[2].Twice = []int{34}; l[2].Entered = 101 }), 297, []string{"the same serial stands there two times", "strap 3", "over its band"}},
		{"a keeper not replaced", with(func(l []Line) { l[0].InPlace, l[0].Replaced = 1, true }), 297, []string{"was not replaced", "strap 1"}},
		{"a keeper replaced and not said", with(func(l []Line) { l[0].Replaced = true }), 298, []string{"was replaced and that is not said", "straps 2 and 3"}},
		{"the count of one strap tells where", with(func(l []Line) { l[1].Counted, l[1].Said = 98, true }), 296, []string{"the difference lies where", "strap 2"}},
		{"a glance that was none", with(func(l []Line) { l[0].Glances = 2 }), 296, []string{"passed over unread that was none", "strap 1"}},
		{"nothing to go by", with(func(l []Line) {}), 296, []string{"two notes stuck together in the count"}},
	} {
		count := Count{Denomination: 1, StrapNotes: 100, Straps: c.straps, Counted: c.counted, Said: true}
		var words []string
		for _, cause := range count.Causes() {
			words = append(words, cause.String())
		}
		text, at := strings.Join(words, "\n"), 0
		if len(c.want) == 0 && text != "" {
			t.Errorf("%s: %s", c.why, text)
		}
		for _, want := range c.want {
			i := strings.Index(text[at:], want)
			if i < 0 {
				t.Errorf("%s: no %q (in this order) in\n%s", c.why, want, text)
				break
			}
			at += i
		}
	}
}

// The most suspicious strap comes first.
func TestWhichStrapFirst(t *testing.T) {
	c := Count{Straps: []Line{{Strap: 1, Band: 100, Entered: 99}, {Strap: 2, Band: 100, Entered: 99, Glances: 3}, {Strap: 3, Band: 100, Entered: 98, Counted: 99, Said: true}}, Counted: 300, Said: true}
	got := c.where(func(l Line) bool { return l.Off() < 0 })
	if !slices.Equal(got, []int{3, 2, 1}) {
		t.Errorf("%v", got)
	}
}

// Whatever was entered: the sum of the straps is the sum of the session, whole straps and rest are all that
// goes back, and a difference that is not zero always has a cause.
func TestCountingHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := triage.Session{Denomination: 5, StrapNotes: 100}
		var straps []triage.Strap
		back := 0
		for i := range rapid.IntRange(1, 12).Draw(t, "straps") {
			kept, spent := rapid.IntRange(0, 9).Draw(t, "kept"), rapid.IntRange(80, 110).Draw(t, "spent")
			aside, apart := rapid.IntRange(0, 1).Draw(t, "aside"), rapid.IntRange(0, 1).Draw(t, "of another denomination")
			t := triage.Strap{Number: i + 1, Band: 100, Totals: triage.Totals{Notes: kept + aside + apart + spent, Kept: kept, Aside: aside, Apart: apart, Spent: spent},
				Back: triage.Back{InPlace: rapid.IntRange(0, kept).Draw(t, "in place")}}
			straps, back = append(straps, t), back+spent+t.Back.InPlace
		}
		s.Back = triage.Back{Counted: back + rapid.IntRange(-3, 3).Draw(t, "difference"), Said: true}
		c := New(s, straps, nil)
		all := c.Together()
		if all.Back() != back {
			t.Fatalf("%d go back, want %d", all.Back(), back)
		}
		if n, rest := c.Whole(back); n*100+rest != back || rest < 0 || rest > 99 {
			t.Fatalf("%d is %d straps and %d", back, n, rest)
		}
		if n, ok := all.Difference(); !ok || n != s.Back.Counted-back || n != 0 && len(c.Causes()) == 0 || c.Agrees() != (n == 0) {
			t.Fatalf("difference %d, %v, causes %v", n, ok, c.Causes())
		}
	})
}
