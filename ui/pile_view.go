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
	s := p.session
	from := "from " + printable(s.Source)
	if s.Source == "" {
		from = "where they are from is not said"
	}
	kind := "used notes"
	if s.NewNotes {
		kind = "new notes"
	}
	lines := []string{look.quiet.Render(cut(fmt.Sprintf("%s · %s · %s of %d", from, kind, count(s.Straps, "strap", "straps"), s.StrapNotes), w)), ""}
	foot := append([]string{"", p.totalLine("together", s.Totals), ""}, p.advice(w)...)
	foot = shorten(foot, max(h-len(lines)-1-min(max(len(p.straps), 1), 3), 4))
	room := max(h-len(lines)-len(foot)-1, 1)
	lines = append(lines, look.quiet.Render(fmt.Sprintf("  %-10s%7s%7s%8s%7s%7s  %s", "", "notes", "kept", "spent", "near", "wait", "band")))
	first := firstShown(p.row, room, len(p.straps))
	for i, t := range p.straps[first:min(first+room, len(p.straps))] {
		lines = append(lines, p.strapLine(t, first+i == p.row, w))
	}
	return append(lines, foot...)
}

// strapLine sums up a strap; the one under the cursor names the key that opens it.
func (p *pile) strapLine(t triage.Strap, here bool, w int) string {
	line := p.totalLine(fmt.Sprintf("strap %d", t.Number), t.Totals) + p.bandWord(t, w)
	if !here {
		return line
	}
	line = look.hit.Render(signChoice) + line[1:]
	hint := "   " + keyWords(pileMap.Again, "once more")
	if t.Totals.Notes == 0 || ansi.StringWidth(line+hint) > w {
		return line
	}
	return line + hint
}

func (p *pile) totalLine(label string, t triage.Totals) string {
	return fmt.Sprintf("  %-10s%7s%7s%8s%7s%7s", label, number(t.Notes), number(t.Kept), number(t.Spent), number(t.Near), number(t.Waiting))
}

func (p *pile) bandWord(t triage.Strap, w int) string {
	of := fmt.Sprintf(" of %d", t.Band)
	if w < 66 {
		of = ""
	}
	switch off := t.Off(); {
	case !t.Done && t.Listed > 0:
		return "  " + look.near.Render(number(t.Listed)+" listed")
	case !t.Done:
		return "  " + look.near.Render("being sorted")
	case off < 0:
		return "  " + look.near.Render(fmt.Sprintf("%d short", -off)+of)
	case off > 0:
		return "  " + look.near.Render(fmt.Sprintf("%d over %d", off, t.Band))
	}
	return "  " + look.quiet.Render("right")
}

// advice says what comes next, then in dollars what lies where, and what else there is to know.
func (p *pile) advice(w int) []string {
	s := p.session
	lines := append([]string{p.nextWords(), ""}, hang(" ", p.money(int(s.Denomination)), w)...)
	if wrong := counting.New(s, p.straps, nil).BandWords(); wrong != "" {
		lines = append(lines, "  "+look.near.Render(wrong))
	}
	for _, e := range s.Log {
		lines = append(lines, "  "+look.quiet.Render(cut(counting.EventWords(e), w-2)))
	}
	if next := p.next(); next == countBack || next == allDone {
		lines = append(append(lines, ""), cleanHands(w)...)
	}
	return lines
}

// nextWords say what the session wants next.
func (p *pile) nextWords() string {
	key := look.hit.Render(signChoice + " " + name(pileMap.Next))
	switch waiting := p.session.Totals.Waiting; {
	case p.opening:
		return "  opening the strap on disk"
	case p.next() == goOn:
		t, _ := unfinished(p.straps)
		return key + fmt.Sprintf(" goes on with strap %d", t.Number)
	case p.next() == nextStrap:
		return key + fmt.Sprintf(" cuts the band of strap %d of %d", len(p.straps)+1, p.session.Straps)
	case p.next() == lookAgain:
		return key + " takes the second look: " + count(waiting, "near miss waits", "near misses wait")
	case p.next() == countBack:
		return key + " counts back what goes to the bank: everything is sorted and looked at"
	}
	return key + " goes back to the desk"
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
	if t.Aside > 0 {
		text += fmt.Sprintf(", set aside %s (never spent, never handed back)", dollars(t.Aside*face))
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
