package store

import (
	"errors"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"app/unband/triage"
)

// On a full disk nothing is lost, nothing is claimed, and it goes on when there is room again.
func TestFullDisk(t *testing.T) {
	folder := t.TempDir()
	if err := syscall.Mount("tmpfs", folder, "tmpfs", 0, "size=512k,mode=0700"); err != nil {
		t.Skip("a small disk needs root to be mounted: ", err)
	}
	t.Cleanup(func() { _ = syscall.Unmount(folder, 0) })
	s, err := Open(filepath.Join(folder, "unband.db"))
	check(t, err)
	defer s.Close()
	strap := withStrap(t, s)
	ballast := filepath.Join(folder, "ballast")
	check(t, os.WriteFile(ballast, make([]byte, 300<<10), 0o600))
	stored, failed := fillUp(t, s, strap, 0)
	if !errors.Is(failed.Err, syscall.ENOSPC) || failed.Written {
		t.Fatalf("after %d notes: %v, written %v", stored, failed.Err, failed.Written)
	}
	if what, safe, _ := Explain(failed.Err); what != "The disk is full." || !strings.Contains(safe, "not stored") {
		t.Errorf("explained as %q %q", what, safe)
	}
	wantNotes(t, s, strap, stored)
	check(t, os.Remove(ballast))
	must(t, s, Decide{note(strap, stored+1)})
	wantNotes(t, s, strap, stored+1)
}

// fillUp decides notes until one fails.
func fillUp(t *testing.T, s *Store, strap triage.Strap, stored int) (int, Result) {
	t.Helper()
	for range 20_000 {
		n := note(strap, stored+1)
		n.Reason = strings.Repeat("long words ", 20)
		r := s.Do(Decide{n})
		if r.Err != nil {
			return stored, r
		}
		stored++
	}
	t.Fatal("the disk is never full")
	return 0, Result{}
}

func wantNotes(t *testing.T, s *Store, strap triage.Strap, want int) {
	t.Helper()
	all, err := s.Notes(strap.Session, strap.Number)
	if err != nil || len(all) != want {
		t.Errorf("%d notes are stored, %v, want %d", len(all), err, want)
	}
	wantSound(t, s)
}

// The same for a file that may not grow, which needs no root: the limit holds for a child process.
func TestFileThatMayNotGrow(t *testing.T) {
	const inChild = "UNBAND_STORE_LIMITED"
	if os.Getenv(inChild) == "" {
		child := exec.Command(os.Args[0], "-test.run=^TestFileThatMayNotGrow$", "-test.v")
		child.Env = append(os.Environ(), inChild+"=1")
		out, err := child.CombinedOutput()
		if err != nil || !strings.Contains(string(out), "--- PASS") {
			t.Errorf("%v\n%s", err, out)
		}
		return
	}
	signal.Ignore(syscall.SIGXFSZ)
	s := tempStore(t)
	strap := withStrap(t, s)
	var was syscall.Rlimit
	check(t, syscall.Getrlimit(syscall.RLIMIT_FSIZE, &was))
	check(t, syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: 128 << 10, Max: was.Max}))
	stored, failed := fillUp(t, s, strap, 0)
	if !errors.Is(failed.Err, syscall.EFBIG) || failed.Written {
		t.Fatalf("after %d notes: %v, written %v", stored, failed.Err, failed.Written)
	}
	wantNotes(t, s, strap, stored)
	check(t, syscall.Setrlimit(syscall.RLIMIT_FSIZE, &was))
	must(t, s, Decide{note(strap, stored+1)})
	wantNotes(t, s, strap, stored+1)
}
