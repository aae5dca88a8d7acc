//go:build !unix

package terminal

import (
	"os"
	"syscall"
)

// On Windows the closing of the console window arrives as SIGTERM, and ctrl+c and
// ctrl+break, when they are no keys, as SIGINT (package os/signal).
var endingSignals = []os.Signal{syscall.SIGTERM, syscall.SIGINT}

// notifyContinued asks for nothing: there are no stopped jobs here.
func notifyContinued(chan<- os.Signal) {}

func canSuspend() bool { return false }
