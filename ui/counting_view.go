package ui

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/charmbracelet/x/ansi"

	"app/unband/triage/counting"
	"app/unband/triage/flaws"
)

func (v *backPage) view(w, h int, at time.Time) []string {
	l := v.laidOut(w, h)
	lines := []string{"  " + look.quiet.Render(v.cells(backCells("strap", "band", "entered", "kept", "aside", "in place", "goes back", "counted"), false, w))}
	first := firstShown(v.row, l.straps, len(v.straps))
	for i := first; i < min(first+l.straps, len(v.straps)); i++ {
		lines = append(lines, v.line(i, strconv.Itoa(v.count.Straps[i].Strap), v.count.Straps[i], w))
	}
	lines = append(lines, v.line(len(v.straps), "together", v.count.Together(), w))
	return append(lines, v.below.shown(l.rest, l.room, name(backMap.Down))...)
}

// A backLayout is what the page has in a window: lines for straps, between their headings and the whole pile, and what is
// told below in the rest of it.
type backLayout struct {
	straps int
	rest   []string
	room   int
}

// laidOut lays the page out in a window.
func (v *backPage) laidOut(w, h int) backLayout {
	const always = 2 // the headings, the whole pile
	rest := v.verdict(w)
	few := min(len(v.straps), 3)
	if always+few+1+len(rest) <= h {
		rest = append([]string{""}, rest...)
	}
	room := max(min(len(rest), h-always-few), 0)
	return backLayout{max(h-always-room, 1), rest, room}
}

// A backCell is one cell of the table; in a narrow window some columns are left out.
type backCell struct {
	text  string
	width int
	roomy bool // only where there is room
	typed int  // the column it is typed in, or -1
}

// backCells are the cells of one line.
func backCells(strap, band, entered, kept, aside, inPlace, back, counted string) []backCell {
	return []backCell{{strap, 9, false, -1}, {band, 7, true, -1}, {entered, 9, false, -1}, {kept, 6, false, -1}, {aside, 7, true, -1},
		{inPlace, 10, false, columnInPlace}, {back, 11, false, -1}, {counted, 9, false, columnCounted}}
}

// cells sets the cells, the one that is typed marked.
func (v *backPage) cells(cells []backCell, selected bool, w int) string {
	text := ""
	for i, c := range cells {
		if c.roomy && w < 78 {
			continue
		}
		room := strings.Repeat(" ", max(c.width-ansi.StringWidth(c.text), 0))
		switch shown := c.text; {
		case i == 0:
			text += shown + room
		case selected && c.typed == v.column:
			text += room + look.cursor.Render(shown)
		default:
			text += room + shown
		}
	}
	return text
}

// line is one strap, or the whole pile, with what is typed and by how much it differs.
func (v *backPage) line(i int, label string, l counting.Line, w int) string {
	selected := i == v.row
	said := func(column, n int, is bool) string {
		switch here := selected && column == v.column; {
		case here && v.typed != nil:
			return *v.typed + "_"
		case here && !is:
			return "_"
		case !is:
			return "·"
		}
		return number(n)
	}
	inPlace := said(columnInPlace, l.InPlace, l.Replaced || l.InPlace > 0)
	if i == len(v.straps) {
		inPlace = number(l.InPlace)
	}
	text := v.cells(backCells(label, number(l.Band), number(l.Entered), number(l.Kept), number(l.Aside+l.Apart), inPlace, number(l.Back()),
		said(columnCounted, l.Counted, l.Said)), selected, w)
	mark := "  "
	if selected {
		mark = look.hit.Render(signChoice) + " "
	}
	switch d, ok := l.Difference(); {
	case ok && d != 0:
		text += "  " + look.near.Render(fmt.Sprintf("%+d", d))
	case ok:
		text += "  " + look.hit.Render("=")
	}
	return mark + text
}

// verdict says what goes back in notes, straps and dollars, and what may be behind a difference.
func (v *backPage) verdict(w int) []string {
	all := v.count.Together()
	lines := hang(" ", look.strong.Render(v.count.BackWords(all)+", "+v.count.WholeWords()+"."), w)
	if v.row < len(v.count.Straps) {
		l := v.count.Straps[v.row]
		lines = append(lines, hang(" ", fmt.Sprintf("Strap %d: %s.", l.Strap, v.count.BackWords(l)), w)...)
	}
	lines = append(lines, hang(" ", look.quiet.Render(v.count.SumWords()), w)...)
	if n := v.session.Totals.Waiting; n > 0 && v.session.Open() {
		lines = append(lines, hang(look.near.Render(signNear), count(n, "near miss of this pile waits", "near misses of this pile wait")+" for the second look", w)...)
	}
	switch n, ok := all.Difference(); {
	case !ok:
		return append(lines, hang(" ", "Count the pile by hand and type it under counted: the whole pile, or strap by strap.", w)...)
	case n != 0:
		lines = append(lines, hang(look.near.Render(signDoubt), look.strong.Render(v.count.CountedWords()+"."), w)...)
	case v.session.Open():
		lines = append(lines, hang(look.hit.Render(signHit), v.count.CountedWords()+". "+name(backMap.Sign)+" signs it off and closes the session.", w)...)
	default:
		lines = append(lines, hang(look.hit.Render(signHit), v.count.CountedWords()+".", w)...)
	}
	if caution, large := flaws.ForCash(v.count.Dollars(all.Back())); large {
		lines = append(lines, cautionLines(caution, w)...)
	}
	for _, c := range v.count.Causes() {
		lines = append(lines, hang("-", c.String(), w)...)
	}
	return lines
}
