package store

import (
	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
)

func (w AddSession) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	s := w.Session
	if s.ID, err = sessions.in(tx).NextSequence(); err != nil {
		return r, mark, err
	}
	s.Totals = triage.Totals{}
	r.Session, mark, err = putSession(tx, s)
	return r, mark, err
}

func (w PutSession) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	stored, ok, err := getSession(tx, w.Session.ID)
	if err != nil {
		return r, mark, err
	}
	if !ok {
		return r, mark, ErrNoSession
	}
	s := w.Session
	s.Opened, s.Totals, s.Touched = stored.Opened, stored.Totals, later(stored.Touched, s.Touched)
	if r.Session, mark, err = putSession(tx, s); err == nil && !countsAlike(stored, r.Session) {
		err = retally(tx, r.Session)
	}
	if err == nil && stored.StrapNotes != s.StrapNotes {
		err = reband(tx, s.ID, stored.StrapNotes, s.StrapNotes)
	}
	return r, mark, err
}

// reband changes what the bands of a session's straps are said to promise.
func reband(tx *bolt.Tx, session uint64, from, to int) error {
	all, err := strapsOf(tx, session)
	for _, strap := range all {
		if err == nil && strap.Band == from && !strap.InSequence {
			strap.Band = to
			_, _, err = putStrap(tx, strap)
		}
	}
	return err
}

func (w OpenStrap) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	return openNext(tx, w.Strap, false)
}

// openNext enters the next strap of an open session. beside says that the one before may still be sorted.
func openNext(tx *bolt.Tx, strap triage.Strap, beside bool) (r Result, mark entry, err error) {
	session, err := openSession(tx, strap.Session)
	if err != nil {
		return r, mark, err
	}
	last, err := lastStrap(tx, session.ID)
	if err != nil {
		return r, mark, err
	}
	if strap.Number == 0 {
		strap.Number = last + 1
	}
	if strap.Number != last+1 {
		return r, mark, ErrHole
	}
	if last > 0 && !beside {
		before, _, err := getStrap(tx, session.ID, last)
		switch {
		case err != nil:
			return r, mark, err
		case !before.Done:
			return r, mark, ErrStrapOpen
		}
	}
	strap.Totals, strap.Done, strap.Listed = triage.Totals{}, false, 0
	if r.Strap, mark, err = putStrap(tx, strap); err != nil {
		return r, mark, err
	}
	session.Touched = later(session.Touched, strap.Opened)
	r.Session, _, err = putSession(tx, session)
	return r, mark, err
}

// lastStrap is the highest strap number of a session, 0 when it has none.
func lastStrap(tx *bolt.Tx, session uint64) (number int, err error) {
	c := straps.in(tx).Cursor()
	k, _ := c.Seek(sessionKey(session + 1))
	if k == nil {
		k, _ = c.Last()
	} else {
		k, _ = c.Prev()
	}
	if k == nil {
		return 0, nil
	}
	id, err := splitKey(k, &number)
	if err != nil {
		return 0, newRecordError(bucketStraps, k, err)
	}
	if id != session {
		return 0, nil
	}
	return number, nil
}

func (w PutChoices) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	_, mark, err = choices.put(tx, w.Choices)
	return r, mark, err
}

func (w CloseStrap) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	session, strap, err := openStrap(tx, w.Session, w.Number)
	if err != nil {
		return r, mark, err
	}
	switch {
	case strap.Done:
		return r, mark, ErrStrapDone
	case strap.Listed > 0:
		return r, mark, ErrListed
	}
	if err := dropHand(tx, w.Session, w.Number); err != nil {
		return r, mark, err
	}
	l, err := ledgerOf(tx, w.Session, w.Number)
	if err != nil {
		return r, mark, err
	}
	strap.Done, strap.Closed = true, w.At
	if r.Strap, mark, err = l.close(tx, strap); err != nil {
		return r, mark, err
	}
	session.Touched = later(session.Touched, w.At)
	r.Session, _, err = putSession(tx, session)
	return r, mark, err
}

func (w PutBack) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	if w.Strap == 0 {
		if r.Session, err = openSession(tx, w.Session); err != nil {
			return r, mark, err
		}
		r.Session.Back = w.Back
		r.Session, mark, err = putSession(tx, r.Session)
		return r, mark, err
	}
	if r.Session, r.Strap, err = openStrap(tx, w.Session, w.Strap); err != nil {
		return r, mark, err
	}
	r.Strap.Back = w.Back
	r.Strap, mark, err = putStrap(tx, r.Strap)
	return r, mark, err
}

func (w SetHand) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	session, strap, err := openStrap(tx, w.Session, w.Strap)
	if err != nil {
		return r, mark, err
	}
	if strap.Done {
		return r, mark, ErrStrapDone
	}
	r.Session, r.Strap = session, strap
	if w.Held == (triage.Held{}) {
		return r, entry{bucketHands, strapKey(w.Session, w.Strap), nil}, dropHand(tx, w.Session, w.Strap)
	}
	_, mark, err = hands.put(tx, hand(w))
	return r, mark, err
}
