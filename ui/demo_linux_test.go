package ui

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// The demo leaves nothing behind, whichever way it ends, and makes no file of the person's own.
func TestDemoLeavesNothing(t *testing.T) {
	path, err := program()
	if err != nil {
		t.Fatal(err)
	}
	for name, leave := range map[string]func(*sitting){
		"Ctrl+C":  func(s *sitting) { s.keys("\x03") },
		"SIGTERM": func(s *sitting) { s.cmd.Process.Signal(syscall.SIGTERM) },
		"SIGHUP":  func(s *sitting) { s.cmd.Process.Signal(syscall.SIGHUP) },
	} {
		t.Run(name, func(t *testing.T) {
			thrown, own := t.TempDir(), t.TempDir()
			cmd := exec.Command(path, "--demo")
			cmd.Env = append(os.Environ(), "TMPDIR="+thrown, "XDG_DATA_HOME="+own, "HOME="+own)
			s := sitOn(t, cmd)
			s.await("thrown away when you leave")
			if there, err := filepath.Glob(filepath.Join(thrown, "unband-demo-*", "demo.db")); err != nil || len(there) != 1 {
				t.Errorf("while it runs there is %q (%v)", there, err)
			}
			s.keys("r")
			s.await("last decided: note 42")
			leave(s)
			if name == "Ctrl+C" { // the last words may still be on their way when the program has ended
				s.await("nothing of it is kept")
			}
			if status := s.wait(); status != 0 {
				t.Errorf("exit status %d\n%s", status, s.tail())
			}
			for _, folder := range []string{thrown, own} {
				if left, err := os.ReadDir(folder); err != nil || len(left) > 0 {
					t.Errorf("%s holds %v (%v)", folder, left, err)
				}
			}
		})
	}
}

// The demo is never shown instead of the file somebody has named, nor the file touched.
func TestDemoRefusesAFile(t *testing.T) {
	file := filepath.Join(t.TempDir(), "float.db")
	for _, arguments := range [][]string{{"--demo", "--file", file}, {"--file=" + file, "--demo"}, {"--demo", "--file", ""}} {
		out, errs, status := command(t, arguments...)
		if status != 2 || out != "" || !strings.Contains(errs, "leave out --file") {
			t.Errorf("%q: status %d\n%s%s", arguments, status, out, errs)
		}
	}
	if _, err := os.Stat(file); !os.IsNotExist(err) {
		t.Errorf("the file was made: %v", err)
	}
	if _, errs, status := command(t, "--demo"); status != 2 || !strings.Contains(errs, "terminal") {
		t.Errorf("without a terminal: status %d\n%s", status, errs)
	}
}

// Without room for its file the demo says so, and that nothing else was touched.
func TestDemoWithoutRoom(t *testing.T) {
	path, err := program()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(path, "--demo")
	cmd.Env = append(os.Environ(), "TMPDIR="+filepath.Join(t.TempDir(), "no", "such"))
	s := sitOn(t, cmd)
	s.await("Your own notes are not touched")
	if status := s.wait(); status != 1 {
		t.Errorf("exit status %d\n%s", status, s.tail())
	}
}
