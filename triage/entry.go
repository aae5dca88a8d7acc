package triage

import "app/unband/patterns"

// maxTyped bounds how many digits an entry holds while it is wrong. Digits past the eighth are
// shown and must be taken back: cutting them off would hide that one was typed twice.
const maxTyped = 12

// An Entry is a serial while it is being typed, one character at a time. Unlike a decided Serial
// it may hold more than eight digits.
type Entry struct {
	Serial
	denomination Denomination
}

// newEntry starts an empty entry for a note of the denomination.
func newEntry(d Denomination) Entry { return Entry{denomination: d} }

// Complete reports whether exactly eight digits stand.
func (e Entry) Complete() bool { return len(e.Digits) == patterns.Places }

// Partial reports whether something stands, but not eight digits.
func (e Entry) Partial() bool { return !e.Empty() && !e.Complete() }

// Type takes one character. A character that has no place is left out and the notice says why;
// what stood before still stands.
func (e *Entry) Type(r rune) Notice {
	if 'a' <= r && r <= 'z' {
		r += 'A' - 'a'
	}
	switch {
	case '0' <= r && r <= '9':
		return e.digit(byte(r))
	case r == 'O' && len(e.Digits) < patterns.Places:
		// The letter O is never a prefix and the digits are not finished: it is a zero. Bank letters
		// run A to L and series letters leave O out (BEP, Serial Numbers).
		if n := e.digit('0'); n.Kind != Quiet {
			return n
		}
		return Notice{Kind: OTakenAsZero, N: len(e.Digits)}
	case 'A' <= r && r <= 'Z':
		return e.letter(byte(r))
	case r == '*' || r == '★' || r == '☆':
		return e.star()
	case r == ' ' || r == '-':
		return Notice{}
	}
	return Notice{Kind: UnknownKey, Text: string(r)}
}

func (e *Entry) digit(d byte) Notice {
	switch {
	case e.Suffix != 0 || e.Star && !e.StarFront:
		return Notice{Kind: DigitBehind, Text: string(d)}
	case len(e.Digits) >= maxTyped:
		return Notice{Kind: TooManyDigits, N: len(e.Digits)}
	}
	e.Digits += string(d)
	if len(e.Digits) > patterns.Places {
		return Notice{Kind: TooManyDigits, N: len(e.Digits)}
	}
	return Notice{}
}

func (e *Entry) letter(l byte) Notice {
	switch n := len(e.Digits); {
	case n == 0:
		return e.prefix(l)
	case n < patterns.Places:
		return Notice{Kind: LetterAmongDigits, N: n, Text: string(l)}
	case n > patterns.Places:
		return Notice{Kind: TooManyDigits, N: n}
	case e.Star && !e.StarFront:
		return Notice{Kind: StarAndSuffix}
	case e.Suffix != 0:
		return Notice{Kind: SecondSuffix, Text: string(l)}
	case l == 'O':
		return Notice{Kind: NoSuchSuffix, Text: "O"}
	}
	e.Suffix = l
	return Notice{}
}

// prefix adds a letter in front of the digits: one on $1 and $2 of every series, two on the newer
// notes of $5 and up (BEP, Serial Numbers).
func (e *Entry) prefix(l byte) Notice {
	switch {
	case len(e.Prefix) == 1 && e.denomination <= 2:
		return Notice{Kind: SecondPrefix, Text: string(l)}
	case len(e.Prefix) == 2:
		return Notice{Kind: ThirdPrefix, Text: string(l)}
	}
	e.Prefix += string(l)
	return Notice{}
}

func (e *Entry) star() Notice {
	switch n := len(e.Digits); {
	case e.Star:
		return Notice{Kind: StarAndSuffix}
	case n == 0 && e.Prefix == "":
		e.Star, e.StarFront = true, true
	case n < patterns.Places || n == 0:
		return Notice{Kind: StarAmongDigits}
	case n > patterns.Places:
		return Notice{Kind: TooManyDigits, N: n}
	case e.Suffix != 0:
		return Notice{Kind: StarAndSuffix}
	default:
		e.Star = true
	}
	return Notice{}
}

// Erase takes back the last character.
func (e *Entry) Erase() Notice {
	switch {
	case e.Suffix != 0:
		e.Suffix = 0
	case e.Star && !e.StarFront:
		e.Star = false
	case e.Digits != "":
		e.Digits = e.Digits[:len(e.Digits)-1]
	case e.Prefix != "":
		e.Prefix = e.Prefix[:len(e.Prefix)-1]
	case e.Star:
		e.Star, e.StarFront = false, false
	default:
		return Notice{Kind: NothingToErase}
	}
	return Notice{}
}

// bankLetter reports whether the letter names one of the twelve Federal Reserve Banks.
func bankLetter(l byte) bool { return 'A' <= l && l <= 'L' }
