package ui

import (
	"fmt"
	"strconv"
	"time"

	"github.com/charmbracelet/x/ansi"

	"app/unband/triage"
	"app/unband/triage/errands"
)

func (d *desk) view(w, h int, at time.Time) []string {
	if len(d.sessions) == 0 {
		return d.welcome(w)
	}
	foot := d.foot(w, h, at)
	lines := []string{look.quiet.Render(deskRow(w, "session", "", "straps", "notes", "kept", "spent", "≈ wait", "last touched")), ""}
	room := max(h-len(foot), 3)
	first := max(0, min(d.row, len(d.sessions)-1)-max(room-5, 0))
	opened := false
	for i := first; i < len(d.sessions) && len(lines) < room; i++ {
		s := d.sessions[i]
		switch {
		case s.Open():
		case i == first: // all there are, or all that fit
			lines = append(lines, look.quiet.Render("closed"))
		case opened:
			lines = append(lines, "", look.quiet.Render("closed"))
		}
		opened = s.Open()
		lines = append(lines, d.row1(s, i == d.row, w, at))
	}
	return append(lines, foot...)
}

// foot is what stands below the sessions: the way back to the strap, and the errands.
func (d *desk) foot(w, h int, at time.Time) []string {
	var lines []string
	if s, ok := d.resumable(); ok {
		lines = append(lines, "", look.hit.Render(signChoice+" ")+name(deskMap.Resume)+map[bool]string{true: " resumes ", false: " goes on with "}[d.begun[s.ID]]+printable(s.Name))
	}
	if len(d.errands) == 0 {
		if d.stars > 0 {
			lines = append(lines, hang(look.hit.Render(signHit), d.starWords(), w)...)
		}
		return lines
	}
	lines = append(lines, "", look.quiet.Render("  to do"))
	most := max((h-8)/2, 2)
	first := firstShown(d.row-len(d.sessions), most, len(d.errands))
	for i := first; i < min(first+most, len(d.errands)); i++ {
		r := d.errands[i]
		if r.kind == errands.Star {
			r.text = d.starWords()
		}
		lines = append(lines, errandLine(r, len(d.sessions)+i == d.row, false, w, at))
	}
	if i := d.row - len(d.sessions); i >= 0 && i < len(d.errands) && d.errands[i].kind != errands.Star {
		lines = append(append(lines, ""), shorten(hang(" ", look.quiet.Render(d.errands[i].text), w), 2)...)
	}
	if n := len(d.errands) - most; n > 0 {
		lines = append(lines, "  "+look.quiet.Render(fmt.Sprintf("%d more: %s has all of them", n, name(deskMap.Errands))))
	}
	return lines
}

// starWords says how many kept stars wait to be looked up, and when there are enough of them.
func (d *desk) starWords() string {
	text := fmt.Sprintf("%s kept, %s to be looked up", count(d.stars, "star", "stars"), number(d.unseen))
	if d.unseen >= d.ripe {
		text += ": the batch is ripe, " + name(deskMap.Stars) + " opens it"
	}
	return text
}

// welcome says in three sentences what to do with an empty file.
func (d *desk) welcome(w int) []string {
	strong := look.strong.Render
	lines := []string{""}
	for i, s := range []string{
		strong(name(deskMap.New)) + " begins a session: the straps you took from one bank on one day.",
		"Type each serial from the note and wait until the pause is over: " + strong(name(strapMap.Keep)) + " keeps, " + strong(name(strapMap.Spend)) + " spends.",
		strong(name(everywhere.Leave)) + " leaves at any moment: all is on disk, the strap waits at its note.",
	} {
		lines = append(lines, hang(look.hit.Render(strconv.Itoa(i+1)), s, min(w, 80))...)
		lines = append(lines, "")
	}
	return lines
}

func (d *desk) row1(s triage.Session, selected bool, w int, at time.Time) string {
	mark := "  "
	if selected {
		mark = signChoice + " "
	}
	wait := ""
	if s.Totals.Waiting > 0 {
		wait = number(s.Totals.Waiting)
	}
	line := deskRow(w, mark+s.Name, s.Denomination.String(), fmt.Sprintf("%d/%d", d.done[s.ID], s.Straps), number(s.Totals.Notes),
		number(s.Totals.Kept), number(s.Totals.Spent), wait, ago(s.Touched, at))
	if selected {
		return look.cursor.Render(line)
	}
	return line
}

// deskRow sets the columns of the list. The name takes the room that is left; where that is little, the day a session
// was last touched makes way for it.
func deskRow(w int, name, face, straps, notes, kept, spent, wait, touched string) string {
	rest := fmt.Sprintf("%5s%8s%7s%6s%7s%8s", face, straps, notes, kept, spent, wait)
	if w >= 72 {
		rest += fmt.Sprintf("  %-12s", touched)
	}
	return pad(printable(name), max(w-ansi.StringWidth(rest), 8)) + rest
}
