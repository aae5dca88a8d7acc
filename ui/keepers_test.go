package ui

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"app/unband/patterns"
	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/errands"
	"app/unband/triage/flaws"
)

// Everything kept is found by what is typed, can be said to lie in one place at once, and is followed
// when it goes; the face value goes with it.
func TestStoryOfTheKeepers(t *testing.T) {
	b := newTable(t)
	market(b)
	b.play("k")
	b.shows("3 keepers here, $3", "3 of 3", "rotator, offset transfer", "F01873355*", "album 1")
	b.typed("offset fold")
	b.shows("1 of 3", "B60896809A")
	b.play("esc")
	b.typed("new york")
	b.shows("2 of 3", "B70633607C")
	b.play("clear")
	b.press(ctrlA)
	b.press(ctrlW)
	b.play("clear")
	b.typed("drawer 4")
	b.play("enter")
	kept, err := b.store.Kept()
	if err != nil || len(kept) != 3 {
		t.Fatalf("%d keepers, %v", len(kept), err)
	}
	for _, n := range kept {
		if n.Where != "drawer 4" || n.Decision != triage.Keep || n.Decided.After(n.Changed) {
			t.Errorf("%s lies in %q, decided %v, changed %v", n.Serial, n.Where, n.Decided, n.Changed)
		}
	}
	b.typed("radar")
	b.press(ctrlG)
	b.play("right down clear")
	b.typed("2026-3-7")
	b.play("down enter")
	b.shows("the day is written as")
	b.play("clear")
	b.typed("2026-03-05")
	b.play("down")
	b.typed("at the fair")
	b.play("enter")
	b.shows("sold")
	b.play("esc")
	b.shows("2 keepers here, $2 face value", "1 sold, $1")
	s, _ := b.store.Session(1)
	if s.Totals.Kept != 3 || s.Totals.Sold != 1 {
		t.Errorf("after selling one: %+v", s.Totals)
	}
	b.typed("star")
	b.press(ctrlG)
	b.play("left enter enter enter") // spent after all
	s, _ = b.store.Session(1)
	if s.Totals.Kept != 2 || s.Totals.Spent != 5 || s.Totals.Respent != 1 || s.Totals.Notes != 7 {
		t.Errorf("after spending one: %+v", s.Totals)
	}
	if stars, _ := b.store.Stars(); len(stars) != 0 {
		t.Error("a star that was spent is still in the batch")
	}
	b.press(ctrlG)
	b.play("right enter enter enter") // it is still here: taken back
	s, _ = b.store.Session(1)
	if s.Totals.Kept != 3 || s.Totals.Spent != 4 || s.Totals.Respent != 0 {
		t.Errorf("after taking it back: %+v", s.Totals)
	}
	b.sound()
}

// A keeper is looked at more closely from the list, which is as it was afterwards.
func TestStoryOfAKeeperLookedAt(t *testing.T) {
	b := newTable(t)
	market(b)
	b.play("k")
	b.typed("radar")
	b.play("/ g right right goto d space esc")
	b.shows("radar", "1 of 3")
	kept, _ := b.store.Kept()
	for _, n := range kept {
		if n.Serial.Digits == "70633607" && (n.Grade != flaws.Fair || n.Defects != flaws.Fold || n.Version != 2) {
			t.Errorf("the radar is %v, %v, version %d", n.Grade, n.Defects, n.Version)
		}
	}
	b.play("enter r")
	b.typed("shown at the club")
	b.press(tea.KeyMsg{Type: tea.KeyCtrlC}) // left with the closer look open
	b.start()
	b.play("k")
	b.typed("club")
	b.shows("1 of 3")
	b.sound()
}

