package ui

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

// What is said of a note is stored with it, never carried over to the next, and can be said later of
// a note already decided.
func TestStoryOfTheCloserLook(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("A48160297D / 17A enter right right enter / wait -") // plate number: FW
	b.play("B35120846D wait -")
	notes := b.notes(1, 1)
	if n := notes[0]; n.Series != "2017A" || n.Facility != currency.FortWorth {
		t.Errorf("stored %q and %v, want 2017A and Fort Worth", n.Series, n.Facility)
	}
	if n := notes[1]; n.Series != "" || n.Facility != currency.FacilityUnknown {
		t.Errorf("the next note got %q and %v, which nobody said of it", n.Series, n.Facility)
	}
	b.play(". wait / 2013 enter /")
	notes = b.notes(1, 1)
	if n := notes[1]; n.Series != "2013" || n.Version != 2 || n.Decision != notes[0].Decision {
		t.Errorf("said later: %+v", n)
	}
	b.sound()
}

// A few keys are enough where they can mean one series only; where they can mean several, the closer
// look is not left before one is taken. The series said last is offered first, and never taken by
// itself.
func TestStoryOfFewKeys(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("A48160297D /17A/ wait wait -")
	if n := b.notes(1, 1); n[0].Series != "2017A" {
		t.Errorf("17A is taken as %q", n[0].Series)
	}
	b.play("B35120846D /17/")
	b.shows("which series is meant?")
	b.play("right enter / wait wait -")
	if n := b.notes(1, 1); n[1].Series != "2017A" {
		t.Errorf("the second note is of %q, want the one said last", n[1].Series)
	}
	b.play("C61225697D // wait -")
	if n := b.notes(1, 1); n[2].Series != "" {
		t.Errorf("nothing was said of the third note, and it is of %q", n[2].Series)
	}
}

// The letter behind the year is asked for where the year exists with and without it.
func TestStoryOfTheSmallLetter(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("A48160297D / 03 enter")
	b.shows("2003 or 2003A?")
	b.play("enter / wait wait -")
	if n := b.notes(1, 1); n[0].Series != "2003" {
		t.Errorf("series %q, want 2003", n[0].Series)
	}
}

// Enter on the series line takes nothing that was not typed or chosen, and leaves what was said.
func TestStoryOfEnterOnTheSeries(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("A48160297D / 2013 enter / wait wait - B35120846D / 17A enter / wait -")
	b.play(". . wait / enter right enter esc")
	b.play(". . C61225697D")
	n := b.notes(1, 1)
	if n[0].Series != "2013" || n[0].Facility != currency.Washington {
		t.Errorf("note 1 is of %q, %v", n[0].Series, n[0].Facility)
	}
}

// What is said of a note that is being typed anew waits for its decision; the old serial stays without
// it until then.
func TestStoryOfFactsOfARetypedNote(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("A48160297D wait - B35120846D wait - . wait C61225697D / 2013 enter /")
	if n := b.notes(1, 1); n[1].Serial.Digits != "35120846" || n[1].Series != "" {
		t.Errorf("note 2 is %s of %q before anything was decided", n[1].Serial, n[1].Series)
	}
	b.shows("note 2 of 100")
	b.play("wait wait -")
	if n := b.notes(1, 1); n[1].Serial.Digits != "61225697" || n[1].Series != "2013" {
		t.Errorf("note 2 is %s of %q", n[1].Serial, n[1].Series)
	}
}

// What was said of a note still in hand is there again after the strap was left.
func TestStoryOfFactsInHand(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("A48160297D / 2013 enter right / desk r")
	b.shows("still in hand")
	b.play("wait wait -")
	if n := b.notes(1, 1); len(n) != 1 || n[0].Series != "2013" || n[0].Facility != currency.Washington {
		t.Errorf("stored %+v", n)
	}
}

// V15: the seal says one bank, the corner number another. E14: a web note with FW.
func TestStoryOfWhatDoesNotFit(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("G41850962H / l G enter 4")
	b.shows("!")
	b.play("esc wait wait -")
	b.shows("press the same key once more")
	b.play("clear B48160297C / 1995 enter right right goto v right")
	b.shows("!", "FW")
}

// An old series stops the hand like a hit, by the limit of the denomination.
func TestStoryOfAnOldSeries(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("A48160297D / 1995 enter / wait wait -")
	b.shows("old series", "press the same key once more")
	b.play("clear A48160297D / 2017A enter / wait wait -")
	if n := len(b.notes(1, 1)); n != 1 {
		t.Errorf("%d notes decided, want 1: Series 2017A is not old", n)
	}
}

