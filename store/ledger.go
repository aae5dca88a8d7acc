package store

import (
	"bytes"
	"errors"
	"time"

	bolt "go.etcd.io/bbolt"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/tally"
)

// A ledger is what a strap counts while it is being sorted. It stands in one small place until the strap is done, so that
// a decision changes as few pages of the file as can be: what waits for the disk is one write for each page. The records
// of the strap and of its session take it over when the strap is closed; until then whoever reads them adds it. Tallies
// and the index of digits know nothing of such a strap: its notes are few, and are looked through.
type ledger struct {
	Session uint64
	Strap   int

	Totals  triage.Totals
	Listed  int
	Touched time.Time // the last decision, or correction
}

// key gives the strap that the ledger is of.
func (l ledger) key() []byte { return strapKey(l.Session, l.Strap) }

// ledgerOf gives the ledger of a strap that is being sorted. A strap without one counts nothing.
func ledgerOf(tx *bolt.Tx, session uint64, strap int) (ledger, error) {
	l, ok, err := ledgers.get(tx, strapKey(session, strap))
	if err == nil && !ok {
		l.Session, l.Strap = session, strap
	}
	return l, err
}

// move counts a note after it has changed: old is the version before, nil for none, now the new one, nil for none.
func (l *ledger) move(old, now *triage.Note) {
	if old != nil {
		l.Totals = l.Totals.Sub(old.Totals())
	}
	if now != nil {
		l.Totals = l.Totals.Add(now.Totals())
	}
}

// put enters the ledger.
func (l ledger) put(tx *bolt.Tx) error {
	_, _, err := ledgers.put(tx, l)
	return err
}

// getStrap finds a strap, with what it counts so far. ok is false when there is none.
func getStrap(tx *bolt.Tx, session uint64, number int) (strap triage.Strap, ok bool, err error) {
	strap, ok, err = straps.get(tx, strapKey(session, number))
	if err != nil || !ok || strap.Done {
		return strap, ok, err
	}
	l, err := ledgerOf(tx, session, number)
	strap.Totals, strap.Listed = l.Totals, l.Listed
	return strap, err == nil, err
}

// strapsOf gives the straps of a session by number, with what they count so far.
func strapsOf(tx *bolt.Tx, session uint64) ([]triage.Strap, error) {
	all, err := straps.list(tx, sessionKey(session))
	for i, strap := range all {
		if err != nil || strap.Done {
			continue
		}
		var l ledger
		l, err = ledgerOf(tx, session, strap.Number)
		all[i].Totals, all[i].Listed = l.Totals, l.Listed
	}
	return all, err
}

// putStrap stores a strap as it is given, its counts in the ledger while it is being sorted, and gives it as it will be
// read.
func putStrap(tx *bolt.Tx, strap triage.Strap) (stored triage.Strap, mark entry, err error) {
	if strap.Done {
		return straps.put(tx, strap)
	}
	l, err := ledgerOf(tx, strap.Session, strap.Number)
	if err != nil {
		return stored, mark, err
	}
	l.Totals, l.Listed = strap.Totals, strap.Listed
	if err := l.put(tx); err != nil {
		return stored, mark, err
	}
	bare := strap
	bare.Totals, bare.Listed = triage.Totals{}, 0
	stored, mark, err = straps.put(tx, bare)
	stored.Totals, stored.Listed = strap.Totals, strap.Listed
	return stored, mark, err
}

// openTotals is what the straps of a session that are being sorted count together, and when the last of them was touched.
func openTotals(tx *bolt.Tx, session uint64) (sum triage.Totals, touched time.Time, err error) {
	err = ledgers.walk(tx, sessionKey(session), func(l ledger, err error) error {
		sum, touched = sum.Add(l.Totals), later(touched, l.Touched)
		return err
	})
	return sum, touched, err
}

// getSession finds a session, with what its straps count so far. ok is false when there is none.
func getSession(tx *bolt.Tx, id uint64) (s triage.Session, ok bool, err error) {
	s, ok, err = sessions.get(tx, sessionKey(id))
	if err != nil || !ok {
		return s, ok, err
	}
	s, err = withOpen(tx, s)
	return s, err == nil, err
}

// withOpen adds to a session what its straps that are being sorted count.
func withOpen(tx *bolt.Tx, s triage.Session) (triage.Session, error) {
	sum, touched, err := openTotals(tx, s.ID)
	s.Totals, s.Touched = s.Totals.Add(sum), later(s.Touched, touched)
	return s, err
}

// putSession stores a session as it is given, and gives it as it will be read.
func putSession(tx *bolt.Tx, s triage.Session) (stored triage.Session, mark entry, err error) {
	sum, _, err := openTotals(tx, s.ID)
	if err != nil {
		return stored, mark, err
	}
	s.Totals = s.Totals.Sub(sum)
	if stored, mark, err = sessions.put(tx, s); err != nil {
		return stored, mark, err
	}
	stored, err = withOpen(tx, stored)
	return stored, mark, err
}

// close has the records of a strap, its session, the tallies and the index of digits take the ledger over.
func (l ledger) close(tx *bolt.Tx, strap triage.Strap) (triage.Strap, entry, error) {
	strap.Totals, strap.Listed = l.Totals, l.Listed
	stored, mark, err := straps.put(tx, strap)
	if err != nil {
		return stored, mark, err
	}
	s, _, err := sessions.get(tx, sessionKey(l.Session))
	if err != nil {
		return stored, mark, err
	}
	s.Totals, s.Touched = s.Totals.Add(l.Totals), later(s.Touched, l.Touched)
	if _, _, err := sessions.put(tx, s); err != nil {
		return stored, mark, err
	}
	all, err := notes.list(tx, l.key())
	if err != nil {
		return stored, mark, err
	}
	days := byDay{}
	for _, n := range all {
		days.count(s, n)
	}
	for day, t := range days {
		if err := addTally(tx, l.Session, day, *t, tally.Tally.Add); err != nil {
			return stored, mark, err
		}
	}
	var errs []error
	for _, n := range all {
		if d, ok := n.Serial.Whole(); ok {
			errs = append(errs, byDigits.set(tx, digitsKey(d, n.Place()), true))
		}
	}
	errs = append(errs, ledgers.in(tx).Delete(l.key()))
	return stored, mark, errors.Join(errs...)
}

// openWith gives the notes with these digits in the straps that are being sorted. Only a record in which the digits
// stand somewhere is read: many are passed over for each that is found, with every serial that is typed.
func openWith(tx *bolt.Tx, d patterns.Digits) (all []triage.Note, err error) {
	digits := []byte(d.String())
	err = ledgers.walk(tx, nil, func(l ledger, err error) error {
		if err != nil || l.Totals.Notes+l.Totals.NotThere == 0 {
			return err
		}
		c := notes.in(tx).Cursor()
		for k, v := c.Seek(l.key()); k != nil && bytes.HasPrefix(k, l.key()); k, v = c.Next() {
			if !bytes.Contains(v, digits) {
				continue
			}
			n, err := notes.read(k, v)
			if err != nil {
				return err
			}
			if is, whole := n.Serial.Whole(); whole && is == d {
				all = append(all, n)
			}
		}
		return nil
	})
	return all, err
}