// The orders go around, and the cursor stays on its note.
func TestStoryOfTheOrders(t *testing.T) {
	b := newTable(t)
	market(b)
	b.play("k down")
	here, _ := b.app.screen.(*keeperList).selected()
	for range 5 {
		b.press(ctrlO)
		if now, _ := b.app.screen.(*keeperList).selected(); now.Note.Place() != here.Note.Place() {
			t.Fatalf("the cursor went from %s to %s", here.Note.Serial, now.Note.Serial)
		}
	}
	b.shows("newest first")
}

// Errands stand on the desk by themselves, are done with one key, and are kept with their date.
func TestStoryOfErrands(t *testing.T) {
	b := newTable(t)
	market(b)
	b.shows("second look", "offset transfer", "look the stamp up", "1 star kept, 1 to be looked up")
	if strings.Contains(b.app.View(), "another branch") {
		t.Errorf("the pile is to be taken back while a near miss of it waits:\n%s", b.app.View())
	}
	b.play("l wait - wait")
	b.shows("take $4 of Friday float to another branch than Harbour branch", "offset transfer", "look the stamp up", "1 star kept, 1 to be looked up")
	b.play("x")
	b.shows("no errand is under the cursor")
	b.play("down x")
	b.shows("done: take $4 of Friday float to another branch")
	pile := triage.Place{Session: 1}
	if done := b.errandDone(errands.Pile, pile); !done.Equal(b.now) {
		t.Errorf("done at %v, want %v", done, b.now)
	}
	b.play("down x x x x x x x x") // held down: one errand, not all of them
	if n := len(b.app.screen.(*desk).errands); n != 2 {
		t.Errorf("%d errands are left, want 2", n)
	}
	b.play("down x down x")
	b.play("e")
	b.shows("done", "offset transfer", "the stamp up")
	b.start()
	b.play("e")
	before := len(b.app.screen.(*errandPage).open)
	b.play("down down down down down down down wait x") // the last one done is open again
	if now := len(b.app.screen.(*errandPage).open); now != before+1 {
		t.Errorf("%d are open after one was opened again, were %d", now, before)
	}
	b.sound()
}

// An errand leads to its note, and a stamp said not to be one is no errand any more.
func TestStoryOfGoingAboutAnErrand(t *testing.T) {
	b := newTable(t)
	market(b)
	b.play("down down down enter")
	b.shows("tracking stamp", "L", "yes: look it up")
	b.play("space esc")
	b.shows("the desk")
	if todo, _ := b.store.Todo(); len(todo) != 1 {
		t.Errorf("%d notes have an errand, want 1", len(todo))
	}
	b.play("down down enter")
	b.shows("printing error", "offset transfer")
	b.play("esc down enter")
	b.shows("second look")
	b.sound()
}

