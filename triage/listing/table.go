package listing

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strconv"
	"strings"

	"app/unband/triage"
)

// A table is what a list looks like when it is divided by one separator.
type table struct {
	columns []stat
	wide    int // number of a line with more columns than may be, 0 for none
}

// A stat counts what the cells of a column look like.
type stat struct {
	cells   int // not blank
	first   int // number of the first line whose cell has most digits of a serial, 0 for none
	example string

	complete, partial, spaced int // with letters: on both sides, on one, or with blanks inside
	bare, apart               int // eight digits: together, or with blanks inside
	seven, six, few           int // so many digits and nothing else; few are less
	like                      int // meant as a serial, but unreadable

	front, behind int // letters as they stand in front of the digits, and behind
	faces, marked int // denominations; those with a mark of money
	above         int // faces above $2, so that they count no pockets

	numbers, steps int // whole numbers; those one above the one before
	last           int
	dates          int // eight digits that are a day
	seen           []string
	named          bool // a line near the top says "serial" here
}

// fewDigits is how many digits a number must have to be taken for a serial that lost its zeros, where
// nothing else speaks for it: one serial in 10,000 has fewer, and most small numbers are none.
const fewDigits = 5

// withLetters is how many cells are serials with a letter or a star.
func (s *stat) withLetters() int { return s.complete + s.partial + s.spaced }

// serials is how many cells look like serials, with or without their leading zeros.
func (s *stat) serials() int {
	return s.withLetters() + s.bare + s.apart + s.seven + s.six + s.few + s.like
}

// mostSeen is how many different cells are remembered: enough to know that a column has only a few.
const mostSeen = 8

// headerWithin is how many lines at the top may name columns.
const headerWithin = 20

// add counts a cell.
func (s *stat) add(text string, line int) {
	if text == "" {
		return
	}
	s.cells++
	if line <= headerWithin && !s.named {
		s.named = strings.Contains(strings.ToLower(text), "serial")
	}
	if s.example == "" {
		s.example = text
	}
	c := anyForm.look(text)
	if s.count(c, text); c.shape == other {
		s.aside(text)
		return
	}
	if s.first == 0 && (c.shape != short || len(text) >= fewDigits) {
		s.first, s.example = line, text
	}
	if len(s.seen) < mostSeen && !contains(s.seen, text) {
		s.seen = append(s.seen, text)
	}
	if c.shape <= bare {
		s.number(text)
	}
}

func contains(seen []string, text string) bool {
	for _, s := range seen {
		if s == text {
			return true
		}
	}
	return false
}

// count counts what a cell reads as.
func (s *stat) count(c cell, text string) {
	blanks := strings.IndexByte(text, ' ') >= 0
	switch closed := c.Serial.Suffix != 0 || c.Serial.Star; {
	case c.shape == lettered && blanks:
		s.spaced++
	case c.shape == lettered && closed && c.Serial.Prefix != "":
		s.complete++
	case c.shape == lettered:
		s.partial++
	case c.shape == bare && blanks:
		s.apart++
	case c.shape == bare:
		s.bare++
		if isDay(c.Serial.Digits) {
			s.dates++
		}
	case c.shape == short && len(text) == 7:
		s.seven++
	case c.shape == short && len(text) == 6:
		s.six++
	case c.shape == short:
		s.few++
	case c.shape == like:
		s.like++
	}
	if c.shape == short && len(text) <= 3 {
		s.face(text)
	}
}

// aside counts a cell that is nothing like a serial: the letters of one, or a denomination.
func (s *stat) aside(text string) {
	if len(text) > 10 {
		return
	}
	if upper := strings.ToUpper(text); upper == "*" || letters(upper) && len(upper) <= 2 {
		if upper != "*" {
			s.front++
		}
		if len(upper) == 1 {
			s.behind++
		}
		return
	}
	s.face(text)
}

func (s *stat) face(text string) {
	d, marked, ok := readFace(text)
	if !ok {
		return
	}
	s.faces++
	if marked {
		s.marked++
	}
	if d > 2 {
		s.above++
	}
}

// number counts a whole number and whether it goes on from the one before.
func (s *stat) number(text string) {
	n, err := strconv.Atoi(text)
	if err != nil {
		return
	}
	if s.numbers++; s.numbers > 1 && n == s.last+1 {
		s.steps++
	}
	s.last = n
}

// runs reports whether the numbers of a column count lines: at least three, nearly all one above the
// one before.
func (s *stat) runs() bool { return s.numbers >= 3 && s.steps*10 >= (s.numbers-1)*8 }

// score is how much a column looks like that of the serials. Letters on both sides tell most. A column
// of numbers that run, of days, or of the same few cells again and again must lose against any other.
func (s *stat) score() int {
	score := 128*s.complete + 112*s.spaced + 96*s.partial + 64*s.bare + 16*s.apart + 32*s.seven + 8*s.six + s.like
	if s.numbers*2 > s.serials() {
		if s.runs() && s.bare == 0 {
			return 0
		}
		if s.runs() || s.dates*10 >= s.bare*9 && s.dates > 1 {
			score /= 8
		}
	}
	n := s.serials()
	if n >= 3 && len(s.seen) == 1 || n >= 2*mostSeen && len(s.seen) < mostSeen {
		score /= 8
	}
	if s.named {
		score += score / 4
	}
	return score
}

