package ui

import (
	"fmt"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"

	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/keepers"
)

// keeperForm asks one thing about one keeper or many: where they lie, or what became of them.
type keeperForm struct {
	of    []*keepers.Keeper
	where bool // else what became of them
	field int
	place string
	fate  int // index into triage.Fates
	day   string
	fresh bool   // the day is the one proposed: typing replaces it
	words string // remark on the fate
}

// The lines of the form about what became of them.
const (
	fateLine = iota
	fateDayLine
	fateWordsLine
	fateLines
)

// newWhereForm begins with the place of the first.
func newWhereForm(of []*keepers.Keeper) *keeperForm {
	return &keeperForm{of: of, where: true, place: of[0].Note.Where}
}

// newFateForm begins with what is known of the first, and today.
func newFateForm(of []*keepers.Keeper, at time.Time) *keeperForm {
	f := &keeperForm{of: of, day: at.Format(time.DateOnly), fresh: true}
	for _, k := range of { // of several with several fates nothing is proposed
		if k.Note.Fate != of[0].Note.Fate || !k.Note.FateDay.Equal(of[0].Note.FateDay) || k.Note.FateRemark != of[0].Note.FateRemark {
			return f
		}
	}
	f.words = of[0].Note.FateRemark
	for i, fate := range triage.Fates {
		if fate == of[0].Note.Fate {
			f.fate = i
		}
	}
	if d := of[0].Note.FateDay; !d.IsZero() {
		f.day = d.Format(time.DateOnly)
	}
	return f
}

func (f *keeperForm) last() int {
	if f.where {
		return 0
	}
	return fateLines - 1
}

func (v *keeperList) formKey(k keyMsg, at time.Time) {
	f := v.form
	switch {
	case key.Matches(k, keeperFormMap.Leave):
		v.form = nil
	case key.Matches(k, keeperFormMap.Next):
		f.field = min(f.field+1, f.last())
	case key.Matches(k, keeperFormMap.Before):
		f.field = max(f.field-1, 0)
	case key.Matches(k, keeperFormMap.Enter):
		if f.field < f.last() {
			f.field++
			return
		}
		v.keepForm(at)
	default:
		f.edit(k)
	}
}

func (f *keeperForm) edit(k keyMsg) {
	n := len(triage.Fates)
	switch {
	case f.where:
		textLine{longest: longestWhere}.edit(&f.place, k)
	case f.field == fateLine && key.Matches(k, keeperFormMap.Less):
		f.fate = (f.fate + n - 1) % n
	case f.field == fateLine && key.Matches(k, keeperFormMap.More):
		f.fate = (f.fate + 1) % n
	case f.field == fateDayLine:
		textLine{longest: 10, allowed: "0123456789-"}.over(&f.day, &f.fresh, k, keeperFormMap.Less, keeperFormMap.More)
	case f.field == fateWordsLine:
		textLine{longest: longestRemark}.edit(&f.words, k)
	}
}

// keepForm stores what was said, of all of them or none.
func (v *keeperList) keepForm(at time.Time) {
	f := v.form
	var notes []triage.Note
	if f.where {
		for _, k := range f.of {
			facts := k.Note.Facts()
			if facts.Where = strings.TrimSpace(f.place); facts != k.Note.Facts() {
				notes = append(notes, k.Note.Revised(facts, at))
			}
		}
	} else {
		day, err := time.Parse(time.DateOnly, f.day)
		switch {
		case triage.Fates[f.fate] == triage.StillHere: // it has no day
		case err != nil:
			f.field = fateDayLine
			v.env.hint("the day is written as "+at.Format(time.DateOnly), at)
			return
		case day.After(at.AddDate(0, 0, 1)): // a day ahead is today elsewhere
			f.field = fateDayLine
			v.env.hint(f.day+" is still to come: is the year right?", at)
			return
		}
		for _, k := range f.of {
			n := k.Note.Became(triage.Fates[f.fate], day, strings.TrimSpace(f.words), at)
			if n.Fate != k.Note.Fate || !n.FateDay.Equal(k.Note.FateDay) || n.FateRemark != k.Note.FateRemark {
				notes = append(notes, n)
			}
		}
	}
	if len(notes) == 0 {
		v.form = nil
		v.env.hint("nothing changed", at)
		return
	}
	v.env.submit(store.Revise{Notes: notes}, v)
}

func (f *keeperForm) view(w int) []string {
	what := "what became of "
	if f.where {
		what = "where it lies: "
	}
	face := 0
	for _, k := range f.of {
		face += k.Face()
	}
	who := printable(f.of[0].Note.Serial.String())
	if len(f.of) > 1 {
		who = fmt.Sprintf("%s, %s together", count(len(f.of), "keeper", "keepers"), dollars(face))
	}
	lines := []string{look.strong.Render(what + who), ""}
	line := func(field int, label, value string) {
		lines = append(lines, labelled(label, value, field == f.field, w))
	}
	if f.where {
		line(0, "where", printable(f.place))
		return append(append(lines, ""), hang(" ", look.quiet.Render("album and page, box, drawer: your own words. Empty: nowhere said"), w)...)
	}
	fate := triage.Fates[f.fate]
	line(fateLine, "what", fate.String())
	if f.fresh && f.field == fateDayLine {
		lines = append(lines, labelledFresh("day", f.day, w))
	} else {
		line(fateDayLine, "day", f.day)
	}
	line(fateWordsLine, "remark", printable(f.words))
	lines = append(lines, "")
	return append(lines, hang(" ", look.quiet.Render(fateHelp(fate)), w)...)
}

// fateHelp says what the face value does.
func fateHelp(f triage.Fate) string {
	switch f {
	case triage.Sold, triage.Traded:
		return "it stays on record as kept, and its face value is counted as no longer here"
	case triage.SentGrading:
		return "it is yours still, and its face value is counted as away"
	case triage.SpentAfter:
		return "its face value moves from kept to spent, in its session and in all sums. It is not among what goes back to the bank: to lay it on the pile again, go back to it on the strap"
	}
	return "it lies here; whatever was said before is taken back"
}

// keeperFormKeys are the keys of the form.
type keeperFormKeys struct{ Less, More, Enter, Next, Before, Leave key.Binding }

var keeperFormMap = keeperFormKeys{
	Less:   bind("←", "choice before", "left"),
	More:   bind("→", "next choice", "right"),
	Enter:  bind("Enter", "next line; on the last: keep it with all of them", "enter", "ctrl+j"),
	Next:   bind("↓", "next line", "down", "tab"),
	Before: bind("↑", "line before", "up", "shift+tab"),
	Leave:  bind("Esc", "back without changing anything", "esc"),
}

func (k keeperFormKeys) short() []key.Binding {
	return []key.Binding{short(k.Leave, "back"), short(k.Enter, "next, at the end keep it"), short(k.More, "choose")}
}

func (k keeperFormKeys) groups() []keyGroup {
	return []keyGroup{{title: "About keepers", keys: []key.Binding{k.Less, k.More, k.Enter, k.Next, k.Before, textMap.Erase, textMap.Clear, k.Leave}}}
}
