package patterns

import (
	"errors"
	"testing"
	"unicode/utf8"
)

// Any text is either a serial that comes back as it was, or refused.
func FuzzParseDigits(f *testing.F) {
	for _, s := range []string{"00000000", "99999999", "1234567", "1234567O", "１２３４５６７８", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if d, err := ParseDigits(s); err == nil && (d.String() != s || d >= Total) {
			t.Errorf("ParseDigits(%q) = %v", s, d)
		}
	})
}

// Any text is either a template whose example fits it, or refused with a character of the text.
func FuzzTemplate(f *testing.F) {
	for _, s := range []string{"ABBACDDC", "??1234??", "A1B2A1B2", "ABBA", "ßABACDDC", "????????"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, err := templateRule(FirstTemplate, Template{Pattern: text})
		var bad *PatternError
		switch {
		case errors.As(err, &bad) && (bad.Pos < 0 || bad.Pos > utf8.RuneCountInString(text)):
			t.Errorf("%q: %v points beyond the text", text, err)
		case err == nil && !fitsPlainly(r.Name, r.Example.String()):
			t.Errorf("%q: the example %v does not fit", text, r.Example)
		}
	})
}
