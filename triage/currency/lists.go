package currency

import "slices"

// A Listing is the series known for one class and denomination from one source.
type Listing struct {
	Class        Class
	Denomination int
	Series       []Series
	Sure         Sure
	Source       string
}

// Listings has the series of every class and denomination. Each series stands in
// the row of its surest source. That a series is missing says nothing by itself: Gaps has what is known about that.
var Listings = []Listing{
	{FederalReserveNote, 1, mustSeries("1963 1963A 1963B 1969 1969A 1969B 1969C 1969D"), Published, "[SP1]"},
	{FederalReserveNote, 1, mustSeries("1977A"), Published, "[PX1]"},
	{FederalReserveNote, 1, mustSeries("1985"), Published, "[CW15]"},
	{FederalReserveNote, 1, mustSeries("1988A 1993 1995"), Published, "[W2][F5]"},
	{FederalReserveNote, 1, mustSeries("1999 2001 2003"), Published, "[B3]"},
	{FederalReserveNote, 1, mustSeries("2003A 2006"), Published, "[CW13]"},
	{FederalReserveNote, 1, mustSeries("2009"), Published, "[W3][CT8]"},
	{FederalReserveNote, 1, mustSeries("2013"), Published, "[CW1][CW4][CW5]"},
	{FederalReserveNote, 1, mustSeries("2017"), Published, "[CW11]"},
	{FederalReserveNote, 1, mustSeries("2017A"), Published, "[CW10]"},
	{FederalReserveNote, 1, mustSeries("2021"), Published, "[CW8][CW9]"},
	{FederalReserveNote, 1, mustSeries("1974 1977 1981 1981A 1988"), Memory, "from memory"},

	{FederalReserveNote, 2, mustSeries("1976"), Published, "[PM2][RM]"},
	{FederalReserveNote, 2, mustSeries("2017A"), Published, "[CW10]"},
	{FederalReserveNote, 2, mustSeries("1995 2003 2003A 2009 2013"), Memory, "from memory"},

	{FederalReserveNote, 5, mustSeries("1950D 1963 2006"), Published, "[W3]"},
	{FederalReserveNote, 5, mustSeries("1985"), Published, "[CW15]"},
	{FederalReserveNote, 5, mustSeries("1999"), Published, "[B3]"},
	{FederalReserveNote, 5, mustSeries("2013"), Published, "[CW13]"},
	{FederalReserveNote, 5, mustSeries("2017A"), Published, "[CW10]"},
	{FederalReserveNote, 5, mustSeries("2021"), Published, "[CW8]"},
	{FederalReserveNote, 5, mustSeries("1928 1928A 1928B 1928C 1928D 1934 1934A 1934B 1934C 1934D 1950 1950A 1950B 1950C 1950E"), Memory, "from memory"},
	{FederalReserveNote, 5, mustSeries("1963A 1969 1969A 1969B 1969C 1974 1977 1977A 1981 1981A 1988 1988A 1993 1995 2001 2003 2003A 2009"), Memory, "from memory"},

	{FederalReserveNote, 10, mustSeries("1950D 1963"), Published, "[W3]"},
	{FederalReserveNote, 10, mustSeries("1985"), Published, "[CW15]"},
	{FederalReserveNote, 10, mustSeries("1988A"), Published, "[LT2]"},
	{FederalReserveNote, 10, mustSeries("1999"), Published, "[B3]"},
	{FederalReserveNote, 10, mustSeries("2013"), Published, "[CW13]"},
	{FederalReserveNote, 10, mustSeries("2017"), Published, "[CW6]"},
	{FederalReserveNote, 10, mustSeries("2017A"), Published, "[CW10]"},
	{FederalReserveNote, 10, mustSeries("1928 1928A 1928B 1928C 1934 1934A 1934B 1934C 1934D 1950 1950A 1950B 1950C 1950E"), Memory, "from memory"},
	{FederalReserveNote, 10, mustSeries("1963A 1969 1969A 1969B 1969C 1974 1977 1977A 1981 1981A 1990 1993 1995 2001 2003 2004A 2006 2009"), Memory, "from memory"},

	{FederalReserveNote, 20, mustSeries("1950D 1963"), Published, "[W3]"},
	{FederalReserveNote, 20, mustSeries("1985"), Published, "[CW15]"},
	{FederalReserveNote, 20, mustSeries("1996"), Published, "[B3]"},
	{FederalReserveNote, 20, mustSeries("2006"), Published, "[EZ]"},
	{FederalReserveNote, 20, mustSeries("2013"), Published, "[CW16]"},
	{FederalReserveNote, 20, mustSeries("2017"), Published, "[CW6]"},
	{FederalReserveNote, 20, mustSeries("2017A"), Published, "[CW10]"},
	{FederalReserveNote, 20, mustSeries("1928 1928A 1928B 1928C 1934 1934A 1934B 1934C 1934D 1950 1950A 1950B 1950C 1950E"), Memory, "from memory"},
	{FederalReserveNote, 20, mustSeries("1963A 1969 1969A 1969B 1969C 1974 1977 1981 1981A 1988A 1990 1993 1995 1999 2001 2004 2004A 2009"), Memory, "from memory"},

	{FederalReserveNote, 50, mustSeries("1950D"), Published, "[W3]"},
	{FederalReserveNote, 50, mustSeries("1985"), Published, "[CW15]"},
	{FederalReserveNote, 50, mustSeries("1990"), Published, "[F6]"},
	{FederalReserveNote, 50, mustSeries("1996"), Published, "[B3]"},
	{FederalReserveNote, 50, mustSeries("2013"), Published, "[CW13][CW10]"},
	{FederalReserveNote, 50, mustSeries("1928 1928A 1934 1934A 1934B 1934C 1934D 1950 1950A 1950B 1950C 1950E"), Memory, "from memory"},
	{FederalReserveNote, 50, mustSeries("1963A 1969 1969A 1969B 1969C 1974 1977 1981 1981A 1988 1993 2001 2004 2004A 2006 2009 2017A"), Memory, "from memory"},

	{FederalReserveNote, 100, mustSeries("1950D 2006A 2009 2009A"), Published, "[W3]"},
	{FederalReserveNote, 100, mustSeries("1990"), Published, "[F6]"},
	{FederalReserveNote, 100, mustSeries("1996"), Published, "[B3]"},
	{FederalReserveNote, 100, mustSeries("2006"), Published, "[CF2]"},
	{FederalReserveNote, 100, mustSeries("2017A"), Published, "[CW10]"},
	{FederalReserveNote, 100, mustSeries("1928 1928A 1934 1934A 1934B 1934C 1934D 1950 1950A 1950B 1950C 1950E"), Memory, "from memory"},
	{FederalReserveNote, 100, mustSeries("1963A 1969 1969A 1969C 1974 1977 1981 1981A 1985 1988 1993 1999 2001 2003 2003A 2013"), Memory, "from memory"},

	{SilverCertificate, 1, mustSeries("1928 1928A 1928B 1928C 1928D 1928E 1934"), Published, "[SP2][DT]"},
	{SilverCertificate, 1, mustSeries("1935 1935A 1935B 1935C 1935D 1935E 1935F 1935G 1935H"), Published, "[SP2][DT]"},
	{SilverCertificate, 1, mustSeries("1957 1957A 1957B"), Published, "[SP2][DT]"},
	{SilverCertificate, 5, mustSeries("1934 1934A 1934B 1934C 1934D 1953"), Published, "[PX1]"},
	{SilverCertificate, 5, mustSeries("1953A 1953B 1953C"), Memory, "from memory"},
	{SilverCertificate, 10, mustSeries("1933 1933A 1934 1934A 1934B 1934C 1934D 1953"), Published, "[PX1]"},
	{SilverCertificate, 10, mustSeries("1953A 1953B"), Memory, "from memory"},

	{UnitedStatesNote, 1, mustSeries("1928"), Published, "[RM][PX1][W3][CT9]"},
	{UnitedStatesNote, 2, mustSeries("1928 1928A 1928B 1928C 1928D 1928E 1928F 1928G"), Published, "[RM][PX1][W3][CT9]"},
	{UnitedStatesNote, 2, mustSeries("1953 1953A 1953B 1953C 1963 1963A"), Published, "[RM][PX1][W3][CT9]"},
	{UnitedStatesNote, 5, mustSeries("1928 1928A 1928B 1928C 1928D 1928E 1928F"), Published, "[RM][PX1][W3][CT9]"},
	{UnitedStatesNote, 5, mustSeries("1953 1953A 1953B 1953C 1963"), Published, "[RM][PX1][W3][CT9]"},
	{UnitedStatesNote, 100, mustSeries("1966 1966A"), Published, "[RM][PX1][W3][CT9]"},

	{GoldCertificate, 10, mustSeries("1928"), Memory, "from memory"},
	{GoldCertificate, 20, mustSeries("1928"), Memory, "from memory"},
	{GoldCertificate, 50, mustSeries("1928"), Memory, "from memory"},
	{GoldCertificate, 100, mustSeries("1928"), Memory, "from memory"},

	{NationalCurrency, 5, mustSeries("1929"), Memory, "from memory"},
	{NationalCurrency, 10, mustSeries("1929"), Memory, "from memory"},
	{NationalCurrency, 20, mustSeries("1929"), Memory, "from memory"},
	{NationalCurrency, 50, mustSeries("1929"), Memory, "from memory"},
	{NationalCurrency, 100, mustSeries("1929"), Memory, "from memory"},
}

