package currency

import (
	"fmt"
	"strings"
)

// This file asks about note positions and plate numbers that cannot be whole as they were typed. A sheet of 32 has
// the positions A1 to H4, one of 50 A1 to J5 [B4][CW4]; on sheets of 18, to about 1957, a letter from A to R stands
// alone [OO]. The face plate number has a number behind the letter of the position [AA][U1], on the web press a number
// alone [W4]. The remarks ask for another look and are no part of Check: what is small and easily passed over on the
// note must not make its serial doubtful.

// The last series whose sheets had 18 notes, and the first with sheets of 50.
var (
	lastOf18  = Series{Year: 1957, Letter: 'Z'}
	firstOf50 = Series{Year: 2013}
)

// CheckPosition asks about a note position that cannot be whole as typed, of a note of the series, which may be unknown,
// and from the web press or not.
func CheckPosition(text string, s Series, web bool) []Remark {
	t := strings.ToUpper(strings.TrimSpace(text))
	ask := func(source, text string) []Remark {
		return one(LookAgain, KindPosition, Published, source, text)
	}
	switch {
	case t == "":
		return nil
	case web:
		return ask("[OO]", fmt.Sprintf("%s as note position: a web-press note has none. Look again whether it is one.", t))
	case isPosition(t, 'J', '5'):
		if s.Known() && s.Compare(firstOf50) < 0 && !isPosition(t, 'H', '4') {
			return ask("[B4][CW4]", fmt.Sprintf("%s is on sheets of 50 alone, from Series 2013 on; before, positions are A1 to H4.", t))
		}
		return nil
	case len(t) == 1 && 'A' <= t[0] && t[0] <= 'R':
		if s.Known() && s.Compare(lastOf18) <= 0 {
			return nil
		}
		return ask("[B4][OO]", fmt.Sprintf("%s alone is whole only on notes to about 1957; on later ones a digit stands behind it, as F4.", t))
	case len(t) == 1 && '1' <= t[0] && t[0] <= '5':
		return ask("[B4]", fmt.Sprintf("%s alone is no whole note position: a letter stands before it, as F4.", t))
	case len(t) == 2 && isPosition(t[1:]+t[:1], 'J', '5'):
		return ask("[B4]", fmt.Sprintf("In a note position the letter comes first: is it %s?", t[1:]+t[:1]))
	}
	return ask("[B4][OO]", fmt.Sprintf("No sheet has a note position %s: they are A1 to H4, on sheets of 50 A1 to J5.", t))
}

// isPosition reports whether a text is a letter up to last and a digit from 1 up to most.
func isPosition(t string, last, most byte) bool {
	return len(t) == 2 && 'A' <= t[0] && t[0] <= last && '1' <= t[1] && t[1] <= most
}

// CheckFacePlate asks about a face plate number that cannot be whole as typed, or that has another letter than the
// note position, of a note from the web press or not.
func CheckFacePlate(text, position string, web bool) []Remark {
	t := strings.ToUpper(strings.TrimSpace(text))
	letter, number := splitPlate(t)
	position = strings.ToUpper(strings.TrimSpace(position))
	ask := func(source, text string) []Remark { return one(LookAgain, KindPlate, Published, source, text) }
	switch {
	case t == "":
		return nil
	case number == "":
		return ask("[AA][U1]", fmt.Sprintf("%s has no number yet: on the note one stands behind the letter, as F 12.", t))
	case letter == "" && !web:
		return ask("[AA][U1][W4]", fmt.Sprintf("%s has no letter: one stands before the number, except on web-press notes.", t))
	case letter != "" && web:
		return ask("[W4]", fmt.Sprintf("%s has a letter: on web-press notes the number stands alone. Look again whether it is one.", t))
	case letter != "" && position != "" && letter[0] != position[0] && 'A' <= position[0]:
		return ask("[AA][U1]", fmt.Sprintf("The face plate has the letter of the note position: %s and %s do not go together.", t, position))
	}
	return nil
}

// splitPlate parts a face plate number into its letters, without FW and blanks, and its number.
func splitPlate(t string) (letter, number string) {
	t = strings.ReplaceAll(strings.TrimPrefix(t, "FW"), " ", "")
	number = strings.TrimLeft(t, "ABCDEFGHIJKLMNOPQRSTUVWXYZ*")
	return t[:len(t)-len(number)], number
}

// CheckBackPlate asks about a back plate number that has no digit (common practice, no source: plates are numbered).
func CheckBackPlate(text string) []Remark {
	t := strings.ToUpper(strings.TrimSpace(text))
	if t == "" || strings.ContainsAny(t, "0123456789") {
		return nil
	}
	return one(LookAgain, KindPlate, Common, practice, fmt.Sprintf("%s has no number: is it the back plate number?", t))
}
