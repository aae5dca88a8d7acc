package triage

import (
	"cmp"
	"fmt"
	"slices"

	"app/unband/patterns"
)

// A Sequence is a strap whose serials follow one another, as those of new notes do. A note in it may be
// a star all the same: then it stands for the number that is missing at its place.
type Sequence struct {
	First Serial // of note 1, on top: eight digits, and letters as far as they were typed
	Down  bool   // the numbers fall from the top of the pile
	Notes int    // 1 or more
}

// Plus gives the serial n numbers on in the same block, with letters and star as they are; n may be
// below zero. ok is false where no such serial is issued: outside 00000001 to 99999999. There the numbers
// do not begin again, the letter changes.
func (s Serial) Plus(n int) (next Serial, ok bool) {
	d, whole := s.Whole()
	if !whole || n <= -patterns.Total || n >= patterns.Total {
		return Serial{}, false
	}
	to := int(d) + n
	if to < 1 || to >= patterns.Total {
		return Serial{}, false
	}
	s.Digits = patterns.Digits(to).String()
	return s, true
}

// At gives the serial at a position, from 1. Positions above Notes lie in the straps that follow, those
// below 1 in the straps before; ok is false outside 00000001 to 99999999.
func (q Sequence) At(position int) (s Serial, ok bool) {
	switch {
	case position <= -patterns.Total:
		return Serial{}, false
	case q.Down:
		return q.First.Plus(1 - position)
	}
	return q.First.Plus(position - 1)
}

// Last gives the serial of the note at the bottom.
func (q Sequence) Last() (s Serial, ok bool) {
	if q.Notes < 1 {
		return Serial{}, false
	}
	return q.At(q.Notes)
}

// Stars reports whether the strap is one of stars. It is kept whole with its band, and its first and
// last number are written down: buyers want the pack as a pack.
func (q Sequence) Stars() bool { return q.First.Star }

// fullStrap is how many notes a strap holds (Federal Reserve Banks, currency deposit rules).
const fullStrap = 100

// Begins says what is odd about the first number of a full strap, or nothing: from the older machines
// the numbers of a new strap run from one that ends in 01 to one that ends in 00. Straps from the newer
// ones begin anywhere, so it is a remark and no more (Coin World on star notes; Federal Reserve text of
// July 2023, both on the machines).
func (q Sequence) Begins() string {
	d, whole := q.First.Whole()
	if !whole || q.Notes < fullStrap-mostOff { // bands of 25 and 50 hold part of a strap
		return ""
	}
	words, want, other, turned := "a strap of new notes usually begins with a number that ends in 01", 1, 0, "fall"
	if q.Down {
		words, want, other, turned = "where the numbers fall, a strap of new notes usually begins with one that ends in 00", 0, 1, "rise"
	}
	switch ends := int(d % fullStrap); ends {
	case want:
		return ""
	case other:
		return fmt.Sprintf("%s; this one ends in %02d: do they %s? Look at the second note", words, ends, turned)
	default:
		return fmt.Sprintf("%s; this one ends in %02d: read it again, or was something taken off? Straps from newer machines begin anywhere", words, ends)
	}
}

// A ProofKind says what the serial of the last note shows about a sequence.
type ProofKind uint8

// The kinds of proof.
const (
	Gaps         ProofKind = iota // the last number does not follow from the first
	Proved                        // it does
	Turned                        // it does if the numbers run the other way
	OtherCount                    // it does if there are some notes more or less, either way
	OtherLetters                  // the digits do, but the letters or the star are others
	SameNumber                    // it is the first number again
	StarAtEnd                     // it does not, and only one of the two is a star: that has a number of its own
	NotWhole                      // one of the two has not eight digits, or is all zeros
)

// mostOff is how many notes more or less than were said still make it a matter of counting.
const mostOff = 20

// A Proof tells whether a sequence holds, once the serial of the last note was read from the note itself
// and not shown before: two reads and no guess.
type Proof struct {
	Kind     ProofKind
	Claimed  Sequence // as it was said
	Sequence Sequence // what it is if both numbers are right: of Proved, Turned and OtherCount; else as claimed
	Last     Serial   // as it was typed
}

// Proved reports whether the sequence holds.
func (p Proof) Proved() bool { return p.Kind == Proved }

