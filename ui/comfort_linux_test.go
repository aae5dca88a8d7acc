package ui

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// The bell is one BEL (ECMA-48 8.3.3), written when it is chosen and when a hit is typed, and at no other time.
func TestBellRingsInATerminal(t *testing.T) {
	s := sit(t, filepath.Join(t.TempDir(), "float.db"))
	s.await("the desk")
	s.keys("c")
	s.await("a hit rings the bell")
	s.keys("\x1b[B\x1b[B")
	s.await("The terminal's own bell")
	if n := strings.Count(s.bytes(), "\a"); n != 0 {
		t.Fatalf("%d bells before it is chosen", n)
	}
	s.keys("\x1b[C")
	s.await("‹ yes ›")
	for mark := s.mark(); !strings.Contains(s.since(mark), "begins a session"); time.Sleep(50 * time.Millisecond) {
		s.keys("\x04") // Ctrl+D; refused while the choice is being written
	}
	s.begin()
	s.keys("48160297")
	s.await("all different")
	s.keys("\x1570633607") // Ctrl+U, a radar
	s.await("◆ radar")
	if n := strings.Count(s.bytes(), "\a"); n != 2 {
		t.Errorf("%d bells, want one when it is chosen and one for the radar", n)
	}
}

// NO_COLOR (no-color.org) and terminals that are not known by name get no colour, and still bold and reversed text.
func TestNoColour(t *testing.T) {
	path, err := program()
	if err != nil {
		t.Fatal(err)
	}
	for name, env := range map[string][]string{
		"NO_COLOR": {"TERM=xterm-256color", "COLORTERM=truecolor", "NO_COLOR=1"},
		"vt220":    {"TERM=vt220", "COLORTERM="},
	} {
		t.Run(name, func(t *testing.T) {
			cmd := screenOf(path, filepath.Join(t.TempDir(), "float.db"))
			cmd.Env = append(os.Environ(), env...)
			s := sitOn(t, cmd)
			s.begin()
			s.keys("B70633507")
			s.await("near radar")
			if colour := regexp.MustCompile("\x1b\\[[0-9;]*\\b[34][0-9;]+m").FindString(s.bytes()); colour != "" {
				t.Errorf("a colour is sent: %q", colour)
			}
			for _, want := range []string{"\x1b[1m", "\x1b[7m"} {
				if !strings.Contains(s.bytes(), want) {
					t.Errorf("%q is not sent", want)
				}
			}
		})
	}
}
