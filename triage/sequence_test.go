package triage

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"app/unband/patterns"
)

func typed(t testing.TB, text string) Serial {
	t.Helper()
	s, _, err := ParseSerial(text)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func strapFrom(t testing.TB, first string, down bool, notes int) Sequence {
	t.Helper()
	return Sequence{First: typed(t, first), Down: down, Notes: notes}
}

// Case T10, a collector's question: in the strap F20114401A to F20114500A the 37th note is the star
// F01180455*, which stands for F20114437A.
func TestSequenceT10(t *testing.T) {
	q := strapFrom(t, "F20114401A", false, 100)
	if s, ok := q.At(37); !ok || s.String() != "F20114437A" {
		t.Errorf("the 37th is %v, want F20114437A", s)
	}
	if s, ok := q.Last(); !ok || s.String() != "F20114500A" {
		t.Errorf("the last is %v, want F20114500A", s)
	}
	if p := q.Prove(typed(t, "F20114500A")); !p.Proved() || p.Sequence != q {
		t.Errorf("%+v, want it proved", p)
	}
	if words := q.Begins(); words != "" || q.Stars() {
		t.Errorf("%q is said of %v, stars %v", words, q.First, q.Stars())
	}
}

// Case T09: a strap of stars is known by its first note.
func TestSequenceOfStarsT09(t *testing.T) {
	q := strapFrom(t, "F01180401*", false, 100)
	if p := q.Prove(typed(t, "F01180500*")); !q.Stars() || !p.Proved() || !p.Sequence.Stars() {
		t.Errorf("stars %v, %+v", q.Stars(), p)
	}
	bare := strapFrom(t, "01180401", false, 100)
	if p := bare.Prove(typed(t, "F01180500*")); !p.Proved() || !p.Sequence.Stars() {
		t.Errorf("the star was typed of the last note only: %+v", p)
	}
}

// There is no serial 00000000, and none after 99999999 in a block.
func TestSequenceEndsAtTheEdges(t *testing.T) {
	for _, c := range []struct {
		first    string
		down     bool
		position int
		want     string
	}{
		{"A00000001A", false, 1, "A00000001A"},
		{"A00000001A", false, 0, ""},
		{"A00000001A", true, 2, ""},
		{"A00000100A", true, 100, "A00000001A"},
		{"A00000100A", true, 101, ""},
		{"A99999900A", false, 100, "A99999999A"},
		{"A99999900A", false, 101, ""},
		{"A99999999A", true, 0, ""},
		{"MB20114401C", false, 101, "MB20114501C"},
		{"*20114401A", true, 101, "*20114301A"},
		{"20114401", false, -100, "20114300"},
		{"A20114401A", false, math.MaxInt, ""},
		{"A20114401A", false, math.MinInt, ""},
		{"A20114401A", true, math.MaxInt, ""},
		{"A20114401A", true, math.MinInt, ""},
	} {
		s, ok := strapFrom(t, c.first, c.down, 100).At(c.position)
		if ok != (c.want != "") || ok && s.String() != c.want || !ok && s != (Serial{}) {
			t.Errorf("%s, down %v: position %d is %v, %v, want %q", c.first, c.down, c.position, s, ok, c.want)
		}
	}
	if _, ok := (Serial{Prefix: "A", Digits: "201144"}).Plus(1); ok {
		t.Error("six digits go on to a next number")
	}
	for _, notes := range []int{0, -1, math.MinInt} {
		if _, ok := (Sequence{First: typed(t, "A20114401A"), Notes: notes}).Last(); ok {
			t.Errorf("%d notes have a last one", notes)
		}
	}
}

// Invented straps; what each second reading means is arithmetic.
func TestProve(t *testing.T) {
	for _, c := range []struct {
		why, first string
		down       bool
		notes      int
		last       string
		kind       ProofKind
		found      string // first serial, direction and notes of the sequence given
		says       string
	}{
		{"rising", "F20114401A", false, 100, "F20114500A", Proved, "F20114401A rise 100", "F20114401A to F20114500A, 100 notes"},
		{"falling", "F20114500A", true, 100, "F20114401A", Proved, "F20114500A fall 100", "F20114500A to F20114401A"},
		{"one note", "F20114500A", true, 1, "F20114500A", Proved, "F20114500A fall 1", "1 note"},
		{"letters of the last only", "20114401", false, 100, "F20114500A", Proved, "F20114401A rise 100", "F20114500A"},
		{"letters of the first only", "F20114500A", true, 100, "20114401", Proved, "F20114500A fall 100", "F20114401A"},
		{"a letter of each", "F20114401", false, 100, "20114500A", Proved, "F20114401A rise 100", "F20114401A"},
		{"the star of the last only", "F20114401", false, 100, "F20114500*", Proved, "F20114401* rise 100", "F20114500*"},
		{"an old star, front of the first only", "*20114401A", false, 100, "20114500A", Proved, "*20114401A rise 100", "*20114500A"},
		{"an old star, front of the last only", "20114401A", false, 100, "*20114500A", Proved, "*20114401A rise 100", "*20114500A"},
		{"said to rise, falls", "F20114500A", false, 100, "F20114401A", Turned, "F20114500A fall 100", "if the numbers fall from the top of the pile, not if they rise"},
		{"said to fall, rises", "F20114401A", true, 100, "F20114500A", Turned, "F20114401A rise 100", "if the numbers rise from the top of the pile, not if they fall"},
		{"one more", "F20114401A", false, 100, "F20114501A", OtherCount, "F20114401A rise 101", "that would be 101 notes, not 100: read"},
		{"one fewer", "F20114500A", true, 100, "F20114402A", OtherCount, "F20114500A fall 99", "that would be 99 notes, not 100: read"},
		{"twenty more", "F20114401A", false, 100, "F20114520A", OtherCount, "F20114401A rise 120", "120 notes"},
		{"twenty fewer", "F20114401A", false, 100, "F20114480A", OtherCount, "F20114401A rise 80", "80 notes"},
		{"one more, and the other way", "F20114500A", false, 100, "F20114400A", OtherCount, "F20114500A fall 101", "101 notes, not 100, and the numbers would fall: read"},
		{"one fewer, and the other way", "F20114401A", true, 100, "F20114499A", OtherCount, "F20114401A rise 99", "99 notes, not 100, and the numbers would rise: read"},
		{"more than there are numbers", "F00000050A", true, 60, "F00000001A", OtherCount, "F00000050A fall 50", "50 notes"},
		{"twenty-one more", "F20114401A", false, 100, "F20114521A", Gaps, "", "does not follow"},
		{"twenty-one fewer", "F20114500A", true, 100, "F20114422A", Gaps, "", "does not follow"},
		{"far off", "F20114401A", false, 100, "F71114500A", Gaps, "", "newer machines"},
		{"other prefix", "F20114401A", false, 100, "G20114500A", OtherLetters, "", "F…A on the first note and G…A on the last"},
		{"other suffix, falling", "F20114500A", true, 100, "F20114401B", OtherLetters, "", "F…A on the first note and F…B on the last"},
		{"a star for a letter", "F20114401A", false, 100, "F20114500*", OtherLetters, "", "F…A on the first note and F…* on the last"},
		{"an old star for a letter", "*20114401A", false, 100, "B20114500A", OtherLetters, "", "*…A on the first note and B…A on the last"},
		{"other letters and turned", "F20114500A", false, 100, "G20114401A", Gaps, "", "does not follow"},
		{"other letters and one more", "F20114401A", false, 100, "F20114501B", Gaps, "", "does not follow"},
		{"the same note twice", "F20114401A", false, 100, "F20114401A", SameNumber, "", "note at the bottom"},
		{"the same note twice, of a few", "F20114401A", true, 5, "20114401", SameNumber, "", "note at the bottom"},
		{"the same digits in another block", "F20114401A", false, 100, "G20114401A", Gaps, "", "does not follow"},
		{"a star at the bottom", "F20114401A", false, 100, "F01180455*", StarAtEnd, "", "stands for another number"},
		{"a star on top", "F01180455*", true, 100, "F20114500A", StarAtEnd, "", "stands for another number"},
		{"no such number", "F20114401A", false, 100, "F00000000A", NotWhole, "", "all its digits"},
	} {
		q := strapFrom(t, c.first, c.down, c.notes)
		p := q.Prove(typed(t, c.last))
		if c.found == "" {
			c.found = fmt.Sprintf("%v %s %d", q.First, q.way(), q.Notes)
		}
		got := fmt.Sprintf("%v %s %d", p.Sequence.First, p.Sequence.way(), p.Sequence.Notes)
		if p.Kind != c.kind || p.Proved() != (c.kind == Proved) || got != c.found || p.Claimed != q || p.Last != typed(t, c.last) {
			t.Errorf("%s: kind %d, %s, want kind %d, %s", c.why, p.Kind, got, c.kind, c.found)
		}
		if !strings.Contains(p.String(), c.says) {
			t.Errorf("%s: says %q, want %q in it", c.why, p, c.says)
		}
	}
	for _, q := range []Sequence{{}, {First: Serial{Digits: "2011440"}, Notes: 100}, {First: typed(t, "20114401")}} {
		if p := q.Prove(typed(t, "20114401")); p.Kind != NotWhole {
			t.Errorf("%+v is of kind %d, want %d", q, p.Kind, NotWhole)
		}
	}
	if p := strapFrom(t, "F20114401A", false, 100).Prove(Serial{Digits: "201145"}); p.Kind != NotWhole {
		t.Errorf("six digits at the end give kind %d", p.Kind)
	}
}

func anySerial() *rapid.Generator[Serial] {
	return rapid.Custom(func(t *rapid.T) Serial {
		d := rapid.OneOf(rapid.IntRange(1, patterns.Total-1), rapid.IntRange(1, 300), rapid.IntRange(patterns.Total-300, patterns.Total-1)).Draw(t, "number")
		s := Serial{Digits: patterns.Digits(d).String()}
		switch rapid.IntRange(0, 3).Draw(t, "letters") {
		case 0:
			s.Prefix, s.Suffix = rapid.SampledFrom([]string{"A", "L", "MB", "PK"}).Draw(t, "prefix"), rapid.SampledFrom([]byte("ABY")).Draw(t, "suffix")
		case 1:
			s.Prefix, s.Star = rapid.SampledFrom([]string{"A", "MB"}).Draw(t, "prefix"), true
		case 2:
			s.Suffix, s.Star, s.StarFront = 'A', true, true
		}
		return s
	})
}

// anySequence draws a strap whose last number exists.
func anySequence(t *rapid.T) Sequence {
	q := Sequence{First: anySerial().Draw(t, "first"), Down: rapid.Bool().Draw(t, "down")}
	d, _ := q.First.Whole()
	room := patterns.Total - int(d)
	if q.Down {
		room = int(d)
	}
	q.Notes = rapid.IntRange(1, min(room, 300)).Draw(t, "notes")
	return q
}

func TestLastProvesItself(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := anySequence(t)
		last, ok := q.Last()
		if p := q.Prove(last); !ok || !p.Proved() || p.Sequence != q {
			t.Fatalf("%v is the last of %+v: %+v", last, q, p)
		}
		bare := Serial{Digits: last.Digits}
		if p := q.Prove(bare); !p.Proved() || p.Sequence != q {
			t.Fatalf("%v is the last of %+v: %+v", bare, q, p)
		}
		without := q
		without.First = Serial{Digits: q.First.Digits}
		if p := without.Prove(last); !p.Proved() || p.Sequence != q {
			t.Fatalf("letters of the last note only: %+v, want %+v", p, q)
		}
	})
}

