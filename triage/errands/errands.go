// Package errands finds what is left to do when the notes are sorted: stamps to look up, errors to study
// or show, stars to look up, second looks left open, the pile to take back, and a suspected counterfeit to
// report.
//
// An errand follows from the notes by itself; only that it was done is written down, with its date. The
// package is pure: no clock, no files.
package errands

import (
	"cmp"
	"slices"
	"time"

	"app/unband/triage"
)

// A Kind is what is to be done.
type Kind uint8

// The kinds. Their numbers are stored: never renumber, only add.
const (
	NoKind Kind = 0
	Stamp  Kind = 1 // of a note: look up the stamp of a bill-tracking hobbyist
	Study  Kind = 2 // of a note: study an error, or show it to someone who knows
	Star   Kind = 3 // of a note: look the star up
	Look   Kind = 4 // of a session: its near misses wait for the second look
	Pile   Kind = 5 // of a session: what was spent is to be taken back
	Report Kind = 6 // of a note: one set aside as suspected counterfeit is to be handed to the authorities
)

// Kinds lists every kind, in the order in which they are shown.
var Kinds = []Kind{Report, Pile, Look, Study, Stamp, Star}

// String says what is to be done.
func (k Kind) String() string {
	switch k {
	case Stamp:
		return "look the stamp up"
	case Study:
		return "study the error, or show it"
	case Star:
		return "look the star up"
	case Look:
		return "take the second look"
	case Pile:
		return "take the pile back"
	case Report:
		return "report the note set aside"
	}
	return "an errand that this version does not know"
}

// OfNote reports whether the errand is about one note, not a session.
func (k Kind) OfNote() bool { return k == Stamp || k == Study || k == Star || k == Report }

// An Errand is one thing to do.
type Errand struct {
	Kind   Kind
	Place  triage.Place // the note; Strap and Position are 0 for an errand of a session
	Since  time.Time    // when it came up
	Done   time.Time    // zero while it is open
	What   string       // what it was about, in words, kept when it is done
	Remark string       // how it came out, in the person's own words
}

// Of gives the errands that one note bears by what is known of it, done or not. A note that is gone is
// not studied any more; its stamp can be looked up all the same, by the serial. Of one that was not there nothing is to do.
func Of(n triage.Note) []Kind {
	var kinds []Kind
	if n.Decision == triage.NotThere {
		return nil
	}
	if n.Decision == triage.SetAside {
		kinds = append(kinds, Report)
	}
	if n.Stamp {
		kinds = append(kinds, Stamp)
	}
	if n.Flaw.Keep() && n.Decision == triage.Keep && !n.Fate.Gone() {
		kinds = append(kinds, Study)
	}
	return kinds
}

// Work is what there is to look through.
type Work struct {
	Notes    []triage.Note // that bear an errand
	Stars    []triage.Note // that no list of runs has an answer for
	Sessions []Session
}

// A Session is a session with what its errands rest on.
type Session struct {
	Session triage.Session
	Straps  []triage.Strap
	Waiting []triage.Note // near misses for the second look
}

// Open gives what is to be done. done tells of an errand whether it was done already, and when. The
// errands come by kind in the order of Kinds, then the oldest first.
func Open(w Work, done func(Kind, triage.Place) time.Time) []Errand {
	var all []Errand
	add := func(k Kind, p triage.Place, since time.Time) {
		if d := done(k, p); d.IsZero() || k == Look && since.After(d) || k == Pile && since.After(d) {
			all = append(all, Errand{Kind: k, Place: p, Since: since})
		}
	}
	for _, n := range w.Notes {
		for _, k := range Of(n) {
			add(k, n.Place(), latest(n.Decided, n.Changed))
		}
	}
	for _, n := range w.Stars {
		add(Star, n.Place(), n.Decided)
	}
	for _, s := range w.Sessions {
		p := triage.Place{Session: s.Session.ID}
		if len(s.Waiting) > 0 && s.Session.Open() {
			since := time.Time{}
			for _, n := range s.Waiting {
				since = latest(since, n.Decided)
			}
			add(Look, p, since)
		}
		if since, ready := s.sorted(); ready {
			add(Pile, p, since)
		}
	}
	slices.SortStableFunc(all, func(a, b Errand) int {
		return cmp.Or(cmp.Compare(slices.Index(Kinds, a.Kind), slices.Index(Kinds, b.Kind)), a.Since.Compare(b.Since))
	})
	return all
}

// sorted reports since when nothing of the session is left to sort and something of it was spent.
func (s Session) sorted() (since time.Time, ok bool) {
	if s.Session.Open() && len(s.Waiting) > 0 { // some of it may be kept after all
		return since, false
	}
	if s.Session.Totals.Spent == 0 || len(s.Straps) == 0 || s.Session.Open() && len(s.Straps) < s.Session.Straps {
		return since, false
	}
	for _, t := range s.Straps {
		if !t.Done {
			return since, false
		}
		since = latest(since, t.Closed)
	}
	return since, true
}

func latest(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}
