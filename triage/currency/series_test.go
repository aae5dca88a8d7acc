package currency

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

func TestParseSeries(t *testing.T) {
	for _, c := range []struct{ text, want, problem string }{
		{"2017A", "2017A", ""},
		{" 2017 a ", "2017A", ""},
		{"1963-B", "1963B", ""},
		{"Series 1928g", "1928G", ""},
		{"1995", "1995", ""},
		{"", "", "no series was typed"},
		{"A", "", "all four digits"},
		{"17", "", "all four digits"},
		{"20171", "", "all four digits"},
		{"1899", "", "begin with Series 1928"},
		{"2100", "", "too far ahead"},
		{"2017AB", "", "one letter at most"},
		{"2017O", "", "O does not follow"},
		{"2017I", "", "I does not follow"},
		{"2017*", "", "* does not follow"},
	} {
		s, err := ParseSeries(c.text)
		switch {
		case c.problem == "" && (err != nil || s.String() != c.want):
			t.Errorf("ParseSeries(%q) = %q, %v, want %q", c.text, s, err, c.want)
		case c.problem != "" && (err == nil || !strings.Contains(err.Error(), c.problem)):
			t.Errorf("ParseSeries(%q) gives error %v, want one with %q", c.text, err, c.problem)
		}
	}
}

// T06: 1963 before 1963A before 1963B before 1969, 2003 before 2003A.
func TestSeriesOrder(t *testing.T) {
	want := mustSeries("1928 1928A 1957B 1963 1963A 1963B 1969 1969D 1974 1995 1999 2003 2003A 2004 2006 2017 2017A 2021")
	got := slices.Clone(want)
	rand.New(rand.NewPCG(1, 2)).Shuffle(len(got), func(i, j int) { got[i], got[j] = got[j], got[i] })
	slices.SortFunc(got, Series.Compare)
	if !slices.Equal(got, want) {
		t.Errorf("sorted %v, want %v", got, want)
	}
	if (Series{}).Compare(want[0]) >= 0 || (Series{}).String() != "" {
		t.Error("an unknown series does not come first, or has a name")
	}
}

func FuzzParseSeries(f *testing.F) {
	for _, s := range []string{"2017A", "1963-b", "Series 1928 G", "17", "ſeries", "2017É"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseSeries(text)
		if err != nil {
			return
		}
		if again, err := ParseSeries(s.String()); err != nil || again != s {
			t.Errorf("ParseSeries(%q) = %+v, read back %+v, %v", text, s, again, err)
		}
	})
}

func names(choices []Choice) string {
	var all []string
	for _, c := range choices {
		name := c.Series.String()
		if c.Doubt != "" {
			name += "?"
		}
		if c.Class != FederalReserveNote {
			name += "-" + c.Class.String()[:1]
		}
		all = append(all, name)
	}
	return strings.Join(all, " ")
}

func TestSuggest(t *testing.T) {
	for _, c := range []struct {
		denomination        int
		prefix, typed, last string
		want, decided, why  string
	}{
		{1, "B", "17", "", "2017 2017A", "", "both forms: never decides"},
		{1, "B", "17", "2017A", "2017A 2017", "", "the last one first, still not decided"},
		{1, "B", "17a", "", "2017A", "2017A", "the letter decides"},
		{1, "B", "2017", "", "2017 2017A", "", "four digits"},
		{1, "B", "2017 A", "", "2017A", "2017A", "four digits and letter"},
		{1, "B", "13", "", "2013", "2013", "one form"},
		{1, "B", "09", "", "2009", "2009", "the nought counts"},
		{1, "B", "03", "", "2003 2003A", "", "both forms"},
		{1, "B", "3", "2013", "2013 2003 2003A 1993 1963 1963A 1963B 1935-s 1935A-s 1935B-s 1935C-s 1935D-s 1935E-s 1935F-s 1935G-s 1935H-s 1934-s", "", "one digit may begin or end the year"},
		{1, "", "57", "", "1957-s 1957A-s 1957B-s", "", "an older class"},
		{1, "B", "04", "", "", "", "V08: no $1 of Series 2004"},
		{1, "B", "17Q", "", "", "", "no such letter"},
		{20, "PL", "", "", "2017A", "2017A", "the series letter decides [U1]"},
		{20, "pl", "17", "", "2017A", "2017A", "typed agrees"},
		{20, "NL", "17A", "", "2017? 2017A?", "", "V11: both readings, each with its doubt"},
		{20, "IG", "", "", "2006", "2006", "I"},
		{20, "HG", "06", "", "2006", "2006", "H"},
		{5, "NB", "", "", "2017?", "", "not in the list of fives, from memory"},
		{20, "RB", "21", "", "", "", "nothing fits"},
		{20, "RB", "17", "", "2017? 2017A?", "", "a letter that is not known"},
		{20, "B", "9", "1995", "1995 1993 1990 1969 1969A 1969B 1969C 1929-n 2009? 1999? 1996?", "", "one letter: to Series 1995 [B1]"},
		{5, "", "63", "", "1963 1963A 1963-U", "", "two classes of one series"},
		{3, "", "17", "", "", "", "no such denomination"},
	} {
		var last Series
		if c.last != "" {
			last = mustSeries(c.last)[0]
		}
		choices := Suggest(c.denomination, c.prefix, c.typed, last)
		if got := names(choices); got != c.want {
			t.Errorf("Suggest($%d, %q, %q, %s) = %s, want %s: %s", c.denomination, c.prefix, c.typed, c.last, got, c.want, c.why)
		}
		s, _ := Decided(choices)
		if s.String() != c.decided {
			t.Errorf("Suggest($%d, %q, %q) decides %q, want %q: %s", c.denomination, c.prefix, c.typed, s, c.decided, c.why)
		}
	}
}

