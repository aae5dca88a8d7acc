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
	head := []string{look.quiet.Render(deskRow(w, "session", "", "straps", "notes", "kept", "spent", "≈ wait", "last touched")), ""}
	resume := d.resumeLines(w)
	free := max(h-len(head)-len(resume), 3)
	todo := d.todo(max(free-d.lines(), d.atLeast(w, h, at)), w, at)
	lines := append(head, d.sessionLines(max(free-len(todo), 1), w, at)...)
	return append(append(lines, resume...), todo...)
}

// lines is how many the sessions take, with the heading of the closed ones.
func (d *desk) lines() int {
	switch open := d.open(); open {
	case len(d.sessions):
		return open
	case 0:
		return len(d.sessions) + 1
	}
	return len(d.sessions) + 2
}

// open is how many sessions are open; they come first.
func (d *desk) open() int {
	n := 0
	for n < len(d.sessions) && d.sessions[n].Open() {
		n++
	}
	return n
}

// sessionLines draws the sessions around the cursor that fit into the room; only those in sight are drawn.
func (d *desk) sessionLines(room, w int, at time.Time) (lines []string) {
	open, n := d.open(), d.lines()
	heading := n - len(d.sessions) // lines of it: none, "closed", or an empty line and "closed"
	cursor := min(d.row, len(d.sessions)-1)
	if cursor >= open {
		cursor += heading
	}
	closed := look.quiet.Render(fmt.Sprintf("closed: %s", number(len(d.sessions)-open)))
	first := firstShown(cursor, room, n)
	for i := first; i < min(first+room, n); i++ {
		switch {
		case i < open:
			lines = append(lines, d.row1(d.sessions[i], i == d.row, w, at))
		case heading == 2 && i == open:
			lines = append(lines, "")
		case i < open+heading, i == first && i != cursor: // the heading stays in sight
			lines = append(lines, closed)
		default:
			lines = append(lines, d.row1(d.sessions[i-heading], i-heading == d.row, w, at))
		}
	}
	return lines
}

// resumeLines are the way back to the strap.
func (d *desk) resumeLines(w int) []string {
	s, ok := d.resumable()
	if !ok {
		return nil
	}
	does := map[bool]string{true: " resumes ", false: " goes on with "}[d.begun[s.ID]]
	return append([]string{""}, hang(look.hit.Render(signChoice), name(deskMap.Resume)+does+printable(s.Name), w)...)
}

// atLeast is how many lines the errands get beside however many sessions: half the page, and as many as the errand under
// the cursor needs.
func (d *desk) atLeast(w, h int, at time.Time) int {
	most := max((h-8)/2, 2)
	if i := d.row - len(d.sessions); i >= 0 && i < len(d.errands) {
		most = max(most, len(d.errandLines(i, w, at)))
	}
	return most + 3 // an empty line, the heading, and how many more there are
}

// todo draws what is to be done in so many lines: all of it, or what is around the cursor and how much more there is.
func (d *desk) todo(room, w int, at time.Time) []string {
	n := len(d.errands)
	switch {
	case n == 0 && d.stars == 0:
		return nil
	case n == 0:
		return hang(look.hit.Render(signHit), d.starWords(), w)
	}
	head := []string{"", look.quiet.Render("  to do")}
	block := func(i int) []string { return d.errandLines(i, w, at) }
	chosen := max(d.row-len(d.sessions), 0)
	lines, first, after := inSight(n, chosen, room-2, block)
	if after-first < n {
		lines, first, after = inSight(n, chosen, room-3, block)
		lines = append(fit(lines, w, min(len(lines), room-3)), "  "+look.quiet.Render(fmt.Sprintf("%d more: %s has all of them", n-(after-first), name(deskMap.Errands))))
	}
	return append(head, lines...)
}

// errandLines draws one errand; that of the stars says how many there are.
func (d *desk) errandLines(i, w int, at time.Time) []string {
	r := d.errands[i]
	if r.kind == errands.Star {
		r.text = d.starWords()
	}
	return errandLines(r, len(d.sessions)+i == d.row, false, w, at)
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
	rest := fmt.Sprintf("%5s%8s%7s%5s%7s%7s", face, straps, notes, kept, spent, wait)
	if w >= 72 {
		rest += fmt.Sprintf("  %-12s", touched)
	}
	return pad(printable(name), max(w-ansi.StringWidth(rest), 8)) + rest
}
