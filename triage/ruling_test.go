package triage

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"app/unband/patterns"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

// What a personal rule says by condition. While the condition is not said nothing lets a note go.
func TestRuling(t *testing.T) {
	fromFine := Wish{KeepUnlessWorn, flaws.Fine}
	for _, c := range []struct {
		wish  Wish
		grade flaws.Grade
		want  Ruling
	}{
		{Wish{}, flaws.NoGrade, RuledKeep},
		{Wish{}, flaws.Poor, RuledKeep},
		{Wish{Word: OnlyMention}, flaws.Seventy, RuledTell},
		{fromFine, flaws.NoGrade, RuledKeep},
		{fromFine, flaws.VeryGood, RuledSpend},
		{fromFine, flaws.Fine, RuledKeep},
		{fromFine, flaws.Seventy, RuledKeep},
		{Wish{Word: KeepUnlessWorn}, flaws.Poor, RuledKeep}, // no grade is chosen
	} {
		if got := c.wish.Ruling(c.grade); got != c.want {
			t.Errorf("%+v in %v: %d, want %d", c.wish, c.grade, got, c.want)
		}
	}
}

func TestWhatIsAgainstARuling(t *testing.T) {
	for r, denied := range map[Ruling][]Decision{
		NoRuling: nil, RuledTell: nil, RuledKeep: {Spend, Glance}, RuledSpend: {Keep},
	} {
		for _, d := range []Decision{Spend, Keep, Glance, SetAside} {
			want := false
			for _, x := range denied {
				want = want || x == d
			}
			if r.Denies(d) != want {
				t.Errorf("ruling %d denies %v: %v", r, d, !want)
			}
		}
	}
}

func TestWishes(t *testing.T) {
	mention := Wish{Word: OnlyMention}
	w := Wishes{}.With(patterns.Radar, mention)
	w2 := w.With(patterns.Radar, Wish{})
	if w.Of(patterns.Radar) != mention || !reflect.DeepEqual(w2, Wishes{}) || w.Of(patterns.Solid) != (Wish{}) {
		t.Errorf("%+v, then %+v", w, w2)
	}
	first := patterns.FirstTemplate
	w = w.With(first, Wish{Word: OnlyMention}).With(first+1, Wish{KeepUnlessWorn, flaws.Fine}).With(first+2, mention)
	got := w.WithoutTemplate(1)
	want := Wishes{}.With(patterns.Radar, mention).With(first, mention).With(first+1, mention)
	if !reflect.DeepEqual(got, want) {
		t.Errorf("after the second own pattern went: %+v, want %+v", got, want)
	}
}

// ruled is a bench whose session has wishes.
func ruled(t *testing.T, newNotes bool, w Wishes) *bench {
	b := newBench(t, 100)
	s := b.s.Session()
	s.Wishes, s.NewNotes, s.OldBefore = w, newNotes, "2003"
	b.s = NewSorter(s, Strap{Session: 1, Number: 1, Band: 100}, nil, nil, Held{}, Rules{Book: defaultBook(), Pauses: DefaultPauses(), Met: b.met}, b.now)
	return b
}

func (b *bench) types(text string) {
	for _, r := range text {
		b.press(Key{Kind: KeyRune, Rune: r})
	}
}

func (b *bench) wait(d time.Duration) { b.now = b.now.Add(d) }

// The rule is the same on note 1 and on note 90; deciding against it is one key more, each with its pause,
// and going along with it is one.
func TestDecidingAgainstTheRule(t *testing.T) {
	keep, mention, worn := Wish{}, Wish{Word: OnlyMention}, Wish{KeepUnlessWorn, flaws.Fine}
	for _, c := range []struct {
		why   string
		wish  Wish
		grade flaws.Grade
		key   KeyKind
		keys  int // presses until it is decided
	}{
		{"keep what is kept", keep, flaws.NoGrade, KeyKeep, 1},
		{"spend what is kept", keep, flaws.NoGrade, KeySpend, 2},
		{"spend what is only mentioned", mention, flaws.NoGrade, KeySpend, 1},
		{"keep what is only mentioned", mention, flaws.NoGrade, KeyKeep, 1},
		{"spend what is worn", worn, flaws.Good, KeySpend, 1},
		{"keep what is worn", worn, flaws.Good, KeyKeep, 2},
		{"spend what is not worn", worn, flaws.Fine, KeySpend, 2},
		{"spend what nobody has graded", worn, flaws.NoGrade, KeySpend, 2},
	} {
		b := ruled(t, false, Wishes{}.With(patterns.Radar, c.wish))
		for place := 1; place <= 90; place++ {
			if place != 1 && place != 90 {
				b.types(plainSerials(100)[place])
				b.wait(2 * time.Second)
				b.press(Key{Kind: KeySpend})
				continue
			}
			b.wait(2 * time.Second)
			b.types([]string{"70633607", "50611605"}[place/90])
			if err := b.s.Hand().SetFacts(Facts{Grade: c.grade}, b.now); err != nil {
				t.Fatal(err)
			}
			keys := 0
			for len(b.notes()) < place && keys < 5 {
				b.wait(2 * time.Second)
				b.press(Key{Kind: c.key})
				keys++
			}
			if keys != c.keys {
				t.Errorf("%s: note %d took %d presses, want %d", c.why, place, keys, c.keys)
			}
			n := b.notes()[place-1]
			if n.Ruled != c.wish.Ruling(c.grade) || n.Against() != (c.keys == 2) {
				t.Errorf("%s: note %d is stored with ruling %d, against it: %v", c.why, place, n.Ruled, n.Against())
			}
		}
	}
}

