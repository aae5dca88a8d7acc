package store

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
	"app/unband/triage/errands"
)

// samples has a small file of each older layout, as the program of its time wrote it.
var samples = filepath.Join("..", "testdata", "store")

// oldFile copies a sample to where it can be changed.
func oldFile(t *testing.T, name string) (path string, content []byte) {
	t.Helper()
	content, err := os.ReadFile(filepath.Join(samples, name))
	if err != nil {
		t.Fatal(err)
	}
	path = filepath.Join(t.TempDir(), "unband.db")
	if err := os.WriteFile(path, content, 0o600); err != nil {
		t.Fatal(err)
	}
	return path, content
}

// Layout 1 is brought up to date with everything in it: two sessions, eleven notes, a serial in hand, a
// run, an own pattern. What layout 2 adds is filled in from the notes.
func TestLayout1IsBroughtUpToDate(t *testing.T) {
	path, content := oldFile(t, "layout-1.db")
	s := openStore(t, path)
	wantSound(t, s)
	if aside, err := os.ReadFile(path + ".layout-1"); err != nil || !bytes.Equal(aside, content) {
		t.Errorf("the copy aside is not the file as it was (%v)", err)
	}
	sessions, err := s.Sessions()
	if err != nil || len(sessions) != 2 {
		t.Fatalf("%d sessions, %v", len(sessions), err)
	}
	first, err := s.Notes(1, 1)
	if err != nil || len(first) != 10 {
		t.Fatalf("%d notes in session 1, %v", len(first), err)
	}
	if n := first[6]; n.Where != "album 1, page 3" || n.Remark != "found under the lamp" {
		t.Errorf("note 7 is %+v", n)
	}
	if held, ok, err := s.Hand(1, 1); err != nil || !ok || held.Serial.Digits != "35120846" {
		t.Errorf("in hand is %+v, %v, %v", held, ok, err)
	}
	if runs, err := s.Runs(); err != nil || len(runs) != 1 {
		t.Errorf("runs %v, %v", runs, err)
	}
	if c, ok, err := s.Choices(); err != nil || !ok || len(c.Settings.Templates) != 1 {
		t.Errorf("choices %+v, %v, %v", c, ok, err)
	}
	kept, err := s.Kept()
	if err != nil || len(kept) != 5 {
		t.Errorf("%d keepers, %v, want 5", len(kept), err)
	}
	todo, err := s.Todo()
	if err != nil || len(todo) != 3 || todo[0].Position != 7 || todo[1].Position != 8 || todo[2].Position != 9 {
		t.Errorf("errands of %+v, %v, want notes 7, 8 and 9", todo, err)
	}
	must(t, s, Revise{[]triage.Note{kept[0].Became(triage.Sold, start, "at the fair", start)}})
	must(t, s, PutErrands{[]errands.Errand{{Kind: errands.Study, Place: todo[0].Place(), Done: start}}})
	wantSound(t, s)
	s.Close()
	if again := openStore(t, path); again.Path() != s.Path() {
		t.Error("it was opened elsewhere")
	}
}

// Layout 2 is brought up to date with everything in it: two sessions of five notes, a keeper sold, an errand done, a
// serial in hand, a strap counted back. Layout 3 adds room for listed notes.
func TestLayout2IsBroughtUpToDate(t *testing.T) {
	path, content := oldFile(t, "layout-2.db")
	s := openStore(t, path)
	wantSound(t, s)
	if aside, err := os.ReadFile(path + ".layout-2"); err != nil || !bytes.Equal(aside, content) {
		t.Errorf("the copy aside is not the file as it was (%v)", err)
	}
	kept, err := s.Kept()
	if err != nil || len(kept) != 4 || kept[0].Fate != triage.Sold || kept[0].FateRemark != "at the fair" {
		t.Errorf("%d keepers, %v, the first %+v", len(kept), err, kept)
	}
	if done, err := s.ErrandsDone(); err != nil || len(done) != 1 {
		t.Errorf("errands done %v, %v", done, err)
	}
	if held, ok, err := s.Hand(2, 1); err != nil || !ok || held.Serial.Digits != "35120846" {
		t.Errorf("in hand is %+v, %v, %v", held, ok, err)
	}
	straps, err := s.Straps(1)
	if err != nil || len(straps) != 1 || straps[0].Back.Counted != 3 || straps[0].Totals.Notes != 5 {
		t.Errorf("straps %+v, %v", straps, err)
	}
	must(t, s, List{Straps: []triage.Strap{{Session: 1, Number: 2, Band: 100, Opened: start}},
		Notes: []triage.Listed{{Session: 1, Strap: 2, Position: 1, Serial: triage.Serial{Digits: "31415926"}, Origin: triage.FromList}}})
	wantSound(t, s)
}