// A Gap is a stretch of series in which the listings of a class and denomination are known to be
// whole. Only inside a published gap may a missing series be contradicted; elsewhere it is asked about.
type Gap struct {
	Class         Class
	Denominations []int
	From, To      Series // both inclusive
	Why           string // how that is known, part of a sentence
	Until         string // the date the knowledge ends with, empty when it is closed
	Sure          Sure
	Source        string
}

// Gaps lists what is known about series that were not printed.
var Gaps = []Gap{
	{FederalReserveNote, []int{1}, Series{1928, 0}, Series{1962, 'Y'}, "the first $1 Federal Reserve notes are Series 1963", "", Published, "[CWK3]"},
	{FederalReserveNote, []int{1}, Series{1963, 0}, Series{1973, 'Y'}, "a dealer's list of 1974 has eight series up to 1969D", "", Published, "[SP1]"},
	{FederalReserveNote, []int{1}, Series{2004, 0}, Series{2004, 'Y'}, "only higher denominations have it", "", Published, "[U1][OD]"},
	{FederalReserveNote, []int{10, 20, 50, 100}, Series{2021, 0}, Series{2021, 0}, "only $1 and $5 of it had been made", "May 2023", Published, "[CW9]"},
	{SilverCertificate, []int{1}, Series{1928, 0}, Series{1957, 'Y'}, "dealers' lists have the whole row of $1 silver certificates", "", Published, "[SP2][DT]"},
}

