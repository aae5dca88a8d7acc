package currency

import (
	"fmt"
	"slices"
	"strings"
)

// seriesLetter compares the first of two prefix letters with the series [U1].
func seriesLetter(r reading) []Remark {
	letter := r.seriesLetter()
	row, ok := SeriesOfLetter(letter)
	if !ok || !r.Series.Known() || row.Series == r.Series || r.Series.Compare(Series{1996, 0}) < 0 {
		return nil
	}
	text := fmt.Sprintf("The letter %c belongs to Series %s", letter, row.Series)
	if letters := LettersOfSeries(r.Series); letters != "" {
		text += fmt.Sprintf(", %s to Series %s", strings.Join(strings.Split(letters, ""), " or "), r.Series)
	} else {
		text += fmt.Sprintf(", not to Series %s", r.Series)
	}
	text += ". One of the two was misread"
	if row.Series.Year == r.Series.Year {
		text += " (a small letter after the year is easily passed over)"
	}
	return one(LookAgain, KindSeriesLetter, Published, row.Source, text+": look at both.")
}

// knownSeries looks whether the series is known for class and denomination. Missing from a list that
// is known to be whole, it is contradicted; missing elsewhere, it is asked about.
func knownSeries(r reading) []Remark {
	if !r.series.Known() || List(r.Denomination) == nil || listed(r) {
		return nil
	}
	name := r.noteName()
	if r.series.Compare(latest) > 0 {
		return one(LookAgain, KindSeries, Memory, fromMemory, fmt.Sprintf("Series %s is newer than what is known here, which ends with Series %s. Look at year and letter once more.", r.series, latest))
	}
	g, ok := gapOf(r.class, r.Denomination, r.series)
	switch {
	case ok && g.Until != "" && r.letterAgrees():
		return one(Fine, KindSeries, g.Sure, g.Source, fmt.Sprintf("Up to %s no %s of Series %s was known; the series letter bears it out, so it is newer than that.", g.Until, name, r.series))
	case ok && g.Until != "":
		return one(LookAgain, KindSeries, g.Sure, g.Source, fmt.Sprintf("Up to %s no %s of Series %s was known: %s. It may be newer than that; look at year and letter once more.", g.Until, name, r.series, g.Why))
	case ok && g.Sure == Published:
		return one(LookAgain, KindSeries, g.Sure, g.Source, fmt.Sprintf("No %s of Series %s is on record: %s. %s", name, r.series, g.Why, r.instead()))
	}
	return one(LookAgain, KindSeries, Memory, fromMemory, fmt.Sprintf("Series %s%s is not in the list kept here for the %s, which is from memory. %s", r.series, r.whySeries(), name, r.instead()))
}

// whySeries says that the series was not typed but told by the letter.
func (r reading) whySeries() string {
	if !r.byLetter {
		return ""
	}
	return fmt.Sprintf(" (by the letter %c)", r.seriesLetter())
}

// listed reports whether the series is known for the class, or for any class while it is not certain.
func listed(r reading) bool {
	found := find(r.Denomination, r.series)
	if !r.certain {
		return len(found) > 0
	}
	return slices.ContainsFunc(found, func(l Listed) bool { return l.Class == r.class })
}

// letterAgrees reports whether the first of two prefix letters names the series that was said.
func (r reading) letterAgrees() bool {
	row, ok := SeriesOfLetter(r.seriesLetter())
	return ok && row.Series == r.Series
}

// noteName gives denomination and class as they stand in a sentence: "$1 Federal Reserve note".
func (r reading) noteName() string {
	if !r.certain {
		return fmt.Sprintf("$%d note", r.Denomination)
	}
	return fmt.Sprintf("$%d %s", r.Denomination, r.class)
}

// instead says what the series may be: near ones, another class, another denomination.
func (r reading) instead() string {
	var parts []string
	if near := r.nearSeries(); len(near) > 0 {
		parts = append(parts, "near it "+isAre(near)+enumerate(near, "and"))
	}
	for _, l := range find(r.Denomination, r.series) {
		parts = append(parts, fmt.Sprintf("a $%d of that series is a %s (%s seal)", r.Denomination, l.Class, SealOf(l.Class)))
	}
	if others := otherDenominations(r.class, r.Denomination, r.series); len(others) > 0 {
		parts = append(parts, fmt.Sprintf("the series is known for the %s", enumerate(others, "and")))
	}
	if len(parts) == 0 {
		return "Look again at year and letter."
	}
	return "Look again at year and letter: " + strings.Join(parts, "; ") + "."
}