// Prove compares the serial read from the last note with the sequence. Letters that were typed of one of
// the two only are taken for both.
func (q Sequence) Prove(last Serial) Proof {
	p := Proof{Claimed: q, Sequence: q, Last: last}
	first, whole := q.First.Whole()
	end, ended := last.Whole()
	if !whole || !ended || first == 0 || end == 0 || q.Notes < 1 {
		p.Kind = NotWhole
		return p
	}
	letters, fit := joinLetters(q.First, last)
	found := Sequence{First: letters, Down: end < first, Notes: apart(first, end) + 1}
	if found.Notes == 1 { // it runs neither way
		found.Down = q.Down
	}
	p.Kind = q.compare(found)
	switch {
	case fit && (p.Kind == Gaps || p.Kind == SameNumber):
	case fit:
		p.Sequence = found
	case p.Kind == Proved:
		p.Kind = OtherLetters
	default:
		p.Kind = Gaps
	}
	if p.Kind == Gaps && q.First.Star != last.Star {
		p.Kind = StarAtEnd
	}
	return p
}

// compare says how the sequence between the two numbers stands to the one that was said, by direction and
// count alone.
func (q Sequence) compare(found Sequence) ProofKind {
	switch off := found.Notes - q.Notes; {
	case found.Down == q.Down && off == 0:
		return Proved
	case found.Notes == 1:
		return SameNumber
	case off == 0:
		return Turned
	case -mostOff <= off && off <= mostOff:
		return OtherCount
	}
	return Gaps
}

func apart(a, b patterns.Digits) int { return max(int(a)-int(b), int(b)-int(a)) }

// front is what stands before the digits, and back what stands behind; empty where it was not typed.
func (s Serial) front() string {
	if s.StarFront {
		return "*" + s.Prefix
	}
	return s.Prefix
}

func (s Serial) back() string {
	switch {
	case s.Star && !s.StarFront:
		return "*"
	case s.Suffix != 0:
		return string(rune(s.Suffix))
	}
	return ""
}

// joinLetters gives the first serial with the letters of either; ok is false where they differ.
func joinLetters(first, last Serial) (s Serial, ok bool) {
	fit := func(a, b string) bool { return a == "" || b == "" || a == b }
	if !fit(first.front(), last.front()) || !fit(first.back(), last.back()) {
		return first, false
	}
	s = first
	if first.front() == "" {
		s.Prefix, s.StarFront = last.Prefix, last.StarFront
	}
	if first.back() == "" {
		s.Suffix = last.Suffix
	}
	s.Star = first.Star || last.Star
	return s, true
}

// String says what the two numbers mean, and what to do. Where the last number does not follow it tells
// none: the second reading is no reading if one knows what should come out.
func (p Proof) String() string {
	switch p.Kind {
	case Proved:
		return fmt.Sprintf("the last number follows from the first: %s to %s, %s", p.Sequence.First, p.end(), Plural(p.Sequence.Notes, "note", "notes"))
	case Turned:
		return fmt.Sprintf("the last number is right if the numbers %s from the top of the pile, not if they %s: look at the second note, then read both again", p.Sequence.way(), p.Claimed.way())
	case OtherCount:
		turned := ""
		if p.Sequence.Down != p.Claimed.Down {
			turned = ", and the numbers would " + p.Sequence.way()
		}
		return fmt.Sprintf("by these two numbers that would be %s, not %s%s: read both again, and count the notes. If all that stands, one of the newer machines has left gaps, or something is missing: sort it note by note",
			Plural(p.Sequence.Notes, "note", "notes"), Thousands(p.Claimed.Notes), turned)
	case OtherLetters:
		return fmt.Sprintf("the digits follow, but %s on the first note and %s on the last are not of one block: read the letters of both again", lettersOnly(p.Claimed.First), lettersOnly(p.Last))
	case SameNumber:
		return "that is the number of the first note again: take the note at the bottom in your hand and read it from there"
	case StarAtEnd:
		return "the last number does not follow from the first, and only one of the two was typed as a star. A star stands for another number and proves nothing: read both again. If they stand so, sort the strap note by note, as an ordinary strap"
	case NotWhole:
		return "a number with all its digits, and not all of them zeros, is needed from the first note and from the last"
	}
	return "the last number does not follow from the first: read both again, the one on top first. If they stand so, something is missing or mixed in, or the strap is from one of the newer machines, which leave gaps: sort it note by note, as an ordinary strap"
}

