package ui

import (
	"fmt"
	"strings"
	"time"

	"github.com/charmbracelet/x/ansi"

	"app/unband/triage"
	"app/unband/triage/counting"
	"app/unband/triage/flaws"
)

func (p *pile) view(w, h int, at time.Time) []string {
	l := p.laidOut(w, h)
	lines := l.head
	first := firstShown(p.row, l.straps, len(p.straps))
	for i := first; i < min(first+l.straps, len(p.straps)); i++ {
		lines = append(lines, p.strapLine(p.straps[i], i == p.row, w))
	}
	return append(append(lines, l.sum...), p.below.shown(l.rest, l.room, name(pileMap.Down))...)
}

// A pileLayout is what the page has in a window. Straps and what is told below them share the room; what the session
// wants next stands between them and is always in sight.
type pileLayout struct {
	head   []string
	straps int      // lines for them
	sum    []string // all straps together, and what comes next
	rest   []string // what is told below
	room   int      // lines for that
}

// laidOut lays the page out in a window.
func (p *pile) laidOut(w, h int) pileLayout {
	l := pileLayout{head: p.origin(w), rest: p.advice(w)}
	few := min(len(p.straps), 3)                                           // as many are always shown
	spare := h - len(l.head) - few - 2 - len(p.nextWords(w)) - len(l.rest) // headings, together, what comes next
	gap := func() []string {                                               // an empty line as long as there is room for one
		if spare--; spare < 0 {
			return nil
		}
		return []string{""}
	}
	l.rest = append(gap(), l.rest...)
	next := append(gap(), p.nextWords(w)...)
	l.sum = append(append(gap(), p.totalLine("together", p.session.Totals, w)), next...)
	l.head = append(append(l.head, gap()...), p.headings(w))
	free := h - len(l.head) - len(l.sum)
	l.room = max(min(len(l.rest), free-few), 0)
	l.straps = max(free-l.room, 0)
	return l
}

// origin says where the straps came from, and how many of which notes.
func (p *pile) origin(w int) []string {
	s := p.session
	from := "from " + printable(s.Source)
	if s.Source == "" {
		from = "where they are from is not said"
	}
	kind := "used notes"
	if s.NewNotes {
		kind = "new notes"
	}
	return wrap(look.quiet.Render(fmt.Sprintf("%s · %s · %s of %d", from, kind, count(s.Straps, "strap", "straps"), s.StrapNotes)), w)
}

// pileColumns are the numbers of a strap on the page of its session.
var pileColumns = []struct {
	heading string
	of      func(triage.Totals) int
}{
	{"notes", func(t triage.Totals) int { return t.Notes }}, {"kept", func(t triage.Totals) int { return t.Kept }},
	{"spent", func(t triage.Totals) int { return t.Spent }}, {"aside", func(t triage.Totals) int { return t.Aside + t.Apart }},
	{"near", func(t triage.Totals) int { return t.Near }}, {"wait", func(t triage.Totals) int { return t.Waiting }},
}

// columns sets a label and a cell for each column beside each other, as wide as the session's own numbers ask for.
func (p *pile) columns(label string, cell func(i int) string, w int) string {
	gap := 2
	if w < 72 {
		gap = 1
	}
	line := "  " + pad(label, 9)
	for i, c := range pileColumns {
		wide := max(len(c.heading), len(number(c.of(p.session.Totals))))
		line += fmt.Sprintf("%*s", wide+gap, cell(i))
	}
	return line
}

func (p *pile) headings(w int) string {
	return look.quiet.Render(p.columns("", func(i int) string { return pileColumns[i].heading }, w) + "  band")
}

func (p *pile) totalLine(label string, t triage.Totals, w int) string {
	return p.columns(label, func(i int) string { return number(pileColumns[i].of(t)) }, w)
}

// strapLine sums up a strap; the one under the cursor names the key that opens it.
func (p *pile) strapLine(t triage.Strap, here bool, w int) string {
	line := p.totalLine(fmt.Sprintf("strap %d", t.Number), t.Totals, w) + p.bandWord(t, w)
	if !here {
		return line
	}
	line = look.hit.Render(signChoice) + line[1:]
	hint := "  " + keyWords(pileMap.Again, "once more")
	if t.Totals.Notes == 0 || ansi.StringWidth(line+hint) > w {
		return line
	}
	return line + hint
}

