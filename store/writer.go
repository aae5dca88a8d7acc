package store

import (
	"errors"
	"fmt"
	"os"
	"runtime/debug"
	"time"

	bolt "go.etcd.io/bbolt"
)

// Submit queues a write and returns at once. Writes are made in the order they were submitted;
// done, which may be nil, is called with each result in that order, from the store's own goroutine,
// after the write is on disk. It must not call Do or Close. After Close the result is ErrClosed.
func (s *Store) Submit(w Write, done func(Result)) {
	if !s.queue.push(job{w, done}) && done != nil {
		go done(Result{Err: ErrClosed}) // not from here: the caller may hold what done waits for
	}
}

// Do submits a write and waits for its result.
func (s *Store) Do(w Write) Result {
	result := make(chan Result, 1)
	s.Submit(w, func(r Result) { result <- r })
	return <-result
}

// Close makes the writes that are still queued, then closes the file. It may be called twice. Its
// error says that closing failed or that a done function panicked, never that a write failed: that
// was told to the write.
func (s *Store) Close() error {
	s.queue.close()
	<-s.finished
	return s.closing
}

// writer is the one goroutine that changes the file. One writer with a queue, because writes made
// by several goroutines are not in the order of the keys, and one that is lost in a kill leaves a
// hole.
func (s *Store) writer() {
	defer close(s.finished)
	debug.SetPanicOnFault(true) // a page beyond the end of the file: a panic to recover from, not the end
	var errs []error
	for {
		j, ok := s.queue.pop()
		if !ok {
			break
		}
		result := s.write(j.write)
		if at, ends := endsStrap(j.write); ends && (result.Err == nil || result.Written) {
			s.backUp(at)
		}
		if err := tell(j.done, result); err != nil {
			errs = append(errs, err)
		}
	}
	s.backups.Wait()
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.db != nil {
		errs = append(errs, s.db.Close())
		s.db, s.gone = nil, ErrClosed
	}
	s.closing = errors.Join(errs...)
}

// endsStrap reports whether a write closes a strap, and when: a backup is made then.
func endsStrap(w Write) (at time.Time, ends bool) {
	switch w := w.(type) {
	case CloseStrap:
		return w.At, true
	case DecideRest:
		if len(w.Notes) > 0 {
			return w.Notes[0].Decided, true
		}
	}
	return time.Time{}, false
}

// tell calls done. A panic in it must not keep the writes behind it from the disk.
func tell(done func(Result), r Result) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("after a write: panic: %v\n%s", p, debug.Stack())
		}
	}()
	if done != nil {
		done(r)
	}
	return nil
}

// write makes one write and knows how it came out.
func (s *Store) write(w Write) Result {
	if s.broken != nil {
		return Result{Err: s.broken}
	}
	if w == nil {
		return Result{Err: errors.New("nothing to write was given")}
	}
	if err := s.inPlace(); err != nil {
		return Result{Err: err}
	}
	result, mark, tried, err := s.transact(w)
	if err == nil {
		return result
	}
	if !tried {
		return Result{Err: err} // refused, and rolled back
	}
	return s.afterFailure(result, mark, err)
}

// transact makes one transaction. tried says that an error came from the commit, after which the
// write may be on disk all the same.
func (s *Store) transact(w Write) (result Result, mark entry, tried bool, err error) {
	defer caught(&err)
	tx, err := s.db.Begin(true)
	if err != nil {
		return Result{}, mark, false, err
	}
	defer rollback(tx)
	if result, mark, err = w.apply(tx); err != nil {
		return Result{}, mark, false, err
	}
	tried = true // before, so that a panic on the way counts as tried too
	return result, mark, tried, s.commit(tx)
}

// rollback ends a transaction that was not committed. After a panic on a broken page the rollback
// can panic as well; the first one is the one to tell.
func rollback(tx *bolt.Tx) {
	defer func() { _ = recover() }()
	_ = tx.Rollback() // after a commit it is only "tx closed"
}

// inPlace refuses to write when the open file is not the one under its name any more: bbolt would
// report every write as made, and all would be gone when the file is closed.
func (s *Store) inPlace() error {
	found, err := os.Stat(s.path)
	if errors.Is(err, os.ErrNotExist) {
		return ErrMoved
	}
	if err != nil {
		return fmt.Errorf("look at the file before writing: %w", err)
	}
	if !os.SameFile(s.file, found) {
		return ErrMoved
	}
	return nil
}

// afterFailure finds out what an error from a commit means. bbolt's view in memory cannot be trusted
// then (an error at the second sync leaves the write visible), so the file is opened anew and the
// write looked for. When that does not work, no more writes are taken.
func (s *Store) afterFailure(result Result, mark entry, cause error) Result {
	failure := &CommitError{Err: withSystemError(cause)}
	failure.Written, failure.Reopen = s.reopen(mark)
	if failure.Reopen != nil {
		s.broken = failure
		return Result{Err: failure}
	}
	if !failure.Written {
		result = Result{}
	}
	result.Err, result.Written = failure, failure.Written
	return result
}

// reopen closes the file, opens it again and looks for an entry.
func (s *Store) reopen(mark entry) (found bool, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	defer func() { s.gone = err }()
	_ = s.db.Close() // whatever it says, this handle is not used again
	s.db = nil
	db, file, err := openBolt(s.path, false)
	if err != nil {
		return false, err
	}
	if !os.SameFile(s.file, file) {
		_ = db.Close()
		return false, ErrMoved
	}
	if err := view(db, func(tx *bolt.Tx) error { found = mark.holds(tx); return nil }); err != nil {
		_ = db.Close()
		return false, err
	}
	s.db = db
	return found, nil
}
