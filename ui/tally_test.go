package ui

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"app/unband/patterns"
	"app/unband/store"
	"app/unband/triage"
)

// The tally counts what was tested, leaves new straps out and says so, and tells two branches apart only when
// it can.
func TestStoryOfTheTally(t *testing.T) {
	b := newTable(t)
	twoFloats(b)
	b.begin("Sunday float")
	b.play("48160298 wait - desk t")
	b.shows("tally · everything", "stars", "kept", "Clopper and Pearson")
	b.play("right")
	b.shows("7 notes of new straps are left out", "rare rules of which none was found")
	b.play("right")
	b.shows("notes and", "an hour", "keys a note", "changed by it")
	b.play("right")
	b.shows("2013", "2017A", "whose series was said")
	b.play("right g")
	b.shows("Mill Lane", "Harbour branch", "by source")
	b.size(80, 50)
	b.shows("new notes: 1 of 7 are stars, 3 kept. Their numbers follow one another, a strap", "is one draw of chance: no range")
	b.shows("Mill Lane beside Harbour branch", "not yet to be told apart")
	b.size(80, 24)
	b.play("d 2027-01-01 enter enter")
	b.shows("Not one note is counted in here yet")
	b.play("d esc")
	b.shows("Mill Lane")
	b.play("esc down up p wait t") // the session that is open on top
	b.shows("tally · ")
	b.play("a")
	b.shows("tally · everything")
}

// The report of the tally is written in every form, and a file that is there is not replaced unasked.
func TestStoryOfAReport(t *testing.T) {
	t.Chdir(t.TempDir())
	b := newTable(t)
	market(b)
	b.play("t r")
	save := tea.KeyMsg{Type: tea.KeyCtrlS}
	for range 3 { // Markdown, CSV, JSON
		b.play("right")
		b.press(save)
	}
	for name, want := range map[string]string{"unband-report-all.md": "# Straps, sessions and keepers", "unband-report-all.csv": "B70633607C", "unband-report-all.json": `"digits":"70633607"`} {
		data, err := os.ReadFile(name)
		if err != nil || !strings.Contains(string(data), want) {
			t.Errorf("%s (%v) lacks %q:\n%s", name, err, want, data)
		}
	}
	b.press(save)
	b.shows("already")
}

// BenchmarkTally opens the tally of a file of some thousand days of sorting and turns a page.
func BenchmarkTally(b *testing.B) {
	table := newTable(b)
	for i := range 300 { // sessions of three notes on three days each: what counts is how many tallies there are
		at := table.now.Add(time.Duration(i) * 72 * time.Hour)
		s := table.store.Do(store.AddSession{Session: triage.Session{Name: fmt.Sprint("session ", i), Source: fmt.Sprint("branch ", i%5), Denomination: 1, Straps: 1, StrapNotes: 100,
			Opened: at, Settings: patterns.DefaultSettings(), Watch: patterns.Watch{Hit: ^patterns.Set(0)}}}).Session
		table.store.Do(store.OpenStrap{Strap: triage.Strap{Session: s.ID, Band: 100, Opened: at}})
		for n := range 3 {
			r := table.store.Do(store.Decide{Note: triage.Note{Session: s.ID, Strap: 1, Position: n + 1, Version: 1, Decision: triage.Spend, Series: "2017A",
				Serial: triage.Serial{Digits: fmt.Sprintf("%08d", i*7919+n)}, Hits: patterns.Set(1 << 12), Decided: at.Add(time.Duration(n) * 24 * time.Hour)}})
			if r.Err != nil {
				b.Fatal(r.Err)
			}
		}
	}
	table.start()
	b.Run("open", func(b *testing.B) {
		for range b.N {
			table.play("t esc")
		}
	})
	table.play("t")
	b.Run("group", func(b *testing.B) {
		for range b.N {
			table.play("g")
			table.app.View()
		}
	})
}