// bandWord says how the strap stands to what its band promises.
func (p *pile) bandWord(t triage.Strap, w int) string {
	off := counting.OffWords(t.Off(), t.Band)
	if w < 66 {
		off, _, _ = strings.Cut(off, " of ")
	}
	switch {
	case !t.Done && t.Listed > 0:
		return "  " + look.near.Render(number(t.Listed)+" listed")
	case !t.Done:
		return "  " + look.near.Render("being sorted")
	case off != "":
		return "  " + look.near.Render(off)
	}
	return "  " + look.quiet.Render("right")
}

// advice says in dollars what lies where, and what else there is to know.
func (p *pile) advice(w int) []string {
	s := p.session
	lines := hang(" ", p.money(int(s.Denomination)), w)
	if wrong := counting.New(s, p.straps, nil).BandWords(); wrong != "" {
		lines = append(lines, hang(" ", look.near.Render(wrong), w)...)
	}
	for _, e := range s.Log {
		lines = append(lines, hang(" ", look.quiet.Render(counting.EventWords(e)), w)...)
	}
	if next := p.next(); next == countBack || next == allDone {
		lines = append(append(lines, ""), cleanHands(w)...)
	}
	return lines
}

// nextWords say what the session wants next.
func (p *pile) nextWords(w int) []string {
	if p.opening {
		return []string{"  opening the strap on disk"}
	}
	does := " goes back to the desk"
	switch waiting := p.session.Totals.Waiting; p.next() {
	case goOn:
		t, _ := unfinished(p.straps)
		does = fmt.Sprintf(" goes on with strap %d", t.Number)
	case nextStrap:
		does = fmt.Sprintf(" cuts the band of strap %d of %d", len(p.straps)+1, p.session.Straps)
	case lookAgain:
		does = " takes the second look: " + count(waiting, "near miss waits", "near misses wait")
	case countBack:
		does = " counts back what goes to the bank: everything is sorted and looked at"
	}
	return hang(look.hit.Render(signChoice), look.hit.Render(name(pileMap.Next))+does, w)
}

// cleanHands is the caution at the end of a session, in one piece.
func cleanHands(w int) []string {
	c, _ := flaws.CleanHands.Caution()
	var text []string
	for _, p := range c.Points {
		text = append(text, p.Text)
	}
	return hang(" ", look.quiet.Render(c.Title+": "+strings.Join(text, " ")+" ("+c.Authority+")"), w)
}

// money says what was kept and spent, and what else there is to tell.
func (p *pile) money(face int) string {
	t := p.session.Totals
	text := fmt.Sprintf("kept %s, spent %s", dollars(t.Kept*face), dollars(t.Spent*face))
	if t.Aside > 0 {
		text += fmt.Sprintf(", set aside %s (never spent, never handed back)", dollars(t.Aside*face))
	}
	for _, gone := range []struct {
		n     int
		words string
	}{
		{t.Sold, "of those kept, %s sold"}, {t.Traded, "of those kept, %s traded"}, {t.Grading, "of those kept, %s sent to be graded"},
		{t.Respent, "of those spent, %s kept at first"}, {t.Against, "%s decided against your own rules"},
	} {
		if gone.n > 0 {
			text += "; " + fmt.Sprintf(gone.words, count(gone.n, "note", "notes"))
		}
	}
	if t.Apart > 0 {
		text += fmt.Sprintf("; %s of another denomination laid apart", count(t.Apart, "note", "notes"))
	}
	if t.NotThere > 0 {
		text += "; " + count(t.NotThere, "listed note was", "listed notes were") + " not in the pile"
	}
	if t.Glances > 0 {
		text += fmt.Sprintf("; %s spent unread", count(t.Glances, "note", "notes"))
	}
	if t.Stars > 0 {
		text += "; " + count(t.Stars, "star", "stars")
	}
	if t.Reread > 0 {
		text += fmt.Sprintf("; %s read again, %s of them changed by it", count(t.Reread, "note", "notes"), number(t.Changed))
	}
	return text
}
