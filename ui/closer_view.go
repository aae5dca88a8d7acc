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
		lines := c.lines(w, max(h-4, 3))
		return append(lines, shorten(append([]string{""}, c.says(w, at)...), h-len(lines))...)
	}
	left := w * 11 / 20
	return beside(c.lines(left, h), shorten(c.says(w-left-2, at), h), left+2)
}

// lines draws at most h of the lines, around the one under the cursor, and names the others.
func (c *closer) lines(w, h int) []string {
	if h < closerCount && h > 3 {
		lines := c.window(w, h-1)
		return append(lines, "  "+look.quiet.Render("… "+c.hidden(h-1, w-4)))
	}
	return c.window(w, h)
}

// from is the first of h lines shown.
func (c *closer) from(h int) int { return firstShown(c.line, h, closerCount) }

// hidden names the lines that h leave no room for, those below first, as many as fit into w cells.
func (c *closer) hidden(h, w int) string {
	first := c.from(h)
	text := ""
	for i := range closerCount - h {
		l := closerLines[(first+h+i)%closerCount]
		next := string(l.letter) + " " + l.label
		if ansi.StringWidth(text+next)+3 > w { // the blank and the sign that there are more
			return text + "…"
		}
		text += next + ", "
	}
	return strings.TrimSuffix(text, ", ")
}

func (c *closer) window(w, h int) []string {
	var lines []string
	first := c.from(h)
	for i := first; i < min(first+h, closerCount); i++ {
		l := closerLines[i]
		mark, value := "  ", l.value(c)
		if i == c.line {
			mark = look.hit.Render(signChoice) + " "
			value = tail(value, w-labelWidth-5) + look.cursor.Render(" ")
		}
		letter := "  "
		if !c.takesLetters() {
			letter = look.strong.Render(string(l.letter)) + " "
		}
		lines = append(lines, cut(mark+letter+look.quiet.Render(pad(l.label, labelWidth))+value, w))
	}
	return lines
}

// tail is the end of a text that is being written.
func tail(s string, w int) string {
	if r := []rune(s); len(r) > w && w > 0 {
		return "…" + string(r[len(r)-w+1:])
	}
	return s
}

// says tells what the line under the cursor wants to know, and what follows from what has been said.
func (c *closer) says(w int, at time.Time) []string {
	var lines []string
	switch closerLines[c.line].label {
	case "series":
		lines = c.choiceLines(w)
	case "denomination":
		lines = hang(" ", look.quiet.Render("a note that does not belong into the pile: it counts as one of its strap, but is neither kept nor spent. On the strap "+name(strapMap.Aside)+" then lays it apart"), w)
	case "condition":
		lines = c.gradeLines(w)
	case "defects":
		lines = c.defectLines(w)
	case "on the face", "on the back":
		lines = hang(" ", look.quiet.Render("what one sees there, in your own words: people who help ask for it"), w)
	case "neighbours":
		lines = hang(" ", look.quiet.Render("the note before and the note after are wanted with this one, as with an error, a ladder or a low number. Nothing ties a star to those beside it"), w)
	case reasonLine:
		lines = hang(" ", look.quiet.Render("why it is kept, or spent against your rule: your own words"), w)
	case "printing error":
		lines = hang(" ", name(closerMap.Enter)+" asks one question after another: yes, no, not sure. Back and forth as you like.", w)
	}
	if len(lines) > 0 {
		lines = append(lines, "")
	}
	return append(lines, c.follows(w, at)...)
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
	return lines
}

// gradeLines gives what decides for the grade and for its neighbours.
func (c *closer) gradeLines(w int) []string {
	at := max(int(c.facts.Grade)-1, 0)
	var lines []string
	for i := max(at-1, 0); i <= min(at+1, len(flaws.Grades)-1); i++ {
		f := flaws.Grades[i]
		text := f.Name + ": " + f.Deciding
		if f.Grade == c.facts.Grade {
			text = look.strong.Render(f.Name) + ": " + f.Deciding
		}
		lines = append(lines, hang(" ", text, w)...)
	}
	return lines
}

// defectLines lists the defects with a mark at those that are there.
func (c *closer) defectLines(w int) []string {
	var words []string
	for i, d := range flaws.Defects {
		text := d.Name
		if c.facts.Defects.Has(d.Defect) {
			text = signHit + text
		}
		if i == max(c.pick, 0) {
			text = look.strong.Render("[" + text + "]")
		}
		words = append(words, text)
	}
	var lines []string
	for _, line := range inRows(words, w-2) {
		lines = append(lines, "  "+line)
	}
	return append(lines, hang(" ", look.quiet.Render(flaws.Defects[max(c.pick, 0)].See), w)...)
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
