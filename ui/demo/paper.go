package demo

import (
	"fmt"
	"strings"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

// A slip is a note as it lies in the pile, with what the sorter will say and do about it.
type slip struct {
	serial  triage.Serial
	misread string // the digits as they are typed at first, where a digit is mistyped
	facts   triage.Facts
	keep    bool // whatever its number says
	aside   bool // suspected counterfeit
	unread  bool // spent without a look; in a list the machine has not read a digit
}

// A kind is what a wonder is.
type kind uint8

const (
	radar kind = iota + 1
	repeater
	fourPairs
	binary
	sixInARow
	sevenAlike
	lowNumber
	rotator
	own // the pattern of the stall
	nearRadar
	nearRepeater
	mistyped // a radar, of which a digit is mistyped at first
	old
	stamped
	odd        // kept for a reason of one's own
	misprinted // with a printing error
	suspect
	unread
)

// series are those of the ones in the float, by how often they turn up.
var series = []string{"2017A", "2017A", "2017A", "2021", "2021", "2013", "2013", "2017", "2009", "2006"}

// starSeries are those of the stars.
var starSeries = []string{"2017A", "2017A", "2017A", "2021"}

// One note in so many is a star, and of one in so many more is said than its serial.
const (
	starsIn = 60
	saidIn  = 9
)

// ordinary draws a used note. One whose letters do not fit its number is drawn again.
func (m *market) ordinary(face triage.Denomination) slip {
	for {
		s := slip{serial: m.letters(face)}
		s.serial.Digits = (1 + patterns.Digits(m.draw.IntN(int(face.Top())))).String()
		switch {
		case face == 1 && m.draw.IntN(starsIn) == 0:
			s = m.star()
		case m.draw.IntN(saidIn) == 0:
			s.facts = m.said(face)
		}
		if fits(face, s) {
			return s
		}
	}
}

// fits reports whether nothing about a note asks for another look.
func fits(face triage.Denomination, s slip) bool {
	return currency.Worst(triage.RemarksOn(face, s.serial, s.facts)) <= currency.Fine
}

// letters draws the letters of a serial.
func (m *market) letters(face triage.Denomination) triage.Serial {
	const suffixes = "ABCDEFGHIJKLMN"
	s := triage.Serial{Prefix: m.one("A", "B", "B", "C", "D", "E", "F", "F", "G", "H", "I", "J", "K", "L"), Suffix: suffixes[m.draw.IntN(len(suffixes))]}
	if face > 2 {
		s.Prefix = m.one("M", "N", "P") + s.Prefix
	}
	return s
}

// one draws one of some words.
func (m *market) one(words ...string) string { return words[m.draw.IntN(len(words))] }

// star draws a star of the first three slots, so that the invented runs have an answer for some.
func (m *market) star() slip {
	const slots = 3 * 3_200_000
	number := patterns.Digits(1 + m.draw.IntN(slots))
	return slip{serial: triage.Serial{Prefix: m.one("B", "F", "F", "G"), Digits: number.String(), Star: true},
		facts: triage.Facts{Series: m.one(starSeries...)}}
}

// said draws what is said of an ordinary note in the closer look.
func (m *market) said(face triage.Denomination) triage.Facts {
	grades := []flaws.Grade{flaws.VeryGood, flaws.Fine, flaws.Fine, flaws.VeryFine, flaws.NoGrade}
	f := triage.Facts{Grade: grades[m.draw.IntN(len(grades))]}
	if face == 1 { // the letters of the others name it
		f.Series = m.one(series...)
	}
	return f
}

// wonderful makes a note worth looking at.
func (m *market) wonderful(what kind, face triage.Denomination) slip {
	for {
		s := m.wonder(what, face)
		if s.unread || s.aside || fits(face, s) {
			return s
		}
	}
}

func (m *market) wonder(what kind, face triage.Denomination) slip {
	s := slip{serial: m.letters(face)}
	s.serial.Digits = m.digits(what)
	switch what {
	case mistyped:
		s.misread = turned(s.serial.Digits)
	case old:
		s.facts = triage.Facts{Series: m.one("1988A", "1993", "1995", "1999", "2001"), Grade: flaws.Fine, Defects: flaws.Fold}
		if face > 2 { // before Series 1996 one letter stood in front, as on ones
			s.serial.Prefix, s.facts.Series = s.serial.Prefix[1:], "1985"
		}
	case stamped:
		s.facts = triage.Facts{Stamp: true, Remark: "a red stamp with a web address, on the back"}
	case odd:
		s.keep, s.facts.Reason = true, "the number of our stall's licence, nearly"
	case misprinted:
		s.keep, s.facts = true, misprint()
	case suspect:
		s.aside = true
		s.facts = triage.Facts{Remark: "smooth paper, no relief to be felt on the shoulder"}
	case unread:
		s.unread = true
	}
	return s
}

// misprint is what is said of a note with a printing error: the answers are those of the walk through them.
func misprint() triage.Facts {
	w := flaws.Start()
	for _, yes := range []bool{true, true, true, false, true, true} {
		answer := flaws.No
		if yes {
			answer = flaws.Yes
		}
		w = w.Answer(answer)
	}
	f := triage.Facts{Walk: triage.WalkText(w.Trail()), Series: "2017A", Grade: flaws.VeryFine,
		Face: "the back stands on it in a mirror, faint and whole", Where: "glassine envelope, box A"}
	if _, outcome, done := w.At(); done {
		f.Flaw = outcome.ID
	}
	return f
}

// forms are how the digits of the wonders are made: a letter is a digit, different letters are different ones.
var forms = map[kind]string{
	radar: "ABCDDCBA", repeater: "ABCDABCD", fourPairs: "AABBCCDD", sixInARow: "ABBBBBBC", sevenAlike: "AAAABAAA",
	nearRadar: "ABCDDCBE", nearRepeater: "ABCDABED", mistyped: "ABCDDCBA", binary: "AABABBAB",
}

// digits draws digits for a wonder; those of which the number is nothing are any.
func (m *market) digits(what kind) string {
	if form, ok := forms[what]; ok {
		return m.filled(form)
	}
	switch what {
	case lowNumber:
		return fmt.Sprintf("000000%02d", 11+m.draw.IntN(89))
	case rotator: // turned round, 6 and 9 change places
		half := m.one("6089", "9068", "6980", "8069")
		return half + half180(half)
	case own:
		return fmt.Sprintf("%02d2468%02d", 10+m.draw.IntN(80), m.draw.IntN(100))
	}
	return patterns.Digits(10_000_000 + m.draw.IntN(80_000_000)).String()
}

// filled puts digits in place of letters. The first is below 9: above 96,000,000 no such note is printed.
func (m *market) filled(form string) string {
	order := m.draw.Perm(10)
	for order[0] == 9 || order[0] == 0 {
		order = m.draw.Perm(10)
	}
	return strings.Map(func(r rune) rune { return rune('0' + order[r-'A']) }, form)
}

// half180 is a half of a serial turned upside down.
func half180(half string) string {
	b := make([]byte, len(half))
	for i := range len(half) {
		d := half[len(half)-1-i]
		switch d {
		case '6':
			d = '9'
		case '9':
			d = '6'
		}
		b[i] = d
	}
	return string(b)
}

// turned is a serial of which the last but one digit is taken for the next.
func turned(digits string) string {
	b := []byte(digits)
	b[6] = '0' + (b[6]-'0'+1)%10
	return string(b)
}
