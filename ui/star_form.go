package ui

import (
	"time"

	"github.com/charmbracelet/bubbles/key"

	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/stars"
)

// starForm asks what a star of the batch lacks: its prefix, its series and where it was printed. It can
// be asked long after the session was closed, for nothing that was counted changes by it.
type starForm struct {
	star  stars.Star
	field int
	text  [starFields]string
}

const (
	starPrefix = iota
	starSeries
	starPlant
	starFields
)

var (
	starLabels = [starFields]string{"prefix", "series", "plate number"}
	starHints  = [starFields]string{"the letters in front of the digits", "the year and the letter behind it, as 2017A", "FW, DC or empty: not looked at"}
)

func (b *batch) openStar(s stars.Star) {
	f := &starForm{star: s}
	f.text[starPrefix], f.text[starSeries] = s.Prefix, s.Series
	f.text[starPlant] = map[currency.Facility]string{currency.FortWorth: "FW", currency.Washington: "DC"}[s.Facility]
	b.star = f
}

func (b *batch) starKey(k keyMsg, at time.Time) {
	f := b.star
	switch {
	case key.Matches(k, starFormMap.Leave):
		b.star = nil
	case key.Matches(k, starFormMap.Next):
		f.field = min(f.field+1, starFields-1)
	case key.Matches(k, starFormMap.Before):
		f.field = max(f.field-1, 0)
	case key.Matches(k, starFormMap.Enter):
		if f.field < starFields-1 {
			f.field++
			return
		}
		b.keepStar(at)
	default:
		textLine{5, "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"}.edit(&f.text[f.field], k)
	}
}

// keepStar stores what was said as the next version of the note.
func (b *batch) keepStar(at time.Time) {
	f := b.star
	plant, known := map[string]currency.Facility{"": currency.FacilityUnknown, "FW": currency.FortWorth, "DC": currency.Washington}[f.text[starPlant]]
	series, err := currency.ParseSeries(f.text[starSeries])
	switch {
	case !known:
		f.field = starPlant
		b.env.hint(starHints[starPlant], at)
		return
	case f.text[starSeries] != "" && err != nil:
		f.field = starSeries
		b.env.hint(err.Error(), at)
		return
	}
	if bad := triage.CheckPrefix(f.star.Denomination, f.text[starPrefix]); bad.Kind != triage.Quiet && !f.star.Front {
		f.field = starPrefix
		b.env.hint(bad.String(), at)
		return
	}
	notes, err := b.env.store.Notes(f.star.Place.Session, f.star.Place.Strap)
	switch {
	case err != nil:
		b.env.fail(err, at)
		return
	case f.star.Place.Position > len(notes):
		b.env.say("the note is not there any more", at)
		b.star = nil
		return
	}
	n := notes[f.star.Place.Position-1]
	if n.Serial.Prefix == f.text[starPrefix] && n.Series == series.String() && n.Facility == plant {
		b.star = nil // nothing was changed, so nothing is stored
		return
	}
	facts := n.Facts()
	facts.Series, facts.Facility = series.String(), plant
	n = n.Revised(facts, at)
	n.Serial.Prefix = f.text[starPrefix]
	b.env.submit(store.Decide{Note: n}, b)
}

func (f *starForm) view(w int) []string {
	lines := []string{look.strong.Render("the star " + triage.Printable(f.star.String())), ""}
	for i := range starFields {
		mark, value := "  ", f.text[i]
		if i == f.field {
			mark, value = look.hit.Render(signChoice)+" ", value+look.cursor.Render(" ")+"  "+look.quiet.Render(starHints[i])
		}
		lines = append(lines, cut(mark+look.quiet.Render(pad(starLabels[i], 18))+value, w))
	}
	return lines
}

// starFormKeys are the keys of the form.
type starFormKeys struct{ Enter, Next, Before, Leave key.Binding }

var starFormMap = starFormKeys{
	Enter:  bind("Enter", "next line; on the last: keep it with the note", "enter", "ctrl+j"),
	Next:   bind("↓", "next line", "down", "tab"),
	Before: bind("↑", "line before", "up", "shift+tab"),
	Leave:  bind("Esc", "back without changing anything", "esc"),
}

func (k starFormKeys) short() []key.Binding {
	return []key.Binding{short(k.Enter, "next, at the end keep it"), short(k.Leave, "back")}
}

func (k starFormKeys) groups() []keyGroup {
	return []keyGroup{{title: "The facts of a star", keys: []key.Binding{k.Enter, k.Next, k.Before, textMap.Erase, textMap.Clear, k.Leave}}}
}
