package triage

import (
	"strings"

	"app/unband/patterns"
)

// A Serial is a serial number as it was typed: letters and star may be missing, and fewer than
// eight digits stand when the note was settled or glanced at before the rest was read.
type Serial struct {
	Prefix    string // none, one or two capital letters before the digits
	Digits    string // none to eight characters, each 0 to 9
	Suffix    byte   // capital letter after the digits, 0 when not typed
	Star      bool   // a star note
	StarFront bool   // the star stands before the digits, as on the classes before Federal Reserve notes
}

// Whole gives the eight digits as a number; ok is false while there are fewer.
func (s Serial) Whole() (d patterns.Digits, ok bool) {
	if len(s.Digits) != 8 {
		return 0, false
	}
	d, err := patterns.ParseDigits(s.Digits)
	return d, err == nil
}

// Empty reports whether nothing has been typed.
func (s Serial) Empty() bool { return s == Serial{} }

// String gives the serial as it is printed on a note, with · for each digit that was not typed.
func (s Serial) String() string {
	var b strings.Builder
	if s.StarFront {
		b.WriteByte('*')
	}
	b.WriteString(s.Prefix)
	b.WriteString(s.Digits)
	for i := len(s.Digits); i < 8; i++ {
		b.WriteString("·")
	}
	if s.Suffix != 0 {
		b.WriteByte(s.Suffix)
	}
	if s.Star && !s.StarFront {
		b.WriteByte('*')
	}
	return b.String()
}