// The note at a position is the one before it and one number, and positions count from the first.
func TestAtFollowsPlus(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := anySequence(t)
		at := rapid.IntRange(-500, 500).Draw(t, "position")
		step := 1
		if q.Down {
			step = -1
		}
		here, ok := q.At(at)
		next, nextOK := q.At(at + 1)
		if want, wantOK := here.Plus(step); ok && (next != want || nextOK != wantOK) {
			t.Fatalf("after %v comes %v, want %v", here, next, want)
		}
		if want, wantOK := q.First.Plus(step * (at - 1)); here != want || ok != wantOK {
			t.Fatalf("position %d of %+v is %v, want %v", at, q, here, want)
		}
		if back, backOK := next.Plus(-step); ok && nextOK && (!backOK || back != here) {
			t.Fatalf("before %v comes %v, want %v", next, back, here)
		}
		d, _ := q.First.Whole()
		if in := int(d)+step*(at-1) >= 1 && int(d)+step*(at-1) <= 99_999_999; in != ok {
			t.Fatalf("position %d of %+v: %v", at, q, ok)
		}
	})
}

// The kinds again, from what they mean: of all straps of nearly so many notes, either way, at most one
// ends with the number typed.
func TestProveAgreesWithTryingEveryStrap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := anySequence(t)
		d, _ := q.First.Whole()
		end := int(d) + rapid.OneOf(rapid.IntRange(-400, 400), rapid.SampledFrom([]int{q.Notes - 1, 1 - q.Notes}), rapid.IntRange(-patterns.Total, patterns.Total)).Draw(t, "to the end")
		if end < 1 || end >= patterns.Total {
			t.Skip("no such number")
		}
		last := q.First
		last.Digits = patterns.Digits(end).String()
		want := Proof{Kind: Gaps, Claimed: q, Sequence: q, Last: last}
		for _, down := range []bool{!q.Down, q.Down} {
			for n := max(q.Notes-20, 1); n <= q.Notes+20; n++ {
				try := Sequence{q.First, down, n}
				if s, ok := try.Last(); !ok || s != last {
					continue
				}
				want.Sequence, want.Kind = try, OtherCount
				switch {
				case n == q.Notes && down == q.Down:
					want.Kind = Proved
				case n == q.Notes:
					want.Kind = Turned
				}
			}
		}
		if end == int(d) && q.Notes > 1 {
			want.Sequence, want.Kind = q, SameNumber
		}
		if got := q.Prove(last); got != want {
			t.Fatalf("%+v ends with %v: %+v, want %+v", q, last, got, want)
		}
	})
}

