package ui

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"app/unband/store"
	"app/unband/triage"
)

// This file is what a disk can refuse the real program. A disk quota cannot be set here without a file system made
// for it: that its error is told in words is tested in package store (Explain of EDQUOT). It takes the same way
// through the program as the full disk and the limit of a file's size below.

// refused types a serial and presses the key that spends it, which the disk must refuse: the screen says what is wrong
// and what is safe, and does not show the decision. It says so already when the serial is whole, because that is
// put down, too; that the key was heard shows in the pause, which begins anew.
func (s *sitting) refused(place int, serial, what, safe string) {
	s.t.Helper()
	mark := s.mark()
	s.keys(serial)
	s.awaitAfter(mark, what)
	s.pressedInVain()
	s.notShown(mark, place, serial, safe)
}

// pressedInVain presses the key that spends when it counts, and waits until the note is in hand again.
func (s *sitting) pressedInVain() {
	s.t.Helper()
	time.Sleep(resting)
	mark := s.mark()
	s.keys("-")
	s.awaitAfter(mark, "look at the note")
}

// notShown holds that a decision is not shown as made, and that the screen says what is safe.
func (s *sitting) notShown(mark, place int, serial, safe string) {
	s.t.Helper()
	written := strings.Join(strings.Fields(s.since(mark)), " ")
	if strings.Contains(written, fmt.Sprintf("note %d: %s", place, serial)) || strings.Contains(written, fmt.Sprintf("note %d of 100", place+1)) {
		s.t.Errorf("a decision that is not stored is shown:\n%s", s.tail())
	}
	if !strings.Contains(written, safe) {
		s.t.Errorf("the screen does not say %q:\n%s", safe, s.tail())
	}
}

// goesOn spends the note that is still in hand: nothing of it is typed again. The alarm stays in sight, so it is the
// next note that tells.
func (s *sitting) goesOn(place int) {
	s.t.Helper()
	time.Sleep(resting)
	mark := s.mark()
	s.keys("-")
	s.awaitAfter(mark, fmt.Sprintf("note %d of 100", place+1))
}

const (
	notStored = "What you just did is not stored. Everything before is"
	untouched = "Nothing was changed."
)

// On a full disk a decision is not shown as made, the message says so, the serial stays in hand, and it goes on when
// there is room again.
func TestFullDisk(t *testing.T) {
	float(t)
	folder := smallDisk(t, "size=512k")
	file, ballast := filepath.Join(folder, "float.db"), filepath.Join(folder, "ballast")
	s := sit(t, file)
	s.begin()
	serials := plainSerials(60, 11)
	s.decide(1, serials[0])
	fill(t, ballast)
	stored := 1
	for ; ; stored++ { // pages that are free in the file take a few decisions more
		if stored == len(serials) {
			t.Fatal("the disk is never full")
		}
		serial := serials[stored]
		s.keys(serial)
		time.Sleep(plainPause)
		mark := s.mark()
		s.keys("-")
		i, err := s.first(mark, "The disk is full.", fmt.Sprintf("note %d: %s spent", stored+1, serial))
		if err != nil {
			t.Fatalf("%v\n%s", err, s.tail())
		}
		if i == 0 {
			s.notShown(mark, stored+1, serial, notStored)
			break
		}
	}
	t.Logf("%d notes were decided before the disk was full", stored)
	mark := s.mark()
	s.pressedInVain() // and again, while it is full
	s.notShown(mark, stored+1, serials[stored], "")
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	s.goesOn(stored + 1)
	s.leave()
	wants(t, file, serials[:stored+1]...)
}

// smallDisk mounts a small disk of its own.
func smallDisk(t *testing.T, options string) string {
	t.Helper()
	folder := t.TempDir()
	if err := syscall.Mount("tmpfs", folder, "tmpfs", 0, options+",mode=0777"); err != nil {
		t.Skip("a small disk needs root to be mounted: ", err)
	}
	t.Cleanup(func() { _ = syscall.Unmount(folder, syscall.MNT_DETACH) })
	return folder
}

