package triage

import (
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"app/unband/patterns"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

// listedBench is a sorter of a strap whose notes are listed.
func listedBench(t testing.TB, strap Strap, newNotes bool, list []Listed) *bench {
	b := &bench{t: t, now: time.Date(2026, 3, 1, 19, 0, 0, 0, time.UTC), list: list}
	s := Session{ID: 1, Denomination: 1, StrapNotes: strap.Band, Straps: 1, NewNotes: newNotes, Settings: patterns.DefaultSettings()}
	s.Watch = defaultBook().DefaultWatch()
	s.Watch.Hit = patterns.Set(0).With(patterns.Radar).With(patterns.LadderUp).With(patterns.LowNumber) // else all numbers around a ladder are hits, too
	strap.Session, strap.Number, strap.Listed = 1, 1, len(list)
	b.s = NewSorter(s, strap, nil, slices.Clone(list), Held{}, Rules{Book: defaultBook(), Pauses: DefaultPauses(), Met: b.met}, b.now)
	return b
}

// sequenceBench is a sorter of a strap in sequence whose first note has the serial.
func sequenceBench(t testing.TB, first string, notes int) *bench {
	s, _, err := ParseSerial(first)
	if err != nil {
		t.Fatal(err)
	}
	var list []Listed
	strap := Strap{Band: notes, First: s, InSequence: true}
	for i := range notes {
		d, _ := s.Whole()
		strap.Last = s
		strap.Last.Digits = (d + patterns.Digits(i)).String()
		list = append(list, Listed{Session: 1, Strap: 1, Position: i + 1, Serial: strap.Last, Origin: FromSequence})
	}
	return listedBench(t, strap, true, list)
}

// serials gives notes of a list, one for each text; one that is no serial must be read from the note.
func serials(texts ...string) []Listed {
	var list []Listed
	for i, text := range texts {
		l := Listed{Session: 1, Strap: 1, Position: i + 1, Origin: FromList}
		var err error
		if l.Serial, _, err = ParseSerial(text); err != nil {
			l.Text, l.Doubt = text, "unread"
		}
		list = append(list, l)
	}
	return list
}

// mark says something of the note that is looked at, as a closer look does.
func (b *bench) mark(say func(*Facts)) {
	b.t.Helper()
	if b.s.Ending() || b.s.Pending() || b.s.Hand().Asks() {
		return
	}
	f := b.s.Hand().Facts()
	say(&f)
	if err := b.s.Hand().SetFacts(f, b.now); err != nil {
		b.t.Fatal(err)
	}
	b.take(b.s.KeepHand())
	b.take(b.s.SaveFacts(b.now))
}

func (b *bench) pulls(want ...int) {
	b.t.Helper()
	if got := b.s.Pulls(); !slices.Equal(got, want) {
		b.t.Errorf("to be pulled: %v, want %v", got, want)
	}
}

func (b *bench) at(place int) {
	b.t.Helper()
	if b.s.Place() != place {
		b.t.Errorf("note %d is in hand, want note %d", b.s.Place(), place)
	}
}

// D05: beside the ladder its neighbours are pulled; beside a star nothing ties the notes to it.
func TestD05NeighboursOfALadderAreListedWithIt(t *testing.T) {
	b := sequenceBench(t, "G12345670A", 15)
	b.pulls(8, 9, 10)
	b.at(8)
	if k := b.s.BesidePull(b.s.Place()); k != 9 {
		t.Errorf("note 8 is pulled beside %d, want 9", k)
	}
	b.play("wait - ")
	b.heard(AskAgain) // as long as the ladder may be kept, its neighbour is
	b.play("wait +")
	b.at(9)
	b.play("wait +")
	b.at(10)
	b.play("wait +")
	b.want("G12345677A kept", "G12345678A kept", "G12345679A kept")
	b.pulls()
	b.play("wait enter")
	b.heard(RestAsked)
	b.play("wait enter")
	if len(b.rest) != 12 || len(b.saved) != 3 {
		t.Errorf("%d notes are the rest, %d decided, want 12 and 3", len(b.rest), len(b.saved))
	}
	for _, n := range b.rest {
		if n.Decision != Spend || n.Origin != FromSequence || n.Look != NoLook || n.Version != 1 || n.Took != 0 {
			t.Fatalf("a note of the rest is %+v", n)
		}
	}
}

// When the ladder is spent after all, nothing ties the notes beside it to it any more.
func TestNeighboursOfASpentLadderAreTheRest(t *testing.T) {
	b := sequenceBench(t, "G12345670A", 15)
	b.play("right wait - wait -") // note 9 first: against the rules, so twice
	b.want("G12345678A spent")
	b.pulls()
}

// T10: strap F20114401A to F20114500A, the 37th note is F01180455*. The star stands for F20114437A, the count
// is 100. (Rarity of Star Notes, CoinTalk, as collected in the cases.)
func TestT10AStarStandsForTheMissingNumber(t *testing.T) {
	b := sequenceBench(t, "F20114401A", 100)
	for _, p := range b.s.Pulls() {
		b.at(p)
		b.play("wait - wait - wait")
	}
	b.play(". ") // from the question back to the last note
	for b.s.Place() != 37 {
		b.play("left")
	}
	b.play("F01180455*")
	if s, ok := b.s.Hand().InPlaceOf(); !ok || s.String() != "F20114437A" {
		t.Errorf("the star stands for %v (%v), want F20114437A", s, ok)
	}
	b.play("wait + 2 0 1 7 enter wait +")
	for range 3 {
		b.play("enter wait")
	}
	n := b.saved[len(b.saved)-1]
	if n.Position != 37 || n.Serial.String() != "F01180455*" || n.Listed != "F20114437A" || n.Origin != Typed || n.Decision != Keep {
		t.Fatalf("the star is stored as %+v", n)
	}
	b.play("wait enter wait enter")
	if got := len(b.rest) + len(b.notes()); got != 100 {
		t.Errorf("%d notes in all, want 100", got)
	}
	for _, n := range b.rest {
		if n.Position == 37 {
			t.Error("the number that the star stands for is spent with the rest")
		}
	}
}

// Another number than the sequence has, and no star, is a doubt: it takes the key twice.
func TestAnotherNumberThanTheSequenceHas(t *testing.T) {
	b := sequenceBench(t, "G12345601A", 100)
	b.play("G48160297A wait +")
	b.heard(AskAgain)
	if _, other := b.s.Hand().InPlaceOf(); !other {
		t.Error("it is not said what lies there by the sequence")
	}
}

// A digit of a list may have been misread by the machine: near misses are pulled and read again before they
// are spent, and wait for the second look, like those that were typed.
func TestNearMissesOfAListAreReadAgain(t *testing.T) {
	b := listedBench(t, Strap{Band: 100}, false, serials("B48160297C", "B70633507C", "B70633607C", "B2711826?C", "B35120846C"))
	b.pulls(2, 3, 4)
	b.play("wait -")
	b.heard(RereadAsked)
	places, _ := b.s.Hand().Blanks()
	for _, p := range places {
		b.play("70633507"[p : p+1])
	}
	b.play("enter")
	if n := b.saved[0]; n.Look != Waiting || n.Reread != RereadSame || n.Origin != FromList {
		t.Errorf("the near miss is stored as %+v", n)
	}
	b.play("wait +")
	b.at(4)
	if !b.s.Hand().Entry.Empty() {
		t.Errorf("an unread digit was filled in: %v", b.s.Hand().Entry)
	}
	b.play("wait -") // unread it goes by two presses only
	b.heard(AskAgain)
	b.play("B27118261C wait -")
	if n := b.saved[2]; n.Serial.String() != "B27118261C" || n.Origin != Typed || n.Listed != "B2711826?C" {
		t.Errorf("the note that was read from the pile is stored as %+v", n)
	}
	b.play("wait enter wait enter")
	if len(b.rest) != 2 || b.rest[0].Position != 1 || b.rest[1].Position != 5 || b.rest[1].Origin != FromList {
		t.Errorf("the rest is %+v", b.rest)
	}
}

// A strap cannot end while notes of it are to be pulled, and a held key answers nothing.
func TestTheRestIsAskedAboutTwice(t *testing.T) {
	b := listedBench(t, Strap{Band: 3}, false, serials("B70633607C", "B48160297C", "B35120846C"))
	b.play("clear wait enter")
	b.heard(PullsLeft)
	b.play("B70633607C wait +")
	for range 30 {
		b.play("enter")
	}
	if b.rest != nil || b.ended {
		t.Error("a held key spent the rest")
	}
	b.play("- +")
	b.heard(EndAsked)
	b.play("wait wait enter wait")
	if b.s.RestNotes() != 2 || b.rest != nil {
		t.Errorf("%d notes are asked about, rest %v", b.s.RestNotes(), b.rest)
	}
	b.play("enter")
	if len(b.rest) != 2 {
		t.Errorf("the rest is %v", b.rest)
	}
}

// A note more than listed is typed behind the others.
func TestANoteMoreThanListed(t *testing.T) {
	b := listedBench(t, Strap{Band: 2}, false, serials("B48160297C", "B35120846C"))
	b.play("27118265 wait -")
	b.want("27118265 spent")
	if b.saved[0].Position != 3 || b.s.RestNotes() != 2 {
		t.Errorf("it is note %d, %d are the rest", b.saved[0].Position, b.s.RestNotes())
	}
}

// A strap of stars is kept whole, whatever its numbers say (T09).
func TestT09AStrapOfStarsIsKeptWhole(t *testing.T) {
	b := sequenceBench(t, "A12345601*", 100) // with a ladder in it
	b.pulls()
	b.play("wait enter")
	b.heard(RestAsked)
	b.play("wait enter")
	if len(b.rest) != 100 {
		t.Fatalf("%d stars are kept, want 100", len(b.rest))
	}
	for _, n := range b.rest {
		if n.Decision != Keep || !n.Serial.Star {
			t.Fatalf("a star of the strap is stored as %+v", n)
		}
	}
}

// With other straps listed, the key goes on to the next one; the rest is asked about at the last.
func TestOnwardToTheNextListedStrap(t *testing.T) {
	b := listedBench(t, Strap{Band: 2}, false, serials("B48160297C", "B35120846C"))
	b.s.SetOnward(Onward{Strap: 2})
	b.play("wait wait enter")
	if !b.onward || b.rest != nil {
		t.Errorf("onward %v, rest %v", b.onward, b.rest)
	}
	b.s.SetOnward(Onward{Rest: 98})
	b.play("wait wait enter wait enter")
	if b.s.RestNotes() != 100 || len(b.rest) != 2 {
		t.Errorf("%d notes are asked about, %d of this strap", b.s.RestNotes(), len(b.rest))
	}
}

// What was said of a listed note is put down at once, and comes with its decision.
func TestFactsOfAListedNote(t *testing.T) {
	b := listedBench(t, Strap{Band: 2}, false, serials("B70633607C", "B35120846C"))
	b.play("right")
	b.mark(func(f *Facts) { f.Series = "2017A" })
	if len(b.saved) != 0 || b.list[1].Facts.Series != "2017A" {
		t.Fatalf("saved %v, listed %+v", b.saved, b.list)
	}
	b.play("enter wait + wait wait enter wait enter")
	if len(b.rest) != 1 || b.rest[0].Series != "2017A" {
		t.Errorf("the rest is %+v", b.rest)
	}
}

func TestOneByOne(t *testing.T) {
	b := sequenceBench(t, "G12345601A", 100)
	b.play("onebyone")
	b.heard(TooEarly)
	b.play("wait wait onebyone")
	b.heard(UnlistAsked)
	b.play("onebyone wait 1 wait onebyone") // another key between takes it back
	if b.unlist {
		t.Fatal("it was taken for asked twice")
	}
	b.play("wait wait onebyone")
	if !b.unlist {
		t.Error("asked twice, nothing happened")
	}
}

// A strap that was taken for one in sequence and is none remembers the number read at its bottom.
func TestTheNumberReadAtTheBottomIsNotTypedAgain(t *testing.T) {
	b := listedBench(t, Strap{Band: 2, Last: Serial{Prefix: "G", Digits: "48160297", Suffix: 'A'}}, true, nil)
	b.play("G35120846A wait -")
	if !b.s.ReadLast() {
		t.Fatalf("in hand is %v", b.s.Hand().Entry)
	}
	b.play("wait -")
	b.want("G35120846A spent", "G48160297A spent")
}

// Whatever keys come, and wherever the sorter is left and taken up again: each position is decided once, in
// versions without a gap; nothing listed is lost; the rest covers exactly what is not decided.
func TestListedStrapsUnderRandomKeys(t *testing.T) {
	keys := []string{"wait + wait", "wait - wait", "wait wait enter wait wait enter", "+", "-", "wait", "wait", "wait", "enter", ".", "right", "left", "down", "erase", "clear", "7", "70633607", "35120846", "*", "B", "onebyone",
		"takeout", "wait takeout wait wait takeout", "wait ! wait wait !", "5 enter"}
	texts := []string{"B48160297C", "B70633507C", "B70633607C", "B2711826?C", "B12345678C", "B12345677C", "B12345679C", "B00000007C", "A01180455*", "M31744713C"}
	rests := 0
	rapid.Check(t, func(rt *rapid.T) {
		var listed []string
		for range rapid.IntRange(1, 12).Draw(rt, "notes") {
			listed = append(listed, rapid.SampledFrom(texts).Draw(rt, "serial"))
		}
		list := serials(listed...)
		for i, text := range listed {
			if strings.Contains(text, "?") {
				list[i].Unread = strings.Trim(text, "BC")
			}
		}
		b := listedBench(t, Strap{Band: rapid.IntRange(1, 14).Draw(rt, "band")}, rapid.Bool().Draw(rt, "new"), list)
		for range rapid.IntRange(1, 80).Draw(rt, "length") {
			if b.rest != nil || b.ended || b.unlist {
				break
			}
			if rapid.IntRange(0, 20).Draw(rt, "left") == 0 {
				b.s = NewSorter(b.s.session, b.s.strap, b.notes(), slices.Clone(b.list), b.hand, b.s.rules, b.now)
			}
			if rapid.IntRange(0, 6).Draw(rt, "mark") == 0 {
				b.mark(func(f *Facts) { f.Neighbours = !f.Neighbours })
			}
			if rapid.IntRange(0, 9).Draw(rt, "another denomination") == 0 {
				b.mark(func(f *Facts) { f.Denomination = 5 - f.Denomination })
			}
			b.play(rapid.SampledFrom(keys).Draw(rt, "key"))
		}
		if rapid.Bool().Draw(rt, "to the end") {
			for range len(listed) + 3 {
				if b.rest == nil && !b.ended && !b.unlist {
					b.play("wait clear clear wait wait - wait wait - wait wait enter wait wait enter")
				}
			}
		}
		versions, listedNow := map[int]int{}, map[int]bool{}
		for _, l := range b.list {
			listedNow[l.Position] = true
		}
		for _, n := range b.saved {
			if versions[n.Position]++; n.Version != versions[n.Position] {
				rt.Fatalf("note %d is stored as version %d after %d", n.Position, n.Version, versions[n.Position]-1)
			}
			if listedNow[n.Position] {
				rt.Fatalf("note %d is decided and listed", n.Position)
			}
			if n.Decision == NotThere && (n.Position > len(listed) || n.Listed != listed[n.Position-1] || !n.Serial.Empty()) {
				rt.Fatalf("not there is %+v", n)
			}
		}
		for i := range listed {
			if !listedNow[i+1] && versions[i+1] == 0 {
				rt.Fatalf("note %d is neither listed nor decided", i+1)
			}
		}
		if b.rest != nil {
			rests++
			var got []int
			for _, n := range b.rest {
				got = append(got, n.Position)
			}
			var want []int
			for _, l := range b.list {
				want = append(want, l.Position)
			}
			if !slices.Equal(got, want) {
				rt.Fatalf("the rest is %v, listed are %v", got, want)
			}
			for _, n := range b.rest {
				if b.s.Pulled(n.Position) || n.Denomination != 0 {
					rt.Fatalf("note %d was to be pulled and goes with the rest", n.Position)
				}
			}
		}
		if b.ended && len(b.list) > 0 {
			rt.Fatal("the strap ended with listed notes")
		}
	})
	if rests == 0 {
		t.Error("no rest was ever decided: the check saw nothing")
	}
}

// Pulls agrees with what a sorter pulls from each strap.
func TestPullsAgreeWithTheSorter(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		texts := []string{"B48160297C", "B70633507C", "B70633607C", "B2711826?C", "B12345678C", "B12345677C", "B12345679C", "B00000007C", "A01180455*", "M31744713C"}
		var list []Listed
		for range rapid.IntRange(1, 30).Draw(rt, "notes") {
			list = append(list, serials(rapid.SampledFrom(texts).Draw(rt, "serial"))...)
			list[len(list)-1].Position = len(list)
		}
		b := listedBench(t, Strap{Band: 30}, rapid.Bool().Draw(rt, "new"), list)
		var got []int
		for _, p := range Pulls(b.s.session, len(list), func(i int) Listed { return list[i] }, b.s.rules) {
			got = append(got, p.Position)
		}
		if want := b.s.Pulls(); !slices.Equal(got, want) {
			rt.Fatalf("the list pulls %v, the sorter %v", got, want)
		}
	})
}

