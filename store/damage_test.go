package store

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
)

// pair is one key and value as they lie in the file.
type pair struct {
	bucket     string
	key, value []byte
}

// onePairEach gives one pair of every bucket of a file.
func onePairEach(t *testing.T, sound []byte) (all []pair) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "pairs.db")
	write(sound)(t, path)
	s := openStore(t, path)
	check(t, s.view(func(tx *bolt.Tx) error {
		for _, name := range buckets {
			c := tx.Bucket([]byte(name)).Cursor()
			c.First()
			k, v := c.Next()
			if k == nil {
				k, v = c.First()
			}
			if k != nil {
				all = append(all, pair{name, bytes.Clone(k), bytes.Clone(v)})
			}
		}
		return nil
	}))
	return all
}

// Every flipped bit of a record, in its key or its value, is found: bbolt itself does not look.
func TestFlippedBitsAreFound(t *testing.T) {
	sound := closedStore(t)
	for _, p := range onePairEach(t, sound) {
		whole := append(bytes.Clone(p.key), p.value...) // so they lie in a page, one after the other
		if !bytes.Contains(sound, whole) {
			t.Fatalf("the pair of %s is not in the file", p.bucket)
		}
		for bit := range len(whole) * 8 {
			if !*long && bit%8 != bit/8%8 {
				continue // one bit of each byte
			}
			broken := bytes.Clone(whole)
			broken[bit/8] ^= 1 << (bit % 8)
			// A page that was written anew stands in the file several times: all of them.
			wantFound(t, p, bit, bytes.ReplaceAll(sound, whole, broken))
		}
	}
}

func wantFound(t *testing.T, p pair, bit int, file []byte) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "broken.db")
	write(file)(t, path)
	s, err := Open(path)
	if err != nil {
		if p.bucket != bucketMeta {
			t.Errorf("%s, bit %d: does not open: %v", p.bucket, bit, err)
		}
		return
	}
	defer s.Close()
	if p.bucket == bucketMeta {
		t.Errorf("meta, bit %d: opens", bit)
	}
	report, err := s.Check()
	if err == nil && report.Sound() {
		t.Errorf("%s, bit %d of %x: check finds nothing", p.bucket, bit, p.key)
	}
}

// A broken record is never shown as something else, and says where it lies.
func TestABrokenRecordIsAnErrorThatNamesIt(t *testing.T) {
	sound := closedStore(t)
	reads := map[string]func(*Store) error{
		bucketSessions: func(s *Store) error { _, err := s.Sessions(); return err },
		bucketStraps:   func(s *Store) error { _, err := s.Straps(1); return err },
		bucketNotes:    func(s *Store) error { _, err := s.Notes(1, 1); return err },
		bucketVersions: func(s *Store) error { _, err := s.Versions(1, 1, 20); return err },
		bucketHands:    func(s *Store) error { _, _, err := s.Hand(1, 2); return err },
		bucketListed:   func(s *Store) error { _, err := s.Listed(1, 2); return err },
		bucketLedgers:  func(s *Store) error { _, err := s.Session(1); return err },
		bucketTallies:  func(s *Store) error { _, err := s.Tallies(0); return err },
		bucketWaiting:  func(s *Store) error { _, err := s.Waiting(1); return err },
		bucketDigits: func(s *Store) error {
			for i := 1; i <= 100; i++ {
				d, _ := note(triage.Strap{Session: 1, Number: 1}, i).Serial.Whole()
				if _, err := s.Met(d, 0); err != nil {
					return err
				}
			}
			return nil
		},
	}
	for _, p := range onePairEach(t, sound) {
		read, ok := reads[p.bucket]
		if !ok {
			continue
		}
		path := filepath.Join(t.TempDir(), "broken.db")
		whole := append(bytes.Clone(p.key), p.value...)
		broken := bytes.Clone(whole)
		broken[len(broken)-1] ^= 0x40
		write(bytes.ReplaceAll(sound, whole, broken))(t, path)
		s := openStore(t, path)
		var bad *RecordError
		if err := read(s); !errors.As(err, &bad) || bad.Bucket != p.bucket || !bytes.Equal(bad.Key, p.key) {
			t.Errorf("%s: reading says %v", p.bucket, err)
		}
	}
}

