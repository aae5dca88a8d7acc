package ui

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
)

var endKey = tea.KeyMsg{Type: tea.KeyEnd}

// What is told below the straps of a session can be read to its end in the smallest window, and a key pressed too often
// at the end is taken back by one the other way.
func TestASessionsPageIsReadToItsEnd(t *testing.T) {
	b := newTable(t)
	market(b)
	b.play("enter wait b 4 enter wait s wait s")
	for range 3 { // what is told grows with every trace
		b.play("wait o wait o wait c wait c")
	}
	b.size(MinWidth, MinHeight)
	const last = "as summed up in the press"
	first := b.app.View()
	b.shows("↓ for more", "goes back to the desk", "together")
	if strings.Contains(first, last) || strings.Contains(first, "larger window") {
		t.Errorf("the page shows\n%s", first)
	}
	b.play("pgdn pgdn pgdn pgdn pgdn pgdn pgdn pgdn pgdn pgdn")
	b.shows(last, "strap 1", "goes back to the desk")
	end := b.app.View()
	b.play("pgup")
	if b.app.View() == end {
		t.Errorf("after PgDn too often PgUp does nothing:\n%s", end)
	}
	b.play("home")
	if b.app.View() != first {
		t.Errorf("Home does not lead back to\n%s\nbut to\n%s", first, b.app.View())
	}
	b.press(endKey)
	if b.app.View() != end {
		t.Errorf("End leads to\n%s\nwant\n%s", b.app.View(), end)
	}
	for range 40 {
		b.play("up")
	}
	if b.app.View() != first {
		t.Errorf("↑ does not lead back to\n%s\nbut to\n%s", first, b.app.View())
	}
	b.size(80, 40)
	b.shows(last)
}

// Among many straps the keys go by lines and pages, first through the straps and then through what is told below them.
func TestManyStrapsOfASession(t *testing.T) {
	b := newTable(t)
	b.listOf(2500)
	b.play("wait enter desk p")
	at := func(want int) {
		t.Helper()
		if got := b.app.screen.(*pile).row; got != want {
			t.Errorf("the cursor is on strap %d, want %d", got+1, want+1)
		}
	}
	at(24)
	b.play("home")
	at(0)
	b.play("pgup up")
	at(0)
	b.play("pgdn")
	at(10)
	b.play("pgdn pgdn pgdn pgdn")
	at(24)
	b.play("up")
	at(23)
	b.press(endKey)
	at(24)
	b.shows("strap 25", "together", "Enter goes on with strap 1")
}

// A note set aside has its column, in the smallest window, too.
func TestASessionsPageCountsWhatIsSetAside(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("B48160297C wait ! wait ! 70633607 wait + 48160298 wait - wait enter wait enter wait enter")
	for _, size := range [][2]int{{MinWidth, MinHeight}, {80, 24}} {
		b.size(size[0], size[1])
		var cells []string
		for line := range strings.Lines(b.app.View()) {
			if strings.Contains(line, "together") || strings.Contains(line, "aside  near") || strings.Contains(line, "aside near") {
				cells = append(cells, strings.Join(strings.Fields(line), " "))
			}
		}
		if got, want := strings.Join(cells, "\n"), "notes kept spent aside near wait band\ntogether 3 1 1 1 0 0"; got != want {
			t.Errorf("at %v the page says\n%s\nwant\n%s", size, got, want)
		}
	}
}
