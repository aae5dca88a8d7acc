package ui

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

// closerOf is the closer look of the strap screen.
func (b *table) closerOf() *closer {
	b.t.Helper()
	v, ok := b.app.screen.(*strap)
	if !ok || v.closer == nil {
		b.t.Fatalf("no closer look is open:\n%s", b.app.View())
	}
	return v.closer
}

// at names the line of the closer look under the cursor.
func (b *table) at(want string) {
	b.t.Helper()
	if got := closerLines[b.closerOf().line].label; got != want {
		b.t.Errorf("the cursor is on %q, want %q", got, want)
	}
}

// No letter, digit or sign ever leaves the line it is typed on, whatever kind of line that is; each does something
// there, or the screen says why not.
func TestNoCharacterLeavesItsLine(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	for _, l := range closerLines {
		if l.kind == textLines {
			continue // everything is text there
		}
		for _, r := range "abcdefghijklmnopqrstuvwxyz0123456789-?" {
			b.play("/ " + string(l.letter) + " clear clear") // the first letter goes to its line
			b.app.env.status = statusLine{}
			c := b.closerOf()
			before, facts := fmt.Sprint(l.value(c), c.pick, c.typed), c.facts
			b.play(string(r))
			b.at(l.label)
			if after := fmt.Sprint(l.value(c), c.pick, c.typed); after == before && b.app.env.status.text == "" && !strings.HasPrefix(strings.TrimPrefix(l.value(c), "$"), string(r)) {
				t.Errorf("%q on %q does nothing, and nothing is said", r, l.label)
			}
			for _, other := range closerLines {
				if other.label != l.label && other.value(c) != other.value(&closer{facts: facts, typed: c.typed, denom: c.denom}) {
					t.Errorf("%q on %q changes %q", r, l.label, other.label)
				}
			}
			b.play("clear clear esc wait clear")
		}
	}
}

// Every line has a letter of its own. The letters are shown exactly while one leads to its line: when the closer look is
// opened, and after the key that asks for a line.
func TestLettersAreShownWhereTheyLead(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.size(120, 40)
	letters := func(shown bool) {
		t.Helper()
		view := b.app.View()
		for _, l := range closerLines {
			if has := strings.Contains(view, " "+string(l.letter)+" "+l.label); has != shown {
				t.Errorf("the letter of %q is shown: %v, want %v", l.label, has, shown)
			}
		}
	}
	seen := map[rune]string{}
	for _, l := range closerLines {
		if other, twice := seen[l.letter]; twice {
			t.Errorf("%q and %q have the letter %q", l.label, other, l.letter)
		}
		seen[l.letter] = l.label
		b.play("/")
		letters(true)
		b.play(string(l.letter))
		letters(false)
		b.at(l.label)
		b.play("goto")
		letters(true)
		b.play("x")
		b.shows("no line has the letter x")
		letters(true)
		b.play("r")
		b.at("remark")
		b.play("esc wait clear")
	}
}

// In a small window, too, every line is named with its letter while one leads there.
func TestEveryLetterIsToldInASmallWindow(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	for _, size := range [][2]int{{60, 16}, {80, 24}, {120, 40}} {
		b.size(size[0], size[1])
		for i, l := range closerLines {
			b.play("/ " + string(l.letter) + " goto")
			view := b.app.View()
			for _, other := range closerLines {
				if !strings.Contains(view, string(other.letter)+" "+other.label) {
					t.Errorf("%v, on line %d: the letter of %q is not told:\n%s", size, i+1, other.label, view)
				}
			}
			b.play("esc wait clear")
		}
	}
}

// A letter on a line of choices picks the next that begins so; yes and no are answered by y and n.
func TestStoryOfLettersOnChoices(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("A48160297D / g v v down c c space goto t y down")
	b.at("printing error")
	b.play("goto s y goto w f goto c b esc wait wait -")
	n := b.notes(1, 1)[0]
	want := triage.Facts{Grade: flaws.VeryFine, Defects: flaws.ColourChanged, Stamp: true, Neighbours: true, Facility: currency.FortWorth, Seal: currency.Blue}
	if n.Facts() != want {
		t.Errorf("stored is %+v, want %+v", n.Facts(), want)
	}
}

func TestNextBeginning(t *testing.T) {
	words := []string{"not said", "Very Good", "Fine", "Very Fine"}
	for _, c := range []struct {
		now  int
		text string
		want int
	}{{0, "v", 1}, {1, "v", 3}, {3, "v", 1}, {2, "f", 2}, {0, "F", 2}, {3, "n", 0}, {0, "x", -1}, {0, "(", -1}} {
		if got := nextBeginning(words, c.now, c.text); got != c.want {
			t.Errorf("from %d by %q to %d, want %d", c.now, c.text, got, c.want)
		}
	}
}

