package ui

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"app/unband/patterns"
	"app/unband/triage"
)

// number writes n with commas.
func number(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0 && s[i-1] != '-'; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// count writes n and the word for so many.
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return number(n) + " " + many
}

// oneIn writes how rare count serials among top are.
func oneIn(n int, top patterns.Digits) string {
	if n == 0 {
		return "none up to " + number(int(top))
	}
	return "1 in " + number((int(top)+n/2)/n)
}

// dollars writes an amount of whole dollars.
func dollars(n int) string {
	if n < 0 {
		return "-$" + number(-n)
	}
	return "$" + number(n)
}

// ordinal writes 1st, 2nd, 3rd, 4th …
func ordinal(n int) string {
	end := "th"
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			end = "st"
		case 2:
			end = "nd"
		case 3:
			end = "rd"
		}
	}
	return strconv.Itoa(n) + end
}

// ago says how long before now a moment was, in the coarsest words that help.
func ago(t, now time.Time) string {
	if t.IsZero() {
		return ""
	}
	switch d := now.Sub(t); {
	case d < time.Minute:
		return "just now"
	case d < time.Hour:
		return fmt.Sprintf("%d min ago", int(d.Minutes()))
	case sameDay(t, now):
		return "today " + t.In(now.Location()).Format("15:04")
	}
	return t.In(now.Location()).Format("2 Jan 2006")
}

func sameDay(a, b time.Time) bool {
	a = a.In(b.Location())
	return a.Year() == b.Year() && a.YearDay() == b.YearDay()
}

// places writes which digits a mask names: "places 1-4 8".
func places(mask uint8) string {
	var parts []string
	for i := 0; i < patterns.Places; i++ {
		if mask>>i&1 == 0 {
			continue
		}
		j := i
		for j+1 < patterns.Places && mask>>(j+1)&1 == 1 {
			j++
		}
		part := strconv.Itoa(i + 1)
		if j > i {
			part += "-" + strconv.Itoa(j+1)
		}
		parts = append(parts, part)
		i = j
	}
	if mask&(mask-1) == 0 {
		return "place " + strings.Join(parts, " ")
	}
	return "places " + strings.Join(parts, " ")
}

// changes says what would make a near miss a match.
func changes(cs []patterns.Change) string {
	var parts []string
	for _, c := range cs {
		if c.Swap {
			parts = append(parts, fmt.Sprintf("places %d and %d swapped", c.Pos+1, c.Pos+2))
		} else {
			parts = append(parts, fmt.Sprintf("a %d at place %d", c.To, c.Pos+1))
		}
	}
	const shown = 3
	if len(parts) > shown {
		return strings.Join(parts[:shown-1], ", or ") + fmt.Sprintf(", or %d more ways", len(parts)-shown+1)
	}
	return strings.Join(parts, ", or ")
}

// doubt puts a doubt about a serial into words.
func doubt(d triage.Doubt, h *triage.InHand, denom triage.Denomination) string {
	s := h.Entry.Serial
	switch d {
	case triage.DoubtPrefix:
		return fmt.Sprintf("%s is no bank letter (A to L): read it again, or an old class of note", s.Prefix)
	case triage.DoubtSuffixZ:
		return "suffix Z is for test printings: read it again"
	case triage.DoubtStarFront:
		return "on Federal Reserve notes the star stands at the end; in front on silver certificates and U.S. notes"
	case triage.DoubtAllZero:
		return "00000000 is not issued as a rule: read it again; if it is right, tell a specialist"
	case triage.DoubtAboveTop:
		return fmt.Sprintf("above %s, the highest for %s from circulation today: read it again; else an old series or cut from a sheet", number(int(denom.Top())), denom)
	case triage.DoubtTypedTwice:
		for _, n := range h.Met() {
			return fmt.Sprintf("typed twice? note %d of this strap has these digits", n.Position)
		}
	}
	return "look at the note once more"
}

// met says where a serial was met before.
func met(n triage.Note, name func(uint64) string, now time.Time) string {
	return fmt.Sprintf("met before: %s, %s, strap %d note %d, %s %s",
		n.Serial, name(n.Session), n.Strap, n.Position, n.Decision, ago(n.Decided, now))
}

