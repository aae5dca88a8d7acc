package ui

import (
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

// BenchmarkKey is one key of a serial from Update to the finished View, on a strap of 50 notes.
func BenchmarkKey(b *testing.B) {
	t := newTable(b)
	t.begin("Friday float")
	for _, s := range plainSerials(50, 3) {
		t.play(s + " wait -")
	}
	keys := []tea.KeyMsg{}
	for _, r := range "7063350" { // the eighth would go to the disk
		keys = append(keys, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
	}
	keys = append(keys, words["clear"])
	for i := 0; b.Loop(); i++ {
		t.now = t.now.Add(100 * time.Millisecond)
		t.app.Update(keys[i%len(keys)])
		_ = t.app.View()
	}
}
