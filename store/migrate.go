package store

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
	"app/unband/triage/tally"
)

// oldest is the first layout that can still be brought up to date.
const oldest = 1

// migrations bring a file from one layout to the next: migrations[0] from layout 1 to 2.
var migrations = []func(*bolt.Tx) error{keptAndErrands, openStraps}

// migrate brings a file of an older layout up to date, after it has put a copy of it aside. It changes
// nothing of a file that is not older.
func migrate(path string, found uint32) error {
	if found >= version || found < oldest {
		return nil
	}
	if err := copyAside(path, fmt.Sprintf("%s.layout-%d", path, found)); err != nil {
		return fmt.Errorf("copy the file aside before it is brought up to date: %w", err)
	}
	db, err := bolt.Open(path, 0o600, &bolt.Options{Timeout: lockWait})
	if err != nil {
		return plain(err)
	}
	err = update(db, func(tx *bolt.Tx) error {
		var stamp *VersionError
		if err := checkStamp(tx); !errors.As(err, &stamp) || stamp.Found != found {
			return err // another window was faster
		}
		for _, step := range migrations[found-oldest:] {
			if err := step(tx); err != nil {
				return err
			}
		}
		now := binary.BigEndian.AppendUint32(nil, version)
		return putSealed(tx.Bucket([]byte(bucketMeta)), []byte(keyVersion), now)
	})
	return errors.Join(err, db.Close())
}

// update makes one write transaction. A broken page is an error, not a crash.
func update(db *bolt.DB, write func(*bolt.Tx) error) (err error) {
	defer caught(&err)
	return db.Update(write)
}

// copyAside copies a file and waits until the copy is on disk. What is there under the name stays: if it is
// the same an earlier try has made it, else the copy gets a number.
func copyAside(path, to string) error {
	name := to
	for n := 2; ; n++ {
		same, err := sameContent(path, name)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return copyTo(path, name)
		case err != nil:
			return err
		case same:
			return nil
		}
		name = fmt.Sprintf("%s.%d", to, n)
	}
}

// sameContent reports whether two files hold the same bytes.
func sameContent(a, b string) (bool, error) {
	other, err := os.ReadFile(b)
	if err != nil {
		return false, err
	}
	own, err := os.ReadFile(a)
	return bytes.Equal(own, other), err
}

func copyTo(path, to string) error {
	from, err := os.Open(path)
	if err != nil {
		return err
	}
	defer from.Close()
	copied, err := os.CreateTemp(filepath.Dir(to), "."+filepath.Base(to)+".*") // mode 0600; another window makes its own
	if err != nil {
		return err
	}
	_, err = io.Copy(copied, from)
	if err = errors.Join(err, copied.Sync(), copied.Close()); err == nil {
		if err = os.Link(copied.Name(), to); err != nil && !errors.Is(err, fs.ErrExist) { // no links on this file system
			err = os.Rename(copied.Name(), to)
		}
	}
	if rm := os.Remove(copied.Name()); rm != nil && !errors.Is(rm, fs.ErrNotExist) {
		err = errors.Join(err, rm)
	}
	return errors.Join(err, syncFolder(filepath.Dir(to)))
}

// keptAndErrands adds the list of keepers, the errands and the tallies.
func keptAndErrands(tx *bolt.Tx) error {
	for _, name := range []string{bucketKept, bucketTodo, bucketErrands, bucketTallies} {
		if _, err := tx.CreateBucketIfNotExists([]byte(name)); err != nil {
			return err
		}
	}
	err := notes.sound(tx, nil, func(n triage.Note) error {
		return errors.Join(byKept.set(tx, noteKey(n.Place()), n.Decision == triage.Keep), retell(tx, n.Place()))
	})
	if err != nil {
		return err
	}
	return sessions.sound(tx, nil, func(s triage.Session) error {
		sums, err := tallied(tx, s, func(triage.Note) bool { return true })
		return errors.Join(err, putTallies(tx, s.ID, sums))
	})
}

// openStraps adds the notes that are listed, of which an older file has none, and moves what the straps that are being
// sorted count into their ledgers.
func openStraps(tx *bolt.Tx) error {
	for _, name := range []string{bucketListed, bucketLedgers, bucketSeen} {
		if _, err := tx.CreateBucketIfNotExists([]byte(name)); err != nil {
			return err
		}
	}
	var open []triage.Strap
	err := straps.sound(tx, nil, func(t triage.Strap) error {
		if !t.Done {
			open = append(open, t)
		}
		return nil
	})
	for _, t := range open {
		err = errors.Join(err, openLedger(tx, t))
	}
	return err
}

// openLedger moves what one strap counts into its ledger.
func openLedger(tx *bolt.Tx, t triage.Strap) error {
	s, ok, err := sessions.get(tx, sessionKey(t.Session))
	if err != nil || !ok {
		return nil // check names it
	}
	l := ledger{Session: t.Session, Strap: t.Number}
	err = notes.sound(tx, l.key(), func(n triage.Note) error {
		l.move(s, nil, &n)
		l.Touched = later(l.Touched, n.Decided)
		d, whole := n.Serial.Whole()
		if !whole {
			return nil
		}
		return errors.Join(byDigits.set(tx, digitsKey(d, n.Place()), false), setSeen(tx, d, n.Place(), true))
	})
	if err != nil {
		return err
	}
	for day, sum := range l.Days {
		if err := addTally(tx, s.ID, day, sum, tally.Tally.Sub); err != nil {
			return err
		}
	}
	l.Totals = t.Totals // as they were: check compares them with the notes
	s.Totals = s.Totals.Sub(t.Totals)
	t.Totals = triage.Totals{}
	_, _, err = sessions.put(tx, s)
	_, _, other := straps.put(tx, t)
	return errors.Join(err, other, l.put(tx))
}
