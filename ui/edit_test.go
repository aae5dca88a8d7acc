package ui

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
)

// What a form proposes is replaced by the first character typed, wherever that is what a person means, and kept by Backspace
// to be changed; and it is said before.
func TestWhatIsProposedIsTypedOver(t *testing.T) {
	for _, c := range []struct {
		what string
		play func(*table)
		text string // what is typed
		want string // the line then
		back string // the line after Backspace instead
	}{
		{"straps of a session", func(b *table) { b.play("n down down down down") }, "3", "straps            3", "straps            1"},
		{"name of a report", func(b *table) { b.begin("float"); b.play("desk t r down") }, "may.txt", "file    may.txt", "file    unband-report-all.tx"},
		{"name of a page of finds", func(b *table) { market(b); b.play("p f n") }, "may.txt", "file may.txt", "file unband-finds-1.tx"},
		{"day of a fate", func(b *table) { market(b); b.play("k"); b.press(ctrlG); b.play("right down") }, "2026-03-05", "day             2026-03-05", "day             2026-03-0"},
		{"days of the tally", func(b *table) { market(b); b.play("t d 2026-03-01 enter enter d") }, "2026-03-05", "from    2026-03-05", "from    2026-03-0"},
	} {
		b := newTable(t)
		c.play(b)
		b.shows("typing replaces it")
		b.typed(c.text)
		b.shows(c.want)
		if view := b.app.View(); strings.Contains(view, "typing replaces it") {
			t.Errorf("%s: what was typed is to be replaced:\n%s", c.what, view)
		}
		b = newTable(t)
		c.play(b)
		b.play("bs")
		b.shows(c.back)
		b.typed("x")
		if view := b.app.View(); strings.Contains(view, "typing replaces it") {
			t.Errorf("%s: what was changed is to be replaced:\n%s", c.what, view)
		}
	}
}

// A character that has no place in the line takes nothing away, and a paste takes the place as a key does.
func TestWhatDoesNotFitTakesNoPlace(t *testing.T) {
	text, fresh := "2026-03-06", true
	line := textLine{longest: 10, allowed: "0123456789-"}
	line.over(&text, &fresh, keyMsg{KeyMsg: tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("x")}})
	if text != "2026-03-06" || !fresh {
		t.Errorf("a letter among digits makes %q of it, fresh %v", text, fresh)
	}
	line.over(&text, &fresh, keyMsg{KeyMsg: tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("2026-01-02"), Paste: true}})
	if text != "2026-01-02" || fresh {
		t.Errorf("a paste makes %q of it, fresh %v", text, fresh)
	}
}

// Keys pressed beyond the end of a page need no keys to come back from there.
func TestScrollingEndsWithThePage(t *testing.T) {
	for _, c := range []struct {
		what       string
		play       func(*table)
		down, back string
	}{
		{"finds", func(b *table) { market(b); b.play("p f") }, "down", "up"},
		{"tally", func(b *table) { market(b); b.play("t right") }, "down", "up"},
		{"list", func(b *table) { b.begin("float"); b.openList("../testdata/lists/doubts.csv"); b.play("wait") }, "pgdn", "pgup"},
	} {
		b := newTable(t)
		c.play(b)
		b.size(MinWidth, MinHeight)
		var views []string
		for range 60 {
			views = append(views, b.app.View())
			b.play(c.down)
		}
		last := len(views) - 1
		if views[0] == views[1] || views[last] != views[last-1] {
			t.Fatalf("%s: the page does not scroll to its end:\n%s\n%s", c.what, views[0], views[last])
		}
		b.play(c.back)
		if b.app.View() == views[last] {
			t.Errorf("%s: one key does not lead back from the end:\n%s", c.what, views[last])
		}
		b.size(250, 60)
		b.size(MinWidth, MinHeight)
		if b.app.View() != views[0] {
			t.Errorf("%s: a window that has room for all does not begin at the top:\n%s", c.what, b.app.View())
		}
	}
}
