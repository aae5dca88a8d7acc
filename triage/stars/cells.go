package stars

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/currency"
)

// A column is what a column of a list holds.
type column int

const (
	colDenomination column = iota
	colSeries
	colFrom
	colTo
	colQuantity
	colFacility
	colMonth
	colBank
	colSuffix
	colNotes        // the quantity, unless another column is named so: then these are remarks
	colSeriesLetter // known so that it is not taken for the series, and not used
)

// columns says at which cell of a line each column stands.
type columns map[column]int

// columnWords are the words by which a header names a column. The order decides where two would fit:
// "series letter" is no series, "beginning month" no beginning.
var columnWords = []struct {
	column column
	words  []string
}{
	{colSuffix, []string{"suffix"}},
	{colSeriesLetter, []string{"prefix", "seriesletter"}},
	{colMonth, []string{"month", "date", "period"}},
	{colDenomination, []string{"denomination", "denom", "denominations"}},
	{colFrom, []string{"from", "start", "starting", "begin", "begins", "beginning", "first", "low"}},
	{colTo, []string{"to", "end", "ending", "ends", "through", "thru", "last", "high"}},
	{colSeries, []string{"series"}},
	{colQuantity, []string{"quantity", "qty", "count"}},
	{colNotes, []string{"notes"}},
	{colFacility, []string{"facility", "plant", "location", "place"}},
	{colBank, []string{"bank", "district", "frb"}},
}

// readHeader finds the columns that a line names. Others are left out. It errs when two cells seem to
// name the same column; the first of them counts then.
func readHeader(cells []string) (found columns, err error) {
	found = columns{}
	for i, cell := range cells {
		c, ok := columnNamed(cell)
		if !ok {
			continue
		}
		if first, twice := found[c]; twice {
			err = fmt.Errorf("two columns seem to be the same, %s and %s", quoted(cells[first]), quoted(cell))
			continue
		}
		found[c] = i
	}
	if notes, ok := found[colNotes]; ok {
		delete(found, colNotes)
		if _, named := found[colQuantity]; !named {
			found[colQuantity] = notes
		}
	}
	return found, err
}

// camel is where a word begins inside one, as in "FromSerial".
var camel = regexp.MustCompile(`([a-z])([A-Z])`)

func columnNamed(cell string) (column, bool) {
	cell = camel.ReplaceAllString(cell, "$1 $2")
	words := strings.FieldsFunc(strings.ToLower(cell), func(r rune) bool { return !unicode.IsLetter(r) })
	if slices.Contains(words, "series") && slices.Contains(words, "letter") {
		return colSeriesLetter, true
	}
	for _, c := range columnWords {
		for _, w := range words {
			if slices.Contains(c.words, w) {
				return c.column, true
			}
		}
	}
	return 0, false
}

// complete reports whether the columns are there that no list can do without.
func (c columns) complete() bool {
	for _, need := range []column{colDenomination, colSeries, colFrom, colTo} {
		if _, ok := c[need]; !ok {
			return false
		}
	}
	return true
}

// cell gives the text in a column, "" where the line is shorter or the list has no such column.
func (c columns) cell(cells []string, which column) string {
	i, ok := c[which]
	if !ok || i >= len(cells) {
		return ""
	}
	return cells[i]
}

// run reads a line. Regular says that it is of notes without a star, which is all that is looked at
// then.
func (c columns) run(cells []string) (r Run, regular bool, err error) {
	from, to, err := c.serials(cells)
	if err != nil {
		return r, false, err
	}
	if from.suffix != '*' && to.suffix != '*' {
		return r, true, nil
	}
	if from.suffix != to.suffix {
		return r, false, fmt.Errorf("one of %s and %s has a star, the other has not", quoted(c.cell(cells, colFrom)), quoted(c.cell(cells, colTo)))
	}
	r.From, r.To = from.number, to.number
	for _, read := range []func() error{
		func() error { r.Denomination, err = readDenomination(c.cell(cells, colDenomination)); return err },
		func() error { r.Series, err = readSeries(c.cell(cells, colSeries)); return err },
		func() error { r.Bank, err = readBank(c.cell(cells, colBank)); return err },
		func() error { return r.setBank(from.prefix) },
		func() error { r.Quantity, err = readQuantity(c.cell(cells, colQuantity)); return err },
		func() error { r.Facility, err = readFacility(c.cell(cells, colFacility)); return err },
		func() error { r.Month, err = readMonth(c.cell(cells, colMonth)); return err },
	} {
		if err := read(); err != nil {
			return r, false, err
		}
	}
	return r, false, nil
}

// A listed serial is a number as a list has it.
type listedSerial struct {
	prefix string // none to two letters
	number patterns.Digits
	suffix rune // '*', a letter, or 0 when the cell has none
}