// A list is dealt into straps in the order of the pile, none too full, no note left over.
func TestDeal(t *testing.T) {
	s := Session{ID: 1, Straps: 10, StrapNotes: 100}
	straps, place := Deal(s, Strap{Session: 1, Number: 3, Band: 100, Totals: Totals{Notes: 20}}, 200, true)
	if len(straps) != 3 || straps[2].Number != 5 || straps[1].Band != 100 {
		t.Fatalf("straps %+v", straps)
	}
	for i, want := range map[int]Place{0: {1, 3, 21}, 79: {1, 3, 100}, 80: {1, 4, 1}, 179: {1, 4, 100}, 180: {1, 5, 1}, 199: {1, 5, 20}} {
		if got := place(i); got != want {
			t.Errorf("note %d goes to %v, want %v", i, got, want)
		}
	}
	straps, place = Deal(s, Strap{Session: 1, Number: 3, Band: 100, Totals: Totals{Notes: 19, NotThere: 1}}, 82, true)
	if len(straps) != 2 || place(80) != (Place{1, 3, 101}) || place(81) != (Place{1, 4, 1}) {
		t.Errorf("beside 19 notes and a place without one, 81 more make a strap: %+v, %v, %v", straps, place(80), place(81))
	}
	straps, place = Deal(s, Strap{Session: 1, Number: 3, Band: 100}, 104, false)
	if len(straps) != 1 || place(103) != (Place{1, 3, 104}) {
		t.Errorf("undivided: %+v, %v", straps, place(103))
	}
}

