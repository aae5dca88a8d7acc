package store

import (
	"bytes"
	"cmp"
	"crypto/sha256"
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
var migrations = []func(*bolt.Tx) error{keptAndErrands, openStraps, looksThroughOpen}

// migrate brings a file of an older layout up to date, after it has put a copy of it aside. It changes
// nothing of a file that is not older. While it works no other window can open the file.
func migrate(path string, found uint32) error {
	if found >= version || found < oldest {
		return nil
	}
	db, err := bolt.Open(path, 0o600, &bolt.Options{Timeout: lockWait})
	if err != nil {
		return plain(err)
	}
	return errors.Join(bringUp(db, path, found), db.Close())
}

// bringUp migrates a file that is open here alone.
func bringUp(db *bolt.DB, path string, found uint32) error {
	var stamp *VersionError
	if err := view(db, checkStamp); !errors.As(err, &stamp) || stamp.Found != found {
		return err // another window was faster
	}
	if err := copyAside(path, fmt.Sprintf("%s.layout-%d", path, found)); err != nil {
		return fmt.Errorf("copy the file aside before it is brought up to date: %w", err)
	}
	return update(db, func(tx *bolt.Tx) error {
		for _, step := range migrations[found-oldest:] {
			if err := step(tx); err != nil {
				return err
			}
		}
		now := binary.BigEndian.AppendUint32(nil, version)
		return putSealed(tx.Bucket([]byte(bucketMeta)), []byte(keyVersion), now)
	})
}

// update makes one write transaction. A broken page is an error, not a crash.
func update(db *bolt.DB, write func(*bolt.Tx) error) (err error) {
	defer caught(&err)
	return db.Update(write)
}

// copyAside copies a file, compares the copy with it and waits until it is on disk. What is there under the name stays:
// if it is the same an earlier try has made it, else the copy gets a number.
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
	var sums [2][]byte
	for i, name := range []string{b, a} { // the one that need not be there first
		f, err := os.Open(name)
		if err != nil {
			return false, err
		}
		sum := sha256.New()
		_, err = io.Copy(sum, f)
		if err = errors.Join(err, f.Close()); err != nil {
			return false, err
		}
		sums[i] = sum.Sum(nil)
	}
	return bytes.Equal(sums[0], sums[1]), nil
}

// errCopyDiffers says that the disk gave back something else than was written.
var errCopyDiffers = errors.New("the copy is not what was copied")

func copyTo(path, to string) (err error) {
	from, err := os.Open(path)
	if err != nil {
		return err
	}
	defer from.Close()
	copied, err := os.CreateTemp(filepath.Dir(to), "."+filepath.Base(to)+".*") // mode 0600; another window makes its own
	if err != nil {
		return err
	}
	name := copied.Name()
	defer func() { err = errors.Join(err, removeIfThere(name)) }()
	_, err = io.Copy(copied, from)
	if err := errors.Join(err, copied.Sync(), copied.Close()); err != nil {
		return err
	}
	if same, err := sameContent(path, name); err != nil || !same {
		return cmp.Or(err, errCopyDiffers)
	}
	return GiveName(name, to)
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
		days := byDay{}
		err := notes.sound(tx, sessionKey(s.ID), func(n triage.Note) error {
			days.count(s, n)
			return nil
		})
		return errors.Join(err, putTallies(tx, s.ID, days))
	})
}

// openStraps adds the notes that are listed, of which an older file has none, and moves what the straps that are being
// sorted count into their ledgers.
func openStraps(tx *bolt.Tx) error {
	for _, name := range []string{bucketListed, bucketLedgers} {
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
	days := byDay{}
	err = notes.sound(tx, l.key(), func(n triage.Note) error {
		days.count(s, n)
		l.Touched = later(l.Touched, n.Decided)
		d, whole := n.Serial.Whole()
		if !whole {
			return nil
		}
		return byDigits.set(tx, digitsKey(d, n.Place()), false)
	})
	if err != nil {
		return err
	}
	for day, t := range days {
		if err := addTally(tx, s.ID, day, *t, tally.Tally.Sub); err != nil {
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

// looksThroughOpen drops what was stored of the notes of straps being sorted beside their totals: they are looked through
// instead.
func looksThroughOpen(tx *bolt.Tx) error {
	if tx.Bucket([]byte(bucketSeen)) != nil {
		if err := tx.DeleteBucket([]byte(bucketSeen)); err != nil {
			return err
		}
	}
	var open []ledger
	err := ledgers.sound(tx, nil, func(l ledger) error {
		open = append(open, l)
		return nil
	})
	for _, l := range open {
		err = errors.Join(err, l.put(tx)) // without its tallies
	}
	return err
}

// bucketSeen is a bucket of layout 3.
const bucketSeen = "seen"
