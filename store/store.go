// Package store keeps sessions, straps and notes in one file.
//
// A write is one transaction and is on disk before its result is told; writes happen in the order
// they were submitted, one after another. A read sees a whole number of writes. What a read gives
// belongs to the caller, and its times are in UTC to the nanosecond.
//
// Every record carries a checksum over its key and value: a damaged record is an error that names
// it, never a wrong answer. A failed write is looked for after reopening the file, so that the
// result can say whether it is there. One Store at a time has a file open.
package store

import (
	"os"
	"sync"
	"time"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
)

// A Store is an open file. Its methods may be called from any goroutine.
type Store struct {
	path string      // absolute, links resolved
	file os.FileInfo // the file that was opened, to notice another one in its place

	// mu guards db: readers hold it shared for one transaction, the writer alone while reopening.
	mu sync.RWMutex
	db *bolt.DB // nil once the store is closed or could not be reopened

	queue  queue
	broken error // why no write is taken any more; only the writer touches it

	// commit ends a write transaction. Tests put failing ones here.
	commit func(*bolt.Tx) error
}

// Path is the absolute name of the file, links resolved.
func (s *Store) Path() string { return s.path }

// A Write is one change: AddSession, PutSession, OpenStrap, CloseStrap, Decide or SetHand.
type Write interface {
	// apply makes the change inside tx. It must be refused, leaving tx to be rolled back, by an
	// error that says why.
	apply(tx *writeTx) (Result, error)
}

// AddSession enters a new session. The store gives it its ID; its totals start empty.
type AddSession struct{ Session triage.Session }

// PutSession replaces what a person can change about a session: its words, the number of straps,
// watch list and settings, and whether it is closed. Opened and Totals stay as they are stored, and
// Touched never goes back, so a screen may hand in an older copy.
type PutSession struct{ Session triage.Session }

// OpenStrap enters the next strap of an open session. Number is the one after the last, or 0 for
// "the next"; the totals start empty.
type OpenStrap struct{ Strap triage.Strap }

// CloseStrap marks a strap as done, whatever its count is, and forgets the serial in hand.
type CloseStrap struct {
	Session uint64
	Number  int
	At      time.Time
}

// Decide enters a note (Version 1, the position after the last) or a correction of an earlier one
// (the Version after the stored one). It is refused when the session is closed, and a new note also
// when the strap is done. The serial in hand is forgotten when a new note is entered.
type Decide struct{ Note triage.Note }

// SetHand remembers the serial that is complete but not decided; an empty serial forgets it.
type SetHand struct {
	Session uint64
	Strap   int
	Serial  triage.Serial
}

// A Result says how a write came out. The records are as they are stored now; those that the write
// does not concern are zero.
type Result struct {
	Session triage.Session
	Strap   triage.Strap
	Note    triage.Note

	// Err is nil when the write is on disk. With an Err, Written says that the write was found on
	// disk all the same after reopening the file; the records are filled in then. When even reopening
	// failed, nobody knows: Err is a CommitError whose Reopen is set.
	Err     error
	Written bool
}

// Submit queues a write and returns at once. Writes are made in the order they were submitted;
// done, which may be nil, is called with each result in that order, from the store's own goroutine.
// It must not call Do or Close. After Close the result is ErrClosed.
func (s *Store) Submit(w Write, done func(Result)) {}

// Do submits a write and waits for its result.
func (s *Store) Do(w Write) Result { return Result{} }
