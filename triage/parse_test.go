package triage

import (
	"strings"
	"testing"

	"app/unband/patterns"
)

// The I… cases are collectors' questions the program was made for; none has a published answer.
func TestParseSerial(t *testing.T) {
	for _, c := range []struct{ why, text, want, says string }{
		{"a $1", "B70633607C", "B70633607C", ""},
		{"a $5 and up, as people write it", " mb 7063-3607 c ", "MB70633607C", ""},
		{"a star", "F01873355*", "F01873355*", ""},
		{"a star in front", "*04417225A", "*04417225A", ""},
		{"digits alone", "70633607", "70633607", ""},
		{"I02: letter O among the digits", "H1O2OO2O1C", "H10200201C", "taken as the digit 0 at places 2, 4, 5, 7"},
		{"I06: O in the eighth place, two repairs possible", "B1234567O", "B12345670", "one digit is missing"},
		{"I09: nothing behind the digits", "G20174410", "G20174410", "whether it is a star note is not known"},
		{"I01: a leading zero was lost", "B5500550F", "", "leading zero"},
		{"I04: digits a machine could not read", "K3?4554?3D", "", "2 digits are unread"},
		{"I07: seven digits", "L4471023C", "", "7 digits"},
		{"I07: nine digits", "L447102233C", "", "9 digits"},
		{"V04: no suffix O", "G55123807O", "", "never printed"},
		{"three letters", "ABC70633607", "", "three letters"},
		{"nothing", "", "", "0 digits"},
		{"too long", strings.Repeat("7", 1000), "", "1000 characters"},
		{"a control sequence", "\x1b[2J", "", "has no place"},
	} {
		s, notices, err := ParseSerial(c.text)
		said := ""
		for _, n := range notices {
			said += n.String()
		}
		if err != nil {
			said = err.Error()
		}
		got := ""
		if err == nil {
			got = s.String()
		}
		if got != c.want || !strings.Contains(said, c.says) || c.says == "" && said != "" {
			t.Errorf("%s: %q gives %q and says %q, want %q and %q", c.why, c.text, got, said, c.want, c.says)
		}
		if strings.ContainsRune(said, '\x1b') {
			t.Errorf("%s: the message could move the cursor: %q", c.why, said)
		}
	}
}

func FuzzParseSerial(f *testing.F) {
	for _, s := range []string{"B70633607C", "*04417225A", "H1O2OO2O1C", "K3?4554?3D", "", "\xff\x00★"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, _, err := ParseSerial(text)
		if err != nil {
			return
		}
		again, _, err := ParseSerial(s.String())
		if err != nil || again != s {
			t.Fatalf("%q gives %q, which gives %q (%v)", text, s, again, err)
		}
	})
}

func TestTested(t *testing.T) {
	all := patterns.Set(0).With(patterns.Radar).With(patterns.Trinary)
	watch := patterns.Watch{Hit: patterns.Set(0).With(patterns.Radar)}
	for digits, want := range map[string]patterns.Set{"48160297": all, "481602": watch.Hit, "": 0} {
		if got := (Note{Serial: Serial{Digits: digits}}).Tested(all, watch); got != want {
			t.Errorf("%q was tested for %b, want %b", digits, got, want)
		}
	}
}
