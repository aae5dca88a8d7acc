package store

import (
	"reflect"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
	"app/unband/triage/tally"
)

// addTally counts a note into its session's day, or with sign -1 out of it.
func addTally(tx *bolt.Tx, s triage.Session, n triage.Note, sign int) error {
	r := tally.SessionDay{Session: s.ID, Day: tally.DayOf(n.Decided)}
	key := tallies.key(&r)
	if stored, ok, err := tallies.get(tx, key); err != nil {
		return err
	} else if ok {
		r = stored
	}
	if one := tally.Of(s, n); sign > 0 {
		r.Tally = r.Tally.Add(one)
	} else {
		r.Tally = r.Tally.Sub(one)
	}
	if reflect.DeepEqual(r.Tally, tally.Tally{}) {
		return tallies.in(tx).Delete(key)
	}
	_, _, err := tallies.put(tx, r)
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
	err = eachNote(tx, s.ID, func(n triage.Note) {
		day := tally.DayOf(n.Decided)
		if sums[day] == nil {
			sums[day] = &tally.Tally{}
		}
		sums[day].Count(tally.Of(s, n))
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

// eachNote passes on the sound notes of a session.
func eachNote(tx *bolt.Tx, session uint64, f func(triage.Note)) error {
	cursor := notes.in(tx).Cursor()
	prefix := sessionKey(session)
	for k, v := cursor.Seek(prefix); k != nil && len(k) >= len(prefix) && string(k[:len(prefix)]) == string(prefix); k, v = cursor.Next() {
		n, err := notes.read(k, v)
		if err != nil {
			return err
		}
		f(n)
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
