package listing

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"app/unband/patterns"
	"app/unband/triage"
)

// A shape is what a cell looks like, whatever becomes of it.
type shape uint8

const (
	other    shape = iota // nothing like a serial
	like                  // like a serial, but it cannot be read as one
	short                 // one to seven digits and nothing else
	bare                  // eight digits, read or not, and no letter
	lettered              // the same with a letter or star
)

// A form says what may stand in a cell.
type form struct {
	prefixes      int  // most letters in front of the digits
	front, behind bool // the letters in front, and those behind, stand in a cell of their own
}

// anyForm is a serial of any denomination in one cell.
var anyForm = form{prefixes: 2}

// A cell is what a cell reads as. Doubt is None, UnreadDigits or Unreadable.
type cell struct {
	shape shape
	Note
}

// aDay is said of a day as 2026-03-11: its eight digits are no serial.
const aDay = "a day, not a serial"

// longestCell bounds a cell that is looked at as a serial, in bytes after blanks are gone.
const longestCell = 16

// readCell reads a cell as a serial. Nothing is cut, filled up or guessed: where two readings are
// possible, it is Unreadable.
func (f form) readCell(text string) cell {
	c := f.look(text)
	if c.Doubt == Unreadable && c.Reason == "" {
		c.Reason = reason(text)
	}
	return c
}

// look is readCell without reasons, which take longer than all else.
func (f form) look(text string) cell {
	s, strange := clean(text)
	unreadable := cell{Note: Note{Doubt: Unreadable}}
	switch {
	case isDayText(text):
		return unreadable
	case strange == 0 && len(s) >= patterns.Places && len(s) <= longestCell:
		if c, ok := f.parse(s); ok {
			return c
		}
	case s == text && s != "" && len(s) < patterns.Places && digitsIn(s) == len(s):
		unreadable.shape = short
		return unreadable
	}
	if looksLike(s) {
		unreadable.shape = like
	}
	return unreadable
}

// clean makes capital letters and one kind of star, and takes blanks, hyphens and the marks that
// spreadsheets keep text with ('70633607, ="70633607") away. Strange is the first other character
// that no serial has, 0 for none.
func clean(text string) (s string, strange rune) {
	if asPrinted(text) {
		return text, 0
	}
	text = strings.Trim(text, " \t\f\u00a0\ufeff")
	if inner, ok := strings.CutPrefix(text, `="`); ok {
		text = strings.TrimSuffix(inner, `"`)
	}
	text = strings.TrimPrefix(text, "'")
	var buf [longestCell + utf8.UTFMax]byte // one allocation, and only of what is looked at
	b := buf[:0]
	for _, r := range text {
		switch {
		case 'a' <= r && r <= 'z':
			r += 'A' - 'a'
		case r == '★' || r == '☆':
			r = '*'
		case r == ' ' || r == '-':
			continue
		}
		if !inSerial(r) && strange == 0 {
			strange = r
		}
		if b = utf8.AppendRune(b, r); len(b) > longestCell {
			break
		}
	}
	return string(b), strange
}

func inSerial(r rune) bool {
	return '0' <= r && r <= '9' || 'A' <= r && r <= 'Z' || r == '*' || r == '?'
}

// asPrinted reports whether there is nothing to clean.
func asPrinted(text string) bool {
	for i := range len(text) {
		if !inSerial(rune(text[i])) {
			return false
		}
	}
	return true
}

// parse reads a clean text that has the length and the order of a serial. It is not ok if it has not.
func (f form) parse(s string) (c cell, ok bool) {
	inner, starFront := strings.CutPrefix(s, "*")
	inner, star := strings.CutSuffix(inner, "*")
	if star && starFront {
		return c, false
	}
	readings := 0
	for p := range 3 {
		if p > 0 && f.front || p > max(f.prefixes, 1) && readings > 0 {
			break
		}
		end := p + patterns.Places
		if len(inner) < end || len(inner) > end+1 || len(inner) == end+1 && (star || f.behind) {
			continue
		}
		prefix, body, suffix := inner[:p], inner[p:end], inner[end:]
		if !letters(prefix) || !digitPlaces(body) || !letters(suffix) {
			continue
		}
		readings++
		c = f.read(prefix, body, suffix, star || starFront, starFront)
	}
	if readings > 1 {
		c = cell{like, Note{Doubt: Unreadable, Reason: "it can be read in two ways, with another letter taken as a digit in each"}}
	}
	return c, readings > 0
}

// letters reports whether a text can stand before or behind the digits: O never does (BEP, Serial
// Numbers).
func letters(s string) bool {
	for i := range len(s) {
		if c := s[i]; c != '?' && (c < 'A' || 'Z' < c || c == 'O') {
			return false
		}
	}
	return true
}

// digitPlaces reports whether a text can stand in the places of the digits.
func digitPlaces(s string) bool {
	for i := range len(s) {
		if c := s[i]; c != '?' && c != 'O' && c != 'B' && (c < '0' || '9' < c) {
			return false
		}
	}
	return true
}

