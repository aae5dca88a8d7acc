package triage

import (
	"fmt"
	"strconv"
	"strings"

	"app/unband/patterns"
)

// A SerialError says why a text is not a serial.
type SerialError struct {
	Text   string // as it was given
	Reason string // in plain words
}

func (e *SerialError) Error() string {
	return fmt.Sprintf("%q is not a serial: %s", e.Text, e.Reason)
}

// longestSerial bounds a text that is looked at as a serial, in bytes. Letters, digits, a star and
// the blanks between them need no more.
const longestSerial = 64

// ParseSerial reads a serial of any denomination as it is typed: one or two letters, eight digits,
// a letter or a star; letters and star may be missing, and blanks, hyphens and small letters do not
// matter. Notices say what was taken otherwise than written, as O for 0, and what is missing. Nothing is cut and nothing
// filled up: a text with seven or nine digits gives a *SerialError.
func ParseSerial(text string) (Serial, []Notice, error) {
	if len(text) > longestSerial {
		return Serial{}, nil, &SerialError{text[:longestSerial], fmt.Sprintf("it is %d characters long", len(text))}
	}
	e := newEntry(Denominations[len(Denominations)-1])
	var zeros []string // places at which O was taken as 0
	for _, r := range text {
		switch n := e.Type(r); n.Kind {
		case Quiet, TooManyDigits:
		case OTakenAsZero:
			zeros = append(zeros, strconv.Itoa(n.N))
		case UnknownKey:
			if n := strings.Count(text, "?"); n > 0 {
				return Serial{}, nil, &SerialError{text, fmt.Sprintf("%s unread (?): look at the note, nothing is guessed", Plural(n, "digit is", "digits are"))}
			}
			return Serial{}, nil, &SerialError{text, fmt.Sprintf("%q has no place in one", r)}
		default:
			if e.Digits != "" && n.Kind == LetterAmongDigits {
				return Serial{}, nil, &SerialError{text, tooFew(len(e.Digits))}
			}
			return Serial{}, nil, &SerialError{text, n.String()}
		}
	}
	if n := len(e.Digits); n != patterns.Places {
		return Serial{}, nil, &SerialError{text, tooFew(n)}
	}
	notices := zeroNotice(zeros)
	if e.Prefix != "" && e.Suffix == 0 && !e.Star {
		notices = append(notices, Notice{Kind: NothingBehind})
	}
	return e.Serial, notices, nil
}

// tooFew says that there are not eight digits, and the usual reason where there is one.
func tooFew(n int) string {
	said := Plural(n, "digit", "digits") + ", a serial has eight"
	if n == patterns.Places-1 {
		said += "; was a leading zero lost in a spreadsheet?"
	}
	return said
}

// zeroNotice says once what happened at several places.
func zeroNotice(places []string) []Notice {
	if len(places) == 0 {
		return nil
	}
	last, _ := strconv.Atoi(places[len(places)-1])
	n := Notice{Kind: OTakenAsZero, N: last}
	if len(places) > 1 {
		n.Text = strings.Join(places, ", ")
	}
	return []Notice{n}
}
