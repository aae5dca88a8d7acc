package demo

import (
	"fmt"
	"strings"
	"time"

	"app/unband/patterns"
	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/listing"
)

// This file takes in notes that are known before they are in hand.

// sequence sorts a strap of new notes in sequence with a radar in it.
func (m *market) sequence() {
	first := triage.Serial{Prefix: "F", Digits: m.aheadOfRadar(), Suffix: 'C'}
	q := triage.Sequence{First: first, Notes: fullStrap}
	last, _ := q.Last()
	t := triage.Strap{Session: m.session.ID, Number: 1, Band: fullStrap, Opened: m.at, First: q.First, Last: last, InSequence: true}
	var notes []triage.Listed
	var slips []slip
	for i := 1; i <= fullStrap; i++ {
		s, _ := q.At(i)
		notes = append(notes, triage.Listed{Session: t.Session, Strap: 1, Position: i, Serial: s, Origin: triage.FromSequence, Facts: triage.Facts{Series: "2021"}})
		slips = append(slips, slip{serial: s})
	}
	m.wait(m.about(time.Minute)) // both numbers are read
	m.take(m.do(store.List{Straps: []triage.Strap{t}, Notes: notes}).Strap)
	m.pulls(slips)
}

// aheadOfRadar draws the digits, ending in 01, of a strap with a radar in it.
func (m *market) aheadOfRadar() string {
	d, err := patterns.ParseDigits(m.digits(radar))
	if err != nil {
		m.fail(err)
	}
	return (d - (d-1)%fullStrap).String()
}

// listName is what the list of the counting machine is called.
const listName = "machine 2, evening.csv"

// list sorts straps that a counting machine has listed. The list is read as one from a file.
func (m *market) list(p pile) {
	var slips []slip
	for number := 1; number <= p.straps; number++ {
		slips = append(slips, m.deck(p, number)...)
	}
	list, err := listing.Read(strings.NewReader(machineList(slips)))
	if err != nil {
		m.fail(err)
		return
	}
	taken := list.Take(listing.Answers{Denomination: p.face})
	if len(taken.Notes) != len(slips) {
		m.fail(fmt.Errorf("the list has %d notes for %d", len(taken.Notes), len(slips)))
		return
	}
	t := triage.Strap{Session: m.session.ID, Number: 1, Band: fullStrap, Opened: m.at, List: listName}
	straps, place := triage.Deal(m.session, t, len(slips), true)
	var notes []triage.Listed
	for i, n := range taken.Notes {
		at := place(i)
		l := triage.Listed{Session: at.Session, Strap: at.Strap, Position: at.Position, Serial: n.Serial, Origin: triage.FromList, Unread: n.Unread, Doubt: n.Reason}
		if l.Unread != "" {
			l.Serial, l.Text = triage.Serial{}, n.Text
		}
		notes = append(notes, l)
	}
	m.do(store.List{Straps: straps, Notes: notes})
	for i, t := range straps {
		m.wait(m.about(time.Minute))
		t.Listed = fullStrap
		m.take(t)
		m.pulls(slips[i*fullStrap : (i+1)*fullStrap])
	}
}

// machineList is a list as a counting machine makes one. It has not read a digit of the notes that are unread.
func machineList(slips []slip) string {
	var b strings.Builder
	b.WriteString("no,denomination,serial\n")
	for i, s := range slips {
		text := s.serial.String()
		if s.unread {
			at := len(s.serial.Prefix) + 4
			text = text[:at] + "?" + text[at+1:]
		}
		fmt.Fprintf(&b, "%d,%d,%s\n", i+1, 1, text)
	}
	return b.String()
}