// serials reads both ends. What one of them does not say is taken from the other and from the column
// of the suffix.
func (c columns) serials(cells []string) (from, to listedSerial, err error) {
	suffix, err := readSuffix(c.cell(cells, colSuffix))
	if err != nil {
		return from, to, err
	}
	if from, err = readListed(c.cell(cells, colFrom), "from"); err != nil {
		return from, to, err
	}
	if to, err = readListed(c.cell(cells, colTo), "to"); err != nil {
		return from, to, err
	}
	if from.prefix, err = one(from.prefix, to.prefix, "letters before the digits"); err != nil {
		return from, to, err
	}
	for _, s := range []*listedSerial{&from, &to} {
		if s.suffix, err = one(s.suffix, suffix, "suffixes"); err != nil {
			return from, to, err
		}
		if s.suffix == 0 {
			return from, to, errors.New("neither a star nor a suffix letter is given, so it may be a regular run")
		}
	}
	return from, to, nil
}

// one gives the value that at least one place says, when they do not disagree.
func one[T string | rune](a, b T, what string) (T, error) {
	var unsaid T
	switch {
	case !agree(a, b):
		return a, fmt.Errorf("the %s differ: %s and %s", what, string(a), string(b))
	case a == unsaid:
		return b, nil
	}
	return a, nil
}

// listedForm is letters, digits with or without marks for the thousands, and a letter or star.
var listedForm = regexp.MustCompile(`^([A-Z]{0,2}) ?([0-9]+|[0-9]{1,3}(?:,[0-9]{3})+|[0-9]{1,3}(?: [0-9]{3})+) ?([A-Z*]?)$`)

// A TypedRun is a run as a person types it from a list, cell by cell.
type TypedRun struct{ From, To, Quantity, Facility, Month, Listed string }

// A CellError says which cell of a typed run cannot be read.
type CellError struct {
	Cell int // 0 for From, in the order of the fields
	Err  error
}

func (e *CellError) Error() string { return e.Err.Error() }
func (e *CellError) Unwrap() error { return e.Err }

// Run reads a typed run of a group, as strictly as a list: what a cell says besides its number must fit
// the group. The error is a *CellError.
func (t TypedRun) Run(g Group) (Run, error) {
	r := Run{Denomination: g.Denomination, Series: g.Series, Bank: g.Bank}
	number := func(cell, name string) (patterns.Digits, error) {
		s, err := readListed(cell, name)
		switch {
		case err != nil:
			return 0, err
		case s.suffix != 0 && s.suffix != '*':
			return 0, fmt.Errorf("%s has the suffix of an ordinary run, not a star", quoted(cell))
		case s.prefix == "":
			return s.number, nil
		}
		other := Run{Denomination: g.Denomination, Series: g.Series, Bank: g.Bank}
		return s.number, other.setBank(s.prefix)
	}
	var err error
	for i, read := range []func(){
		func() { r.From, err = number(t.From, "from") },
		func() { r.To, err = number(t.To, "to") },
		func() { r.Quantity, err = readQuantity(t.Quantity) },
		func() { r.Facility, err = readFacility(t.Facility) },
		func() { r.Month, err = readMonth(t.Month) },
		func() {
			if t.Listed != "" {
				if r.Listed, err = time.Parse(time.DateOnly, strings.TrimSpace(t.Listed)); err != nil {
					err = fmt.Errorf("%s is not a day such as 2026-11-25", quoted(t.Listed))
				}
			}
		},
	} {
		if read(); err != nil {
			return r, &CellError{i, err}
		}
	}
	return r, nil
}

// readListed reads a number as reports write it: "C 38,400,001 *", "MC38400001*", "38400001". A leading
// zero may be gone: a list gives numbers, not the picture of the note.
func readListed(cell, name string) (s listedSerial, err error) {
	if cell == "" {
		return s, fmt.Errorf("the number %q is blank", name)
	}
	m := listedForm.FindStringSubmatch(plainText(cell))
	if m == nil {
		return s, fmt.Errorf("%s is not a number of a note such as C 38,400,001 *", quoted(cell))
	}
	digits := thousandsMarks.Replace(m[2])
	if len(digits) > patterns.Places {
		return s, fmt.Errorf("%s has %d digits, a serial has %d", quoted(cell), len(digits), patterns.Places)
	}
	n, _ := strconv.ParseUint(digits, 10, 32)
	s = listedSerial{prefix: m[1], number: patterns.Digits(n)}
	for _, r := range m[3] {
		s.suffix = r
	}
	return s, nil
}

var thousandsMarks = strings.NewReplacer(",", "", " ", "")

// plainText makes capital letters, one kind of blank, never two in a row, and one kind of star.
func plainText(cell string) string {
	text := strings.Join(strings.Fields(strings.ToUpper(cell)), " ")
	return strings.NewReplacer("★", "*", "☆", "*").Replace(text)
}

func readSuffix(cell string) (rune, error) {
	switch text := plainText(cell); {
	case text == "":
		return 0, nil
	case text == "*" || text == "STAR":
		return '*', nil
	case len(text) == 1 && 'A' <= text[0] && text[0] <= 'Z':
		return rune(text[0]), nil
	}
	return 0, fmt.Errorf("%s is not a suffix: a letter or *", quoted(cell))
}