// fill writes until the disk is full.
func fill(t *testing.T, ballast string) {
	t.Helper()
	f, err := os.Create(ballast)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for block := make([]byte, 4096); err == nil; {
		_, err = f.Write(block)
	}
	if !strings.Contains(err.Error(), "no space") {
		t.Fatal(err)
	}
}

// The same where the file may not grow (RLIMIT_FSIZE), which needs no root: the limit comes and goes while the
// program runs. The signal that goes with it must not end the program.
func TestFileThatMayNotGrow(t *testing.T) {
	file := float(t)
	s := sit(t, file)
	s.begin()
	s.decide(1, "B48160297C")
	var was unix.Rlimit
	pid := s.cmd.Process.Pid
	if err := unix.Prlimit(pid, unix.RLIMIT_FSIZE, nil, &was); err != nil {
		t.Fatal(err)
	}
	if err := unix.Prlimit(pid, unix.RLIMIT_FSIZE, &unix.Rlimit{Cur: 4096, Max: was.Max}, nil); err != nil {
		t.Fatal(err)
	}
	s.refused(2, "E35120846D", "The file may not grow any more: a limit is set for its size.", notStored)
	if err := unix.Prlimit(pid, unix.RLIMIT_FSIZE, &was, nil); err != nil {
		t.Fatal(err)
	}
	s.goesOn(2)
	s.leave()
	wants(t, file, "B48160297C", "E35120846D")
}

// A file that is refused at the start: it says why on the terminal, with exit status 1, and touches nothing.
func TestFilesRefusedAtTheStart(t *testing.T) {
	float(t)
	for _, c := range []struct {
		name string
		make func(t *testing.T, folder string)
		says []string
	}{
		{"a read-only folder", func(t *testing.T, folder string) { mode(t, folder, 0o555) },
			[]string{"You are not allowed to read and write here", "Nothing was changed", "Change the permissions of the file and its folder"}},
		{"a file without permission", func(t *testing.T, folder string) { oldFile(t, folder, 0o000) },
			[]string{"You are not allowed to read and write here", "Nothing was changed"}},
		{"a file that may only be read", func(t *testing.T, folder string) { oldFile(t, folder, 0o444) },
			[]string{"You are not allowed to read and write here", "Nothing was changed"}},
		{"no folder", func(t *testing.T, folder string) { check(t, os.Remove(folder)) },
			[]string{"The folder of the file does not exist", "Nothing was made", "Make the folder"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			folder := filepath.Join(openFolder(t), "notes")
			check(t, os.Mkdir(folder, 0o777))
			mode(t, folder, 0o777)
			c.make(t, folder)
			s := sitOn(t, asNobody(t, filepath.Join(folder, "float.db")))
			s.refusedAtStart(c.says...)
		})
	}
	t.Run("a read-only disk", func(t *testing.T) {
		folder := smallDisk(t, "size=1m")
		oldFile(t, folder, 0o600)
		if err := syscall.Mount("", folder, "", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
			t.Skip("needs root to make a disk read-only: ", err)
		}
		for _, name := range []string{"float.db", "new.db"} {
			sit(t, filepath.Join(folder, name)).refusedAtStart("The disk is read-only.", "Nothing was changed", "Make it writable")
		}
	})
}

func (s *sitting) refusedAtStart(says ...string) {
	s.t.Helper()
	if status := s.wait(); status != 1 {
		s.t.Errorf("exit status %d, want 1", status)
	}
	<-s.gone
	text := strings.Join(strings.Fields(s.text()), " ")
	for _, says := range says {
		if !strings.Contains(text, says) {
			s.t.Errorf("it does not say %q:\n%s", says, s.text())
		}
	}
	if strings.Contains(s.bytes(), "\x1b[?1049h") {
		s.t.Error("the screen was opened")
	}
}

