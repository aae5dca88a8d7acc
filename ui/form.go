package ui

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/patterns"
	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/flaws"
)

// The lines of the form, from the top.
const (
	fieldName = iota
	fieldSource
	fieldDenomination
	fieldCondition
	fieldStraps
	fieldBand
	fields
)

// longestText bounds what is typed into a line of the form, in characters.
const longestText = 60

// form asks what a session is: a new one, or one that is there and is put right. What was typed of a new one stays when
// the form is left.
type form struct {
	env    *env
	right  *righting // nil for a new session
	field  int
	text   [fields]string // of the lines that are typed
	fresh  bool           // the number of straps is the one proposed: typing replaces it
	typed  string         // digits typed on a line of choices
	choice [fields]int    // of the lines that are chosen
	sent   bool           // the session is on its way to the disk
}

func newForm(e *env) *form {
	f := &form{env: e, fresh: true}
	f.text[fieldStraps] = "10"
	return f
}

func (f *form) denomination() triage.Denomination {
	return triage.Denominations[f.choice[fieldDenomination]]
}

// choices are the words to choose from on a line, nil where it is typed.
func (f *form) choices(field int) []string {
	var words []string
	switch field {
	case fieldDenomination:
		for _, d := range triage.Denominations {
			words = append(words, d.String())
		}
	case fieldCondition:
		return []string{"used", "new"}
	case fieldBand:
		for _, n := range f.bands() {
			words = append(words, strconv.Itoa(n))
		}
	}
	return words
}

// bands are the numbers of notes that a strap can hold.
func (f *form) bands() []int {
	sizes := f.denomination().StrapSizes()
	if f.right != nil && !slices.Contains(sizes, f.right.session.StrapNotes) {
		sizes = append(slices.Clip(sizes), f.right.session.StrapNotes)
	}
	return sizes
}

func (f *form) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	switch m := msg.(type) {
	case keyMsg:
		return f.key(m, at)
	case stored:
		return f.stored(m, at)
	}
	return f, nil
}

// stored goes on when the session is on disk: a new one with its first strap, and the form stays until that is there.
func (f *form) stored(m stored, at time.Time) (screen, tea.Cmd) {
	_, opened := m.write.(store.OpenStrap)
	f.sent = false
	switch {
	case m.bad() && opened:
		return newDesk(f.env, at), nil
	case m.bad():
		return f, nil
	case f.right != nil:
		return f.righted(m, at), nil
	case opened:
		return openStrap(f.env, m.result.Session, m.result.Strap, at)
	}
	f.env.form, f.sent = nil, true
	beginStrap(f.env, m.result.Session, 1, f, at)
	return f, nil
}

func (f *form) key(k keyMsg, at time.Time) (screen, tea.Cmd) {
	words := f.choices(f.field)
	if !key.Matches(k, formMap.Next, formMap.Before, formMap.Done) {
		f.env.quieten(at)
	} else {
		f.typed = ""
	}
	last := f.open(fields-1, -1)
	if f.right != nil && !f.sent {
		if to, done := f.rightKey(k, f.field == last, at); done {
			return to, nil
		}
	}
	switch {
	case f.sent:
	case f.right == nil && key.Matches(k, formMap.Leave):
		return newDesk(f.env, at), nil
	case key.Matches(k, formMap.Next):
		f.field = f.open(f.field+1, 1)
	case key.Matches(k, formMap.Before):
		f.field = f.open(f.field-1, -1)
	case key.Matches(k, formMap.Done):
		if _, ok := f.straps(); f.field == fieldStraps && !ok {
			f.askStraps(at)
			return f, nil
		}
		if f.field != last {
			f.field = f.open(f.field+1, 1)
			return f, nil
		}
		f.begin(at)
	case words != nil && key.Matches(k, formMap.Less):
		f.step(-1)
	case words != nil && key.Matches(k, formMap.More):
		f.step(1)
	case words == nil:
		f.edit(k)
	case k.Type == tea.KeySpace:
		f.choose(f.choice[f.field] + 1)
	case k.Type == tea.KeyRunes:
		f.pick(string(k.Runes), words, at)
	}
	return f, nil
}

// open is the next line from one on, around, that can be changed.
func (f *form) open(field, step int) int {
	field = (field + fields) % fields
	for f.right != nil && f.right.locked(field) {
		field = (field + step + fields) % fields
	}
	return field
}

// choose takes another word of the line. The sizes of straps depend on the denomination: the size chosen stays where
// there is one like it.
func (f *form) choose(i int) {
	n, band := len(f.choices(f.field)), f.band()
	f.choice[f.field] = (i + n) % n
	if f.field == fieldDenomination {
		f.choice[fieldBand] = max(slices.Index(f.bands(), band), 0)
	}
}

// step takes the choice beside the one that stands; at the ends it stays: round them lies the one furthest off.
func (f *form) step(by int) {
	to := f.choice[f.field] + by
	f.choose(min(max(to, 0), len(f.choices(f.field))-1))
}

// pick goes to the choice that begins with what is typed: 2 0 for $20, n for new.
func (f *form) pick(typed string, words []string, at time.Time) {
	for _, text := range []string{f.typed + typed, typed} {
		for _, exact := range []bool{true, false} {
			for i, word := range words {
				word = strings.TrimPrefix(word, "$")
				if word == strings.ToLower(text) || !exact && strings.HasPrefix(word, strings.ToLower(text)) {
					f.typed = text
					f.choose(i)
					if word != strings.ToLower(text) && len(text) > 1 && text[0] >= '0' && text[0] <= '9' {
						f.env.hint(text+" is no choice here: "+words[i]+" begins so", at)
					}
					return
				}
			}
		}
	}
	f.env.hint("nothing here begins with "+printable(typed)+": "+name(formMap.Less)+" and "+name(formMap.More)+" choose", at)
}

