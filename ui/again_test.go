package ui

import (
	"fmt"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/flaws"
)

// shortStrap sorts a strap of 25, closes it and goes to the page of its session: note 3 is a radar, note 4 spent
// unread, note 5 settled early, note 6 a near miss, the others plain.
func shortStrap(b *table, kind string) {
	b.play("n")
	b.typed("Friday float")
	b.play("down")
	b.typed("Harbour branch")
	b.play("down down " + kind[:1] + " down 1 down right enter")
	for i, s := range plainSerials(25, 11) {
		switch i + 1 {
		case 3:
			b.play("B70633607C wait + wait")
		case 4:
			b.play("wait - wait")
		case 5:
			b.play("481602 wait - wait")
		case 6:
			b.play("B70633507C wait - 65 enter wait")
		default:
			b.play("B" + s + "C wait - wait")
		}
	}
	b.play("wait enter wait")
}

// Fronts first, from the top: someone sees a flaw on note 17 and on note 22 of the pile, and says so by position.
func TestStoryOfTheFronts(t *testing.T) {
	b := newTable(t)
	shortStrap(b, "used")
	before := b.notes(1, 1)
	b.play("a")
	b.shows("note 1 of 25", "first note to last")
	for i := 2; i <= 25; i++ {
		b.play("enter")
		b.shows(fmt.Sprintf("note %d of 25", i))
	}
	b.play("enter")
	b.shows("note 25 of 25", "the last note of the pass")
	b.play("17")
	b.shows("note 17", "goes there")
	b.play("enter / f ink esc 22 enter / g right right esc desk")
	notes := b.notes(1, 1)
	for i, n := range notes {
		want := before[i]
		switch n.Position {
		case 17:
			want.Face = "ink"
		case 22:
			want.Grade = flaws.Grades[1].Grade
		}
		if n.Facts() != want.Facts() || n.Serial != want.Serial || n.Decision != want.Decision || n.Decided != want.Decided {
			t.Errorf("note %d is %+v, want %+v", n.Position, n, want)
		}
	}
	b.sound()
}

// The pile is turned over for the backs: the plate numbers of a whole strap are typed one after another, each stored
// with the note it was read from before the next is shown.
func TestStoryOfTheBacks(t *testing.T) {
	b := newTable(t)
	shortStrap(b, "used")
	b.play("a t / k")
	b.shows("note 25 of 25", "last note to first")
	for i := 25; i >= 1; i-- {
		b.shows(fmt.Sprintf("note %d of 25", i), "back plate")
		b.play(fmt.Sprintf("%d pgdn", 200+i))
		b.shows(fmt.Sprintf("note %d: noted, back plate: %d", i, 200+i))
		if n := b.notes(1, 1)[i-1]; n.BackPlate != fmt.Sprint(200+i) {
			t.Fatalf("note %d has back plate %q", i, n.BackPlate)
		}
	}
	b.shows("note 1 of 25", "the last note of the pass")
	b.play("pgup pgup")
	b.shows("note 3 of 25", "203")
	b.play("clear 999 esc")
	if n := b.notes(1, 1); n[2].BackPlate != "999" || n[1].Version != 2 {
		t.Errorf("%+v", n[2])
	}
	b.sound()
}

// The series under the cursor is taken by going on, and one that can be meant in two ways is asked about first.
func TestStoryOfTheSeriesOfAStrap(t *testing.T) {
	b := newTable(t)
	shortStrap(b, "used")
	b.play("a / 17A pgdn right pgdn 03 pgdn")
	b.shows("note 3 of 25", "which series is meant?")
	b.play("right pgdn")
	b.shows("note 4 of 25")
	n := b.notes(1, 1)
	if n[0].Series != "2017A" || n[1].Series != "2017A" || n[2].Series != "2003" || n[3].Series != "" {
		t.Errorf("%q %q %q %q", n[0].Series, n[1].Series, n[2].Series, n[3].Series)
	}
}

