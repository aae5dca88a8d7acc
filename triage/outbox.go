package triage

import "time"

// An outbox holds the decision that is on its way to the disk and the keys that came since. A
// screen that went on without waiting would be ahead of the file.
type outbox struct {
	pending *Note
	waiting []keyAt
}

type keyAt struct {
	key Key
	at  time.Time
}

// Pending reports whether a decision is on its way to the disk.
func (o *outbox) Pending() bool { return o.pending != nil }

// holds keeps the key for later while a decision is on its way.
func (o *outbox) holds(k Key, at time.Time) bool {
	if o.pending == nil {
		return false
	}
	o.waiting = append(o.waiting, keyAt{k, at})
	return true
}

// drop forgets the decision, which is not on the disk, and the keys typed on top of it.
func (o *outbox) drop() { o.pending, o.waiting = nil, nil }

// replay plays the keys that were held, each with the time it came, and gives the effects of those
// that had one. A key that decides makes those after it wait again.
func (o *outbox) replay(press func(Key, time.Time) Effect) []Effect {
	keys := o.waiting
	o.waiting = nil
	var effects []Effect
	for _, k := range keys {
		if e := press(k.key, k.at); e != (Effect{}) {
			effects = append(effects, e)
		}
	}
	return effects
}
