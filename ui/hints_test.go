package ui

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"app/unband/triage"
)

// guidedTable is a new file whose first strap is guided.
func guidedTable(t testing.TB) *table {
	b := newTable(t)
	b.guided = true
	b.start()
	return b
}

// hintsShown are the hints that stand on the screen.
func (b *table) hintsShown() (all []triage.Hints) {
	b.t.Helper()
	b.size(120, 40)
	view := strings.Join(strings.Fields(b.app.View()), " ")
	for h := triage.HintPause; h <= triage.HintLeaving; h <<= 1 {
		if strings.Contains(view, strings.Join(strings.Fields(hintWords(h)), " ")[:24]) {
			all = append(all, h)
		}
	}
	return all
}

func (b *table) hints(want ...triage.Hints) {
	b.t.Helper()
	got := b.hintsShown()
	if len(got) != len(want) || len(got) > 0 && got[0] != want[0] {
		b.t.Errorf("hints %v are shown, want %v\n%s", got, want, b.app.View())
	}
}

// Each of the five hints comes when it first applies, alone, and goes with its note.
func TestHintsOfTheFirstStrap(t *testing.T) {
	b := guidedTable(t)
	b.begin("Friday float")
	b.hints()
	b.play("4816029")
	b.hints(triage.HintPause) // settled already: no decision counts yet
	b.play("7 wait")
	b.hints(triage.HintPause)
	b.play("-")
	b.hints(triage.HintBack)
	b.play("70633507 wait")
	b.hints(triage.HintNear) // it is about the note in hand
	b.play("- 65 enter wait")
	b.hints()
	b.play("B01873355*")
	b.hints(triage.HintStar)
	b.play("clear 48160298 wait -")
	b.hints(triage.HintLeaving)
	b.play("35120846 wait - B01873355*")
	b.hints()
	b.play("clear 35120847 wait -")
	for _, serial := range []string{"48160298", "70633507", "B01873357*", "48160299"} {
		b.play(serial)
		b.hints()
		b.play("clear")
		b.hints()
	}
	b.sound()
}

// A hint that was told does not come again when the program is left and started anew.
func TestNoHintComesTwice(t *testing.T) {
	b := guidedTable(t)
	b.begin("Friday float")
	b.play("48160297")
	b.hints(triage.HintPause)
	b.start()
	b.play("r wait")
	b.hints()
	b.play("wait -")
	b.hints(triage.HintBack)
	b.start()
	b.play("r wait")
	b.hints()
}

// One key ends them, for good; what else was chosen stays as it was.
func TestOneKeyEndsTheHints(t *testing.T) {
	b := guidedTable(t)
	b.begin("Friday float")
	b.play("48160297")
	b.hints(triage.HintPause)
	b.press(tea.KeyMsg{Type: tea.KeyCtrlG})
	b.shows("no more hints")
	b.play("wait -")
	b.hints()
	b.start()
	b.play("r 70633507 wait")
	b.hints()
	c, ok, err := b.store.Choices()
	want, _ := triage.DefaultChoices()
	if err != nil || !ok || c.Hints != triage.AllHints || c.Watch != want.Watch || c.Pauses != want.Pauses {
		t.Errorf("choices are %+v, %v, %v", c, ok, err)
	}
}

// Later straps, straps of a list, and a program that is asked not to are told nothing.
func TestOnlyTheFirstStrapIsGuided(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("48160297 wait")
	b.hints()

	b = guidedTable(t)
	b.begin("Friday float")
	b.openList(listFile(t, "B48160297C", "B70633607C"))
	b.play("wait enter wait B70633607C wait")
	b.hints()

	b = guidedTable(t)
	b.begin("Friday float")
	b.play("desk")
	b.beginNew("second float")
	b.play("48160297 wait")
	b.hints()
}
