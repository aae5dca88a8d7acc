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

// What the letters and the number say is asked of package currency, whose own tests have the cases;
// here it is held that the note in hand asks, and that only what does not fit makes it doubtful.
func TestDoubtfulNotes(t *testing.T) {
	for _, c := range []struct {
		why, typed, series string
		denom              Denomination
		want               bool
	}{
		{"nothing wrong", "B70633607C", "", 1, false},
		{"V01: M is no bank", "M31744713C", "", 1, true},
		{"M is a series letter on a $20, B the bank", "MB31744713C", "", 20, false},
		{"Z is for test printings", "B31744713Z", "", 1, true},
		{"P39: all zeros", "A00000000A", "", 1, true},
		{"V13: above the cap of a $1", "F96012345B", "2017", 1, true},
		{"the cap itself is fine", "F96000000B", "2017", 1, false},
		{"the same number on a $100", "PF96012345B", "", 100, false},
		{"V08: no $1 of Series 2004", "B70633607C", "2004", 1, true},
		{"V10: 1963B was not printed for Atlanta", "F70633607C", "1963B", 1, true},
		{"V11: letter N is 2017, the series 2017A", "NL55018823B", "2017A", 20, true},
		{"incomplete: nothing to doubt yet", "M3174", "", 1, false},
	} {
		b := newBench(t, 100)
		b.s.session.Denomination = c.denom
		b.s.next(b.now)
		if err := b.s.hand.SetFacts(Facts{Series: c.series}, b.now); err != nil {
			t.Fatal(err)
		}
		b.play(c.typed)
		if got := b.s.Hand().Doubtful(); got != c.want {
			t.Errorf("%s: %s of %q is doubtful: %v; %+v", c.why, c.typed, c.series, got, b.s.Hand().Remarks())
		}
	}
}

func TestOldSeriesStop(t *testing.T) {
	for series, want := range map[string]bool{"": false, "1995": true, "2001": true, "2003": false, "2017A": false} {
		b := newBench(t, 100)
		b.s.rules.OldBefore = "2003"
		b.s.next(b.now)
		if err := b.s.hand.SetFacts(Facts{Series: series}, b.now); err != nil {
			t.Fatal(err)
		}
		b.play("B48160297C")
		if got := b.s.Hand().Hit(); got != want {
			t.Errorf("series %q stops: %v, want %v", series, got, want)
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
