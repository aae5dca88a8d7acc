package store

import (
	"cmp"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
)

// Revise enters the next versions of notes that are decided already, all of them or none: where they
// lie, what became of them, what is known of them. Each is taken as Decide takes a correction.
type Revise struct{ Notes []triage.Note }

func (w Revise) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	mark = entry{bucket: bucketNotes, key: nothingKey}
	for _, n := range w.Notes {
		if _, known, err := notes.get(tx, noteKey(n.Place())); err != nil || !known {
			return r, mark, cmp.Or(err, ErrNoNote)
		}
		if r, mark, err = (Decide{n}).apply(tx); err != nil {
			return r, mark, err
		}
	}
	return r, mark, nil
}

// Kept gives every note that was kept, whatever became of it since, in pile order.
func (s *Store) Kept() (all []triage.Note, err error) {
	err = s.view(func(tx *bolt.Tx) error {
		all, err = indexed(tx, byKept, nil, 0)
		return err
	})
	return all, err
}
