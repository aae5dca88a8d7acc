package currency

import (
	"slices"
	"strings"
)

// A reading is a note with what follows from it: the class and the series that were not said but can
// be told, and whether they are certain.
type reading struct {
	Note
	class    Class  // FederalReserveNote where nothing points elsewhere
	certain  bool   // the class was said or follows from series or letters
	series   Series // as said, else by the first of two prefix letters
	byLetter bool   // the series is by the letter
}

// read works out class and series. Capital letters are made of small ones.
func read(n Note) reading {
	n.Prefix = strings.ToUpper(strings.TrimSpace(n.Prefix))
	n.Suffix, n.SealLetter = upper(n.Suffix), upper(n.SealLetter)
	r := reading{Note: n, series: n.Series}
	if row, ok := SeriesOfLetter(r.seriesLetter()); ok && !n.Series.Known() {
		r.series, r.byLetter = row.Series, true
	}
	r.class, r.certain = r.classify()
	return r
}

func upper(letter byte) byte {
	if 'a' <= letter && letter <= 'z' {
		return letter - 'a' + 'A'
	}
	return letter
}

// seriesLetter gives the first of two prefix letters on a $5 or higher, else 0.
func (r reading) seriesLetter() byte {
	if len(r.Prefix) != 2 || 0 < r.Denomination && r.Denomination < 5 {
		return 0
	}
	return r.Prefix[0]
}

// bankLetter gives the prefix letter that names the bank, 0 while there is none.
func (r reading) bankLetter() byte {
	if r.Prefix == "" {
		return 0
	}
	return r.Prefix[len(r.Prefix)-1]
}

// classify gives the class: as said; by the series, when it was printed in one class alone; by the
// seal; by two prefix letters. Else it takes the note for a Federal Reserve note and is not certain.
func (r reading) classify() (Class, bool) {
	if r.Class != ClassUnknown {
		return r.Class, true
	}
	found := find(r.Denomination, r.series)
	bySeal := ClassOfSeal(r.Denomination, r.series, r.Seal)
	fits := func(l Listed) bool { return l.Class == bySeal }
	switch {
	case len(found) == 1:
		return found[0].Class, true
	case bySeal != ClassUnknown && (len(found) == 0 || slices.ContainsFunc(found, fits)):
		return bySeal, true
	case len(r.Prefix) == 2:
		return FederalReserveNote, true
	case r.series.Compare(Series{1969, 0}) >= 0:
		return FederalReserveNote, true // the other classes end with Series 1966A
	case len(found) > 1 && !slices.ContainsFunc(found, ordinary):
		return found[0].Class, false
	}
	return FederalReserveNote, false
}

func ordinary(l Listed) bool { return l.Class == FederalReserveNote }

// bank reports whether the class has a bank's letter in front of the digits.
func (r reading) bank() bool { return r.class == FederalReserveNote }

// old reports whether the class is certainly one of the older ones.
func (r reading) old() bool { return r.certain && !r.bank() }
