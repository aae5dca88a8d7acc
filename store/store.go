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
	"sync/atomic"

	bolt "go.etcd.io/bbolt"
)

// A Store is an open file. Its methods may be called from any goroutine.
type Store struct {
	path string      // absolute, links resolved
	file os.FileInfo // the file that was opened, to notice another one in its place

	// mu guards db: readers hold it shared for one transaction, the writer alone while reopening.
	mu   sync.RWMutex
	db   *bolt.DB // nil once the store is closed or could not be reopened
	gone error    // why db is nil

	queue    *queue
	finished chan struct{} // closed when the writer has ended and the file is closed
	closing  error         // how that came out
	broken   error         // why no write is taken any more; only the writer touches it

	keep      int // how many backups are kept beside the file; 0: none are made
	backups   sync.WaitGroup
	oneBackup sync.Mutex
	backedUp  atomic.Pointer[func(Backup, error)] // told of each backup made by itself

	// commit ends a write transaction. Tests put failing ones here.
	commit func(*bolt.Tx) error
}

// Path is the absolute name of the file, links resolved.
func (s *Store) Path() string { return s.path }