// The sequence and the list of its pulls, checked by hand over all numbers of a strap.
func TestPullsOfASequenceByHand(t *testing.T) {
	b := sequenceBench(t, "F20114001A", 250)
	var want []int
	for i := range 250 {
		d := patterns.Digits(20114001 + i)
		if defaultBook().Judge(d).Match()&b.s.session.Watch.Hit != 0 {
			want = append(want, i+1)
		}
	}
	b.pulls(want...)
}

// What is remembered about letters never changes what is said of a serial.
func TestDoubtsOfListedNotes(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := rapid.SampledFrom(Denominations).Draw(rt, "denomination")
		c := Rules{Book: defaultBook()}.caller(d)
		for range rapid.IntRange(1, 40).Draw(rt, "notes") {
			digits := patterns.Digits(rapid.IntRange(0, patterns.Total-1).Draw(rt, "digits"))
			l := Listed{Serial: Serial{Prefix: rapid.SampledFrom([]string{"", "B", "MB", "O", "Z", "QL"}).Draw(rt, "prefix"), Digits: digits.String(),
				Suffix: rapid.SampledFrom([]byte{0, 'A', 'O', 'Z'}).Draw(rt, "suffix")}}
			if rapid.IntRange(0, 3).Draw(rt, "series") == 0 {
				l.Facts.Series = rapid.SampledFrom([]string{"1985", "2017A", "2021"}).Draw(rt, "which")
			}
			want := currency.Worst(RemarksOn(d, l.Serial, l.Facts)) > currency.Fine
			if got := c.doubtful(digits, l); got != want {
				rt.Fatalf("%v of %v: doubtful %v, want %v", l.Serial, d, got, want)
			}
		}
	})
}

