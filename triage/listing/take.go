package listing

import (
	"app/unband/patterns"
	"app/unband/triage"
)

// An Answer is what a person says to a question about the whole list.
type Answer uint8

// The answers.
const (
	Unanswered Answer = iota
	Yes
	No
)

// Answers are what a person says about a list. While a question is unanswered, lines are taken as if
// it were No.
type Answers struct {
	Denomination triage.Denomination // of the pile; 0 while it is not known, then no line is of another one

	// Were leading zeros lost in a spreadsheet? Yes: a cell of one to seven digits and nothing else is
	// filled up to eight. No: it is a note with an unread serial.
	Zeros Answer
	// Are lines that repeat an earlier serial notes? Yes: both are to be looked at. No: left out.
	Twice Answer
	// Are lines of another denomination in the pile all the same? Yes: they are to be looked at. No:
	// left out.
	Others Answer
}

// Questions says how many lines each question is about, answered or not.
type Questions struct {
	Zeros, Twice, Others int
	open                 bool
}

// Open reports whether a question is asked and unanswered.
func (q Questions) Open() bool { return q.open }

// A Doubt says why a note is to be looked at.
type Doubt uint8

// The doubts.
const (
	None         Doubt = iota
	UnreadDigits       // the machine has put ? for digits: they are to be read from the note
	Unreadable         // not eight digits, or letters among them: the whole serial is to be read
	Repeats            // the serial stood in an earlier line
	OtherFace          // the list says another denomination than that of the pile
)

// Repairs is a set of what was taken otherwise than the list has it.
type Repairs uint8

// The repairs.
const (
	OAsZero       Repairs = 1 << iota // the letter O among the digits was taken as 0
	BAsEight                          // the letter B among the digits was taken as 8
	ZerosRestored                     // leading zeros lost in a spreadsheet were put back
	LetterUnread                      // a letter was not read (?), and left out; the digits are whole
)

// Has reports whether all of some repairs are in the set.
func (r Repairs) Has(some Repairs) bool { return r&some == some }

// A Note is a line that stands for a note.
type Note struct {
	Line   int           // from 1, as an editor counts
	Text   string        // what the list has for the serial, printable
	Serial triage.Serial // Digits are empty, or eight; empty where the serial must be read from the note
	Doubt  Doubt
	// Unread has eight characters, digits and ?, for UnreadDigits; the letters that were read are in Serial.
	Unread  string
	Reason  string // for doubts, in plain words; Taken.Why names the pile, too
	Repairs Repairs
	Short   bool // one to seven digits and nothing else: what Answers.Zeros is about
	Of      int  // for Repeats: index in Taken.Notes of the first with the serial, else -1

	zeros, eights uint8  // places of letters taken as digits, bit 0 the first
	besides       string // for Repeats: the reason without the repetition
}

// A Kind says what a line that is no note is.
type Kind uint8

// The kinds of line that is no note. Header, Totals and Heading are surely none.
const (
	NoSerial  Kind = iota // nothing in it looks like a serial
	Header                // names the columns
	Totals                // a sum or a count
	Heading               // a page, a day, a time, a ruler
	Twice                 // repeats an earlier line
	OtherPile             // of another denomination
)

// Sure reports whether such a line can be no note at all.
func (k Kind) Sure() bool { return k == Header || k == Totals || k == Heading }

// A LeftOut is a line that is no note.
type LeftOut struct {
	Line   int
	Kind   Kind
	Text   string // of the line, printable, shortened
	Reason string // in plain words, safe on any terminal; Taken.Told names the pile, too
	Of     int    // for Twice: index in Taken.Notes of the first with the serial, else -1
}

// Some is how many lines something happened in, and the first of them.
type Some struct{ Lines, First int }

func (s *Some) add(line int) {
	if s.Lines == 0 {
		s.First = line
	}
	s.Lines++
}

// Repaired counts lines by what was taken otherwise than written.
type Repaired struct{ Zero, Eight, Restored, Letter Some }