// Check finds what a checksum cannot: sound records that disagree.
func TestCheckFindsDisagreements(t *testing.T) {
	sound := closedStore(t)
	drop := func(bucket string, key []byte) func(*bolt.Tx) error {
		return func(tx *bolt.Tx) error {
			if tx.Bucket([]byte(bucket)).Get(key) == nil {
				return errors.New("nothing to drop")
			}
			return tx.Bucket([]byte(bucket)).Delete(key)
		}
	}
	at := func(i int) triage.Place { return triage.Place{Session: 1, Strap: 1, Position: i} }
	digits := func(i int) []byte {
		d, _ := note(triage.Strap{Session: 1, Number: 1}, i).Serial.Whole()
		return digitsKey(d, at(i))
	}
	for _, c := range []struct {
		why    string
		change func(*bolt.Tx) error
		want   string
	}{
		{"a note is gone", drop(bucketNotes, noteKey(at(50))), "note 51 in strap 1 of session 1: note 50 is missing before it"},
		{"the last note is gone", drop(bucketNotes, noteKey(at(100))), "strap 1 of session 1: the totals say Notes 100, not 99; Spent 100, not 99; Took 5m0s, not 4m57s as its notes add up to"},
		{"a strap is gone", drop(bucketStraps, strapKey(1, 1)), "strap 1 of session 1: there is no such strap, yet it has notes"},
		{"a session is gone", drop(bucketSessions, sessionKey(1)), "strap 1 of session 1: there is no such session"},
		{"an earlier version is gone", drop(bucketVersions, versionKey(at(20), 1)), "note 20 in strap 1 of session 1 stands at version 2, but 0 earlier ones are kept"},
		{"not met before", drop(bucketDigits, digits(7)), "note 7 in strap 1 of session 1 is missing in the index of digits 00160162"},
		{"not waiting", drop(bucketWaiting, noteKey(at(9))), "note 9 in strap 1 of session 1 is missing in the list of notes that wait for the second look"},
		{"met too often", func(tx *bolt.Tx) error { return byDigits.set(tx, digitsKey(1, at(7)), true) }, "entry digits 00000001000000000000000100000001" + "00000007 names a note that it does not fit"},
		{"waits without reason", func(tx *bolt.Tx) error { return byWaiting.set(tx, noteKey(at(10)), true) }, "entry waiting 0000000000000001000000010000000a names a note that it does not fit"},
		{"a version of nothing", func(tx *bolt.Tx) error {
			_, _, err := versions.put(tx, plan(triage.Strap{Session: 1, Number: 1}, 101, 1))
			return err
		}, "note 101 in strap 1 of session 1: version 1 is kept, but the note is not there"},
		{"in hand nowhere", func(tx *bolt.Tx) error { _, _, err := hands.put(tx, hand{Session: 1, Strap: 3}); return err },
			"strap 3 of session 1: a serial is in hand, but the strap is not being sorted"},
		{"wrong session totals", func(tx *bolt.Tx) error {
			s, _, err := sessions.get(tx, sessionKey(1))
			if err != nil {
				return err
			}
			s.Totals.Kept++
			_, _, err = sessions.put(tx, s)
			return err
		}, "session 1: the totals say Kept 1, not 0 as its straps add up to"},
		{"a session number would come again", func(tx *bolt.Tx) error { return sessions.in(tx).SetSequence(0) },
			"the next new session would get the number 1 again, session 1 exists"},
		{"a ledger is gone", drop(bucketLedgers, strapKey(1, 2)), "strap 2 of session 1: its ledger is missing"},
		{"a ledger that counts wrong", func(tx *bolt.Tx) error {
			l, err := ledgerOf(tx, 1, 2)
			if err != nil {
				return err
			}
			l.Totals.Kept++
			return l.put(tx)
		}, "strap 2 of session 1: the totals say Kept 1, not 0 as its notes add up to"},
		{"a ledger of a strap that is done", func(tx *bolt.Tx) error { return ledger{Session: 1, Strap: 1}.put(tx) },
			"strap 1 of session 1: it has a ledger, but is not being sorted"},
		{"a strap that counts twice", func(tx *bolt.Tx) error {
			t, _, err := straps.get(tx, strapKey(1, 2))
			if err != nil {
				return err
			}
			t.Totals.Notes = 4
			_, _, err = straps.put(tx, t)
			return err
		}, "strap 2 of session 1: it is being sorted, and counts beside its ledger"},
		{"a listed note is gone", drop(bucketListed, noteKey(triage.Place{Session: 1, Strap: 2, Position: 2})), "strap 2 of session 1: 1 notes are listed, the strap says 2"},
		{"listed and decided", func(tx *bolt.Tx) error {
			_, _, err := listed.put(tx, triage.Listed{Session: 1, Strap: 2, Position: 3})
			return err
		}, "note 3 in strap 2 of session 1 is listed, but it is decided"},
		{"listed beyond a hole", func(tx *bolt.Tx) error {
			_, _, err := listed.put(tx, triage.Listed{Session: 1, Strap: 2, Position: 9})
			return err
		}, "note 9 in strap 2 of session 1: note 8 is missing before it"},
		{"something foreign", func(tx *bolt.Tx) error { _, err := tx.CreateBucket([]byte("x")); return err }, `bucket "x" does not belong in the file`},
	} {
		path := filepath.Join(t.TempDir(), "changed.db")
		changed(sound, c.change)(t, path)
		report, err := openStore(t, path).Check()
		if err != nil {
			t.Fatal(err)
		}
		if all := strings.Join(report.Problems, "\n"); !strings.Contains("\n"+all+"\n", "\n"+c.want+"\n") {
			t.Errorf("%s: check says\n%s\nwant\n%s", c.why, all, c.want)
		}
	}
}

