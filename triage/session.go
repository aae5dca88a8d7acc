package triage

import (
	"fmt"
	"time"

	"app/unband/patterns"
)

// A Denomination is the face value of a note in whole U.S. dollars.
type Denomination int

// Denominations lists every denomination a session can hold, smallest first. These are the
// Federal Reserve notes in print (U.S. Currency Education Program, uscurrency.gov).
var Denominations = []Denomination{1, 2, 5, 10, 20, 50, 100}

// String gives the denomination as it is written on a band: "$1", "$20".
func (d Denomination) String() string { return fmt.Sprintf("$%d", int(d)) }

// Valid reports whether notes of this denomination are issued.
func (d Denomination) Valid() bool {
	for _, known := range Denominations {
		if d == known {
			return true
		}
	}
	return false
}

// Top is the highest serial number a circulation note of this denomination carries today:
// 96,000,000 up to $20 (15 runs of 6,400,000), 99,200,000 for $50 and $100 (31 runs of 3,200,000).
// Source: expert posts collected as [CT1] and [CT3] ("block ends", glossary), marked published;
// older series go higher, so Top serves for odds and never refuses a note.
func (d Denomination) Top() patterns.Digits {
	if d >= 50 {
		return 99_200_000
	}
	return 96_000_000
}

// StrapSizes lists how many notes a band of this denomination may hold, the usual 100 first.
// Short and long straps exist for ones only (American Bankers Association bands: 25, 50, 200, 250).
func (d Denomination) StrapSizes() []int {
	if d == 1 {
		return []int{100, 25, 50, 200, 250}
	}
	return []int{100}
}

// A Session is a pile of straps taken from one place on one day. It may take several sittings.
type Session struct {
	ID           uint64       // given by the store, 1 or more
	Name         string       // the user's own words
	Source       string       // where the straps came from, the user's own words
	Denomination Denomination // of every note in the pile
	NewNotes     bool         // new notes from the printer, else used (circulated) ones
	Straps       int          // how many straps were taken, 1 or more
	StrapNotes   int          // notes in a strap by its band, 100 unless said

	Opened  time.Time
	Touched time.Time // last decision or change
	Closed  time.Time // zero while the session is open

	// OldBefore is the series before which a note counts as old and stops the sorter, as "2003"; empty
	// for none.
	OldBefore string

	// Whole says that every serial is typed to the end: no note is settled early.
	Whole bool

	// Watch, Wishes and Settings are the watch list, what is wanted of its notes, and the definitions the
	// session is sorted under. They are kept with the session, so that note 900 is judged by the rule of note 1.
	Watch    patterns.Watch
	Wishes   Wishes // the personal rules
	Settings patterns.Settings

	Totals Totals // over all straps, kept up with each decision

	Back Back    // of the whole pile, before it goes back to the bank
	Log  []Event // closings and reopenings, the first one first
}

// Back is what a person says when a strap or a session is counted back.
type Back struct {
	InPlace  int  // notes put in place of keepers
	Replaced bool // somebody has said InPlace, if only 0
	Counted  int  // notes counted by hand
	Said     bool // somebody has said Counted, if only 0
}

// An EventKind is what happened to a session as a whole.
type EventKind uint8

// The kinds of event. Their numbers are stored: never renumber, only add.
const (
	ClosedUncounted EventKind = 1 // closed without being counted back
	SignedOff       EventKind = 2 // counted back, found as in Back and Counted, and closed
	Reopened        EventKind = 3
)

// An Event is one trace in the history of a session.
type Event struct {
	Kind    EventKind `json:"kind"`
	At      time.Time `json:"at"`
	Back    int       `json:"back,omitempty"`    // notes that go back by what was entered
	Counted int       `json:"counted,omitempty"` // notes counted by hand, of SignedOff
}

// After gives the session after an event, which stays in its log: closed by it, or open again.
func (s Session) After(e Event) Session {
	s.Closed = e.At
	if e.Kind == Reopened {
		s.Closed = time.Time{}
	}
	s.Log = append(s.Log[:len(s.Log):len(s.Log)], e) // clipped: two sessions never write into one log
	return s
}

// Open reports whether the session has not been closed.
func (s Session) Open() bool { return s.Closed.IsZero() }

// A Strap is one band's worth of notes inside a session.
type Strap struct {
	Session uint64
	Number  int // 1 or more, in the order they are unbanded
	Band    int // notes the band promises

	Opened time.Time
	Closed time.Time // zero while the strap is being sorted
	Done   bool      // closed: nothing of it is left to sort, whatever the count was
	Back   Back      // when the rest is counted back

	// First and Last are the numbers read of the note on top and of the one at the bottom before the others were
	// looked at, empty where they were not. InSequence says that the notes between them follow one another,
	// Down that the numbers fall from the top.
	First, Last Serial
	InSequence  bool
	Down        bool

	List   string // the name of the list that notes of the strap were taken in from
	Listed int    // notes taken in beforehand and not decided yet, see Listed

	Totals Totals // over the decided notes of this strap
}

// Size is how many places of the strap are known: of the notes decided, of those listed, and of those listed that are not
// there.
func (s Strap) Size() int { return s.Totals.Notes + s.Totals.NotThere + s.Listed }

// Whole reports whether the strap is one of stars in sequence: its rest is kept, with its band, because a full
// pack is sought as a pack.
func (s Strap) Whole() bool { return s.InSequence && s.First.Star }

// Off is how many notes the strap held more (positive) or fewer (negative) than its band
// promised. It means something once the strap is Done, or its notes are listed.
func (s Strap) Off() int { return s.Totals.Notes + s.Listed - s.Band }
