package ui

import (
	"slices"
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

// BenchmarkOpenAListedStrap opens a strap of a session with a thousand listed ones that have nothing to be pulled.
func BenchmarkOpenAListedStrap(b *testing.B) {
	t := newTable(b)
	t.begin("float")
	serials := plainSerials(100_200, 9)
	slices.Sort(serials)
	t.openList(listFile(b, slices.Compact(serials)[:100_000]...))
	t.play("wait enter wait")
	v, ok := t.app.screen.(*strap)
	if !ok {
		b.Fatalf("%T\n%s", t.app.screen, t.app.View())
	}
	s, strap := v.sorter.Session(), v.sorter.Strap()
	if got := v.sorter.Onward().Rest; got != 99_900 {
		b.Fatalf("%d notes of other straps are listed", got)
	}
	b.ReportAllocs()
	for b.Loop() {
		if next, _ := openStrap(t.app.env, s, strap, t.now); next == nil {
			b.Fatal("not opened")
		}
	}
}
