package ui

import (
	"fmt"
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
	row     int    // the strap under the cursor, from 0
	below   scroll // of what is told below the straps

	gate    twice // what ends something here waits like a decision
	opening bool  // a strap is being opened on disk
}

func newPile(e *env, s triage.Session, straps []triage.Strap, at time.Time) *pile {
	p := &pile{env: e, session: s, straps: straps, row: max(len(straps)-1, 0)}
	p.gate.Open(at, e.pauses.Plain)
	p.gate.Lock(triage.KeyEnter, at) // the key that led here may still be down
	return p
}

// pileOf reads the straps of a session and gives its page.
func pileOf(e *env, s triage.Session, at time.Time) *pile {
	straps, err := e.store.Straps(s.ID)
	if err != nil {
		e.fail(err, at)
	}
	return newPile(e, s, straps, at)
}

// comeBack shows the session's page again, read anew: a keeper of it may have been spent meanwhile.
func (p *pile) comeBack(at time.Time) screen {
	s, err := p.env.store.Session(p.session.ID)
	if err != nil {
		p.env.fail(err, at)
		s = p.session
	}
	return pileOf(p.env, s, at)
}

// A step is what the session wants next.
type step uint8

const (
	goOn step = iota // a strap is being sorted
	nextStrap
	lookAgain
	countBack
	allDone
)

func (p *pile) next() step {
	_, begun := unfinished(p.straps)
	switch {
	case !p.session.Open():
		return allDone
	case begun:
		return goOn
	case len(p.straps) < p.session.Straps:
		return nextStrap
	case p.session.Totals.Waiting > 0:
		return lookAgain
	}
	return countBack
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
	if p.opening || p.env.busy(at) {
		return p, nil
	}
	switch {
	case key.Matches(k, pileMap.Next):
		return p.goOn(k, at)
	case key.Matches(k, pileMap.Close):
		p.close(k, at)
		return p, nil
	case key.Matches(k, pileMap.Reopen):
		p.reopen(k, at)
		return p, nil
	}
	p.gate.other()
	switch {
	case key.Matches(k, pileMap.Up):
		p.move(-1, -1)
	case key.Matches(k, pileMap.Down):
		p.move(1, 1)
	case key.Matches(k, pileMap.PageUp):
		p.move(-10, -p.below.page())
	case key.Matches(k, pileMap.PageDown):
		p.move(10, p.below.page())
	case key.Matches(k, pileMap.First):
		p.row, p.below.top = 0, 0
	case key.Matches(k, pileMap.Last):
		p.row = max(len(p.straps)-1, 0)
		p.below.by(1 << 20) // as far as there is
	case key.Matches(k, pileMap.Again):
		return p.again(at)
	case key.Matches(k, pileMap.Desk):
		return newDesk(p.env, at), nil
	case key.Matches(k, pileMap.Look):
		return openLook(p.env, p.session, p, at)
	case key.Matches(k, pileMap.Back):
		return p.countBack(at)
	case key.Matches(k, pileMap.Keepers):
		return openKeepers(p.env, p.comeBack, at)
	case key.Matches(k, pileMap.Sequence):
		return p.sequence(at)
	case key.Matches(k, pileMap.List):
		return p.list(at)
	case key.Matches(k, pileMap.Finds):
		return openFinds(p.env, p.session, p.comeBack, at)
	case key.Matches(k, pileMap.Tally):
		return openTally(p.env, p.session, p.comeBack, at)
	case key.Matches(k, pileMap.More):
		return p.more(at)
	case key.Matches(k, pileMap.Watch):
		return showSessionWatch(p.env, p.session, p.comeBack, at)
	case key.Matches(k, pileMap.Right):
		return openRight(p.env, p.session, p.straps, p.comeBack, at), nil
	}
	return p, nil
}

// move goes by so many straps, and from the last one on by so many lines of what is told below them; up the other way.
func (p *pile) move(straps, lines int) {
	last := max(len(p.straps)-1, 0)
	if down := straps > 0; down && p.row < last || !down && p.below.top == 0 {
		p.row = max(min(p.row+straps, last), 0)
		return
	}
	p.below.by(lines)
}

// settle keeps what is told below the straps within the window.
func (p *pile) settle(w, h int, at time.Time) {
	l := p.laidOut(w, h)
	p.below.settle(len(l.rest), l.room)
}

// again goes through the strap under the cursor once more.
func (p *pile) again(at time.Time) (screen, tea.Cmd) {
	if len(p.straps) == 0 {
		p.env.hint("not one strap is sorted yet", at)
		return p, nil
	}
	return openAgain(p.env, p.session, p.straps[p.row], p, at)
}

// goOn does what the session wants next.
func (p *pile) goOn(k keyMsg, at time.Time) (screen, tea.Cmd) {
	p.gate.asked = false
	if !p.gate.counts(p.env, triage.KeyEnter, k, at) {
		return p, nil
	}
	switch p.next() {
	case goOn:
		t, _ := unfinished(p.straps)
		return openStrap(p.env, p.session, t, at)
	case nextStrap:
		p.opening = true
		beginStrap(p.env, p.session, len(p.straps)+1, p, at)
		return p, nil
	case lookAgain:
		return openLook(p.env, p.session, p, at)
	case countBack:
		return openBack(p.env, p.session, at)
	}
	return newDesk(p.env, at), nil
}

// countBack leads to counting back, once every strap is sorted.
func (p *pile) countBack(at time.Time) (screen, tea.Cmd) {
	switch t, begun := unfinished(p.straps); {
	case begun:
		p.env.hint(fmt.Sprintf("strap %d is still being sorted: %s goes on with it", t.Number, name(pileMap.Next)), at)
		return p, nil
	case len(p.straps) == 0:
		p.env.hint("not one strap is sorted yet", at)
		return p, nil
	}
	return openBack(p.env, p.session, at)
}

