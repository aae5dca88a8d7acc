package triage

import (
	"strings"
	"testing"
	"time"
)

// A $5 in a strap of ones: it has two letters, it counts as a note of the strap, and it is neither kept nor spent.
func TestANoteOfAnotherDenominationIsLaidApart(t *testing.T) {
	b := newBench(t, 3)
	b.wait(2 * time.Second)
	if err := b.s.Hand().SetFacts(Facts{Denomination: 5}, b.now); err != nil {
		t.Fatal(err)
	}
	b.types("MB27722772A")
	b.wait(2 * time.Second)
	for _, k := range []KeyKind{KeyKeep, KeySpend} {
		b.press(Key{Kind: k})
		if last := b.said[len(b.said)-1]; last != OtherDenomination || len(b.saved) != 0 {
			t.Fatalf("key %v said %v, stored %d notes", k, last, len(b.saved))
		}
		b.wait(2 * time.Second)
	}
	b.press(Key{Kind: KeySetAside})
	if len(b.saved) != 1 {
		t.Fatalf("%d notes are stored, said %v", len(b.saved), b.said)
	}
	n := b.saved[0]
	if n.Decision != LaidApart || n.Denomination != 5 || n.Serial.Prefix != "MB" || n.Totals() != (Totals{Notes: 1, Apart: 1, Hits: n.Totals().Hits, Took: n.Took}) {
		t.Errorf("stored is %+v", n)
	}
	if b.s.Hand().Apart() || b.s.Place() != 2 {
		t.Errorf("the next note, at place %d, is of another denomination, too: %v", b.s.Place(), b.s.Hand().Apart())
	}
}

// Its serial is welcome, not needed.
func TestLaidApartUnread(t *testing.T) {
	b := newBench(t, 3)
	b.wait(2 * time.Second)
	if err := b.s.Hand().SetFacts(Facts{Denomination: 20}, b.now); err != nil {
		t.Fatal(err)
	}
	b.wait(2 * time.Second)
	b.press(Key{Kind: KeySetAside})
	if len(b.saved) != 1 || b.saved[0].Decision != LaidApart || !b.saved[0].Serial.Empty() {
		t.Errorf("stored are %+v, said %v", b.saved, b.said)
	}
}

// By the sequence of its strap the place has a number, which is not that of the note that does not belong there.
func TestLaidApartFromASequence(t *testing.T) {
	b := newBench(t, 3)
	l := Listed{Session: 1, Strap: 1, Position: 1, Origin: FromSequence, Serial: Serial{Prefix: "B", Digits: "27722772", Suffix: 'A'}}
	h := newInHand(b.s.rules, 1, l.Place(), b.now)
	h.takeListed(l)
	h.know(Facts{Denomination: 5})
	if n := h.note(LaidApart, b.now); !n.Serial.Empty() || n.Hits != 0 || n.Listed != l.Serial.String() || n.Denomination != 5 {
		t.Errorf("decided as listed: %+v", n)
	}
	h = newInHand(b.s.rules, 1, l.Place(), b.now)
	h.takeUp(Note{Session: 1, Strap: 1, Position: 1, Version: 1, Origin: FromSequence, Serial: l.Serial, Decision: Spend}, b.now)
	h.know(Facts{Denomination: 5})
	if n := h.note(LaidApart, b.now); !n.Serial.Empty() || n.Origin != Typed || !strings.Contains(n.Listed, "27722772") {
		t.Errorf("put right afterwards: %+v", n)
	}
}

// A $5 with the digits of a $1 is not that note met again, nor its neighbour.
func TestAnotherDenominationIsNeverOneBlock(t *testing.T) {
	five := Note{Session: 1, Strap: 1, Position: 1, Denomination: 5, Serial: Serial{Prefix: "B", Digits: "48160297", Suffix: 'A'}}
	one := five
	one.Denomination = 0
	h := InHand{pile: 1, place: Place{1, 1, 9}}
	h.Entry.Serial = five.Serial
	if got := h.relate(five); got != OtherBlock {
		t.Errorf("a $5 in a pile of ones is told as %v", got)
	}
	if got := h.relate(one); got != SameSerial {
		t.Errorf("a $1 of the pile is told as %v", got)
	}
	h.know(Facts{Denomination: 5})
	if h.relate(five) != SameSerial || h.relate(one) != OtherBlock {
		t.Errorf("of a $5 in hand: %v and %v", h.relate(five), h.relate(one))
	}
}

// A listed note that is not in the pile keeps its place in the list, and is no note of the strap.
func TestAListedNoteThatIsNotThere(t *testing.T) {
	n := Note{Decision: NotThere, Took: time.Second}
	strap := Strap{Band: 100, Listed: 98, Totals: Note{Decision: Spend}.Totals().Add(n.Totals())}
	if strap.Size() != 100 || strap.Off() != -1 || strap.Totals.Notes != 1 || strap.Totals.NotThere != 1 {
		t.Errorf("of 100 places one is empty: size %d, off by %d, %+v", strap.Size(), strap.Off(), strap.Totals)
	}
	if left := strap.Totals.Sub(n.Totals()); left != (Totals{Notes: 1, Spent: 1}) {
		t.Errorf("taken out again it leaves %+v", left)
	}
}

// What was said of a listed note to be of another denomination is not spent, or kept, with the rest.
func TestAnotherDenominationIsNoPartOfTheRest(t *testing.T) {
	for name, b := range map[string]*bench{
		"of a list":       listedBench(t, Strap{Band: 4}, false, serials("70633607", "35120846", "48160297", "27118265")),
		"of a sequence":   sequenceBench(t, "G12345601A", 4),
		"of stars in one": sequenceBench(t, "G12345601*", 4),
	} {
		t.Run(name, func(t *testing.T) {
			b.play(". left")
			place := b.s.Place()
			b.mark(func(f *Facts) { f.Denomination = 5 })
			if !b.s.Pulled(place) {
				t.Errorf("note %d is not to be looked at: %v", place, b.s.Pulls())
			}
			b.play("wait enter wait enter wait wait enter wait wait enter")
			for _, n := range b.rest {
				if n.Denomination != 0 {
					t.Errorf("it was %v with the rest: %+v", n.Decision, n)
				}
			}
		})
	}
}

// A note that was said to be not there is not passed over unread by one key.
func TestNotThereIsTakenBackByTheKeyTwice(t *testing.T) {
	b := listedBench(t, Strap{Band: 3}, false, serials("B70633607C", "35120846", "48160297"))
	b.play("wait takeout wait takeout")
	if len(b.saved) != 1 || b.saved[0].Decision != NotThere || b.saved[0].Listed != "B70633607C" {
		t.Fatalf("saved are %+v", b.saved)
	}
	b.play("wait left left left wait -")
	b.at(1)
	b.heard(AskAgain)
	if len(b.saved) != 1 {
		t.Fatalf("one key made it %v", b.saved[1].Decision)
	}
	b.play("wait -")
	if len(b.saved) != 2 || b.saved[1].Decision != Glance || b.totals() != (Totals{Notes: 1, Spent: 1, Glances: 1, Took: b.saved[0].Took}) {
		t.Errorf("saved are %+v", b.saved)
	}
}
