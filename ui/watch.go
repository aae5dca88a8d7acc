package ui

import (
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/patterns"
	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/odds"
)

// watch is the watch list: every rule with its odds, which of them stop the sorter, and what the
// whole list costs. From it lead the definitions and the own patterns.
type watch struct {
	env  *env
	back func(at time.Time) screen

	choices triage.Choices
	denom   int    // index into triage.Denominations: under whose highest serial is counted
	locked  string // why nothing can be changed; empty where it can
	sub     screen // the definitions or own patterns, nil while the list is shown

	asked bool // the list for a new user was asked for once
	book  *patterns.Book
	table odds.Table
	row   int
}

// openWatch shows the list for new sessions, which can be changed.
func openWatch(e *env, back func(time.Time) screen, at time.Time) (screen, tea.Cmd) {
	c, err := e.choices()
	if err != nil {
		e.fail(err, at)
		return back(at), nil
	}
	return showWatch(&watch{env: e, back: back, choices: c}, at)
}

// showSessionWatch shows the list that a session is sorted under. It stays as it is, so that note
// 900 is judged as note 1 was.
func showSessionWatch(e *env, s triage.Session, back func(time.Time) screen, at time.Time) (screen, tea.Cmd) {
	w := &watch{env: e, back: back, choices: triage.Choices{Watch: s.Watch, Wishes: s.Wishes, Settings: s.Settings, Whole: s.Whole, Pauses: e.pauses},
		locked: "a session keeps the list it was begun under; the list on the desk is for the next one"}
	for i, d := range triage.Denominations {
		if d == s.Denomination {
			w.denom = i
		}
	}
	return showWatch(w, at)
}

func showWatch(w *watch, at time.Time) (screen, tea.Cmd) {
	if err := w.define(w.choices.Settings); err != nil {
		w.env.fail(err, at)
		return w.back(at), nil
	}
	return w, nil
}

// choices are what the person has chosen, or the defaults.
func (e *env) choices() (triage.Choices, error) {
	c, ok, err := e.store.Choices()
	if err != nil || ok {
		return c, err
	}
	book, err := e.books.of(patterns.DefaultSettings())
	if err != nil {
		return c, err
	}
	return triage.ChoicesFrom(book), nil
}

func (w *watch) top() patterns.Digits { return triage.Denominations[w.denom].Top() }

// define takes other definitions, or says which of them cannot be used and stays as it was.
func (w *watch) define(s patterns.Settings) error {
	book, err := patterns.NewBook(s)
	if err != nil {
		return err
	}
	w.book, w.choices.Settings = book, s
	w.count()
	return nil
}

// count counts the price of the list anew.
func (w *watch) count() { w.table = odds.New(w.book, w.choices.Watch, w.top(), true) }

// keep puts the choices down. What is shown is the choice as it is being made; what is on the disk
// is said when the store has answered.
func (w *watch) keep() {
	w.count()
	w.put()
}

// put does so where what the list costs was counted just now.
func (w *watch) put() { w.env.submit(store.PutChoices{Choices: w.choices}, w) }

func (w *watch) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	if m, ok := msg.(stored); ok {
		if !m.bad() {
			w.env.heed(w.choices)
		}
		return w, nil
	}
	if w.sub != nil {
		sub, cmd := w.sub.update(msg, at)
		w.sub = sub
		if sub == screen(w) {
			w.sub = nil
		}
		return w, cmd
	}
	if k, ok := msg.(keyMsg); ok {
		return w.key(k, at)
	}
	return w, nil
}

func (w *watch) key(k keyMsg, at time.Time) (screen, tea.Cmd) {
	last := len(w.table.Rows) + len(besides) - 1
	if !key.Matches(k, watchMap.Default) {
		w.asked = false
	}
	switch {
	case key.Matches(k, watchMap.Leave):
		if w.env.busy(at) {
			return w, nil
		}
		return w.back(at), nil
	case key.Matches(k, watchMap.Up):
		w.row = (w.row + last) % (last + 1)
	case key.Matches(k, watchMap.Down):
		w.row = (w.row + 1) % (last + 1)
	case key.Matches(k, watchMap.PageUp):
		w.row = max(w.row-10, 0)
	case key.Matches(k, watchMap.PageDown):
		w.row = min(w.row+10, last)
	case key.Matches(k, watchMap.Less):
		w.turn(-1)
	case key.Matches(k, watchMap.More):
		w.turn(1)
	default:
		w.change(k, at)
	}
	return w, nil
}

// turn counts under the highest serial of another denomination.
func (w *watch) turn(by int) {
	n := len(triage.Denominations)
	w.denom = (w.denom + by + n) % n
	w.count()
}

// change takes the keys that change something.
func (w *watch) change(k keyMsg, at time.Time) {
	if w.locked != "" {
		if key.Matches(k, watchMap.Hit, watchMap.Near, watchMap.Rule, watchMap.Grade, watchMap.Definitions, watchMap.Own, watchMap.Default) {
			w.env.say(w.locked, at)
		}
		return
	}
	id, pattern := w.rule()
	switch {
	case key.Matches(k, watchMap.Hit, watchMap.Near) && !pattern:
		w.env.hint(besides[w.row-len(w.table.Rows)].stops, at)
	case key.Matches(k, watchMap.Hit):
		w.choices.Watch.Hit ^= patterns.Set(0).With(id)
		w.keep()
	case key.Matches(k, watchMap.Near):
		w.choices.Watch.Near ^= patterns.Set(0).With(id)
		w.keep()
	case key.Matches(k, watchMap.Rule, watchMap.Grade) && pattern && !w.choices.Watch.Hit.Has(id):
		w.env.hint("its hits do not stop you, so no rule holds for them: "+name(watchMap.Hit)+" first", at)
	case key.Matches(k, watchMap.Rule):
		w.wishOn(nextWord(w.wish()))
	case key.Matches(k, watchMap.Grade):
		w.wishOn(nextGrade(w.wish()))
	case key.Matches(k, watchMap.Definitions):
		w.sub = &definitions{watch: w}
	case key.Matches(k, watchMap.Own):
		w.sub = &own{watch: w}
	case key.Matches(k, watchMap.Default) && !w.asked:
		w.asked = true
		w.env.hint(name(watchMap.Default)+" again watches the list as it is for a new user; own patterns and your rules stay", at)
	case key.Matches(k, watchMap.Default):
		w.asked = false
		w.choices.Watch = w.book.DefaultWatch()
		w.env.say("the list is watched as it is for a new user; own patterns and your rules stay", at)
		w.keep()
	}
}

func (w *watch) title() (string, string) {
	if w.sub != nil {
		return w.sub.title()
	}
	words := "for new sessions"
	if w.locked != "" {
		words = "of this session"
	}
	return "the watch list " + words, triage.Denominations[w.denom].String() + ": serials to " + number(int(w.top()))
}

func (w *watch) short() []key.Binding {
	if w.sub != nil {
		return w.sub.short()
	}
	return watchMap.short()
}

func (w *watch) groups() []keyGroup {
	if w.sub != nil {
		return w.sub.groups()
	}
	return watchMap.groups()
}

func (w *watch) ready() time.Time { return time.Time{} }
func (w *watch) typing() bool     { return w.sub != nil && w.sub.typing() }
