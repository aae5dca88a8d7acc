package ui

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/patterns"
	"app/unband/store"
	"app/unband/triage"
)

// usualBook is the book of the usual settings, made once.
var usualBook = sync.OnceValue(func() *patterns.Book {
	book, err := patterns.NewBook(patterns.DefaultSettings())
	if err != nil {
		panic(err)
	}
	return book
})

// plainSerials gives n invented serials of a $1 that stop no sorter, the same ones for each seed.
func plainSerials(n int, seed uint64) []string {
	book := usualBook()
	watch, random := book.DefaultWatch(), rand.New(rand.NewPCG(seed, 1))
	var out []string
	for len(out) < n {
		d := patterns.Digits(1 + random.IntN(96_000_000))
		if !book.Stops(d, watch) {
			out = append(out, fmt.Sprintf("%c%s%c", 'A'+rune(random.IntN(12)), d, 'A'+rune(random.IntN(12))))
		}
	}
	return out
}

// A strap of a hundred: hits, near misses, a misread put right at the re-read, a glance, a note
// changed afterwards, an interruption, the end of the strap, and the second look.
func TestStoryOfAStrap(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	special := map[int]string{
		7:  "F27722772C wait +",                 // radar repeater
		12: "B70633507A wait - 65 enter",        // near radar, read again the same
		23: "D50715072G wait - 11 enter wait +", // misread: it is a repeater
		31: "wait -",                            // spent unread
		48: "K44444494B wait +",                 // seven alike, near a solid
		64: "G12344321B wait - wait -",          // a hit spent by two presses
		77: "E31400419A wait - 39 enter",        // near radar
		90: "A48160297* wait + 2017A enter",     // a star keeper
	}
	plain := plainSerials(100, 2026)
	for i := 1; i <= 100; i++ {
		if keys, ok := special[i]; ok {
			b.play("wait " + keys)
		} else {
			b.play(plain[i-1] + " wait -")
		}
		if got := len(b.notes(1, 1)); got != i {
			t.Fatalf("after note %d the file has %d:\n%s", i, got, b.app.View())
		}
		if i == 40 { // the window is closed and opened again the next day
			b.store.Close()
			b = openTable(t, b.path, b.now.Add(20*time.Hour))
			b.shows("Friday float", "R resumes")
			b.play("r")
			b.shows("note 41", "last decided: note 40, "+plain[39]+", spent")
		}
	}
	b.shows("100 notes, as the band says")
	b.play(". . . wait +") // note 98 is kept after all
	b.play("enter wait enter")
	b.shows("together", "right")
	b.play("l wait")
	b.shows("strap 1, note 12")
	b.play("-")
	b.shows("strap 1, note 77")
	b.play("wait enter 33 enter wait +")
	b.shows("The second look is done")
	b.sound()

	session, err := b.store.Session(1)
	if err != nil {
		t.Fatal(err)
	}
	got := session.Totals
	got.Took = 0
	want := triage.Totals{Notes: 100, Kept: 6, Spent: 94, Glances: 1, Near: 2, Hits: 6, Stars: 1, Reread: 3, Changed: 2, Against: 1}
	if got != want {
		t.Errorf("totals\n%+v\nwant\n%+v", got, want)
	}
	versions, err := b.store.Versions(1, 1, 98)
	if err != nil || len(versions) != 1 || versions[0].Decision != triage.Spend {
		t.Errorf("note 98 has earlier versions %+v (%v), want the one that was spent", versions, err)
	}
}

// A burst of keys in one message is a serial, never a decision.
func TestStoryOfABurst(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.press(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("B48160297C")})
	b.shows("note 1")
	b.play("wait")
	b.press(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("--")})
	b.shows("came in one burst")
	if n := len(b.notes(1, 1)); n != 0 {
		t.Fatalf("a burst decided %d notes", n)
	}
	b.play("-") // too soon after the burst, which may be a held key
	b.shows("let the key rest")
	b.play("wait -")
	if n := len(b.notes(1, 1)); n != 1 {
		t.Fatalf("%d notes decided, want 1", n)
	}
}

// hold sends a key as a terminal repeats it while it is held down: after half a second, then thirty
// times a second.
func (b *table) hold(m tea.KeyMsg) {
	b.press(m)
	b.now = b.now.Add(400 * time.Millisecond)
	for range 150 {
		b.now = b.now.Add(-67 * time.Millisecond) // press adds a tenth of a second
		b.press(m)
	}
}

