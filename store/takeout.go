package store

import (
	"errors"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
)

func (w TakeOut) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	session, strap, err := openStrap(tx, w.Place.Session, w.Place.Strap)
	if err != nil {
		return r, mark, err
	}
	key := noteKey(w.Place)
	note, known, err := notes.get(tx, key)
	switch {
	case err != nil:
		return r, mark, err
	case strap.Done:
		return r, mark, ErrStrapDone
	case !known || w.Place.Position != strap.Size():
		return r, mark, ErrNotLast
	case note.Version != w.Version:
		return r, mark, &StaleError{Note: inWords(w.Place), Stored: note.Version, Want: note.Version, Given: w.Version}
	}
	if err := setAside(tx, note); err != nil {
		return r, mark, err
	}
	if err := enter(tx, note, false, false); err != nil {
		return r, mark, err
	}
	if err := errors.Join(dropErrands(tx, w.Place), notes.in(tx).Delete(key)); err != nil {
		return r, mark, err
	}
	l, err := ledgerOf(tx, strap.Session, strap.Number)
	if err != nil {
		return r, mark, err
	}
	l.move(&note, nil)
	l.Touched = later(l.Touched, w.At)
	if err := l.put(tx); err != nil {
		return r, mark, err
	}
	r.Note = note
	if r.Strap, _, err = getStrap(tx, strap.Session, strap.Number); err != nil {
		return r, mark, err
	}
	r.Session, _, err = getSession(tx, session.ID)
	return r, entry{bucketNotes, key, nil}, err
}

// setAside keeps a note that is taken out, with its earlier versions: its place in the strap will be
// another note's.
func setAside(tx *bolt.Tx, note triage.Note) error {
	earlier, err := versions.list(tx, noteKey(note.Place()))
	if err != nil {
		return err
	}
	for _, n := range append(earlier, note) {
		number, err := tx.Bucket([]byte(bucketTakenOut)).NextSequence()
		if err != nil {
			return err
		}
		key := takenOutKey(n.Place(), number)
		if err := takenOut.in(tx).Put(key, seal(key, encode(noteFields, &n))); err != nil {
			return err
		}
	}
	for _, n := range earlier {
		if err := versions.in(tx).Delete(versionKey(n.Place(), n.Version)); err != nil {
			return err
		}
	}
	return nil
}

// TakenOut gives every note that was taken out of a session, with their earlier versions, in the
// order they were taken out of each place.
func (s *Store) TakenOut(session uint64) (all []triage.Note, err error) {
	err = s.view(func(tx *bolt.Tx) error {
		all, err = takenOut.list(tx, sessionKey(session))
		return err
	})
	return all, err
}
