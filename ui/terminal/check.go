package terminal

import (
	"errors"
	"os"

	"github.com/charmbracelet/x/term"
)

// Check returns an error in plain words if the full screen cannot run with in as
// keyboard, out as screen and term as the terminal's name (the variable TERM),
// else nil. Left alone, bubbletea writes its frames into a file or draws on a
// terminal that cannot move its cursor. Nothing has been opened or changed when
// Check is called first; the caller exits with status 2, wrong usage.
func Check(in, out *os.File, term string) error {
	const instead = "\nNothing was changed. `unband --help` lists what works without the screen"
	switch {
	case !isTerminal(in):
		return errors.New("the screen needs a keyboard, but standard input is not a terminal (a pipe or a file?)." +
			"\nStart unband without redirecting its input." + instead)
	case !isTerminal(out):
		return errors.New("the screen needs a terminal, but standard output is not one (a pipe or a file?)." +
			"\nStart unband without redirecting its output." + instead)
	case term == "dumb":
		return errors.New("the screen cannot be drawn: TERM=dumb names a terminal that cannot move its cursor." +
			"\nStart unband in another terminal, or set TERM to this one's real name." + instead)
	}
	return nil
}

func isTerminal(f *os.File) bool {
	return f != nil && term.IsTerminal(f.Fd())
}
