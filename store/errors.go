package store

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"syscall"
)

// What Open refuses. See also VersionError and DamagedError.
var (
	ErrInUse      = errors.New("the file is open in another window")
	ErrEmpty      = errors.New("the file is empty, not even a header is in it")
	ErrNotOurs    = errors.New("the file was not made by this program")
	ErrNotRegular = errors.New("it is not a regular file")
	ErrNoFolder   = errors.New("the folder does not exist")
)

// What a write or read is refused for. See also StaleError and CommitError.
var (
	ErrClosed        = errors.New("the file is closed")
	ErrMoved         = errors.New("the file was deleted, moved or replaced while it was open")
	ErrNoSession     = errors.New("there is no such session")
	ErrNoStrap       = errors.New("there is no such strap")
	ErrNoNote        = errors.New("there is no such note")
	ErrSessionClosed = errors.New("the session is closed")
	ErrStrapOpen     = errors.New("a strap of the session is still being sorted")
	ErrStrapDone     = errors.New("the strap is closed")
	ErrNotLast       = errors.New("it is not the last note of its strap")
	ErrHole          = errors.New("a position would be left out")
	ErrListed        = errors.New("notes of the strap are listed and not decided")
	ErrHasNotes      = errors.New("notes of the session are decided or listed")
	ErrUndecided     = errors.New("the note has no decision")
)

// A VersionError says that a file was made by another version of the program. It was not touched.
type VersionError struct{ Found, Known uint32 }

// Newer reports whether the file is from a later version of the program.
func (e *VersionError) Newer() bool { return e.Found > e.Known }

func (e *VersionError) Error() string {
	age := "an older"
	if e.Newer() {
		age = "a newer"
	}
	return fmt.Sprintf("the file is from %s version of the program (layout %d, this one knows %d)",
		age, e.Found, e.Known)
}

// A DamagedError says that the file's structure is broken.
type DamagedError struct{ Err error }

func (e *DamagedError) Error() string { return "the file is damaged: " + e.Err.Error() }
func (e *DamagedError) Unwrap() error { return e.Err }

// A RecordError says that one record is damaged.
type RecordError struct {
	Bucket string
	Key    []byte
	Err    error // what is wrong with it
}

// newRecordError copies the key, which may lie in memory that ends with the transaction.
func newRecordError(bucket string, key []byte, err error) *RecordError {
	return &RecordError{Bucket: bucket, Key: slices.Clone(key), Err: err}
}

func (e *RecordError) Error() string {
	return fmt.Sprintf("record %s %x %v", e.Bucket, e.Key, e.Err)
}
func (e *RecordError) Unwrap() error { return e.Err }

// A StaleError refuses a note whose Version is not the one after the stored version: it is entered
// already, or was changed since it was read.
type StaleError struct {
	Note         string // where it lies, in words
	Stored, Want int    // the version in the file (0: none) and the only one it takes
	Given        int
}

func (e *StaleError) Error() string {
	return fmt.Sprintf("%s stands at version %d; version %d was given, only %d can be entered",
		e.Note, e.Stored, e.Given, e.Want)
}

// A CommitError says that the disk reported a failure while a write was being made.
type CommitError struct {
	Err     error // what the disk said
	Written bool  // the write was found on disk all the same, when the file was opened again
	Reopen  error // why it could not be opened again; then nobody knows whether it is written
}

func (e *CommitError) Error() string {
	switch {
	case e.Reopen != nil:
		return fmt.Sprintf("write: %v; and the file could not be opened again: %v", e.Err, e.Reopen)
	case e.Written:
		return fmt.Sprintf("write: %v; but it is on disk", e.Err)
	}
	return fmt.Sprintf("write: %v; it is not on disk", e.Err)
}

func (e *CommitError) Unwrap() []error {
	if e.Reopen != nil {
		return []error{e.Err, e.Reopen}
	}
	return []error{e.Err}
}

// A diskError is an error of which bbolt kept only the text, with the system's error found again.
type diskError struct {
	error
	system syscall.Errno
}

func (e diskError) Unwrap() []error { return []error{e.error, e.system} }

// withSystemError finds the system's error again by its text: bbolt formats it away when it makes
// the file longer or waits for the disk ("file resize error: …"), and a full disk must be told as one.
func withSystemError(err error) error {
	for _, e := range []syscall.Errno{syscall.ENOSPC, syscall.EDQUOT, syscall.EFBIG, syscall.EROFS, syscall.EIO} {
		if !errors.Is(err, e) && strings.HasSuffix(err.Error(), e.Error()) {
			return diskError{err, e}
		}
	}
	return err
}

// caught turns a panic into an error: inside bbolt it means a broken page. To be deferred.
func caught(err *error) {
	if r := recover(); r != nil {
		*err = &DamagedError{fmt.Errorf("%v", r)}
	}
}
