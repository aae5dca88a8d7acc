package store

import (
	"cmp"
	"errors"
	"strings"
	"time"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
)

func (w Decide) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	session, strap, err := openStrap(tx, w.Note.Session, w.Note.Strap)
	closed := errors.Is(err, ErrSessionClosed)
	if closed {
		if session, strap, err = anyStrap(tx, w.Note.Session, w.Note.Strap); err == ErrNoStrap {
			err = ErrSessionClosed
		}
	}
	if err != nil {
		return r, mark, err
	}
	old, known, err := notes.get(tx, noteKey(w.Note.Place()))
	if err != nil {
		return r, mark, err
	}
	if closed && (!known || !sameCount(w.Note, old)) {
		return r, mark, ErrSessionClosed
	}
	waits := listed.in(tx).Get(noteKey(w.Note.Place())) != nil
	if err := acceptable(w.Note, old, strap, known || waits); err != nil {
		return r, mark, err
	}
	if waits {
		strap.Listed--
		if err := listed.in(tx).Delete(noteKey(w.Note.Place())); err != nil {
			return r, mark, err
		}
	}
	if r.Note, mark, err = notes.put(tx, w.Note); err != nil {
		return r, mark, err
	}
	if known && anotherNote(old, r.Note) {
		if err := dropErrands(tx, old.Place()); err != nil {
			return r, mark, err
		}
	}
	if err := supersede(tx, old, r.Note, known, strap.Done); err != nil {
		return r, mark, err
	}
	before := &old
	if !known {
		before = nil
		if err := dropHand(tx, w.Note.Session, w.Note.Strap); err != nil {
			return r, mark, err
		}
	}
	if strap.Done {
		r.Session, r.Strap, err = countDone(tx, session, strap, before, r.Note)
	} else {
		r.Session, r.Strap, err = countOpen(tx, session, strap, before, r.Note)
	}
	return r, mark, err
}

// anotherNote reports whether the place is another note's now: not where digits were only typed on, nor where a
// re-read has corrected them.
func anotherNote(old, now triage.Note) bool {
	return !strings.HasPrefix(now.Serial.Digits, old.Serial.Digits) && now.Before != old.Serial.Digits
}

// sameCount reports whether two versions of a note count alike for the session, apart from what became of
// it later: a keeper can be sold long after the session was closed.
func sameCount(a, b triage.Note) bool {
	a.Fate, b.Fate = triage.StillHere, triage.StillHere
	return a.Totals() == b.Totals()
}

// anyStrap finds a strap and its session, open or closed.
func anyStrap(tx *bolt.Tx, id uint64, number int) (session triage.Session, strap triage.Strap, err error) {
	session, ok, err := getSession(tx, id)
	if err != nil || !ok {
		return session, strap, cmp.Or(err, ErrNoSession)
	}
	strap, ok, err = getStrap(tx, id, number)
	if err == nil && !ok {
		err = ErrNoStrap
	}
	return session, strap, err
}

// openStrap finds a strap and its session, which must be open.
func openStrap(tx *bolt.Tx, id uint64, number int) (session triage.Session, strap triage.Strap, err error) {
	if session, err = openSession(tx, id); err != nil {
		return session, strap, err
	}
	strap, ok, err := getStrap(tx, id, number)
	if err == nil && !ok {
		err = ErrNoStrap
	}
	return session, strap, err
}

// openSession finds a session, which must be open.
func openSession(tx *bolt.Tx, id uint64) (triage.Session, error) {
	session, ok, err := getSession(tx, id)
	switch {
	case err != nil:
		return session, err
	case !ok:
		return session, ErrNoSession
	case !session.Open():
		return session, ErrSessionClosed
	}
	return session, nil
}

// acceptable holds the rules by which nothing is entered twice and no position is left out. known says that the
// position has a note already, decided or listed.
func acceptable(n, old triage.Note, strap triage.Strap, known bool) error {
	switch {
	case n.Decision == triage.Undecided:
		return ErrUndecided
	case !known && strap.Done:
		return ErrStrapDone
	case !known && n.Position != strap.Size()+1:
		return ErrHole
	case n.Version != old.Version+1:
		return &StaleError{Note: inWords(n.Place()), Stored: old.Version, Want: old.Version + 1, Given: n.Version}
	}
	return nil
}

// supersede keeps the old version, if there was one, and turns the indexes from it to the new one.
func supersede(tx *bolt.Tx, old, n triage.Note, known, done bool) error {
	if known {
		if _, _, err := versions.put(tx, old); err != nil {
			return err
		}
		if err := enter(tx, old, false, done); err != nil {
			return err
		}
	}
	return enter(tx, n, true, done)
}

// enter puts a note into the indexes it belongs in, or takes it out of them. done says that its strap is.
func enter(tx *bolt.Tx, n triage.Note, present, done bool) error {
	var errs []error
	if d, ok := n.Serial.Whole(); ok && done {
		errs = append(errs, byDigits.set(tx, digitsKey(d, n.Place()), present))
	}
	if n.Look == triage.Waiting {
		errs = append(errs, byWaiting.set(tx, noteKey(n.Place()), present))
	}
	if keptStar(n) {
		errs = append(errs, byStars.set(tx, noteKey(n.Place()), present))
	}
	if n.Decision == triage.Keep {
		errs = append(errs, byKept.set(tx, noteKey(n.Place()), present))
	}
	open, err := hasErrand(tx, n)
	if open {
		errs = append(errs, byErrand.set(tx, noteKey(n.Place()), present))
	}
	errs = append(errs, err)
	return errors.Join(errs...)
}

// countOpen counts a note of a strap that is being sorted. before is the version before, nil for none.
func countOpen(tx *bolt.Tx, session triage.Session, strap triage.Strap, before *triage.Note, n triage.Note) (triage.Session, triage.Strap, error) {
	l, err := ledgerOf(tx, strap.Session, strap.Number)
	if err != nil {
		return session, strap, err
	}
	l.move(before, &n)
	l.Listed = strap.Listed
	l.Touched = later(l.Touched, n.Decided) // not by n.Changed: to say where a keeper lies is not to sort
	if err := l.put(tx); err != nil {
		return session, strap, err
	}
	session.Totals = session.Totals.Sub(strap.Totals).Add(l.Totals)
	session.Touched = later(session.Touched, l.Touched)
	strap.Totals = l.Totals
	return session, strap, nil
}

// countDone counts the next version of a note of a strap that is done.
func countDone(tx *bolt.Tx, session triage.Session, strap triage.Strap, before *triage.Note, n triage.Note) (triage.Session, triage.Strap, error) {
	if err := moveTally(tx, session, before, &n); err != nil {
		return session, strap, err
	}
	change := n.Totals()
	if before != nil {
		change = change.Sub(before.Totals())
	}
	strap.Totals = strap.Totals.Add(change)
	session.Totals = session.Totals.Add(change)
	session.Touched = later(session.Touched, n.Decided)
	strap, _, err := straps.put(tx, strap)
	if err != nil {
		return session, strap, err
	}
	session, _, err = putSession(tx, session)
	return session, strap, err
}

func dropHand(tx *bolt.Tx, session uint64, strap int) error {
	return hands.in(tx).Delete(strapKey(session, strap))
}

// later keeps a time from going back when a clock was set, or an older copy was handed in.
func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}
