package store

import (
	"bytes"
	"errors"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
	"app/unband/triage/errands"
)

// DropSession takes a session out in which nothing is decided or listed, with its straps and what was taken out of
// them, as when it was begun by mistake. Its ID is never given again. With a single note in it, it is refused.
type DropSession struct{ Session uint64 }

func (w DropSession) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	key := sessionKey(w.Session)
	mark = entry{bucketSessions, key, nil}
	switch _, ok, err := sessions.get(tx, key); {
	case err != nil:
		return r, mark, err
	case !ok:
		return r, mark, ErrNoSession
	case hasAny(notes.in(tx), key) || hasAny(listed.in(tx), key):
		return r, mark, ErrHasNotes
	}
	var errs []error
	for _, b := range []*bolt.Bucket{straps.in(tx), ledgers.in(tx), hands.in(tx), takenOut.in(tx), sessions.in(tx)} {
		errs = append(errs, dropAll(b, key))
	}
	for _, k := range errands.Kinds {
		if !k.OfNote() {
			errs = append(errs, doneErrands.in(tx).Delete(errandKey(k, triage.Place{Session: w.Session})))
		}
	}
	return r, mark, errors.Join(errs...)
}

// hasAny reports whether a key begins with prefix.
func hasAny(b *bolt.Bucket, prefix []byte) bool {
	k, _ := b.Cursor().Seek(prefix)
	return bytes.HasPrefix(k, prefix)
}

// dropAll deletes the keys that begin with prefix. They are listed first: bbolt's cursors pass over keys when the bucket
// changes under them.
func dropAll(b *bolt.Bucket, prefix []byte) error {
	var keys [][]byte
	c := b.Cursor()
	for k, _ := c.Seek(prefix); k != nil && bytes.HasPrefix(k, prefix); k, _ = c.Next() {
		keys = append(keys, bytes.Clone(k))
	}
	for _, k := range keys {
		if err := b.Delete(k); err != nil {
			return err
		}
	}
	return nil
}
