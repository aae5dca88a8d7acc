package quiet_test

import (
	"os"
	"os/exec"
	"strings"
	"testing"

	_ "app/unband/ui/quiet"

	tea "github.com/charmbracelet/bubbletea"
)

// The import is what is under test: it puts bubbletea's init into this binary.
var _ tea.Model

// TestInitOrder starts this test binary once more and reads from the runtime's
// own trace (GODEBUG=inittrace=1, documented in package runtime) in which order
// the packages were initialised.
func TestInitOrder(t *testing.T) {
	cmd := exec.Command(os.Args[0], "-test.run=^$")
	cmd.Env = append(os.Environ(), "GODEBUG=inittrace=1")
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	const ours, theirs = "app/unband/ui/quiet", "github.com/charmbracelet/bubbletea"
	at := map[string]int{}
	for i, line := range strings.Split(string(out), "\n") {
		if f := strings.Fields(line); len(f) > 1 && f[0] == "init" {
			at[f[1]] = i + 1
		}
	}
	if at[ours] == 0 || at[theirs] == 0 {
		t.Fatalf("no init line for %s (line %d) or %s (line %d) in\n%s", ours, at[ours], theirs, at[theirs], out)
	}
	if at[ours] > at[theirs] {
		t.Errorf("%s initialises after %s: bubbletea will query the terminal and may stall", ours, theirs)
	}
}
