package ui

import (
	"strings"
	"testing"

	"app/unband/triage"
)

// A session is counted back, a difference is named with its likely causes, it is signed off and closed, and
// opened again with a trace of it.
func TestStoryOfCountingBack(t *testing.T) {
	b := newTable(t)
	market(b) // seven notes of a band of 100: three kept, four spent
	b.play("enter wait b")
	b.shows("counting back", "not counted", "waits for the second look", "4 notes go back, $4, less than a full strap of 100")
	b.play("wait s")
	b.shows("nothing is counted yet")
	b.play("6 enter")
	b.shows("2 notes too many", "stuck together", "strap 1")
	b.play("up left 2 enter") // two keepers were replaced
	b.shows("6 notes go back", "agrees", "strap 1 came short from the bank")
	b.play("wait s wait s")
	s, err := b.store.Session(1)
	if err != nil || s.Open() || len(s.Log) != 1 || s.Log[0].Kind != triage.SignedOff || s.Log[0].Back != 6 || s.Log[0].Counted != 6 {
		t.Fatalf("%+v, %v", s, err)
	}
	b.shows("signed off, 6 notes counted as entered", "closed")
	b.play("wait b 7")
	b.shows("the session is closed: what was counted stays")
	b.play("esc wait o wait o")
	b.shows("opened again", "signed off", "open")
	s, _ = b.store.Session(1)
	if !s.Open() || len(s.Log) != 2 || s.Log[1].Kind != triage.Reopened {
		t.Errorf("%+v", s.Log)
	}
	b.play("wait c wait c")
	b.shows("closed without being counted back")
	b.sound()
}

// A held key signs nothing off, and a number half typed is dropped before the page is left.
func TestStoryOfACountHeld(t *testing.T) {
	b := newTable(t)
	market(b)
	b.play("enter wait b 4 esc")
	b.shows("not counted")
	b.play("4 enter bs") // taken back
	b.shows("not counted")
	b.play("4 enter wait s s s s s s s")
	if s, _ := b.store.Session(1); !s.Open() {
		t.Error("a held key closed the session")
	}
}

// In the smallest window what may be behind a difference can be read to its end; a key pressed too often there is taken
// back by one the other way, and the numbers are typed as before.
func TestADifferenceIsReadToItsEnd(t *testing.T) {
	b := newTable(t)
	market(b)
	b.play("enter wait b 6 enter")
	b.size(MinWidth, MinHeight)
	first := b.app.View()
	b.shows("↓ for more", "4 notes go back")
	const last = "Count once more"
	if strings.Contains(first, last) {
		t.Fatalf("nothing is left to scroll:\n%s", first)
	}
	b.play("pgdn pgdn pgdn pgdn pgdn pgdn")
	b.shows(last, "together")
	b.play("pgup")
	if b.app.View() != first {
		t.Errorf("one PgUp leads to\n%s\nwant\n%s", b.app.View(), first)
	}
	b.play("down down down down down down down down down down")
	b.shows(last)
	b.play("5 enter")
	b.shows("5 counted by hand: 1 note more than should go back", "4 notes go back")
	b.play("up 4 enter")
	b.shows("5 counted by hand", "+1", "=")
	b.sound()
}

// A note of another denomination is one of its strap, and no part of what goes back.
func TestANoteOfAnotherDenominationDoesNotGoBack(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("48160297 wait - 48160298 / m right right enter esc wait ! wait ! wait 48160299 wait - wait enter wait enter wait enter wait")
	b.shows("aside", "of another denomination laid apart")
	b.play("b")
	b.shows("2 notes go back, $2", "3 entered, 0 kept, 1 set aside (1 of them of", "another denomination), 0 put in place")
	b.play("2 enter")
	b.shows("2 counted by hand: it agrees")
	b.sound()
}
