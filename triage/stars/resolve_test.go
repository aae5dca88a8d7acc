package stars

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"app/unband/patterns"
	"app/unband/triage"
)

func run(d triage.Denomination, series string, bank byte, from, to patterns.Digits) Run {
	return Run{Denomination: d, Series: series, Bank: bank, From: from, To: to}
}

// october2013 is the date to which the Boston table was known.
var october2013 = time.Date(2013, time.October, 1, 0, 0, 0, 0, time.UTC)

// boston2009 and newYork2009 are the runs of Series 2009 $1 stars as expert posts give them: CoinTalk
// posts/1808412 (Boston, to October 2013) and thread 326210 (New York).
func boston2009() []Run {
	return dated(october2013,
		run(1, "2009", 'A', 1, 640_000), run(1, "2009", 'A', 3_200_001, 6_400_000),
		run(1, "2009", 'A', 6_400_001, 6_720_000), run(1, "2009", 'A', 9_600_001, 11_520_000))
}

func newYork2009() []Run {
	return dated(time.Time{},
		run(1, "2009", 'B', 1, 1_280_000), run(1, "2009", 'B', 3_200_001, 3_840_000),
		run(1, "2009", 'B', 6_400_001, 6_432_000), run(1, "2009", 'B', 9_600_001, 12_800_000),
		run(1, "2009", 'B', 12_800_001, 13_440_000), run(1, "2009", 'B', 16_000_001, 19_200_000))
}

func dated(at time.Time, runs ...Run) []Run {
	for i := range runs {
		runs[i].Listed = at
	}
	return runs
}

// newYork2013 are the twice-printed stars: Coin World, "matching pair star note search"; American
// Numismatic Association (blog "duplicate print run star notes"). The Fort Worth ones lie over those
// of Washington.
func newYork2013() []Run {
	of := func(f Facility, m Month, from, to patterns.Digits) Run {
		r := run(1, "2013", 'B', from, to)
		r.Facility, r.Month = f, m
		return r
	}
	return []Run{
		of(Washington, 201410, 1, 250_000), of(Washington, 201411, 3_200_001, 6_400_000), of(Washington, 201411, 6_400_001, 9_600_000),
		of(FortWorth, 201606, 1, 3_200_000), of(FortWorth, 201606, 3_200_001, 6_400_000), of(FortWorth, 201607, 6_400_001, 9_600_000),
	}
}

func TestPublishedTotals(t *testing.T) {
	all := append(boston2009(), newYork2009()...)
	for _, r := range append(all, newYork2013()...) {
		if err := r.Valid(); err != nil {
			t.Errorf("%v: %v", r, err)
		}
	}
	for _, c := range []struct {
		serial string
		total  int
		runs   int
	}{
		{"A00000001", 6_080_000, 4},
		{"B00000001", 8_992_000, 6},
	} {
		if f := Resolve(star(t, 1, "2009", c.serial), all); f.Total != c.total || f.Runs != c.runs {
			t.Errorf("%s*: district total %d in %d runs, published are %d in %d", c.serial, f.Total, f.Runs, c.total, c.runs)
		}
	}
}