// latest is the newest series the tables know.
var latest = Series{2021, 0}

// A Listed is one series of a class and denomination with its source.
type Listed struct {
	Class  Class
	Series Series
	Sure   Sure
	Source string
}

// List gives the series of a denomination, oldest first, every class together. The caller does not
// change it.
func List(denomination int) []Listed { return lists[denomination] }

var lists = gather()

// gather puts the rows of each denomination in order, oldest first.
func gather() map[int][]Listed {
	all := map[int][]Listed{}
	for _, row := range Listings {
		for _, s := range row.Series {
			all[row.Denomination] = append(all[row.Denomination], Listed{row.Class, s, row.Sure, row.Source})
		}
	}
	for _, list := range all {
		slices.SortStableFunc(list, func(a, b Listed) int { return a.Series.Compare(b.Series) })
	}
	return all
}

// find gives the entries of a series: one for each class it was printed in.
func find(denomination int, s Series) (found []Listed) {
	for _, l := range List(denomination) {
		if l.Series == s {
			found = append(found, l)
		}
	}
	return found
}

// Exists gives the listing of a series for class and denomination.
func Exists(c Class, denomination int, s Series) (Listed, bool) {
	for _, l := range List(denomination) {
		if l.Series == s && l.Class == c {
			return l, true
		}
	}
	return Listed{}, false
}

// Forms gives the series of one year in a class and denomination, without a letter first: 2017 and
// 2017A. With more than one, the small letter after the year has to be looked at.
func Forms(c Class, denomination, year int) (forms []Series) {
	for _, l := range List(denomination) {
		if l.Class == c && l.Series.Year == year {
			forms = append(forms, l.Series)
		}
	}
	return forms
}

// gapOf gives the gap a missing series falls into.
func gapOf(c Class, denomination int, s Series) (Gap, bool) {
	for _, g := range Gaps {
		if g.Class == c && slices.Contains(g.Denominations, denomination) && g.From.Compare(s) <= 0 && s.Compare(g.To) <= 0 {
			return g, true
		}
	}
	return Gap{}, false
}

// holds reports whether the series stands in the list.
func holds(list []Series, s Series) bool { return slices.Contains(list, s) }
