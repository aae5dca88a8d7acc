package ui

import (
	"testing"

	"app/unband/triage"
)

// A $5 lies in a strap of ones: it is named in the closer look and laid apart, and the strap is as its band says.
func TestANoteOfAnotherDenominationLiesApart(t *testing.T) {
	b := newTable(t)
	b.beginNew("Friday float")
	b.play("48160297 wait - M B")
	b.shows("Is it another denomination? Say so in the closer look, /")
	b.play("clear / m right right")
	b.shows("denomination", "$5 among $1 notes", "neither kept")
	b.play("esc MB61225697A wait -")
	b.shows("a $5 does not belong into this pile", "! lays it apart")
	b.play("wait !")
	b.shows("note 2: MB61225697A laid apart", "apart", "note 3 of 100")
	n := b.notes(1, 1)[1]
	if n.Decision != triage.LaidApart || n.Denomination != 5 {
		t.Errorf("stored is %+v", n)
	}
	b.play(".") // it was a mistake: a $1 all the same
	b.shows("laid apart")
	b.play("/ m clear esc wait - wait -") // two letters on a $1 are in doubt
	if n := b.notes(1, 1)[1]; n.Decision != triage.Spend || n.Denomination != 0 {
		t.Errorf("put right, it is %+v", n)
	}
	b.sound()
}

// In a sequence it takes the place of the number that lies there, and the strap is not short.
func TestAnotherDenominationInAStrapInSequence(t *testing.T) {
	b := newTable(t)
	b.sequenced("F12344301A", "F12344400A")
	b.play("wait enter wait +")
	b.shows("kept", "spends the other 99 notes")
	b.play("up / m right right esc wait !")
	n := b.notes(1, 1)
	if len(n) != 2 || n[1].Decision != triage.LaidApart || !n[1].Serial.Empty() || n[1].Listed == "" {
		t.Fatalf("stored are %+v", n)
	}
	b.play("wait enter wait wait enter")
	b.decided(1, 1, 98)
	b.play("desk p")
	b.shows("strap 1", "right")
	b.sound()
}

// A digit picks a denomination, and a second one makes it another.
func TestADenominationIsTyped(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("/ m")
	for _, c := range []struct{ keys, shows string }{
		{"5", "$5 among $1 notes"}, {"0", "$50 among $1 notes"}, {"5", "$5 among $1 notes"}, {"5", "$5 among $1 notes"},
		{"1", "$1 as the pile"}, {"0", "$10 among $1 notes"}, {"2", "$2 among $1 notes"}, {"0", "$20 among $1 notes"},
	} {
		b.play(c.keys)
		b.shows(c.shows)
	}
}

// What is said only after a note was decided leaves its decision, and the screen says so wherever it is said.
func TestAnotherDenominationFoundLater(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("48160297 wait - 70633507 wait - 65 enter wait wait - wait - . . . . / m right right esc")
	b.shows("note 1: noted. It stays spent: ! lays it apart", "! lay it apart")
	b.play("enter desk p l / m right right esc")
	b.shows("noted. It stays spent: its strap gone through once more can lay it apart")
	b.play("wait")
	b.shows("neither kept nor spent here")
	b.play("desk p a 3 enter / m right right esc wait")
	b.shows("! lays it apart", "! lay it apart") // unread, too
	b.play("! wait left wait ! wait left wait !")
	for i, n := range b.notes(1, 1)[:3] {
		if n.Decision != triage.LaidApart || n.Denomination != 5 {
			t.Errorf("note %d is %+v", i+1, n)
		}
	}
	if s, err := b.store.Session(1); err != nil || s.Totals.Apart != 3 || s.Totals.Spent != 1 || s.Totals.Waiting != 0 {
		t.Errorf("the session counts %+v (%v)", s.Totals, err)
	}
	b.sound()
}

// The second letter of a $5 is typed after its denomination is said; to clear the serial does not take that back.
func TestTheSerialOfAnotherDenominationIsTypedAgain(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("MB27184659C")
	b.shows("Is it another denomination? Say so in the closer look, /, then type it again")
	b.play("/ m 5 esc clear MB27184659C wait !")
	b.shows("note 1: MB27184659C laid apart")
}
