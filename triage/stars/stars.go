// Package stars resolves kept star notes in batches: it makes the work list, keeps the list of
// printed star runs that the person enters or imports, and says of each star which run it is from.
//
// What the list does not know is said to be unknown, never to be scarce: lists end, and published
// reports have left runs out. Nothing here appraises a note.
//
// The package is pure: no clock, no files. Equal input, equal output.
package stars

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/currency"
)

// A Star is a star note of the batch. Series "" and Bank 0 stand for what is not known yet.
type Star struct {
	Place        triage.Place // which note it is; stars with equal places are not told apart
	Denomination triage.Denomination
	Series       string // as printed, "2017A"
	Bank         byte   // the Federal Reserve Bank, 'A' to 'L'
	Prefix       string // as typed: one letter, or the series letter and the bank's
	Number       patterns.Digits
	Facility     Facility // by the FW on the note, where someone has looked
	Front        bool     // the star stands in front: an older class, which names no bank and has no list of runs
	Suffix       byte     // of a star in front
}

// String gives the serial as it is printed on the note.
func (s Star) String() string {
	if s.Front {
		return triage.Serial{Digits: s.Number.String(), Suffix: s.Suffix, Star: true, StarFront: true}.String()
	}
	return s.Prefix + s.Number.String() + "*"
}

// Group gives the group that the star is looked up in.
func (s Star) Group() Group { return Group{s.Denomination, s.Series, s.Bank} }

// Of makes a star of a kept star note. Missing names in plain words what must be known before it can
// be looked up: it is empty for a star that is ready. The bank is the last letter of the prefix (BEP,
// Serial Numbers; U.S. Currency Education Program, note identifiers).
func Of(n triage.Note, d triage.Denomination) (s Star, missing []string) {
	s = Star{Place: n.Place(), Denomination: d, Series: n.Series, Prefix: n.Serial.Prefix, Facility: n.Facility, Front: n.Serial.StarFront, Suffix: n.Serial.Suffix}
	var whole bool
	if s.Number, whole = n.Serial.Whole(); !whole {
		missing = append(missing, "all eight digits")
	}
	if what := s.bank(n.Serial.StarFront); what != "" {
		missing = append(missing, what)
	}
	if s.Series == "" {
		missing = append(missing, "series")
	}
	return s, missing
}

// bank sets the bank by the prefix, or says what is missing for it.
func (s *Star) bank(front bool) string {
	if front {
		return "a Federal Reserve Bank: a star in front of the digits is of an older class, which names none"
	}
	if s.Prefix == "" {
		return "prefix"
	}
	if len(s.Prefix) == 1 && twoLetters(s.Denomination, s.Series) {
		return "second letter of the prefix, which is the bank's"
	}
	letter := s.Prefix[len(s.Prefix)-1]
	if !bankLetter(letter) {
		return "a bank letter: " + triage.Printable(s.Prefix[len(s.Prefix)-1:]) + " is not one of A to L"
	}
	s.Bank = letter
	return ""
}

// twoLetters reports whether notes of the series have the series letter in front of the bank's: $5
// and up from Series 1996 on (BEP, Series 1996-2001 Currency Note Summary).
func twoLetters(d triage.Denomination, series string) bool { return d > 2 && year(series) >= 1996 }

// year gives the year of a series in its printed form; 0 for anything else.
func year(series string) int {
	if len(series) < 4 {
		return 0
	}
	y, _ := strconv.Atoi(series[:4])
	return y
}

// bankLetter reports whether the letter names one of the twelve Federal Reserve Banks.
func bankLetter(l byte) bool {
	_, ok := currency.BankOf(l)
	return ok
}

// BankName gives the city of a Federal Reserve Bank; "" for a letter that is none's.
func BankName(letter byte) string {
	b, _ := currency.BankOf(letter)
	return b.City
}

// CompareSeries orders series as they were made: by year, then by the letter after it, the plain year
// first. What is not known ("") comes last.
func CompareSeries(a, b string) int {
	if a == "" || b == "" {
		return strings.Compare(b, a)
	}
	return strings.Compare(a, b) // the year has four digits always, and a plain year is the shorter text
}

// A Group is what one look-up is for: the stars of one denomination, series and bank.
type Group struct {
	Denomination triage.Denomination
	Series       string // "" when it is not known
	Bank         byte   // 0 when it is not known
}

// Compare orders groups as the work list has them: denomination, series, district. What is not
// known comes last.
func (g Group) Compare(h Group) int {
	return cmp.Or(
		cmp.Compare(g.Denomination, h.Denomination),
		CompareSeries(g.Series, h.Series),
		cmp.Compare(g.Bank-1, h.Bank-1), // 0 becomes 255
	)
}

// Known reports whether the group can be looked up.
func (g Group) Known() bool { return g.Denomination.Valid() && g.Series != "" && g.Bank != 0 }

// String names the group: "$1 Series 2009 New York (B)".
func (g Group) String() string {
	series, bank := "series unknown", "bank unknown"
	if g.Series != "" {
		series = "Series " + g.Series
	}
	if g.Bank != 0 {
		bank = BankName(g.Bank) + " (" + string(rune(g.Bank)) + ")"
	}
	return g.Denomination.String() + " " + triage.Printable(series) + " " + bank
}

// A Lookup is one line of the work list: a group and its stars by number.
type Lookup struct {
	Group
	Stars []Star
}

// Batch makes the work list of stars: one look-up for each group, in the order of denomination,
// series, district; the stars of a group are in the order of their numbers.
func Batch(stars []Star) []Lookup {
	sorted := slices.Clone(stars)
	slices.SortStableFunc(sorted, compareStars)
	var list []Lookup
	for from := 0; from < len(sorted); {
		g, to := sorted[from].Group(), from+1
		for to < len(sorted) && sorted[to].Group() == g {
			to++
		}
		list = append(list, Lookup{g, sorted[from:to:to]})
		from = to
	}
	return list
}

func compareStars(a, b Star) int {
	return cmp.Or(
		a.Group().Compare(b.Group()),
		cmp.Compare(a.Number, b.Number),
		cmp.Compare(a.Place.Session, b.Place.Session),
		cmp.Compare(a.Place.Strap, b.Place.Strap),
		cmp.Compare(a.Place.Position, b.Place.Position),
	)
}
