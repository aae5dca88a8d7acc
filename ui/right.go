package ui

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"

	"app/unband/store"
	"app/unband/triage"
)

// rightKeys are the keys of the form in which a session is put right, beside those of every form.
type rightKeys struct{ Drop, Leave key.Binding }

var rightMap = rightKeys{
	Drop:  bind("Ctrl+X", "take the session out, press twice; only while nothing is decided or listed in it", "ctrl+x"),
	Leave: bind("Esc", "back to the session's page, nothing is changed", "esc"),
}

func (k rightKeys) short() []key.Binding {
	return []key.Binding{short(k.Leave, "back unchanged"), short(formMap.Done, "next, then put right"), short(k.Drop, "take it out")}
}

func (k rightKeys) groups() []keyGroup {
	done := short(formMap.Done, "next line; on the last line: put it right")
	return []keyGroup{{title: "A session put right", keys: []key.Binding{formMap.Next, formMap.Before, formMap.Less, formMap.More, done, textMap.Erase, textMap.Clear, k.Drop, k.Leave},
		about: []string{
			"Another number of notes in a strap holds for the straps that are sorted, too; not for one in sequence, whose first and last number have proved how many it has.",
			"What was decided of a note stays as it was decided. A session with notes in it is not taken out.",
		}}}
}

// A righting is a session that is there and whose form is open, to put right what was entered wrongly.
type righting struct {
	session triage.Session
	straps  []triage.Strap
	back    func(time.Time) screen
	gate    twice
}

// openRight opens the form of a session that is there.
func openRight(e *env, s triage.Session, straps []triage.Strap, back func(time.Time) screen, at time.Time) screen {
	f := newForm(e)
	f.right = &righting{session: s, straps: straps, back: back}
	f.right.gate.Open(at, e.pauses.Plain)
	f.text[fieldName], f.text[fieldSource], f.text[fieldStraps] = s.Name, s.Source, fmt.Sprint(s.Straps)
	f.choice[fieldDenomination] = max(slices.Index(triage.Denominations, s.Denomination), 0)
	if s.NewNotes {
		f.choice[fieldCondition] = 1
	}
	f.choice[fieldBand] = slices.Index(f.bands(), s.StrapNotes)
	return f
}

// locked reports whether a line cannot be changed: of a closed session all but its words, for it is signed off as it is.
func (r *righting) locked(field int) bool {
	return !r.session.Open() && field != fieldName && field != fieldSource
}

// entered is how many notes are decided or listed.
func (r *righting) entered() (n int) {
	for _, t := range r.straps {
		n += t.Size()
	}
	return n
}

func (r *righting) words() string {
	if r.session.Open() {
		return "What this session is: put right what was entered wrongly"
	}
	return "A closed session: its words can be put right"
}

// rightKey hears what only the form of a session that is there hears. done says that the key is dealt with.
func (f *form) rightKey(k keyMsg, last bool, at time.Time) (to screen, done bool) {
	r := f.right
	switch {
	case key.Matches(k, rightMap.Leave):
		return r.back(at), true
	case key.Matches(k, rightMap.Drop):
		f.drop(k, at)
		return f, true
	case last && key.Matches(k, formMap.Done):
		f.putRight(k, at)
		return f, true
	}
	r.gate.other()
	return nil, false
}

// drop takes the session out when it has been asked for twice.
func (f *form) drop(k keyMsg, at time.Time) {
	r := f.right
	if n := r.entered(); n > 0 {
		f.env.say(count(n, "note is", "notes are")+" decided or listed in this session: it stays, and can be closed on its page. On the strap the last note can be taken out: "+name(strapMap.Back)+", then "+name(strapMap.Drop)+" twice", at)
		return
	}
	if r.gate.again(f.env, triage.KeyClose, k, "nothing is decided in it: "+name(rightMap.Drop)+" again takes the session out of the file", at) {
		f.sent = true
		f.env.submit(store.DropSession{Session: r.session.ID}, f)
	}
}

// putRight asks the store for the session as it stands in the form, or says which line is not right yet. Another
// denomination for notes that are entered already is asked for twice.
func (f *form) putRight(k keyMsg, at time.Time) {
	r := f.right
	s, ok := f.asRight(at)
	if !ok {
		return
	}
	if n := r.entered(); n > 0 && s.Denomination != r.session.Denomination {
		words := fmt.Sprintf("%s entered as %s: %s again makes them %s", count(n, "note is", "notes are"), r.session.Denomination, name(formMap.Done), s.Denomination)
		if !r.gate.again(f.env, triage.KeyEnter, k, words, at) {
			return
		}
	}
	f.sent = true
	f.env.submit(store.PutSession{Session: s}, f)
}

// asRight gives the session as it stands in the form, or says what is not right yet.
func (f *form) asRight(at time.Time) (s triage.Session, ok bool) {
	r := f.right
	s = r.session
	if name := strings.TrimSpace(f.text[fieldName]); name != "" {
		s.Name = name
	}
	s.Source = strings.TrimSpace(f.text[fieldSource])
	if !s.Open() {
		return s, true
	}
	straps, ok := f.straps()
	if least := max(len(r.straps), 1); !ok || straps < least {
		f.field, f.fresh = fieldStraps, true
		words := fmt.Sprintf("how many straps? a number from %s to %s", number(least), number(mostStraps))
		if least > 1 {
			words += ": " + count(least, "strap is", "straps are") + " begun"
		}
		f.env.say(words, at)
		return s, false
	}
	chosen, err := f.env.choices()
	if err != nil {
		f.env.fail(err, at)
		return s, false
	}
	s.Straps, s.StrapNotes, s.NewNotes = straps, f.band(), f.choice[fieldCondition] == 1
	if from, to := s.Denomination, f.denomination(); from != to {
		s.Denomination, s.Settings = to, highFor(s.Settings, from, to)
		if s.OldBefore == chosen.OldLimit(from) {
			s.OldBefore = chosen.OldLimit(to)
		}
	}
	return s, true
}

// righted goes on when the session is put right, or is gone.
func (f *form) righted(m stored, at time.Time) screen {
	f.env.sequence = nil // its number of notes may be the wrong one
	if _, gone := m.write.(store.DropSession); gone {
		f.env.say("the session is taken out: nothing was decided in it", at)
		return newDesk(f.env, at)
	}
	f.env.say("the session is put right", at)
	return f.right.back(at)
}