func TestResolve(t *testing.T) {
	all := append(boston2009(), newYork2009()...)
	all = append(all, newYork2013()...)
	invented := run(1, "2013", 'K', 3_200_001, 6_400_000) // T05 needs a run of 3,200,000
	july := run(1, "2017A", 'C', 1, 640_000)              // one run in two monthly reports
	august := run(1, "2017A", 'C', 640_001, 1_280_000)
	july.Month, august.Month = 202007, 202008
	lacking := run(1, "2017A", 'D', 6_720_001, 7_040_000) // begins inside its slot
	all = append(all, invented, july, august, lacking)
	for _, c := range []struct {
		why    string
		series string
		serial string
		status Status
		slot   int
		run    string // its numbers
		size   int
		short  bool
		say    []string
		never  []string // must not be said
	}{
		{"T01", "2009", "A06588812", InRun, 3, "06400001 to 06720000", 320_000, true,
			[]string{"Run: 320,000 notes", "a short run (640,000 or fewer: common practice)", "District total: 6,080,000 notes", "list of 1 October 2013"}, nil},
		{"T01, last of the run", "2009", "A06720000", InRun, 3, "06400001 to 06720000", 320_000, true, nil, nil},
		{"T01, one behind it", "2009", "A06720001", Gap, 3, "", 0, false, nil, nil},
		{"T03", "2009", "B07500018", Gap, 3, "", 0, false,
			[]string{"Read the number and the series once more", "stopped at 06432000", "begins with 09600001", "never printed"}, []string{"short run"}},
		{"facts §5: a gap serial that should not exist", "2009", "B02000000", Gap, 1, "", 0, false, nil, nil},
		{"the short run of 32,000", "2009", "B06400001", InRun, 3, "06400001 to 06432000", 32_000, true, nil, nil},
		{"640,000 is short", "2009", "B12800001", InRun, 5, "12800001 to 13440000", 640_000, true, nil, nil},
		{"a whole slot is not", "2009", "B12800000", InRun, 4, "09600001 to 12800000", 3_200_000, false, nil, []string{"short"}},
		{"T04: above the last run", "2009", "B19200001", Beyond, 7, "", 0, false,
			[]string{"Unknown", "the last number that the list knows, 19200000", "may be older than the note"}, []string{"rare", "valid", "never printed", "misread"}},
		{"T04: behind the last run, in its slot", "2009", "A11520001", Beyond, 4, "", 0, false,
			[]string{"may be older than the note"}, []string{"rare", "valid", "never printed"}},
		{"T04: no list for the group", "2021", "B03200001", NoList, 2, "", 0, false,
			[]string{"No run of $1 Series 2021 New York (B) is known yet"}, []string{"rare", "valid"}},
		{"another bank of a known series", "2009", "C03200001", NoList, 2, "", 0, false, nil, nil},
		{"T05", "2013", "K05550123", InRun, 2, "03200001 to 06400000", 3_200_000, false, nil, []string{"short", "rare", "value", "premium"}},
		{"behind the run of 640,000 in its slot", "2009", "B14000000", Gap, 5, "", 0, false, nil, nil},
		{"reported in two months: one run", "2017A", "C00000001", InRun, 1, "00000001 to 00640000", 1_280_000, false,
			[]string{"Run: 1,280,000 notes, listed in 2 parts", "part 00000001 to 00640000", "July 2020"}, []string{"short"}},
		{"its second part", "2017A", "C01280000", InRun, 1, "00640001 to 01280000", 1_280_000, false, []string{"August 2020"}, nil},
		{"before the only run, in its slot", "2017A", "D06400001", Beyond, 3, "", 0, false,
			[]string{"no run at the beginning of this slot", "once more"}, []string{"never printed", "rare"}},
		{"a slot the list has nothing of, with later ones", "2017A", "D00000001", Beyond, 1, "", 0, false,
			[]string{"no run at the beginning of this slot"}, []string{"never printed", "rare"}},
	} {
		f := Resolve(star(t, 1, c.series, c.serial), all)
		if f.Status != c.status || f.Slot.Number != c.slot || f.Size != c.size || f.Short(ShortRun) != c.short {
			t.Errorf("%s: %s* %s: status %d, slot %d, size %d, short %v; want %d, %d, %d, %v", c.why, c.serial, c.series,
				f.Status, f.Slot.Number, f.Size, f.Short(ShortRun), c.status, c.slot, c.size, c.short)
		}
		if got := fmt.Sprintf("%v to %v", f.Run.From, f.Run.To); c.run != "" && got != c.run {
			t.Errorf("%s: in the run %s, want %s", c.why, got, c.run)
		}
		text := strings.Join(f.Sentences(ShortRun), " ")
		for _, s := range c.say {
			if !strings.Contains(text, s) {
				t.Errorf("%s: %q is not said in %q", c.why, s, text)
			}
		}
		for _, s := range c.never {
			if strings.Contains(strings.ToLower(text), s) {
				t.Errorf("%s: %q is said in %q", c.why, s, text)
			}
		}
	}
}

