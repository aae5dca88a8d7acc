package ui

import (
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"app/unband/triage/listing"
)

func (v *takeIn) view(w, h int, at time.Time) []string {
	if v.list == nil {
		return v.begin(w, h)
	}
	head, body := v.page(w, h, at)
	return append(head, scrolled(body, v.top, h-len(head), "  … "+name(takeInMap.Further)+" goes on")...)
}

// settle keeps the list below within the window, and says how much of it can be seen.
func (v *takeIn) settle(w, h int, at time.Time) {
	if v.list == nil {
		return
	}
	head, body := v.page(w, h, at)
	v.room = max(h-len(head), 1)
	v.top = settled(v.top, len(body), v.room)
}

// pullsSeen is how many lines of the list below are to be seen before the lines above it make room.
const pullsSeen = 8

// page draws what is asked, and the list below it. In a small window only the line under the cursor and those that
// wait for an answer are drawn; the others are told together in one.
func (v *takeIn) page(w, h int, at time.Time) (head, body []string) {
	body = v.body(w, h)
	if head = v.whole(w, at); h-len(head) < min(len(body), pullsSeen) {
		head = v.folded(w, at)
	}
	return head, body
}

// whole draws all the lines of the page.
func (v *takeIn) whole(w int, at time.Time) []string {
	lines := v.fileLine(w)
	for field := inColumn; field < inFields; field++ {
		if v.asked(field) {
			lines = append(lines, v.line(field, w))
		}
	}
	lines = append(lines, hang(" ", look.quiet.Render(inHints[v.field]), w)...)
	return append(lines, v.sum(w, at), "")
}

// folded draws the lines that wait for an answer, and the one under the cursor. The others are told in the first line.
func (v *takeIn) folded(w int, at time.Time) []string {
	var lines, told []string
	if v.field == inFile || v.wrong != "" {
		lines = v.fileLine(w)
	}
	for field := inColumn; field < inFields; field++ {
		switch {
		case !v.asked(field):
		case field == v.field || v.waits(field):
			lines = append(lines, v.line(field, w))
		default:
			told = append(told, v.inShort(field))
		}
	}
	if v.waits(v.field) { // what the answers mean is worth more than that they are wanted
		lines = append(lines, hang(look.near.Render(signDoubt), look.quiet.Render(inHints[v.field]), w)...)
	} else {
		lines = append(lines, v.sum(w, at))
	}
	told = append(told, printable(filepath.Base(v.read))) // last: of a long line it is missed least
	return append([]string{cut("  "+look.quiet.Render(strings.Join(told, " · ")), w)}, lines...)
}

// inShort says in few words what was chosen on a line.
func (v *takeIn) inShort(field int) string {
	either := func(a listing.Answer, yes, no string) string {
		if a == listing.Yes {
			return yes
		}
		return no
	}
	switch field {
	case inColumn:
		return printable(v.list.Columns()[v.list.Layout().Column].Name)
	case inOrder:
		return map[bool]string{false: "top first", true: "bottom first"}[v.bottom]
	case inStraps:
		first, last := v.straps[0].Number, v.straps[len(v.straps)-1].Number
		text := fmt.Sprintf("strap %d", first)
		if last > first {
			text = fmt.Sprintf("straps %d to %d", first, last)
		}
		if last > v.session.Straps {
			text += fmt.Sprintf(", the session had %d", v.session.Straps)
		}
		if off := v.off(); off != "" {
			text += ", " + off
		}
		return text
	case inZeros:
		return either(v.answers.Zeros, "zeros yes", "zeros no")
	case inTwice:
		return either(v.answers.Twice, "twice yes", "twice no")
	}
	foreign := "not " + v.session.Denomination.String()
	return either(v.answers.Others, foreign+" yes", foreign+" no")
}

// off says how full the last strap is when the list is in it, "" if it has as many notes as its band says.
func (v *takeIn) off() string {
	n, last := len(v.taken.Notes), v.straps[len(v.straps)-1]
	if n == 0 {
		return ""
	}
	notes := v.place(n - 1).Position
	if len(v.straps) == 1 { // places of notes that were not there have none
		notes -= v.strap.Totals.NotThere
	}
	if notes == last.Band {
		return ""
	}
	text := fmt.Sprintf("%s of %s notes", number(notes), number(last.Band))
	if len(v.straps) > 1 {
		text += " in the last"
	}
	return text
}

