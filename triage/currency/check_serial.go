package currency

import (
	"fmt"
	"strings"
)

// lookAlikes has the letters most easily taken for one that cannot stand there. Common practice, no
// source, except O, P and M, which were asked about by collectors.
var lookAlikes = map[byte]string{
	'M': "H", 'N': "H", 'O': "C, D or G", 'P': "D or F", 'Q': "C or G", 'R': "B or K", 'S': "B or G",
	'T': "I", 'U': "J or L", 'V': "L", 'W': "H", 'X': "K", 'Y': "K", 'Z': "E",
}

// prefixLength asks for one letter or two: $1 and $2 always have one, $5 and up one to Series 1995 and
// two from the new designs of Series 1996 on [B1][B3].
func prefixLength(r reading) []Remark {
	switch n := len(r.Prefix); {
	case n > 2:
		return one(LookAgain, KindPrefixLength, Published, "[B1]", fmt.Sprintf("%s are %d letters before the digits; a note has one or two. Look at the serial again.", r.Prefix, n))
	case n == 2 && (r.Denomination == 1 || r.Denomination == 2):
		return one(LookAgain, KindPrefixLength, Published, "[B1][U1]", fmt.Sprintf("A $%d has one letter before the digits. %s", r.Denomination, twoLettersMean(r.Prefix)))
	case n == 2 && r.old() && r.class.lettered():
		return one(LookAgain, KindPrefixLength, Published, "[DB]", fmt.Sprintf("A %s has one letter before the digits. %s", r.class, twoLettersMean(r.Prefix)))
	case n == 2 && r.Series.Known() && r.Series.Compare(Series{1996, 0}) < 0:
		return one(LookAgain, KindPrefixLength, Published, "[B1][B3]", fmt.Sprintf("Two letters before the digits begin with Series 1996; this one is said to be Series %s. Look again at series and letters.", r.Series))
	case n == 1 && r.bank() && r.Denomination >= 5 && r.Series.Compare(Series{1996, 0}) >= 0:
		return one(LookAgain, KindPrefixLength, Published, "[B1][B3]", fmt.Sprintf("A $%d of Series %s has two letters before the digits, the series letter and the bank's. Look for the one that is missing.", r.Denomination, r.Series))
	}
	return nil
}

// twoLettersMean says what two letters would be on a note that has them.
func twoLettersMean(prefix string) string {
	row, known := SeriesOfLetter(prefix[0])
	bank, ok := BankOf(prefix[1])
	if !known || !ok {
		return fmt.Sprintf("With %s a key may have slipped: look at the serial again.", prefix)
	}
	return fmt.Sprintf("%s would be a $5 or higher of Series %s, %s; or a key slipped. Look at both.", prefix, row.Series, bank.City)
}

// prefixLetters looks whether the letters can stand before the digits.
func prefixLetters(r reading) []Remark {
	if r.Prefix == "" || len(r.Prefix) > 2 {
		return nil
	}
	if !allLetters(r.Prefix) {
		return one(LookAgain, KindPrefix, Published, "[B1]", fmt.Sprintf("%q before the digits is not made of letters. Look at the serial again.", r.Prefix))
	}
	if r.old() {
		return oldPrefix(r)
	}
	return append(firstOfTwo(r), bankPrefix(r)...)
}

func oldPrefix(r reading) []Remark {
	if !r.class.lettered() || !strings.Contains(r.Prefix, "O") {
		return nil
	}
	return one(LookAgain, KindPrefix, Published, "[DB][CT4]", fmt.Sprintf("The letter O is never used on a %s; it may be a Q, C, D or G. Look at it again.", r.class))
}

// firstOfTwo looks at the series letter of a $5 or higher.
func firstOfTwo(r reading) []Remark {
	letter := r.seriesLetter()
	if letter == 0 {
		return nil
	}
	if _, ok := SeriesOfLetter(letter); ok {
		return nil
	}
	if letter == 'O' {
		return one(LookAgain, KindPrefix, Published, "[B1][U1]", "The letter O is never used, so it is no series letter; it may be a Q, C, D or G. Look at it again.")
	}
	return one(LookAgain, KindPrefix, Published, "[U1]", fmt.Sprintf("%c is not among the series letters known here, A to Q without O. Look at it again; a series newer than %s may have brought it.", letter, latest))
}