// read gives the serial of the parts that stand where they should.
func (f form) read(prefix, body, suffix string, star, starFront bool) cell {
	c := cell{shape: lettered}
	if prefix == "" && suffix == "" && !star {
		c.shape = bare
	}
	if doubt := f.edges(prefix, body, suffix, star, c.shape); doubt != "" {
		return cell{like, Note{Doubt: Unreadable, Reason: doubt}}
	}
	c.Serial.Star, c.Serial.StarFront = star, starFront
	c.letters(prefix, suffix)
	for i := range patterns.Places {
		switch body[i] {
		case 'O':
			c.Repairs |= OAsZero
			c.zeros |= 1 << i
		case 'B':
			c.Repairs |= BAsEight
			c.eights |= 1 << i
		}
	}
	if c.zeros|c.eights != 0 {
		body = strings.NewReplacer("O", "0", "B", "8").Replace(body)
	}
	n := strings.Count(body, "?")
	if n == 0 {
		c.Serial.Digits = body
		return c
	}
	c.Doubt, c.Unread = UnreadDigits, body
	c.Reason = triage.Plural(n, "digit is unread (?)", "digits are unread (?)")
	return c
}

// letters puts the letters of a serial in. One that was not read is left out, and what stands beside it
// in front: one letter of two would be another prefix.
func (c *cell) letters(prefix, suffix string) {
	if strings.Contains(prefix+suffix, "?") {
		c.Repairs |= LetterUnread
	}
	if !strings.Contains(prefix, "?") {
		c.Serial.Prefix = prefix
	}
	if suffix != "" && suffix != "?" {
		c.Serial.Suffix = suffix[0]
	}
}

// edges says why the first or the last digit may as well be a letter, "" if it may not. With a digit
// more or less there are two readings, and only the note can tell.
func (f form) edges(prefix, body, suffix string, star bool, s shape) string {
	if first := body[0]; !f.front && (first == 'B' || first == '?' && s != bare) && len(prefix) < f.prefixes {
		return fmt.Sprintf("%c may be a letter in front, then a digit is missing, or it stands for the first digit", first)
	}
	last := body[patterns.Places-1]
	if f.behind || suffix != "" || star {
		return ""
	}
	if last == 'O' || last == 'B' || last == '?' && s != bare {
		return fmt.Sprintf("%c may be the letter behind, then a digit is missing, or it stands for the last digit", last)
	}
	return ""
}

// looksLike reports whether a text was meant as a serial: about as long, with most of its digits.
func looksLike(s string) bool {
	if len(s) < 6 || len(s) > longestCell {
		return false
	}
	digits, strange, row := 0, 0, 0
	for _, r := range s {
		isLetter := 'A' <= r && r <= 'Z'
		if row++; !isLetter {
			row = 0
		}
		switch {
		case '0' <= r && r <= '9' || r == '?':
			digits++
		case r == ':' || r == '/' || r == '$' || row > 3:
			return false
		case !isLetter && r != '*':
			strange++
		}
	}
	return digits >= 5 && strange <= 2
}

// reason says why a text is no serial.
func reason(text string) string {
	s, strange := clean(text)
	digits := digitsIn(s) + strings.Count(s, "?")
	switch {
	case isDayText(text):
		return aDay
	case digits == 0:
		return "no serial was read"
	case strange == '.' && strings.Contains(s, "E") || strange == '+':
		return "a spreadsheet has rounded the number"
	case strange != 0:
		return fmt.Sprintf("%s has no place in a serial", named(strange))
	}
	if c, ok := amongDigits(s); ok {
		return fmt.Sprintf("%s stands among the digits", string(c))
	}
	if strings.HasSuffix(s, "O") {
		return "O is never the letter behind the digits"
	}
	if digits != patterns.Places {
		return digitCount(digits)
	}
	return "its letters do not stand as in a serial"
}

// named gives a character as a person sees it.
func named(r rune) string {
	return triage.Printable(string(r))
}

// amongDigits gives the first letter that stands among the digits and is neither O nor B.
func amongDigits(s string) (byte, bool) {
	from, to := strings.IndexAny(s, "0123456789"), strings.LastIndexAny(s, "0123456789")
	for i := from + 1; i < to; i++ {
		if c := s[i]; 'A' <= c && c <= 'Z' && c != 'O' && c != 'B' || c == '*' {
			return c, true
		}
	}
	return 0, false
}

// digitsIn counts the digits of a text.
func digitsIn(s string) int {
	n := 0
	for i := range len(s) {
		if '0' <= s[i] && s[i] <= '9' {
			n++
		}
	}
	return n
}

var numberWords = [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}

// digitCount says how many digits there are.
func digitCount(n int) string {
	switch {
	case n == 1:
		return "one digit, a serial has eight"
	case n < len(numberWords):
		return numberWords[n] + " digits, a serial has eight"
	}
	return fmt.Sprintf("%d digits, a serial has eight", n)
}