// plainSerials are serials that nothing watched meets or comes near.
func plainSerials(n int) []string {
	var all []string
	w := defaultBook().DefaultWatch()
	for d := patterns.Digits(48160297); len(all) < n; d = (d + 7654321) % patterns.Total {
		if !defaultBook().Stops(d, w) && d < 95_000_000 {
			all = append(all, d.String())
		}
	}
	return all
}

// Of several rules the strongest speaks: keep before spend before mention.
func TestTheStrongestRule(t *testing.T) {
	mention := Wish{Word: OnlyMention}
	b := ruled(t, false, Wishes{Star: Wish{KeepUnlessWorn, flaws.Fine}}.With(patterns.Radar, mention))
	b.types("70633607*")
	_ = b.s.Hand().SetFacts(Facts{Grade: flaws.Good}, b.now)
	if s := b.s.Hand().Said(); s.Ruling != RuledSpend || len(s.Whose) != 1 || s.Whose[0] != "star note" || s.Below != flaws.Fine {
		t.Errorf("%+v", s)
	}
	_ = b.s.Hand().SetFacts(Facts{Grade: flaws.VeryFine}, b.now)
	if s := b.s.Hand().Said(); s.Ruling != RuledKeep {
		t.Errorf("%+v", s)
	}
	_ = b.s.Hand().SetFacts(Facts{Grade: flaws.Good, Series: "1995"}, b.now) // old series: keep always
	if s := b.s.Hand().Said(); s.Ruling != RuledKeep || s.Whose[0] != "old series" {
		t.Errorf("%+v", s)
	}
}

// A hit that may go is read again all the same where it is near a rarer pattern: the guarantee does not
// depend on the personal rules.
func TestAMentionedHitIsReadAgain(t *testing.T) {
	w := Wishes{}
	for _, id := range []patterns.ID{patterns.Binary, patterns.SixAlike, patterns.SevenAlike, patterns.SevenInRow, patterns.SixInRow, patterns.FiveInRow} {
		w = w.With(id, Wish{Word: OnlyMention})
	}
	b := ruled(t, false, w)
	b.types("44444494") // seven alike, and one digit off a solid
	b.wait(2 * time.Second)
	b.press(Key{Kind: KeySpend})
	if b.s.Hand().Mode() != Rereading {
		t.Fatalf("spent without a re-read: %+v, said %v", b.notes(), b.said)
	}
}

// Which serials can adjoin, as far as they were typed.
func TestMayAdjoin(t *testing.T) {
	whole := func(p, d string, s byte) Serial { return Serial{Prefix: p, Digits: d, Suffix: s} }
	for _, c := range []struct {
		a, b Serial
		want bool
	}{
		{whole("B", "12345678", 'A'), whole("B", "12345679", 'A'), true},
		{whole("B", "12345679", 'A'), whole("B", "12345678", 'A'), true},
		{whole("B", "12345678", 'A'), whole("B", "12345680", 'A'), false},
		{whole("B", "12345678", 'A'), whole("C", "12345679", 'A'), false},
		{whole("B", "12345678", 'A'), whole("", "12345679", 0), true},
		{whole("B", "12345678", 'A'), whole("", "123", 0), true},
		{whole("B", "12345678", 'A'), whole("", "124", 0), false},
		{whole("B", "12345678", 'A'), Serial{}, true},
		{whole("", "123", 0), whole("B", "12345678", 'A'), true},
		{whole("", "12", 0), whole("", "34", 0), true}, // not known
		{whole("B", "12999999", 'A'), whole("", "13", 0), true},
		{whole("B", "00000000", 'A'), whole("B", "00000001", 'A'), true},
		{whole("B", "99999999", 'A'), whole("B", "00000000", 'A'), false},
		{whole("B", "12345678", 'A'), Serial{Digits: "12345679", Star: true}, false},
	} {
		if got := mayAdjoin(c.a, c.b); got != c.want {
			t.Errorf("%s and %s: %v", c.a, c.b, got)
		}
	}
}

