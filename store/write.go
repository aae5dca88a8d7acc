package store

import (
	"time"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
)

// A Write is one change: AddSession, PutSession, DropSession, OpenStrap, CloseStrap, List, PutListed, Unlist, DecideRest, Decide, Revise, PutBack, TakeOut,
// SetHand, PutChoices, PutRuns, DropRuns or PutErrands.
type Write interface {
	// apply makes the change inside a transaction, or refuses it with an error; the transaction is
	// rolled back then. Also given is the pair of the file that this write alone brings about: who
	// finds it knows that the write was made.
	apply(tx *bolt.Tx) (Result, entry, error)
}

// AddSession enters a new session. The store gives it its ID; its totals start empty.
type AddSession struct{ Session triage.Session }

// PutSession replaces what a person can change about a session: its words, the denomination, the number of straps,
// watch list and settings, and whether it is closed. Opened and Totals stay as they are stored, and
// Touched never goes back, so a screen may hand in an older copy. When the notes in a strap are others than before, the
// bands of the straps that are there say so too, all but those in sequence, whose first and last number have proved theirs.
type PutSession struct{ Session triage.Session }

// OpenStrap enters the next strap of an open session, whose last one must be done. Number is the one after the last, or 0 for
// "the next"; the totals start empty.
type OpenStrap struct{ Strap triage.Strap }

// CloseStrap marks a strap as done, whatever its count is, and forgets the serial in hand. It is refused while
// notes of the strap are listed and not decided.
type CloseStrap struct {
	Session uint64
	Number  int
	At      time.Time
}

// Decide enters a note (Version 1, the position after the last) or a correction of an earlier one
// (the Version after the stored one). It is refused when the session is closed, unless it is a correction
// by which no count changes but that of what became of a keeper, such as the series of a star; a new note also when the strap is done. The serial in hand is forgotten when a new note is entered.
type Decide struct{ Note triage.Note }

// PutBack remembers what was counted back of a strap of an open session, or with Strap 0 of the whole pile.
type PutBack struct {
	Session uint64
	Strap   int
	Back    triage.Back
}

// TakeOut takes the last note of a strap that is being sorted out again, as when a key was pressed
// once too often. Version is that of the note as it is stored. What is taken out is kept aside.
type TakeOut struct {
	Place   triage.Place
	Version int
	At      time.Time
}

// PutChoices remembers what the person has chosen for sorting.
type PutChoices struct{ Choices triage.Choices }

// SetHand remembers the note whose serial is complete but which is not decided; an empty serial
// forgets it.
type SetHand struct {
	Session uint64
	Strap   int
	Held    triage.Held
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
