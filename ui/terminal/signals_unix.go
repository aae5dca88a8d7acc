//go:build unix

package terminal

import (
	"os"
	"os/signal"
	"syscall"

	"golang.org/x/sys/unix"
)

var endingSignals = []os.Signal{syscall.SIGHUP, syscall.SIGTERM, syscall.SIGINT}

// notifyContinued asks for SIGCONT only. SIGTSTP must not be caught: bubbletea's
// suspension stops itself with it, and would wait for a SIGCONT that never comes.
func notifyContinued(c chan<- os.Signal) {
	signal.Notify(c, syscall.SIGCONT)
}

// canSuspend reports whether a shell can continue the process once it is stopped.
// The system discards SIGTSTP for a process group that has no such shell ("orphaned
// process group", POSIX.1-2024 2.4.1), and bubbletea would wait for ever. The group
// that leads its session is always one.
func canSuspend() bool {
	session, err := unix.Getsid(0)
	return err == nil && session != unix.Getpgrp() && !signal.Ignored(syscall.SIGTSTP)
}
