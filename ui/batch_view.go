package ui

import (
	"fmt"
	"time"

	"app/unband/triage/stars"
)

func (b *batch) view(w, h int, at time.Time) []string {
	switch {
	case b.form != nil:
		return b.form.view(w)
	case b.star != nil:
		return b.star.view(w)
	}
	if len(b.list) == 0 {
		return append([]string{""}, hang(" ", "No star is kept yet. Every star you keep waits here, so that many are looked up at once: one look-up for each series and bank.", w)...)
	}
	// The work list takes the upper part, the stars of the group under the cursor the lower.
	upper := min(len(b.list), max(h/3, 3))
	first := firstShown(b.row, upper, len(b.list))
	var lines []string
	for i := first; i < first+upper; i++ {
		lines = append(lines, b.line(b.list[i], i == b.row, w))
	}
	if upper < len(b.list) {
		lines = append(lines, look.quiet.Render(fmt.Sprintf("  %d of %d look-ups", b.row+1, len(b.list))))
	}
	lines = append(lines, "")
	return append(lines, shorten(b.stars(b.list[b.row], w), h-len(lines))...)
}

// line is one group of the work list with how its stars stand.
func (b *batch) line(l stars.Lookup, selected bool, w int) string {
	by := map[stars.Status]int{}
	short := 0
	for _, s := range l.Stars {
		f := b.findings[s.Place]
		by[f.Status]++
		if f.Short(b.shortRun) {
			short++
		}
	}
	text := pad(l.Group.String(), max(min(w-32, 40), 24)) + fmt.Sprintf("%4d  ", len(l.Stars)) + statusWords(by, short)
	if selected {
		return cut(look.hit.Render(signChoice)+" "+look.strong.Render(text), w)
	}
	return cut("  "+text, w)
}

func statusWords(by map[stars.Status]int, short int) string {
	words := ""
	for _, s := range []struct {
		status stars.Status
		words  string
	}{
		{stars.InRun, "in a run"}, {stars.Gap, "in a gap: read again"}, {stars.Beyond, "beyond the list"},
		{stars.NoList, "to look up"}, {stars.NotReady, "series or bank missing"},
	} {
		if n := by[s.status]; n > 0 {
			if words != "" {
				words += ", "
			}
			words += fmt.Sprintf("%d %s", n, s.words)
		}
	}
	if short > 0 {
		words += fmt.Sprintf(" (%d short)", short)
	}
	return words
}

// stars tells of the stars of a group, from the one under the second cursor on.
func (b *batch) stars(l stars.Lookup, w int) []string {
	var lines []string
	for _, s := range l.Stars[min(b.top, len(l.Stars)):] {
		f := b.findings[s.Place]
		where := fmt.Sprintf("session %d, strap %d note %d", s.Place.Session, s.Place.Strap, s.Place.Position)
		lines = append(lines, look.hit.Render(signHit)+" "+look.strong.Render(printable(s.String()))+"  "+look.quiet.Render(where))
		for _, text := range f.Sentences(b.shortRun) {
			lines = append(lines, hang(" ", text, w)...)
		}
		lines = append(lines, "")
	}
	return lines
}
