package store

import (
	"reflect"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
	"app/unband/triage/tally"
)

// moveTally counts a note of a session after it has changed: old is the version before, nil for none, now the new
// one, nil for none. What counts the same is not written again.
func moveTally(tx *bolt.Tx, s triage.Session, old, now *triage.Note) error {
	if old != nil && now != nil && tally.DayOf(old.Decided) == tally.DayOf(now.Decided) && reflect.DeepEqual(tally.Of(s, *old), tally.Of(s, *now)) {
		return nil
	}
	if old != nil {
		if err := addTally(tx, s, *old, tally.Tally.Sub); err != nil {
			return err
		}
	}
	if now != nil {
		return addTally(tx, s, *now, tally.Tally.Add)
	}
	return nil
}

// addTally counts a note into its session's day, or out of it.
func addTally(tx *bolt.Tx, s triage.Session, n triage.Note, count func(tally.Tally, tally.Tally) tally.Tally) error {
	r := tally.SessionDay{Session: s.ID, Day: tally.DayOf(n.Decided)}
	key := tallies.key(&r)
	stored, ok, err := tallies.get(tx, key)
	if err != nil {
		return err
	}
	if ok {
		r = stored
	}
	if r.Tally = count(r.Tally, tally.Of(s, n)); reflect.DeepEqual(r.Tally, tally.Tally{}) {
		return tallies.in(tx).Delete(key)
	}
	_, _, err = tallies.put(tx, r)
	return err
}

// retally counts a session anew from its notes.
func retally(tx *bolt.Tx, s triage.Session) error {
	days, err := tallies.list(tx, sessionKey(s.ID))
	if err != nil {
		return err
	}
	for _, d := range days {
		if err := tallies.in(tx).Delete(tallies.key(&d)); err != nil {
			return err
		}
	}
	sums := map[tally.Day]*tally.Tally{}
	err = notes.sound(tx, sessionKey(s.ID), func(n triage.Note) error {
		day := tally.DayOf(n.Decided)
		if sums[day] == nil {
			sums[day] = &tally.Tally{}
		}
		sums[day].Count(tally.Of(s, n))
		return nil
	})
	if err != nil {
		return err
	}
	for day, sum := range sums {
		if _, _, err := tallies.put(tx, tally.SessionDay{Session: s.ID, Day: day, Tally: *sum}); err != nil {
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
		all, err = tallies.list(tx, prefix)
		return err
	})
	return all, err
}