// A note of a list that is decided anew is from the list still; typed anew, it remembers what the list had.
func TestWhereTheSerialCameFromStays(t *testing.T) {
	b := listedBench(t, Strap{Band: 3}, false, serials("B70633607C", "B48160297C", "B35120846C"))
	b.play("wait + wait . left left wait - wait -") // the radar is spent after all
	if n := b.saved[1]; n.Version != 2 || n.Origin != FromList || n.Decision != Spend {
		t.Fatalf("decided anew it is %+v", n)
	}
	b.play("wait . left left B70633707C wait +")
	if n := b.saved[2]; n.Origin != Typed || n.Listed != "B70633607C" {
		t.Errorf("typed anew it is %+v", n)
	}
	b.play("wait . left left wait - wait -")
	for _, p := range blanksOf(b) {
		b.play("70633707"[p : p+1])
	}
	b.play("enter")
	if n := b.saved[len(b.saved)-1]; n.Listed != "B70633607C" {
		t.Errorf("decided once more it is %+v", n)
	}
}

func blanksOf(b *bench) []int {
	places, _ := b.s.Hand().Blanks()
	return places
}

// A near miss known by the sequence is not asked for again, decided or not, and does not wait for the second look.
func TestANearMissOfASequenceIsKnown(t *testing.T) {
	b := sequenceBench(t, "B70633501C", 10) // ...507 is one digit off a radar
	b.play(". left left left wait -")
	if n := b.saved[0]; n.Serial.Digits != "70633507" || n.Look != NoLook || n.Reread != NotReread || n.Watched != 0 {
		t.Fatalf("it is stored as %+v", n)
	}
	b.play(". left left left wait +")
	b.play(". left left left wait -")
	if n := b.saved[2]; n.Decision != Spend || n.Look != NoLook || n.Origin != FromSequence {
		t.Errorf("decided anew it is %+v", n)
	}
	hand := TakeUp(b.s.rules, b.s.session, b.saved[2], b.now)
	if hand.Near() || hand.AsksReread() {
		t.Error("the closer look takes it for a near miss that may have been misread")
	}
}

