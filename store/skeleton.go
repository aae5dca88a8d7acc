package store

import (
	"errors"

	"app/unband/patterns"
	"app/unband/triage"
)

var errLater = errors.New("not yet")

type queue struct{}
type writeTx struct{}

func (AddSession) apply(*writeTx) (Result, error) { return Result{}, errLater }
func (PutSession) apply(*writeTx) (Result, error) { return Result{}, errLater }
func (OpenStrap) apply(*writeTx) (Result, error)  { return Result{}, errLater }
func (CloseStrap) apply(*writeTx) (Result, error) { return Result{}, errLater }
func (Decide) apply(*writeTx) (Result, error)     { return Result{}, errLater }
func (SetHand) apply(*writeTx) (Result, error)    { return Result{}, errLater }

// DefaultPath is where the file lies unless another is named.
func DefaultPath() (string, error) { return "", errLater }

// Open opens the file, creating it if it does not exist.
func Open(path string) (*Store, error) { return nil, errLater }

// Close makes the writes that are still queued, then closes the file. It may be called twice.
func (s *Store) Close() error { return nil }

// Sessions gives all sessions, open ones first, then by Touched, newest first.
func (s *Store) Sessions() ([]triage.Session, error) { return nil, errLater }

// Session gives one session, or ErrNoSession.
func (s *Store) Session(id uint64) (triage.Session, error) { return triage.Session{}, errLater }

// Straps gives the straps of a session by number.
func (s *Store) Straps(session uint64) ([]triage.Strap, error) { return nil, errLater }

// Notes gives the notes of a strap by position.
func (s *Store) Notes(session uint64, strap int) ([]triage.Note, error) { return nil, errLater }

// Versions gives the earlier versions of a note, oldest first.
func (s *Store) Versions(session uint64, strap, position int) ([]triage.Note, error) {
	return nil, errLater
}

// Waiting gives the notes of a session that wait for the second look, in pile order.
func (s *Store) Waiting(session uint64) ([]triage.Note, error) { return nil, errLater }

// Met gives the notes with these eight digits, newest first, at most limit (0: all).
func (s *Store) Met(d patterns.Digits, limit int) ([]triage.Note, error) { return nil, errLater }

// Hand gives the serial that was complete but not decided; ok is false when there is none.
func (s *Store) Hand(session uint64, strap int) (serial triage.Serial, ok bool, err error) {
	return serial, false, errLater
}

// A Report is what Check found.
type Report struct {
	Sessions, Straps, Notes, Versions int
	Problems                          []string
}

// Check reads the whole file.
func (s *Store) Check() (Report, error) { return Report{}, errLater }

// Explain says what happened, what is safe and what to do next.
func Explain(err error) (what, safe, next string) { return "", "", "" }