// look counts the cells of all columns, for each separator that is in the text.
func (c *content) look() {
	c.tables[Whole] = &table{columns: make([]stat, 1)}
	for s := Tab; s < separators; s++ {
		if strings.ContainsAny(c.text, s.marks()) {
			c.tables[s] = &table{}
		}
	}
	var cells []string
	for i := range c.lines {
		line := c.line(i + 1)
		for s, t := range c.tables {
			if t == nil || t.wide > 0 {
				continue
			}
			var q quotes
			if cells, q = splitLine(line, Separator(s), cells[:0]); q != rest {
				t.add(cells, i+1)
			}
		}
	}
}

func (t *table) add(cells []string, line int) {
	if len(cells) > mostColumns {
		t.wide = line
		return
	}
	for len(t.columns) < len(cells) {
		t.columns = append(t.columns, stat{})
	}
	for i, cell := range cells {
		t.columns[i].add(cell, line)
	}
}

// best gives the column with the highest score, 0 when none has any.
func (t *table) best() (column, score int) {
	for i := range t.columns {
		if s := t.columns[i].score(); s > score {
			column, score = i, s
		}
	}
	return column, score
}

// marks are the characters that divide.
func (s Separator) marks() string {
	return [separators]string{"", "\t", ";", ",", "|", " \t"}[s]
}

// split appends the cells of a line, without the blanks around them.
func split(line string, s Separator, cells []string) []string {
	cells, _ = splitLine(line, s, cells)
	return cells
}

// splitLine is split, and says what becomes of the quotes in the line. A quoted cell may have the separator inside.
// One that goes on in the next line ends with this one; where the quotes do not match they are characters like others.
func splitLine(line string, s Separator, cells []string) ([]string, quotes) {
	q := unquoted
	switch {
	case s == Whole:
		return append(cells, trim(line)), q
	case s == Blanks:
		return fields(line, cells), q
	case strings.IndexByte(line, '"') >= 0:
		var quoted []string
		if quoted, q = readQuotes(line, s); q == closed || q == opening {
			return append(cells, quoted...), q
		}
	}
	mark := s.marks()[0]
	for {
		end := strings.IndexByte(line, mark)
		if end < 0 || len(cells) > mostColumns {
			return append(cells, trim(line)), q
		}
		cells = append(cells, trim(line[:end]))
		line = line[end+1:]
	}
}

// trim takes away what stands around a cell and cannot be seen.
func trim(text string) string {
	if n := len(text); n == 0 || '!' <= text[0] && text[0] <= '~' && '!' <= text[n-1] && text[n-1] <= '~' {
		return text
	}
	return strings.TrimSpace(strings.Trim(strings.TrimSpace(text), "\ufeff"))
}

// fields divides at any number of blanks.
func fields(line string, cells []string) []string {
	from := -1
	for i := 0; i <= len(line); i++ {
		blank := i == len(line) || line[i] == ' ' || line[i] == '\t' || line[i] == '\f'
		switch {
		case !blank && from < 0:
			from = i
		case blank && from >= 0:
			cells, from = append(cells, trim(line[from:i])), -1
		}
		if len(cells) > mostColumns {
			break
		}
	}
	return cells
}

// quotes says what the quotes of a line do.
type quotes uint8

const (
	unquoted quotes = iota // there are none, or they do not match
	closed                 // every quoted cell ends in the line
	opening                // the last cell is quoted, and goes on in the next line
	rest                   // the line begins inside a quoted cell of the line before, which ends in it
)

// readQuotes reads the cells of a line with quotes. A line with anything like a serial is never the rest of a cell: a
// quote that stands there by mistake must not take a note away.
func readQuotes(line string, s Separator) ([]string, quotes) {
	if cells, ok := splitQuoted(line, s); ok {
		return cells, closed
	}
	if cells, ok := splitQuoted(line+`"`, s); ok {
		return cells, opening
	}
	cells, ok := splitQuoted(`"`+line, s)
	if !ok || slices.ContainsFunc(cells, func(text string) bool {
		shape := anyForm.look(strings.ReplaceAll(text, `"`, "")).shape
		return shape != other && shape != short
	}) {
		return nil, unquoted
	}
	return cells, rest
}

func splitQuoted(line string, s Separator) ([]string, bool) {
	r := csv.NewReader(bytes.NewReader([]byte(line)))
	r.Comma, r.FieldsPerRecord = rune(s.marks()[0]), -1
	r.TrimLeadingSpace = s != Tab // it would swallow blank cells between tabs
	cells, err := r.Read()
	if err != nil {
		return nil, false
	}
	for i, c := range cells {
		cells[i] = trim(c)
	}
	return cells, true
}

// readFace reads a denomination as lists write it: "1", "$1", "1.00", "USD 1". Marked says that it is
// plainly money.
func readFace(text string) (d triage.Denomination, marked, ok bool) {
	digits := text
	for _, mark := range []string{"USD", "US$", "$"} {
		if rest, ok := strings.CutPrefix(digits, mark); ok {
			digits = strings.TrimLeft(rest, " ")
			break
		}
	}
	digits = strings.TrimRight(strings.TrimSuffix(digits, "USD"), " ")
	for _, cents := range []string{".00", ",00"} {
		digits = strings.TrimSuffix(digits, cents)
	}
	if n := len(digits); n == 0 || n > 3 || digitsIn(digits) != n {
		return 0, false, false
	}
	n, err := strconv.Atoi(digits)
	d = triage.Denomination(n)
	return d, digits != text, err == nil && d.Valid()
}
