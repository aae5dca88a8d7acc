package ui

import (
	"fmt"
	"strings"
	"time"

	"github.com/charmbracelet/x/ansi"

	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

// labelWidth is how wide the names of the lines are.
const labelWidth = 16

// view draws the lines on the left and what follows from them on the right; in a narrow window one
// below the other.
func (c *closer) view(w, h int, at time.Time) []string {
	if c.asking != nil {
		return c.asking.view(w, h)
	}
	if c.errors != nil {
		return shorten(c.errors.view(w), h)
	}
	if w < 78 {
		room := max(h-5, leastLines+1)
		if c.going { // every line with its letter, as far as they fit
			room = h
		}
		lines := c.lines(w, room)
		return append(lines, shorten(append([]string{""}, c.says(w, valueRoom(w), at)...), h-len(lines))...)
	}
	left := w * 11 / 20
	return beside(c.lines(left, h), shorten(c.says(w-left-2, valueRoom(left), at), h), left+2)
}

// leastLines is how many lines stay in sight, however many are named below them.
const leastLines = 3

// lines draws at most h of the lines, around the one under the cursor, and names the others: in as many rows as that
// takes while a letter goes to a line, else in one.
func (c *closer) lines(w, h int) []string {
	if h >= closerCount || h <= leastLines {
		return c.window(w, h)
	}
	foot, names := 1, c.hidden(h-1, w)
	for c.going && len(names) > foot && h-foot > leastLines {
		foot++
		names = c.hidden(h-foot, w)
	}
	if len(names) > foot {
		names = append(names[:foot-1], names[foot-1]+" …")
	}
	lines := c.window(w, h-foot)
	for i, text := range names {
		mark := "  … "
		if i > 0 {
			mark = "    "
		}
		lines = append(lines, cut(mark+look.quiet.Render(text), w))
	}
	return lines
}

// hidden names the lines for which there is no room beside shown of them, in rows of w cells.
func (c *closer) hidden(shown, w int) []string {
	first := firstShown(c.line, shown, closerCount)
	var names []string
	for i, l := range closerLines {
		switch {
		case first <= i && i < first+shown:
		case c.going:
			names = append(names, string(l.letter)+" "+l.label)
		case i >= first+shown:
			names = append(names, l.label)
		}
	}
	if first > 0 && !c.going {
		above := count(first, "line", "lines") + " above"
		if len(names) > 0 {
			above += "; below"
			names[0] = above + " " + names[0]
		} else {
			names = []string{above}
		}
	}
	return commaRows(names, w-6) // a margin, and the sign that there are more
}

// commaRows sets names with commas between them in rows of w cells, and parts none of them.
func commaRows(names []string, w int) []string {
	var rows []string
	for i, name := range names {
		if i < len(names)-1 {
			name += ","
		}
		if last := len(rows) - 1; last >= 0 && ansi.StringWidth(rows[last])+1+ansi.StringWidth(name) <= w {
			rows[last] += " " + name
		} else {
			rows = append(rows, name)
		}
	}
	return rows
}

func (c *closer) window(w, h int) []string {
	var lines []string
	first := firstShown(c.line, h, closerCount)
	for i := first; i < min(first+h, closerCount); i++ {
		l := closerLines[i]
		mark, sign, value := "  ", "  ", l.value(c)
		if i == c.line {
			mark = look.hit.Render(signChoice) + " "
			value = tail(value, valueRoom(w)) + look.cursor.Render(" ")
		}
		switch {
		case c.going:
			sign = look.strong.Render(string(l.letter)) + " "
		case i != c.line && l.doubt(c) != "":
			sign = look.near.Render(signDoubt) + " "
		}
		lines = append(lines, cut(mark+sign+look.quiet.Render(pad(l.label, labelWidth))+value, w))
	}
	return lines
}

// valueRoom is how many cells of a value a line of w cells has room for, with the cursor behind it.
func valueRoom(w int) int { return w - labelWidth - 5 }

// tail is the end of a text that is being written.
func tail(s string, w int) string {
	if r := []rune(s); len(r) > w && w > 0 {
		return "…" + string(r[len(r)-w+1:])
	}
	return s
}

// says tells what the line under the cursor wants to know, and what follows from what has been said. room is how much of
// a text the line itself shows: a longer one stands here as a whole.
func (c *closer) says(w, room int, at time.Time) []string {
	var lines []string
	switch l := closerLines[c.line]; {
	case l.kind == seriesLine:
		lines = c.choiceLines(w)
	case l.label == "condition":
		lines = c.gradeLines(w)
	case l.label == "denomination":
		lines = append(l.wordLines(c, w), hang(" ", look.quiet.Render("a note that does not belong into the pile: it counts as one of its strap, but is neither kept nor spent. On the strap "+name(strapMap.Aside)+" then lays it apart"), w)...)
	case l.kind == defectLine:
		lines = c.defectLines(w)
	case l.kind == errorLine:
		lines = hang(" ", name(closerMap.Enter)+" asks one question after another: yes, no, not sure. Back and forth as you like.", w)
	default:
		tells := l.tells
		if doubt := l.doubt(c); doubt != "" {
			tells = doubt
		}
		lines = append(l.wordLines(c, w), hang(" ", look.quiet.Render(tells), w)...)
		if value := l.value(c); l.kind == textLines && ansi.StringWidth(value) > room {
			lines = hang(" ", value, w)
		}
	}
	return append(append(lines, ""), c.follows(w, at)...)
}

// wordLines shows the words to choose from on a line.
func (l closerLine) wordLines(c *closer, w int) []string {
	var words []string
	now, list := l.value(c), l.words
	if l.of != nil {
		list = l.of(c)
	}
	for _, word := range list {
		if word == now || strings.HasPrefix(now, word+" ") { // $1 as the pile
			words = append(words, look.strong.Render("["+word+"]"))
		} else {
			words = append(words, " "+word+" ")
		}
	}
	var lines []string
	for _, row := range inRows(words, w-1) {
		lines = append(lines, " "+row)
	}
	return lines
}

// choiceLines shows the choices of the picker.
func (c *closer) choiceLines(w int) []string {
	list := c.choices()
	if len(list) == 0 {
		if _, err := currency.ParseSeries(c.typed); err != nil {
			return hang(look.near.Render(signDoubt), err.Error(), w)
		}
		return hang(" ", look.quiet.Render("not on the list kept here; "+name(closerMap.Enter)+" takes it as typed"), w)
	}
	const most = 12
	var words []string
	first := max(min(c.pick-most/2, len(list)-most), 0)
	for i := first; i < min(first+most, len(list)); i++ {
		text := list[i].Series.String()
		if i == c.pick {
			text = look.strong.Render("[" + text + "]")
		}
		words = append(words, text)
	}
	lines := hang(" ", strings.Join(words, " "), w)
	if doubt := list[min(max(c.pick, 0), len(list)-1)].Doubt; doubt != "" {
		lines = append(lines, hang(look.near.Render(signDoubt), doubt, w)...)
	}
	if c.typed == "" && c.pick == unpicked {
		lines = append(lines, hang(" ", look.quiet.Render("the year on the face, and the letter behind it, if any; two digits are enough"), w)...)
	}
	return lines
}

// gradeLines gives what decides for the grade, and for those beside it; where none is said, the words for all.
func (c *closer) gradeLines(w int) []string {
	if c.facts.Grade == flaws.NoGrade {
		var words []string
		for _, f := range flaws.Grades {
			words = append(words, f.Name)
		}
		lines := hang(" ", strings.Join(words, ", "), w)
		return append(lines, hang(" ", look.quiet.Render("what decides stands here once one is chosen"), w)...)
	}
	at := int(c.facts.Grade) - 1
	var lines []string
	tell := func(i int, before string) {
		if 0 <= i && i < len(flaws.Grades) {
			f := flaws.Grades[i]
			lines = append(lines, hang(" ", before+look.strong.Render(f.Name)+": "+f.Deciding, w)...)
		}
	}
	tell(at, "")
	tell(at+1, "better, ")
	tell(at-1, "worse, ")
	return lines
}

// defectLines tells of the defect under the cursor and lists all, with a mark at those that are there.
func (c *closer) defectLines(w int) []string {
	at := flaws.Defects[max(c.pick, 0)]
	var words []string
	for _, d := range flaws.Defects {
		text := d.Name
		if c.facts.Defects.Has(d.Defect) {
			text = signHit + text
		}
		if d.Defect == at.Defect {
			text = look.strong.Render("[" + text + "]")
		}
		words = append(words, text)
	}
	sign := " "
	if c.facts.Defects.Has(at.Defect) {
		sign = look.hit.Render(signHit)
	}
	lines := hang(sign, look.strong.Render(at.Name)+": "+look.quiet.Render(at.See), w)
	for _, line := range inRows(words, w-2) {
		lines = append(lines, "  "+line)
	}
	return lines
}

// follows tells what follows from what has been said so far.
func (c *closer) follows(w int, at time.Time) []string {
	h := *c.hand
	if err := h.SetFacts(c.facts, at); err != nil {
		return hang(look.near.Render(signDoubt), err.Error(), w)
	}
	n := h.Reading()
	var lines []string
	if c.aside {
		caution, _ := flaws.Counterfeit.Caution()
		lines = cautionLines(caution, w)
	}
	if c.facts.Series != "" || c.facts.Seal != currency.ColourUnknown {
		lines = append(lines, hang(" ", look.quiet.Render(currency.Name(n)), w)...)
	}
	if h.Old() {
		lines = append(lines, hang(look.hit.Render(signHit), "an old series, by your own limit", w)...)
	}
	lines = append(lines, remarkLines(h.Remarks(), func(r currency.Remark) bool { return r.Kind != currency.KindWebPress || doubtful(r) }, w)...)
	for i, l := range closerLines {
		if doubt := l.doubt(c); doubt != "" && i != c.line {
			lines = append(lines, hang(look.near.Render(signDoubt), doubt, w)...)
		}
	}
	for _, d := range flaws.Against(c.facts.Grade, c.facts.Defects) {
		lines = append(lines, hang(look.near.Render(signDoubt), fmt.Sprintf("%s goes no better with a note than %s: look at both again", d.Name, d.Best), w)...)
	}
	for _, caution := range flaws.ForDefects(c.facts.Defects) {
		lines = append(lines, cautionLines(caution, w)...)
	}
	if candidate, _, tells, text := currency.WebPress(n); candidate {
		lines = append(lines, hang(" ", text, w)...)
		for _, t := range tells {
			lines = append(lines, hang("-", t, w)...)
		}
	}
	if n.Whole && currency.PositionHolds(n) {
		position, _ := currency.Position(n.Digits)
		lines = append(lines, hang(" ", fmt.Sprintf("by its number, note position %s. %s", position, currency.PositionLimits), w)...)
	}
	return lines
}

// cautionLines writes a caution with the authority it leaves the matter to.
func cautionLines(c flaws.Caution, w int) []string {
	lines := hang(look.near.Render(signDoubt), look.strong.Render(c.Title)+" ("+c.Authority+")", w)
	for _, p := range c.Points {
		lines = append(lines, hang(" ", p.Text, w)...)
	}
	return lines
}

func doubtful(r currency.Remark) bool { return r.Verdict > currency.Fine }

// pressing reports whether a remark must stand first: what does not fit, and the FW question of a star
// that was printed twice.
func pressing(r currency.Remark) bool { return doubtful(r) || r.Kind == currency.KindTwin }

// remarkLines puts the remarks wanted under one another, what does not fit with a sign.
func remarkLines(remarks []currency.Remark, wanted func(currency.Remark) bool, w int) []string {
	var lines []string
	for _, r := range remarks {
		if !wanted(r) {
			continue
		}
		sign, text := " ", r.Text
		switch r.Verdict {
		case currency.LookAgain:
			sign = look.near.Render(signDoubt)
		case currency.NotFromCirculation:
			sign, text = look.near.Render(signDoubt), "Not from circulation, as read. "+text
		}
		lines = append(lines, hang(sign, text, w)...)
	}
	return lines
}
