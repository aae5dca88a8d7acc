package ui

import (
	"fmt"
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

// form asks what a new session is. What was typed stays when it is left.
type form struct {
	env    *env
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
		for _, n := range f.denomination().StrapSizes() {
			words = append(words, strconv.Itoa(n))
		}
	}
	return words
}

func (f *form) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	switch m := msg.(type) {
	case keyMsg:
		return f.key(m, at)
	case stored:
		f.sent = false
		if m.bad() {
			return f, nil
		}
		f.env.form = nil
		return newStrap(f.env, m.result.Session, 1, at)
	}
	return f, nil
}

func (f *form) key(k keyMsg, at time.Time) (screen, tea.Cmd) {
	words := f.choices(f.field)
	if !key.Matches(k, formMap.Next, formMap.Before, formMap.Done) {
		f.env.quieten(at)
	} else {
		f.typed = ""
	}
	switch {
	case f.sent:
	case key.Matches(k, formMap.Leave):
		return newDesk(f.env, at), nil
	case key.Matches(k, formMap.Next):
		f.field = (f.field + 1) % fields
	case key.Matches(k, formMap.Before):
		f.field = (f.field + fields - 1) % fields
	case key.Matches(k, formMap.Done):
		if f.field < fields-1 {
			f.field++
			return f, nil
		}
		f.begin(at)
	case words != nil && key.Matches(k, formMap.Less):
		f.choose(f.choice[f.field] - 1)
	case words != nil && key.Matches(k, formMap.More):
		f.choose(f.choice[f.field] + 1)
	case words == nil:
		f.edit(k)
	case k.Type == tea.KeySpace:
		f.choose(f.choice[f.field] + 1)
	case k.Type == tea.KeyRunes:
		f.pick(string(k.Runes), words, at)
	}
	return f, nil
}

// choose takes another word of the line; the sizes of straps depend on the denomination.
func (f *form) choose(i int) {
	n := len(f.choices(f.field))
	f.choice[f.field] = (i + n) % n
	if f.field == fieldDenomination {
		f.choice[fieldBand] = 0
	}
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
	text := &f.text[f.field]
	if f.field == fieldStraps && f.fresh && (k.Type == tea.KeyRunes || key.Matches(k, textMap.Erase, textMap.Clear)) {
		*text, f.fresh = "", false
	}
	textLine{longest: longestText}.edit(text, k)
}

// begin asks the store for the session, or says which line is not right yet.
func (f *form) begin(at time.Time) {
	straps, err := strconv.Atoi(strings.TrimSpace(f.text[fieldStraps]))
	if err != nil || straps < 1 || straps > 10_000 {
		f.field = fieldStraps
		f.env.say("how many straps? a number from 1 to 10,000", at)
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
	band, _ := strconv.Atoi(f.choices(fieldBand)[f.choice[fieldBand]])
	chosen.Settings = highFor(chosen.Settings, f.denomination())
	f.sent = true
	f.env.submit(store.AddSession{Session: triage.Session{
		Name: name, Source: strings.TrimSpace(f.text[fieldSource]),
		Denomination: f.denomination(), NewNotes: f.choice[fieldCondition] == 1,
		Straps: straps, StrapNotes: band, Opened: at, Touched: at,
		Whole: chosen.Whole, OldBefore: chosen.OldLimit(f.denomination()), Watch: chosen.Watch, Wishes: chosen.Wishes, Settings: chosen.Settings,
	}}, f)
}

// highFor moves the range of high numbers, where the person has not set one, to the highest serial of
// the denomination.
func highFor(s patterns.Settings, d triage.Denomination) patterns.Settings {
	usual := patterns.DefaultSettings()
	if s.HighTo == usual.HighTo && s.HighFrom == usual.HighFrom {
		s.HighFrom, s.HighTo = d.Top()-(usual.HighTo-usual.HighFrom), d.Top()
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
	lines := []string{look.strong.Render("A new session: one pile from one place on one day"), ""}
	for i := range fields {
		mark, value := "  ", look.plain.Render(f.text[i])
		if words := f.choices(i); words != nil {
			value = f.choiceLine(i, words)
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
	if n, err := strconv.Atoi(strings.TrimSpace(f.text[fieldStraps])); err == nil && n > 0 && n <= 10_000 {
		band, _ := strconv.Atoi(f.choices(fieldBand)[f.choice[fieldBand]])
		cash := n * band * int(f.denomination())
		lines = append(lines, "", look.quiet.Render(fmt.Sprintf("together %s notes, %s", number(n*band), dollars(cash))))
		if caution, large := flaws.ForCash(cash); large {
			lines = append(lines, cautionLines(caution, w)...)
		}
	}
	return lines
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

func (f *form) title() (string, string) { return "a new session", "" }
func (f *form) short() []key.Binding    { return formMap.short() }
func (f *form) groups() []keyGroup      { return formMap.groups() }
func (f *form) ready() time.Time        { return time.Time{} }
func (f *form) typing() bool            { return true }
