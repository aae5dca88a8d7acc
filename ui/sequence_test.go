package ui

import (
	"os"
	"strings"
	"testing"

	"app/unband/triage"
)

// sequenced begins a session of new notes and takes its strap in as a sequence.
func (b *table) sequenced(first, last string) {
	b.t.Helper()
	b.beginNew("float")
	b.play("sequence " + first + " down down down down " + last + " enter")
}

// decided says how many notes of a strap were kept and spent.
func (b *table) decided(strap, kept, spent int) {
	b.t.Helper()
	var t triage.Totals
	for _, n := range b.notes(1, strap) {
		t = t.Add(n.Totals())
	}
	if t.Kept != kept || t.Spent != spent {
		b.t.Errorf("strap %d: %d kept and %d spent, want %d and %d", strap, t.Kept, t.Spent, kept, spent)
	}
}

// A hundred notes: the first number, the last one as proof, the radar pulled, the rest spent in one go.
func TestAStrapInSequence(t *testing.T) {
	b := newTable(t)
	b.sequenced("F12344301A", "F12344400A")
	b.shows("the last number proves it", "21  F12344321A", "ladder radar (1 in 7,384,615)", "just ahead", "44 notes on")
	b.play("wait enter")
	b.shows("note 21 of 100", "1 note to be pulled", "by the sequence of the strap")
	b.play("wait +")
	b.shows("All that was to be pulled is looked at.", "spends the other 99 notes")
	b.decided(1, 1, 0)
	b.play("wait wait enter")
	b.shows("the same key once more spends 99 notes by their sequence")
	b.decided(1, 1, 0)
	b.play("wait enter")
	b.shows("99 notes spent by their sequence", "right")
	b.decided(1, 1, 99)
	straps, err := b.store.Straps(1)
	if err != nil || !straps[0].Done || straps[0].First.String() != "F12344301A" || straps[0].Last.String() != "F12344400A" || !straps[0].InSequence {
		t.Errorf("the strap is stored as %+v (%v)", straps, err)
	}
	b.sound()
}

// The last number is read from the note: it is shown nowhere before it is typed.
func TestTheLastNumberIsNotGivenAway(t *testing.T) {
	b := newTable(t)
	b.beginNew("float")
	b.play("sequence F12344301A down down down down")
	for range 3 {
		if strings.Contains(b.app.View(), "12344400") {
			t.Fatal("the number that is to be read is on the screen")
		}
		b.play("F48160297A wait enter")
	}
}

// T10: a star in the middle is entered at its place and stands for the missing number.
func TestT10AStarInAStrapInSequence(t *testing.T) {
	b := newTable(t)
	b.sequenced("F20114401A", "F20114500A")
	b.shows("nothing is to be pulled from it")
	b.play("wait enter wait . ") // from the question to note 100
	b.play("up up up up up up left left left")
	b.shows("note 37 of 100", "not decided", "F")
	b.play("F01180455*")
	b.shows("stands for F20114437A")
	b.play("wait + 2017a enter")
	notes := b.notes(1, 1)
	if len(notes) != 1 || notes[0].Position != 37 || notes[0].Listed != "F20114437A" || notes[0].Serial.String() != "F01180455*" {
		t.Fatalf("decided are %+v\n%s", notes, b.app.View())
	}
	b.shows("it stands for F20114437A")
	b.play("wait wait enter wait enter")
	b.decided(1, 1, 99)
	b.sound()
}

// A strap that proves not to be in sequence is sorted note by note, and both numbers that were read are kept.
func TestAStrapThatIsNotInSequence(t *testing.T) {
	b := newTable(t)
	b.sequenced("F48160201A", "F48160577A")
	b.shows("one by one")
	b.play("onebyone")
	b.shows("note 1 of 100", "was read already")
	b.play("F48160207A")
	b.shows("F48160201A was read of this note before the", "is it this note?")
	b.play("clear clear")
	b.shows("note 1 of 100", "F")
	b.play("wait -")
	if n := b.notes(1, 1); len(n) != 1 || n[0].Serial.String() != "F48160201A" || n[0].Origin != triage.Typed {
		t.Fatalf("decided are %+v", n)
	}
	for range 98 {
		b.play("wait wait -") // unread
	}
	b.shows("note 100 of 100", "read already, as the note at the bottom")
	b.play("F48160578A wait -")
	b.shows("F48160577A was read of this note before the", "press the same key once more")
	b.play("clear clear")
	b.shows("read already, as the note at the bottom")
	b.play("wait -")
	if n := b.notes(1, 1); len(n) != 100 || n[99].Serial.String() != "F48160577A" {
		t.Errorf("%d notes, the last %+v", len(n), n[len(n)-1])
	}
	b.sound()
}

