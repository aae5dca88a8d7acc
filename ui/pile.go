package ui

import (
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/store"
	"app/unband/triage"
)

// pile is the page of one session: its straps, its totals, and what comes next.
type pile struct {
	env     *env
	session triage.Session
	straps  []triage.Strap

	opening bool // a strap is being opened on disk
	asked   bool // closing was asked for once
}

func newPile(e *env, s triage.Session, straps []triage.Strap) *pile {
	return &pile{env: e, session: s, straps: straps}
}

// pileOf reads the straps of a session and gives its page.
func pileOf(e *env, s triage.Session, at time.Time) *pile {
	straps, err := e.store.Straps(s.ID)
	if err != nil {
		e.fail(err, at)
	}
	return newPile(e, s, straps)
}

// A step is what the session wants next.
type step uint8

const (
	nextStrap step = iota
	lookAgain
	closeIt
	allDone
)

func (p *pile) next() step {
	switch {
	case !p.session.Open():
		return allDone
	case len(p.straps) < p.session.Straps:
		return nextStrap
	case p.session.Totals.Waiting > 0:
		return lookAgain
	}
	return closeIt
}

func (p *pile) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	switch m := msg.(type) {
	case keyMsg:
		return p.key(m, at)
	case stored:
		return p.stored(m, at)
	}
	return p, nil
}

func (p *pile) key(k keyMsg, at time.Time) (screen, tea.Cmd) {
	if p.opening {
		return p, nil
	}
	asked := p.asked
	p.asked = false
	switch {
	case key.Matches(k, pileMap.Desk):
		return newDesk(p.env, at), nil
	case key.Matches(k, pileMap.Look):
		return openLook(p.env, p.session, p, at)
	case key.Matches(k, pileMap.More):
		return p.more(at)
	case key.Matches(k, pileMap.Close):
		return p.close(asked, at)
	case key.Matches(k, pileMap.Next):
		switch p.next() {
		case nextStrap:
			return newStrap(p.env, p.session, len(p.straps)+1, at)
		case lookAgain:
			return openLook(p.env, p.session, p, at)
		case closeIt:
			return p.close(asked, at)
		case allDone:
			return newDesk(p.env, at), nil
		}
	}
	return p, nil
}

// more opens one strap beyond the number that was said.
func (p *pile) more(at time.Time) (screen, tea.Cmd) {
	if !p.session.Open() {
		p.env.say("the session is closed", at)
		return p, nil
	}
	if len(p.straps) >= p.session.Straps {
		s := p.session
		s.Straps = len(p.straps) + 1
		p.env.submit(store.PutSession{Session: s})
	}
	return newStrap(p.env, p.session, len(p.straps)+1, at)
}

// close closes the session when it has been asked for twice in a row.
func (p *pile) close(asked bool, at time.Time) (screen, tea.Cmd) {
	switch w := p.session.Totals.Waiting; {
	case !p.session.Open():
		p.env.say("the session is closed already", at)
		return p, nil
	case !asked && w > 0:
		p.env.say(count(w, "near miss still waits", "near misses still wait")+" for the second look: "+name(pileMap.Close)+" again closes the session all the same", at)
	case !asked && len(p.straps) < p.session.Straps:
		p.env.say(count(p.session.Straps-len(p.straps), "strap is", "straps are")+" not sorted: "+name(pileMap.Close)+" again closes the session all the same", at)
	case !asked:
		p.env.say("everything is sorted and looked at: "+name(pileMap.Close)+" again closes the session", at)
	default:
		s := p.session
		s.Closed = at
		p.env.submit(store.PutSession{Session: s})
		return p, nil
	}
	p.asked = true
	return p, nil
}

func (p *pile) stored(m stored, at time.Time) (screen, tea.Cmd) {
	failed := m.result.Err != nil && !m.result.Written
	switch m.write.(type) {
	case store.OpenStrap:
		p.opening = false
		if failed {
			return pileOf(p.env, p.session, at), nil
		}
		return openStrap(p.env, m.result.Session, m.result.Strap, at)
	case store.PutSession:
		if !failed {
			p.session = m.result.Session
		}
	}
	return p, nil
}

func (p *pile) title() (string, string) {
	state := "open"
	if !p.session.Open() {
		state = "closed"
	}
	return printable(p.session.Name), p.session.Denomination.String() + " · " + state
}

func (p *pile) short() []key.Binding { return pileMap.short() }
func (p *pile) groups() []keyGroup   { return pileMap.groups() }
func (p *pile) ready() time.Time     { return time.Time{} }
func (p *pile) typing() bool         { return false }
