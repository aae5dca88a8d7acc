package ui

import (
	"time"

	"app/unband/triage"
)

// twice guards what is done only when its key comes a second time, each time after a pause.
type twice struct {
	triage.Gate
	asked bool // it came once
}

// other says that another key came: what was asked for is off.
func (t *twice) other() {
	t.asked = false
	t.Other()
}

// counts reports whether a key counts yet, and says why not.
func (t *twice) counts(e *env, kind triage.KeyKind, k keyMsg, at time.Time) bool {
	n := t.Press(kind, at)
	if k.burst && n == triage.Quiet {
		n = triage.HeldKey
	}
	e.hint(triage.Notice{Kind: n}.String(), at)
	return n == triage.Quiet
}

// again reports whether the key came the second time. The first time it says in words what the second will do.
func (t *twice) again(e *env, kind triage.KeyKind, k keyMsg, words string, at time.Time) bool {
	if !t.counts(e, kind, k, at) {
		return false
	}
	t.asked = !t.asked
	if t.asked {
		t.Open(at, e.pauses.Stop)
		e.hint(words, at)
	}
	return !t.asked
}
