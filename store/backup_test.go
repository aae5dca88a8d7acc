package store

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"app/unband/triage"
)

// closeStraps opens and closes so many straps of a session, a minute apart, each with one note.
func closeStraps(t *testing.T, s *Store, session uint64, straps int) {
	t.Helper()
	for i := range straps {
		at := start.Add(time.Duration(i) * time.Minute)
		r := must(t, s, OpenStrap{triage.Strap{Session: session, Band: 100, Opened: at}})
		must(t, s, Decide{note(r.Strap, 1)})
		must(t, s, CloseStrap{session, r.Strap.Number, at})
	}
}

// After each strap there is a backup of everything up to then; the last ten are kept.
func TestABackupAfterEachStrap(t *testing.T) {
	s := tempStore(t)
	told := make(chan error, 100)
	s.WhenBackedUp(func(_ Backup, err error) { told <- err })
	session := must(t, s, AddSession{triage.Session{Name: "float", StrapNotes: 100, Opened: start}}).Session
	closeStraps(t, s, session.ID, keptBackups+2)
	for range keptBackups + 2 {
		check(t, <-told)
	}
	all, err := Backups(s.Path())
	check(t, err)
	if len(all) != keptBackups {
		t.Fatalf("%d backups are kept, want %d", len(all), keptBackups)
	}
	for i, b := range all {
		if want := start.Add(time.Duration(keptBackups+1-i) * time.Minute).UTC(); !b.Made.Equal(want.Truncate(time.Second)) {
			t.Errorf("backup %d is of %v, want %v", i, b.Made, want)
		}
		report, err := CheckCopy(b.Path)
		if err != nil || !report.Sound() {
			t.Errorf("%s: %v, %q", b.Path, err, report.Problems)
		}
		if runtime.GOOS != "windows" {
			info, err := os.Stat(b.Path)
			check(t, err)
			folder, err := os.Stat(BackupFolder(s.Path()))
			check(t, err)
			if info.Mode().Perm() != 0o600 || folder.Mode().Perm() != 0o700 {
				t.Errorf("a backup has mode %v, its folder %v", info.Mode(), folder.Mode())
			}
		}
	}
	newest, report, ok := NewestSound(s.Path())
	if !ok || newest != all[0] || report.Notes != keptBackups+2 {
		t.Errorf("the newest sound one is %+v with %d notes (%v)", newest, report.Notes, ok)
	}
	check(t, os.WriteFile(all[0].Path, []byte("damaged"), 0o600))
	if newest, _, ok := NewestSound(s.Path()); !ok || newest != all[1] {
		t.Errorf("with the newest one damaged it is %+v (%v)", newest, ok)
	}
}

// Where no backup can be made it is told, and the strap is closed all the same.
func TestABackupThatFailsIsTold(t *testing.T) {
	s := tempStore(t)
	told := make(chan error, 1)
	s.WhenBackedUp(func(_ Backup, err error) { told <- err })
	check(t, os.WriteFile(BackupFolder(s.Path()), nil, 0o600)) // a file in the place of the folder
	session := must(t, s, AddSession{triage.Session{Name: "float", Opened: start}}).Session
	closeStraps(t, s, session.ID, 1)
	if err := <-told; err == nil {
		t.Error("no error was told")
	}
	straps, err := s.Straps(session.ID)
	if err != nil || !straps[0].Done {
		t.Errorf("the strap is %+v, %v", straps, err)
	}
	wantSound(t, s)
}

// A window that is open and writing does not keep a copy from being whole.
func TestACopyBesideAnOpenWindow(t *testing.T) {
	s := tempStore(t)
	strap := withStrap(t, s)
	stop, stopped := make(chan bool), make(chan bool)
	written := 0
	go func() {
		defer close(stopped)
		for {
			select {
			case <-stop:
				return
			case <-time.After(20 * time.Millisecond): // faster than any hand
			}
			written++
			s.Do(Decide{note(strap, written)})
		}
	}()
	time.Sleep(300 * time.Millisecond)
	to := filepath.Join(t.TempDir(), "copy.db")
	_, err := CopyFile(s.Path(), to, start)
	close(stop)
	<-stopped
	check(t, err)
	report, err := CheckCopy(to)
	if err != nil || !report.Sound() || report.Notes == 0 || report.Notes > written {
		t.Errorf("the copy has %d notes of %d: %v, %q", report.Notes, written, err, report.Problems)
	}
	if _, err := CopyFile(s.Path(), to, start); !errors.Is(err, fs.ErrExist) {
		t.Errorf("over a file that is there: %v", err)
	}
}

// What is damaged is not passed off as a backup.
func TestNoBackupOfADamagedFile(t *testing.T) {
	sound := closedStore(t)
	for _, p := range onePairEach(t, sound) {
		if p.bucket != bucketNotes {
			continue
		}
		path := filepath.Join(t.TempDir(), "broken.db")
		whole := append(bytes.Clone(p.key), p.value...)
		broken := bytes.Clone(whole)
		broken[len(broken)-1] ^= 1
		write(bytes.ReplaceAll(sound, whole, broken))(t, path)
		var unsound *UnsoundError
		if _, err := CopyFile(path, "", start); !errors.As(err, &unsound) {
			t.Errorf("a file with a damaged note is copied: %v", err)
		}
		if all, err := Backups(path); err != nil || len(all) != 0 {
			t.Errorf("backups %v, %v", all, err)
		}
	}
}

// A file of another program beside the backups is never taken for one, and never taken away.
func TestWhatIsNoBackupStays(t *testing.T) {
	s := tempStore(t)
	told := make(chan error, 100)
	s.WhenBackedUp(func(_ Backup, err error) { told <- err })
	check(t, os.Mkdir(BackupFolder(s.Path()), 0o700))
	other := filepath.Join(BackupFolder(s.Path()), "photographs.db")
	check(t, os.WriteFile(other, []byte("x"), 0o600))
	session := must(t, s, AddSession{triage.Session{Name: "float", Opened: start}}).Session
	closeStraps(t, s, session.ID, keptBackups+1)
	for range keptBackups + 1 {
		check(t, <-told)
	}
	if _, err := os.Stat(other); err != nil {
		t.Error(err)
	}
}
