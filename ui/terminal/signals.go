package terminal

import (
	"os"
	"os/signal"
	"time"
)

// grace is how long the ending signals stay caught after the program has ended.
const grace = 10 * time.Second

// watchSignals calls quit for a signal that ends the process and continued for
// SIGCONT. The function it returns stops the calls; the ending signals are then
// swallowed for another grace, and do their usual work after that.
func watchSignals(quit, continued func()) (stop func()) {
	ends := make(chan os.Signal, 1)
	signal.Notify(ends, endingSignals...)
	conts := make(chan os.Signal, 1)
	notifyContinued(conts)
	done := make(chan struct{})
	go func() {
		for {
			select {
			case <-ends:
				go quit() // blocks while the program is suspended
			case <-conts:
				continued()
			case <-done:
				return
			}
		}
	}()
	return func() {
		signal.Stop(conts)
		close(done)
		time.AfterFunc(grace, func() { signal.Stop(ends) })
	}
}