func readDenomination(cell string) (triage.Denomination, error) {
	if cell == "" {
		return 0, errors.New("the denomination is blank")
	}
	text := strings.TrimSuffix(strings.TrimSpace(strings.TrimPrefix(cell, "$")), ".00")
	n, err := strconv.Atoi(text)
	if d := triage.Denomination(n); err == nil && d.Valid() {
		return d, nil
	}
	return 0, fmt.Errorf("%s is no denomination of Federal Reserve notes", quoted(cell))
}

func readSeries(cell string) (string, error) {
	if cell == "" {
		return "", errors.New("the series is blank")
	}
	text := strings.NewReplacer(" ", "", "-", "").Replace(plainText(cell))
	if !seriesForm.MatchString(text) {
		return "", fmt.Errorf("%s is not a series such as 2017 or 2017A", quoted(cell))
	}
	return text, nil
}

// readBank takes a letter, the number of the district or the city.
func readBank(cell string) (byte, error) {
	text := plainText(cell)
	if text == "" {
		return 0, nil
	}
	if len(text) == 1 && bankLetter(text[0]) {
		return text[0], nil
	}
	number, _ := strconv.Atoi(text)
	for _, b := range currency.Banks {
		if b.Number == number || strings.EqualFold(text, b.City) {
			return b.Letter, nil
		}
	}
	return 0, fmt.Errorf("%s is no Federal Reserve Bank: a letter A to L, a district 1 to 12 or a city", quoted(cell))
}

// setBank takes the bank from the letters before the digits, the last of which is the bank's, and
// compares it with its own column.
func (r *Run) setBank(prefix string) error {
	named := r.Bank
	switch {
	case prefix == "" && named == 0:
		return errors.New("no bank is named: no letter before the digits, and no column with it")
	case prefix == "":
		return nil
	case len(prefix) == 2 && (r.Denomination <= 2 || year(r.Series) < 1996):
		return fmt.Errorf("%s before the digits: %v notes of Series %s have one letter", prefix, r.Denomination, r.Series)
	case len(prefix) == 1 && named == 0 && twoLetters(r.Denomination, r.Series):
		return fmt.Errorf("%s before the digits: %v notes of Series %s have two letters, and the second names the bank", prefix, r.Denomination, r.Series)
	}
	r.Bank = prefix[len(prefix)-1]
	switch {
	case !bankLetter(r.Bank):
		return fmt.Errorf("%s before the digits names no Federal Reserve Bank: A to L", prefix)
	case named != 0 && named != r.Bank:
		return fmt.Errorf("%s before the digits is the bank %c, its own column says %c", prefix, r.Bank, named)
	}
	return nil
}

// quantityForm is a number with or without marks for the thousands.
var quantityForm = regexp.MustCompile(`^([0-9]{1,9}|[0-9]{1,3}(?:,[0-9]{3}){1,2}|[0-9]{1,3}(?: [0-9]{3}){1,2})$`)

func readQuantity(cell string) (int, error) {
	text := plainText(cell)
	if text == "" || text == "-" {
		return 0, nil
	}
	if !quantityForm.MatchString(text) {
		return 0, fmt.Errorf("%s is not a number of notes", quoted(cell))
	}
	n, err := strconv.Atoi(thousandsMarks.Replace(text))
	if err != nil || n == 0 {
		return 0, fmt.Errorf("%s is not a number of notes: leave it blank when it is not known", quoted(cell))
	}
	return n, nil
}

// readFacility knows the names in use (from memory: the Bureau calls its two plants the D.C. or Eastern
// and the Western Currency Facility).
func readFacility(cell string) (Facility, error) {
	switch text := strings.NewReplacer(".", "", ",", "", " ", "").Replace(plainText(cell)); text {
	case "":
		return AnyFacility, nil
	case "DC", "WASHINGTON", "WASHINGTONDC", "DCF", "ECF":
		return Washington, nil
	case "FW", "FORTWORTH", "FORTWORTHTX", "FORTWORTHTEXAS", "FTWORTH", "FTWORTHTX", "WCF":
		return FortWorth, nil
	}
	return AnyFacility, fmt.Errorf("%s is no facility: Washington (or DC) or Fort Worth (or FW)", quoted(cell))
}

// monthForms are the ways a month is written. A day before or after the month is not among them but in
// the one form that cannot be read in two ways.
var monthForms = []string{"2006-01", "2006/01", "01/2006", "1/2006", "01-2006", "1-2006", "200601",
	"January 2006", "January, 2006", "Jan 2006", "Jan-2006", "Jan-06", "2006-01-02"}

func readMonth(cell string) (Month, error) {
	text := plainText(cell)
	if text == "" {
		return 0, nil
	}
	for _, form := range monthForms {
		t, err := time.Parse(form, text)
		if err != nil {
			continue
		}
		if m := MonthOf(t.Year(), t.Month()); m.Valid() {
			return m, nil
		}
	}
	return 0, fmt.Errorf("%s is not a month such as 2014-10 or October 2014", quoted(cell))
}
