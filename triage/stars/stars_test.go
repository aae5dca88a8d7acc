package stars

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"app/unband/patterns"
	"app/unband/triage"
)

// kept is a kept star note at a position of its strap.
func kept(position int, prefix, digits, series string) triage.Note {
	return triage.Note{Session: 1, Strap: 1, Position: position, Version: 1, Decision: triage.Keep, Series: series,
		Serial: triage.Serial{Prefix: prefix, Digits: digits, Star: true}}
}

// star makes a star that is ready, from a serial without its star.
func star(t testing.TB, d triage.Denomination, series, serial string) Star {
	t.Helper()
	letters := len(serial) - patterns.Places
	s, missing := Of(kept(1, serial[:letters], serial[letters:], series), d)
	if len(missing) > 0 {
		t.Fatalf("%v %s %s*: missing %q", d, series, serial, missing)
	}
	return s
}

// T06. Sources: Federal Reserve note identifiers (U.S. Currency Education Program) for the letters;
// the order is common practice. The digits are invented.
func TestT06BatchInOrder(t *testing.T) {
	in := []Star{
		star(t, 1, "2017A", "F00412233"), star(t, 1, "2017", "L07731184"), star(t, 1, "2003A", "B01187540"),
		star(t, 1, "2003", "C02203915"), star(t, 5, "2013", "MB00918824"), star(t, 5, "2009", "JK01644120"),
		star(t, 1, "1995", "A03318706"),
	}
	const want = "$1 1995 A, $1 2003 C, $1 2003A B, $1 2017 L, $1 2017A F, $5 2009 K, $5 2013 B"
	random := rand.New(rand.NewPCG(6, 6))
	for range 50 {
		random.Shuffle(len(in), func(i, j int) { in[i], in[j] = in[j], in[i] })
		var got []string
		for _, l := range Batch(in) {
			got = append(got, fmt.Sprintf("%v %s %c", l.Denomination, l.Series, l.Bank))
			if len(l.Stars) != 1 {
				t.Errorf("T06: %v has %d stars, want 1", l.Group, len(l.Stars))
			}
		}
		if all := strings.Join(got, ", "); all != want {
			t.Fatalf("T06: the work list is\n%s, want\n%s", all, want)
		}
	}
}

func TestBatchGroups(t *testing.T) {
	var in []Star
	add := func(n triage.Note, d triage.Denomination) { s, _ := Of(n, d); in = append(in, s) }
	add(kept(1, "B", "00000900", "2017A"), 1)
	add(kept(2, "B", "00000100", "2017A"), 1)
	add(kept(3, "", "00000300", "2017A"), 1) // no prefix
	add(kept(4, "B", "00000200", ""), 1)     // no series
	add(kept(5, "A", "00000100", "2017A"), 1)
	add(kept(6, "B", "00000100", "2017A"), 1) // the same number once more
	add(kept(7, "L", "00000100", "2021"), 1)
	var got []string
	for _, l := range Batch(in) {
		line := l.String() + ":"
		for _, s := range l.Stars {
			line += fmt.Sprintf(" %d", s.Place.Position)
		}
		got = append(got, line)
	}
	want := []string{
		"$1 Series 2017A Boston (A): 5",
		"$1 Series 2017A New York (B): 2 6 1", // by number, then by place
		"$1 Series 2017A bank unknown: 3",     // what is not known comes last
		"$1 Series 2021 San Francisco (L): 7",
		"$1 series unknown New York (B): 4",
	}
	if !slices.Equal(got, want) {
		t.Errorf("the work list is\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if Batch(nil) != nil {
		t.Error("no stars make a work list")
	}
}

// The order of series: cases T06, and the lists of series in the tables of $1 notes (1963, 1963A,
// 1963B: dealer listing in Paper Money no. 51, May 1974).
func TestCompareSeries(t *testing.T) {
	order := []string{"1963", "1963A", "1963B", "1969", "1969D", "1974", "1977A", "1981", "1981A", "1988A",
		"1995", "1999", "2001", "2003", "2003A", "2004", "2004A", "2009", "2017", "2017A", "2021", ""}
	for i, a := range order {
		for j, b := range order {
			if got := CompareSeries(a, b); (got < 0) != (i < j) || (got == 0) != (i == j) {
				t.Errorf("CompareSeries(%q, %q) = %d", a, b, got)
			}
		}
	}
}

func TestOf(t *testing.T) {
	front := kept(1, "", "01234567", "1957B")
	front.Serial.StarFront, front.Serial.Suffix = true, 'A'
	for _, c := range []struct {
		why     string
		note    triage.Note
		d       triage.Denomination
		bank    byte
		missing []string
	}{
		{"$1 has one letter, the bank's", kept(1, "F", "00412233", "2017A"), 1, 'F', nil},
		{"$5 and up: the second letter is the bank's", kept(1, "JK", "01644120", "2009"), 5, 'K', nil},
		{"series letters need not be A to L", kept(1, "PB", "01644120", "2017A"), 20, 'B', nil},
		{"$20 of Series 1995 has one letter still", kept(1, "G", "01644120", "1995"), 20, 'G', nil},
		{"one letter of two: A may be the series letter of 1996", kept(1, "A", "01644120", "1996"), 100, 0, []string{"second letter of the prefix, which is the bank's"}},
		{"prefix unknown", kept(1, "", "00412233", "2017A"), 1, 0, []string{"prefix"}},
		{"series unknown", kept(1, "F", "00412233", ""), 1, 'F', []string{"series"}},
		{"both unknown", kept(1, "", "00412233", ""), 1, 0, []string{"prefix", "series"}},
		{"settled early", kept(1, "F", "004122", "2017A"), 1, 'F', []string{"all eight digits"}},
		{"no bank letter", kept(1, "M", "00412233", "2017A"), 1, 0, []string{"a bank letter: M is not one of A to L"}},
		{"a control character", kept(1, "\x1b", "00412233", "2017A"), 1, 0, []string{`a bank letter: \x1b is not one of A to L`}},
		{"star in front: an older class", front, 1, 0, []string{"a Federal Reserve Bank: a star in front of the digits is of an older class, which names none"}},
	} {
		s, missing := Of(c.note, c.d)
		if s.Bank != c.bank || !reflect.DeepEqual(missing, c.missing) {
			t.Errorf("%s: bank %q, missing %q; want %q, %q", c.why, s.Bank, missing, c.bank, c.missing)
		}
		if s.Place != c.note.Place() || s.Denomination != c.d || s.Series != c.note.Series {
			t.Errorf("%s: %+v does not name its note", c.why, s)
		}
	}
}

// The twelve banks: U.S. Currency Education Program, note identifiers (facts of the trade §2).
func TestBankNames(t *testing.T) {
	for letter, city := range map[byte]string{'A': "Boston", 'B': "New York", 'D': "Cleveland", 'G': "Chicago",
		'H': "St. Louis", 'I': "Minneapolis", 'J': "Kansas City", 'L': "San Francisco", 'M': "", 0: "", '@': ""} {
		if got := BankName(letter); got != city {
			t.Errorf("bank %q is %q, want %q", letter, got, city)
		}
	}
}