func check(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func mode(t *testing.T, path string, mode os.FileMode) {
	t.Helper()
	check(t, os.Chmod(path, mode)) // not by making it: the mask of the process takes bits away
}

// oldFile makes a file with a session, of a mode.
func oldFile(t *testing.T, folder string, m os.FileMode) {
	t.Helper()
	path := filepath.Join(folder, "float.db")
	s, err := store.Open(path)
	check(t, err)
	check(t, s.Do(store.AddSession{Session: triage.Session{Name: "float", Denomination: 1, Straps: 1, StrapNotes: 100}}).Err)
	check(t, s.Close())
	mode(t, path, m)
}

// openFolder is a temporary folder that every user can reach.
func openFolder(t *testing.T) string {
	t.Helper()
	folder, err := os.MkdirTemp("", "unband-open")
	check(t, err)
	t.Cleanup(func() { os.RemoveAll(folder) })
	mode(t, folder, 0o777)
	return folder
}

// nobody is a user that owns nothing.
const nobody = 65534

// asNobody is the command that opens the screen, under a user who may not do everything: to root permissions say
// nothing.
func asNobody(t *testing.T, file string) *exec.Cmd {
	t.Helper()
	path, err := program()
	check(t, err)
	cmd := screenOf(path, file)
	if os.Getuid() != 0 {
		return cmd
	}
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	cmd.Dir = "/"
	return cmd
}

// What is taken away while the program runs: the folder is moved, and put back; its permissions go, and come again.
// What is decided meanwhile is not shown as made, and goes to the disk when it can.
func TestTakenAwayWhileOpen(t *testing.T) {
	float(t)
	for _, c := range []struct {
		name, says, safe string
		take, giveBack   func(t *testing.T, folder string)
	}{
		{"the folder is moved", "The file was deleted, moved or replaced while it was open.", "What you just did is not stored. Up to then everything is in the file that was moved.",
			func(t *testing.T, folder string) { check(t, os.Rename(folder, folder+".away")) },
			func(t *testing.T, folder string) { check(t, os.Rename(folder+".away", folder)) }},
		{"the folder may not be entered", "You are not allowed to read and write here", untouched,
			func(t *testing.T, folder string) { mode(t, folder, 0) },
			func(t *testing.T, folder string) { mode(t, folder, 0o777) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			folder := filepath.Join(openFolder(t), "notes")
			check(t, os.Mkdir(folder, 0o777))
			mode(t, folder, 0o777)
			file := filepath.Join(folder, "float.db")
			s := sitOn(t, asNobody(t, file))
			s.begin()
			s.decide(1, "B48160297C")
			c.take(t, folder)
			s.refused(2, "E35120846D", c.says[:40], c.safe)
			c.giveBack(t, folder)
			s.goesOn(2)
			s.leave()
			wants(t, file, "B48160297C", "E35120846D")
		})
	}
	// A folder that is gone for good: leaving says it once more, and where to look.
	t.Run("the folder is gone", func(t *testing.T) {
		folder := filepath.Join(openFolder(t), "notes")
		check(t, os.Mkdir(folder, 0o700))
		s := sit(t, filepath.Join(folder, "float.db"))
		s.begin()
		s.decide(1, "B48160297C")
		check(t, os.RemoveAll(folder))
		s.refused(2, "E35120846D", "The file was deleted, moved or replaced", "What you just did is not stored.")
		s.keys("\x03")
		s.wait()
	})
}

// A folder that may only be read does not stop a file that is open: decisions need the file alone. The backup at the
// end of a strap cannot be made, which is told, and nothing that was decided is lost by that.
func TestReadOnlyFolderWhileOpen(t *testing.T) {
	float(t)
	folder := filepath.Join(openFolder(t), "notes")
	check(t, os.Mkdir(folder, 0o777))
	mode(t, folder, 0o777)
	file := filepath.Join(folder, "float.db")
	s := sitOn(t, asNobody(t, file))
	s.begin()
	s.decide(1, "B48160297C")
	mode(t, folder, 0o555)
	s.decide(2, "E35120846D")
	mark := s.mark()
	s.keys("\r")
	s.awaitAfter(mark, "closes the strap as counted")
	for _, answer := range []string{"once more", "short of 100"} {
		time.Sleep(resting)
		mark = s.mark()
		s.keys("\r")
		s.awaitAfter(mark, answer)
	}
	s.awaitAfter(mark, "closed and stored, but no backup of the file")
	s.leave()
	mode(t, folder, 0o777)
	wants(t, file, "B48160297C", "E35120846D")
	if all, err := store.Backups(file); err != nil || len(all) > 0 {
		t.Errorf("backups %v, %v", all, err)
	}
}

// A second window is refused within a second or so, in words, with exit status 1; the first one goes on.
func TestSecondWindow(t *testing.T) {
	file := float(t)
	s := sit(t, file)
	s.begin()
	began := time.Now()
	second := sit(t, file)
	second.refusedAtStart("The file is open in another window.", "The file was not touched.", "Close unband there, or name another file with --file.")
	if took := time.Since(began); took > 5*time.Second {
		t.Errorf("it was refused after %v", took)
	} else {
		t.Logf("refused after %v", took.Round(time.Millisecond))
	}
	s.decide(1, "B48160297C")
	s.leave()
	wants(t, file, "B48160297C")
}

// Two windows are started at the same moment on one file, new or old: one opens and one is refused, never do both
// write.
func TestTwoWindowsAtOnce(t *testing.T) {
	float(t)
	for pair := range 10 {
		file := filepath.Join(t.TempDir(), "float.db")
		if pair%2 == 1 {
			oldFile(t, filepath.Dir(file), 0o600)
		}
		path, err := program()
		check(t, err)
		var windows [2]*sitting
		var errs [2]error
		var start, started sync.WaitGroup
		start.Add(1)
		for i := range windows {
			started.Go(func() {
				start.Wait()
				windows[i], errs[i] = sitDown(t, screenOf(path, file))
			})
		}
		start.Done()
		started.Wait()
		opened := 0
		for i, w := range windows {
			check(t, errs[i])
			defer w.getUp()
			i, err := w.first(0, "N new session", "The file is open in another window.")
			if err != nil {
				t.Fatalf("pair %d: %v\n%s", pair, err, w.tail())
			}
			if i == 0 {
				opened++
				continue
			}
			if status := w.wait(); status != 1 {
				t.Errorf("pair %d: the refused window has exit status %d", pair, status)
			}
		}
		if opened != 1 {
			t.Errorf("pair %d: %d windows are open", pair, opened)
		}
		for _, w := range windows {
			if w.cmd.ProcessState == nil {
				w.leave()
			}
		}
		s, err := store.Open(file)
		check(t, err)
		report, err := s.Check()
		if err != nil || !report.Sound() {
			t.Errorf("pair %d: %v %v", pair, err, report.Problems)
		}
		check(t, s.Close())
	}
}

// What a kill leaves behind of a backup is taken away by a later one, but not what another window may be making.
func TestUnfinishedBackupsGo(t *testing.T) {
	file := reported(t)
	folder := store.BackupFolder(file)
	check(t, os.Mkdir(folder, 0o700))
	old, fresh := filepath.Join(folder, ".backup-1"), filepath.Join(folder, ".backup-2")
	for _, path := range []string{old, fresh} {
		check(t, os.WriteFile(path, []byte("half"), 0o600))
	}
	before := time.Now().Add(-2 * time.Hour)
	check(t, os.Chtimes(old, before, before))
	if _, errs, status := command(t, "backup", "--file", file); status != 0 {
		t.Fatal(errs)
	}
	if _, err := os.Stat(old); !os.IsNotExist(err) {
		t.Errorf("the old one is still there: %v", err)
	}
	if _, err := os.Stat(fresh); err != nil {
		t.Error(err)
	}
}