// With every further key fewer series are left, every listed one can be reached by its last two digits
// and its letter, and a year with both forms is never decided by digits alone.
func TestSuggestNarrows(t *testing.T) {
	for _, d := range []int{1, 2, 5, 10, 20, 50, 100} {
		for _, l := range List(d) {
			full := l.Series.String()
			for _, keys := range []string{full[2:], full} {
				before := len(List(d)) + 1
				for i := range len(keys) + 1 {
					choices := Suggest(d, "", keys[:i], Series{})
					if len(choices) > before {
						t.Errorf("$%d %q: %d choices after %d", d, keys[:i], len(choices), before)
					}
					before = len(choices)
					if !slices.ContainsFunc(choices, func(c Choice) bool { return c.Series == l.Series }) {
						t.Errorf("$%d %q does not lead to %s", d, keys[:i], full)
					}
					if s, ok := Decided(choices); ok && keys[:i] == keys && s != l.Series {
						t.Errorf("$%d %q is decided as %s", d, keys, s)
					}
				}
			}
			if forms := Forms(l.Class, d, l.Series.Year); len(forms) > 1 {
				if s, ok := Decided(Suggest(d, "", full[:4], Series{})); ok {
					t.Errorf("$%d %s is decided as %s although %v exist", d, full[:4], s, forms)
				}
			}
		}
	}
}

// C03: an old series is the user's limit, ones older than Series 2003 by default.
func TestOld(t *testing.T) {
	ones := DefaultOldLimit(1)
	for _, c := range []struct {
		series string
		want   bool
	}{{"1963A", true}, {"1995", true}, {"2001", true}, {"2003", false}, {"2003A", false}, {"2017A", false}} {
		if got := Old(mustSeries(c.series)[0], ones); got != c.want {
			t.Errorf("Old(%s) = %v for ones, want %v", c.series, got, c.want)
		}
	}
	if Old(Series{}, ones) {
		t.Error("a series that nobody said is old")
	}
	if DefaultOldLimit(3).Known() {
		t.Error("a $3 has a limit")
	}
}

func TestName(t *testing.T) {
	for _, c := range []struct {
		note Note
		want string
	}{
		{note(1, "1957", "B20443155A"), "$1 silver certificate, Series 1957, blue seal"},
		{note(1, "2013", "B20443155A"), "$1 Federal Reserve note, Series 2013, green seal"},
		{note(20, "", "PB20443155A"), "$20 Federal Reserve note, Series 2017A, green seal"},
		{note(5, "1963", "B20443155A"), "$5 note, Series 1963"},
		{with(note(5, "1963", "B20443155A"), func(n *Note) { n.Seal = Red }), "$5 United States note, Series 1963, red seal"},
		{with(note(1, "1935A", "B20443155C"), func(n *Note) { n.Seal = Brown }), "$1 silver certificate, Series 1935A, Hawaii issue, brown seal"},
		{with(note(5, "1934A", "B20443155C"), func(n *Note) { n.Seal = Yellow }), "$5 silver certificate, Series 1934A, North Africa issue, yellow seal"},
		{with(note(5, "1929", "B20443155"), func(n *Note) { n.Seal = Brown }), "$5 national currency, Series 1929, brown seal"},
		{note(1, "", "B20443155A"), "$1 note"},
	} {
		if got := Name(c.note); got != c.want {
			t.Errorf("Name = %q, want %q", got, c.want)
		}
	}
}