func (f *form) edit(k keyMsg) {
	line, text := textLine{longest: longestText}, &f.text[f.field]
	if f.field == fieldStraps {
		line.over(text, &f.fresh, k, formMap.Less, formMap.More)
		return
	}
	line.edit(text, k)
}

// mostStraps is how many straps a session can have.
const mostStraps = 10_000

// straps is the number of straps that stands in the form.
func (f *form) straps() (n int, ok bool) {
	n, err := strconv.Atoi(strings.TrimSpace(f.text[fieldStraps]))
	return n, err == nil && n >= 1 && n <= mostStraps
}

// askStraps goes to the line of the straps, whose number is none: what is typed replaces it.
func (f *form) askStraps(at time.Time) {
	f.field, f.fresh = fieldStraps, true
	f.env.say("how many straps? a number from 1 to "+number(mostStraps), at)
}

// band is the number of notes in a strap that is chosen.
func (f *form) band() int { return f.bands()[f.choice[fieldBand]] }

// begin asks the store for the session, or says which line is not right yet.
func (f *form) begin(at time.Time) {
	straps, ok := f.straps()
	if !ok {
		f.askStraps(at)
		return
	}
	chosen, err := f.env.choices()
	if err != nil {
		f.env.fail(err, at)
		return
	}
	name := strings.TrimSpace(f.text[fieldName])
	if name == "" {
		name = "session of " + at.Format("2 January 2006")
	}
	chosen.Settings = highFor(chosen.Settings, triage.Denominations[0], f.denomination())
	f.sent = true
	f.env.submit(store.AddSession{Session: triage.Session{
		Name: name, Source: strings.TrimSpace(f.text[fieldSource]),
		Denomination: f.denomination(), NewNotes: f.choice[fieldCondition] == 1,
		Straps: straps, StrapNotes: f.band(), Opened: at, Touched: at,
		Whole: chosen.Whole, OldBefore: chosen.OldLimit(f.denomination()), Watch: chosen.Watch, Wishes: chosen.Wishes, Settings: chosen.Settings,
	}}, f)
}

// highFor moves the range of high numbers, where it is the usual one of a denomination, to the highest serial of another.
func highFor(s patterns.Settings, from, to triage.Denomination) patterns.Settings {
	usual := patterns.DefaultSettings()
	wide := usual.HighTo - usual.HighFrom
	if s.HighTo == from.Top() && s.HighFrom == from.Top()-wide {
		s.HighFrom, s.HighTo = to.Top()-wide, to.Top()
	}
	return s
}

func (f *form) view(w, h int, at time.Time) []string {
	labels := [fields]string{"name", "where from", "denomination", "notes", "straps", "notes in a strap"}
	helps := [fields]string{
		"your own words; empty: the date", "bank, branch, teller: your own words", "",
		"used: they were in circulation; new: from the printer",
		"one band is a strap, ten straps are a bundle",
		"as the band says; 100 unless it is marked otherwise",
	}
	if f.right != nil {
		helps[fieldName] = "your own words; empty: as it was"
	}
	lines := []string{look.strong.Render("A new session: one pile from one place on one day"), ""}
	if f.right != nil {
		lines[0] = look.strong.Render(f.right.words())
	}
	for i := range fields {
		mark, value := "  ", look.plain.Render(printable(f.text[i]))
		if words := f.choices(i); f.right != nil && f.right.locked(i) {
			value = look.quiet.Render(f.value(i))
		} else if words != nil {
			value = f.choiceLine(i, words)
		} else if i == fieldStraps && i == f.field && f.fresh {
			value = replaceable(f.text[i], w-20)
		} else if i == f.field {
			value += look.cursor.Render(" ")
		}
		if i == f.field {
			mark = look.hit.Render(signChoice + " ")
		}
		lines = append(lines, cut(mark+look.quiet.Render(pad(labels[i], 18))+value, w))
		if h >= 2*fields+6 {
			hint := ""
			if i == f.field {
				hint = strings.Repeat(" ", 20) + look.quiet.Render(helps[i])
			}
			lines = append(lines, cut(hint, w))
		}
	}
	if n, ok := f.straps(); ok {
		notes := n * f.band()
		cash := notes * int(f.denomination())
		lines = append(lines, "", look.quiet.Render(fmt.Sprintf("together %s notes, %s", number(notes), dollars(cash))))
		if caution, large := flaws.ForCash(cash); large {
			lines = append(lines, cautionLines(caution, w)...)
		}
	}
	return shorten(lines, h)
}

// value is what stands on a line, in words.
func (f *form) value(field int) string {
	if words := f.choices(field); words != nil {
		return words[f.choice[field]]
	}
	return printable(f.text[field])
}

func (f *form) choiceLine(i int, words []string) string {
	var parts []string
	for j, word := range words {
		if j == f.choice[i] {
			parts = append(parts, look.strong.Render("["+word+"]"))
		} else {
			parts = append(parts, " "+look.quiet.Render(word)+" ")
		}
	}
	return strings.Join(parts, " ")
}

func (f *form) title() (string, string) {
	if f.right != nil {
		return "a session put right", printable(f.right.session.Name)
	}
	return "a new session", ""
}

func (f *form) short() []key.Binding {
	switch {
	case f.right != nil && f.right.entered() > 0:
		return rightMap.short()[:2]
	case f.right != nil:
		return rightMap.short()
	}
	return formMap.short()
}

func (f *form) groups() []keyGroup {
	if f.right != nil {
		return rightMap.groups()
	}
	return formMap.groups()
}

func (f *form) ready() time.Time { return time.Time{} }
func (f *form) typing() bool     { return true }