// The ends of the twice-printed ranges (T07) by the list alone: Coin World, "matching pair star note
// search goes international".
func TestTwicePrintedRunsStandSideBySide(t *testing.T) {
	for _, c := range []struct {
		serial string
		twice  bool
	}{
		{"B00250000", true}, {"B00250001", false}, {"B03200000", false}, {"B03200001", true}, {"B09600000", true},
	} {
		f := Resolve(star(t, 1, "2013", c.serial), newYork2013())
		if f.Status != InRun || (f.Other.From > 0) != c.twice {
			t.Errorf("%s*: status %d, other printing %v; want in a run, twice %v", c.serial, f.Status, f.Other, c.twice)
		}
		if c.twice && (f.Run.Facility != Washington || f.Other.Facility != FortWorth) {
			t.Errorf("%s*: printed in %v and %v", c.serial, f.Run.Facility, f.Other.Facility)
		}
		said := strings.Join(f.Sentences(ShortRun), " ")
		if strings.Contains(said, "FW before the plate number") != c.twice {
			t.Errorf("%s*: %s", c.serial, said)
		}
	}
	if f := Resolve(star(t, 1, "2013", "B09600001"), newYork2013()); f.Status != Beyond || f.Below.To != 9_600_000 {
		t.Errorf("B09600001*: status %d behind %v, want beyond the list", f.Status, f.Below)
	}
	// The run that ends last need not be the one that begins last.
	long, inside, later := newYork2013()[3], newYork2013()[0], newYork2013()[2]
	long.To, inside.From, inside.To = 1_280_000, 320_001, 640_000
	if f := Resolve(star(t, 1, "2013", "B01280001"), []Run{long, inside, later}); f.Status != Gap || f.Below != long || f.Above != later {
		t.Errorf("B01280001*: status %d between %v and %v, want a gap behind the longer run", f.Status, f.Below, f.Above)
	}
}

func TestNotReady(t *testing.T) {
	for _, c := range []struct{ prefix, series, want string }{
		{"", "", "its bank and its series"}, {"B", "", "its series"}, {"", "2009", "its bank"},
	} {
		s, _ := Of(kept(1, c.prefix, "00000001", c.series), 1)
		f := Resolve(s, newYork2009())
		said := f.Sentences(ShortRun)
		if f.Status != NotReady || len(said) != 1 || !strings.Contains(said[0], c.want+" must be known") {
			t.Errorf("prefix %q, series %q: status %d, %q", c.prefix, c.series, f.Status, said)
		}
	}
}

// Slots: 3,200,000 by expert posts on run sizes (CoinTalk thread 40042); 640,000 is common practice, no
// source. The last slot is cut off at 99,999,999.
func TestSlotOf(t *testing.T) {
	for _, c := range []struct {
		series    string
		n         patterns.Digits
		want      Slot
		published bool
	}{
		{"2009", 1, Slot{1, 1, 3_200_000, true}, true},
		{"2009", 3_200_000, Slot{1, 1, 3_200_000, true}, true},
		{"2009", 3_200_001, Slot{2, 3_200_001, 6_400_000, true}, true},
		{"1996", 9_600_000, Slot{3, 6_400_001, 9_600_000, true}, true},
		{"1995", 9_600_001, Slot{4, 9_600_001, 12_800_000, false}, false},
		{"1981A", 640_001, Slot{1, 1, 3_200_000, false}, false},
		{"1981", 640_001, Slot{2, 640_001, 1_280_000, false}, false},
		{"1977", 640_000, Slot{1, 1, 640_000, false}, false},
		{"2021", 99_999_999, Slot{32, 99_200_001, 99_999_999, true}, true},
	} {
		if got := SlotOf(c.series, c.n); got != c.want {
			t.Errorf("Series %s, %v: slot %+v, want %+v", c.series, c.n, got, c.want)
		}
	}
	f := Resolve(star(t, 1, "1977A", "B00700000"), []Run{run(1, "1977A", 'B', 640_001, 1_280_000)})
	if said := strings.Join(f.Sentences(ShortRun), " "); !strings.Contains(said, "slots of 640,000 for this series are common practice") {
		t.Errorf("Series 1977A: %s", said)
	}
}

