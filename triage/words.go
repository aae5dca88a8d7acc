package triage

import (
	"fmt"
	"strconv"
	"strings"

	"app/unband/patterns"
)

// String says what happened, without naming a key. It is empty for Quiet.
func (n Notice) String() string {
	text := Printable(n.Text)
	switch n.Kind {
	case LetterAmongDigits:
		return fmt.Sprintf("%s is a letter and %s typed so far: it was left out", text, Plural(n.N, "digit is", "digits are"))
	case OTakenAsZero:
		said := fmt.Sprintf("the letter O was taken as the digit 0 at place %d", n.N)
		if n.Text != "" {
			said = "the letter O was taken as the digit 0 at places " + n.Text
		}
		if n.N == patterns.Places {
			said += "; if it stood behind the digits, one digit is missing"
		}
		return said
	case SecondPrefix:
		return fmt.Sprintf("a $1 or $2 has one letter in front: %s was left out. Two letters are on $5 and up", text)
	case ThirdPrefix:
		return fmt.Sprintf("no serial has three letters in front: %s was left out", text)
	case SecondSuffix:
		return fmt.Sprintf("there is a letter behind the digits already: %s was left out", text)
	case NoSuchSuffix:
		return fmt.Sprintf("%s is never printed behind the digits: perhaps Q, D, C or G. It was left out", text)
	case StarAmongDigits:
		return "a star stands behind the eighth digit, or alone in front of the first on old classes"
	case StarAndSuffix:
		return "a star takes the place of the last letter: a note has one of them"
	case NothingBehind:
		return "no letter or star behind the digits: whether it is a star note is not known"
	case DigitBehind:
		return fmt.Sprintf("the serial has ended: %s was left out. Is it of the next note?", text)
	case TooManyDigits:
		return fmt.Sprintf("%d digits typed, a serial has eight", n.N)
	case TooFewDigits:
		if n.N == 0 {
			return "nothing is typed yet: a keeper needs its serial"
		}
		return fmt.Sprintf("%s typed, a serial has eight. Nothing was decided", Plural(n.N, "digit", "digits"))
	case UnknownKey:
		return text + " means nothing here"
	case NothingToErase:
		return "there is nothing to take back"
	case TooEarly:
		return "too early: let the key rest for a second, wait for the end of the pause, then press it once"
	case HeldKey:
		return "let the key rest for a second, then press it once"
	case AskAgain:
		return "the same key must come once more"
	case NoNoteBefore:
		return "there is no note before this one"
	case NoNoteAfter:
		return "this is the note in hand: there is none after it yet"
	case Unchanged:
		return "that is how it was decided already: nothing changed"
	}
	return n.later()
}

// again words the notices of a strap gone through once more.
func (n Notice) again() string {
	switch n.Kind {
	case NoSuchNote:
		return fmt.Sprintf("no note %d is decided in this strap: the last one is note %s", n.N, Printable(n.Text))
	case JumpFirst:
		return fmt.Sprintf("note %s is not in sight yet: nothing was decided", Printable(n.Text))
	case PassBegins:
		return "the pass begins with this note: there is none before it"
	case PassEnds:
		return "that was the last note of the pass"
	case DecideFirst:
		return "another serial stands here: decide the note first, or clear it"
	case AnswerFirst:
		return "answer what is asked first"
	}
	return "the session is closed: what was decided stays, what is known of a note can be added to"
}

