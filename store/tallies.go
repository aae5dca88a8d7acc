package store

import (
	"cmp"
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

// retally counts a session anew from its notes, strap by strap.
func retally(tx *bolt.Tx, s triage.Session) error {
	all, err := straps.list(tx, sessionKey(s.ID))
	if err != nil {
		return err
	}
	done := map[int]bool{}
	open := map[int]*ledger{}
	for _, t := range all {
		if done[t.Number] = t.Done; t.Done {
			continue
		}
		l, err := ledgerOf(tx, s.ID, t.Number)
		if err != nil {
			return err
		}
		l.Days = nil
		open[t.Number] = &l
	}
	sums, err := tallied(tx, s, func(n triage.Note) bool {
		if l, is := open[n.Strap]; is {
			totals := l.Totals
			l.move(s, nil, &n)
			l.Totals = totals
			return false
		}
		return true
	})
	if err != nil {
		return err
	}
	for _, l := range open {
		if err := l.put(tx); err != nil {
			return err
		}
	}
	return putTallies(tx, s.ID, sums)
}

// tallied sums up the notes of a session that are asked for, by day.
func tallied(tx *bolt.Tx, s triage.Session, counts func(triage.Note) bool) (map[tally.Day]*tally.Tally, error) {
	sums := map[tally.Day]*tally.Tally{}
	err := notes.sound(tx, sessionKey(s.ID), func(n triage.Note) error {
		if !counts(n) {
			return nil
		}
		day := tally.DayOf(n.Decided)
		if sums[day] == nil {
			sums[day] = &tally.Tally{}
		}
		sums[day].Count(tally.Of(s, n))
		return nil
	})
	return sums, err
}

// putTallies replaces the tallies of a session.
func putTallies(tx *bolt.Tx, session uint64, sums map[tally.Day]*tally.Tally) error {
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

// talliesOf gives the tallies under a prefix, with those of the straps that are being sorted.
func talliesOf(tx *bolt.Tx, prefix []byte) ([]tally.SessionDay, error) {
	all, err := tallies.list(tx, prefix)
	if err != nil {
		return nil, err
	}
	type day struct {
		session uint64
		day     tally.Day
	}
	at := map[day]int{}
	open := 0
	err = ledgers.walk(tx, prefix, func(l ledger, err error) error {
		if open++; open == 1 { // most files have a strap open or none: only then is it worth knowing where each day stands
			for i, d := range all {
				at[day{d.Session, d.Day}] = i
			}
		}
		for d, t := range l.Days {
			i, there := at[day{l.Session, d}]
			if !there {
				i = len(all)
				at[day{l.Session, d}] = i
				all = append(all, tally.SessionDay{Session: l.Session, Day: d})
			}
			all[i].Tally = all[i].Tally.Add(t)
		}
		return err
	})
	if open > 0 {
		slices.SortFunc(all, func(a, b tally.SessionDay) int {
			return cmp.Or(cmp.Compare(a.Session, b.Session), cmp.Compare(a.Day, b.Day))
		})
	}
	return all, err
}