// A silver certificate met among ones: star in front, blue seal.
func TestStoryOfABlueSeal(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("*04417225A / 57 enter enter down right right")
	b.shows("silver certificate", "blue")
	b.play("esc wait wait + wait +")
	if n := b.notes(1, 1); len(n) != 1 || (n[0].Seal != currency.Blue || n[0].Series != "1957") {
		t.Errorf("stored %+v", n)
	}
}

// V10: 1963B was printed for five banks only.
func TestStoryOfADistrict(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("F48160297C / 63B enter /")
	b.shows("!")
	b.play("wait wait -")
	b.shows("press the same key once more")
}

// A suspected counterfeit is neither kept nor spent, but counted apart, and the caution is shown before
// it is decided.
func TestStoryOfASuspectedCounterfeit(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("B48160297C wait !")
	b.shows("Never spend it, never hand it back", "Secret Service")
	b.play("wait !")
	n := b.notes(1, 1)
	if len(n) != 1 || n[0].Decision != triage.SetAside {
		t.Fatalf("decided %+v", n)
	}
	s, _ := b.store.Session(1)
	if s.Totals.Aside != 1 || s.Totals.Spent != 0 || s.Totals.Kept != 0 || s.Totals.Notes != 1 {
		t.Errorf("totals %+v", s.Totals)
	}
	b.play("wait ! wait !") // with nothing typed, too
	if n := b.notes(1, 1); len(n) != 2 || n[1].Decision != triage.SetAside {
		t.Errorf("decided %+v", n)
	}
	b.sound()
}

// The walk through the questions goes back and forth, its answers and its end are kept with the note,
// and it is taken up where it was.
func TestStoryOfAPrintingError(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("70633607 / e enter y y y n n bs n")
	c := b.app.screen.(*strap).closer
	if _, _, done := c.errors.walk.At(); !done {
		b.play("y y y y")
	}
	b.play("enter esc wait wait +")
	n := b.notes(1, 1)
	if len(n) != 1 || n[0].Walk == "" || n[0].Flaw == flaws.NoOutcome {
		t.Fatalf("stored walk %q, outcome %v", n[0].Walk, n[0].Flaw)
	}
	if _, outcome, done := triage.WalkOf(n[0].Walk).At(); !done || outcome.ID != n[0].Flaw {
		t.Errorf("the stored answers lead to %v, stored is %v", outcome.ID, n[0].Flaw)
	}
}

// The closer look can always be left, and what was said is kept: with no serial yet, when the strap is
// left, and when the note before is taken out.
func TestStoryOfLeavingTheCloserLook(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("/ 9X esc")
	b.shows("is not a series")
	b.play("/ r torn esc desk r / r")
	b.shows("torn")
	b.play("esc A48160297C wait wait -")
	if n := b.notes(1, 1); n[0].Remark != "torn" {
		t.Errorf("the remark is %q", n[0].Remark)
	}
	b.play("/ r later")
	b.press(tea.KeyMsg{Type: tea.KeyCtrlC}) // the program is left with the closer look open
	b.start()
	b.play("r / r")
	b.shows("later")
}

// A decision pressed once is asked for anew when what it rests on has changed.
func TestStoryOfSureAndTheCloserLook(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("70633607 wait - wait / down down down 2017A enter esc wait wait -")
	if n := b.notes(1, 1); len(n) != 0 {
		t.Fatal("a hit was spent by one press after its facts had changed")
	}
}

// A note set aside is not looked for in the spend pile.
func TestStoryOfResumingAfterSettingAside(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("B48160297C wait ! wait wait ! wait desk r")
	b.shows("set aside", "apart from both piles")
}

// A note set aside unread is not called spent, and facts said of a note not yet typed do not make a
// serial of it.
func TestStoryOfWordsAboutAnUnreadNote(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("wait ! wait wait !")
	b.shows("note 1: set aside")
	b.play("wait / 2017A enter esc wait desk r")
	b.shows("last decided: note 1, unread, set aside")
	if strings.Contains(b.app.View(), "complete but undecided") {
		t.Fatal("a serial that was never typed is called complete")
	}
	b.play("70633607 wait /")
	b.shows("2017A")
}

// A note corrected into the one in hand makes that one doubtful.
func TestStoryOfADuplicateByCorrection(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("B18273645C wait - B18273654C . wait wait B18273654C wait wait -")
	b.shows("typed twice?")
	b.play("wait wait -")
	b.shows("press the same key once more")
}

// A session begun to be typed is there again, whatever came between.
func TestStoryOfAnUnfinishedForm(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("desk n Saturday esc enter desk n")
	b.shows("Saturday")
}
