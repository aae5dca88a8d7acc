package currency

import (
	"cmp"
	"errors"
	"fmt"
	"strings"
)

// A Series is the year on a note and the small letter that may follow it. The year is when a design
// was approved or new signatures were worked in, not when the note was printed [U1][CW13].
type Series struct {
	Year   int  // 1928 to 2099, 0 when unknown
	Letter byte // A to Y without I and O, 0 for none
}

// firstYear is the first series year of the small-size notes [DT].
const firstYear = 1928

// Known reports whether a series was said at all.
func (s Series) Known() bool { return s.Year != 0 }

// String gives the series as it is printed, "2017A"; empty when unknown.
func (s Series) String() string {
	switch {
	case !s.Known():
		return ""
	case s.Letter == 0:
		return fmt.Sprintf("%04d", s.Year)
	}
	return fmt.Sprintf("%04d%c", s.Year, s.Letter)
}

// Compare gives -1, 0 or 1: by year, then no letter before A before B. An unknown series comes first.
func (s Series) Compare(t Series) int {
	return cmp.Or(cmp.Compare(s.Year, t.Year), cmp.Compare(s.Letter, t.Letter))
}

// blanksAndHyphens may stand between year and letter.
var blanksAndHyphens = strings.NewReplacer(" ", "", "-", "")

// ParseSeries reads a year of four digits and the letter that may follow it: "2017A", "2017 a",
// "Series 1963-B". Whether such a series was printed is not asked here. The error says in plain words
// what is wrong.
func ParseSeries(text string) (Series, error) {
	t := strings.ToUpper(strings.TrimSpace(text))
	t = strings.TrimPrefix(t, "SERIES")
	t = blanksAndHyphens.Replace(t)
	digits := len(t) - len(strings.TrimLeft(t, "0123456789"))
	year, letter := t[:digits], t[digits:]
	switch {
	case t == "":
		return Series{}, errors.New("no series was typed: it is the year on the face, such as 2017A")
	case len(year) != 4:
		return Series{}, fmt.Errorf("%q is not a series: type all four digits of the year, then its letter if it has one", text)
	}
	s := Series{Year: int(year[0]-'0')*1000 + int(year[1]-'0')*100 + int(year[2]-'0')*10 + int(year[3]-'0')}
	switch {
	case s.Year < firstYear:
		return Series{}, fmt.Errorf("%q is not a series of the small-size notes: they begin with Series %d", text, firstYear)
	case s.Year > 2099:
		return Series{}, fmt.Errorf("%q is not a series: the year lies too far ahead", text)
	case letter == "":
		return s, nil
	case len(letter) > 1:
		return Series{}, fmt.Errorf("%q is not a series: one letter at most follows the year", text)
	case !strings.Contains("ABCDEFGHJKLMNPQRSTUVWXY", letter):
		return Series{}, fmt.Errorf("%q is not a series: %s does not follow a year", text, letter)
	}
	s.Letter = letter[0]
	return s, nil
}

// mustSeries reads a list of series parted by blanks. It serves the tables of this package alone,
// where a slip of the pen has to stop the tests.
func mustSeries(list string) []Series {
	var all []Series
	for _, text := range strings.Fields(list) {
		s, err := ParseSeries(text)
		if err != nil {
			panic(err)
		}
		all = append(all, s)
	}
	return all
}