var figures = regexp.MustCompile(`[0-9]`)

// Where numbers are left out anywhere in the strap, twenty-one and more, it is no sequence; and what is
// said then would fit any strap: it holds no figure, and the numbers in other words are those typed.
func TestAGapIsToldAndNotTheNumberExpected(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := anySequence(t)
		gap := rapid.IntRange(21, 1_000_000).Draw(t, "left out")
		short := q
		short.Notes += gap
		last, ok := short.Last()
		if !ok {
			t.Skip("past the edge")
		}
		p := q.Prove(last)
		if p.Kind != Gaps {
			t.Fatalf("%d numbers are left out of %+v: kind %d", gap, q, p.Kind)
		}
		if figures.MatchString(p.String()) {
			t.Fatalf("%q has figures", p)
		}
	})
	for _, last := range []string{"F71114500A", "F20114401A", "F01180455*", "F00000000A", "G20114501A"} {
		if words := strapFrom(t, "F20114401A", false, 100).Prove(typed(t, last)).String(); figures.MatchString(words) {
			t.Errorf("%s: %q has figures", last, words)
		}
	}
}

// From the older machines straps begin with 01 and end with 00: Coin World, "Are star notes becoming an
// endangered species", and a text of the Federal Reserve of July 2023.
func TestWhereAStrapBegins(t *testing.T) {
	for _, c := range []struct {
		first string
		down  bool
		notes int
		says  string
	}{
		{"F20114401A", false, 100, ""},
		{"F20114500A", true, 100, ""},
		{"F20114437A", false, 100, "ends in 01; this one ends in 37: read it again"},
		{"F20114402A", false, 99, "ends in 01; this one ends in 02"},
		{"F20114400A", false, 100, "this one ends in 00: do they fall?"},
		{"F20114401A", true, 100, "ends in 00; this one ends in 01: do they rise?"},
		{"F20114477A", true, 100, "ends in 00; this one ends in 77: read it again"},
		{"F20114426A", false, 25, ""},
		{"F20114451A", false, 50, ""},
		{"F20114437A", false, 0, ""},
	} {
		got := strapFrom(t, c.first, c.down, c.notes).Begins()
		if (got == "") != (c.says == "") || !strings.Contains(got, c.says) {
			t.Errorf("%s, down %v, %d notes: %q, want %q", c.first, c.down, c.notes, got, c.says)
		}
	}
	if got := (Sequence{Notes: 100}).Begins(); got != "" {
		t.Errorf("of nothing it is said: %q", got)
	}
}

