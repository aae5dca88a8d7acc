package currency

import "strings"

// A One is a series of $1 Federal Reserve notes.
type One struct {
	Series     Series
	Treasurer  string // signs at the left
	Secretary  string // of the Treasury, signs at the right
	Signed     Sure
	Districts  string // letters of the banks with ordinary notes; empty when no source was found
	Districted Sure   // means nothing without districts
	Printed    string // years, approximate
	Dated      Sure
	Source     string // for signatures and districts; what is Memory has no source
}

const (
	allBanks = "ABCDEFGHIJKL"
	unsaid   = ""
)

// Ones lists the $1 Federal Reserve notes. Up to 1969D the districts add up to the 87 notes of a
// dealer's list of 1974 [SP1]; it counts ten banks for 1969C, and that these leave out A and C is from
// memory.
var Ones = []One{
	{Series{1963, 0}, "Granahan", "Dillon", Published, allBanks, Published, "1963-65", Memory, "[SP1][CWK3][W3]"},
	{Series{1963, 'A'}, "Granahan", "Fowler", Published, allBanks, Published, "1965-69", Memory, "[SP1]"},
	{Series{1963, 'B'}, "Granahan", "Barr", Published, "BEGJL", Published, "1969", Memory, "[SP1][EB][PA]"},
	{Series{1969, 0}, "Elston", "Kennedy", Published, allBanks, Published, "1969-70", Memory, "[SP1]"},
	{Series{1969, 'A'}, "Kabis", "Kennedy", Published, allBanks, Published, "1970-71", Memory, "[SP1][PX2]"},
	{Series{1969, 'B'}, "Kabis", "Connally", Published, allBanks, Published, "1971-72", Memory, "[SP1]"},
	{Series{1969, 'C'}, "Banuelos", "Connally", Published, "BDEFGHIJKL", Memory, "1972", Memory, "[SP1]"},
	{Series{1969, 'D'}, "Banuelos", "Shultz", Published, allBanks, Published, "1972-74", Memory, "[SP1]"},
	{Series{1974, 0}, "Neff", "Simon", Memory, allBanks, Memory, "1974-77", Memory, "[PX1]"},
	{Series{1977, 0}, "Morton", "Blumenthal", Memory, allBanks, Memory, "1977-80", Memory, "from memory"},
	{Series{1977, 'A'}, "Morton", "Miller", Memory, allBanks, Memory, "1980-81", Memory, "[PX1]"},
	{Series{1981, 0}, "Buchanan", "Regan", Memory, allBanks, Memory, "1981-84", Memory, "[CSM]"},
	{Series{1981, 'A'}, "Ortega", "Regan", Memory, allBanks, Memory, "1984-86", Memory, "[CSM]"},
	{Series{1985, 0}, "Ortega", "Baker", Published, allBanks, Memory, "1986-89", Memory, "[CW15]"},
	{Series{1988, 0}, "Ortega", "Brady", Memory, allBanks, Memory, "1989-90", Memory, "from memory"},
	{Series{1988, 'A'}, "Villalpando", "Brady", Memory, allBanks, Memory, "1990-94", Memory, "from memory"},
	{Series{1993, 0}, "Withrow", "Bentsen", Memory, unsaid, Memory, "April 1994 - January 1997", Memory, "from memory"},
	{Series{1995, 0}, "Withrow", "Rubin", Memory, unsaid, Memory, "1995-99", Memory, "from memory"},
	{Series{1999, 0}, "Withrow", "Summers", Memory, unsaid, Memory, "2000-02", Memory, "[B3]"},
	{Series{2001, 0}, "Marin", "O'Neill", Memory, unsaid, Memory, "2002-03", Memory, "[B3]"},
	{Series{2003, 0}, "Marin", "Snow", Memory, unsaid, Memory, "2003-06", Memory, "[B3]"},
	{Series{2003, 'A'}, "Cabral", "Snow", Published, unsaid, Memory, "2006-07", Memory, "[CW13]"},
	{Series{2006, 0}, "Cabral", "Paulson", Published, unsaid, Memory, "2007-10", Memory, "[CW13]"},
	{Series{2009, 0}, "Rios", "Geithner", Published, unsaid, Memory, "February 2010 - 2014", Memory, "[W3][CT8]"},
	{Series{2013, 0}, "Rios", "Lew", Published, unsaid, Memory, "about February 2014 - 2018", Memory, "[CW1][CW4][CW5][NN1]"},
	{Series{2017, 0}, "Carranza", "Mnuchin", Published, unsaid, Memory, "from late 2017", Published, "[CW11]"},
	{Series{2017, 'A'}, "Carranza", "Mnuchin", Published, unsaid, Memory, "2019-2023", Memory, "[CW10]"},
	{Series{2021, 0}, "Malerba", "Yellen", Published, unsaid, Memory, "from December 2022", Published, "[CW8][CW9]"},
}

// OneOf gives the row of a series of $1 Federal Reserve notes.
func OneOf(s Series) (One, bool) {
	for _, row := range Ones {
		if row.Series == s {
			return row, true
		}
	}
	return One{}, false
}

// A DistrictRow says which banks a series of one denomination was printed for.
type DistrictRow struct {
	Denomination int
	Series       Series
	StarsOnly    bool   // speaks of star notes alone
	Banks        string // their letters
	Sure         Sure
	Source       string
}

// Twos lists what is known of the districts of $2 Federal Reserve notes.
var Twos = []DistrictRow{
	{2, Series{1976, 0}, false, allBanks, Published, "[RM]"},
	{2, Series{1995, 0}, false, "F", Memory, "from memory"},
	{2, Series{2003, 0}, false, "I", Memory, "from memory"},
	{2, Series{2017, 'A'}, false, "ABCDEGHIJKL", Published, "[CW10]"},
	{2, Series{2017, 'A'}, true, "C", Published, "[CW10]"},
}

// DistrictsOf gives the banks a series of Federal Reserve notes was printed for; ok is false when no
// list was found.
func DistrictsOf(denomination int, s Series, star bool) (row DistrictRow, ok bool) {
	if one, found := OneOf(s); denomination == 1 && found && one.Districts != unsaid {
		return DistrictRow{1, s, false, one.Districts, one.Districted, sourceOr(one.Districted, one.Source)}, true
	}
	for _, r := range Twos {
		if r.Denomination == denomination && r.Series == s && (star || !r.StarsOnly) {
			row, ok = r, true // a row of stars stands behind the row of all
		}
	}
	return row, ok
}

// has reports whether the row names the bank.
func (r DistrictRow) has(letter byte) bool { return strings.IndexByte(r.Banks, letter) >= 0 }

// sourceOr gives the source of a fact, or that it is from memory.
func sourceOr(s Sure, source string) string {
	if s == Memory {
		return fromMemory
	}
	return source
}

const (
	fromMemory = "from memory"
	practice   = "common practice, no source"
)