// The text for people who help has what was said, hides digits, and goes to a file or the clipboard; a file
// that is there is replaced only by a second press.
func TestStoryOfAskingForHelp(t *testing.T) {
	t.Chdir(t.TempDir())
	b := newTable(t)
	b.begin("Friday float")
	b.play("B60896809A / 17A enter goto e enter y y y n y y enter goto f")
	b.typed("a ghost of the back")
	b.press(tea.KeyMsg{Type: tea.KeyCtrlT})
	b.typed("Is this from the press?")
	b.play("down right right right")
	b.press(tea.KeyMsg{Type: tea.KeyCtrlY})
	for _, want := range []string{"Question: Is this from the press?", "Series: 2017A", "Serial: B60896xxxA", "On the face: a ghost of the back", "mirrored? yes", "Not said:", "$1"} {
		if !strings.Contains(b.copied, want) {
			t.Errorf("the text lacks %q:\n%s", want, b.copied)
		}
	}
	if strings.Contains(b.copied, "Harbour") || strings.Contains(b.copied, "offset transfer") {
		t.Errorf("the text names the branch, or a verdict:\n%s", b.copied)
	}
	save := tea.KeyMsg{Type: tea.KeyCtrlS}
	b.press(save)
	const file = "unband-note-1-1-1.txt"
	written := func() string {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	if written() != b.copied {
		t.Errorf("the file has\n%s", written())
	}
	if err := os.WriteFile(file, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	b.press(save)
	b.shows("already")
	b.play("up up down") // another key: the question is open no more
	b.press(save)
	if written() != "mine" {
		t.Fatal("a file was replaced without being asked for")
	}
	b.press(save) // held down
	if written() != "mine" {
		t.Fatal("a held key replaced a file")
	}
	b.play("wait")
	b.press(save)
	if written() != b.copied {
		t.Error("the file was not replaced when it was asked for")
	}
	if left, _ := filepath.Glob(".unband-*"); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	b.play("esc esc wait wait + wait +")
	if n := b.notes(1, 1); len(n) != 1 || n[0].Face != "a ghost of the back" {
		t.Errorf("stored %+v", n)
	}
}

// A link is never followed, and a folder that is not there is told.
func TestFilesThatCannotBeWritten(t *testing.T) {
	folder := t.TempDir()
	elsewhere := filepath.Join(folder, "elsewhere")
	link := filepath.Join(folder, "link.txt")
	if err := os.WriteFile(elsewhere, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(elsewhere, link); err != nil {
		t.Skip("no links here: ", err)
	}
	text := func(w io.Writer) error { _, err := io.WriteString(w, "text"); return err }
	broken := filepath.Join(folder, "broken")
	if err := WriteNew(broken, false, func(io.Writer) error { return errors.New("the disk is full") }); err == nil {
		t.Error("a text that could not be written was taken as written")
	}
	if left, _ := os.ReadDir(folder); len(left) != 2 {
		t.Errorf("left behind: %v", left)
	}
	for _, replace := range []bool{false, true} {
		if err := WriteNew(link, replace, text); err == nil {
			t.Errorf("a link was followed (replace %v)", replace)
		}
	}
	if data, _ := os.ReadFile(elsewhere); string(data) != "mine" {
		t.Errorf("what the link points to is %q now", data)
	}
	if err := WriteNew(filepath.Join(folder, "no", "such", "folder"), false, text); err == nil {
		t.Error("written into a folder that is not there")
	}
}

// The personal rule is the same on every note; deciding against it is one key more, and is remembered with
// the reason.
func TestStoryOfAPersonalRule(t *testing.T) {
	b := newTable(t)
	b.play("w")
	b.rule(patterns.Radar)
	b.play("k k esc") // only mention
	b.begin("Friday float")
	b.play("B70633607C wait")
	b.shows("only mention it, you decide")
	b.play("- wait") // either decision is as good: one key
	b.play("desk w")
	b.rule(patterns.Radar)
	b.play("k g g g esc") // keep, then from Fine on, by G to About Uncirculated
	b.begin("Saturday float")
	b.play("B70633607C wait")
	b.shows("keep unless worn below", "the condition is not said")
	b.play("- wait")
	b.shows("- again, against your rule", "so keep")
	b.play("/")
	b.typed("torn in half")
	b.play("esc wait -")
	b.play("wait C50611605D wait wait / g right right right esc wait")
	b.shows("your rule: spend, it is worn below")
	b.play("- wait")
	b.play("desk")
	first, second := b.notes(1, 1), b.notes(2, 1)
	if len(first) != 1 || first[0].Ruled != triage.RuledTell || first[0].Against() {
		t.Errorf("mentioned only: %+v", first)
	}
	if len(second) < 1 || second[0].Ruled != triage.RuledKeep || !second[0].Against() || second[0].Reason != "torn in half" {
		t.Fatalf("against the rule: %+v", second)
	}
	if s, _ := b.store.Session(2); s.Totals.Against != 1 {
		t.Errorf("totals %+v", s.Totals)
	}
	b.sound()
}

// Keeping an error says to keep its neighbours before the next note is turned; both are marked, and the
// one after is spent only by one key more.
func TestStoryOfNeighboursOfAnError(t *testing.T) {
	b := newTable(t)
	b.beginNew("Friday float")
	b.play("48160297 wait - wait 48160298 / e enter y y y n y y enter esc wait +")
	b.shows("Keep the note before it and the note after it, too", "beside note 2")
	b.shows("  1  + ◆ ▪")
	b.play("wait 48160299 wait -")
	b.shows("your rule: keep (beside note 2)")
	b.play("wait -")
	b.shows("  1  + ◆ + ▪")
	b.play(". . . wait +") // the one before is kept
	b.shows("  1  ◆ ◆ + ▪")
	b.play("enter wait")
	b.shows("note 3 lies beside a keeper that wants its")
	b.sound()
}

// A keeper of a new strap that the person marks wants its neighbours too; a star never does, and a star
// beside it is not wanted.
func TestStoryOfMarkedNeighbours(t *testing.T) {
	b := newTable(t)
	b.beginNew("Friday float")
	b.play("48160297 wait - wait B70633607C / s space esc wait +")
	b.shows("Keep the note before it and the note after it")
	b.play("wait 48160299* wait")
	if strings.Contains(b.app.View(), "beside note 2") {
		t.Errorf("a star is taken for a neighbour:\n%s", b.app.View())
	}
	b.play("+ enter enter")
	b.play("wait 61225697 wait / s space esc wait +")
	if n := b.notes(1, 1); len(n) != 4 || !n[3].Neighbours {
		t.Fatalf("%d notes", len(n))
	}
	b.play(". wait / s space esc") // the mark is taken away again
	if n := b.notes(1, 1); n[3].WantsNeighbours() {
		t.Error("the mark stays")
	}
}

// A strap that begins with stars is a strap of stars.
func TestStoryOfAStrapOfStars(t *testing.T) {
	b := newTable(t)
	b.beginNew("Friday float")
	for i := range 3 {
		b.play(fmt.Sprintf("wait F0187335%d* wait + 17A enter", i))
	}
	b.shows("Keep it whole with its band")
}

// BenchmarkKeepers scrolls and filters ten thousand keepers: one key with its view.
func BenchmarkKeepers(b *testing.B) {
	table := newTable(b)
	table.begin("Friday float")
	s, _ := table.store.Session(1)
	at := table.now
	for i := 1; i <= 10_000; i++ {
		n := triage.Note{Session: s.ID, Strap: 1, Position: i, Version: 1, Decision: triage.Keep, Decided: at.Add(time.Duration(i) * time.Second),
			Serial: triage.Serial{Prefix: "B", Digits: fmt.Sprintf("%08d", i*7919%100_000_000), Suffix: 'A'}, Series: "2017A",
			Hits: patterns.Set(0).With(patterns.Trinary), Watched: patterns.Set(0).With(patterns.Trinary), Where: "album " + fmt.Sprint(i/100)}
		if i < 10_000 {
			table.store.Submit(store.Decide{Note: n}, nil)
		} else if r := table.store.Do(store.Decide{Note: n}); r.Err != nil {
			b.Fatal(r.Err)
		}
	}
	table.play("desk")
	b.Run("open", func(b *testing.B) {
		for range b.N {
			table.play("k esc")
		}
	})
	table.play("k")
	table.size(120, 40)
	one := func(b *testing.B, keys ...tea.KeyMsg) {
		for i := range b.N {
			table.press(keys[i%len(keys)])
			table.app.View()
		}
	}
	b.Run("scroll", func(b *testing.B) {
		one(b, tea.KeyMsg{Type: tea.KeyPgDown}, tea.KeyMsg{Type: tea.KeyDown}, tea.KeyMsg{Type: tea.KeyPgUp})
	})
	b.Run("filter", func(b *testing.B) {
		one(b, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{'7'}}, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{'1'}}, tea.KeyMsg{Type: tea.KeyCtrlU})
	})
}
