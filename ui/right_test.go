package ui

import (
	"errors"
	"testing"

	"app/unband/store"
	"app/unband/triage"
)

// The bank, the kind of notes, the number of straps and what a band holds were entered wrongly; a strap is being sorted.
func TestASessionEnteredWronglyIsPutRight(t *testing.T) {
	b := newTable(t)
	b.begin("Fridya float")
	b.play("48160297 wait - 61225697 wait - desk p e clear")
	b.typed("Friday float")
	b.play("down clear")
	b.typed("Bridge branch")
	b.play("down down n down clear 4 down 25 enter")
	b.shows("Friday float", "from Bridge branch · new notes · 4 straps of 25", "being sorted")
	s, err := b.store.Session(1)
	if err != nil || s.Name != "Friday float" || s.Source != "Bridge branch" || !s.NewNotes || s.Straps != 4 || s.StrapNotes != 25 || s.Totals.Notes != 2 {
		t.Errorf("stored is %+v (%v)", s, err)
	}
	if straps, err := b.store.Straps(1); err != nil || straps[0].Band != 25 {
		t.Errorf("straps are %+v (%v)", straps, err)
	}
	b.play("wait enter")
	b.shows("strap 1 of 4 · $1 new", "note 3 of 25")
	b.sound()
}

// Notes that are entered already get another face value only when it is asked for twice, and with it the highest serial
// and the limit of an old series that go with it.
func TestAnotherDenominationIsAskedForTwice(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("48160297 wait - desk p wait e down down 50 up up up wait enter")
	b.shows("1 note is entered as $1: Enter again makes them $50", "[$50]")
	b.play("up down wait wait enter") // another key came: it is asked for anew
	b.shows("1 note is entered as $1")
	if s, _ := b.store.Session(1); s.Denomination != 1 {
		t.Errorf("asked once, they are %v", s.Denomination)
	}
	b.play("wait wait enter")
	b.shows("$50 · open", "spent $50")
	s, err := b.store.Session(1)
	chosen, _ := b.app.env.choices()
	if err != nil || s.Denomination != 50 || s.Settings.HighTo != triage.Denomination(50).Top() || s.OldBefore != chosen.OldLimit(50) {
		t.Errorf("stored is %+v (%v)", s, err)
	}
	b.sound()
}

func TestAsManyStrapsAsAreBegunStay(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("48160297 wait - enter wait enter wait enter wait enter 61225697 wait - desk p e up up clear 1 enter enter")
	b.shows("how many straps? a number from 2 to 10,000: 2 straps are begun")
	b.play("bs 2 enter enter")
	b.shows("2 straps of 100")
}

// Of a closed session only the words can be put right: it is signed off as it is.
func TestAClosedSessionKeepsItsNumbers(t *testing.T) {
	b := newTable(t)
	market(b)
	b.play("p wait c wait wait c")
	b.shows("closed")
	before, _ := b.store.Session(1)
	b.play("e clear")
	b.typed("Saturday float")
	b.play("down clear")
	b.typed("Bridge branch")
	b.play("down 5 up clear x")
	b.typed("y")
	b.play("enter")
	after, err := b.store.Session(1)
	before.Name, before.Source = after.Name, after.Source
	if err != nil || after.Source != "xy" && after.Source != "Bridge branch" || after.Denomination != before.Denomination || after.Straps != before.Straps || after.Open() {
		t.Errorf("stored is %+v (%v), before %+v", after, err, before)
	}
	b.sound()
}

func TestASessionWithoutNotesCanBeTakenOut(t *testing.T) {
	b := newTable(t)
	b.begin("a mistake")
	b.play("desk p e wait ctrl+x")
	b.shows("nothing is decided in it: Ctrl+X again takes the session out of the file")
	b.play("down wait ctrl+x") // the first press is forgotten
	if _, err := b.store.Session(1); err != nil {
		t.Fatal(err)
	}
	b.play("wait ctrl+x")
	b.shows("the session is taken out")
	if _, err := b.store.Session(1); !errors.Is(err, store.ErrNoSession) {
		t.Errorf("the session is still there (%v)", err)
	}
	b.begin("Friday float")
	b.play("48160297 wait - desk p e wait ctrl+x")
	b.shows("1 note is decided or listed in this session: it stays")
	b.sound()
}

// Going through the denominations and back leaves what the band holds; what is not chosen anew is not put right.
func TestDenominationsPassedByLeaveTheBand(t *testing.T) {
	b := newTable(t)
	b.play("n down down down u down 1 down right enter 48160297 wait - desk p") // a strap of 25
	b.shows("1 strap of 25")
	b.play("e down down right left up up clear")
	b.typed("Saturday float")
	b.play("up enter")
	b.shows("Saturday float", "1 strap of 25")
	if straps, err := b.store.Straps(1); err != nil || straps[0].Band != 25 {
		t.Errorf("straps are %+v (%v)", straps, err)
	}
	b.sound()
}
