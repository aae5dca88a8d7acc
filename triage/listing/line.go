package listing

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"app/unband/patterns"
	"app/unband/triage"
)

// A Reader reads the lines of a list one after the other. It is for one goroutine.
type Reader struct {
	layout Layout
	header string
	form   form
	zeros  Answer
	beside []int // other columns with serials in them
	rival  bool  // one of them has about as many
	digits bool  // most serials of the list have no letters beside them

	cells  []string
	quotes quotes
	number int                 // by which the list counts the note read last, 0 when it does not
	face   triage.Denomination // of the note read last, 0 when the list does not say it
	second bool                // the line has another serial beside
	note   Note
	left   LeftOut
}

// Reader starts reading lines as the layout of the list has them. Of the answers it needs Denomination
// and Zeros; what is asked about several lines at once is Take's.
func (l *List) Reader(a Answers) *Reader {
	r := &Reader{layout: l.layout, form: anyForm, zeros: a.Zeros}
	if d := a.Denomination; d == 1 || d == 2 {
		r.form.prefixes = 1
	}
	if l.layout.Header > 0 {
		r.header = trim(l.line(l.layout.Header))
	}
	columns := l.tables[l.layout.Separator].columns
	serials := columns[l.layout.Column].serials()
	r.digits = columns[l.layout.Column].withLetters()*2 <= serials
	for i := range columns {
		if n := columns[i].withLetters(); i != l.layout.Column && n > 0 {
			r.beside = append(r.beside, i)
			r.rival = r.rival || n*2 >= serials
		}
	}
	return r
}

// Line reads the line with a number. It gives a note, or why the line is none; both are nil for a blank
// line, and good until the next line.
func (r *Reader) Line(number int, line string) (*Note, *LeftOut) {
	r.face, r.second = 0, false
	r.cells, r.quotes = splitLine(line, r.layout.Separator, r.cells[:0])
	if !slices.ContainsFunc(r.cells, func(c string) bool { return c != "" }) {
		return nil, nil
	}
	if r.header != "" && trim(line) == r.header {
		return nil, r.leave(number, line, Header, "the header")
	}
	if r.quotes == rest {
		kind := NoSerial
		if !strings.ContainsFunc(line, func(r rune) bool { return unicode.IsDigit(r) || r == '?' }) {
			kind = Heading
		}
		return nil, r.leave(number, line, kind, "the rest of a quoted cell; give each note one line")
	}
	c, before := r.serial(), r.number
	r.marks()
	next := before != 0 && r.number == before+1
	marked := next || r.face != 0 || before == 0 && r.number != 0
	if kind, why := r.none(c, number, line, marked, next); why != "" {
		r.number = before
		return nil, r.leave(number, line, kind, why)
	}
	if c.shape == other {
		c = r.blank(c, line)
	}
	r.note = c.Note
	r.note.Line, r.note.Of = number, -1
	if r.note.Text == "" {
		r.note.Text = show(r.text())
	}
	if r.note.Text == "" {
		r.note.Text = show(trim(line))
	}
	r.second = r.differs()
	return &r.note, nil
}

// none says why a line is no note, "" if it is one. Marked says that the list has something of a note in
// it beside the serial, next that its number goes on from the one before.
func (r *Reader) none(c cell, number int, line string, marked, next bool) (Kind, string) {
	switch {
	case c.shape != lettered && !next && isTotals(line):
		return Totals, "a totals line"
	case c.shape < bare && number < r.layout.Header:
		return Heading, "above the header"
	case c.shape == short && len(r.cell(r.layout.Column)) < fewDigits && !marked && !r.mayBeFew():
		return NoSerial, noSerial
	case c.shape != other:
		return 0, ""
	case c.Reason == aDay && !marked:
		return NoSerial, aDay
	}
	if why := heading(line); why != "" && !next {
		return Heading, why
	}
	if n, _, _ := r.elsewhere(line); n == 0 && !marked {
		return NoSerial, noSerial
	}
	return 0, ""
}

const noSerial = "nothing in it looks like a serial"

// mayBeFew reports whether a number of few digits may be a serial that lost its zeros: only in a list of
// digits, and not where notes have marks besides, which it has not.
func (r *Reader) mayBeFew() bool { return r.digits && r.layout.Face < 0 && r.layout.running < 0 }

// blank reads a line that is a note with nothing where its serial should be. In another column it is
// taken only where it cannot be another serial of the note.
func (r *Reader) blank(c cell, line string) cell {
	n, column, found := r.elsewhere(line)
	loose := r.layout.Separator == Whole || r.layout.Separator == Blanks || r.cell(r.layout.Column) == ""
	switch {
	case n > 1:
		c.Reason = "several serials stand in the line"
	case n == 1 && loose && !r.rival:
		return found
	case n == 1:
		c.Reason = fmt.Sprintf("a serial stands in column %d", column+1)
	case r.quotes == opening:
		c.Reason = "a quoted cell goes on in the next line; give each note one line"
	}
	return c
}

func (r *Reader) leave(number int, line string, k Kind, reason string) *LeftOut {
	r.left = LeftOut{number, k, show(trim(line)), reason, -1}
	return &r.left
}

// cell gives a cell of the line, "" where there is none.
func (r *Reader) cell(i int) string {
	if i < 0 || i >= len(r.cells) {
		return ""
	}
	return r.cells[i]
}

// marks reads what the list says of the note beside its serial.
func (r *Reader) marks() {
	r.face, r.number = 0, 0
	if d, _, ok := readFace(r.cell(r.layout.Face)); ok {
		r.face = d
	}
	if n, err := strconv.Atoi(r.cell(r.layout.running)); err == nil && n > 0 {
		r.number = n
	}
}

