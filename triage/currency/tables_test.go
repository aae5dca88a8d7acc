package currency

import (
	"regexp"
	"slices"
	"strings"
	"testing"
)

// The letters as the table of [U1] has them, against Series 1996 to 2021.
func TestSeriesLetters(t *testing.T) {
	const published = "A1996 B1999 C2001 D2003 E2004 F2003A G2004A H2006 I2006 J2009 K2006A L2009A M2013 N2017 P2017A Q2021"
	var rows []string
	for _, row := range SeriesLetters {
		rows = append(rows, string(rune(row.Letter))+row.Series.String())
	}
	if got := strings.Join(rows, " "); got != published {
		t.Errorf("letters %s, want %s [U1]", got, published)
	}
	if got := LettersOfSeries(Series{2006, 0}); got != "HI" {
		t.Errorf("Series 2006 has the letters %q, want HI", got)
	}
	if _, ok := SeriesOfLetter('O'); ok {
		t.Error("O is a series letter")
	}
}

// The twelve banks in the order of [U1].
func TestBanks(t *testing.T) {
	cities := strings.Split("Boston,New York,Philadelphia,Cleveland,Richmond,Atlanta,Chicago,St. Louis,Minneapolis,Kansas City,Dallas,San Francisco", ",")
	if len(Banks) != 12 {
		t.Fatalf("%d banks", len(Banks))
	}
	for i, city := range cities {
		byLetter, _ := BankOf(byte('A' + i))
		byNumber, _ := BankNumber(i + 1)
		if byLetter != byNumber || byLetter.City != city || byLetter.Number != i+1 {
			t.Errorf("bank %d is %+v and %+v, want %s", i+1, byLetter, byNumber, city)
		}
	}
	for _, letter := range []byte{0, '@', 'M', 'a'} {
		if b, ok := BankOf(letter); ok {
			t.Errorf("BankOf(%q) = %+v", letter, b)
		}
	}
}

// Eight series up to 1969D add up to 87 notes of a district set, by a dealer's list of 1974 [SP1].
func TestOnesAddUp(t *testing.T) {
	sum, series := 0, 0
	for _, row := range Ones {
		if row.Series.Compare(Series{1969, 'D'}) <= 0 {
			sum, series = sum+len(row.Districts), series+1
		}
	}
	if series != 8 || sum != 87 {
		t.Errorf("%d series with %d notes, want 8 with 87 [SP1]", series, sum)
	}
}

// The rows of Ones are the listed series of the $1 Federal Reserve note, in order.
func TestOnesAreTheListedSeries(t *testing.T) {
	var rows, listed []Series
	for _, row := range Ones {
		rows = append(rows, row.Series)
	}
	for _, l := range List(1) {
		if l.Class == FederalReserveNote {
			listed = append(listed, l.Series)
		}
	}
	if !slices.Equal(rows, listed) {
		t.Errorf("rows %v, listed %v", rows, listed)
	}
}

// The lists of each denomination as they were compiled (from memory, except what the rows confirm).
func TestLists(t *testing.T) {
	for _, c := range []struct {
		class        Class
		denomination int
		from         int // year
		want         string
	}{
		{FederalReserveNote, 2, 1963, "1976 1995 2003 2003A 2009 2013 2017A"},
		{FederalReserveNote, 5, 1963, "1963 1963A 1969 1969A 1969B 1969C 1974 1977 1977A 1981 1981A 1985 1988 1988A 1993 1995 1999 2001 2003 2003A 2006 2009 2013 2017A 2021"},
		{FederalReserveNote, 10, 1963, "1963 1963A 1969 1969A 1969B 1969C 1974 1977 1977A 1981 1981A 1985 1988A 1990 1993 1995 1999 2001 2003 2004A 2006 2009 2013 2017 2017A"},
		{FederalReserveNote, 20, 1963, "1963 1963A 1969 1969A 1969B 1969C 1974 1977 1981 1981A 1985 1988A 1990 1993 1995 1996 1999 2001 2004 2004A 2006 2009 2013 2017 2017A"},
		{FederalReserveNote, 50, 1963, "1963A 1969 1969A 1969B 1969C 1974 1977 1981 1981A 1985 1988 1990 1993 1996 2001 2004 2004A 2006 2009 2013 2017A"},
		{FederalReserveNote, 100, 1963, "1963A 1969 1969A 1969C 1974 1977 1981 1981A 1985 1988 1990 1993 1996 1999 2001 2003 2003A 2006 2006A 2009 2009A 2013 2017A"},
		{SilverCertificate, 1, 1928, "1928 1928A 1928B 1928C 1928D 1928E 1934 1935 1935A 1935B 1935C 1935D 1935E 1935F 1935G 1935H 1957 1957A 1957B"},
		{UnitedStatesNote, 2, 1928, "1928 1928A 1928B 1928C 1928D 1928E 1928F 1928G 1953 1953A 1953B 1953C 1963 1963A"},
		{UnitedStatesNote, 5, 1928, "1928 1928A 1928B 1928C 1928D 1928E 1928F 1953 1953A 1953B 1953C 1963"},
		{UnitedStatesNote, 100, 1928, "1966 1966A"},
	} {
		var got []string
		for _, l := range List(c.denomination) {
			if l.Class == c.class && l.Series.Year >= c.from {
				got = append(got, l.Series.String())
			}
		}
		if s := strings.Join(got, " "); s != c.want {
			t.Errorf("$%d %s: %s, want %s", c.denomination, c.class, s, c.want)
		}
	}
}