func TestImpossibleRuns(t *testing.T) {
	good := run(1, "2017A", 'B', 3_200_001, 3_840_000)
	with := func(change func(*Run)) Run { r := good; change(&r); return r }
	listed := time.Date(2020, time.March, 31, 0, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		run  Run
		want string // "" for a run that can be
	}{
		{good, ""},
		{with(func(r *Run) { r.Quantity = 640_000 }), ""},
		{with(func(r *Run) { r.Quantity = 639_968 }), ""}, // sheets were left out
		{with(func(r *Run) { r.Quantity = 640_001 }), "640,001 notes do not fit: from 03200001 to 03840000 there are 640,000 numbers"},
		{with(func(r *Run) { r.Quantity = -1 }), "do not fit"},
		{with(func(r *Run) { r.To = r.From }), ""},
		{with(func(r *Run) { r.To = r.From - 1 }), "it begins with 03200001, after its end 03200000"},
		{with(func(r *Run) { r.From = 0 }), "numbers begin with 00000001"},
		{with(func(r *Run) { r.From, r.To = 99_200_001, 100_000_000 }), "more than 8 digits"},
		{with(func(r *Run) { r.Bank = 'M' }), "A to L"},
		{with(func(r *Run) { r.Bank = 0 }), "A to L"},
		{with(func(r *Run) { r.Denomination = 3 }), "$3 is no denomination"},
		{with(func(r *Run) { r.Series = "17" }), `“17” is not a series`},
		{with(func(r *Run) { r.Series = "\x1b[2J" }), `“\x1b[2J” is not a series`},
		{with(func(r *Run) { r.Series = "2017AB" }), "is not a series"},
		{with(func(r *Run) { r.Facility = 3 }), "no such facility"},
		{with(func(r *Run) { r.Month = 202013 }), "202013 is not a month"},
		{with(func(r *Run) { r.Month, r.Listed = 202003, listed }), ""},
		{with(func(r *Run) { r.Month, r.Listed = 202004, listed }), "it is of April 2020, after the date of the list, 31 March 2020"},
		{with(func(r *Run) { r.To = 6_400_000 }), ""},
		{with(func(r *Run) { r.To = 6_400_001 }), "it goes from slot 2 into slot 3"},
		{with(func(r *Run) { r.Series, r.To = "1995", 6_400_001 }), ""}, // common practice refuses nothing
		{with(func(r *Run) { r.Series, r.To = "1977", 6_400_001 }), ""},
	} {
		err := c.run.Valid()
		if got := fmt.Sprint(err); (err == nil) != (c.want == "") || c.want != "" && !strings.Contains(got, c.want) {
			t.Errorf("%v: %v, want %q", c.run, err, c.want)
		}
	}
}

func TestSplit(t *testing.T) {
	// "B03200001*-B09600000*, two runs: to 06400000, then on" (ANA blog, Series 2013 New York).
	r := run(1, "2013", 'B', 3_200_001, 9_600_000)
	r.Quantity, r.Facility = 6_400_000, Washington
	if got, want := fmt.Sprint(r.Split()), "[$1 Series 2013 New York (B) 03200001 to 06400000 $1 Series 2013 New York (B) 06400001 to 09600000]"; got != want {
		t.Errorf("split into %s, want %s", got, want)
	}
	notes := 0
	for _, part := range r.Split() {
		notes += part.Quantity
		if part.Facility != Washington || part.Valid() != nil {
			t.Errorf("the part %+v is not like the whole", part)
		}
	}
	if notes != r.Quantity {
		t.Errorf("the parts have %d notes, the whole %d", notes, r.Quantity)
	}
	less := r
	less.Quantity--
	for _, whole := range []Run{less, boston2009()[0], {}, run(1, "2013", 'B', 9, 1), run(1, "2013", 'B', 1, 400_000_000), run(1, "x", 'B', 1, 9_600_000)} {
		if got := whole.Split(); len(got) != 1 || got[0] != whole {
			t.Errorf("%+v was split into %v", whole, got)
		}
	}
}

