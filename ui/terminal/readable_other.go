//go:build !unix

package terminal

import (
	"os"
	"time"
)

// readable says that nothing more is coming: there is no portable way to ask.
// On Windows bubbletea reads the console's key events itself, so no sequence is
// ever torn.
func readable(*os.File, time.Duration) bool { return false }
