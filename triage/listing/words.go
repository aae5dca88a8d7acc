package listing

import (
	"fmt"
	"sort"
	"strconv"
	"strings"

	"app/unband/patterns"
	"app/unband/triage"
)

// Sentences says what came of a list in plain words.
func (t Taken) Sentences() []string {
	doubts := 0
	for i := range t.Notes {
		if t.Notes[i].Doubt != None {
			doubts++
		}
	}
	said := []string{triage.Plural(len(t.Notes), "note", "notes") + " in the list."}
	if doubts > 0 {
		said = append(said, triage.Plural(doubts, "is", "are")+" to be looked at.")
	}
	said = append(said, t.Remarks()...)
	if n := len(t.LeftOut); n > 0 {
		said = append(said, triage.Plural(n, "line was", "lines were")+" left out:")
		for _, l := range t.LeftOut[:min(n, mostSaid)] {
			said = append(said, l.String()+".")
		}
		if n > mostSaid {
			said = append(said, fmt.Sprintf("and %s.", triage.Plural(n-mostSaid, "more", "more")))
		}
	}
	return said
}

// Remarks says what was taken otherwise than the list has it, and in which lines.
func (t Taken) Remarks() (said []string) {
	for _, s := range []struct {
		some Some
		what string
	}{
		{t.Repaired.Zero, "the letter O among the digits was taken as 0"},
		{t.Repaired.Eight, "the letter B among the digits was taken as 8"},
		{t.Repaired.Restored, "leading zeros lost in a spreadsheet were put back"},
		{t.Repaired.Letter, "a letter was not read, and left out"},
		{t.Beside, "another column has a different serial, which was not taken"},
	} {
		if s.some.Lines > 0 {
			said = append(said, s.some.in()+" "+s.what+".")
		}
	}
	if b := t.Blank; b.Lines == 1 {
		said = append(said, "A blank line was passed over: line "+triage.Thousands(b.First)+".")
	} else if b.Lines > 1 {
		said = append(said, fmt.Sprintf("%s blank lines were passed over, the first is line %s.", triage.Thousands(b.Lines), triage.Thousands(b.First)))
	}
	return said
}

// A Pile says how the notes of a list lie, for a person who has it in hand and not the list. Both are asked with
// indices in Taken.Notes.
type Pile struct {
	Note   func(i int) string // names a note, as "note 7"
	Behind func(n int) string // says where what stood behind the first n notes of the list lies, as "behind note 7"
}

// Why says why a note is to be looked at, "" for no reason. Of one that repeats a serial it names the first with that
// serial by its place in the pile, and by its line.
func (t Taken) Why(i int, p Pile) string {
	n := &t.Notes[i]
	if n.Of < 0 {
		return n.Reason
	}
	return andAlso(n.besides, t.same(n.Of, p))
}

// Told says why a line is left out, and of one that may be a note where in the pile that would be.
func (t Taken) Told(l LeftOut, p Pile) string {
	line, reason := "line "+triage.Thousands(l.Line), l.Reason
	if !l.Kind.Sure() && len(t.Notes) > 0 {
		line += ", " + p.Behind(sort.Search(len(t.Notes), func(i int) bool { return t.Notes[i].Line > l.Line }))
	}
	if l.Of >= 0 {
		reason = t.same(l.Of, p)
	}
	return line + ": " + reason + ": " + l.Text
}

func (t Taken) same(i int, p Pile) string {
	return fmt.Sprintf("the same serial as %s (line %s)", p.Note(i), triage.Thousands(t.Notes[i].Line))
}

// mostSaid is how many lines left out are said one by one.
const mostSaid = 1000

// in says where something happened.
func (s Some) in() string {
	if s.Lines == 1 {
		return "In line " + triage.Thousands(s.First)
	}
	return fmt.Sprintf("In %s lines, the first is line %s,", triage.Thousands(s.Lines), triage.Thousands(s.First))
}

// String gives "line 7: a totals line: TOTAL 100".
func (l LeftOut) String() string {
	return fmt.Sprintf("line %s: %s: %s", triage.Thousands(l.Line), l.Reason, l.Text)
}

// Notices says what was taken otherwise than written, and what is missing.
func (n Note) Notices() []string {
	var said []string
	if n.zeros != 0 {
		said = append(said, "the letter O was taken as the digit 0 at "+places(n.zeros))
	}
	if n.eights != 0 {
		said = append(said, "the letter B was taken as the digit 8 at "+places(n.eights))
	}
	if n.Repairs.Has(ZerosRestored) {
		said = append(said, "leading zeros lost in a spreadsheet were put back")
	}
	if n.Repairs.Has(LetterUnread) {
		said = append(said, "a letter was not read (?), and left out")
	} else if s := n.Serial; s.Prefix != "" && s.Suffix == 0 && !s.Star {
		said = append(said, triage.Notice{Kind: triage.NothingBehind}.String())
	}
	return said
}

// places lists the places of a mask: "place 2", "places 2, 4".
func places(mask uint8) string {
	var at []string
	for i := range patterns.Places {
		if mask>>i&1 == 1 {
			at = append(at, strconv.Itoa(i+1))
		}
	}
	if len(at) == 1 {
		return "place " + at[0]
	}
	return "places " + strings.Join(at, ", ")
}