func TestAdd(t *testing.T) {
	stored := boston2009()[1] // 3,200,001 to 6,400,000
	stored.Month = 201005     // invented
	with := func(change func(*Run)) Run { r := stored; change(&r); return r }
	for _, c := range []struct {
		why   string
		run   Run
		added bool
		want  string
	}{
		{"the very same", stored, false, ""},
		{"the same from another list", with(func(r *Run) { r.Listed = r.Listed.AddDate(1, 0, 0) }), false, ""},
		{"the same, said more closely", with(func(r *Run) { r.Quantity, r.Month, r.Facility = 3_200_000, 201005, FortWorth }), false, ""},
		{"the same without a month", with(func(r *Run) { r.Month = 0 }), false, ""},
		{"of another month", with(func(r *Run) { r.Month = 201006 }), false, "these numbers are known with May 2010, not June 2010"},
		{"the next numbers", with(func(r *Run) { r.From, r.To = r.To+1, r.To+320_000 }), true, ""},
		{"another bank", with(func(r *Run) { r.Bank = 'B' }), true, ""},
		{"another series", with(func(r *Run) { r.Series = "2013" }), true, ""},
		{"another denomination", with(func(r *Run) { r.Denomination = 2 }), true, ""},
		{"one number too many in front", with(func(r *Run) { r.From = r.To }), false, "it overlaps the run 03200001 to 06400000"},
		{"inside", with(func(r *Run) { r.From += 10; r.To -= 10 }), false, "it overlaps"},
		{"shorter", with(func(r *Run) { r.To -= 640_000 }), false, "it overlaps"},
		{"impossible", with(func(r *Run) { r.To = 1 }), false, "after its end"},
	} {
		l := NewList([]Run{stored})
		added, err := l.Add(c.run)
		if added != c.added || c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%s: added %v, %v; want %v, %q", c.why, added, err, c.added, c.want)
		}
		if n := len(l.Runs()); (n == 2) != c.added {
			t.Errorf("%s: the list has %d runs", c.why, n)
		}
	}
}

// Only the one group that is known to be printed twice may have two runs of the same numbers.
func TestOnlyTheKnownGroupIsPrintedTwice(t *testing.T) {
	l := &List{}
	for _, r := range newYork2013() {
		if added, err := l.Add(r); !added || err != nil {
			t.Fatalf("%v: %v, %v", r, added, err)
		}
	}
	for _, r := range newYork2013() {
		if added, err := l.Add(r); added || err != nil {
			t.Errorf("%v again: %v, %v", r, added, err)
		}
		r.Facility = AnyFacility
		if added, err := l.Add(r); added || err != nil {
			t.Errorf("%v again, facility not said: %v, %v", r, added, err)
		}
	}
	other := &List{}
	for i, r := range newYork2013() {
		r.Bank = 'C'
		if _, err := other.Add(r); (err != nil) != (i >= 3) {
			t.Errorf("Philadelphia, run %d: %v", i, err)
		}
	}
}

// drawRuns gives a list without clashes, of few groups so that they meet, at times the one that was
// printed twice.
func drawRuns(t *rapid.T) []Run {
	l := &List{}
	for range rapid.IntRange(0, 30).Draw(t, "runs") {
		r := drawRun(t)
		_, _ = l.Add(r) // what clashes stays out
	}
	return l.Runs()
}

func drawRun(t *rapid.T) Run {
	from := patterns.Digits(rapid.IntRange(0, 29).Draw(t, "from")*320_000 + rapid.SampledFrom([]int{1, 1, 1, 2, 200}).Draw(t, "off"))
	r := Run{
		Denomination: rapid.SampledFrom([]triage.Denomination{1, 20}).Draw(t, "denomination"),
		Series:       rapid.SampledFrom([]string{"2013", "1977A"}).Draw(t, "series"),
		Bank:         rapid.SampledFrom([]byte("BC")).Draw(t, "bank"),
		From:         from, To: from + patterns.Digits(rapid.SampledFrom([]int{0, 319_999, 639_999, 1_279_999, 3_199_999}).Draw(t, "long")),
		Facility: Facility(rapid.IntRange(0, 2).Draw(t, "facility")),
		Month:    Month(rapid.SampledFrom([]int{0, 201410, 201606}).Draw(t, "month")),
	}
	if rapid.IntRange(0, 3).Draw(t, "quantity said") == 0 {
		r.Quantity = r.Numbers()
	}
	return r
}

// Resolving agrees with a plain loop over the runs.
func TestResolveAgreesWithAPlainLoop(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		runs := drawRuns(t)
		l := NewList(rapid.Permutation(runs).Draw(t, "shuffled"))
		for range 20 {
			like := drawRun(t)
			s := Star{Denomination: like.Denomination, Series: like.Series, Bank: like.Bank,
				Number: rapid.SampledFrom([]patterns.Digits{like.From, like.To, like.To + 1, like.From + 5000}).Draw(t, "number")}
			f := l.Resolve(s)
			want := plainly(s, runs)
			if got := said(f); got != want {
				t.Fatalf("%v of %v among %v:\n%s, want\n%s", s, s.Group(), runs, got, want)
			}
		}
	})
}