// nearSeries gives the two series before and the one after, of the class when that is certain.
func (r reading) nearSeries() (near []string) {
	var before, after []string
	for _, l := range List(r.Denomination) {
		switch {
		case r.certain && l.Class != r.class:
		case l.Series.Compare(r.series) < 0:
			before = append(before, l.Series.String())
		default:
			after = append(after, l.Series.String())
		}
	}
	near = append(near, before[max(0, len(before)-2):]...)
	return append(near, after[:min(1, len(after))]...)
}

func otherDenominations(c Class, denomination int, s Series) (others []string) {
	for _, d := range []int{1, 2, 5, 10, 20, 50, 100} {
		if _, ok := Exists(c, d, s); ok && d != denomination {
			others = append(others, fmt.Sprintf("$%d", d))
		}
	}
	return others
}

func isAre(words []string) string {
	if len(words) == 1 {
		return "is "
	}
	return "are "
}

// enumerate joins words: "a", "a and b", "a, b and c".
func enumerate(words []string, last string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	n := len(words) - 1
	return strings.Join(words[:n], ", ") + " " + last + " " + words[n]
}

// yearLetter asks for the small letter after the year of a Federal Reserve star that was given none, where both forms
// were printed: the runs differ. Two prefix letters decide by themselves.
func yearLetter(r reading) []Remark {
	if !r.Star || !r.bank() || !r.certain || !r.Series.Known() || r.Series.Letter != 0 || r.NoLetter || r.seriesLetter() != 0 {
		return nil
	}
	forms := Forms(r.class, r.Denomination, r.Series.Year)
	if len(forms) < 2 || forms[0] != r.Series {
		return nil
	}
	var words []string
	sure := Published
	for _, s := range forms {
		l, _ := Exists(r.class, r.Denomination, s)
		words, sure = append(words, s.String()), min(sure, l.Sure)
	}
	return one(LookAgain, KindYearLetter, sure, sourceOr(sure, "[CT16]"), fmt.Sprintf("Look whether a small letter follows the year: %s are known, and their star runs differ.", enumerate(words, "and")))
}

// district compares the bank with those the series was printed for.
func district(r reading) []Remark {
	bank, ok := BankOf(r.bankLetter())
	if !ok || !r.bank() {
		return nil
	}
	row, ok := DistrictsOf(r.Denomination, r.series, r.Star)
	if !ok || row.has(bank.Letter) {
		return nil
	}
	notes := "notes"
	if row.StarsOnly {
		notes = "stars"
	}
	if row.Sure != Published {
		return one(LookAgain, KindDistrict, Memory, fromMemory, fmt.Sprintf("As remembered, $%d %s of Series %s went to %s, and %c is not among them. Look again at letter and series.", r.Denomination, notes, r.series, bankList(row.Banks), bank.Letter))
	}
	return one(LookAgain, KindDistrict, row.Sure, row.Source, fmt.Sprintf("On record, $%d %s of Series %s were printed for %s, so not for %c (%s). Look again at letter and series.", r.Denomination, notes, r.series, bankList(row.Banks), bank.Letter, bank.City))
}

// bankList names the banks of a row, or those that are missing when these are fewer.
func bankList(letters string) string {
	if len(letters) <= 6 {
		return enumerate(strings.Split(letters, ""), "and") + " only"
	}
	var missing []string
	for _, b := range Banks {
		if strings.IndexByte(letters, b.Letter) < 0 {
			missing = append(missing, string(b.Letter))
		}
	}
	return "every bank but " + enumerate(missing, "and")
}

// highest compares the serial with the cap of denomination and era.
func highest(r reading) []Remark {
	if !r.Whole || !r.bank() {
		return nil
	}
	c, ok := CapOf(r.Denomination, r.series)
	if !ok || r.Digits <= c.Highest {
		return nil
	}
	top := thousands(int(c.Highest))
	switch {
	case !r.series.Known():
		return one(LookAgain, KindHighest, c.Sure, c.Source, fmt.Sprintf("Above %s, the highest circulation serial of today's $%d; up to about Series 1985 numbers went to 99,840,000 and 99,999,999. Read the serial again and look at the series.", top, r.Denomination))
	case c.Sure != Published:
		return one(LookAgain, KindHighest, Memory, fromMemory, fmt.Sprintf("Above %s, which is remembered as the highest circulation serial of about Series %s. Read the serial again.", top, r.series))
	}
	return one(NotFromCirculation, KindHighest, c.Sure, c.Source, fmt.Sprintf("Above %s, the highest circulation serial of a $%d of Series %s. Read the serial again; if it stands so, the note was most likely cut from an uncut sheet sold to collectors.", top, r.Denomination, r.series))
}

// thousands writes a number with commas: 96,000,000.
func thousands(n int) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
