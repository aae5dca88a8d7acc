package ui

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"app/unband/store"
	"app/unband/ui/demo"
)

// demonstrated is the program on the demo's file.
func demonstrated(t testing.TB) *table {
	t.Helper()
	s, err := store.OpenThrowAway(filepath.Join(t.TempDir(), "demo.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	b := &table{t: t, store: s, path: s.Path(), now: time.Date(2026, 3, 7, 20, 40, 0, 0, time.UTC), posts: make(chan tea.Msg, 1000)}
	if err := demo.Fill(s, b.now, demo.Seed); err != nil {
		t.Fatal(err)
	}
	b.app = New(Options{
		Store: s, Now: func() time.Time { return b.now }, Post: func(m tea.Msg) { b.posts <- m },
		books: madeBooks, Guided: true, Demo: true,
	})
	b.size(80, 24)
	return b
}

// Every screen has something to see in the demo, and says that it is one.
func TestDemoShowsEveryScreen(t *testing.T) {
	b := demonstrated(t)
	b.shows("its file is thrown away when you leave")
	for _, c := range []struct {
		screen, keys, back string
		shows              []string
		empty              string // what the screen would say with nothing on it
	}{
		{"desk", "", "", []string{"resumes float, this Saturday", "closed", "to do", "take the second look", "E has all of them"}, "begins a session"},
		{"errands", "e", "esc", []string{"are open", "done", "study or show", "stars to look up"}, "Nothing is to be done"},
		{"errands that are done", "e pgdn", "esc", []string{"handed over"}, ""},
		{"star batch", "s", "esc", []string{"Series 2017A", "in a run", "to look up", "1 January 1900"}, "no star"},
		{"keepers", "k", "esc", []string{"face value", "1 sold", "1 traded", "1 sent to be", "1 spent after all", "album, page", "star"}, "Nothing is kept yet"},
		{"tally: rates", "t", "", []string{"stars", "old series", "1,641 notes"}, "no note"},
		{"tally: days and sources", "g", "", []string{"Harbour branch, till 2", "Station Road branch"}, "no note"},
		{"tally: found", "right", "", []string{"tested", "radar"}, "no used note was tested"},
		{"tally: pace", "right", "", []string{"an hour", "of them changed by it"}, "no note was read again yet"},
		{"tally: series", "right", "esc", []string{"2017A", "1999"}, "no series was said yet"},
		{"watch list", "w", "", []string{"your rule", "stop you"}, ""},
		{"own patterns", "o", "esc esc", []string{"??2468??", "our stall"}, "no pattern"},
		{"strap in its middle", "r wait", "", []string{"note 43 of 100", "last decided: note 42", "still in hand", "◆ radar", "your rule: keep"}, ""},
		{"closer look", "/", "esc desk", []string{"series", "printing error"}, ""},
		{"session page", "p", "", []string{"strap 2", "being sorted", "kept $"}, ""},
		{"finds", "f", "esc", []string{"Stars, by series and bank", "Patterns, the rarest first", "Near misses worth telling"}, "Nothing"},
		{"once more", "a", "desk", []string{"once more", "note 1 of 42"}, ""},
		{"session without its second look", "desk down down p", "", []string{"evening market", "near"}, ""},
		{"second look", "l", "desk", []string{"second look", "1 of 3", "near"}, "no near miss waits"},
		{"counting back", "desk down p b", "esc desk", []string{"counting back", "96 notes go back", "not counted"}, ""},
		{"count that was signed off", "down down down p b", "esc desk", []string{"counting back", "agrees"}, "not counted"},
	} {
		b.play(c.keys)
		b.shows(append(c.shows, "unband demo")...)
		if view := b.app.View(); c.empty != "" && strings.Contains(view, c.empty) {
			t.Errorf("%s has nothing to show:\n%s", c.screen, view)
		}
		if t.Failed() {
			t.Fatalf("in %s", c.screen)
		}
		b.play(c.back)
	}
	if words := b.app.Farewell(b.path); !strings.Contains(words, "thrown away") || strings.Contains(words, b.path) {
		t.Errorf("the farewell is %q", words)
	}
	b.sound()
}