// text is what the line has for the serial.
func (r *Reader) text() string {
	text := r.cell(r.layout.Column)
	if p := r.cell(r.layout.Prefix); p != "" {
		text = p + " " + text
	}
	if s := r.cell(r.layout.Suffix); s != "" {
		text += " " + s
	}
	return text
}

// serial reads the serial of the line.
func (r *Reader) serial() cell {
	text, prefix, suffix := r.cell(r.layout.Column), r.cell(r.layout.Prefix), r.cell(r.layout.Suffix)
	f := r.form
	f.front, f.behind = prefix != "", suffix != ""
	c := f.readCell(text)
	if c.shape == like && (f.front || f.behind) {
		if whole := r.form.readCell(text); whole.shape == lettered {
			return whole
		}
	}
	if c.shape == short {
		c.Short = true
		if r.zeros == Yes {
			c.Note = Note{Repairs: ZerosRestored, Short: true}
			c.Serial.Digits = strings.Repeat("0", patterns.Places-len(text)) + text
		}
	}
	if c.shape == bare || c.shape == short {
		c.apart(prefix, suffix)
	}
	return c
}

// apart puts letters in that have cells of their own.
func (c *cell) apart(prefix, suffix string) {
	prefix, _ = clean(prefix)
	suffix, _ = clean(suffix)
	if suffix == "*" {
		c.Serial.Star, suffix = true, ""
	}
	if len(prefix) > 2 || !letters(prefix) {
		prefix = "?"
	}
	if len(suffix) > 1 || !letters(suffix) {
		suffix = "?"
	}
	c.letters(prefix, suffix)
}

// elsewhere looks for serials with their letters in other columns, or among words beside each other. It
// gives how many there are, and the last.
func (r *Reader) elsewhere(line string) (n, column int, found cell) {
	cells := r.cells
	if r.layout.Separator == Whole {
		cells = strings.FieldsFunc(line, func(r rune) bool { return strings.ContainsRune(" \t,;|", r) })
	}
	for i, text := range cells {
		if i == r.layout.Column && r.layout.Separator != Whole || len(text) < patterns.Places {
			continue
		}
		if c := r.form.look(text); c.shape == lettered {
			n, column, found = n+1, i, c
			found.Text = show(text)
		}
	}
	return n, column, found
}

// differs reports whether another column has a different serial.
func (r *Reader) differs() bool {
	for _, i := range r.beside {
		if text := r.cell(i); text != "" {
			if c := r.form.look(text); c.shape == lettered && c.Serial.Digits != "" && c.Serial != r.note.Serial {
				return true
			}
		}
	}
	return false
}

// Words that begin or make a totals line, in small letters.
var (
	totalsWords = []string{"total", "totals", "subtotal", "sum"}
	countWords  = []string{"count", "counted", "pieces", "pcs", "amount", "quantity", "qty", "value", "notes"}
	headWords   = []string{"page", "sheet", "date", "day", "time", "printed"}
)

// isTotals reports whether a line is a sum or a count.
func isTotals(line string) bool {
	return hasWord(line, func(word string, first bool) bool {
		return slices.Contains(totalsWords, word) || first && slices.Contains(countWords, word)
	})
}

// hasWord asks about each word of three to eight letters.
func hasWord(line string, is func(word string, first bool) bool) bool {
	first := true
	for from := 0; from < len(line); {
		if !isLetter(line[from]) {
			from++
			continue
		}
		to := from
		for to < len(line) && isLetter(line[to]) {
			to++
		}
		if n := to - from; 3 <= n && n <= 8 && is(strings.ToLower(line[from:to]), first) {
			return true
		}
		from, first = to, false
	}
	return false
}

func isLetter(c byte) bool { return 'a' <= c|0x20 && c|0x20 <= 'z' }

// heading says what a line is that heads others, "" for none.
func heading(line string) string {
	if isRuler(line) {
		return "a ruler"
	}
	if hasWord(line, func(word string, first bool) bool { return first && slices.Contains(headWords, word) }) {
		return "a heading"
	}
	if isTime(line) {
		return "a day or a time"
	}
	return ""
}

// isTime reports whether a line has only numbers and the marks of days and times.
func isTime(line string) bool {
	marks := 0
	for _, r := range strings.ToUpper(trim(line)) {
		switch {
		case r == ':' || r == '/' || r == '.':
			marks++
		case unicode.IsDigit(r) || r == ' ' || r == '-' || r == 'A' || r == 'P' || r == 'M' || r == ',' || r == 'T' || r == 'Z':
		default:
			return false
		}
	}
	return marks > 0
}

// isDayText reports whether a cell is a day as 2026-03-11, which would read as eight digits.
func isDayText(cell string) bool {
	if len(cell) != len("2026-03-11") || cell[4] != '-' || cell[7] != '-' {
		return false
	}
	return isDay(cell[:4] + cell[5:7] + cell[8:])
}

// isDay reports whether eight digits are a day of our time, the year first or last.
func isDay(digits string) bool {
	if len(digits) != patterns.Places {
		return false
	}
	n, err := strconv.Atoi(digits)
	if err != nil {
		return false
	}
	day := func(year, a, b int) bool {
		return 1990 <= year && year < 2100 && a >= 1 && b >= 1 && a <= 31 && b <= 31 && (a <= 12 || b <= 12)
	}
	return day(n/10_000, n/100%100, n%100) || day(n%10_000, n/1_000_000, n/10_000%100)
}
