package store

import (
	"bytes"
	"encoding/binary"
	"errors"
	"reflect"
	"time"

	bolt "go.etcd.io/bbolt"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/tally"
)

// A ledger is what a strap counts while it is being sorted. It stands in one place until the strap is done, so that a
// decision changes as few pages of the file as can be: what waits for the disk is one write for each page. The records
// of the strap, of its session and of the tallies take it over when the strap is closed; until then whoever reads them
// adds it.
type ledger struct {
	Session uint64
	Strap   int

	Totals  triage.Totals
	Listed  int
	Touched time.Time // the last decision, or correction
	Days    map[tally.Day]tally.Tally
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
func (l *ledger) move(s triage.Session, old, now *triage.Note) {
	days := map[tally.Day]tally.Tally{}
	for day, t := range l.Days {
		days[day] = t
	}
	count := func(n triage.Note, add func(tally.Tally, tally.Tally) tally.Tally) {
		day := tally.DayOf(n.Decided)
		if days[day] = add(days[day], tally.Of(s, n)); reflect.DeepEqual(days[day], tally.Tally{}) {
			delete(days, day)
		}
	}
	if old != nil {
		l.Totals = l.Totals.Sub(old.Totals())
		count(*old, tally.Tally.Sub)
	}
	if now != nil {
		l.Totals = l.Totals.Add(now.Totals())
		count(*now, tally.Tally.Add)
	}
	if l.Days = days; len(days) == 0 {
		l.Days = nil
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
	for day, t := range l.Days {
		if err := addTally(tx, l.Session, day, t, tally.Tally.Add); err != nil {
			return stored, mark, err
		}
	}
	all, err := notes.list(tx, l.key())
	if err != nil {
		return stored, mark, err
	}
	var errs []error
	for _, n := range all {
		if d, ok := n.Serial.Whole(); ok {
			errs = append(errs, byDigits.set(tx, digitsKey(d, n.Place()), true))
		}
	}
	errs = append(errs, ledgers.in(tx).Delete(l.key()), tx.Bucket([]byte(bucketSeen)).Delete(l.key()))
	return stored, mark, errors.Join(errs...)
}

// The digits of the notes of a strap that is being sorted stand together under its key, eight bytes for each whole
// serial: the digits, then the position. They come into the index of digits when the strap is closed.

const seenSize = 8

// seenOf gives what stands under the key of a strap.
func seenOf(tx *bolt.Tx, key []byte) ([]byte, error) {
	b := tx.Bucket([]byte(bucketSeen))
	value := b.Get(key)
	if value == nil {
		return nil, nil
	}
	all, err := unseal(bucketSeen, key, value)
	if err == nil && len(all)%seenSize != 0 {
		err = newRecordError(bucketSeen, key, errors.New("has a wrong length"))
	}
	return all, err
}

// setSeen enters the digits of a note of a strap that is being sorted, or takes them out.
func setSeen(tx *bolt.Tx, d patterns.Digits, p triage.Place, present bool) error {
	key := strapKey(p.Session, p.Strap)
	all, err := seenOf(tx, key)
	if err != nil {
		return err
	}
	pair := seenPair(d, p.Position)
	kept := make([]byte, 0, len(all)+seenSize)
	for ; len(all) > 0; all = all[seenSize:] {
		if !bytes.Equal(all[:seenSize], pair) {
			kept = append(kept, all[:seenSize]...)
		}
	}
	if present {
		kept = append(kept, pair...)
	}
	b := tx.Bucket([]byte(bucketSeen))
	if len(kept) == 0 {
		return b.Delete(key)
	}
	return putSealed(b, key, kept)
}

func seenPair(d patterns.Digits, position int) []byte {
	return binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, uint32(d)), uint32(position))
}

// seenIn gives the notes with these digits in the straps that are being sorted.
func seenIn(tx *bolt.Tx, d patterns.Digits) (all []triage.Note, err error) {
	c := tx.Bucket([]byte(bucketSeen)).Cursor()
	for key, _ := c.First(); key != nil; key, _ = c.Next() {
		seen, err := seenOf(tx, key)
		if err != nil {
			return nil, err
		}
		for ; len(seen) > 0; seen = seen[seenSize:] {
			if binary.BigEndian.Uint32(seen) != uint32(d) {
				continue
			}
			n, ok, err := notes.get(tx, append(bytes.Clone(key), seen[4:seenSize]...))
			if err == nil && !ok {
				err = newRecordError(bucketSeen, key, errors.New("names a note that is not there"))
			}
			if err != nil {
				return nil, err
			}
			all = append(all, n)
		}
	}
	return all, nil
}
