package currency

import (
	"fmt"
	"slices"
	"strings"
)

// A Choice is a series to choose, with the class it was printed in.
type Choice struct {
	Series Series
	Class  Class
	Doubt  string // why to look again before it is taken; empty when nothing speaks against it
}

// Suggest offers the series of a denomination that fit the keys typed so far, most likely first: the
// one taken last, then the newest, within a year the one without a letter. The last two digits of the
// year are enough ("17" gives 2017 and 2017A), one digit may begin or end them, four digits do too; a
// letter narrows them to itself. Of two prefix letters the first decides the series; what is typed
// against it comes with a doubt.
func Suggest(denomination int, prefix, typed string, last Series) []Choice {
	digits, letter := splitTyped(typed)
	var choices []Choice
	for _, l := range List(denomination) {
		if typedFits(l.Series, digits, letter) {
			choices = append(choices, Choice{l.Series, l.Class, ""})
		}
	}
	likeliest(choices, digits, last)
	return underPrefix(choices, denomination, strings.ToUpper(strings.TrimSpace(prefix)), digits+letter)
}

// Decided gives the series when one choice alone is free of doubt.
func Decided(choices []Choice) (s Series, ok bool) {
	for _, c := range choices {
		switch {
		case c.Doubt != "" || c.Series == s:
		case ok:
			return Series{}, false
		default:
			s, ok = c.Series, true
		}
	}
	return s, ok
}

// splitTyped parts what was typed into digits and letter, without blanks.
func splitTyped(typed string) (digits, letter string) {
	t := strings.ToUpper(blanksAndHyphens.Replace(typed))
	letter = strings.TrimLeft(t, "0123456789")
	return t[:len(t)-len(letter)], letter
}

// typedFits reports whether a series can be meant by the digits and the letter.
func typedFits(s Series, digits, letter string) bool {
	if letter != "" && (s.Letter == 0 || letter != string(rune(s.Letter))) {
		return false
	}
	return rank(s, digits) < notMeant
}

const notMeant = 3

// rank says how well digits fit a year, 0 best: begin or end of its last two digits, then begin of
// all four.
func rank(s Series, digits string) int {
	year := fmt.Sprintf("%04d", s.Year)
	switch {
	case len(digits) == 1 && (year[2:3] == digits || year[3:] == digits), strings.HasPrefix(year[2:], digits):
		return 0
	case strings.HasPrefix(year, digits):
		return 1
	}
	return notMeant
}

// likeliest sorts: the series taken last, then by rank, the newest year, no letter before A. Federal
// Reserve notes come before the older classes.
func likeliest(choices []Choice, digits string, last Series) {
	slices.SortStableFunc(choices, func(a, b Choice) int {
		for _, order := range []int{
			later(a.Series == last, b.Series == last),
			rank(a.Series, digits) - rank(b.Series, digits),
			later(a.Class == FederalReserveNote, b.Class == FederalReserveNote),
			b.Series.Year - a.Series.Year,
			int(a.Series.Letter) - int(b.Series.Letter),
		} {
			if order != 0 {
				return order
			}
		}
		return 0
	})
}

// later orders what is so before what is not.
func later(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// underPrefix lets the letters before the digits of a $5 or higher speak: two name the series, one
// stands on series up to 1995 alone [B1][U1].
func underPrefix(choices []Choice, denomination int, prefix, typed string) []Choice {
	if denomination < 5 {
		return choices
	}
	switch len(prefix) {
	case 1:
		return doubtful(choices, oneLetterDoubt)
	case 2:
		return bySeriesLetter(choices, denomination, prefix[0], typed)
	}
	return choices
}

func oneLetterDoubt(c Choice) string {
	if c.Class == FederalReserveNote && c.Series.Compare(Series{1996, 0}) >= 0 {
		return "two letters stand before the digits from Series 1996 on, here is one"
	}
	return ""
}

// bySeriesLetter leaves the series of the letter. Where it does not fit what was typed, or is not
// listed, it comes first with a doubt and what was typed follows with its own.
func bySeriesLetter(choices []Choice, denomination int, letter byte, typed string) []Choice {
	row, ok := SeriesOfLetter(letter)
	if !ok {
		return doubtful(choices, func(Choice) string { return fmt.Sprintf("%c is not among the series letters known here", letter) })
	}
	own := Choice{row.Series, FederalReserveNote, ""}
	if slices.Contains(choices, own) {
		return []Choice{own}
	}
	digits, small := splitTyped(typed)
	if !typedFits(row.Series, digits, small) {
		own.Doubt = fmt.Sprintf("%c before the digits belongs to Series %s, which does not fit %s", letter, row.Series, typed)
	} else {
		own.Doubt = fmt.Sprintf("%c belongs to Series %s, which is missing from the list of $%d notes kept here, from memory", letter, row.Series, denomination)
	}
	if typed == "" {
		return []Choice{own}
	}
	rest := doubtful(choices, func(Choice) string {
		return fmt.Sprintf("%c before the digits belongs to Series %s", letter, row.Series)
	})
	return append([]Choice{own}, rest...)
}

// doubtful puts the doubts on the choices; those without one stay in front.
func doubtful(choices []Choice, doubt func(Choice) string) []Choice {
	for i := range choices {
		choices[i].Doubt = doubt(choices[i])
	}
	slices.SortStableFunc(choices, func(a, b Choice) int { return later(a.Doubt == "", b.Doubt == "") })
	return choices
}