func TestStoryOfHeldKeys(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	minus := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("-")}
	b.play("48160297 wait")
	b.hold(minus)
	if n := len(b.notes(1, 1)); n != 1 {
		t.Fatalf("a held - decided %d notes, want the one it was pressed for", n)
	}
	b.play("70633507 wait - 65 enter enter") // near miss; then the strap is asked about
	b.hold(words["enter"])
	if straps, _ := b.store.Straps(1); straps[0].Done {
		t.Fatal("a held Enter closed the strap")
	}
	b.play("wait enter wait enter wait enter")
	b.shows("1 strap was not as the band said")
	b.hold(words["enter"])
	if straps, _ := b.store.Straps(1); len(straps) != 1 {
		t.Fatal("a held Enter opened the next strap")
	}
	b.play("wait")
	b.hold(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("c")})
	if s, _ := b.store.Session(1); !s.Open() {
		t.Fatal("a held C closed the session")
	}
	b.play("wait c")
	if s, _ := b.store.Session(1); s.Open() {
		t.Fatal("C pressed twice, with time between, did not close the session")
	}
	b.sound()
}

// The second look can be taken in the middle of a strap, and leads back to where it was taken from.
func TestStoryOfALookInMidStrap(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("70633507 wait - 65 enter 48160297 wait - desk l wait wait -")
	b.shows("the desk", "R resumes Friday float")
	b.play("r")
	b.shows("note 3 of 100")
	b.play("desk down enter") // opening the session leads to the strap too
	b.shows("note 3 of 100")
	b.sound()
}

// While the disk is slow nothing is left and nothing is decided twice.
func TestStoryOfASlowDisk(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("A48160297C wait")
	b.stall()
	b.play("- desk")
	b.shows("note 1 of 100", "still writing to disk")
	b.play("B35120846D wait -")
	b.goOn()
	b.shows("note 2 of 100")
	if n := b.notes(1, 1); len(n) != 1 || n[0].Serial.String() != "A48160297C" {
		t.Fatalf("decided %+v", n)
	}
	b.play("wait - desk")
	b.shows("the desk")
	if n := len(b.notes(1, 1)); n != 2 {
		t.Errorf("%d notes, want 2", n)
	}
	b.sound()
}

// A write that fails decides nothing, says so, and the message is not wiped away by the next key.
func TestStoryOfAFailedWrite(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("A48160297C wait")
	away := b.path + ".away"
	if err := os.Rename(b.path, away); err != nil {
		t.Fatal(err)
	}
	b.play("-")
	message := b.app.env.status
	if !message.alarm || message.text == "" || len(b.app.screen.(*strap).sorter.Notes()) != 0 {
		t.Fatalf("the file is gone, and the screen says %+v", message)
	}
	b.play("-")
	b.shows("A") // still in hand
	if b.app.env.status != message {
		t.Errorf("the message was replaced by %q", b.app.env.status.text)
	}
	if err := os.Rename(away, b.path); err != nil {
		t.Fatal(err)
	}
	b.play("wait wait -")
	if n := b.notes(1, 1); len(n) != 1 {
		t.Errorf("%d notes after the file is back, want 1", len(n))
	}
	b.sound()
}

// Below the smallest size nothing is decided, because nothing can be seen.
func TestStoryOfASmallWindow(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.size(50, 10)
	b.play("48160297 wait -")
	b.size(80, 24)
	if n := len(b.notes(1, 1)); n != 0 {
		t.Errorf("%d notes were decided in a window too small to see them", n)
	}
}

// The notes beside a ladder are asked for before the next one is turned.
func TestStoryOfNeighbours(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("48160297 wait - 12345678 wait +")
	b.shows("Keep the note after it, too", "the note before it is kept already")
	b.play(". . wait wait +")
	if n := b.notes(1, 1); n[0].Decision != triage.Keep {
		t.Error("the note before could not be kept")
	}
}

