// Package listing reads lists of serials as note-counting machines print them and spreadsheets keep
// them: one serial a line, or one column among others with running numbers, times and totals.
//
// Every line of a list is a note, or left out with a reason, or blank; none is dropped silently. What
// was not read is never guessed: only the letter O, which no serial has among its digits, is taken as 0,
// and B as 8, and both are said. What the list alone cannot settle is asked once for the whole list.
//
// The package is pure: equal text and answers, equal notes. What it says is safe on any terminal.
package listing

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"app/unband/triage"
)

// Bounds of a list, so that no file can fill the memory. A bundle of straps has a thousand lines.
const (
	mostLines   = 1_000_000
	mostBytes   = 64 << 20
	mostColumns = 200
	// LongestLine is how long a line may be, in bytes.
	LongestLine = 4096
)

// A Separator is what stands between the columns of a list.
type Separator uint8

// The separators, in the order in which they are preferred where several would do.
const (
	Whole      Separator = iota // none: the line is the serial
	Tab                         // also of cells pasted from a spreadsheet
	Semicolon                   // CSV where the comma is the decimal mark
	Comma                       // CSV
	Bar                         // |
	Blanks                      // any number of them, as in a print-out
	separators                  // how many there are
)

// String names the separator in the plural: "tabs". It is empty for Whole.
func (s Separator) String() string {
	return [separators]string{"", "tabs", "semicolons", "commas", "bars", "blanks"}[s]
}

// A Layout says where in a line the serial stands.
type Layout struct {
	Separator      Separator
	Column         int // of the serial, from 0
	Prefix, Suffix int // columns whose letters stand apart from the digits, -1 for none
	Face           int // column of the denomination, -1 for none
	Header         int // number of the line that names the columns, 0 for none
	running        int // column that numbers the notes, -1 for none
}

// A Column is what a person chooses among.
type Column struct {
	Name    string // as the header has it, else "column 3"; printable
	Example string // the first cell that looks like a serial, else the first that is not blank; printable
	Serials int    // cells that look like serials
}

// A List is a list as it was read, with its layout. It never changes.
type List struct {
	*content
	layout Layout
}

// content is what all layouts of a list share.
type content struct {
	text   string
	lines  []span
	tables [separators]*table // nil where the separator is not in the text
}

// A span is where a line stands in the text.
type span struct{ from, to uint32 }

// line gives the line with a number, from 1, without its end.
func (c *content) line(number int) string {
	s := c.lines[number-1]
	return c.text[s.from:s.to]
}

// A FormatError says why a file as a whole is no list of serials.
type FormatError struct {
	Line   int    // that shows it, 0 for none
	Reason string // what is wrong and what to do, in plain words, safe on any terminal
}

func (e *FormatError) Error() string {
	if e.Line == 0 {
		return "this is not a list of serials: " + e.Reason
	}
	return fmt.Sprintf("this is not a list of serials: line %d %s", e.Line, e.Reason)
}

func formatError(line int, format string, args ...any) *FormatError {
	return &FormatError{line, fmt.Sprintf(format, args...)}
}

// Read reads a whole list and finds its layout. Lines end with LF, CR LF or CR. The error is a
// *FormatError, or one of reading.
func Read(in io.Reader) (*List, error) {
	c, err := readText(in)
	if err != nil {
		return nil, err
	}
	return newList(c)
}

// Begin finds the layout by the beginning of a list that is too long to be held, for List.Reader. Lines
// that cannot be read do not matter; where nothing looks like a serial, the line is one. The error is a
// *FormatError when it is no text at all.
func Begin(text []byte) (*List, error) {
	if isUTF16Text(text) {
		return nil, formatError(0, "it is UTF-16; "+saveAsUTF8)
	}
	text = bytes.TrimPrefix(text, utf8Mark)
	if i := bytes.IndexByte(text, 0); i >= 0 {
		check := checker{line: 1}
		_ = check.bytes(text[:i]) // it counts the lines
		return nil, nulBytes(check.line)
	}
	c := divide(string(text), 0)
	if len(c.lines) > 0 && c.lines[0].to > LongestLine {
		return nil, lineTooLong(1)
	}
	l, err := newList(c)
	if err != nil {
		return &List{c, c.layoutOf(Whole, 0)}, nil
	}
	return l, nil
}

// Plain is the layout of a list whose lines are the serials, without any lines.
func Plain() *List {
	c := &content{}
	c.look()
	return &List{c, c.layoutOf(Whole, 0)}
}

// newList finds the layout of a text.
func newList(c *content) (*List, error) {
	c.look()
	layout, err := c.best()
	if err != nil {
		return nil, err
	}
	return &List{c, layout}, nil
}

// Layout says where the serials were found.
func (l *List) Layout() Layout { return l.layout }

// Lines is how many lines the list has, blank ones too.
func (l *List) Lines() int { return len(l.lines) }

// Columns lists what the layout's separator divides the lines into.
func (l *List) Columns() []Column {
	t := l.tables[l.layout.Separator]
	header := l.cells(l.layout.Header)
	columns := make([]Column, len(t.columns))
	for i, s := range t.columns {
		columns[i] = Column{Name: fmt.Sprintf("column %d", i+1), Example: show(s.example), Serials: s.serials()}
		if i < len(header) && header[i] != "" {
			columns[i].Name = show(header[i])
		}
	}
	return columns
}

// cells divides a line as the layout has it; there are none of line 0.
func (l *List) cells(number int) []string {
	if number == 0 {
		return nil
	}
	return split(l.line(number), l.layout.Separator, nil)
}

// ByColumn gives the same lines with the serial in another column, from 0. Where the layout's separator
// makes no such column, another one may. A column that the lines do not have leaves the list as it is.
func (l *List) ByColumn(i int) *List {
	separator, most := l.layout.Separator, -1
	if i < 0 || i >= len(l.tables[separator].columns) {
		for s, t := range l.tables {
			if t == nil || t.wide > 0 || i < 0 || i >= len(t.columns) {
				continue
			}
			if n := t.columns[i].serials(); n > most {
				separator, most = Separator(s), n
			}
		}
		if most < 0 {
			return l
		}
	}
	return &List{l.content, l.content.layoutOf(separator, i)}
}

// Said says where the serials were found, as "column 3, Serial, between commas". It is empty where the
// line is the serial.
func (l *List) Said() string {
	if l.layout.Separator == Whole {
		return ""
	}
	said := fmt.Sprintf("column %d", l.layout.Column+1)
	if name := l.Columns()[l.layout.Column].Name; name != said {
		said += ", " + name
	}
	return said + ", between " + l.layout.Separator.String()
}

// shown is how much of a cell is shown, in characters.
const shown = 60

// show makes a text of the list safe to show, and short.
func show(text string) string {
	if len(text) <= shown && plainASCII(text) {
		return text
	}
	text = strings.TrimSpace(text)
	if runes := []rune(text); len(runes) > shown {
		text = string(runes[:shown-1]) + "…"
	}
	return triage.Printable(text)
}

func plainASCII(text string) bool {
	for i := range len(text) {
		if c := text[i]; c < ' ' || c > '~' {
			return false
		}
	}
	return true
}
