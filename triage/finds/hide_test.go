package finds

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/flaws"
)

// aNumber is any serial, or one with a pattern or near one.
func aNumber() *rapid.Generator[string] {
	four := rapid.StringMatching(`[0-9]{4}`)
	edited := rapid.Custom(func(t *rapid.T) string { // one digit off a rare one
		b := []byte(rapid.SampledFrom([]string{"12345678", "00000087", "44444444", "70633607", "50715071", "16800891", "02000000"}).Draw(t, "rare"))
		b[rapid.IntRange(0, 7).Draw(t, "place")] = byte('0' + rapid.IntRange(0, 9).Draw(t, "digit"))
		return string(b)
	})
	return rapid.OneOf(rapid.StringMatching(`[0-9]{8}`), rapid.StringMatching(`[08]{8}`), rapid.StringMatching(`9[6-9][0-9]{6}`), edited,
		rapid.Map(four, func(s string) string { return s + s }),
		rapid.Map(four, func(s string) string { return s + string([]byte{s[3], s[2], s[1], s[0]}) }),
		rapid.SampledFrom([]string{"12345678", "00000087", "07000000", "44444444", "56123498", "02291988", "96699669", "80000008", "01101110", "00103400", "12345679", "00000187", "07000001"}))
}

// other gives the digits other names: what is alike stays alike.
func other(digits string, names []byte) string {
	b := []byte(digits)
	for i, c := range b {
		b[i] = names[c-'0']
	}
	return string(b)
}

// What a name in alike says holds for any digits: so it tells none. A serial with such a name has two different
// digits at least, so that there are ninety of its kind or more.
func TestAlikeTellsNoDigit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		digits := aNumber().Draw(t, "digits")
		renamed := other(digits, rapid.Permutation([]byte("0123456789")).Draw(t, "names"))
		hits, near := note("B"+digits+"C", triage.Keep, nil).Hits, note("B"+digits+"C", triage.Keep, nil).Near
		n := note("B"+renamed+"C", triage.Keep, nil)
		if hits&alike != n.Hits&alike || near&alike != n.Near&alike {
			t.Fatalf("%s and %s differ in a name that should tell no digit", digits, renamed)
		}
	})
	for _, r := range book().Rules() {
		if alike.Has(r.ID) && r.Total < 90 {
			t.Errorf("there are only %d of %s", r.Total, r.Name)
		}
	}
}

// kindOf is all that may be learned of a number whose last digits are hidden: which of the rules in alike it
// meets, else that it has some pattern, else the first digits.
func kindOf(n triage.Note, hide int) string {
	d, _ := n.Serial.Whole()
	j := book().Judge(d)
	watch := session().Watch
	var hits, near patterns.Set
	for _, f := range j.Findings {
		hits = hits.With(f.Rule)
	}
	hits &= watch.Hit
	for _, miss := range triage.TellNear(book(), watch, j) {
		if r, _ := book().Rule(miss.Rule); r.Total < patterns.Total/5000 {
			near = near.With(r.ID)
		}
	}
	switch {
	case hits != 0 && n.Decision != triage.Keep:
		return fmt.Sprint("spent, and near something: ", near != 0)
	case hits&alike != 0:
		return fmt.Sprint("hits ", (hits & alike).IDs())
	case hits>>patterns.FirstTemplate != 0:
		return "own"
	case hits != 0:
		return "meaning"
	case near&alike != 0:
		return fmt.Sprint("near ", (near & alike).IDs())
	case near != 0:
		return "near meaning"
	}
	return n.Serial.Digits[:8-hide]
}

// Hidden digits cannot be read off the page: two notes of which the same may be learned have the same page to
// the last letter, though all that is written about them names their digits.
func TestHiddenDigits(t *testing.T) {
	same := 0
	compare := func(t *rapid.T) {
		hide := rapid.IntRange(1, 8).Draw(t, "hide")
		a := aNumber().Draw(t, "digits")
		b := rapid.OneOf(aNumber(),
			rapid.Map(rapid.Permutation([]byte("0123456789")), func(names []byte) string { return other(a, names) }),
			rapid.Map(rapid.StringMatching(`[0-9]{8}`), func(s string) string { return a[:8-hide] + s[8-hide:] })).Draw(t, "others")
		star, old, flaw, stamp, keep := rapid.Bool().Draw(t, "star"), rapid.Bool().Draw(t, "old"), rapid.Bool().Draw(t, "flaw"), rapid.Bool().Draw(t, "stamp"), rapid.Bool().Draw(t, "keep")
		page := func(digits string) (string, string) {
			n := note("B"+digits+"C", triage.Spend, nil)
			if keep {
				n.Decision = triage.Keep
			}
			if n.Stamp = stamp; star {
				n.Serial.Suffix, n.Serial.Star = 0, true
			}
			if old {
				n.Series = "1985"
			}
			if flaw {
				n.Flaw, n.Face, n.Back = flaws.MismatchedSerials, "it reads "+digits, "nothing of "+digits[4:]
			}
			n.Remark, n.Reason, n.Second = "number "+digits[:4]+" "+digits[4:], digits[5:], digits
			s := session()
			s.Name = "the night of " + digits
			return Text(Make(s, []triage.Note{n}, book(), Options{HideDigits: hide, Star: func(triage.Note) string { return "Run: " + digits }})), kindOf(n, hide)
		}
		one, kind := page(a)
		two, kind2 := page(b)
		if kind != kind2 {
			return
		}
		if a != b {
			same++
		}
		if one != two {
			t.Fatalf("%s and %s are both %q, but their pages differ:\n%s\n%s", a, b, kind, one, two)
		}
	}
	// With -short rapid draws fewer pairs, so it goes on until enough different ones were compared.
	for round := 0; round < 50 && (round == 0 || same < 20) && !t.Failed(); round++ {
		rapid.Check(t, compare)
	}
	if same < 20 {
		t.Errorf("only %d pairs of different numbers were compared", same)
	}
}

