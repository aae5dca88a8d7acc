package ui

import (
	"strings"

	"github.com/charmbracelet/lipgloss"

	"app/unband/patterns"
	"app/unband/triage"
)

// large holds the digits three lines high, drawn with box lines and three cells wide.
var large = [10][3]string{
	{"┏━┓", "┃ ┃", "┗━┛"},
	{" ╻ ", " ┃ ", " ╹ "},
	{"╺━┓", "┏━┛", "┗━╸"},
	{"╺━┓", "╺━┫", "╺━┛"},
	{"╻ ╻", "┗━┫", "  ╹"},
	{"┏━╸", "┗━┓", "╺━┛"},
	{"┏━╸", "┣━┓", "┗━┛"},
	{"╺━┓", "  ┃", "  ╹"},
	{"┏━┓", "┣━┫", "┗━┛"},
	{"┏━┓", "┗━┫", "╺━┛"},
}

// A mark is what stands under a digit.
type mark struct {
	hit, near bool
}

// serialCell is one place of a serial as it is drawn.
type serialCell struct {
	digit  int // 0 to 9; -1 for an open place
	cursor bool
	blank  bool // to be read again
	extra  bool // past the eighth digit
	mark   mark
}

// cells lays out the digits of the note in hand.
func cells(h *triage.InHand, watch patterns.Watch) []serialCell {
	digits := h.Entry.Digits
	out := make([]serialCell, max(patterns.Places, len(digits)))
	for i := range out {
		out[i].digit = -1
		if i < len(digits) {
			out[i].digit = int(digits[i] - '0')
		}
		out[i].extra = i >= patterns.Places
	}
	if h.Mode() == triage.Typing && len(digits) < patterns.Places {
		out[len(digits)].cursor = true
	}
	if h.Entry.Complete() {
		if !h.Near() { // as of a number that two readings have proved
			watch.Near = 0
		}
		for i, m := range marks(h.Judged(), watch) {
			out[i].mark = m
		}
	}
	if h.Mode() == triage.Rereading {
		blanks, answer := h.Blanks()
		for i, place := range blanks {
			out[place] = serialCell{digit: -1, blank: true, cursor: i == len(answer)}
			if i < len(answer) {
				out[place].digit = int(answer[i] - '0')
			}
		}
	}
	return out
}

// marks tells which digits the watched findings rest on and which are in doubt.
func marks(j patterns.Judgement, watch patterns.Watch) [patterns.Places]mark {
	var out [patterns.Places]mark
	var hit uint8
	for _, f := range j.Findings {
		if watch.Hit.Has(f.Rule) {
			hit = f.Places
			break
		}
	}
	near := j.Doubtful(watch.Near)
	for i := range out {
		out[i] = mark{hit: hit>>i&1 == 1, near: hit == 0 && near>>i&1 == 1}
	}
	return out
}

// serial draws the serial where there is room for it: large, or in one line where the person wants it so.
func (e *env) serial(h *triage.InHand, watch patterns.Watch) []string {
	return e.drawn(h.Entry.Serial, cells(h, watch))
}

func (e *env) drawn(s triage.Serial, places []serialCell) []string {
	if e.comfort.OneLine {
		return append(smallCells(s, places), "")
	}
	return largeCells(s, places)
}

// largeCells draws a serial five lines high: three of digits, the marks, and a blank one.
func largeCells(s triage.Serial, places []serialCell) []string {
	front, back := letters(s)
	rows := [5]string{"     ", pad(" "+front, 5), "     ", "     ", "     "}
	for i, c := range places {
		if i == 4 { // a little room in the middle: four and four are read more surely than eight
			for r := range rows {
				rows[r] += " "
			}
		}
		for r, text := range cellRows(c) {
			rows[r] += text + " "
		}
	}
	rows[1] += " " + look.strong.Render(back)
	return rows[:]
}

func cellRows(c serialCell) [5]string {
	rows := [5]string{"   ", "   ", "   ", "   ", "   "}
	style := look.strong
	switch {
	case c.extra:
		style = look.near
	case c.mark.hit:
		style = look.hit
	}
	switch {
	case c.digit >= 0:
		for r, line := range large[c.digit] {
			rows[r] = style.Render(line)
		}
	case c.cursor:
		rows[1], rows[2] = look.cursor.Render("   "), look.cursor.Render("   ")
	case c.blank:
		rows[1] = look.near.Render(" ? ")
	default:
		rows[1] = look.quiet.Render(" · ")
	}
	rows[3] = markOf(c)
	return rows
}

// markOf is the mark of a place three cells wide: a line where it fills the place, else a sign in the
// middle.
func markOf(c serialCell) string {
	style, sign, line := c.sign()
	if line {
		return style.Render(strings.Repeat(sign, 3))
	}
	return " " + style.Render(sign) + " "
}

// sign is what stands under a place, and whether it is a line.
func (c serialCell) sign() (style lipgloss.Style, sign string, line bool) {
	switch {
	case c.blank:
		return look.near, "▔", true
	case c.extra:
		return look.near, "×", false
	case c.mark.hit:
		return look.hit, "━", true
	case c.mark.near:
		return look.near, "▲", false
	}
	return look.plain, " ", true
}

// smallSerial draws the serial in two lines, the digits and their marks.
func smallSerial(h *triage.InHand, watch patterns.Watch) []string {
	return smallCells(h.Entry.Serial, cells(h, watch))
}

func smallCells(s triage.Serial, places []serialCell) []string {
	front, back := letters(s)
	digits, under := pad(" "+front, 5), "     "
	for i, c := range places {
		if i == 4 {
			digits, under = digits+" ", under+" "
		}
		text := look.quiet.Render("·")
		switch {
		case c.digit >= 0:
			text = look.strong.Render(string(rune('0' + c.digit)))
		case c.cursor:
			text = look.cursor.Render(" ")
		case c.blank:
			text = look.near.Render("?")
		}
		digits += text + "  "
		style, sign, _ := c.sign()
		under += style.Render(sign) + "  "
	}
	return []string{digits + look.strong.Render(back), under}
}

// letters gives what stands before and behind the digits.
func letters(s triage.Serial) (front, back string) {
	front = s.Prefix
	if s.StarFront {
		front = "*" + front
	}
	if s.Suffix != 0 {
		back = string(s.Suffix)
	}
	if s.Star && !s.StarFront {
		back = "*"
	}
	return front, back
}