// end is the last number with the letters of both.
func (p Proof) end() Serial {
	s, _ := p.Sequence.Last()
	return s
}

// way says how the numbers run from the top.
func (q Sequence) way() string {
	if q.Down {
		return "fall"
	}
	return "rise"
}

// lettersOnly writes a serial with an ellipsis for the digits.
func lettersOnly(s Serial) string { return s.front() + "…" + s.back() }

// A Coming is a note ahead of a strap in sequence, in the straps that go on where it ends.
type Coming struct {
	On         int // how many notes on from the last note of the strap; 1 is the first of the next
	Serial     Serial
	Judgement  patterns.Judgement
	Rule       patterns.Rule // the rarest watched rule it meets
	Neighbours bool          // the notes before and after it are sought with it: a ladder, a low number
}

// Ahead gives the hits of the watched rules among so many numbers after the strap, the nearest first.
// It ends with 99999999, or going down with 00000001. Whether the straps at hand go on there, and
// whether the numbers were ever printed, is for the caller to know; a star may lie in the place of any.
func (q Sequence) Ahead(book *patterns.Book, watch patterns.Watch, notes int) []Coming {
	var list []Coming
	for on := 1; on <= notes; on++ {
		s, ok := q.At(q.Notes + on)
		d, _ := s.Whole()
		if !ok {
			break
		}
		match, _ := book.Sets(d)
		if match&watch.Hit == 0 {
			continue
		}
		j := book.Judge(d)
		list = append(list, Coming{On: on, Serial: s, Judgement: j, Rule: leading(book, j, watch.Hit),
			Neighbours: match&watch.Hit&neighbourly != 0 && !s.Star})
	}
	return list
}

// leading gives the rarest rule of the set that the serial meets, by the name it is told by where that is one.
func leading(book *patterns.Book, j patterns.Judgement, watched patterns.Set) patterns.Rule {
	for _, f := range j.Findings {
		if r, ok := book.Rule(f.Rule); ok && watched.Has(f.Rule) {
			return r
		}
	}
	for _, r := range book.Rules() { // as a radar, by one who watches radars and not solids
		if (j.Match() & watched).Has(r.ID) {
			return r
		}
	}
	return patterns.Rule{}
}

// String says what comes and where: "a radar 37 notes on: F20144102A".
func (c Coming) String() string {
	said := fmt.Sprintf("%s %s on: %s", couldName(c.Rule, false), Plural(c.On, "note", "notes"), c.Serial)
	switch {
	case c.Neighbours && c.On == 1:
		said += "; keep the notes beside it, too: the last one of this strap is one of them"
	case c.Neighbours:
		said += "; keep the notes beside it, too"
	}
	return said
}

// Runs sorts serials into runs of one block, as when straps were dropped and mixed: the lowest number
// of each first, and a number twice where it was given twice. A run goes on over at most twenty missing
// numbers. Letters count as typed; what has not eight digits comes last, each by itself.
func Runs(serials []Serial) [][]Serial {
	sorted := slices.Clone(serials)
	slices.SortStableFunc(sorted, compareSerials)
	var list [][]Serial
	for i, s := range sorted {
		if i > 0 && goesOn(sorted[i-1], s) {
			list[len(list)-1] = append(list[len(list)-1], s)
			continue
		}
		list = append(list, []Serial{s})
	}
	return list
}

func compareSerials(a, b Serial) int {
	_, whole := a.Whole()
	switch _, other := b.Whole(); {
	case whole && !other:
		return -1
	case other && !whole:
		return 1
	}
	return cmp.Or(cmp.Compare(a.front(), b.front()), cmp.Compare(a.back(), b.back()), cmp.Compare(a.Digits, b.Digits))
}

func goesOn(a, b Serial) bool {
	from, whole := a.Whole()
	to, other := b.Whole()
	return whole && other && a.front() == b.front() && a.back() == b.back() && apart(from, to) <= mostOff+1
}

// Missing gives the numbers that a run, as Runs gives it, leaves out between its first and its last.
func Missing(run []Serial) []Serial {
	var list []Serial
	for i := 1; i < len(run); i++ {
		if !goesOn(run[i-1], run[i]) {
			continue
		}
		for s, ok := run[i-1].Plus(1); ok && s.Digits < run[i].Digits; s, ok = s.Plus(1) {
			list = append(list, s)
		}
	}
	return list
}
