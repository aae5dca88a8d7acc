package store

import (
	"bytes"
	"cmp"
	"errors"
	"runtime/debug"
	"slices"

	bolt "go.etcd.io/bbolt"

	"app/unband/patterns"
	"app/unband/triage"
)

// view makes one read transaction. A broken page is an error, not a crash.
func view(db *bolt.DB, read func(*bolt.Tx) error) (err error) {
	defer caught(&err)
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	return db.View(read)
}

// view makes one read transaction on the open file.
func (s *Store) view(read func(*bolt.Tx) error) error {
	s.mu.RLock()
	defer s.mu.RUnlock()
	if s.db == nil {
		return s.gone
	}
	return view(s.db, read)
}

// Sessions gives all sessions, open ones first, then by Touched, newest first.
func (s *Store) Sessions() (all []triage.Session, err error) {
	err = s.view(func(tx *bolt.Tx) error {
		if all, err = sessions.list(tx, nil); err != nil {
			return err
		}
		at := make(map[uint64]int, len(all))
		for i, session := range all {
			at[session.ID] = i
		}
		return ledgers.walk(tx, nil, func(l ledger, err error) error {
			if i, there := at[l.Session]; there {
				all[i].Totals, all[i].Touched = all[i].Totals.Add(l.Totals), later(all[i].Touched, l.Touched)
			}
			return err
		})
	})
	slices.SortStableFunc(all, func(a, b triage.Session) int {
		if a.Open() != b.Open() {
			if a.Open() {
				return -1
			}
			return 1
		}
		return cmp.Or(b.Touched.Compare(a.Touched), cmp.Compare(b.ID, a.ID))
	})
	return all, err
}

// Choices gives what the person has chosen for sorting; ok is false while nothing was chosen.
func (s *Store) Choices() (c triage.Choices, ok bool, err error) {
	err = s.view(func(tx *bolt.Tx) error {
		c, ok, err = choices.get(tx, []byte(keyPerson))
		return err
	})
	return c, ok, err
}

// Session gives one session, or ErrNoSession.
func (s *Store) Session(id uint64) (session triage.Session, err error) {
	err = s.view(func(tx *bolt.Tx) error {
		var ok bool
		if session, ok, err = getSession(tx, id); err == nil && !ok {
			err = ErrNoSession
		}
		return err
	})
	return session, err
}

// Straps gives the straps of a session by number.
func (s *Store) Straps(session uint64) (all []triage.Strap, err error) {
	err = s.view(func(tx *bolt.Tx) error {
		all, err = strapsOf(tx, session)
		return err
	})
	return all, err
}

// Notes gives the notes of a strap by position.
func (s *Store) Notes(session uint64, strap int) (all []triage.Note, err error) {
	err = s.view(func(tx *bolt.Tx) error {
		all, err = notes.list(tx, strapKey(session, strap))
		return err
	})
	return all, err
}

// Versions gives the earlier versions of a note, oldest first; the newest is among Notes.
func (s *Store) Versions(session uint64, strap, position int) (all []triage.Note, err error) {
	err = s.view(func(tx *bolt.Tx) error {
		all, err = versions.list(tx, noteKey(triage.Place{Session: session, Strap: strap, Position: position}))
		return err
	})
	return all, err
}

// Waiting gives the notes of a session that wait for the second look, in pile order.
func (s *Store) Waiting(session uint64) (all []triage.Note, err error) {
	err = s.view(func(tx *bolt.Tx) error {
		all, err = indexed(tx, byWaiting, sessionKey(session), 0)
		return err
	})
	return all, err
}

// Met gives the notes whose newest version has these eight digits, by Decided, newest first, and then in pile order; at most
// limit of them, all if limit is 0 or less.
func (s *Store) Met(d patterns.Digits, limit int) (all []triage.Note, err error) {
	err = s.view(func(tx *bolt.Tx) error {
		prefix := digitsPrefix(d)
		open, err := openWith(tx, d)
		if err != nil {
			return err
		}
		all, err = indexed(tx, byDigits, prefix, len(prefix))
		all = append(all, open...)
		return err
	})
	slices.SortFunc(all, func(a, b triage.Note) int {
		return cmp.Or(b.Decided.Compare(a.Decided), comparePlaces(a.Place(), b.Place()))
	})
	if limit > 0 && len(all) > limit {
		all = all[:limit]
	}
	return all, err
}

// indexed gives the notes that the index names under prefix. A note's key begins after skip bytes of
// the index key.
func indexed(tx *bolt.Tx, i index, prefix []byte, skip int) ([]triage.Note, error) {
	var all []triage.Note
	c := tx.Bucket([]byte(i)).Cursor()
	for k, v := c.Seek(prefix); k != nil && bytes.HasPrefix(k, prefix); k, v = c.Next() {
		if _, err := unseal(string(i), k, v); err != nil {
			return nil, err
		}
		n, ok, err := notes.get(tx, k[skip:])
		if err == nil && !ok {
			err = newRecordError(string(i), k, errors.New("names a note that is not there"))
		}
		if err != nil {
			return nil, err
		}
		all = append(all, n)
	}
	return all, nil
}

// Hand gives what was put down of the note in hand when the strap was left: its serial once complete,
// and what was said of it. ok is false when nothing was.
func (s *Store) Hand(session uint64, strap int) (held triage.Held, ok bool, err error) {
	err = s.view(func(tx *bolt.Tx) error {
		var h hand
		h, ok, err = hands.get(tx, strapKey(session, strap))
		held = h.Held
		return err
	})
	return held, ok, err
}
