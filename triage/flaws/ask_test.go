package flaws

import (
	"strings"
	"testing"
	"unicode"

	"app/unband/triage/currency"
)

func TestHelpInFull(t *testing.T) {
	got := Help(HelpFacts{
		Denomination: 1,
		Class:        currency.FederalReserveNote,
		Series:       "2017A",
		Serial:       "B12345678*",
		HideDigits:   4,
		Facility:     currency.FortWorth,
		Position:     "H4",
		FacePlate:    "FW H 12",
		BackPlate:    "345",
		Seal:         currency.Green,
		Grade:        ExtremelyFine,
		Defects:      Fold | OffCentre,
		Stamp:        true,
		Face:         "a faint mirrored image of the back",
		Back:         "nothing odd",
		From:         "a new strap, third note from the top",
		Trail:        Start().Answer(Yes).Answer(Yes).Answer(Unsure).Trail(),
	})
	want := `Question: What is this, an error or damage?
Denomination: $1
Class: Federal Reserve note
Series: 2017A
Serial: B1234xxxx*
Star: behind the digits
Facility: Fort Worth (FW)
Note position: H4
Face plate: FW H 12
Back plate: 345
Seal: green
Condition: Extremely Fine (EF, 40-45)
Defects: fold, off centre
Stamp: of a bill-tracking hobbyist
On the face: a faint mirrored image of the back
On the back: nothing odd
It came from: a new strap, third note from the top
Looked at:
- Is there print that should not be there: a ghost of the other side, serials or seals twice or on the back, a streak of ink? yes
- Can you make out letters, numbers or a part of the design in it? yes
- Is that extra image mirrored? unsure
`
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestHelpSaysWhatIsNotSaid(t *testing.T) {
	got := Help(HelpFacts{Denomination: 5, Serial: "MB12345678A", Question: "Which error is it?"})
	want := `Question: Which error is it?
Denomination: $5
Serial: MB12345678A
Not said: class, series, facility, note position, face plate, back plate, seal, condition, on the face, on the back
`
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestHelpSerials(t *testing.T) {
	for _, c := range []struct {
		why            string
		serial, second string
		hide           int
		want           []string
	}{
		{"hiding the last four must not hide the mismatch of case E01", "B57104900A", "B57104899A", 4,
			[]string{"Serial: B5710xxxxA\n", "Second serial: B5710xxxxA (differs in digit 6, 7, 8, counted from the left)\n"}},
		{"a letter differs, case E03", "D12345678A", "K12345678A", 8,
			[]string{"Serial: DxxxxxxxxA\n", "Second serial: KxxxxxxxxA (differs in a letter or the star, the digits agree)\n"}},
		{"typed with blanks and small letters", "b 12345678 a", "B12345678A", 0, []string{"Serial: B12345678A\n", "Second serial: B12345678A (the same)\n"}},
		{"the second was typed short", "B12345678A", "B1234567A", 0, []string{"(differs in length)"}},
		{"only the second was read", "", "B12345678A", 4, []string{"Second serial: B1234xxxxA\n"}},
		{"star in front, silver certificate", "*12345678A", "", 4, []string{"Serial: *1234xxxxA\n", "Star: before the digits\n"}},
		{"fewer digits than are hidden", "B12", "", 4, []string{"Serial: Bxx\n"}},
		{"more hidden than there are", "B12345678A", "", 99, []string{"Serial: BxxxxxxxxA\n"}},
		{"nothing hidden by a number below zero", "B12345678A", "", -3, []string{"Serial: B12345678A\n"}},
	} {
		got := Help(HelpFacts{Serial: c.serial, Second: c.second, HideDigits: c.hide})
		for _, w := range c.want {
			if !strings.Contains(got, w) {
				t.Errorf("%s: no %q in\n%s", c.why, w, got)
			}
		}
	}
}

// No digit that is to be hidden gets out, whatever is typed; nothing steers the terminal.
func FuzzHelp(f *testing.F) {
	f.Add("B12345678*", "B12345679*", "a line\nbreak \x1b]52;c;eA==\x07", 4)
	f.Add("\u202e8765", "", "\r\x9b31m", 8)
	f.Fuzz(func(t *testing.T, serial, second, face string, n int) {
		got := Help(HelpFacts{Serial: serial, Second: second, Face: face, HideDigits: n})
		for _, r := range got {
			if unicode.IsControl(r) && r != '\n' {
				t.Fatalf("control character %U in %q", r, got)
			}
		}
		if strings.Count(got, "\n") > 9 {
			t.Fatalf("a typed text made lines of its own: %q", got)
		}
		if n < 8 || len(digitsOf(serial)) > 8 {
			return
		}
		for line := range strings.Lines(got) {
			if strings.HasPrefix(line, "Serial: ") && digitsOf(line) != "" {
				t.Fatalf("a hidden digit is shown: %q", line)
			}
		}
	})
}