// Invented straps. 20144102 is read the same from both ends, and so on: arithmetic.
func TestAhead(t *testing.T) {
	book := defaultBook()
	radars, ladders := onlyHits(patterns.Radar), onlyHits(patterns.LadderUp, patterns.LadderDown, patterns.LowNumber)
	for _, c := range []struct {
		first string
		down  bool
		watch patterns.Watch
		ahead int
		want  []string
	}{
		{"F20143966A", false, radars, 37, []string{"a radar 37 notes on: F20144102A"}},
		{"F20143966A", false, radars, 36, nil},
		{"20144300", true, radars, 99, []string{"a radar 99 notes on: 20144102"}},
		{"F12345501A", false, ladders, 900, []string{"a ladder up 78 notes on: F12345678A; keep the notes beside it, too"}},
		{"F12345578A", false, ladders, 900, []string{"a ladder up 1 note on: F12345678A; keep the notes beside it, too: the last one of this strap is one of them"}},
		{"F12345578*", false, ladders, 900, []string{"a ladder up 1 note on: F12345678*"}},
		{"F77777601A", false, onlyHits(patterns.Solid, patterns.Radar), 77, []string{"a solid 77 notes on: F77777777A"}},
		{"F77777601A", false, radars, 77, []string{"a radar 77 notes on: F77777777A"}},
		{"F00000103A", true, ladders, 900, []string{"a low number 1 note on: F00000003A; keep the notes beside it, too: the last one of this strap is one of them",
			"a low number 2 notes on: F00000002A; keep the notes beside it, too", "a low number 3 notes on: F00000001A; keep the notes beside it, too"}},
		{"F99999801A", false, patterns.Watch{Hit: onlyHits(patterns.Solid).Hit, Near: onlyHits(patterns.Radar).Hit}, math.MaxInt, []string{"a solid 99 notes on: F99999999A"}},
	} {
		var got []string
		for _, coming := range strapFrom(t, c.first, c.down, 100).Ahead(book, c.watch, c.ahead) {
			got = append(got, coming.String())
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s, down %v: ahead lie %q, want %q", c.first, c.down, got, c.want)
		}
	}
}

