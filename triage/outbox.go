package triage

import "time"

// An outbox holds the decision that is on its way to the disk and the keys that came since. A
// screen that went on without waiting would be ahead of the file.
type outbox struct {
	pending *Note
	waiting []Key
}

// Pending reports whether a decision is on its way to the disk.
func (o *outbox) Pending() bool { return o.pending != nil }

// holds keeps the key for later while a decision is on its way.
func (o *outbox) holds(k Key) bool {
	if o.pending == nil {
		return false
	}
	o.waiting = append(o.waiting, k)
	return true
}

// drop forgets the decision, which is not on the disk, and the keys typed on top of it.
func (o *outbox) drop() { o.pending, o.waiting = nil, nil }

// replay plays the keys that were held, as if they came now, and gives the effects of those that had
// one. Their own times would let a decision key count although the note it is about was not on the
// screen yet: the pause begins when there is something to look at.
func (o *outbox) replay(press func(Key, time.Time) Effect, at time.Time) []Effect {
	keys := o.waiting
	o.waiting = nil
	var effects []Effect
	for _, k := range keys {
		if e := press(k, at); e != (Effect{}) {
			effects = append(effects, e)
		}
	}
	return effects
}
