// Package demo makes an invented file to look at the program with: a street market's cash float over some months,
// with something to see on every screen.
//
// Nothing in it is anybody's. Serials are drawn from a seed, names and branches are invented, and the star runs bear
// a date at which none of those notes was printed. But what is said of the notes is not invented: a sorter of package
// triage is given keys as if by hand, note after note, and the store gets what comes of it.
//
// The time is given: the last sitting is a few minutes old by it. The same seed and time give the same notes.
package demo

import (
	"fmt"
	"math/rand/v2"
	"time"

	"app/unband/patterns"
	"app/unband/store"
	"app/unband/triage"
)

// Seed is what unband --demo draws from.
const Seed = 1

// ripe is how many stars make a batch ripe for the sorter of the market: a hundred would take years of such floats.
const ripe = 10

// Fill enters the sessions of the market into an empty store. The error names the session at which the store refused
// something.
func Fill(s *store.Store, now time.Time, seed uint64) error {
	m := &market{store: s, now: now, draw: rand.New(rand.NewPCG(seed, 0))}
	if err := m.choose(); err != nil {
		return fmt.Errorf("the choices of the demo: %w", err)
	}
	for _, p := range piles {
		m.pile(p)
		if m.err != nil {
			return fmt.Errorf("the demo's %s: %w", p.name, m.err)
		}
	}
	m.afterwards()
	if m.err != nil {
		return fmt.Errorf("what became of the demo's notes: %w", m.err)
	}
	return nil
}

// A market is the table at which the float is sorted. The first error ends everything: what comes after it does
// nothing.
type market struct {
	store   *store.Store
	now     time.Time
	draw    *rand.Rand
	choices triage.Choices
	rules   triage.Rules
	faces   map[uint64]triage.Denomination

	at  time.Time // the clock on the wall
	err error

	session triage.Session // the one being sorted, as stored
	sorter  *triage.Sorter // of the strap on the table
}

// choose makes the choices of the market's sorter and puts them down.
func (m *market) choose() error {
	settings := patterns.DefaultSettings()
	settings.Templates = []patterns.Template{{Pattern: "??2468??", Remark: "the number of our stall"}}
	book, err := patterns.NewBook(settings)
	if err != nil {
		return err
	}
	m.choices = triage.Choices{Pauses: triage.DefaultPauses(), Watch: book.DefaultWatch(), Settings: settings, Ripe: ripe, Hints: triage.AllHints}
	for _, r := range book.Rules() {
		if r.Name == "date" { // kept for nobody's birthday
			m.choices.Wishes = m.choices.Wishes.With(r.ID, triage.Wish{Word: triage.OnlyMention})
		}
	}
	m.faces = map[uint64]triage.Denomination{}
	m.rules = triage.Rules{Book: book, Pauses: m.choices.Pauses, Met: m.met, Face: func(id uint64) triage.Denomination { return m.faces[id] }}
	return m.store.Do(store.PutChoices{Choices: m.choices}).Err
}

// met gives the notes met before with the same digits, as the strap screen looks them up.
func (m *market) met(d patterns.Digits) []triage.Note {
	const most = 20
	notes, err := m.store.Met(d, most)
	if err != nil {
		m.fail(err)
	}
	return notes
}

// fail keeps the first error.
func (m *market) fail(err error) {
	if m.err == nil {
		m.err = err
	}
}

// do makes a write, and keeps the session as it is stored then.
func (m *market) do(w store.Write) store.Result {
	if m.err != nil {
		return store.Result{}
	}
	r := m.store.Do(w)
	m.fail(r.Err)
	if r.Session.ID != 0 {
		m.session = r.Session
	}
	return r
}

// wait lets some time pass.
func (m *market) wait(d time.Duration) { m.at = m.at.Add(d) }

// about is a time that a hand takes for something, from half of the usual to half as much again.
func (m *market) about(usual time.Duration) time.Duration {
	return usual/2 + time.Duration(m.draw.Int64N(int64(usual)))
}
