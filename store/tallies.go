package store

import (
	"cmp"
	"errors"
	"reflect"
	"slices"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
	"app/unband/triage/tally"
)

// moveTally counts a note of a strap that is done after it has changed: old is the version before, now the new one. What
// counts the same is not written again.
func moveTally(tx *bolt.Tx, s triage.Session, old, now *triage.Note) error {
	if old != nil && tally.DayOf(old.Decided) == tally.DayOf(now.Decided) && reflect.DeepEqual(tally.Of(s, *old), tally.Of(s, *now)) {
		return nil
	}
	if old != nil {
		if err := addTally(tx, s.ID, tally.DayOf(old.Decided), tally.Of(s, *old), tally.Tally.Sub); err != nil {
			return err
		}
	}
	return addTally(tx, s.ID, tally.DayOf(now.Decided), tally.Of(s, *now), tally.Tally.Add)
}

// addTally counts into a session's day, or out of it.
func addTally(tx *bolt.Tx, session uint64, day tally.Day, t tally.Tally, count func(tally.Tally, tally.Tally) tally.Tally) error {
	r := tally.SessionDay{Session: session, Day: day}
	key := tallies.key(&r)
	stored, ok, err := tallies.get(tx, key)
	if err != nil {
		return err
	}
	if ok {
		r = stored
	}
	if r.Tally = count(r.Tally, t); reflect.DeepEqual(r.Tally, tally.Tally{}) {
		return tallies.in(tx).Delete(key)
	}
	_, _, err = tallies.put(tx, r)
	return err
}

// retally counts the straps of a session that are done anew from their notes.
func retally(tx *bolt.Tx, s triage.Session) error {
	open := map[int]bool{}
	err := ledgers.walk(tx, sessionKey(s.ID), func(l ledger, err error) error {
		open[l.Strap] = true
		return err
	})
	if err != nil {
		return err
	}
	days := byDay{}
	err = notes.sound(tx, sessionKey(s.ID), func(n triage.Note) error {
		if !open[n.Strap] {
			days.count(s, n)
		}
		return nil
	})
	return errors.Join(err, putTallies(tx, s.ID, days))
}

// byDay sums up notes of a session by day.
type byDay map[tally.Day]*tally.Tally

func (b byDay) count(s triage.Session, n triage.Note) {
	if n.Decision == triage.NotThere { // it counts nothing, and a day of nothing has no record
		return
	}
	day := tally.DayOf(n.Decided)
	if b[day] == nil {
		b[day] = &tally.Tally{}
	}
	b[day].Count(tally.Of(s, n))
}

// putTallies replaces the tallies of a session.
func putTallies(tx *bolt.Tx, session uint64, sums byDay) error {
	days, err := tallies.list(tx, sessionKey(session))
	if err != nil {
		return err
	}
	for _, d := range days {
		if err := tallies.in(tx).Delete(tallies.key(&d)); err != nil {
			return err
		}
	}
	for day, sum := range sums {
		if _, _, err := tallies.put(tx, tally.SessionDay{Session: session, Day: day, Tally: *sum}); err != nil {
			return err
		}
	}
	return nil
}

// countsAlike reports whether two states of a session count its notes alike.
func countsAlike(a, b triage.Session) bool {
	return a.NewNotes == b.NewNotes && a.Whole == b.Whole && a.Watch.Hit == b.Watch.Hit && a.OldBefore == b.OldBefore
}

// Tallies gives the tally of every session and day, or of one session; 0 for all. By session, then by day.
func (s *Store) Tallies(session uint64) (all []tally.SessionDay, err error) {
	var prefix []byte
	if session != 0 {
		prefix = sessionKey(session)
	}
	err = s.view(func(tx *bolt.Tx) error {
		all, err = talliesOf(tx, prefix)
		return err
	})
	return all, err
}

// talliesOf gives the tallies under a prefix, with the notes of the straps that are being sorted.
func talliesOf(tx *bolt.Tx, prefix []byte) ([]tally.SessionDay, error) {
	all, err := tallies.list(tx, prefix)
	if err != nil {
		return nil, err
	}
	open := map[uint64]byDay{}
	err = ledgers.walk(tx, prefix, func(l ledger, err error) error {
		if err != nil {
			return err
		}
		s, ok, err := sessions.get(tx, sessionKey(l.Session))
		if err != nil || !ok {
			return err // check tells of a strap without a session
		}
		if open[s.ID] == nil {
			open[s.ID] = byDay{}
		}
		return notes.walk(tx, l.key(), func(n triage.Note, err error) error {
			if err == nil {
				open[s.ID].count(s, n)
			}
			return err
		})
	})
	if err != nil || len(open) == 0 {
		return all, err
	}
	for i, d := range all {
		if t := open[d.Session][d.Day]; t != nil {
			all[i].Tally = d.Tally.Add(*t)
			delete(open[d.Session], d.Day)
		}
	}
	for session, days := range open {
		for day, t := range days {
			all = append(all, tally.SessionDay{Session: session, Day: day, Tally: *t})
		}
	}
	slices.SortFunc(all, func(a, b tally.SessionDay) int {
		return cmp.Or(cmp.Compare(a.Session, b.Session), cmp.Compare(a.Day, b.Day))
	})
	return all, nil
}