func (r *Repaired) add(n Note) {
	for _, c := range []struct {
		repair Repairs
		some   *Some
	}{{OAsZero, &r.Zero}, {BAsEight, &r.Eight}, {ZerosRestored, &r.Restored}, {LetterUnread, &r.Letter}} {
		if n.Repairs.Has(c.repair) {
			c.some.add(n.Line)
		}
	}
}

// Taken is what came of a list. Its notes, the lines left out and the blank ones are all its lines.
type Taken struct {
	Notes    []Note // in the order of the list, which is that of the pile
	LeftOut  []LeftOut
	Blank    Some // lines that say nothing, or have nothing but empty cells
	Asked    Questions
	Repaired Repaired
	Beside   Some // lines with a second, different serial in another column, which was not taken
}

// Take reads every line under the answers. It changes nothing and may be called for each change of an
// answer.
func (l *List) Take(a Answers) Taken {
	t := taking{answers: a, reader: l.Reader(a), first: make(map[key]int32, len(l.lines))}
	t.Notes = make([]Note, 0, len(l.lines))
	for i := range l.lines {
		note, left := t.reader.Line(i+1, l.line(i+1))
		switch {
		case note != nil:
			t.take(note)
		case left != nil:
			t.LeftOut = append(t.LeftOut, *left)
		default:
			t.Blank.add(i + 1)
		}
	}
	t.Asked.open = t.Asked.Zeros > 0 && a.Zeros == Unanswered ||
		t.Asked.Twice > 0 && a.Twice == Unanswered || t.Asked.Others > 0 && a.Others == Unanswered
	return t.Taken
}

// A taking is a Take under way.
type taking struct {
	Taken
	answers Answers
	reader  *Reader
	first   map[key]int32 // index of the first note with a serial
}

// A key is a whole serial of a denomination, in few bytes.
type key struct {
	digits     [patterns.Places]byte
	prefix     [2]byte
	suffix     byte
	star, face uint8
}

func keyOf(s triage.Serial, face triage.Denomination) key {
	k := key{suffix: s.Suffix, face: uint8(face)}
	copy(k.digits[:], s.Digits)
	copy(k.prefix[:], s.Prefix)
	if s.Star {
		k.star = 1
	}
	if s.StarFront {
		k.star = 2
	}
	return k
}

// take takes a note in, or leaves its line out as the answers say.
func (t *taking) take(n *Note) {
	r := t.reader
	if n.Short {
		t.Asked.Zeros++
	}
	foreign := r.face != 0 && t.answers.Denomination != 0 && r.face != t.answers.Denomination
	if foreign {
		t.Asked.Others++
		if t.answers.Others != Yes {
			t.leave(n, OtherPile, "a "+r.face.String()+" by the list", -1)
			return
		}
		t.doubt(n, OtherFace, "a "+r.face.String()+" by the list")
	}
	if n.Serial.Digits != "" {
		k := keyOf(n.Serial, r.face)
		if first, again := t.first[k]; again {
			t.Asked.Twice++
			reason := "the same serial as line " + triage.Thousands(t.Notes[first].Line)
			if t.answers.Twice != Yes {
				t.leave(n, Twice, reason, int(first))
				return
			}
			n.besides, n.Of = n.Reason, int(first)
			t.doubt(n, Repeats, reason)
		} else {
			t.first[k] = int32(len(t.Notes))
		}
	}
	if r.second {
		t.Beside.add(n.Line)
	}
	t.Repaired.add(*n)
	t.Notes = append(t.Notes, *n)
}

// doubt adds a doubt. A serial that must be read anyway stays the first reason.
func (t *taking) doubt(n *Note, d Doubt, reason string) {
	if n.Doubt == None || n.Doubt == OtherFace {
		n.Doubt = d
	}
	n.Reason = andAlso(n.Reason, reason)
}

func andAlso(reason, more string) string {
	if reason == "" {
		return more
	}
	return reason + "; " + more
}

func (t *taking) leave(n *Note, k Kind, reason string, of int) {
	t.LeftOut = append(t.LeftOut, LeftOut{n.Line, k, n.Text, reason, of})
}