// A keeper that is marked to be wanted with its neighbours after all has been pulled makes new pulls: they are
// looked at before the rest can be asked about.
func TestNeighboursWantedAfterwardsAreNotTheRest(t *testing.T) {
	b := listedBench(t, Strap{Band: 5}, true, serials("B48160297C", "B35120846C", "B70633607C", "B27118265C", "B48160299C"))
	b.play("wait + wait . left left")
	b.at(3)
	b.mark(func(f *Facts) { f.Neighbours = true })
	b.pulls(2, 4)
	b.play("wait wait enter")
	b.at(2)
	b.play("wait wait enter wait wait enter")
	if b.rest != nil {
		t.Fatalf("notes 2 and 4 are to be pulled, but the rest is %v", b.rest)
	}
	b.play("wait + wait - wait -") // against the mark, so twice
	b.pulls()
}

// The same with a digit too many behind the last note, which is taken back.
func TestNoQuestionWhileNotesAreToBePulled(t *testing.T) {
	b := sequenceBench(t, "G12345670A", 15)
	b.play("right wait - wait - wait") // the ladder is spent, so nothing is tied to it
	b.pulls()
	b.play("4 . left left left left left left")
	b.at(9)
	b.play("wait +")
	b.pulls(8, 10)
	b.at(16) // with the digit that was typed
	b.play("wait wait enter clear wait wait enter")
	b.heard(PullsLeft)
	b.at(8)
	if b.s.Ending() {
		t.Error("the strap is asked about while notes of it are to be pulled")
	}
}