// waits reports whether a line asks something that is not answered.
func (v *takeIn) waits(field int) bool {
	return field >= inZeros && v.asked(field) && v.answer(field) == listing.Unanswered
}

// fileLine draws the line of the file, and what was wrong with it.
func (v *takeIn) fileLine(w int) []string {
	line := labelled("file", tail(printable(v.file), w-labelWidth-3), v.field == inFile, w) // the end of a path tells most
	if v.field == inFile && v.fresh {
		line = labelledFresh("file", printable(v.file), w)
	}
	lines := []string{line}
	if v.wrong != "" {
		lines = append(lines, hang(look.near.Render(signDoubt), v.wrong, w)...)
	}
	return lines
}

// inHints say what a line is about.
var inHints = [inFields]string{
	inFile:   "another list is read in place of this one",
	inColumn: "the column with the serials", inOrder: "where the note of the first line lies", inStraps: "the pile may be one strap, or several one upon the other",
	inZeros:  "yes: filled up with zeros in front; no: read from the note",
	inTwice:  "yes: they are notes, looked at; no: they are left out",
	inOthers: "yes: in this pile, looked at; no: taken out of it first",
}

// begin asks for the file.
func (v *takeIn) begin(w, h int) []string {
	lines := append(wrap(look.strong.Render("A list of serials from a counting machine or a spreadsheet: text, CSV or TSV, one note a line, in the order of the pile"), w), "")
	lines = append(append(lines, v.fileLine(w)...), "")
	for _, text := range []string{
		"Its columns are found by what looks like serials; times, running numbers and totals may stand beside them.",
		"What cannot be read is asked about or pulled from the pile, never guessed. Nothing is dropped silently.",
	} {
		lines = append(lines, hang(" ", look.quiet.Render(text), w)...)
	}
	return shorten(lines, h)
}

// line draws one line of the page with its choices.
func (v *takeIn) line(field, w int) string {
	label, value := "", ""
	switch field {
	case inColumn:
		label, value = "column", v.columns(w-labelWidth-4)
	case inOrder:
		label, value = "first line", oneOf(v.bottom, "on top of the pile", "at its bottom")
	case inStraps:
		label = "into"
		one := fmt.Sprintf("strap %d", v.strap.Number)
		first, last := v.straps[0].Number, v.straps[len(v.straps)-1].Number
		many := fmt.Sprintf("straps of %d", v.session.StrapNotes)
		if v.divide && last > first {
			many = fmt.Sprintf("straps %d to %d", first, last)
		}
		value = oneOf(v.divide, one, many)
		if v.divide && last > v.session.Straps {
			value += look.quiet.Render(fmt.Sprintf("  the session had %d", v.session.Straps))
		}
		if off := v.off(); off != "" {
			value += look.quiet.Render("  " + off)
		}
	case inZeros:
		label, value = "lost zeros", v.yesNo(v.answers.Zeros)+look.quiet.Render(fmt.Sprintf("  %s short: zeros lost?", count(v.taken.Asked.Zeros, "number", "numbers")))
	case inTwice:
		label, value = "twice", v.yesNo(v.answers.Twice)+look.quiet.Render(fmt.Sprintf("  %s again: second notes?", count(v.taken.Asked.Twice, "serial", "serials")))
	case inOthers:
		label, value = "not "+v.session.Denomination.String(), v.yesNo(v.answers.Others)+look.quiet.Render(fmt.Sprintf("  %s by the list: left in?", count(v.taken.Asked.Others, "note", "notes")))
	}
	mark := "  "
	if field == v.field {
		mark = look.hit.Render(signChoice) + " "
	}
	return cut(mark+look.quiet.Render(pad(label, labelWidth))+value, w)
}

// oneOf draws two choices.
func oneOf(second bool, a, b string) string {
	if second {
		return " " + look.quiet.Render(a) + "  " + look.strong.Render("["+b+"]")
	}
	return look.strong.Render("["+a+"]") + "  " + look.quiet.Render(b) + " "
}