// said puts what plainly knows into words.
func said(f Finding) string {
	return fmt.Sprintf("status %d, size %d in %d, run %v, other %v, below %v, above %v, total %d of %d",
		f.Status, f.Size, f.Parts, key(f.Run), key(f.Other), f.Below.To, f.Above.From, f.Total, f.Runs)
}

func key(r Run) string { return fmt.Sprintf("%v-%v %d", r.From, r.To, r.Facility) }

// plainly is the slow truth of Resolve.
func plainly(s Star, runs []Run) string {
	f := Finding{Status: NoList}
	begun := false // some run lies in the slot, before the number
	slot := SlotOf(s.Series, s.Number)
	for _, r := range runs {
		if r.Group() != s.Group() {
			continue
		}
		f.Total += r.Notes()
		f.Runs++
		switch {
		case r.From <= s.Number && s.Number <= r.To && f.Run.From == 0:
			f.Run = r
		case r.From <= s.Number && s.Number <= r.To && r.Facility < f.Run.Facility:
			f.Run, f.Other = r, f.Run
		case r.From <= s.Number && s.Number <= r.To:
			f.Other = r
		case r.To < s.Number:
			begun = begun || r.To >= slot.From
			f.Below.To = max(f.Below.To, r.To)
		case f.Above.From == 0 || r.From < f.Above.From:
			f.Above = r
		}
	}
	switch {
	case f.Run.From > 0:
		f.Status, f.Below, f.Above = InRun, Run{}, Run{}
		f.Size, f.Parts = joinedPlainly(f.Run, runs)
	case f.Runs > 0 && begun && f.Above.From > 0:
		f.Status = Gap
	case f.Runs > 0:
		f.Status = Beyond
	}
	return said(f)
}

// joinedPlainly grows a run at both ends until nothing fits any more.
func joinedPlainly(r Run, runs []Run) (notes, parts int) {
	notes, parts = r.Notes(), 1
	slot, from, to := SlotOf(r.Series, r.From), r.From, r.To
	for grown := true; grown; {
		grown = false
		for _, s := range runs {
			if s.Group() != r.Group() || s.Facility != r.Facility || s.From < slot.From || s.From > slot.To {
				continue
			}
			switch {
			case s.From == to+1:
				to = s.To
			case s.To+1 == from:
				from = s.From
			default:
				continue
			}
			grown, notes, parts = true, notes+s.Notes(), parts+1
		}
	}
	return notes, parts
}

// bigBatch gives 2,000 runs and 5,000 stars as the bar asks: invented, of all banks and many series.
func bigBatch() (stars []Star, runs []Run) {
	for _, series := range []string{"2003", "2003A", "2006", "2009", "2013", "2017", "2017A"} {
		for bank := byte('A'); bank <= 'L'; bank++ {
			for slot := patterns.Digits(0); slot < 24; slot++ {
				from := slot*3_200_000 + 1
				r := run(1, series, bank, from, from+639_999+320_000*(slot%7))
				r.Quantity, r.Facility, r.Month, r.Listed = r.Numbers(), FortWorth, 202001, october2013
				runs = append(runs, r)
			}
		}
	}
	runs = runs[:2000]
	for i := range 5000 {
		like := runs[i*7919%len(runs)]
		stars = append(stars, Star{Place: triage.Place{Session: 1, Strap: i/100 + 1, Position: i%100 + 1}, Denomination: 1,
			Series: like.Series, Bank: like.Bank, Prefix: string(rune(like.Bank)), Number: like.From + patterns.Digits(i*104_729%3_200_000)})
	}
	return stars, runs
}

// The bar: a batch of 5,000 stars against 2,000 runs under 50 ms, the work list and the making of the
// list of runs included.
func BenchmarkBatchOf5000StarsAgainst2000Runs(b *testing.B) {
	stars, runs := bigBatch()
	b.ReportAllocs()
	for b.Loop() {
		in := 0
		for _, f := range ResolveAll(stars, runs) {
			if f.Status == InRun {
				in++
			}
		}
		if len(Batch(stars)) < 80 || in < 1000 {
			b.Fatalf("%d stars are in a run", in)
		}
	}
}

// BenchmarkSentences puts all of it into words as well; a screen needs a page of it only.
func BenchmarkSentences(b *testing.B) {
	stars, runs := bigBatch()
	findings := ResolveAll(stars, runs)
	for b.Loop() {
		for _, f := range findings {
			f.Sentences(ShortRun)
		}
	}
}