// No series stands twice in the lists of a class and denomination.
func TestNoSeriesTwice(t *testing.T) {
	for _, d := range []int{1, 2, 5, 10, 20, 50, 100} {
		seen := map[Listed]bool{}
		for _, l := range List(d) {
			key := Listed{Class: l.Class, Series: l.Series}
			if seen[key] {
				t.Errorf("$%d %s %s is listed twice", d, l.Class, l.Series)
			}
			seen[key] = true
		}
	}
}

// The words of the three answers and of the certainties.
func TestWords(t *testing.T) {
	for want, got := range map[string]string{
		"fine": Fine.String(), "look again": LookAgain.String(), "not from circulation": NotFromCirculation.String(),
		"no verdict": Verdict(9).String(), "published": Published.String(), "computed": Computed.String(),
		"common practice": Common.String(), "from memory": Memory.String(), "not said": Sure(0).String(),
		"yellow": Yellow.String(), "colour not said": Colour(99).String(), "class not said": ClassUnknown.String(),
	} {
		if got != want {
			t.Errorf("says %q, want %q", got, want)
		}
	}
	if Worst(nil) != Fine || Worst([]Remark{{}, {Verdict: NotFromCirculation}, {Verdict: LookAgain}}) != NotFromCirculation {
		t.Error("Worst does not give the gravest")
	}
}

// Series that [B1][B3][U1] tie to letters stand on some denomination of $5 and up.
func TestEveryLetterHasANote(t *testing.T) {
	for _, row := range SeriesLetters {
		if !slices.ContainsFunc([]int{5, 10, 20, 50, 100}, func(d int) bool {
			_, ok := Exists(FederalReserveNote, d, row.Series)
			return ok
		}) {
			t.Errorf("no denomination has Series %s of letter %c", row.Series, row.Letter)
		}
	}
}

var codes = regexp.MustCompile(`^(\[[A-Z]+[0-9]*\])+$`)

// Every row has a certainty and a source that Sources explains; what is from memory says so or shows
// sources for the surer part of its row.
func TestRowsNameTheirSources(t *testing.T) {
	type row struct {
		table, source string
		sure          Sure
	}
	var rows []row
	for _, r := range Banks {
		rows = append(rows, row{"Banks", r.Source, r.Sure})
	}
	for _, r := range SeriesLetters {
		rows = append(rows, row{"SeriesLetters", r.Source, r.Sure})
	}
	for _, r := range Listings {
		rows = append(rows, row{"Listings", r.Source, r.Sure})
	}
	for _, r := range Gaps {
		rows = append(rows, row{"Gaps", r.Source, r.Sure})
	}
	for _, r := range Ones {
		rows = append(rows, row{"Ones", r.Source, r.Signed})
	}
	for _, r := range Twos {
		rows = append(rows, row{"Twos", r.Source, r.Sure})
	}
	for _, r := range Caps {
		rows = append(rows, row{"Caps", r.Source, r.Sure})
	}
	for _, r := range Seals {
		rows = append(rows, row{"Seals", r.Source, r.Sure})
	}
	for _, r := range Issues {
		rows = append(rows, row{"Issues", r.Source, r.Sure})
	}
	for _, r := range OldLimits {
		rows = append(rows, row{"OldLimits", r.Source, r.Sure})
	}
	for _, r := range TwinRanges {
		rows = append(rows, row{"TwinRanges", r.Source, r.Sure})
	}
	for _, r := range WebRanges {
		rows = append(rows, row{"WebRanges", r.Source, Published})
	}
	for _, r := range rows {
		checkSource(t, r.table, r.source, r.sure)
	}
}

// checkSource fails when a certainty and its source do not fit together.
func checkSource(t *testing.T, where, source string, sure Sure) {
	t.Helper()
	switch {
	case sure < Memory || sure > Published:
		t.Errorf("%s: %q has no certainty", where, source)
	case source == fromMemory && sure == Memory, source == practice && sure == Common:
	case !codes.MatchString(source):
		t.Errorf("%s: %q (%s) is no source", where, source, sure)
	default:
		for _, code := range strings.FieldsFunc(source, func(r rune) bool { return r == '[' || r == ']' }) {
			if !slices.ContainsFunc(Sources, func(s Source) bool { return s.Code == code }) {
				t.Errorf("%s: source [%s] is not listed", where, code)
			}
		}
	}
}

// Caps cover every listed series of Federal Reserve notes once.
func TestCapsCoverEverySeries(t *testing.T) {
	for _, d := range []int{1, 2, 5, 10, 20, 50, 100} {
		for _, l := range List(d) {
			fits := 0
			for _, c := range Caps {
				if c.Low <= d && d <= c.High && c.From.Compare(l.Series) <= 0 && l.Series.Compare(c.To) <= 0 {
					fits++
				}
			}
			if fits != 1 {
				t.Errorf("$%d Series %s has %d caps", d, l.Series, fits)
			}
		}
	}
	for d, want := range map[int]int{1: 96_000_000, 20: 96_000_000, 50: 99_200_000, 100: 99_200_000} { // [CT1][CT3]
		if c, ok := CapOf(d, Series{}); !ok || int(c.Highest) != want {
			t.Errorf("today's cap of $%d is %+v, want %d", d, c, want)
		}
	}
}
