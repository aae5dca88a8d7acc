package store

import (
	"bytes"
	"cmp"
	"slices"
	"time"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
)

// List takes in what is known of the notes of some straps of an open session, all or nothing. A strap that is being
// sorted, and in which nothing is listed, gets them behind the notes it has; else it must be the next one of the session,
// and is opened. The notes come in the order of the pile. What the straps say of their first and last number and of
// the list is entered, and the session has at least as many straps then.
type List struct {
	Straps []triage.Strap
	Notes  []triage.Listed // by strap and position
}

// PutListed replaces what is known of a listed note, which keeps its serial and its place.
type PutListed struct{ Listed triage.Listed }

// Unlist has the notes of a strap that are listed and not decided sorted one by one: their serials are
// forgotten, and those after the last decided note are taken out of the strap altogether. With them goes what was taken
// in from the same List into other straps of the session. Where no note of the strap is decided, Held is put down as
// in hand.
type Unlist struct {
	Session uint64
	Strap   int
	Held    triage.Held
}

// DecideRest decides the listed notes that were not looked at, and closes their straps. Notes are all of the
// listed ones of each strap that they are of; with one too few or too many nothing is done.
type DecideRest struct{ Notes []triage.Note }

func (w List) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	mark = entry{bucket: bucketStraps, key: nothingKey}
	next := w.Notes
	for _, given := range w.Straps {
		if r, err = toBeListed(tx, given); err != nil {
			return r, mark, err
		}
		strap := r.Strap
		strap.First, strap.Last, strap.InSequence, strap.Down, strap.List = given.First, given.Last, given.InSequence, given.Down, given.List
		for len(next) > 0 && next[0].Strap == strap.Number {
			if next[0].Session != strap.Session || next[0].Position != strap.Size()+1 {
				return r, mark, ErrHole
			}
			if _, _, err = listed.put(tx, next[0]); err != nil {
				return r, mark, err
			}
			strap.Listed++
			next = next[1:]
		}
		if r.Strap, mark, err = putStrap(tx, strap); err != nil {
			return r, mark, err
		}
	}
	switch {
	case len(w.Straps) == 0:
		return r, mark, ErrNoStrap
	case len(next) > 0:
		return r, mark, ErrHole
	}
	r.Session.Straps = max(r.Session.Straps, r.Strap.Number)
	r.Session, _, err = putSession(tx, r.Session)
	return r, mark, err
}

// toBeListed finds the strap meant, where it is being sorted and nothing is listed in it, else opens the next one.
// Straps before it may still be sorted.
func toBeListed(tx *bolt.Tx, given triage.Strap) (r Result, err error) {
	if r.Session, err = openSession(tx, given.Session); err != nil {
		return r, err
	}
	var ok bool
	r.Strap, ok, err = getStrap(tx, given.Session, given.Number)
	switch {
	case err != nil:
		return r, err
	case !ok:
		r, _, err = openNext(tx, given, true)
		return r, err
	case r.Strap.Done:
		return r, ErrStrapDone
	case r.Strap.Listed > 0:
		return r, ErrListed
	}
	return r, dropHand(tx, given.Session, given.Number)
}

func (w PutListed) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	l := w.Listed
	if r.Session, r.Strap, err = openStrap(tx, l.Session, l.Strap); err != nil {
		return r, mark, err
	}
	stored, ok, err := listed.get(tx, noteKey(l.Place()))
	if err != nil || !ok {
		return r, mark, cmp.Or(err, ErrNoNote)
	}
	stored.Facts = l.Facts
	_, mark, err = listed.put(tx, stored)
	return r, mark, err
}

func (w Unlist) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	_, strap, err := openStrap(tx, w.Session, w.Strap)
	switch {
	case err != nil:
		return r, mark, err
	case strap.Done:
		return r, mark, ErrStrapDone
	}
	if strap.List != "" {
		all, err := straps.list(tx, sessionKey(w.Session))
		if err != nil {
			return r, mark, err
		}
		for _, other := range all {
			if !other.Done && other.List == strap.List && other.Number != strap.Number {
				if _, _, _, err := unlist(tx, other); err != nil {
					return r, mark, err
				}
			}
		}
	}
	last := 0
	if r.Strap, mark, last, err = unlist(tx, strap); err != nil {
		return r, mark, err
	}
	if last == 0 && w.Held != (triage.Held{}) {
		if _, _, err := hands.put(tx, hand(w)); err != nil {
			return r, mark, err
		}
	}
	r.Session, _, err = getSession(tx, w.Session)
	return r, mark, err
}