// yesNo draws a question that may be unanswered.
func (v *takeIn) yesNo(a listing.Answer) string {
	switch a {
	case listing.Yes:
		return oneOf(false, "yes", "no")
	case listing.No:
		return oneOf(true, "yes", "no")
	}
	return look.near.Render("?") + look.quiet.Render(" yes   no")
}

// columns draws the column of the serials, with the first one as an example.
func (v *takeIn) columns(w int) string {
	all, l := v.list.Columns(), v.list.Layout()
	c := all[min(l.Column, len(all)-1)]
	text := fmt.Sprintf("%s of %d", printable(c.Name), len(all))
	if c.Example != "" {
		text += ", as " + printable(c.Example)
	}
	if l.Prefix >= 0 || l.Suffix >= 0 {
		text += ", with its letters from the columns beside it"
	}
	return cut(look.strong.Render("["+cut(text, w-2)+"]"), w)
}

// sum says how many notes come in, and what the key does.
func (v *takeIn) sum(w int, at time.Time) string {
	switch {
	case v.field == inFile && v.named():
		return cut("  "+look.hit.Render(name(takeInMap.Done))+" reads the file again", w)
	case !v.named():
		return cut("  "+look.hit.Render(name(takeInMap.Done))+" reads the file; until then the one before stays", w)
	case len(v.taken.Notes) == 0:
		return cut(look.near.Render(signDoubt)+" no line is a note: another column, another file?", w)
	}
	if _, open := v.unanswered(); open {
		return cut(look.near.Render(signDoubt)+" answer what is asked: then the list can be taken in", w)
	}
	pull := "be pulled"
	if w < 72 {
		pull = "pull"
	}
	return cut(bar(v.gate.Done(at), v.env.comfort.Calm)+"  "+look.hit.Render(name(takeInMap.Done))+fmt.Sprintf(" takes in %s, %s to %s", count(len(v.taken.Notes), "note", "notes"), number(len(v.pulls)), pull), w)
}

// body lists what is to be pulled, what was done to the lines, and what is left out. Only what can be seen
// from here on is drawn.
func (v *takeIn) body(w, h int) []string {
	var lines []string
	if v.again > 0 {
		lines = append(lines, hang(look.near.Render(signDoubt), count(v.again, "of these numbers is", "of these numbers are")+" listed in this session already: is it the same list again?", w)...)
	}
	if n := v.met; v.again == 0 && 2*n > len(v.taken.Notes) {
		lines = append(lines, hang(look.near.Render(signDoubt), fmt.Sprintf("%s of these notes were met before, in other sessions: is it a list that was taken in already?", number(n)), w)...)
	}
	if n := v.taken.Beside.Lines; n > 0 { // which column is right decides what is found
		lines = append(lines, hang(look.near.Render(signDoubt), fmt.Sprintf("in %s another column has another serial: is this the right column?", count(n, "line", "lines")), w)...)
	}
	if len(v.pulls) > 0 {
		lines = append(lines, look.quiet.Render("to be pulled, counted from the top"))
	}
	last := v.top + h // no more can be seen
	for i, p := range v.pulls {
		if i > last {
			lines = append(lines, make([]string, len(v.pulls)-i)...)
			break
		}
		lines = append(lines, cut(pullLine(v.rules.Book, v.session, p, len(v.straps) > 1), w))
	}
	for _, text := range v.taken.Remarks() {
		if len(lines) > last+1 {
			lines = append(lines, "")
			continue
		}
		lines = append(lines, hang(" ", look.quiet.Render(text), w)...)
	}
	if len(v.taken.LeftOut) > 0 {
		lines = append(lines, look.quiet.Render(count(len(v.taken.LeftOut), "line is left out", "lines are left out")))
	}
	pile := v.pile()
	for i, out := range v.taken.LeftOut {
		if len(lines) > last+1 {
			lines = append(lines, make([]string, len(v.taken.LeftOut)-i)...)
			break
		}
		lines = append(lines, hang(" ", v.taken.Told(out, pile), w)...)
	}
	return lines
}
