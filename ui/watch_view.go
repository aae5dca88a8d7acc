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
	lines := append(w.price(width), "", look.quiet.Render("      "+w.columns(width, "", "serials", "odds", "rule", "a strap", "bundle", "near")))
	detail := w.detail(width)
	rows := len(w.table.Rows) + len(besides)
	room := max(h-len(lines)-len(detail)-1, 1)
	first := firstShown(w.row, room, rows)
	for i := first; i < min(first+room, rows); i++ {
		if i < len(w.table.Rows) {
			lines = append(lines, w.line(w.table.Rows[i], i == w.row, width))
		} else {
			lines = append(lines, w.besideLine(i-len(w.table.Rows), i == w.row, width))
		}
	}
	return append(append(lines, ""), detail...)
}

// columns sets the columns of the list. A bundle is ten straps, so its column goes first where there is no
// room; then the serials, which the odds say too, and the near misses.
func (w *watch) columns(width int, name, serials, odds, rule, strap, bundle, near string) string {
	if width < 79 {
		return fmt.Sprintf("%-20s  %-16s%-8s%8s", cut(name, 20), odds, rule, strap)
	}
	text := fmt.Sprintf("%-20s %10s  %-*s%-8s%8s", cut(name, 20), serials, min(width-63, 17), odds, rule, strap)
	if width >= 92 {
		text += fmt.Sprintf("%8s", bundle)
	}
	return text + fmt.Sprintf("%8s", near)
}

// price is the cost of the whole list, each serial counted once.
func (w *watch) price(width int) []string {
	t := w.table.Total
	if width < 79 {
		text := fmt.Sprintf("%s stop you in a strap of 100", look.strong.Render(fmt.Sprintf("%.2f notes", t.StopsPerStrap)))
		if s := t.Settled; s != nil && !w.choices.Whole {
			text += fmt.Sprintf("; %.2f digits a note", s.MeanDigits)
		}
		return wrap(text, width)
	}
	text := fmt.Sprintf("%s notes in a strap of 100 stop you: %.2f by a hit, %.2f by a near miss alone. ",
		look.strong.Render(fmt.Sprintf("%.2f", t.StopsPerStrap)), t.HitsPerStrap, t.NearPerStrap)
	if s := t.Settled; s != nil && !w.choices.Whole {
		text += fmt.Sprintf("%.2f digits are typed for a note; %.0f %% are settled by six, %.0f %% by seven.", s.MeanDigits, 100*s.By[6], 100*s.By[7])
	} else {
		text += "Every serial is typed to the end."
	}
	return wrap(text, width)
}

func (w *watch) line(r odds.Row, selected bool, width int) string {
	hit, near := look.quiet.Render("·"), look.quiet.Render("·")
	rule := ""
	if r.HitStops {
		hit, rule = look.hit.Render(signHit), wishWord(w.choices.Wishes.Of(r.ID))
	}
	if r.NearStops {
		near = look.near.Render(signNear)
	}
	text := w.columns(width, r.Name, number(r.Count), oneIn(r.Count, w.top()), rule,
		odds.Expected(r.PerStrap), odds.Expected(r.PerBundle), odds.Expected(float64(r.NearCount)*100/float64(w.top())))
	return rowText(selected, hit+" "+near+" ", text)
}

// besideLine is a line of what stops the sorter without being a pattern.
func (w *watch) besideLine(i int, selected bool, width int) string {
	b := besides[i]
	return rowText(selected, look.hit.Render(signHit)+"   ", w.columns(width, b.name, "", "", wishWord(*b.wish(&w.choices.Wishes)), "", "", ""))
}

func rowText(selected bool, signs, text string) string {
	if selected {
		return look.hit.Render(signChoice) + " " + signs + look.strong.Render(text)
	}
	return "  " + signs + text
}

// detail tells of the rule under the cursor what it means and what the two switches do.
func (w *watch) detail(width int) []string {
	if _, pattern := w.rule(); !pattern {
		b := besides[w.row-len(w.table.Rows)]
		lines := hang(" ", look.strong.Render(b.name)+": "+b.stops, width)
		return append(lines, hang(" ", look.quiet.Render(wishSentence(w.wish())), width)...)
	}
	r := w.table.Rows[w.row]
	stops := func(yes bool) string {
		if yes {
			return "stops you"
		}
		return "is only told"
	}
	lines := hang(" ", look.strong.Render(r.Name)+": "+r.Definition+". Like "+r.Example, width)
	text := fmt.Sprintf("a hit %s, a near miss %s. ", stops(r.HitStops), nearWords(r.NearStops))
	if r.HitStops {
		text += wishSentence(w.wish()) + " "
	}
	return append(lines, hang(" ", look.quiet.Render(text+sourceWords(r.Source)), width)...)
}

func nearWords(yes bool) string {
	if yes {
		return "stops you for a re-read"
	}
	return "is not looked for"
}