// Every number after the strap is judged one by one.
func TestAheadAgreesWithJudgingEachNumber(t *testing.T) {
	book := defaultBook()
	watch := book.DefaultWatch()
	r := rand.New(rand.NewPCG(9, 1928))
	found := 0
	for i := range 200 {
		first := 1 + r.IntN(patterns.Total-1)
		if i%4 == 0 {
			first = []int{1, 300, 12_345_000, 95_989_500, 99_999_000}[r.IntN(5)] + r.IntN(900)
		}
		q := Sequence{First: Serial{Prefix: "F", Digits: patterns.Digits(first).String(), Suffix: 'A'}, Down: r.IntN(2) == 0, Notes: 1 + r.IntN(100)}
		var want []string
		for on := 1; on <= 900; on++ {
			n := first + q.Notes - 1 + on
			if q.Down {
				n = first - q.Notes + 1 - on
			}
			if n < 1 || n > 99_999_999 {
				break
			}
			if j := book.Judge(patterns.Digits(n)); j.Match()&watch.Hit != 0 {
				want = append(want, fmt.Sprintf("%d F%vA %v", on, patterns.Digits(n), j.Findings))
			}
		}
		var got []string
		for _, c := range q.Ahead(book, watch, 900) {
			got = append(got, fmt.Sprintf("%d %v %v", c.On, c.Serial, c.Judgement.Findings))
			beside := c.Judgement.Match()&(patterns.Set(0).With(patterns.LadderUp).With(patterns.LadderDown).With(patterns.LowNumber)) != 0
			if !watch.Hit.Has(c.Rule.ID) || !c.Judgement.Match().Has(c.Rule.ID) || c.Neighbours != beside {
				t.Errorf("%v is told as %s, neighbours %v", c.Serial, c.Rule.Name, c.Neighbours)
			}
		}
		if !slices.Equal(got, want) {
			t.Fatalf("%+v: ahead lie %q, judged one by one %q", q, got, want)
		}
		found += len(got)
	}
	if found < 100 {
		t.Errorf("only %d hits were compared", found)
	}
}

