package patterns

import (
	"fmt"
	"slices"
)

// LadderZero says what may follow a nine in a ladder.
type LadderZero string

// What may follow a nine in a ladder.
const (
	NoZero    LadderZero = "no"   // a ladder ends at nine: 6 serials. Also meant by ""
	ZeroAsTen LadderZero = "ten"  // zero counts as ten at the high end: 34567890; 8 serials
	AnyWrap   LadderZero = "wrap" // zero follows nine and one follows: 67890123; 20 serials
)

// BinaryMeaning says what the word binary means.
type BinaryMeaning string

// What the word binary means.
const (
	AnyTwo     BinaryMeaning = "any two" // exactly two different digits, whichever. Also meant by ""
	ZeroAndOne BinaryMeaning = "0 and 1" // only the digits 0 and 1
)

// Settings are the definitions people dispute, and the user's own patterns. The zero value can be
// used: the narrowest definitions, no dates and nothing own.
type Settings struct {
	LadderZero    LadderZero    `json:"ladder_zero"`
	OneTurns      bool          `json:"one_turns"` // 1 reads as 1 upside down
	Binary        BinaryMeaning `json:"binary"`
	BinaryPowers  bool          `json:"binary_powers"`  // 00000001, 00000010, ... count as true binary
	SolidAlso     bool          `json:"solid_also"`     // a solid counts as radar, repeater, ... too
	LowLimit      Digits        `json:"low_limit"`      // highest low number; 0 for none
	FourDifferent bool          `json:"four_different"` // four pairs must be four different digits
	HighFrom      Digits        `json:"high_from"`      // lowest high number
	HighTo        Digits        `json:"high_to"`        // highest high number; 0 for none

	MonthFirst bool `json:"month_first"` // MMDDYYYY is a date
	DayFirst   bool `json:"day_first"`   // DDMMYYYY is a date
	YearFirst  bool `json:"year_first"`  // YYYYMMDD is a date
	FromYear   int  `json:"from_year"`   // 1 to 9999
	ToYear     int  `json:"to_year"`     // 1 to 9999, not before FromYear

	Templates []Template  `json:"templates,omitempty"` // at most 16
	Numbers   []OwnNumber `json:"numbers,omitempty"`
}

// DefaultSettings gives the definitions that hold unless the user chooses others.
func DefaultSettings() Settings {
	return Settings{
		LadderZero:   NoZero,
		OneTurns:     true,
		Binary:       AnyTwo,
		BinaryPowers: true,
		SolidAlso:    true,
		LowLimit:     100,
		HighFrom:     95_990_000,
		HighTo:       96_000_000,
		MonthFirst:   true,
		DayFirst:     true,
		YearFirst:    true,
		FromYear:     1900,
		ToYear:       2025,
	}
}

func (s Settings) clone() Settings {
	s.Templates, s.Numbers = slices.Clone(s.Templates), slices.Clone(s.Numbers)
	return s
}

// A SettingError says which setting cannot be used, and why.
type SettingError struct {
	Setting string // its name in JSON
	Reason  string
}

func (e *SettingError) Error() string { return "setting " + e.Setting + ": " + e.Reason }

// check finds what no book can be made of.
func (s Settings) check() error {
	switch {
	case !slices.Contains([]LadderZero{"", NoZero, ZeroAsTen, AnyWrap}, s.LadderZero):
		return &SettingError{"ladder_zero", fmt.Sprintf("%q is unknown; use no, ten or wrap", s.LadderZero)}
	case !slices.Contains([]BinaryMeaning{"", AnyTwo, ZeroAndOne}, s.Binary):
		return &SettingError{"binary", fmt.Sprintf("%q is unknown; use \"any two\" or \"0 and 1\"", s.Binary)}
	case s.LowLimit >= Total:
		return &SettingError{"low_limit", fmt.Sprintf("%d has more than eight digits", s.LowLimit)}
	case s.HighTo >= Total:
		return &SettingError{"high_to", fmt.Sprintf("%d has more than eight digits", s.HighTo)}
	case s.HighTo > 0 && s.HighFrom > s.HighTo:
		return &SettingError{"high_from", fmt.Sprintf("the lowest high number, %v, is above the highest, %v", s.HighFrom, s.HighTo)}
	case len(s.orders()) == 0:
		return nil
	case s.FromYear < 1 || s.ToYear > 9999:
		return &SettingError{"from_year", fmt.Sprintf("the years %d to %d are not all between 1 and 9999", s.FromYear, s.ToYear)}
	case s.FromYear > s.ToYear:
		return &SettingError{"from_year", fmt.Sprintf("the first year, %d, comes after the last, %d", s.FromYear, s.ToYear)}
	}
	return nil
}
