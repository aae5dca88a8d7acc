package ui

import (
	"errors"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/triage"
)

// desk lists the sessions: the first screen.
type desk struct {
	env                 *env
	sessions            []triage.Session
	done                map[uint64]int  // straps closed, by session
	begun               map[uint64]bool // a strap of the session is being sorted
	row                 int             // of the sessions, then of the errands
	errands             []errandRow     // to be done
	stars, unseen, ripe int             // kept stars, those that no list of runs has an answer for, and how many make a batch
}

func newDesk(e *env, at time.Time) *desk {
	d := &desk{env: e, done: map[uint64]int{}, begun: map[uint64]bool{}}
	if err := d.load(); err != nil {
		e.fail(err, at)
	}
	return d
}

// load reads the sessions and what is to be done. What is damaged is left out, and the error names it.
func (d *desk) load() error {
	work, kept, err := readWork(d.env.store)
	for _, s := range work.Sessions {
		d.sessions = append(d.sessions, s.Session)
		d.done[s.Session.ID] = strapsDone(s.Straps)
		_, d.begun[s.Session.ID] = unfinished(s.Straps)
	}
	d.stars, d.unseen = kept, len(work.Stars)
	c, _, bad := d.env.store.Choices()
	d.ripe = c.RipeAt()
	rows, _, worse := openErrands(d.env.store, work)
	d.errands = rows
	return errors.Join(err, bad, worse)
}

func strapsDone(straps []triage.Strap) int {
	n := 0
	for _, t := range straps {
		if t.Done {
			n++
		}
	}
	return n
}

// selected is the session the cursor is on; ok is false on an empty desk.
func (d *desk) selected() (s triage.Session, ok bool) {
	if d.row >= len(d.sessions) {
		return triage.Session{}, false
	}
	return d.sessions[d.row], true
}

// resumable is the open session touched last that has a strap being sorted, or else the one touched
// last. Sessions come open ones first, newest first.
func (d *desk) resumable() (s triage.Session, ok bool) {
	for _, s := range d.sessions {
		if s.Open() && d.begun[s.ID] {
			return s, true
		}
	}
	if len(d.sessions) == 0 || !d.sessions[0].Open() {
		return triage.Session{}, false
	}
	return d.sessions[0], true
}

func (d *desk) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	k, ok := msg.(keyMsg)
	if !ok {
		if m, done := msg.(stored); done { // an errand
			d.env.sayErrand(m, name(deskMap.Errands)+" has it, and "+name(errandsMap.Done)+" there", at)
			fresh := newDesk(d.env, at)
			fresh.row = min(d.row, max(len(fresh.sessions)+len(fresh.errands)-1, 0))
			return fresh, nil
		}
		return d, nil
	}
	if d.env.busy(at) {
		return d, nil
	}
	if !key.Matches(k, deskMap.Done) {
		d.env.errandGate.Other()
	}
	switch {
	case key.Matches(k, deskMap.Up):
		d.row = max(d.row-1, 0)
	case key.Matches(k, deskMap.Down):
		d.row = min(d.row+1, max(len(d.sessions)+len(d.errands)-1, 0))
	case key.Matches(k, deskMap.New):
		if d.env.form == nil {
			d.env.form = newForm(d.env)
		}
		return d.env.form, nil
	case key.Matches(k, deskMap.Resume):
		if s, ok := d.resumable(); ok {
			return openSession(d.env, s, at)
		}
		d.env.say("no session is open: begin one with "+name(deskMap.New), at)
	case key.Matches(k, deskMap.Open, deskMap.Done) && d.row >= len(d.sessions):
		return d.errand(k, at)
	case key.Matches(k, deskMap.Done):
		d.env.hint("no errand is under the cursor: "+name(deskMap.Down)+" leads to them", at)
	case key.Matches(k, deskMap.Errands):
		return openErrandPage(d.env, func(at time.Time) screen { return newDesk(d.env, at) }, at)
	case key.Matches(k, deskMap.Open):
		if s, ok := d.selected(); ok {
			return openSession(d.env, s, at)
		}
	case key.Matches(k, deskMap.Page):
		if s, ok := d.selected(); ok {
			return pileOf(d.env, s, at), nil
		}
	case key.Matches(k, deskMap.Watch):
		return openWatch(d.env, func(at time.Time) screen { return newDesk(d.env, at) }, at)
	case key.Matches(k, deskMap.Comfort):
		return openComfort(d.env, func(at time.Time) screen { return newDesk(d.env, at) }, at)
	case key.Matches(k, deskMap.Stars):
		return openBatch(d.env, func(at time.Time) screen { return newDesk(d.env, at) }, at)
	case key.Matches(k, deskMap.Keepers):
		return openKeepers(d.env, func(at time.Time) screen { return newDesk(d.env, at) }, at)
	case key.Matches(k, deskMap.Tally):
		return openTally(d.env, triage.Session{}, func(at time.Time) screen { return newDesk(d.env, at) }, at)
	case key.Matches(k, deskMap.Look):
		if s, ok := d.selected(); ok {
			return openLook(d.env, s, d, at)
		}
	}
	return d, nil
}

// errand goes about the errand under the cursor, or says that it is done.
func (d *desk) errand(k keyMsg, at time.Time) (screen, tea.Cmd) {
	i := d.row - len(d.sessions)
	if i >= len(d.errands) {
		return d, nil
	}
	r := d.errands[i]
	if key.Matches(k, deskMap.Done) {
		if d.env.heldDone(at) {
			return d, nil
		}
		r.finish(d.env, at, "", d)
		return d, nil
	}
	return r.begin(d.env, func(at time.Time) screen { return newDesk(d.env, at) }, d, at)
}

// openSession goes to the strap of a session that is being sorted, else to the session's page.
func openSession(e *env, s triage.Session, at time.Time) (screen, tea.Cmd) {
	straps, err := e.store.Straps(s.ID)
	if err != nil {
		e.fail(err, at)
		return newDesk(e, at), nil
	}
	if t, ok := unfinished(straps); ok && s.Open() {
		return openStrap(e, s, t, at)
	}
	return pileOf(e, s, at), nil
}

// unfinished is the first strap that is being sorted.
func unfinished(straps []triage.Strap) (t triage.Strap, ok bool) {
	for _, t := range straps {
		if !t.Done {
			return t, true
		}
	}
	return triage.Strap{}, false
}

// title says how many sessions there are: they may be more than fit.
func (d *desk) title() (string, string) {
	if len(d.sessions) == 0 {
		return "the desk", ""
	}
	return "the desk", count(len(d.sessions), "session", "sessions")
}
func (d *desk) short() []key.Binding {
	if len(d.sessions) == 0 {
		return []key.Binding{deskMap.New, short(deskMap.Watch, "watch list"), short(deskMap.Comfort, "comfort")}
	}
	if d.row >= len(d.sessions) && len(d.errands) > 0 {
		return []key.Binding{short(deskMap.Open, "go about it"), deskMap.Done, short(deskMap.Errands, "errands"), short(deskMap.Resume, "resume"), deskMap.New}
	}
	if _, ok := d.resumable(); !ok {
		return deskMap.short()[1:]
	}
	return deskMap.short()
}
func (d *desk) groups() []keyGroup { return deskMap.groups() }
func (d *desk) ready() time.Time   { return time.Time{} }
func (d *desk) typing() bool       { return false }