// sequence takes in the next strap by its first and last number.
func (p *pile) sequence(at time.Time) (screen, tea.Cmd) {
	t := p.last()
	switch {
	case !p.session.Open():
		p.env.hint("the session is closed", at)
		return p, nil
	case t.Size() > 0:
		p.env.hint(fmt.Sprintf("strap %d is still being sorted: %s goes on with it", t.Number, name(pileMap.Next)), at)
		return p, nil
	}
	hand, _, err := p.env.store.Hand(p.session.ID, t.Number)
	if err != nil {
		p.env.fail(err, at)
		return p, nil
	}
	return openSequence(p.env, p.session, t, hand.Serial, p.comeBack, at), nil
}

// list takes in a list, behind the notes of the strap that is being sorted or into the next ones.
func (p *pile) list(at time.Time) (screen, tea.Cmd) {
	if !p.session.Open() {
		p.env.hint("the session is closed", at)
		return p, nil
	}
	t := p.last()
	switch {
	case t.Whole():
		p.env.hint(fmt.Sprintf("strap %d is one of stars in sequence, kept whole: %s goes on with it, then a list can be taken in", t.Number, name(pileMap.Next)), at)
		return p, nil
	case t.Listed > 0: // a list of its own is in it
		t = p.following()
	}
	return openList(p.env, p.session, t, p.comeBack, at), nil
}

// last is the last strap while it is being sorted, else the next one, which is not opened yet.
func (p *pile) last() triage.Strap {
	if n := len(p.straps); n > 0 && !p.straps[n-1].Done {
		return p.straps[n-1]
	}
	return p.following()
}

// following is the strap after the last one, which is not opened yet.
func (p *pile) following() triage.Strap {
	return triage.Strap{Session: p.session.ID, Number: len(p.straps) + 1, Band: p.session.StrapNotes}
}

// more takes in one strap beyond the number that was said.
func (p *pile) more(at time.Time) (screen, tea.Cmd) {
	switch t, begun := unfinished(p.straps); {
	case !p.session.Open():
		p.env.hint("the session is closed", at)
	case begun:
		p.env.hint(fmt.Sprintf("strap %d is still being sorted: %s goes on with it", t.Number, name(pileMap.Next)), at)
	case len(p.straps) < p.session.Straps:
		p.env.hint("the next strap is not one more than was said: "+name(pileMap.Next)+" opens it", at)
	default:
		s := p.session
		s.Straps = len(p.straps) + 1
		p.env.submit(store.PutSession{Session: s}, p)
	}
	return p, nil
}

// close closes the session when it has been asked for twice, each time after a pause.
func (p *pile) close(k keyMsg, at time.Time) {
	switch t, begun := unfinished(p.straps); {
	case !p.session.Open():
		p.env.hint("the session is closed already", at)
	case begun:
		p.env.hint(fmt.Sprintf("strap %d is still being sorted: go on with it, or close it as counted, before the session is closed", t.Number), at)
	case p.gate.again(p.env, triage.KeyClose, k, p.closeWords()+", and nothing is counted back: "+name(pileMap.Close)+" again closes the session", at):
		p.env.submit(store.PutSession{Session: p.session.After(triage.Event{Kind: triage.ClosedUncounted, At: at})}, p)
	}
}

// reopen opens a closed session again when it has been asked for twice. It stays on its page that it was.
func (p *pile) reopen(k keyMsg, at time.Time) {
	words := "it was closed " + ago(p.session.Closed, at) + ": " + name(pileMap.Reopen) + " again opens it, and that stays on record"
	switch {
	case p.session.Open():
		p.env.hint("the session is open", at)
	case p.gate.again(p.env, triage.KeyClose, k, words, at):
		p.env.submit(store.PutSession{Session: p.session.After(triage.Event{Kind: triage.Reopened, At: at})}, p)
	}
}

// closeWords says what closing leaves undone.
func (p *pile) closeWords() string {
	w, open := p.session.Totals.Waiting, p.session.Straps-len(p.straps)
	switch {
	case w > 0 && open > 0:
		return count(w, "near miss waits", "near misses wait") + " for the second look and " + count(open, "strap is", "straps are") + " not sorted"
	case w > 0:
		return count(w, "near miss still waits", "near misses still wait") + " for the second look"
	case open > 0:
		return count(open, "strap is", "straps are") + " not sorted"
	}
	return "everything is sorted and looked at"
}

func (p *pile) stored(m stored, at time.Time) (screen, tea.Cmd) {
	switch m.write.(type) {
	case store.OpenStrap:
		p.opening = false
		if m.bad() {
			return pileOf(p.env, p.session, at), nil
		}
		return openStrap(p.env, m.result.Session, m.result.Strap, at)
	case store.PutSession:
		if !m.bad() {
			return pileOf(p.env, m.result.Session, at), nil
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

func (p *pile) short() []key.Binding {
	if !p.session.Open() {
		return []key.Binding{pileMap.Desk, short(pileMap.Back, "the count"), short(pileMap.Keepers, "keepers"), short(pileMap.Reopen, "open again"), short(pileMap.Right, "put right")}
	}
	if p.session.Totals.Notes == 0 {
		keys := []key.Binding{short(pileMap.Next, "go on"), short(pileMap.Desk, "desk")}
		if p.session.NewNotes {
			keys = append(keys, short(pileMap.Sequence, "in sequence"))
		}
		return append(keys, short(pileMap.List, "a list"), short(pileMap.Right, "put right"))
	}
	return pileMap.short()
}
func (p *pile) groups() []keyGroup { return pileMap.groups() }
func (p *pile) ready() time.Time   { return p.gate.Ready() }
func (p *pile) typing() bool       { return false }
