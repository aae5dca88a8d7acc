package ui

import (
	"fmt"
	"time"

	"app/unband/triage/odds"
)

func (w *watch) view(width, h int, at time.Time) []string {
	if w.sub != nil {
		return w.sub.view(width, h, at)
	}
	lines := append(w.price(width), "", look.quiet.Render(fmt.Sprintf("      %-21s %10s  %-15s%8s%8s%9s", "", "serials", "odds", "a strap", "bundle", "near")))
	detail := w.detail(width)
	room := max(h-len(lines)-len(detail)-1, 1)
	first := min(max(w.row-room/2, 0), max(len(w.table.Rows)-room, 0))
	for i := first; i < min(first+room, len(w.table.Rows)); i++ {
		lines = append(lines, w.line(w.table.Rows[i], i == w.row))
	}
	return append(append(lines, ""), detail...)
}

// price is the cost of the whole list, each serial counted once.
func (w *watch) price(width int) []string {
	t := w.table.Total
	text := fmt.Sprintf("%s notes in a strap of 100 stop you: %.2f by a hit, %.2f by a near miss alone. ",
		look.strong.Render(fmt.Sprintf("%.2f", t.StopsPerStrap)), t.HitsPerStrap, t.NearPerStrap)
	if s := t.Settled; s != nil && !w.choices.Whole {
		text += fmt.Sprintf("%.2f digits are typed for a note; %.0f %% are settled by six, %.0f %% by seven.", s.MeanDigits, 100*s.By[6], 100*s.By[7])
	} else {
		text += "Every serial is typed to the end."
	}
	return wrap(text, width)
}

func (w *watch) line(r odds.Row, selected bool) string {
	hit, near, mark := look.quiet.Render("·"), look.quiet.Render("·"), "  "
	if r.HitStops {
		hit = look.hit.Render(signHit)
	}
	if r.NearStops {
		near = look.near.Render(signNear)
	}
	if selected {
		mark = look.hit.Render(signChoice) + " "
	}
	text := fmt.Sprintf("%-21s %10s  %-15s%8s%8s%9s", cut(r.Name, 21), number(r.Count), oneIn(r.Count, w.top()),
		odds.Expected(r.PerStrap), odds.Expected(r.PerBundle), odds.Expected(float64(r.NearCount)*100/float64(w.top())))
	if selected {
		text = look.strong.Render(text)
	}
	return mark + hit + " " + near + " " + text
}

// detail tells of the rule under the cursor what it means and what the two switches do.
func (w *watch) detail(width int) []string {
	r := w.table.Rows[w.row]
	stops := func(yes bool) string {
		if yes {
			return "stops you"
		}
		return "is only told"
	}
	lines := hang(" ", look.strong.Render(r.Name)+": "+r.Definition+". Like "+r.Example, width)
	return append(lines, hang(" ", look.quiet.Render(fmt.Sprintf("a hit %s, a near miss %s. Source: %s", stops(r.HitStops), nearWords(r.NearStops), r.Source)), width)...)
}

func nearWords(yes bool) string {
	if yes {
		return "stops you for a re-read"
	}
	return "is not looked for"
}
