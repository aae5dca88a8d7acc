package ui

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"

	"app/unband/patterns"
	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/errands"
)

var (
	update = flag.Bool("update", false, "rewrite the golden views in testdata/views")
	long   = flag.Bool("long", false, "run the long checks too")
	many   = flag.Int("notes", 20_000, "notes in the file of BenchmarkManyNotes")
)

func TestMain(m *testing.M) {
	flag.Parse()
	lipgloss.SetColorProfile(termenv.Ascii)
	os.Exit(m.Run())
}

// A table is the program on a real file, played by keys, with a clock that only keys move.
type table struct {
	t     testing.TB
	app   *App
	store *store.Store
	path  string
	now   time.Time
	posts chan tea.Msg

	copied  string // what was handed to the clipboard last
	answers int    // that came from the disk
	bells   int    // how often the bell rang

	guided bool // the first strap is

	release chan struct{} // closed when the disk goes on; nil while it does
}

func newTable(t testing.TB) *table {
	t.Helper()
	return openTable(t, filepath.Join(t.TempDir(), "float.db"), time.Date(2026, 3, 6, 19, 0, 0, 0, time.UTC))
}

func openTable(t testing.TB, path string, now time.Time) *table {
	t.Helper()
	s, err := store.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	b := &table{t: t, store: s, path: path, now: now, posts: make(chan tea.Msg, 1000)}
	b.start()
	return b
}

// madeBooks are shared by all tests: to make one takes longer than many a story.
var madeBooks = &books{}

// start opens the screen, as the program does when it is called.
func (b *table) start() {
	b.app = New(Options{
		Store: b.store, Pauses: triage.DefaultPauses(),
		Now:   func() time.Time { return b.now },
		Post:  func(m tea.Msg) { b.posts <- m },
		Copy:  func(text string) { b.copied = text },
		Bell:  func() { b.bells++ },
		books: madeBooks, Guided: b.guided,
	})
	b.size(80, 24)
}

func (b *table) size(w, h int) { b.app.Update(tea.WindowSizeMsg{Width: w, Height: h}) }

// words are the keys that are no single character.
var words = map[string]tea.KeyMsg{
	"enter": {Type: tea.KeyEnter}, "bs": {Type: tea.KeyBackspace}, "clear": {Type: tea.KeyCtrlU},
	"up": {Type: tea.KeyUp}, "down": {Type: tea.KeyDown}, "left": {Type: tea.KeyLeft}, "right": {Type: tea.KeyRight},
	"desk": {Type: tea.KeyCtrlD}, "esc": {Type: tea.KeyEsc}, "space": {Type: tea.KeySpace, Runes: []rune{' '}},
	"home": {Type: tea.KeyHome}, "tab": {Type: tea.KeyTab}, "shift+tab": {Type: tea.KeyShiftTab}, "f1": {Type: tea.KeyF1},
	"sequence": {Type: tea.KeyCtrlS}, "list": {Type: tea.KeyCtrlL}, "onebyone": {Type: tea.KeyCtrlO},
	"ctrl+w": {Type: tea.KeyCtrlW}, "ctrl+r": {Type: tea.KeyCtrlR}, "goto": {Type: tea.KeyCtrlG},
	"ctrl+x": {Type: tea.KeyCtrlX}, "pgdn": {Type: tea.KeyPgDown}, "pgup": {Type: tea.KeyPgUp},
}

// play presses keys, a tenth of a second apart. A word of the list above is that key, "wait" lets
// two seconds pass, anything else is typed character by character.
func (b *table) play(keys string) {
	b.t.Helper()
	for _, k := range strings.Fields(keys) {
		if k == "wait" {
			b.now = b.now.Add(2 * time.Second)
			b.send(tickMsg(b.app.tick))
			continue
		}
		if m, ok := words[k]; ok {
			b.press(m)
			continue
		}
		for _, r := range k {
			b.press(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
		}
	}
}

func (b *table) press(m tea.KeyMsg) {
	b.now = b.now.Add(100 * time.Millisecond)
	b.send(m)
}

// send gives the program a message and waits for everything it asked of the store.
func (b *table) send(m tea.Msg) {
	b.app.Update(m)
	for b.release == nil && b.app.env.open > 0 {
		b.app.Update(<-b.posts)
		b.answers++
	}
}

// stall makes the disk slow: what is written from now on is not answered before goOn.
func (b *table) stall() {
	release := make(chan struct{})
	b.release = release
	b.store.Submit(store.SetHand{}, func(store.Result) { <-release })
}

func (b *table) goOn() {
	close(b.release)
	b.release = nil
	b.send(tickMsg(0))
}

// begin makes a session of the market's float and opens its first strap.
func (b *table) begin(name string) {
	b.t.Helper()
	b.play("n")
	b.typed(name)
	b.play("down")
	b.typed("Harbour branch")
	b.play("enter enter enter enter enter")
}

// beginNew makes a session of one strap of new notes and opens it.
func (b *table) beginNew(name string) {
	b.t.Helper()
	b.play("n")
	b.typed(name)
	b.play("down")
	b.typed("Harbour branch")
	b.play("down down n down 1 down enter")
}

// rule puts the cursor of the watch list on a rule.
func (b *table) rule(id patterns.ID) {
	b.t.Helper()
	for range b.app.screen.(*watch).table.Rows {
		if at, pattern := b.app.screen.(*watch).rule(); pattern && at == id {
			return
		}
		b.play("down")
	}
	b.t.Fatalf("rule %d is not on the watch list", id)
}

// typed types a text with spaces.
func (b *table) typed(text string) {
	for _, r := range text {
		m := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}}
		if r == ' ' {
			m.Type = tea.KeySpace
		}
		b.press(m)
	}
}

// shows checks that the screen has each of the texts.
func (b *table) shows(texts ...string) {
	b.t.Helper()
	view := b.app.View()
	for _, text := range texts {
		if !strings.Contains(view, text) {
			b.t.Errorf("the screen does not show %q:\n%s", text, view)
		}
	}
}

// notes are the decided notes of a strap as the file has them.
func (b *table) notes(session uint64, strap int) []triage.Note {
	b.t.Helper()
	notes, err := b.store.Notes(session, strap)
	if err != nil {
		b.t.Fatal(err)
	}
	return notes
}

// errandDone is when an errand was done by the file; the zero time while it is open.
func (b *table) errandDone(k errands.Kind, p triage.Place) time.Time {
	b.t.Helper()
	all, err := b.store.ErrandsDone()
	if err != nil {
		b.t.Fatal(err)
	}
	for _, e := range all {
		if e.Kind == k && e.Place == p {
			return e.Done
		}
	}
	return time.Time{}
}

// sound checks that every total and index of the file agrees with its notes.
func (b *table) sound() {
	b.t.Helper()
	report, err := b.store.Check()
	if err != nil {
		b.t.Fatal(err)
	}
	for _, p := range report.Problems {
		b.t.Errorf("the file is not sound: %s", p)
	}
}
