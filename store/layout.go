package store

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"

	bolt "go.etcd.io/bbolt"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/errands"
)

// Layout, version 4. A "/" enters a bucket, <> is a key, → its value.
//
//	meta/      <"program">                        → "unband"
//	           <"version">                        → uint32, stays here and like this in every version
//	sessions/  <session>                          → Session
//	straps/    <session, strap>                   → Strap
//	notes/     <session, strap, position>         → Note, its newest version
//	ledgers/   <session, strap>                   → Ledger of a strap that is being sorted: what it counts, see ledger.go
//	versions/  <session, strap, position, version> → Note, an earlier version
//	takenout/  <session, strap, position, number> → Note that was taken out, and its earlier versions
//	hands/     <session, strap>                   → Serial complete but not decided
//	listed/    <session, strap, position>         → Listed: taken in before it was decided; there is no Note then
//	digits/    <digits, session, strap, position> → nothing: the newest version has these eight digits; of straps that are done
//	choices/   <"person">                         → Choices
//	waiting/   <session, strap, position>         → nothing: the newest version waits for the second look
//	stars/     <session, strap, position>         → nothing: the newest version is a kept star note
//	kept/      <session, strap, position>         → nothing: the newest version is kept
//	todo/      <session, strap, position>         → nothing: the newest version bears an errand that is not done
//	errands/   <kind, session, strap, position>   → Errand that was done; strap and position 0 for one of a session
//	runs/      <denomination, series, bank, first number, facility> → Run of star notes, from a list of them
//	tallies/   <session, day>                     → Tally of the session's notes decided on the day, days since 1970 in UTC; of straps that are done
//
// A session and a running number are 8 bytes in a key, a bank, a facility and a kind 1, a series 5 (zeros behind a shorter one),
// everything else 4; integers are fixed-width big-endian, so bucket order is the order of the pile, and of runs that
// of a batch of stars. The facility is in the key because both have printed the same numbers. Every value is a CRC-32C over key and content (4 bytes
// big-endian), then the content. Records are protobuf messages; their field numbers are in
// fields.go. What the key says is not repeated in the record.
//
// Strap totals count the notes of the strap, session totals those of its straps, both of what is done: while a strap is
// being sorted, its ledger has them and its own record has none. Positions of notes and listed ones
// together run from 1 without a hole, so a strap's Notes and Listed are together its last position.
//
// The layout changes only together with this comment, version and migrations. Version 1 had no kept, todo,
// errands and tallies, version 2 no listed and ledgers. Version 3
// had what is looked up of a strap being sorted in the ledgers and in a bucket of its own, seen.
const version = 4

const program = "unband"

// Bucket names.
const (
	bucketMeta     = "meta"
	bucketSessions = "sessions"
	bucketStraps   = "straps"
	bucketNotes    = "notes"
	bucketVersions = "versions"
	bucketHands    = "hands"
	bucketDigits   = "digits"
	bucketWaiting  = "waiting"
	bucketChoices  = "choices"
	bucketTakenOut = "takenout"
	bucketStars    = "stars"
	bucketRuns     = "runs"
	bucketKept     = "kept"
	bucketTodo     = "todo"
	bucketErrands  = "errands"
	bucketTallies  = "tallies"
	bucketListed   = "listed"
	bucketLedgers  = "ledgers"
)

// buckets lists every bucket of the file.
var buckets = []string{
	bucketMeta, bucketSessions, bucketStraps, bucketNotes,
	bucketVersions, bucketHands, bucketDigits, bucketWaiting, bucketChoices, bucketTakenOut,
	bucketStars, bucketRuns, bucketKept, bucketTodo, bucketErrands, bucketTallies, bucketListed, bucketLedgers,
}

// Keys within meta.
const (
	keyProgram = "program"
	keyVersion = "version"
)

// Keys within choices.
const (
	keyPerson = "person"
)