// Where every note of a strap was looked at, nothing of it waits for the others: it is closed as counted, as the
// question says.
func TestAStrapThatIsAllPulledIsClosed(t *testing.T) {
	b := listedBench(t, Strap{Band: 2}, false, serials("B70633607C", "B27722772C"))
	b.s.SetOnward(Onward{Strap: 2})
	b.play("wait + wait + wait wait enter")
	if b.onward || !b.ended {
		t.Errorf("onward %v, ended %v", b.onward, b.ended)
	}
}

// What is in hand goes on as the note it was typed for, also after the strap was left, though another note is to
// be pulled before it by now.
func TestTheNoteInHandStaysAtItsPlace(t *testing.T) {
	b := sequenceBench(t, "G12345670A", 15)
	b.play("right wait - wait - wait")
	b.play("27118265 . left left left left left left")
	b.at(9)
	b.play("wait +")
	b.pulls(8, 10)
	b.at(16)
	b.s = NewSorter(b.s.session, b.s.strap, b.notes(), slices.Clone(b.list), b.hand, b.s.rules, b.now)
	b.at(16)
	if got := b.s.Hand().Entry.Digits; got != "27118265" {
		t.Errorf("in hand is %q", got)
	}
	b.s = NewSorter(b.s.session, b.s.strap, b.notes(), slices.Clone(b.list), Held{Serial: Serial{Digits: "27118265"}, Position: 9}, b.s.rules, b.now)
	b.at(8) // note 9 is decided: it is not in hand
	if h := b.s.Hand(); !h.asListed() {
		t.Errorf("in hand is %v", h.Entry)
	}
}

