package ui

import (
	"fmt"
	"time"

	"app/unband/triage"
)

func (v *again) view(w, h int, at time.Time) []string {
	lines := []string{v.headline(at)}
	if v.closer != nil {
		lines = append(lines, v.serial()...)
		return append(lines, v.closer.view(w, h-len(lines), at)...)
	}
	if aside := v.again.Hand().Confirming() == triage.SetAside; w >= 78 && !aside { // the whole width for the caution
		return v.roomy(w, h, at)
	}
	lines = append(lines, v.serial()...)
	lines = append(lines, v.pauseLine(w, at))
	room := h - len(lines) - 2
	lines = append(lines, fit(shorten(v.body(w, at), room), w, room)...)
	return append(append(lines, ""), v.rows(1)...)
}

// roomy has the note on the left and the strap on the right.
func (v *again) roomy(w, h int, at time.Time) []string {
	left := w - mapWidth - 2
	lines := append([]string{v.headline(at), ""}, v.serial()...)
	lines = append(lines, v.pauseLine(left, at), "")
	lines = append(lines, shorten(v.body(left, at), h-len(lines))...)
	foot := v.totals()
	all := (len(v.again.Notes()) + 9) / 10
	right := append(v.rows(max(min(all, h-len(foot)), 1)), foot...)
	return beside(fit(lines, left, h), fit(right, mapWidth, h), left+2)
}

// headline says which note is shown, and how it was decided.
func (v *again) headline(at time.Time) string {
	n := v.again.Note()
	words := becameWords(n)
	switch n.Look {
	case triage.Waiting:
		words += ", waits for the second look"
	case triage.StillSpent:
		words += ", looked at twice"
	}
	words = look.quiet.Render(words + " " + ago(n.Decided, at))
	if beside := v.again.Hand().BesideWords(); beside != "" {
		words += "  " + look.hit.Render(signBeside+" "+beside)
	}
	return headline(n.Position, len(v.again.Notes()), words)
}

// serial draws the serial small, with a cursor only where characters go into it.
func (v *again) serial() []string {
	hand := v.again.Hand()
	places := cells(hand, v.again.Session().Watch)
	if !v.takesLetters() {
		for i := range places {
			places[i].cursor = false
		}
	}
	return smallCells(hand.Entry.Serial, places)
}

func (v *again) hand() handView {
	s, hand := v.again.Session(), v.again.Hand()
	spend := "spend"
	if hand.AsksReread() {
		spend = "asks to read again"
	}
	return handView{hand: hand, book: v.book, odds: v.odds, watch: s.Watch, denom: s.Denomination, names: v.names, calm: v.env.comfort.Calm, keep: "keep", spend: spend,
		keys: againWords(), told: true}
}

// pauseLine is the bar with what it waits for; in a closed session nothing waits.
func (v *again) pauseLine(w int, at time.Time) string {
	hand := v.again.Hand()
	switch jump := v.again.Jump(); {
	case jump != "":
		return cut(look.hit.Render(signChoice)+" note "+look.strong.Render(jump)+look.cursor.Render(" ")+"  "+keyWords(againMap.Enter, "goes there"), w)
	case v.again.Pending():
	case !v.again.Session().Open():
		return cut(look.quiet.Render("session closed: decisions stay; "+name(againMap.Closer)+" adds to the note"), w)
	case !v.again.Retyping() && hand.Entry.Empty() && v.again.Note().Decision == triage.NotThere:
		return cut(look.quiet.Render("not there; "+name(againMap.Serial)+" types its serial, if it is"), w)
	case hand.Entry.Empty() && !v.again.Retyping() && !hand.Apart():
		return cut(look.quiet.Render("unread; "+name(againMap.Serial)+" types its serial, to keep it"), w)
	}
	return v.hand().pauseLine(hand.Pause(at), v.again.Pending(), w)
}

// body is what is known of the note, and what its serial says.
func (v *again) body(w int, at time.Time) []string {
	if hand := v.again.Hand(); hand.Asks() || hand.Confirming() == triage.SetAside {
		return v.hand().says(w, at)
	}
	lines := v.known(w)
	switch n := v.again.Note(); {
	case n.Before != "" && n.Before == n.Listed:
		lines = append(lines, "  the list had "+printable(n.Listed)+"; the re-read changed it")
	case n.Before != "":
		lines = append(lines, "  "+n.Before+" at first; the re-read changed it")
	case n.Decision == triage.NotThere:
		lines = append(lines, "  listed as "+printable(n.Listed)+", and not in the pile")
	}
	if len(lines) > 0 {
		lines = append(lines, "")
	}
	return append(lines, v.hand().says(w, at)...)
}

// known lists what has been said about the note, line by line as in the closer look.
func (v *again) known(w int) []string {
	said := newCloser(v.again.Hand(), v.again.Session().Denomination, "")
	unsaid := &closer{hand: said.hand, denom: said.denom}
	var lines []string
	for _, l := range closerLines {
		if value := l.value(said); value != l.value(unsaid) {
			lines = append(lines, hangLabel(l.label, value, w)...)
		}
	}
	return lines
}

// hangLabel writes a label and a text beside it, further lines below the text.
func hangLabel(label, text string, w int) []string {
	lines := wrap(text, w-labelWidth-2)
	for i := range lines {
		if i > 0 {
			label = ""
		}
		lines[i] = "  " + look.quiet.Render(pad(label, labelWidth)) + lines[i]
	}
	return lines
}

// rows draws the strap as it lies, in rows of ten around the note shown: after it was turned over the last note
// comes first.
func (v *again) rows(most int) []string {
	notes, pass := v.again.Notes(), v.again.Pass()
	wanted := map[int]bool{}
	for _, p := range v.again.Wanted() {
		wanted[p] = true
	}
	lies := func(i int) int { // the position at a place from the top, and the other way round
		if pass.Turned {
			return len(notes) + 1 - i
		}
		return i
	}
	first := firstShown((lies(pass.Position)-1)/10, most, (len(notes)+9)/10)
	var lines []string
	for from := first*10 + 1; from <= len(notes) && len(lines) < most; from += 10 {
		line := look.quiet.Render(fmt.Sprintf("%4d ", lies(from)))
		for i := from; i < min(from+10, len(notes)+1); i++ {
			line += " " + v.cell(lies(i), wanted)
		}
		lines = append(lines, line)
	}
	return lines
}

func (v *again) cell(position int, wanted map[int]bool) string {
	n := v.again.Notes()[position-1]
	switch {
	case position == v.again.Pass().Position:
		return look.cursor.Render(cellLooking)
	case wanted[position]:
		return look.near.Render(signBeside)
	case n.Decision == triage.Undecided:
		return look.quiet.Render("-")
	}
	return noteSign(n)
}

// totals sum up the strap.
func (v *again) totals() []string {
	t := v.again.Strap().Totals
	row := func(label string, n int) string { return fmt.Sprintf("  %-7s%7s", label, number(n)) }
	lines := []string{"", row("notes", t.Notes), row("kept", t.Kept), row("spent", t.Spent), row("near", t.Near)}
	if aside := t.Aside + t.Apart; aside > 0 {
		lines = append(lines, row("aside", aside))
	}
	return lines
}