// On a slow disk the screen does not go ahead of the file, and what is typed meanwhile is the next note's.
func TestStoryOfASlowDiskInTheBacks(t *testing.T) {
	b := newTable(t)
	shortStrap(b, "used")
	b.play("a / k 101")
	b.stall()
	b.play("pgdn 102 pgdn 103 esc")
	b.shows("note 1 of 25")
	b.goOn()
	b.shows("note 3 of 25")
	for i, n := range b.notes(1, 1)[:4] {
		if want := []string{"101", "102", "103", ""}[i]; n.BackPlate != want {
			t.Errorf("note %d has back plate %q, want %q", n.Position, n.BackPlate, want)
		}
	}
	b.sound()
}

// What cannot be stored stays in the closer look, to be stored once more, and the next note is not shown.
func TestStoryOfAFailureInTheBacks(t *testing.T) {
	for _, leave := range []string{"pgdn", "esc"} {
		b := newTable(t)
		shortStrap(b, "used")
		b.play("a / k 101")
		other := b.notes(1, 1)[0]
		if r := b.store.Do(store.Revise{Notes: []triage.Note{other.Revised(triage.Facts{Remark: "said elsewhere"}, b.now)}}); r.Err != nil {
			t.Fatal(r.Err)
		}
		b.play(leave)
		b.shows("note 1 of 25", "back plate      101")
		if n := b.notes(1, 1)[0]; n.BackPlate != "" || n.Remark != "said elsewhere" {
			t.Errorf("after %s the file has %+v", leave, n)
		}
	}
}

// The program is left with the closer look open: what stands on the line is kept, in whatever way it ends.
func TestStoryOfLeavingTheBacks(t *testing.T) {
	for name, leave := range map[string]func(*table){
		"Ctrl+C":     func(b *table) { b.press(tea.KeyMsg{Type: tea.KeyCtrlC}) },
		"the window": func(b *table) { b.app.Leave() },
		"Esc":        func(b *table) { b.play("esc") },
	} {
		b := newTable(t)
		shortStrap(b, "used")
		b.play("a / k 101 pgdn 102")
		leave(b)
		b.send(tickMsg(0))
		if n := b.notes(1, 1); n[0].BackPlate != "101" || n[1].BackPlate != "102" {
			t.Errorf("left by %s: %q and %q", name, n[0].BackPlate, n[1].BackPlate)
		}
		b.sound()
	}
}

// It goes on where it was left in this sitting, the way it ran.
func TestStoryOfGoingOnWithTheBacks(t *testing.T) {
	b := newTable(t)
	shortStrap(b, "used")
	b.play("a t enter enter desk")
	b.shows("strap 1")
	b.play("a")
	b.shows("note 23 of 25", "last note to first", "from note 23, where it was left")
	b.play("enter")
	b.shows("note 22 of 25")
}

// A note decided anew moves every total, and what it asks of its neighbours is said.
func TestStoryOfAnErrorFoundOnTheBack(t *testing.T) {
	b := newTable(t)
	shortStrap(b, "new")
	b.play("a 8 enter / e enter y y y n y y enter esc wait wait +")
	b.shows("note 8 of 25", "kept. Keep the note before it and the note after it, too")
	n := b.notes(1, 1)[7]
	if n.Decision != triage.Keep || n.Flaw == flaws.NoOutcome || n.Version != 3 {
		t.Fatalf("%+v", n)
	}
	b.play("enter")
	b.shows("note 9 of 25", "beside note 8")
	b.play("wait +")
	b.shows("note 9:", "kept")
	b.play("desk")
	b.shows("strap 1       25     3     22")
	b.sound()
}

