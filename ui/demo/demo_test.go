package demo

import (
	"bytes"
	"path/filepath"
	"testing"
	"time"

	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/report"
)

// saturday is the time the tests make the demo for.
var saturday = time.Date(2026, 3, 7, 20, 40, 0, 0, time.UTC)

// made makes the demo's file.
func made(t testing.TB, now time.Time, seed uint64) *store.Store {
	t.Helper()
	s, err := store.OpenThrowAway(filepath.Join(t.TempDir(), "demo.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	if err := Fill(s, now, seed); err != nil {
		t.Fatal(err)
	}
	return s
}

// told is everything in the file, as the report for other programs has it.
func told(t *testing.T, s *store.Store) string {
	t.Helper()
	sessions, err := s.Sessions()
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := report.Write(&b, report.Form("json"), report.Made{}, report.Source{Sessions: sessions, Straps: s.Straps, Notes: s.Notes}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestX(t *testing.T) {
	s := made(t, saturday, Seed)
	sessions, _ := s.Sessions()
	for _, x := range sessions {
		t.Logf("%d %s %+v", x.ID, x.Name, x.Totals)
	}
	kept, _ := s.Kept()
	for _, n := range kept {
		t.Log(n.Place(), n.Serial, n.Series, n.Hits, n.Fate, n.Where, n.Reason)
	}
	todo, _ := s.Todo()
	t.Log(len(todo))
	rep, err := s.Check()
	t.Log(rep, err)
	_ = triage.Keep
}

func BenchmarkFill(b *testing.B) {
	for b.Loop() {
		s, err := store.OpenThrowAway(filepath.Join(b.TempDir(), "demo.db"))
		if err != nil {
			b.Fatal(err)
		}
		if err := Fill(s, saturday, Seed); err != nil {
			b.Fatal(err)
		}
		s.Close()
	}
}