// A note entered once too often is taken out again, by two presses; totals and indexes follow.
func TestStoryOfANoteTakenOut(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	ctrlX := tea.KeyMsg{Type: tea.KeyCtrlX}
	b.play("A48160297C wait - B35120846D wait - 70633507") // two decided, a third in hand
	b.press(ctrlX)
	b.shows("go back to it first")
	b.play(". wait")
	b.press(ctrlX)
	b.shows("once more takes note 2 out")
	b.play("wait")
	b.press(ctrlX)
	b.shows("note 2 is taken out", "note 2 of 100")
	if n := b.notes(1, 1); len(n) != 1 {
		t.Fatalf("%d notes, want 1", len(n))
	}
	if hand := b.app.screen.(*strap).sorter.Hand().Entry.Digits; hand != "70633507" {
		t.Errorf("in hand %q, want what was typed before", hand)
	}
	b.play("clear B35120846D wait -")
	if strings.Contains(b.app.View(), "typed twice") {
		t.Error("a note taken out is still met")
	}
	if n := b.notes(1, 1); len(n) != 2 || n[1].Version != 1 {
		t.Errorf("decided %+v", n)
	}
	b.sound()
}

// A message about one key goes with the next; what is said on one screen does not stay on another.
func TestStoryOfMessages(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("70633607 wait -")
	b.shows("press the same key once more")
	b.play("clear B")
	if strings.Contains(b.app.View(), "once more") {
		t.Error("the question about the note before stays")
	}
	b.play("% desk")
	if text := b.app.env.status.text; text != "" {
		t.Errorf("the desk says %q", text)
	}
}

// The bar moves also when a message waits to be dropped.
func TestStoryOfTheBar(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("48160297 wait - 70633607") // a message stands, a pause runs
	if wait := b.app.tickDue.Sub(b.now); wait > tick {
		t.Errorf("the next tick is %v away while a pause runs", wait)
	}
}

// Pasted text is refused unless it is eight digits, and decides nothing.
func TestStoryOfAPaste(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	paste := func(s string) { b.press(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(s), Paste: true}) }
	for _, s := range []string{"", "4816029", "B48160297C", "48160297\r\n48160297\r\n", "-", strings.Repeat("7", 100_000)} {
		paste(s)
		b.shows("only exactly eight digits can be pasted")
	}
	b.play("wait wait wait")
	paste("48160297\r\n")
	b.play("wait -")
	if n := b.notes(1, 1); len(n) != 1 || n[0].Serial.Digits != "48160297" {
		t.Errorf("decided %+v", n)
	}
}

// Cursor keys outside of a correction may be a keypad without NumLock.
func TestStoryOfNumLock(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("home")
	b.shows("NumLock is off")
}

// everyKeyHasOneMeaning looks at the keys of a scene: each has one meaning, a name and words.
func everyKeyHasOneMeaning(t *testing.T, b *table) {
	t.Helper()
	seen := map[string]string{}
	for _, g := range append(b.app.screen.groups(), keyGroup{keys: []key.Binding{everywhere.Leave, everywhere.Suspend}}) {
		for _, k := range g.keys {
			if name(k) == "" || k.Help().Desc == "" {
				t.Errorf("a key of %q has no name or no words", g.title)
			}
			for _, one := range k.Keys() {
				if other, twice := seen[one]; twice {
					t.Errorf("%q means both %q and %q", one, other, k.Help().Desc)
				}
				seen[one] = k.Help().Desc
			}
		}
	}
}

// Names of sessions come from outside: control characters in them must not reach the terminal.
func TestNamesAreHarmless(t *testing.T) {
	b := newTable(t)
	b.store.Do(store.AddSession{Session: triage.Session{Name: "Fri\x1b[2Jday\x07float", Source: "\x9bHarbour", Denomination: 1,
		Straps: 1, StrapNotes: 100, Settings: patterns.DefaultSettings()}})
	b.start()
	for _, keys := range []string{"", "enter", "wait enter", "48160297 wait - desk"} {
		b.play(keys)
		if view := b.app.View(); strings.ContainsAny(view, "\x1b\x07") {
			t.Errorf("a control character is drawn:\n%q", view)
		}
	}
}

// A backup that cannot be made is told, and the strap is closed all the same.
func TestNoBackupIsTold(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	if err := os.WriteFile(store.BackupFolder(b.path), nil, 0o600); err != nil { // a file in its place
		t.Fatal(err)
	}
	b.play("35120846 wait - enter wait enter wait enter wait enter")
	if err := b.store.Close(); err != nil { // it waits for the backup
		t.Fatal(err)
	}
	for len(b.posts) > 0 {
		b.app.Update(<-b.posts)
	}
	b.shows("no backup of the file could be made")
}
