package currency

import (
	"fmt"
	"strings"

	"app/unband/patterns"
)

// A second is the other serial of a note, as far as it was typed.
type second struct {
	prefix string
	digits patterns.Digits
	suffix byte
	star   bool
}

// secondMarks are blanks and hyphens, which do not matter, and the ways a star is typed.
var secondMarks = strings.NewReplacer(" ", "", "-", "", "★", "*", "☆", "*")

// parseSecond reads letters, eight digits, a letter or star; blanks, hyphens and small letters do not
// matter. Letters and star may be missing.
func parseSecond(text string) (s second, ok bool) {
	t := strings.ToUpper(secondMarks.Replace(text))
	front, t, found := cutDigits(t)
	if !found {
		return second{}, false
	}
	digits, err := patterns.ParseDigits(t[:patterns.Places])
	behind := t[patterns.Places:]
	if err != nil || len(front) > 3 || len(behind) > 1 {
		return second{}, false
	}
	s = second{prefix: strings.Replace(front, "*", "", 1), digits: digits, star: strings.Contains(front+behind, "*")}
	if behind != "" && behind != "*" {
		s.suffix = behind[0]
	}
	letters := s.prefix
	if s.suffix != 0 {
		letters += string(rune(s.suffix))
	}
	return s, allLetters(letters)
}

// cutDigits parts a text before its first digit; ok is false when fewer than eight characters follow.
func cutDigits(t string) (front, rest string, ok bool) {
	i := strings.IndexAny(t, "0123456789")
	if i < 0 || len(t)-i < patterns.Places {
		return "", "", false
	}
	return t[:i], t[i:], true
}

// secondSerial compares the two serials of a note; both must agree [U1].
func secondSerial(r reading) []Remark {
	if r.Second == "" {
		return nil
	}
	s, ok := parseSecond(r.Second)
	if !ok {
		return one(LookAgain, KindSecondUnread, Published, "[U1]", fmt.Sprintf("%q cannot be read as the second serial: it takes eight digits, and the letters may stay out. Type it once more.", clip(r.Second)))
	}
	return append(secondDigits(r, s), secondLetters(r, s)...)
}

// clip keeps a text short enough to be shown.
func clip(text string) string {
	if len(text) > 24 {
		return strings.ToValidUTF8(text[:24], "") + "…"
	}
	return text
}

// secondDigits says how the digits differ and what that would be, a misreading first of all.
func secondDigits(r reading, s second) []Remark {
	if !r.Whole || r.Digits == s.digits {
		return nil
	}
	a, b := r.Digits.String(), s.digits.String()
	text := fmt.Sprintf("The two serials differ: %s and %s, %s. First read both again, one digit at a time; if they stand so, ", a, b, where(a, b))
	return one(LookAgain, KindSecondDigits, Published, "[PE2][PS][PM1]", text+mechanism(r.Digits, s.digits)+" Keep it flat and photograph both serials.")
}

// where names the places that differ, counted from the left.
func where(a, b string) string {
	var places []string
	for i := range len(a) {
		if a[i] != b[i] {
			places = append(places, fmt.Sprintf("%d (%c, %c)", i+1, a[i], b[i]))
		}
	}
	if len(places) == 1 {
		return "at place " + places[0]
	}
	return "at places " + enumerate(places, "and")
}

// mechanism says what kind of mismatch two serials would be [PE2][PS][PM1].
func mechanism(a, b patterns.Digits) string {
	sa, sb := a.String(), b.String()
	differing, last := 0, 0
	for i := range len(sa) {
		if sa[i] != sb[i] {
			differing, last = differing+1, i
		}
	}
	switch {
	case a == b+1 || b == a+1:
		return "a wheel stuck where the number went on by one: a mismatched serial."
	case differing == 1:
		return "one wheel was stuck: a mismatched serial."
	case last < patterns.Places/2:
		return "the leading wheels were set differently: a mismatched serial."
	}
	return "it is a mismatched serial."
}

// prefixesDiffer reports whether both serials have letters in front and these are not the same.
func (r reading) prefixesDiffer() bool {
	s, ok := parseSecond(r.Second)
	return ok && r.Prefix != "" && s.prefix != "" && r.Prefix != s.prefix
}

// secondLetters compares letters and star as far as both were typed.
func secondLetters(r reading, s second) []Remark {
	switch {
	case r.prefixesDiffer():
		return one(LookAgain, KindSecondLetters, Published, "[PM2]", fmt.Sprintf("The letters before the digits differ: %s and %s. First read both again; if they stand so, it is a mismatched prefix. %s", r.Prefix, s.prefix, r.rightPrefix(s)))
	case r.Suffix != 0 && s.suffix != 0 && r.Suffix != s.suffix:
		return one(LookAgain, KindSecondLetters, Published, "[U1]", fmt.Sprintf("The letters behind the digits differ: %c and %c. First read both again; if they stand so, show the note to a specialist.", r.Suffix, s.suffix))
	case r.Star && s.suffix != 0 && !r.StarFront, s.star && r.Suffix != 0 && !r.Star:
		return one(LookAgain, KindSecondLetters, Published, "[U1][B1]", "One serial was read with a star, the other with a letter in its place. Look at both again.")
	}
	return nil
}

// rightPrefix says which prefix the seal or the corner number bears out.
func (r reading) rightPrefix(s second) string {
	place := "seal"
	seal, ok := BankOf(r.SealLetter)
	if !ok {
		place = "corner number"
		if seal, ok = BankNumber(r.Corner); !ok {
			return "The letter in the seal shows which one is right."
		}
	}
	switch seal.Letter {
	case r.bankLetter():
		return fmt.Sprintf("The %s says %c, so %s is right.", place, seal.Letter, r.Prefix)
	case s.prefix[len(s.prefix)-1]:
		return fmt.Sprintf("The %s says %c, so %s is right.", place, seal.Letter, s.prefix)
	}
	return fmt.Sprintf("The %s says %c and bears out neither: look at it too.", place, seal.Letter)
}
