package store

import (
	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
	"app/unband/triage/errands"
)

// PutErrands writes down that errands are done, or with a zero Done that they are open again. All of
// them or none.
type PutErrands struct{ Errands []errands.Errand }

func (w PutErrands) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	mark = entry{bucket: bucketErrands, key: nothingKey}
	for _, e := range w.Errands {
		if err := errandExists(tx, e); err != nil {
			return r, mark, err
		}
		key := errandKey(e.Kind, e.Place)
		if e.Done.IsZero() {
			mark = entry{bucketErrands, key, nil}
			if err := doneErrands.in(tx).Delete(key); err != nil {
				return r, mark, err
			}
		} else if _, mark, err = doneErrands.put(tx, e); err != nil {
			return r, mark, err
		}
		if err := retell(tx, e.Place); err != nil {
			return r, mark, err
		}
	}
	return r, mark, nil
}

// errandExists refuses an errand about something that is not there.
func errandExists(tx *bolt.Tx, e errands.Errand) error {
	if e.Kind.OfNote() {
		if _, ok, err := notes.get(tx, noteKey(e.Place)); err != nil || ok {
			return err
		}
		return ErrNoNote
	}
	if _, ok, err := sessions.get(tx, sessionKey(e.Place.Session)); err != nil || ok {
		return err
	}
	return ErrNoSession
}

// retell brings the list of notes with something to do up to date for one note.
func retell(tx *bolt.Tx, p triage.Place) error {
	n, ok, err := notes.get(tx, noteKey(p))
	if err != nil || !ok {
		return err
	}
	open, err := hasErrand(tx, n)
	if err != nil {
		return err
	}
	return byErrand.set(tx, noteKey(p), open)
}

// hasErrand reports whether a note bears an errand that is not done.
func hasErrand(tx *bolt.Tx, n triage.Note) (bool, error) {
	for _, k := range errands.Of(n) {
		_, done, err := doneErrands.get(tx, errandKey(k, n.Place()))
		if err != nil || !done {
			return err == nil, err
		}
	}
	return false, nil
}

// dropErrands forgets what was done about a note whose place is another note's from now on.
func dropErrands(tx *bolt.Tx, p triage.Place) error {
	for _, k := range errands.Kinds {
		if k.OfNote() {
			if err := doneErrands.in(tx).Delete(errandKey(k, p)); err != nil {
				return err
			}
		}
	}
	return nil
}

// Todo gives the notes that bear an errand which is not done, in pile order.
func (s *Store) Todo() (all []triage.Note, err error) {
	err = s.view(func(tx *bolt.Tx) error {
		all, err = indexed(tx, byErrand, nil, 0)
		return err
	})
	return all, err
}

// ErrandsDone gives every errand that was done, by kind and place.
func (s *Store) ErrandsDone() (all []errands.Errand, err error) {
	err = s.view(func(tx *bolt.Tx) error {
		all, err = doneErrands.list(tx, nil)
		return err
	})
	return all, err
}
