package demo

import (
	"errors"
	"fmt"
	"time"

	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/currency"
)

// This file is the hand at the keys.

var errStuck = errors.New("the keys do not bring the note to a decision")

// strap sorts a strap of used notes note by note. With half it is left where a note lies typed and undecided.
func (m *market) strap(number int, deck []slip, half bool) {
	t := m.do(store.OpenStrap{Strap: triage.Strap{Session: m.session.ID, Number: number, Band: fullStrap, Opened: m.at}}).Strap
	m.take(t)
	for i, s := range deck {
		if half && i+1 == inHand {
			m.do(store.SetHand{Session: t.Session, Strap: t.Number, Held: triage.Held{Serial: s.serial, Position: inHand}})
			return
		}
		m.note(s)
	}
	m.end()
}

// take puts a strap on the table.
func (m *market) take(t triage.Strap) {
	if m.err != nil {
		return
	}
	notes, err := m.store.Notes(t.Session, t.Number)
	if err != nil {
		m.fail(err)
		return
	}
	list, err := m.store.Listed(t.Session, t.Number)
	if err != nil {
		m.fail(err)
		return
	}
	rules := m.rules
	if before, err := m.store.Notes(t.Session, t.Number-1); err != nil {
		m.fail(err)
	} else if n := len(before); n > 0 {
		rules.Before = &before[n-1]
	}
	m.sorter = triage.NewSorter(m.session, t, notes, list, triage.Held{}, rules, m.at)
}

// note types a note and decides it.
func (m *market) note(s slip) {
	if m.err != nil {
		return
	}
	m.wait(m.about(2500 * time.Millisecond)) // it is taken up and turned the right way
	if !s.unread {
		m.typeSerial(s)
	}
	facts := s.facts
	if s.serial.Star {
		facts.Series = "" // it is asked for
	}
	if facts != (triage.Facts{}) {
		m.wait(m.about(8 * time.Second))
		m.fail(m.sorter.Hand().SetFacts(facts, m.at))
	}
	m.decide(s)
}

// typeSerial types a serial, until it is settled where nothing more is to be said of the note.
func (m *market) typeSerial(s slip) {
	digits := s.serial.Digits
	if s.misread != "" {
		digits = s.misread
	}
	m.types(s.serial.Prefix)
	for _, r := range digits {
		m.types(string(r))
		if m.sorter.Hand().Settled() && !s.serial.Star && !s.keep && !s.aside && s.facts == (triage.Facts{}) {
			return
		}
	}
	switch {
	case s.serial.Star:
		m.types("*")
	case s.serial.Suffix != 0:
		m.types(string(rune(s.serial.Suffix)))
	}
}

// types presses a key for each character.
func (m *market) types(text string) {
	for _, r := range text {
		m.wait(m.about(220 * time.Millisecond))
		m.press(triage.Key{Kind: triage.KeyRune, Rune: r})
	}
}

// decide presses decision keys and answers what is asked until the note in hand is decided.
func (m *market) decide(s slip) {
	hand := m.sorter.Hand()
	for range 12 {
		m.wait(1600*time.Millisecond + m.about(400*time.Millisecond)) // the longest pause, and the rest of a key
		switch {
		case m.err != nil:
			return
		case hand.Mode() == triage.Rereading:
			blanks, _ := hand.Blanks()
			for _, place := range blanks {
				m.types(s.serial.Digits[place : place+1])
			}
			m.wait(1200 * time.Millisecond)
			if m.press(triage.Key{Kind: triage.KeyEnter}) {
				return
			}
		case hand.Mode() == triage.AskingStar:
			if m.starFact(s) {
				return
			}
		case m.press(triage.Key{Kind: m.wish(s)}):
			return
		}
	}
	m.fail(fmt.Errorf("note %d, %s: %w", m.sorter.Place(), s.serial, errStuck))
}

// wish is the key that the sorter wants to press: a hit is kept, except where the rule only mentions it.
func (m *market) wish(s slip) triage.KeyKind {
	hand := m.sorter.Hand()
	switch {
	case s.aside:
		return triage.KeySetAside
	case s.keep, hand.Entry.Star, hand.Said().Ruling == triage.RuledKeep:
		return triage.KeyKeep
	}
	return triage.KeySpend
}

// starFact answers what is asked about a star. Of one in six the series is passed over: it is too late in the evening.
func (m *market) starFact(s slip) (decided bool) {
	field, _ := m.sorter.Hand().Asking()
	switch {
	case field == 1 && m.draw.IntN(6) > 0:
		m.types(s.facts.Series)
	case field == 2 && s.facts.Facility == currency.FortWorth:
		m.types("F")
	}
	m.wait(1200 * time.Millisecond)
	return m.press(triage.Key{Kind: triage.KeyEnter})
}

// press presses a key, and stores what comes of it. decided says that it has decided the note in hand, or ended the
// strap.
func (m *market) press(k triage.Key) (decided bool) {
	if m.err != nil {
		return false
	}
	e := m.sorter.Press(k, m.at)
	t := m.sorter.Strap()
	switch {
	case e.Decide != nil:
		r := m.do(store.Decide{Note: *e.Decide})
		m.sorter.Stored(r.Session, r.Strap, m.at)
		return true
	case e.Rest:
		m.do(store.DecideRest{Notes: m.sorter.Rest(m.at)})
		return true
	case e.EndStrap:
		m.do(store.CloseStrap{Session: t.Session, Number: t.Number, At: m.at})
		return true
	}
	return false // what is in hand is put down only where it is left
}

// end says that the strap is over.
func (m *market) end() {
	for range 6 {
		m.wait(1600*time.Millisecond + m.about(time.Second))
		if m.press(triage.Key{Kind: triage.KeyEnter}) || m.err != nil {
			return
		}
	}
	m.fail(fmt.Errorf("strap %d: the keys do not end it", m.sorter.Strap().Number))
}

// pulls looks at the listed notes that are to be pulled, and ends the strap. slips are the notes as they lie in it.
func (m *market) pulls(slips []slip) {
	for range len(slips) {
		if m.err != nil || m.sorter.PullsLeft() == 0 {
			break
		}
		s := slips[m.sorter.Place()-1]
		m.wait(m.about(6 * time.Second)) // counts down to it
		if m.sorter.Hand().Entry.Empty() {
			m.typeSerial(s)
		}
		m.decide(s)
	}
	m.end()
}
