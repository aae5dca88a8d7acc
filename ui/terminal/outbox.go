package terminal

import (
	"sync"

	tea "github.com/charmbracelet/bubbletea"
)

// outbox hands messages to a program in the order they were posted, without
// letting anybody wait. tea.Program.Send blocks until the event loop takes the
// message: before the start, and all the while the program is suspended. A
// writer that Update itself waits for would then be waiting for Update.
type outbox struct {
	mu     sync.Mutex
	filled *sync.Cond // queue or closed changed
	queue  []tea.Msg
	closed bool
}

// newOutbox starts a goroutine that passes messages to send until close.
func newOutbox(send func(tea.Msg)) *outbox {
	o := &outbox{}
	o.filled = sync.NewCond(&o.mu)
	go func() {
		for {
			msgs := o.take()
			if msgs == nil {
				return
			}
			for _, msg := range msgs {
				send(msg)
			}
		}
	}()
	return o
}

func (o *outbox) post(msg tea.Msg) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if !o.closed {
		o.queue = append(o.queue, msg)
		o.filled.Signal()
	}
}

// take waits for messages; nil means that the outbox is closed.
func (o *outbox) take() []tea.Msg {
	o.mu.Lock()
	defer o.mu.Unlock()
	for len(o.queue) == 0 && !o.closed {
		o.filled.Wait()
	}
	if o.closed {
		return nil
	}
	msgs := o.queue
	o.queue = nil
	return msgs
}

// close lets the goroutine end and drops what was not delivered: there is no
// Update any more that could take it.
func (o *outbox) close() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.closed = true
	o.filled.Signal()
}
