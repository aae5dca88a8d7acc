package ui

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"app/unband/triage"
	"app/unband/triage/flaws"
	"app/unband/triage/keepers"
	"app/unband/triage/stars"
)

func (v *keeperList) view(w, h int, at time.Time) []string {
	switch {
	case v.form != nil:
		return v.form.view(w)
	case len(v.all) == 0:
		return append([]string{""}, hang(" ", "Nothing is kept yet. Every note you keep stands here: what it is, where it lies, and what became of it.", w)...)
	}
	lines := append(v.sums(w), v.filterLine(w), "", look.quiet.Render(keeperRow(w, "serial", "series", "what it is", "where", "session", "kept")))
	var detail []string
	if k, ok := v.selected(); ok {
		detail = shorten(v.detail(k, w, at), max(h/4, 2))
	}
	room := max(h-len(lines)-len(detail)-1, 1)
	first := firstShown(v.row, room, len(v.shown))
	for i := first; i < min(first+room, len(v.shown)); i++ {
		lines = append(lines, v.line(v.shown[i], i == v.row, w, at))
	}
	if len(v.shown) == 0 {
		lines = append(lines, "  "+look.quiet.Render("no keeper has all of these words"))
	}
	return append(fit(lines, w, h-len(detail)-1), append([]string{""}, detail...)...)
}

// sums counts all keepers with their face value, by what became of them.
func (v *keeperList) sums(w int) []string {
	sum := v.sum
	text := look.strong.Render(count(sum.Notes[triage.StillHere], "keeper", "keepers")+" here, "+dollars(sum.Dollars[triage.StillHere])) + " face value"
	for _, f := range triage.Fates[1:] {
		if n := sum.Notes[f]; n > 0 {
			text += fmt.Sprintf(" · %s %s, %s", number(n), f, dollars(sum.Dollars[f]))
		}
	}
	return wrap(text, w)
}

func (v *keeperList) filterLine(w int) string {
	text := look.hit.Render(signChoice) + " " + printable(v.query) + look.cursor.Render(" ")
	if v.query == "" {
		text += look.quiet.Render(" type to filter")
	}
	right := fmt.Sprintf("%s of %s", number(len(v.shown)), number(len(v.all)))
	shown := 0
	for _, k := range v.shown {
		if v.marked[k.Note.Place()] {
			shown++
		}
	}
	switch n := len(v.marked); {
	case n > shown:
		right = look.hit.Render(fmt.Sprintf("%d marked, %d of them not shown", n, n-shown)) + "  " + right
	case n > 0:
		right = look.hit.Render(number(n)+" marked") + "  " + right
	}
	return spread(text, right, w)
}

// keeperRow sets the columns: what it is takes the room that is left.
func keeperRow(w int, serial, series, why, where, session, when string) string {
	rest := w - 2 - 12 - 8 - 12
	place := max(rest*3/10, 10)
	name := 0
	if w >= 78 {
		name = max(rest/4, 12)
	}
	text := "  " + pad(serial, 12) + pad(series, 8) + pad(cut(why, rest-place-name-1), rest-place-name) + pad(cut(where, place-1), place)
	if name > 0 {
		text += pad(cut(session, name-1), name)
	}
	return text + when
}

func (v *keeperList) line(k *keepers.Keeper, selected bool, w int, at time.Time) string {
	n := k.Note
	where := printable(n.Where)
	if n.Fate != triage.StillHere {
		where = n.Fate.String()
	}
	text := keeperRow(w, printable(n.Serial.String()), printable(n.Series), strings.Join(k.Why, ", "), where, printable(k.Session.Name), ago(n.Decided, at))
	mark := "  "
	if v.marked[n.Place()] {
		mark = look.hit.Render(signHit) + " "
	}
	text = cut(strings.TrimPrefix(text, "  "), w-2)
	if selected {
		mark = look.hit.Render(signChoice) + " "
		if v.marked[n.Place()] {
			mark = look.hit.Render(signChoice + signHit)
		}
		return mark + look.cursor.Render(pad(text, w-2))
	}
	return mark + text
}

// detail is everything short that is known of the keeper under the cursor.
func (v *keeperList) detail(k *keepers.Keeper, w int, at time.Time) []string {
	n := k.Note
	var parts []string
	add := func(text string) {
		if text != "" {
			parts = append(parts, text)
		}
	}
	add(k.Session.Denomination.String() + " " + printable(n.Serial.String()))
	if n.Series != "" {
		add("series " + printable(n.Series))
	}
	if k.Bank != 0 {
		add(stars.BankName(k.Bank))
	}
	add(strings.Join(slices.DeleteFunc(slices.Clone(k.Why), func(why string) bool { return why == "series "+n.Series }), ", "))
	if n.Grade != flaws.NoGrade {
		add(n.Grade.String())
	}
	if n.Defects != 0 {
		add(n.Defects.String())
	}
	lines := hang(" ", strings.Join(parts, " · "), w)
	parts = nil
	if n.Fate != triage.StillHere {
		text := n.Fate.String() + " on " + n.FateDay.Format(time.DateOnly)
		if n.FateRemark != "" {
			text += " (" + printable(n.FateRemark) + ")"
		}
		add(text)
	}
	if n.Where != "" && !n.Fate.Gone() {
		add("lies in " + printable(n.Where))
	}
	add(printable(n.Remark))
	add(fmt.Sprintf("%s, strap %d note %d, kept %s", printable(k.Session.Name), n.Strap, n.Position, n.Decided.In(at.Location()).Format("2 January 2006")))
	return append(lines, hang(" ", look.quiet.Render(strings.Join(parts, " · ")), w)...)
}
