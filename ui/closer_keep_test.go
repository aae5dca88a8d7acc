package ui

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/errands"
)

// What is said of a note gone back to is stored while it stays in sight: the next decision key meets it, not
// the note in hand.
func TestStoryOfSayingAndThenDeciding(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("48160297 wait + wait 35120846 wait . wait / g right esc")
	b.shows("note 1 of 100", "gone back: kept")
	b.play("wait wait -")
	n := b.notes(1, 1)
	if len(n) != 1 || n[0].Decision != triage.Spend || n[0].Grade == 0 {
		t.Fatalf("%d notes, the first %v", len(n), n[0])
	}
	b.shows("note 2 of 100")
	b.sound()
}

// The program ends with the closer look open: a series that is typed is kept, as with Esc; and so it is when
// the window is closed.
func TestStoryOfLeavingWithASeriesTyped(t *testing.T) {
	for _, leave := range []func(*table){
		func(b *table) { b.press(tea.KeyMsg{Type: tea.KeyCtrlC}) },
		func(b *table) { b.app.Leave() },
	} {
		b := newTable(t)
		b.begin("Friday float")
		b.play("48160297 wait - wait . wait / 17A")
		leave(b)
		b.send(tickMsg(0))
		if n := b.notes(1, 1); n[0].Series != "2017A" {
			t.Errorf("the series is %q", n[0].Series)
		}
	}
}

// What is said of a near miss whose digits were read again is stored, though it is not decided yet.
func TestStoryOfFactsAfterAReread(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("70633507 wait - 65 enter wait enter wait enter wait enter l wait enter 66 enter / r torn esc desk")
	if n := b.notes(1, 1); n[0].Remark != "torn" || n[0].Look != triage.Waiting {
		t.Errorf("%+v", n[0])
	}
	b.sound()
}

// A near miss spent against the rule stays so in the second look, and a ladder found there asks for its
// neighbours.
func TestStoryOfRulesInTheSecondLook(t *testing.T) {
	b := newTable(t)
	b.beginNew("Friday float")
	b.play("48160297 wait - wait 48160298 / e enter y y y n y y enter esc wait + wait 48160299 wait - wait -")
	b.play("wait 12345668 wait - wait enter") // near a ladder: asked to read again
	if m := b.app.screen.(*strap).sorter.Hand().Mode(); m == triage.Rereading {
		b.play("clear clear")
	}
	if n := b.notes(1, 1); n[2].Ruled != triage.RuledKeep || !n[2].Against() {
		t.Fatalf("%+v", n[2])
	}
}

// Completing a note's digits does not open its errand again.
func TestStoryOfAnErrandOfASettledNote(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("481602 / t space esc wait - wait desk")
	stamp := errands.Errand{Kind: errands.Stamp, Place: triage.Place{Session: 1, Strap: 1, Position: 1}, Done: b.now, Remark: "seen before"}
	if r := b.store.Do(store.PutErrands{Errands: []errands.Errand{stamp}}); r.Err != nil {
		t.Fatal(r.Err)
	}
	b.play("r . wait 48160297 / t space esc wait wait -")
	if done := b.errandDone(errands.Stamp, stamp.Place); done.IsZero() {
		t.Error("the errand is open again")
	}
	b.sound()
}

// To say where a keeper lies is not to sort: the strap that R resumes stays the one on the table.
func TestStoryOfResumingAfterTheKeepers(t *testing.T) {
	b := newTable(t)
	b.begin("Old float")
	b.play("70633607 wait + desk wait")
	b.begin("Tonight")
	b.play("48160297 wait - desk wait k")
	b.press(ctrlW)
	b.typed("album")
	b.play("enter wait esc")
	b.shows("R resumes Tonight")
}

// A keeper that was sold and is typed anew is another note; one that was spent after all can be kept again.
func TestStoryOfAKeeperTypedAnew(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("70633607 wait + wait desk k")
	b.press(ctrlG)
	b.play("right enter enter enter esc r . wait 50611605 wait +")
	if n := b.notes(1, 1); n[0].Fate != triage.StillHere || n[0].Serial.Digits != "50611605" {
		t.Errorf("%+v", n[0])
	}
	b.play("desk k")
	b.press(ctrlG)
	b.play("left enter enter enter esc r . wait")
	b.shows("gone back: spent after all")
	b.play("+")
	if n := b.notes(1, 1); n[0].Fate != triage.StillHere || n[0].Totals().Kept != 1 {
		t.Errorf("%+v", n[0])
	}
	b.sound()
}

// The held Enter that answers a re-read in the second look does not begin it again.
func TestStoryOfAHeldEnterInTheSecondLook(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("70633507 wait - 65 enter wait enter wait enter wait enter l wait wait enter 65 enter enter enter enter enter enter")
	if m := b.app.screen.(*second).look.Hand().Mode(); m == triage.Rereading {
		t.Error("the re-read begins again")
	}
}