// Spent against the rule: twice, each time after the pause. The near miss asks for its digits, as when it was sorted,
// unless they were read again already.
func TestStoryOfDecidingAnew(t *testing.T) {
	b := newTable(t)
	shortStrap(b, "used")
	b.play("a 3 enter -")
	b.shows("too early")
	b.play("wait -")
	b.shows("the same key once more")
	b.play("-")
	if n := b.notes(1, 1)[2]; n.Decision != triage.Keep {
		t.Fatalf("the radar is %v after two presses without a pause", n.Decision)
	}
	b.play("wait - wait -")
	if n := b.notes(1, 1)[2]; n.Decision != triage.Spend || !n.Against() {
		t.Errorf("the radar is %v", n.Decision)
	}
	b.play("6 enter wait + wait")
	if n := b.notes(1, 1)[5]; n.Look != triage.KeptAfter {
		t.Errorf("the near miss is %v, %v", n.Decision, n.Look)
	}
	b.play("-")
	if n := b.notes(1, 1)[5]; n.Decision != triage.Spend || n.Look != triage.Waiting || n.Reread != triage.RereadSame {
		t.Errorf("read again when it was sorted, and now it is %+v", n)
	}
	b.play("5 enter n 97 wait +")
	if n := b.notes(1, 1)[4]; n.Decision != triage.Keep || n.Serial.Digits != "48160297" {
		t.Errorf("settled early, and now it is %+v", n)
	}
	b.play("wait 7 enter wait ! wait !")
	if n := b.notes(1, 1)[6]; n.Decision != triage.SetAside {
		t.Errorf("note 7 is %v", n.Decision)
	}
	b.sound()
}

// A key held down, or a burst, decides nothing and goes no further than one note.
func TestStoryOfHeldKeysInAStrapOnceMore(t *testing.T) {
	b := newTable(t)
	shortStrap(b, "used")
	b.play("a 7 enter")
	before := fmt.Sprint(b.notes(1, 1))
	for range 100 {
		b.play("+")
	}
	b.play("wait wait")
	b.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("+-!")})
	b.shows("in one burst")
	for _, keys := range []string{"8+", "+8", "--", "9-\r", "====="} {
		b.play("wait wait")
		b.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(keys)})
	}
	b.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("48160297"), Paste: true})
	if after := fmt.Sprint(b.notes(1, 1)); after != before {
		t.Errorf("before %s\nafter %s", before, after)
	}
	b.play("clear wait +")
	for range 100 {
		b.play("+")
	}
	if n := b.notes(1, 1)[6]; n.Decision != triage.Keep || n.Version != 2 {
		t.Errorf("note 7 is %v in version %d", n.Decision, n.Version)
	}
	b.shows("note 7 of 25")
	b.sound()
}

// In a closed session what is known can be added to, and no decision is changed; the screen says so before a key is
// pressed.
func TestStoryOfAClosedStrapOnceMore(t *testing.T) {
	b := newTable(t)
	shortStrap(b, "used")
	b.play("wait c wait c wait a")
	b.shows("the session is closed: what was decided stays")
	b.play("wait +")
	b.shows("the session is closed")
	b.play("2 enter / k 295 pgdn 296 esc wait + wait - wait ! n t enter")
	n := b.notes(1, 1)
	if n[0].Version != 1 || n[1].BackPlate != "295" || n[2].BackPlate != "296" || n[2].Decision != triage.Keep || n[2].Version != 2 {
		t.Errorf("%+v", n[:3])
	}
	b.sound()
}

// A strap that is being sorted can be gone through as far as it is decided; the note in hand waits.
func TestStoryOfAStrapBeingSortedOnceMore(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("48160297 wait - wait 35120846 wait - wait 61225697 desk p")
	b.shows("being sorted")
	b.play("a enter")
	b.shows("note 2 of 2")
	b.play("enter / k 295 esc desk wait enter wait")
	b.shows("note 3 of 100", "complete but undecided")
	b.play("wait -")
	if n := b.notes(1, 1); len(n) != 3 || n[1].BackPlate != "295" {
		t.Errorf("%+v", n)
	}
	b.sound()
}

// The cursor of the session's page chooses the strap; a strap without a note is not opened.
func TestStoryOfChoosingAStrap(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("desk p a")
	b.shows("not one note of strap 1 is decided yet")
	b.play("wait enter wait")
	for i, s := range plainSerials(10, 5) {
		b.play(s + " wait - wait enter wait enter wait enter wait")
		if i < 9 {
			b.play("enter wait")
		}
	}
	b.size(60, 16)
	b.shows("strap 9", "› strap 10")
	b.play("up up up up up up up")
	b.shows("› strap 3")
	b.play("a")
	b.shows("strap 3 ·", "note 1 of 1")
	b.play("desk")
	b.shows("› strap 3")
}