// The notes beside a keeper that wants them, in new and in used straps; D05.
func TestWanted(t *testing.T) {
	note := func(digits string, d Decision) Note { return Note{Serial: Serial{Digits: digits}, Decision: d} }
	ladder := note("12345678", Keep)
	ladder.Hits = patterns.Set(0).With(patterns.LadderUp)
	low := note("00000051", Keep)
	low.Hits = patterns.Set(0).With(patterns.LowNumber)
	wrong := note("48160297", Keep)
	wrong.Flaw = flaws.GutterFold
	star := Note{Serial: Serial{Digits: "01873355", Star: true}, Decision: Spend}
	place := func(notes ...Note) []Note { return notes }
	for _, c := range []struct {
		why   string
		fresh bool
		notes []Note
		want  []int
	}{
		{"the shoulders of a ladder", true, place(note("12345677", Spend), ladder, note("12345679", Spend)), []int{1, 3}},
		{"kept already", true, place(note("12345677", Keep), ladder, note("12345679", Spend)), []int{3}},
		{"used notes beside it that are none of its block", false, place(note("35120846", Spend), ladder, note("61225697", Spend)), nil},
		{"a number was pulled in a new strap", true, place(note("12345676", Spend), ladder), nil},
		{"an error of a new strap, whatever the numbers", true, place(note("48160290", Spend), wrong, note("48160299", Spend)), []int{1, 3}},
		{"an error among used notes", false, place(note("48160290", Spend), wrong, note("48160298", Spend)), []int{3}},
		{"a star beside it", true, place(star, wrong), nil},
		{"a glance beside it", true, place(Note{Decision: Glance}, wrong), []int{1}},
		{"between two keepers, neighbour of the second", false, place(ladder, note("00000050", Spend), low), []int{2}},
		{"between two keepers, neighbour of the first", false, place(low, note("00000050", Spend), ladder), []int{2}},
		{"a counterfeit beside it stays where it is", true, place(Note{Decision: SetAside}, wrong), nil},
	} {
		if got := wanted(c.fresh, c.notes, nil, nil); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %v, want %v", c.why, got, c.want)
		}
	}
}

// The first note of a strap lies beside the last of the strap before.
func TestBesideAcrossStraps(t *testing.T) {
	b := newBench(t, 100)
	s := b.s.Session()
	s.NewNotes = true
	last := Note{Session: 1, Strap: 1, Position: 100, Decision: Keep, Flaw: flaws.GutterFold, Serial: Serial{Digits: "48160200"}}
	b.s = NewSorter(s, Strap{Session: 1, Number: 2, Band: 100}, nil, nil, Held{}, Rules{Book: defaultBook(), Pauses: DefaultPauses(), Before: &last}, b.now)
	if n := []Note{{Serial: Serial{Digits: "48160201"}, Decision: Spend}}; !reflect.DeepEqual(wanted(true, n, &last, nil), []int{1}) {
		t.Error("the first note is not marked")
	}
	if said := b.s.Hand().Said(); said.Ruling != RuledKeep || !strings.Contains(said.Whose[0], "note 100 of strap 1") {
		t.Errorf("%+v", said)
	}
}

// What became of a keeper counts where it belongs, and can be taken back.
func TestFates(t *testing.T) {
	at := time.Date(2026, 3, 6, 12, 0, 0, 0, time.UTC)
	kept := Note{Decision: Keep, Version: 1, Decided: at.Add(-time.Hour)}
	for _, f := range Fates {
		n := kept.Became(f, at, "a remark", at)
		got := n.Totals()
		want := Totals{Notes: 1, Kept: 1}
		switch f {
		case Sold:
			want.Sold = 1
		case Traded:
			want.Traded = 1
		case SentGrading:
			want.Grading = 1
		case SpentAfter:
			want.Kept, want.Spent, want.Respent = 0, 1, 1
		}
		if got != want {
			t.Errorf("%v counts as %+v, want %+v", f, got, want)
		}
		if n.Version != 2 || !n.Changed.Equal(at) || !n.Decided.Equal(kept.Decided) {
			t.Errorf("%v: %+v", f, n)
		}
		back := n.Became(StillHere, at, "again", at)
		if back.Totals() != kept.Totals() || !back.FateDay.IsZero() || back.FateRemark != "" {
			t.Errorf("%v taken back: %+v", f, back)
		}
	}
}

// The text for people who help gets what the note has, never where it came from.
func TestHelpFacts(t *testing.T) {
	s := Session{ID: 1, Name: "Friday float", Source: "Harbour branch", Denomination: 1, NewNotes: true, Settings: patterns.DefaultSettings()}
	n := Note{Session: 1, Strap: 1, Position: 37, Serial: Serial{Prefix: "B", Digits: "48160297", Suffix: 'A'}, Series: "2017A",
		Facility: currency.FortWorth, Seal: currency.Green, Sheet: "F4", Plate: "FW F 12", BackPlate: "295", Grade: flaws.Fine, Face: "a blank patch"}
	h := TakeUp(Rules{Book: defaultBook(), Pauses: DefaultPauses()}, s, n, time.Time{})
	text := flaws.Help(h.HelpFacts("Is it an error?", 4))
	for _, want := range []string{"Is it an error?", "$1", "Federal Reserve note", "2017A", "B4816xxxxA", "Fort Worth", "F4", "FW F 12", "295", "green", "Fine", "a blank patch", "new notes, note 37"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	if strings.Contains(text, "Harbour") || strings.Contains(text, "Friday") {
		t.Errorf("the text tells where the note came from:\n%s", text)
	}
}
