package store

import (
	"os"
	"path/filepath"
	"testing"

	"app/unband/triage"
)

// A file that is thrown away holds what was written as any other does, but no backup lies beside it when a strap is
// closed.
func TestThrowAwayLeavesNoBackup(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "demo.db")
	s, err := OpenThrowAway(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range []Write{
		AddSession{Session: triage.Session{Name: "float", Denomination: 1, Straps: 1, StrapNotes: 1}},
		OpenStrap{Strap: triage.Strap{Session: 1, Number: 1, Band: 1}},
		Decide{Note: triage.Note{Session: 1, Strap: 1, Position: 1, Version: 1, Serial: triage.Serial{Digits: "48160297"}, Decision: triage.Spend}},
		CloseStrap{Session: 1, Number: 1},
	} {
		if r := s.Do(w); r.Err != nil {
			t.Fatalf("%T: %v", w, r.Err)
		}
	}
	if r, err := s.Check(); err != nil || !r.Sound() || r.Notes != 1 {
		t.Errorf("the file has %d notes, %v (%v)", r.Notes, r.Problems, err)
	}
	if err := s.Close(); err != nil { // backups are waited for here
		t.Fatal(err)
	}
	if there, err := os.ReadDir(folder); err != nil || len(there) != 1 {
		t.Errorf("in the folder are %v (%v), want the file alone", there, err)
	}
}