// The last note is taken out while the serial of another one is being typed: that one goes on.
func TestTakingOutLeavesWhatIsTyped(t *testing.T) {
	b := listedBench(t, Strap{Band: 4}, false, serials("B48160297C", "B70633607C", "B27722772C", "B35120846C"))
	b.play("right right wait - wait") // note 4, listed and spent
	b.at(2)
	b.play("B7063")
	b.play("right right")
	b.at(4)
	takeOut := func() *Note {
		b.now = b.now.Add(3 * time.Second)
		return b.s.Press(Key{Kind: KeyTakeOut}, b.now).TakeOut
	}
	takeOut()
	if n := takeOut(); n == nil || n.Position != 4 {
		t.Fatalf("taken out is %v", n)
	}
	b.s.Stored(b.s.session, b.s.strap, b.now)
	b.at(2)
	if got := b.s.Hand().Entry.Digits; got != "7063" {
		t.Errorf("in hand is %q", got)
	}
}

// The question about the rest and the one about sorting note by note take each other back: either act comes only
// of its own key, twice in a row.
func TestTwoQuestionsTakeEachOtherBack(t *testing.T) {
	b := listedBench(t, Strap{Band: 2}, false, serials("B48160297C", "B35120846C"))
	b.play("wait wait enter wait wait onebyone")
	b.heard(UnlistAsked)
	b.play("wait wait enter")
	b.heard(RestAsked)
	b.play("wait wait onebyone")
	b.heard(UnlistAsked)
	if b.rest != nil || b.unlist {
		t.Errorf("rest %v, one by one %v", b.rest, b.unlist)
	}
}

// A star of a strap of stars stands for no other number.
func TestAStarOfTheSequenceIsInItsPlace(t *testing.T) {
	b := sequenceBench(t, "A12345601*", 100)
	b.play(".")
	b.at(100)
	if s, other := b.s.Hand().InPlaceOf(); other {
		t.Errorf("it stands for %v", s)
	}
	b.play("A01180455*")
	if s, other := b.s.Hand().InPlaceOf(); !other || s.String() != "A12345700*" {
		t.Errorf("another star stands for %v (%v)", s, other)
	}
}

// A list of digits alone that begins with the notes typed already: they may be the very same, as a typed one would be.
func TestAListThatRepeatsTypedNotes(t *testing.T) {
	b := newBench(t, 5)
	b.play("48160297 wait -")
	b.list = []Listed{
		{Session: 1, Strap: 1, Position: 2, Serial: Serial{Digits: "48160297"}, Origin: FromList},
		{Session: 1, Strap: 1, Position: 3, Serial: Serial{Digits: "35120846"}, Origin: FromList},
	}
	strap := b.s.strap
	strap.Listed = 2
	b.s = NewSorter(b.s.session, strap, b.notes(), slices.Clone(b.list), Held{}, b.s.rules, b.now)
	b.pulls(2)
}

// A listed note that was looked at for another reason and turns out to be a printing error does not go with the rest,
// nor does one whose series is old.
func TestWhatIsSaidOfAListedNoteMayMakeItAPull(t *testing.T) {
	b := listedBench(t, Strap{Band: 4}, false, serials("B48160297C", "B35120846C", "B27118265C", "B48160299C"))
	b.s.rules.OldBefore = "2003"
	b.play(". left left")
	b.at(2)
	b.mark(func(f *Facts) { f.Flaw = flaws.Miscut })
	b.play("right")
	b.mark(func(f *Facts) { f.Series = "1995" })
	b.pulls(2, 3)
	s := b.s.session
	s.OldBefore = "2003"
	b.s = NewSorter(s, b.s.strap, nil, slices.Clone(b.list), Held{}, b.s.rules, b.now)
	b.pulls(2, 3)
	b.at(2)
	b.mark(func(f *Facts) { f.Flaw = flaws.NoOutcome })
	b.pulls(3)
}

// Digits typed where a list has unread ones stay when the note was gone to before its turn.
func TestUnreadDigitsOfANoteGoneTo(t *testing.T) {
	list := serials("B70633607C", "35120846", "K3?4554?3D")
	list[2].Unread = "3?4554?3"
	b := listedBench(t, Strap{Band: 3}, false, list)
	b.play("right right 1 enter")
	b.heard(FillUnread)
	b.play("2 enter enter")
	b.heard(HeldKey)
	b.at(3)
	if got := b.s.Hand().Entry.Serial.String(); got != "K31455423D" {
		t.Errorf("1 and 2 in K3?4554?3D make %s", got)
	}
	b.play("clear enter") // with nothing typed it leads back
	b.at(1)
}
