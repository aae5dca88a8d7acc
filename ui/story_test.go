package ui

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/patterns"
	"app/unband/triage"
)

// plainSerials gives n invented serials of a $1 that stop no sorter, the same ones for each seed.
func plainSerials(n int, seed uint64) []string {
	book, err := patterns.NewBook(patterns.DefaultSettings())
	if err != nil {
		panic(err)
	}
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
	b.play("wait / 33 enter wait +")
	b.shows("the second look is done")
	b.sound()

	session, err := b.store.Session(1)
	if err != nil {
		t.Fatal(err)
	}
	got := session.Totals
	got.Took = 0
	want := triage.Totals{Notes: 100, Kept: 6, Spent: 94, Glances: 1, Near: 2, Hits: 6, Stars: 1, Reread: 3, Changed: 2}
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
	b.play("-")
	if n := len(b.notes(1, 1)); n != 1 {
		t.Fatalf("%d notes decided, want 1", n)
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

// Every binding of every screen has a name and words, and no key means two things on one screen.
func TestEveryKeyHasOneMeaning(t *testing.T) {
	for _, s := range scenes {
		b := newTable(t)
		s.play(b)
		seen := map[string]string{}
		for _, g := range append(b.app.screen.groups(), keyGroup{keys: []key.Binding{everywhere.Leave, everywhere.Suspend}}) {
			for _, k := range g.keys {
				if name(k) == "" || k.Help().Desc == "" {
					t.Errorf("%s: a key of %q has no name or no words", s.name, g.title)
				}
				for _, one := range k.Keys() {
					if other, twice := seen[one]; twice {
						t.Errorf("%s: %q means both %q and %q", s.name, one, other, k.Help().Desc)
					}
					seen[one] = k.Help().Desc
				}
			}
		}
	}
}

// Names of sessions come from outside: control characters in them must not reach the terminal.
func TestNamesAreHarmless(t *testing.T) {
	b := newTable(t)
	b.begin("Fri\x1b[2Jday\x07float")
	for _, keys := range []string{"", "desk"} {
		b.play(keys)
		if view := b.app.View(); strings.ContainsAny(view, "\x1b\x07") {
			t.Errorf("a control character is drawn:\n%q", view)
		}
	}
}
