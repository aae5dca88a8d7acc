package ui

import (
	"fmt"
	"strings"
	"time"

	"app/unband/store"
)

// flash is a short line lit for a moment. It is at most a few cells of the window, and one flash keeps its distance
// from the next: WCAG 2.1, 2.3.1, allows three in a second.
type flash struct{ ends time.Time }

// How long a flash lasts, and the least from the beginning of one to the beginning of the next.
const (
	flashes    = 400 * time.Millisecond
	flashApart = time.Second
)

// light begins a flash, unless the last one was just now.
func (f *flash) light(at time.Time) {
	if at.Sub(f.ends) >= flashApart-flashes {
		f.ends = at.Add(flashes)
	}
}

// line is the second line of the window, which is blank at other times.
func (f flash) line(at time.Time) string {
	if !at.Before(f.ends) {
		return ""
	}
	return look.cursor.Render("  " + signHit + " a hit" + strings.Repeat(" ", 16))
}

// signal tells of a hit in the ways the person has chosen. In calm mode nothing flashes.
func (e *env) signal(at time.Time) {
	if e.comfort.Bell {
		e.ring()
	}
	if e.comfort.Flash && !e.comfort.Calm {
		e.flash.light(at)
	}
}

func (e *env) ring() {
	if e.bell != nil {
		e.bell()
	}
}

// sorted takes note of a decision that is on the disk, and calls a break to mind when one is due: only then, because
// no note is waiting for its decision.
func (e *env) sorted(m stored, at time.Time) {
	switch m.write.(type) {
	case store.Decide, store.DecideRest:
	default:
		return
	}
	if m.bad() {
		return
	}
	if long, due := e.sitting.Decided(at, e.comfort.Break); due {
		text := fmt.Sprintf("%d minutes sorted: time for a break", int(long.Minutes()))
		e.reminder = statusLine{text: text, since: at}
	}
}

// reminded is a message with the reminder beside it, as long as that is shown.
func (e *env) reminded(text string, at time.Time) string {
	switch r := e.reminder; {
	case r.text == "" || at.Sub(r.since) >= alarmed:
		return text
	case text == "":
		return r.text
	default:
		return text + " · " + r.text
	}
}
