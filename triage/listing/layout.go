package listing

import (
	"slices"
	"strings"
	"unicode"
)

// best finds the layout whose serial column has the highest score; of equals the first.
func (c *content) best() (Layout, error) {
	var separator Separator
	var column, highest int
	for s, t := range c.tables {
		if t == nil {
			continue
		}
		if i, score := t.best(); score > highest {
			separator, column, highest = Separator(s), i, score
		}
	}
	switch {
	case len(c.lines) == 0:
		return Layout{}, formatError(0, "it is empty")
	case highest == 0:
		for _, t := range c.tables {
			if t != nil && t.wide > 0 {
				return Layout{}, tooWide(t.wide)
			}
		}
		return Layout{}, formatError(0, "nothing in it looks like a serial: letters, eight digits, and a letter or a star")
	case c.tables[separator].wide > 0:
		return Layout{}, tooWide(c.tables[separator].wide)
	}
	return c.layoutOf(separator, column), nil
}

func tooWide(line int) *FormatError {
	return formatError(line, "has more than %d columns; save only those of the notes", mostColumns)
}

// layoutOf finds what else belongs to the serials in a column.
func (c *content) layoutOf(s Separator, column int) Layout {
	l := Layout{Separator: s, Column: column, Prefix: -1, Suffix: -1, Face: -1, running: -1}
	t := c.tables[s]
	l.Header = c.header(s, column)
	if s == Whole {
		return l
	}
	var names []string
	if l.Header > 0 {
		names = split(c.line(l.Header), s, nil)
	}
	serial := &t.columns[column]
	if serial.withLetters() <= serial.serials()/2 {
		l.Prefix = t.lettersAt(names, column, -1, func(s *stat) int { return s.front })
		l.Suffix = t.lettersAt(names, column, +1, func(s *stat) int { return s.behind })
	}
	taken := []int{l.Column, l.Prefix, l.Suffix}
	for i := range t.columns {
		if s := &t.columns[i]; !slices.Contains(taken, i) && s.runs() && s.numbers*2 > serial.serials() {
			l.running = i
			taken = append(taken, i)
			break
		}
	}
	l.Face = t.face(names, taken, serial.serials())
	return l
}

// lettersAt finds the column of the letters in front of the digits (side -1) or behind them (+1): next
// to them, and named so where there are names; or anywhere on that side, with such a name.
func (t *table) lettersAt(names []string, column, side int, count func(*stat) int) int {
	serials := t.columns[column].serials()
	for i := column + side; 0 <= i && i < len(t.columns); i += side {
		s := &t.columns[i]
		if n := count(s); n*2 < serials || n*10 < s.cells*7 {
			if len(names) == 0 {
				break
			}
			continue
		}
		if len(names) == 0 || i < len(names) && (names[i] == "" || namesLetters(names[i])) {
			return i
		}
		if len(names) == 0 {
			break
		}
	}
	return -1
}

func namesLetters(name string) bool {
	name = strings.ToLower(name)
	for _, word := range []string{"prefix", "suffix", "letter", "star", "front", "behind", "block"} {
		if strings.Contains(name, word) {
			return true
		}
	}
	return false
}

// face finds the column of the denominations. Bare numbers without a name are taken only if they cannot
// be the pockets or the pieces of a machine.
func (t *table) face(names []string, taken []int, serials int) int {
	for i := range t.columns {
		s := &t.columns[i]
		if slices.Contains(taken, i) || s.faces == 0 || s.faces*10 < serials*8 {
			continue
		}
		if s.marked*2 > s.faces || i < len(names) && namesFace(names[i]) || len(names) == 0 && s.above > 0 {
			return i
		}
	}
	return -1
}

func namesFace(name string) bool {
	name = strings.ToLower(name)
	for _, word := range []string{"denom", "value", "face", "amount", "usd", "$"} {
		if strings.Contains(name, word) {
			return true
		}
	}
	return false
}

// header finds the line that names the columns: the nearest above the first serial that has words where
// the serials stand.
func (c *content) header(s Separator, column int) int {
	first := c.tables[s].columns[column].first
	for i := first - 1; i >= 1 && i >= first-headerWithin; i-- {
		line := c.line(i)
		cells, q := splitLine(line, s, nil)
		if trim(line) == "" || isRuler(line) || q == rest {
			continue
		}
		if column >= len(cells) || !isName(cells[column]) || isTotals(line) && strings.ContainsFunc(line, unicode.IsDigit) {
			return 0
		}
		if (s == Whole || s == Blanks) && !namesColumns(line) {
			return 0
		}
		return i
	}
	return 0
}

// isName reports whether a cell has letters and no digit.
func isName(cell string) bool {
	return strings.ContainsFunc(cell, unicode.IsLetter) && !strings.ContainsFunc(cell, unicode.IsDigit)
}

// namesColumns reports whether a line without marks between its columns has a word that only a header
// has.
func namesColumns(line string) bool {
	line = strings.ToLower(line)
	return strings.Contains(line, "serial") || strings.Contains(line, "number")
}

// isRuler reports whether a line has nothing but marks.
func isRuler(line string) bool {
	return !strings.ContainsFunc(line, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '?' })
}