// unlist forgets what is listed of one strap, and gives its last decided position. A note that something was said of
// keeps its place, and those before it: it is said of the note that lies there.
func unlist(tx *bolt.Tx, strap triage.Strap) (stored triage.Strap, mark entry, last int, err error) {
	prefix := strapKey(strap.Session, strap.Number)
	open, err := listed.list(tx, prefix)
	if err != nil {
		return stored, mark, 0, err
	}
	c := notes.in(tx).Cursor()
	for k, _ := c.Seek(prefix); k != nil && bytes.HasPrefix(k, prefix); k, _ = c.Next() {
		if _, err := splitKey(k, new(int), &last); err != nil {
			return stored, mark, 0, newRecordError(bucketNotes, k, err)
		}
	}
	if strap, _, err = getStrap(tx, strap.Session, strap.Number); err != nil {
		return stored, mark, 0, err
	}
	strap.Listed, strap.InSequence = 0, false
	said := last
	for _, l := range open {
		if l.Marks() != (triage.Facts{}) {
			said = max(said, l.Position)
		}
	}
	for _, l := range open {
		if l.Position > said {
			err = listed.in(tx).Delete(noteKey(l.Place()))
		} else {
			l.Facts = l.Marks()
			l.Serial, l.Origin, l.Text, l.Unread, l.Doubt = triage.Serial{}, triage.Typed, "", "", ""
			_, _, err = listed.put(tx, l)
			strap.Listed++
		}
		if err != nil {
			return stored, mark, 0, err
		}
	}
	if err := dropHand(tx, strap.Session, strap.Number); err != nil {
		return stored, mark, 0, err
	}
	stored, mark, err = putStrap(tx, strap)
	return stored, mark, last, err
}

func (w DecideRest) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	if len(w.Notes) == 0 {
		return r, mark, ErrNoNote
	}
	at := w.Notes[0].Decided
	if r.Session, err = openSession(tx, w.Notes[0].Session); err != nil {
		return r, mark, err
	}
	if err := enterDigits(tx, w.Notes); err != nil {
		return r, mark, err
	}
	for rest := w.Notes; len(rest) > 0; {
		n := 1
		for n < len(rest) && rest[n].Strap == rest[0].Strap {
			n++
		}
		if r.Strap, mark, err = decideRestOf(tx, r.Session, rest[:n], at); err != nil {
			return r, mark, err
		}
		rest = rest[n:]
	}
	if r.Session, _, err = getSession(tx, r.Session.ID); err != nil {
		return r, mark, err
	}
	r.Session.Touched = later(r.Session.Touched, at)
	r.Session, _, err = putSession(tx, r.Session)
	return r, mark, err
}

// decideRestOf decides the listed notes of one strap, which are all of some, and closes it.
func decideRestOf(tx *bolt.Tx, s triage.Session, some []triage.Note, at time.Time) (strap triage.Strap, mark entry, err error) {
	strap, ok, err := getStrap(tx, s.ID, some[0].Strap)
	switch {
	case err != nil || !ok:
		return strap, mark, cmp.Or(err, ErrNoStrap)
	case strap.Done:
		return strap, mark, ErrStrapDone
	case strap.Listed > len(some):
		return strap, mark, ErrListed
	}
	l, err := ledgerOf(tx, s.ID, strap.Number)
	if err != nil {
		return strap, mark, err
	}
	for _, n := range some {
		key := noteKey(n.Place())
		switch {
		case n.Session != s.ID || listed.in(tx).Get(key) == nil:
			return strap, mark, ErrNoNote
		case n.Decision == triage.Undecided:
			return strap, mark, ErrUndecided
		case n.Version != 1:
			return strap, mark, &StaleError{Note: inWords(n.Place()), Want: 1, Given: n.Version}
		}
		if err := listed.in(tx).Delete(key); err != nil {
			return strap, mark, err
		}
		stored, _, err := notes.put(tx, n)
		if err == nil {
			err = enter(tx, stored, true, true) // the strap is done in a moment
		}
		if err != nil {
			return strap, mark, err
		}
		l.move(nil, &stored)
		l.Touched = later(l.Touched, n.Decided)
	}
	if err := dropHand(tx, s.ID, strap.Number); err != nil {
		return strap, mark, err
	}
	l.Listed = 0
	strap.Done, strap.Closed = true, at
	return l.close(tx, strap)
}

// enterDigits puts many notes into the index of digits in its order, before they are entered one by one: bbolt
// divides a page only when it commits, and to put a hundred thousand keys into one in no order takes a minute.
func enterDigits(tx *bolt.Tx, all []triage.Note) error {
	var keys [][]byte
	for _, n := range all {
		if d, ok := n.Serial.Whole(); ok {
			keys = append(keys, digitsKey(d, n.Place()))
		}
	}
	slices.SortFunc(keys, bytes.Compare)
	for _, key := range keys {
		if err := byDigits.set(tx, key, true); err != nil {
			return err
		}
	}
	return nil
}

// Listed gives the notes of a strap that are listed and not decided, by position.
func (s *Store) Listed(session uint64, strap int) (all []triage.Listed, err error) {
	err = s.view(func(tx *bolt.Tx) error {
		all, err = listed.list(tx, strapKey(session, strap))
		return err
	})
	return all, err
}