// T09: a strap of stars is kept whole, its first and last number written down; its stars are one group of the
// batch.
func TestT09AStrapOfStars(t *testing.T) {
	b := newTable(t)
	b.beginNew("float")
	b.play("sequence A01344301* down down down 2017a down A01344400* enter")
	b.shows("a strap of stars: it is kept whole")
	b.play("wait enter wait")
	b.shows("keep it whole", "keeps 100 stars")
	b.play("enter wait enter")
	b.shows("100 notes kept whole")
	b.decided(1, 100, 0)
	stars, err := b.store.Stars()
	if err != nil || len(stars) != 100 || stars[0].Series != "2017A" {
		t.Errorf("%d stars in the batch, %v", len(stars), err)
	}
	b.sound()
}

// A strap is left and taken up again at the note that was in hand; what was said of it is there.
func TestASequenceIsTakenUpAgain(t *testing.T) {
	b := newTable(t)
	b.sequenced("F12344301A", "F12344400A")
	b.play("wait enter wait F01180455*")
	b.start()
	b.play("r")
	b.shows("note 21 of 100", "stands for F12344321A", "still in hand")
	b.play("clear wait desk wait r")
	b.shows("note 21 of 100", "by the sequence of the strap")
	b.sound()
}

// With the strap taken in, it turns out not to be in sequence: it is sorted one by one after all.
func TestASequenceIsGivenUp(t *testing.T) {
	b := newTable(t)
	b.sequenced("F12344301A", "F12344400A")
	b.play("wait enter wait onebyone")
	b.shows("once more forgets the numbers")
	b.play("wait onebyone")
	b.shows("sorted one by one from here", "note 1 of 100", "F")
	list, err := b.store.Listed(1, 1)
	if err != nil || len(list) != 0 {
		t.Errorf("%d notes are listed, %v", len(list), err)
	}
	b.sound()
}

// Notes decided before it was given up stay where they are; those before them are read one by one.
func TestASequenceIsGivenUpHalfway(t *testing.T) {
	b := newTable(t)
	b.sequenced("F12344301A", "F12344400A")
	b.play("wait enter wait + wait wait onebyone wait onebyone")
	b.shows("note 1 of 100")
	for range 20 {
		b.play("wait wait -") // unread
	}
	b.shows("note 22 of 100")
	if n := b.notes(1, 1); len(n) != 21 || n[20].Decision != triage.Keep {
		t.Errorf("decided are %+v", n)
	}
	b.sound()
}

// Used notes come in no sequence, and a strap that is begun is not taken in as one.
func TestWhereNoSequenceIs(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	b.play("sequence")
	b.shows("only new notes come in sequence", "note 1 of 100")
	b = newTable(t)
	b.beginNew("float")
	b.play("35120846 wait - sequence")
	b.shows("notes of this strap are sorted already", "note 2 of 100")
}

// The first number may be typed before one knows that there is a sequence: it is there, also by way of the session's
// page.
func TestTheNoteInHandIsTheFirstOfTheSequence(t *testing.T) {
	b := newTable(t)
	b.beginNew("float")
	b.play("F12344301A desk p s")
	b.shows("first note      F12344301A")
	b.play("down down down down F12344400A enter wait enter")
	b.shows("note 21 of 100")
	b.sound()
}

// Where sorting one by one could not be stored, the strap can be taken in as a sequence after all, and nothing is
// in hand then.
func TestOneByOneThatFailedLeavesNothingInHand(t *testing.T) {
	b := newTable(t)
	b.beginNew("float")
	b.play("sequence F12344301A down down down down")
	moved := b.path + ".away"
	if err := os.Rename(b.path, moved); err != nil {
		t.Fatal(err)
	}
	b.play("onebyone")
	if err := os.Rename(moved, b.path); err != nil {
		t.Fatal(err)
	}
	b.play("F12344400A enter wait enter")
	b.shows("note 21 of 100", "by the sequence of the strap")
	if h, held, err := b.store.Hand(1, 1); held || err != nil {
		t.Errorf("in hand is %+v (%v)", h, err)
	}
	b.sound()
}

// A strap in sequence whose series was said is given up: nothing of the sequence stays, the number read of the note on top
// can be typed over, also after the strap was left, and another sequence can be taken in.
func TestASequenceWithItsSeriesIsGivenUp(t *testing.T) {
	b := newTable(t)
	b.beginNew("float")
	b.play("sequence F12344301A down down down 2017A down F12344400A enter wait enter wait wait onebyone wait wait onebyone")
	b.shows("sorted one by one from here", "note 1 of 100")
	if list, err := b.store.Listed(1, 1); err != nil || len(list) != 0 {
		t.Errorf("%d notes are still listed, the first %+v (%v)", len(list), list[0], err)
	}
	b.play("desk r")
	b.shows("The serial above was read already, as the note on", "another number is typed over it")
	b.play("F48160297A")
	if s := b.app.screen.(*strap).sorter.Hand().Entry.Serial; s.String() != "F48160297A" {
		t.Errorf("typed over it, %v is in hand", s)
	}
	b.play("clear clear clear sequence")
	b.shows("a strap in sequence")
	b.sound()
}
