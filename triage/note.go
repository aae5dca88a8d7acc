package triage

import (
	"time"

	"app/unband/patterns"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

// A Decision is what the sorter does with a note.
type Decision uint8

// The decisions. Their numbers are stored: never renumber, only add.
const (
	Undecided Decision = 0
	Spend     Decision = 1 // back to the bank or into change
	Keep      Decision = 2
	Glance    Decision = 3 // spent unread: not one digit was typed
	SetAside  Decision = 4 // suspected counterfeit: neither kept nor spent, counted apart
	LaidApart Decision = 5 // of another denomination than the pile: neither kept nor spent, counted apart
	NotThere  Decision = 6 // a list has it, and it is not in the pile: no note, but its place in the list
)

// String gives the decision in the past tense, as the screens say it.
func (d Decision) String() string {
	switch d {
	case Spend:
		return "spent"
	case Keep:
		return "kept"
	case Glance:
		return "spent unread"
	case SetAside:
		return "set aside"
	case LaidApart:
		return "laid apart"
	case NotThere:
		return "not there"
	}
	return "undecided"
}

// A Look is where a note stands in the second look.
type Look uint8

// The stages of the second look. Their numbers are stored: never renumber, only add.
const (
	NoLook     Look = 0 // not a spent near miss
	Waiting    Look = 1 // spent as a near miss, not looked at again yet
	StillSpent Look = 2 // looked at again and spent after all
	KeptAfter  Look = 3 // looked at again and kept; Decision is Keep then
)

// A Reread says how typing the doubtful digits once more from the note came out.
type Reread uint8

// The outcomes. Their numbers are stored: never renumber, only add.
const (
	NotReread     Reread = 0
	RereadSame    Reread = 1 // the same digits again
	RereadChanged Reread = 2 // a digit had been misread or mistyped
)

// A Note is one decided note, the newest version of what is known about it. Session, Strap and
// Position name it.
type Note struct {
	Session  uint64
	Strap    int // 1 or more
	Position int // place in the strap, 1 on top
	Version  int // 1 at the first decision, one more with each correction

	Serial     Serial
	Series     string            // as printed, "2017A"; empty while nobody has said it
	Facility   currency.Facility // by the FW before the plate number
	Seal       currency.Colour   // of the Treasury seal
	Second     string            // the other serial of the same note, where it was read too
	SealLetter string            // letter in the round seal
	Corner     string            // district number at the corners
	Web        bool              // taken for a note from the web press
	Sheet      string            // note position as printed
	Plate      string            // face plate number as printed
	Grade      flaws.Grade
	Defects    flaws.Defect
	Stamp      bool            // of someone who tracks bills
	Flaw       flaws.OutcomeID // where the walk through the printing errors ended
	Walk       string          // the answers on the way there, see WalkText
	Remark     string
	Where      string // where it lies
	Face       string // what one sees on the face
	Back       string // what one sees on the back
	BackPlate  string // plate number of the back
	Neighbours bool   // the notes beside it are wanted, too
	Reason     string // why it was decided so
	Decision   Decision

	Denomination Denomination // where it is another than that of the pile; else 0

	Fate       Fate      // what became of it after it was kept
	FateDay    time.Time // on which day; zero for StillHere
	FateRemark string    // to whom, for what, in the person's own words

	// Hits are the rules the serial met and Near those it missed by one change, under the session's
	// settings at the time of the decision; Watched are those of them that stopped the sorter.
	Hits    patterns.Set
	Near    patterns.Set
	Watched patterns.Set
	Ruled   Ruling // what the personal rules said at the decision

	Origin Origin // how the serial came in
	Listed string // what a list, or the sequence of the strap, has in its place, where that is not the serial

	Reread Reread
	Before string // the digits as typed first, when the re-read changed them
	Look   Look

	Decided time.Time
	Changed time.Time     // when this version was made, if that was not by deciding; else zero
	Took    time.Duration // from the note before to this decision, pauses included
}

// Tested are the rules of all that the note was looked at for: every one when its digits were typed
// to the end, the watched ones when it was settled before, none when it was passed over unread. What
// was not typed is never counted as typed.
func (n Note) Tested(all patterns.Set, watched patterns.Watch) patterns.Set {
	switch {
	case n.Serial.Digits == "":
		return 0
	case len(n.Serial.Digits) < patterns.Places:
		return watched.Hit
	}
	return all
}

// A Place names a note: which session, which strap of it, which note from the top.
type Place struct {
	Session  uint64
	Strap    int
	Position int
}

// Facts gives what is known of the note besides its serial.
func (n Note) Facts() Facts {
	return Facts{
		n.Series, n.Facility, n.Seal, n.Second, n.SealLetter, n.Corner, n.Web,
		n.Sheet, n.Plate, n.Grade, n.Defects, n.Stamp, n.Flaw, n.Walk, n.Remark, n.Where,
		n.Face, n.Back, n.BackPlate, n.Neighbours, n.Reason, n.Denomination,
	}
}

// with gives the note with other facts.
func (n Note) with(f Facts) Note {
	n.Series, n.Facility, n.Seal, n.Second = f.Series, f.Facility, f.Seal, f.Second
	n.SealLetter, n.Corner, n.Web = f.SealLetter, f.Corner, f.Web
	n.Sheet, n.Plate, n.Grade, n.Defects = f.Sheet, f.Plate, f.Grade, f.Defects
	n.Stamp, n.Flaw, n.Walk, n.Remark, n.Where = f.Stamp, f.Flaw, f.Walk, f.Remark, f.Where
	n.Face, n.Back, n.BackPlate, n.Neighbours, n.Reason = f.Face, f.Back, f.BackPlate, f.Neighbours, f.Reason
	n.Denomination = f.Denomination
	return n
}

// Place gives the note's name.
func (n Note) Place() Place { return Place{n.Session, n.Strap, n.Position} }

// Totals counts notes. Every field is a number of notes except Took, and NotThere, which counts places.
type Totals struct {
	Notes   int // decided, without those that are not there
	Kept    int
	Spent   int // glances included
	Glances int
	Aside   int // suspected counterfeit: neither kept nor spent
	Apart   int // of another denomination than the pile: neither kept nor spent

	NotThere int // listed, and not in the pile

	Near    int // spent as a near miss at first, whatever the second look said
	Waiting int // of Near: not yet looked at again
	Hits    int // notes that met a watched rule, and stars, whatever was decided
	Stars   int
	Reread  int // re-reads made
	Changed int // of Reread: a digit was changed by it
	Against int // decided against the personal rules

	Respent int // of Spent: kept at first and spent after all
	Sold    int // of Kept
	Traded  int // of Kept
	Grading int // of Kept: sent to be graded

	Took time.Duration
}

// Totals counts this one note.
func (n Note) Totals() Totals {
	if n.Decision == NotThere {
		return Totals{NotThere: 1, Took: n.Took}
	}
	t := Totals{Notes: 1, Took: n.Took}
	switch n.Decision {
	case Keep:
		t.keeper(n.Fate)
	case Spend:
		t.Spent = 1
	case Glance:
		t.Spent, t.Glances = 1, 1
	case SetAside:
		t.Aside = 1
	case LaidApart:
		t.Apart = 1
	}
	if n.Look != NoLook {
		t.Near = 1
	}
	if n.Look == Waiting {
		t.Waiting = 1
	}
	if n.Against() {
		t.Against = 1
	}
	if n.Watched&n.Hits != 0 || n.Serial.Star {
		t.Hits = 1
	}
	if n.Serial.Star {
		t.Stars = 1
	}
	switch n.Reread {
	case RereadSame:
		t.Reread = 1
	case RereadChanged:
		t.Reread, t.Changed = 1, 1
	}
	return t
}

// keeper counts a note that was kept, by what became of it.
func (t *Totals) keeper(f Fate) {
	if f == SpentAfter {
		t.Spent, t.Respent = 1, 1
		return
	}
	t.Kept = 1
	switch f {
	case Sold:
		t.Sold = 1
	case Traded:
		t.Traded = 1
	case SentGrading:
		t.Grading = 1
	}
}

// Add gives the totals of both.
func (t Totals) Add(u Totals) Totals { return t.combine(u, 1) }

// Sub gives t without u: what remains when an earlier version of a note is taken out.
func (t Totals) Sub(u Totals) Totals { return t.combine(u, -1) }

func (t Totals) combine(u Totals, sign int) Totals {
	return Totals{
		Notes:   t.Notes + sign*u.Notes,
		Kept:    t.Kept + sign*u.Kept,
		Spent:   t.Spent + sign*u.Spent,
		Glances: t.Glances + sign*u.Glances,
		Aside:   t.Aside + sign*u.Aside,
		Apart:   t.Apart + sign*u.Apart,

		NotThere: t.NotThere + sign*u.NotThere,

		Near:    t.Near + sign*u.Near,
		Waiting: t.Waiting + sign*u.Waiting,
		Hits:    t.Hits + sign*u.Hits,
		Stars:   t.Stars + sign*u.Stars,
		Reread:  t.Reread + sign*u.Reread,
		Changed: t.Changed + sign*u.Changed,
		Against: t.Against + sign*u.Against,
		Respent: t.Respent + sign*u.Respent,
		Sold:    t.Sold + sign*u.Sold,
		Traded:  t.Traded + sign*u.Traded,
		Grading: t.Grading + sign*u.Grading,
		Took:    t.Took + time.Duration(sign)*u.Took,
	}
}