// Layout 3 is brought up to date with everything in it: a strap that is done, one being sorted with six notes of two
// days and a correction, and one of another session whose first, second, fourth and fifth note are listed.
func TestLayout3IsBroughtUpToDate(t *testing.T) {
	path, content := oldFile(t, "layout-3.db")
	s := openStore(t, path)
	wantSound(t, s)
	if aside, err := os.ReadFile(path + ".layout-3"); err != nil || !bytes.Equal(aside, content) {
		t.Errorf("the copy aside is not the file as it was (%v)", err)
	}
	straps, err := s.Straps(1)
	if err != nil || len(straps) != 2 || straps[0].Totals.Notes != 4 || !straps[0].Done || straps[1].Totals.Notes != 6 || straps[1].Totals.Kept != 2 {
		t.Errorf("straps %+v, %v", straps, err)
	}
	session, err := s.Session(1)
	if err != nil || session.Totals.Notes != 10 || session.Totals.Kept != 2 {
		t.Errorf("session %+v, %v", session, err)
	}
	days, err := s.Tallies(1)
	count := 0
	for _, d := range days {
		count += d.Tally.Notes
	}
	if err != nil || len(days) != 3 || count != 10 {
		t.Errorf("%d notes on %d days, %v", count, len(days), err)
	}
	open, _ := s.Notes(1, 2)
	d, _ := open[4].Serial.Whole()
	if met, err := s.Met(d, 0); err != nil || len(met) != 1 || met[0].Place() != open[4].Place() {
		t.Errorf("note 5 of the open strap is met as %+v, %v", met, err)
	}
	if waits, err := s.Listed(2, 1); err != nil || len(waits) != 4 {
		t.Errorf("%d notes are listed, %v", len(waits), err)
	}
	must(t, s, CloseStrap{1, 2, start})
	wantSound(t, s)
}

// A damaged note does not keep a file from being brought up to date: check names it, the others are there.
func TestADamagedNoteIsLeftAsItIs(t *testing.T) {
	path, _ := oldFile(t, "layout-1.db")
	db, err := bolt.Open(path, 0o600, nil)
	if err != nil {
		t.Fatal(err)
	}
	err = db.Update(func(tx *bolt.Tx) error {
		return notes.in(tx).Put(noteKey(triage.Place{Session: 1, Strap: 1, Position: 3}), []byte("damaged"))
	})
	if err := errors.Join(err, db.Close()); err != nil {
		t.Fatal(err)
	}
	s := openStore(t, path)
	kept, err := s.Kept()
	if err != nil || len(kept) != 5 {
		t.Errorf("%d keepers, %v, want 5", len(kept), err)
	}
	report, err := s.Check()
	if err != nil || report.Sound() || !strings.Contains(strings.Join(report.Problems, "\n"), "record notes") {
		t.Errorf("check: %v, %q", err, report.Problems)
	}
}

// A copy of another file is not taken for one of this, and never replaced.
func TestAnotherCopyStays(t *testing.T) {
	path, content := oldFile(t, "layout-1.db")
	if err := os.WriteFile(path+".layout-1", []byte("of another file"), 0o600); err != nil {
		t.Fatal(err)
	}
	openStore(t, path)
	other, _ := os.ReadFile(path + ".layout-1")
	own, err := os.ReadFile(path + ".layout-1.2")
	if string(other) != "of another file" || err != nil || !bytes.Equal(own, content) {
		t.Errorf("the other copy is %q, this one is right: %v (%v)", other, bytes.Equal(own, content), err)
	}
}

// A file that cannot be copied aside is not changed.
func TestNothingIsBroughtUpToDateWithoutACopy(t *testing.T) {
	path, content := oldFile(t, "layout-1.db")
	if err := os.Mkdir(path+".layout-1", 0o700); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(path); err == nil {
		t.Error("it was opened without a copy")
	}
	if now, err := os.ReadFile(path); err != nil || !bytes.Equal(now, content) {
		t.Errorf("the file was changed (%v)", err)
	}
}

// What became of a keeper can be said when its session is closed; its decision cannot be changed.
func TestWhatBecameOfAKeeperOfAClosedSession(t *testing.T) {
	s := tempStore(t)
	strap := withStrap(t, s)
	n := note(strap, 1)
	n.Decision = triage.Keep
	n = must(t, s, Decide{n}).Note
	session := must(t, s, CloseStrap{strap.Session, strap.Number, start}).Session
	session.Closed = start
	must(t, s, PutSession{session})
	n = n.Became(triage.SpentAfter, start, "at the baker's", start)
	r := must(t, s, Revise{[]triage.Note{n}})
	if got := r.Session.Totals; got.Kept != 0 || got.Spent != 1 || got.Respent != 1 {
		t.Errorf("the face value did not move: %+v", got)
	}
	n.Decision, n.Version = triage.Spend, n.Version+1
	if r := s.Do(Revise{[]triage.Note{n}}); r.Err != ErrSessionClosed {
		t.Errorf("another decision was answered %v", r.Err)
	}
	wantSound(t, s)
}
