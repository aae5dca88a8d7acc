package triage

import (
	"testing"

	"pgregory.net/rapid"
)

// The letters and forms are those of BEP, Serial Numbers; I… and V… are cases of collectors'
// questions the program was made for.
func TestEntry(t *testing.T) {
	for _, c := range []struct {
		why   string
		denom Denomination
		typed string
		want  string // as printed; digits past the eighth stand too
		said  NoticeKind
	}{
		{"a $1", 1, "B70633607C", "B70633607C", Quiet},
		{"small letters, spaces and hyphens", 1, "b 7063-3607 c", "B70633607C", Quiet},
		{"digits alone are enough", 1, "70633607", "70633607", Quiet},
		{"a $5 and up has two letters in front", 20, "MB70633607C", "MB70633607C", Quiet},
		{"a star behind", 1, "B04417225*", "B04417225*", Quiet},
		{"V06: a star in front, as on silver certificates", 1, "*04417225A", "*04417225A", Quiet},
		{"I02: letter O among the digits is a zero", 1, "H1O2OO2O1C", "H10200201C", OTakenAsZero},
		{"I06: O in the eighth place is a zero, and said", 1, "B1234567O", "B12345670", OTakenAsZero},
		{"I07: nine digits are shown, not cut", 1, "L447102233", "L447102233", TooManyDigits},
		{"V03: a second letter on a $1 is left out", 1, "MB20443155A", "M20443155A", SecondPrefix},
		{"V04: there is no suffix O", 1, "G55123807O", "G55123807", NoSuchSuffix},
		{"a letter among the digits is left out", 1, "G55B12380", "G5512380·", LetterAmongDigits},
		{"a star among the digits is left out", 1, "G55*12380", "G5512380·", StarAmongDigits},
		{"no third letter", 20, "MBC70633607", "MB70633607", ThirdPrefix},
		{"one suffix", 1, "G55123807AB", "G55123807A", SecondSuffix},
		{"a suffix or a star", 1, "G55123807A*", "G55123807A", StarAndSuffix},
		{"a star or a suffix", 1, "G55123807*A", "G55123807*", StarAndSuffix},
		{"what is no part of a serial", 1, "G5%", "G5·······", UnknownKey},
	} {
		e := newEntry(c.denom)
		said := Quiet
		for _, r := range c.typed {
			if n := e.Type(r); n.Kind != Quiet {
				said = n.Kind
			}
		}
		if e.String() != c.want || said != c.said {
			t.Errorf("%s: %q gave %q and notice %d, want %q and %d", c.why, c.typed, e.String(), said, c.want, c.said)
		}
	}
}

func TestDoubts(t *testing.T) {
	for _, c := range []struct {
		why, typed string
		denom      Denomination
		want       []Doubt
	}{
		{"nothing wrong", "B70633607C", 1, nil},
		{"V01: M is no bank", "M31744713C", 1, []Doubt{DoubtPrefix}},
		{"M is a series letter on a $20, B the bank", "MB31744713C", 20, nil},
		{"Z is for test printings", "B31744713Z", 1, []Doubt{DoubtSuffixZ}},
		{"V06: star in front", "*04417225A", 1, []Doubt{DoubtStarFront}},
		{"V18: Z is used on the old classes", "*00911324Z", 2, []Doubt{DoubtStarFront}},
		{"P39: all zeros", "A00000000A", 1, []Doubt{DoubtAllZero}},
		{"V13: above the cap of a $1", "F96012345B", 1, []Doubt{DoubtAboveTop}},
		{"the cap itself is fine", "F96000000B", 1, nil},
		{"the same number on a $100", "PF96012345B", 100, nil},
		{"incomplete: nothing to doubt yet", "M3174", 1, nil},
	} {
		e := newEntry(c.denom)
		for _, r := range c.typed {
			e.Type(r)
		}
		got := e.Doubts()
		if len(got) != len(c.want) {
			t.Errorf("%s: %q has doubts %v, want %v", c.why, c.typed, got, c.want)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%s: %q has doubts %v, want %v", c.why, c.typed, got, c.want)
			}
		}
	}
}

// Whatever is typed, an entry can be taken back key by key to nothing, and each character that was
// taken without a word stands in it.
func TestEntryCanBeTakenBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := newEntry(rapid.SampledFrom(Denominations).Draw(t, "denomination"))
		for _, r := range rapid.StringMatching(`[A-Za-z0-9* %é-]{0,30}`).Draw(t, "typed") {
			before := e.String()
			n := e.Type(r)
			if n.Kind != Quiet && n.Kind != OTakenAsZero && n.Kind != TooManyDigits && e.String() != before {
				t.Fatalf("%q was left out (notice %d) but changed %q to %q", r, n.Kind, before, e.String())
			}
		}
		for i := 0; !e.Empty(); i++ {
			if n := e.Erase(); n.Kind != Quiet || i > 20 {
				t.Fatalf("%q cannot be taken back: notice %d", e.String(), n.Kind)
			}
		}
		if e.Erase().Kind != NothingToErase {
			t.Fatal("an empty entry was taken back")
		}
	})
}