// later words the notices of the re-read, the star and the strap.
func (n Notice) later() string {
	text := Printable(n.Text)
	switch n.Kind {
	case RereadAsked:
		return fmt.Sprintf("%s to be read again from the note", Plural(n.N, "digit is", "digits are"))
	case RereadUnended:
		return fmt.Sprintf("%s still open: type from the note", Plural(n.N, "blank is", "blanks are"))
	case RereadFull:
		return "every blank has its digit already"
	case RereadFirst:
		return "the re-read is not finished"
	case RereadLeft:
		return "not read again: the digits stand as they were"
	case RereadOver:
		return "read again: the digits stand as they were"
	case RereadCorrect:
		return "corrected: the note is judged anew"
	case RereadHit:
		return "corrected, and it is a hit now"
	case RereadNothing:
		return "nothing on this note is in doubt"
	case StarFacts:
		return "a star is looked up by its prefix and series"
	case BadSeries:
		return text + " is not a series: four digits of a year, and a letter if one stands behind it"
	case BadPlant:
		return text + " is no answer: F where FW stands before the plate number, W where nothing does"
	case WhichSeries:
		return "which of them: " + text + "? Look for a small letter behind the year; the same answer again stands as typed"
	case BadStarPrefix:
		return text + " is not a prefix: the last letter in front is a bank's, A to L"
	case NoSuchNote, JumpFirst, PassBegins, PassEnds, DecideFirst, AnswerFirst, StaysClosed:
		return n.again()
	case OnlyLast:
		return "only the last decided note can be taken out: go back to it first"
	case TakeOut:
		return fmt.Sprintf("the same key once more takes note %d out of the strap", n.N)
	case FarOff:
		if n.N < 0 {
			return fmt.Sprintf("%s short is much: the same key once more closes the strap all the same", Plural(-n.N, "note", "notes"))
		}
		return fmt.Sprintf("%s over is much: the same key once more closes the strap all the same", Plural(n.N, "note", "notes"))
	case PullsLeft:
		return fmt.Sprintf("%s to be pulled and looked at first", Plural(n.N, "note is still", "notes are still"))
	case RestAsked:
		return "the same key once more " + fmt.Sprintf(n.Text, Plural(n.N, "note", "notes"))
	case UnlistAsked:
		return fmt.Sprintf("the same key once more forgets the numbers taken in of %s, and of other straps from the same list, if there are any: they are sorted one by one", Plural(n.N, "note", "notes"))
	case NothingListed:
		return "the notes of this strap are sorted one by one already"
	case EndAsked:
		return "there is no note in hand: the strap is asked about"
	case PastBand:
		return fmt.Sprintf("note %d is one more than the band says: a note typed twice, or the strap is over", n.N)
	case SlowDown:
		return fmt.Sprintf("%d notes in a row faster than your pace: slow down a little, the bank is not waiting", n.N)
	case StrapEmpty:
		return "not one note of this strap is decided yet"
	}
	return ""
}

// unquoted takes back what strconv.Quote does to quotes and backslashes.
var unquoted = strings.NewReplacer(`\"`, `"`, `\\`, `\`)

// Printable gives text from outside with everything that could move a cursor or change a colour
// written out: it is safe on any terminal.
func Printable(s string) string {
	quoted := strconv.QuoteToGraphic(s)
	return unquoted.Replace(quoted[1 : len(quoted)-1])
}

// Thousands writes a number with commas: 96,000,000.
func Thousands(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0 && s[i-1] != '-'; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// OneIn writes how rare it is that one of count serials comes up among those from 1 to top.
func OneIn(count int, top patterns.Digits) string {
	if count == 0 {
		return "none up to " + Thousands(int(top))
	}
	return "1 in " + Thousands((int(top)+count/2)/count)
}

// ChangesWords says what would make a near miss a match: "a 5 at place 3, or a 6 at place 6". Of
// many ways it names the first.
func ChangesWords(changes []patterns.Change) string {
	var parts []string
	for _, c := range changes {
		switch {
		case c.Swap:
			parts = append(parts, fmt.Sprintf("places %d and %d swapped", c.Pos+1, c.Pos+2))
		case c.To == 8:
			parts = append(parts, fmt.Sprintf("an 8 at place %d", c.Pos+1))
		default:
			parts = append(parts, fmt.Sprintf("a %d at place %d", c.To, c.Pos+1))
		}
	}
	const shown = 3
	if len(parts) > shown {
		return strings.Join(parts[:shown-1], ", or ") + fmt.Sprintf(", or %d more ways", len(parts)-shown+1)
	}
	return strings.Join(parts, ", or ")
}

// TellNear gives the near misses of watched rules that are worth a word: none that is commoner than
// a watched hit the serial already is. Whether the note stops the sorter is not decided by it.
func TellNear(b *patterns.Book, w patterns.Watch, j patterns.Judgement) []patterns.NearMiss {
	limit := patterns.Total
	for _, f := range j.Findings {
		if r, ok := b.Rule(f.Rule); ok && w.Hit.Has(f.Rule) {
			limit = min(limit, r.Total)
		}
	}
	var told []patterns.NearMiss
	for _, n := range j.Near {
		if r, ok := b.Rule(n.Rule); ok && w.Near.Has(n.Rule) && r.Total < limit {
			told = append(told, n)
		}
	}
	return told
}

// Plural writes n and the word for so many.
func Plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return Thousands(n) + " " + many
}