// bankPrefix looks at the bank's letter, A to L.
func bankPrefix(r reading) []Remark {
	letter := r.bankLetter()
	if _, ok := BankOf(letter); ok {
		return nil
	}
	text := fmt.Sprintf("%c before the digits is no district of a Federal Reserve note: these run from A to L.", letter)
	if !r.certain {
		text = fmt.Sprintf("%c before the digits cannot be on a note with a green seal, where districts run from A to L; on one with a blue or red seal it may.", letter)
	}
	return one(LookAgain, KindPrefix, Published, "[B1][U1]", text+perhaps(letter)+" Look at it again.")
}

// perhaps names the letters that look alike.
func perhaps(letter byte) string {
	if likely := lookAlikes[letter]; likely != "" {
		return fmt.Sprintf(" It may be %s.", likely)
	}
	return ""
}

func allLetters(s string) bool {
	for i := range len(s) {
		if s[i] < 'A' || s[i] > 'Z' {
			return false
		}
	}
	return true
}

// suffix looks at the letter behind the digits: never O; Z on the older classes alone.
func suffix(r reading) []Remark {
	switch l := r.Suffix; {
	case l == 0:
		return nil
	case l < 'A' || l > 'Z':
		return one(LookAgain, KindSuffix, Published, "[B1]", fmt.Sprintf("%q behind the digits is not a letter. Look at the serial again.", l))
	case r.Star && !r.StarFront:
		return one(LookAgain, KindSuffix, Published, "[B1][B6]", fmt.Sprintf("A star stands in place of the letter behind the digits, not beside it. Look which it is, the star or %c.", l))
	case l == 'O':
		return one(LookAgain, KindSuffix, Published, "[B1][DB]", "The letter O does not stand behind the digits; it is probably Q, D, C or G. Look at it again.")
	case l == 'Z' && r.bank() && r.certain:
		return one(NotFromCirculation, KindSuffix, Published, "[B1]", "Behind the digits of a Federal Reserve note the letter Z was kept for test printings. Read it again: it may be another letter; if it is a Z, show the note to a specialist.")
	case l == 'Z' && r.bank():
		return one(LookAgain, KindSuffix, Published, "[B1][DB]", "The letter Z behind the digits belongs to notes with a blue or red seal; with a green seal it was kept for test printings. Look at letter and seal.")
	}
	return nil
}

// starPlace looks where the star stands: behind on Federal Reserve notes, in front on silver
// certificates and United States notes [B1][DB].
func starPlace(r reading) []Remark {
	if !r.Star {
		return nil
	}
	switch {
	case r.bank() && r.certain && r.StarFront:
		return one(LookAgain, KindStarPlace, Published, "[B1][B6]", "On a Federal Reserve note the star stands behind the digits"+starBehind(r)+". In front it belongs to silver certificates and United States notes: look where it stands.")
	case r.bank() && r.StarFront:
		return one(LookAgain, KindStarPlace, Published, "[B1][DB]", "With a green seal the star stands behind the digits; in front it belongs to silver certificates (blue seal) and United States notes (red seal). Look at the colour of the seal.")
	case r.certain && r.class.starInFront() && !r.StarFront:
		return one(LookAgain, KindStarPlace, Published, "[DB]", fmt.Sprintf("On a %s the star stands in front of the digits, in place of the first letter. Look where it stands, and at the colour of the seal.", r.class))
	case r.certain && r.class.starInFront() && r.Prefix != "":
		return one(LookAgain, KindStarPlace, Published, "[DB]", fmt.Sprintf("On a %s the star stands in place of the first letter, not beside it. Look at the front of the serial.", r.class))
	}
	return nil
}

// starBehind gives the serial as it stands on a Federal Reserve note.
func starBehind(r reading) string {
	if !r.Whole || r.Suffix != 0 {
		return ""
	}
	return ": " + r.Prefix + r.Digits.String() + "*"
}

// allZero looks for the number that follows 99999999.
func allZero(r reading) []Remark {
	if !r.Whole || r.Digits != 0 {
		return nil
	}
	return one(NotFromCirculation, KindAllZero, Published, "[CT2]", "Eight zeros are not issued: the number was pulled and replaced by a star, and one escape is known; specimens have it too. Read it again; if it stands so, show the note to a specialist.")
}

// starNumber says that leading zeros mean nothing on a star, except on the truly low ones, which are
// left to the watch list.
func starNumber(r reading) []Remark {
	if !r.Whole || !r.Star || !r.bank() || r.Digits < 10_000 || r.Digits >= 10_000_000 {
		return nil
	}
	return one(Fine, KindStarNumber, Published, "[CT17]", "Star numbers seldom pass 30,000,000: a leading zero is usual and makes no low number.")
}