// inWords names a note, or with Position 0 a strap, for a person.
func inWords(p triage.Place) string {
	if p.Position == 0 {
		return fmt.Sprintf("strap %d of session %d", p.Strap, p.Session)
	}
	return fmt.Sprintf("note %d in strap %d of session %d", p.Position, p.Strap, p.Session)
}

func sessionKey(id uint64) []byte { return binary.BigEndian.AppendUint64(nil, id) }

func strapKey(session uint64, strap int) []byte { return appendCount(sessionKey(session), strap) }

func noteKey(p triage.Place) []byte { return appendCount(strapKey(p.Session, p.Strap), p.Position) }

// takenOutKey has a number that runs through the whole file, so that a place can lose several notes.
func takenOutKey(p triage.Place, number uint64) []byte {
	return binary.BigEndian.AppendUint64(noteKey(p), number)
}

// errandKey has the kind first: errands are listed by what is to be done.
func errandKey(k errands.Kind, p triage.Place) []byte {
	return append([]byte{byte(k)}, noteKey(p)...)
}

func versionKey(p triage.Place, version int) []byte { return appendCount(noteKey(p), version) }

func digitsKey(d patterns.Digits, p triage.Place) []byte {
	return append(digitsPrefix(d), noteKey(p)...)
}

func digitsPrefix(d patterns.Digits) []byte { return binary.BigEndian.AppendUint32(nil, uint32(d)) }

// comparePlaces compares places in the order of their keys.
func comparePlaces(a, b triage.Place) int {
	less := a.Session < b.Session || a.Session == b.Session && (a.Strap < b.Strap || a.Strap == b.Strap && a.Position < b.Position)
	switch {
	case a == b:
		return 0
	case less:
		return -1
	}
	return 1
}

// appendCount appends a number counted from 1. One that no key can hold becomes 0, under which
// nothing is ever stored, so that looking it up finds nothing.
func appendCount(key []byte, n int) []byte {
	if n < 0 || uint64(n) > math.MaxUint32 {
		n = 0
	}
	return binary.BigEndian.AppendUint32(key, uint32(n))
}

// splitKey reads a key back: one session, then so many counts.
func splitKey(key []byte, counts ...*int) (session uint64, err error) {
	if len(key) != 8+4*len(counts) {
		return 0, fmt.Errorf("key has %d bytes, want %d", len(key), 8+4*len(counts))
	}
	session, key = binary.BigEndian.Uint64(key), key[8:]
	for _, c := range counts {
		*c, key = int(binary.BigEndian.Uint32(key)), key[4:]
	}
	return session, nil
}

// createBuckets makes an empty file one of ours.
func createBuckets(tx *bolt.Tx) error {
	for _, name := range buckets {
		if _, err := tx.CreateBucket([]byte(name)); err != nil {
			return err
		}
	}
	meta := tx.Bucket([]byte(bucketMeta))
	return errors.Join(
		putSealed(meta, []byte(keyProgram), []byte(program)),
		putSealed(meta, []byte(keyVersion), binary.BigEndian.AppendUint32(nil, version)),
	)
}

// checkStamp says whether the file is ours and of this version.
func checkStamp(tx *bolt.Tx) error {
	meta := tx.Bucket([]byte(bucketMeta))
	if meta == nil || meta.Get([]byte(keyProgram)) == nil {
		return ErrNotOurs
	}
	name, err := getSealed(bucketMeta, meta, []byte(keyProgram))
	if err != nil {
		return err
	}
	if string(name) != program {
		return ErrNotOurs
	}
	stamp, err := getSealed(bucketMeta, meta, []byte(keyVersion))
	if err != nil {
		return err
	}
	if len(stamp) != 4 {
		return &RecordError{Bucket: bucketMeta, Key: []byte(keyVersion), Err: errors.New("is not a number")}
	}
	if found := binary.BigEndian.Uint32(stamp); found != version {
		return &VersionError{Found: found, Known: version}
	}
	for _, b := range buckets {
		if tx.Bucket([]byte(b)) == nil {
			return &DamagedError{Err: fmt.Errorf("bucket %s is missing", b)}
		}
	}
	return nil
}