// The cursor stops at both ends, by whatever key, and the screen says that it is the end.
func TestStoryOfTheEndsOfTheCloserLook(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("/ up")
	b.at("series")
	b.shows("the first line")
	b.play("goto h box down")
	b.at("where it lies")
	b.shows("the last line")
	b.play("enter enter tab")
	b.at("where it lies")
	b.play("esc / h")
	b.shows("box")
}

// A note position that cannot be whole is asked about in passing; it stays as typed, also in the file, and makes the
// note no doubtful one.
func TestStoryOfHalfAPosition(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("A48160297D / p f")
	b.shows("note position   F", "F alone is whole only on notes")
	b.play("enter")
	b.shows("F alone is whole only on notes to about 1957", "! note position   F")
	b.play("12 esc wait wait -")
	if n := b.notes(1, 1); len(n) != 1 || n[0].Sheet != "F" || n[0].Plate != "12" {
		t.Fatalf("%+v", n)
	}
	b.play("B35120846D / p F4 enter F 12 enter")
	b.play("goto p")
	for _, l := range closerLines {
		if asked := l.doubt(b.closerOf()); asked != "" {
			t.Errorf("%s: what is whole is asked about: %q", l.label, asked)
		}
	}
	b.play("bs esc")
	b.shows("F alone is whole only") // it is said when the closer look is left, too
}

// Half a position of a strap gone through once more is asked about as the next note comes, because its own is out of
// sight then.
func TestStoryOfHalfAPositionOnceMore(t *testing.T) {
	b := newTable(t)
	shortStrap(b, "used")
	b.play("a t / p F pgdn")
	b.shows("note position: F, is that all?")
	b.play("F4 pgdn")
	b.shows("note position: F4")
	if strings.Contains(b.app.View(), "is that all?") {
		t.Error("a whole position is asked about")
	}
}

// What cannot be written on a line is said, and what is there stays.
func TestStoryOfWhatALineDoesNotTake(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("/ n 12x")
	b.shows("only digits", "corner number   12")
	b.play("3")
	b.shows("no more than 2 characters fit here", "corner number   12")
	b.play("goto l z")
	b.shows("only a letter from A to L")
	b.play("goto p -")
	b.shows("only letters and digits")
	b.play("right")
	b.shows("a text has no choices")
	b.play("goto y a")
	b.shows("a series begins with its year")
	b.play("2017AB")
	b.shows("a year and a letter at most")
	b.play("clear enter goto g q")
	b.shows("nothing here begins with q")
	b.play("v bs")
	b.shows("takes back what is said", "Very Good")
	b.play("clear")
	b.shows("not said")
	b.play("goto e y")
	b.shows("asks the questions")
}

// The defect under the cursor is in sight in the smallest window, whichever it is.
func TestEveryDefectIsInSight(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.size(MinWidth, MinHeight)
	b.play("/ d")
	for _, d := range flaws.Defects {
		b.play("right")
		b.closerOf().pick = slices.Index(defectNames(), d.Name)
		b.shows(d.Name + ": ")
	}
}

// The closer look is left by the key that opened it, except where that is text.
func TestStoryOfTheSlash(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	for _, l := range closerLines {
		b.play("/ " + string(l.letter) + " /")
		v := b.app.screen.(*strap)
		if open := v.closer != nil; open != (l.kind == textLines) {
			t.Errorf("after / on %q the closer look is open: %v", l.label, open)
		}
		if v.closer != nil {
			b.press(tea.KeyMsg{Type: tea.KeyEsc})
		}
		b.play("wait")
	}
}

// A text that is longer than its line can be read as a whole while one is on it.
func TestStoryOfALongRemark(t *testing.T) {
	const text = "torn along the upper edge, from the left margin to the seal, and mended with tape"
	b := newTable(t)
	b.begin("Friday float")
	b.play("/ r")
	b.typed(text)
	for _, size := range [][2]int{{80, 24}, {60, 16}, {120, 40}} {
		b.size(size[0], size[1])
		view := strings.Join(strings.Fields(b.app.View()), " ")
		for _, word := range strings.Fields(text) {
			if !strings.Contains(view, word) {
				t.Errorf("%v: %q of the remark is out of sight:\n%s", size, word, b.app.View())
			}
		}
	}
}