// Case K05: two straps of new notes dropped and mixed. Three numbers are gone, a star is there for one.
func TestRunsK05(t *testing.T) {
	var pile []Serial
	for _, first := range []string{"F20114401A", "F71300801A"} {
		for i := 1; i <= 100; i++ {
			s, _ := strapFrom(t, first, false, 100).At(i)
			pile = append(pile, s)
		}
	}
	gone := []string{"F20114437A", "F71300802A", "F71300803A"}
	pile = slices.DeleteFunc(pile, func(s Serial) bool { return slices.Contains(gone, s.String()) })
	pile = append(pile, typed(t, "F01180455*"), Serial{Prefix: "F", Digits: "2011"})
	r := rand.New(rand.NewPCG(5, 1963))
	r.Shuffle(len(pile), func(i, j int) { pile[i], pile[j] = pile[j], pile[i] })

	var got, missing []string
	for _, run := range Runs(pile) {
		got = append(got, fmt.Sprintf("%v to %v, %d", run[0], run[len(run)-1], len(run)))
		for _, s := range Missing(run) {
			missing = append(missing, s.String())
		}
	}
	want := []string{"F01180455* to F01180455*, 1", "F20114401A to F20114500A, 99", "F71300801A to F71300900A, 98", "F2011···· to F2011····, 1"}
	if !slices.Equal(got, want) || !slices.Equal(missing, gone) {
		t.Errorf("%q, missing %q, want %q, missing %q", got, missing, want, gone)
	}
}

// No serial is lost or made up, whatever they are; a run is of one block and rises, with small gaps at
// most, and what Missing gives fills them.
func TestRunsKeepEverySerial(t *testing.T) {
	near := rapid.Custom(func(t *rapid.T) Serial {
		s := Serial{Prefix: rapid.SampledFrom([]string{"", "F", "MB"}).Draw(t, "prefix"), Digits: patterns.Digits(rapid.IntRange(1, 400).Draw(t, "number")).String()}
		switch rapid.IntRange(0, 4).Draw(t, "back") {
		case 0:
			s.Star = true
		case 1:
			s.Digits = s.Digits[:rapid.IntRange(0, 7).Draw(t, "typed")]
		case 2:
			s.Suffix = 'A'
		}
		return s
	})
	rapid.Check(t, func(t *rapid.T) {
		pile := rapid.SliceOf(near).Draw(t, "pile")
		before := slices.Clone(pile)
		runs := Runs(pile)
		if !slices.Equal(pile, before) {
			t.Fatal("the pile was changed")
		}
		left := map[Serial]int{}
		for _, s := range pile {
			left[s]++
		}
		for i, run := range runs {
			low, whole := run[0].Whole()
			if !whole && (len(run) > 1 || len(Missing(run)) > 0) {
				t.Fatalf("%v is a run", run)
			}
			seen := map[string]bool{}
			for j, s := range run {
				seen[s.Digits] = true
				if left[s]--; left[s] < 0 {
					t.Fatalf("%v comes from nowhere", s)
				}
				block := s
				block.Digits = run[0].Digits
				d, _ := s.Whole()
				if j > 0 && (d < low || d-low > 21 || block != run[0]) {
					t.Fatalf("%v goes on with %v", run[j-1], s)
				}
				low = d
			}
			for _, s := range Missing(run) {
				if seen[s.Digits] || s.Digits < run[0].Digits || s.Digits > run[len(run)-1].Digits {
					t.Fatalf("%v is missing from %v", s, run)
				}
				seen[s.Digits] = true
			}
			first, _ := run[0].Whole()
			last, _ := run[len(run)-1].Whole()
			if whole && len(seen) != int(last-first)+1 {
				t.Fatalf("%v and %v are not every number", run, Missing(run))
			}
			for _, other := range runs[:i] {
				end := other[len(other)-1]
				d, ok := end.Whole()
				same := end
				same.Digits = run[0].Digits
				if ok && whole && same == run[0] && first-d <= 21 {
					t.Fatalf("%v and %v are one run", other, run)
				}
			}
		}
		for s, n := range left {
			if n > 0 {
				t.Fatalf("%v is lost", s)
			}
		}
	})
	for next, want := range map[string]int{"F20114422A": 1, "F20114423A": 2} { // twenty numbers between, twenty-one
		if runs := Runs([]Serial{typed(t, "F20114401A"), typed(t, next)}); len(runs) != want {
			t.Errorf("F20114401A and %s are %d runs, want %d", next, len(runs), want)
		}
	}
	if got := Missing([]Serial{typed(t, "F00000001A"), typed(t, "F99999999A")}); len(got) > 0 {
		t.Errorf("%d numbers are missing between two runs", len(got))
	}
}

func BenchmarkAhead(b *testing.B) {
	book := defaultBook()
	watch := book.DefaultWatch()
	q := strapFrom(b, "F20143966A", false, 100)
	b.ReportAllocs()
	for b.Loop() {
		if len(q.Ahead(book, watch, 900)) == 0 {
			b.Fatal("20144102 lies ahead")
		}
	}
}