// notice puts a notice of the strap screen into words, naming keys as the key map does.
func notice(n triage.Notice, k strapKeys) string {
	switch n.Kind {
	case triage.LetterAmongDigits:
		return fmt.Sprintf("%s is a letter and %s typed so far: it was left out", n.Text, count(n.N, "digit is", "digits are"))
	case triage.OTakenAsZero:
		return fmt.Sprintf("the letter O was taken as the digit 0 at place %d; if it stood behind the digits, one digit is missing", n.N)
	case triage.SecondPrefix:
		return fmt.Sprintf("a $1 or $2 has one letter in front: %s was left out. Two letters are on $5 and up", n.Text)
	case triage.ThirdPrefix:
		return fmt.Sprintf("no serial has three letters in front: %s was left out", n.Text)
	case triage.SecondSuffix:
		return fmt.Sprintf("there is a letter behind the digits already: %s was left out", n.Text)
	case triage.NoSuchSuffix:
		return fmt.Sprintf("%s is never printed behind the digits: perhaps Q, D, C or G. It was left out", n.Text)
	case triage.StarAmongDigits:
		return "a star stands behind the eighth digit, or alone in front of the first on old classes"
	case triage.StarAndSuffix:
		return "a star takes the place of the last letter: a note has one of them"
	case triage.TooManyDigits:
		return fmt.Sprintf("%d digits typed, a serial has eight: %s takes one back. Was one typed twice?", n.N, name(k.Erase))
	case triage.TooFewDigits:
		if n.N == 0 {
			return "nothing is typed yet: a keeper needs its serial"
		}
		return fmt.Sprintf("%s typed, a serial has eight. Nothing was decided", count(n.N, "digit", "digits"))
	case triage.UnknownKey:
		return fmt.Sprintf("%s means nothing here", printable(n.Text))
	case triage.NothingToErase:
		return "there is nothing to take back"
	case triage.TooEarly:
		return "too early: wait for the bar, then press again"
	case triage.HeldKey:
		return "let the key rest for a second, then press it once"
	case triage.AskAgain:
		return "press the same key once more after the bar if you mean it"
	case triage.NoNoteBefore:
		return "there is no note before this one"
	case triage.NoNoteAfter:
		return "this is the note in hand: there is none after it yet"
	case triage.Unchanged:
		return "that is how it was decided already: nothing changed"
	case triage.RereadAsked:
		return fmt.Sprintf("read the blanked %s from the note again, then %s", count(n.N, "digit", "digits"), name(k.Enter))
	case triage.RereadUnended:
		return fmt.Sprintf("%s still open: type from the note", count(n.N, "blank is", "blanks are"))
	case triage.RereadFirst:
		return fmt.Sprintf("finish the re-read with %s, or leave it with %s", name(k.Enter), name(k.Clear))
	case triage.RereadOver:
		return "read again: the digits stand as they were"
	case triage.RereadCorrect:
		return "corrected: the note is judged anew"
	case triage.RereadHit:
		return "corrected, and it is a hit now"
	case triage.RereadNothing:
		return "nothing on this note is in doubt"
	case triage.StarFacts:
		return fmt.Sprintf("a star is looked up by its prefix and series: type what is asked, %s goes on, also with nothing typed", name(k.Enter))
	case triage.BadSeries:
		return fmt.Sprintf("%s is not a series: four digits of a year, and a letter if one stands behind it", printable(n.Text))
	case triage.BadStarPrefix:
		return fmt.Sprintf("%s is not a prefix: the last letter in front is a bank's, A to L", printable(n.Text))
	case triage.PastBand:
		return fmt.Sprintf("note %d is one more than the band says: a note typed twice, or the strap is over", n.N)
	case triage.SlowDown:
		return fmt.Sprintf("%d notes in a row faster than your pace: slow down a little, the bank is not waiting", n.N)
	case triage.StrapEmpty:
		return "not one note of this strap is decided yet"
	}
	return ""
}

// printable shows text from outside without letting it move the cursor.
func printable(s string) string { return strings.Trim(strconv.QuoteToGraphic(s), `"`) }