// With the newest header page broken bbolt silently goes back to the transaction before.
func TestABrokenHeaderPageIsTold(t *testing.T) {
	for page := range 2 {
		b := closedStore(t)
		b[page*os.Getpagesize()+pageHeaderSize+20] ^= 1
		path := filepath.Join(t.TempDir(), "broken.db")
		write(b)(t, path)
		report, err := openStore(t, path).Check()
		if err != nil || report.Sound() {
			t.Errorf("header page %d: check finds nothing, %v", page, err)
		}
	}
}

// A page that is zeroed or foreign is an error from whatever meets it, never a crash. (Pages whose
// damage bbolt's own check cannot survive end our check before it.)
func TestZeroedPagesNeverCrash(t *testing.T) {
	sound := closedStore(t)
	size := os.Getpagesize()
	h, _, _ := readHeaders(bytes.NewReader(sound))
	found, harmless := 0, 0
	for page := 2; page < int(h.pages); page++ {
		for _, fill := range []byte{0, 0xFF, 'x'} {
			b := bytes.Clone(sound)
			copy(b[page*size:], bytes.Repeat([]byte{fill}, size))
			path := filepath.Join(t.TempDir(), "broken.db")
			write(b)(t, path)
			s, err := Open(path)
			if err != nil {
				found++
				continue
			}
			for _, read := range []func() error{
				func() error { _, err := s.Sessions(); return err },
				func() error { _, err := s.Notes(1, 1); return err },
				func() error { _, err := s.Waiting(1); return err },
			} {
				_ = read()
			}
			if report, err := s.Check(); err != nil || !report.Sound() {
				found++
			} else {
				harmless++
			}
			_ = s.Do(Decide{note(triage.Strap{Session: 1, Number: 1}, 101)})
			s.Close()
		}
	}
	t.Logf("%d pages: %d damages found, %d in free pages", h.pages, found, harmless)
	if found == 0 {
		t.Error("no damage was found")
	}
}