// What one note shows of its number must not give away another's that is hidden because of its pattern, as notes
// of one strap have nearly the same number; nor may two that follow each other show where the nines end.
func TestHiddenBesideEachOther(t *testing.T) {
	flawed := func(n *triage.Note) { n.Flaw = flaws.GutterFold }
	for _, c := range []struct {
		a, b triage.Note
		want string
		why  string
	}{
		{note("B70633607C", triage.Keep, nil), note("B70633612C", triage.Keep, flawed), "BxxxxxxxxC BxxxxxxxxC", "a radar, and an error of the same strap"},
		{note("B70633607C", triage.Keep, nil), note("B12870946C", triage.Keep, flawed), "BxxxxxxxxC B1287xxxxC", "far from each other"},
		{note("G35129999A", triage.Keep, flawed), note("G35130000A", triage.Keep, nil), "GxxxxxxxxA GxxxxxxxxA", "they follow each other over the shown digits"},
		{note("G35120846A", triage.Keep, flawed), note("G35120847A", triage.Keep, nil), "G3512xxxxA G3512xxxxA", "they follow each other, and show the same"},
	} {
		c.b.Position = 2
		var got []string
		for _, s := range Make(session(), []triage.Note{c.a, c.b}, book(), Options{HideDigits: 4}).Sections {
			for _, i := range s.Items {
				got = append(got, i.Serial)
				if strings.Contains(strings.Join(i.Also, " ")+i.Words, "beside") && !strings.Contains(strings.Join(i.Also, " ")+i.Words, "beside another find") {
					t.Errorf("%s: %+v names its neighbour", c.why, i)
				}
			}
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s, want %s: %s", strings.Join(got, " "), c.want, c.why)
		}
	}
}

// Any two notes on a page: none shows digits of a number close to one that is told as a pattern.
func TestNothingShownNearAPattern(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hide := rapid.IntRange(1, 7).Draw(t, "hide")
		first := rapid.IntRange(0, patterns.Total-300).Draw(t, "first")
		var notes []triage.Note
		patterned := false
		for i, by := range rapid.SliceOfN(rapid.IntRange(0, 299), 2, 12).Draw(t, "notes") {
			n := note(fmt.Sprintf("B%08dC", first+by), triage.Keep, func(n *triage.Note) { n.Position = i + 1 })
			notes = append(notes, n)
			patterned = patterned || n.Hits&session().Watch.Hit != 0
		}
		for _, s := range Make(session(), notes, book(), Options{HideDigits: hide}).Sections {
			for _, i := range s.Items {
				if shown := strings.Trim(i.Serial, "BCx"); patterned && shown != "" {
					t.Fatalf("%s shows %s beside a pattern of its strap", i.Serial, shown)
				}
			}
		}
	})
}

// The number of hidden digits is bounded, and of a note not read to the end no more is shown than was typed.
func TestHide(t *testing.T) {
	for _, c := range []struct {
		serial triage.Serial
		n      int
		want   string
	}{
		{triage.Serial{Prefix: "MB", Digits: "70633607", Suffix: 'C'}, 3, "MB70633xxxC"},
		{triage.Serial{Digits: "70633607", Star: true, StarFront: true, Suffix: 'A'}, 8, "*xxxxxxxxA"},
		{triage.Serial{Prefix: "B", Digits: "70633607", Star: true}, 99, "Bxxxxxxxx*"},
		{triage.Serial{Digits: "706336"}, 4, "70xxxx··"},
		{triage.Serial{Digits: "70633607"}, -1, "70633607"},
	} {
		if got := Hide(c.serial, c.n); got != c.want {
			t.Errorf("Hide(%v, %d) = %s, want %s", c.serial, c.n, got, c.want)
		}
	}
}
