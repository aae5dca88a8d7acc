package ui

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"app/unband/patterns"
	"app/unband/triage"
)

// own is the page of a person's own patterns and numbers.
type own struct {
	watch *watch
	row   int
	draft *draft // what is being entered, nil while the list is shown

	gate    triage.Gate
	leaving int // the line, from 1, that the key to take it out was pressed for once
}

// A draft is an own pattern or number while it is typed.
type draft struct {
	number bool // else a pattern
	field  int  // 0 the characters, 1 the place of a number, 2 the remark
	text   string
	place  int
	remark string

	odds string // of what is typed so far
	bad  error
}

var (
	numberPlaces = []patterns.Place{patterns.Anywhere, patterns.Front, patterns.End}
	placeWords   = []string{"anywhere", "at the front", "at the end"}
)

func (o *own) rows() int {
	s := o.watch.choices.Settings
	return len(s.Templates) + len(s.Numbers)
}

func (o *own) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	k, ok := msg.(keyMsg)
	switch {
	case !ok:
	case o.draft != nil:
		o.typed(k, at)
	case key.Matches(k, ownMap.Leave):
		return o.watch, nil
	case key.Matches(k, ownMap.Up):
		o.row = max(o.row-1, 0)
	case key.Matches(k, ownMap.Down):
		o.row = min(o.row+1, max(o.rows()-1, 0))
	case key.Matches(k, ownMap.Pattern):
		o.draft = &draft{}
	case key.Matches(k, ownMap.Number):
		o.draft = &draft{number: true}
	case key.Matches(k, ownMap.Remove) && o.rows() > 0:
		if n := o.gate.Press(triage.KeyTakeOut, at); n != triage.Quiet {
			o.watch.env.hint(triage.Notice{Kind: n}.String(), at)
			return o, nil
		}
		if o.leaving != o.row+1 {
			o.leaving = o.row + 1
			o.gate.Open(at, o.watch.env.pauses.Stop)
			o.watch.env.hint(name(ownMap.Remove)+" again takes the line out", at)
			return o, nil
		}
		o.leaving = 0
		o.remove(at)
		return o, nil
	}
	if ok {
		o.leaving = 0
	}
	return o, nil
}

// typed takes a key while something is entered.
func (o *own) typed(k keyMsg, at time.Time) {
	d := o.draft
	text := &d.text
	if d.field == 2 {
		text = &d.remark
	}
	switch {
	case key.Matches(k, draftMap.Leave):
		o.draft = nil
	case key.Matches(k, draftMap.Enter):
		o.enter(at)
	case d.field == 1 && key.Matches(k, draftMap.Less):
		d.place = (d.place + len(numberPlaces) - 1) % len(numberPlaces)
		o.judge()
	case d.field == 1 && key.Matches(k, draftMap.More):
		d.place = (d.place + 1) % len(numberPlaces)
		o.judge()
	case d.field == 1:
	case textLine{longest: longestText}.edit(text, k):
		if d.field == 0 {
			d.text = strings.ToUpper(d.text)
		}
		o.judge()
	}
}

// judge counts how rare the draft is, or finds what is wrong with it.
func (o *own) judge() {
	d, top := o.draft, o.watch.top()
	d.odds, d.bad = "", nil
	if d.text == "" || !d.number && tooEarly(d.text) {
		return
	}
	match, near := 0, 0
	if d.number {
		b, err := patterns.NewBook(patterns.Settings{Numbers: []patterns.OwnNumber{d.own()}})
		if d.bad = err; err != nil {
			return
		}
		match, near = b.Count(patterns.OwnNumbers, top), b.NearCount(patterns.OwnNumbers, top)
	} else {
		match, near, d.bad = patterns.TemplateOdds(patterns.Template{Pattern: d.filled()}, top)
		if d.bad != nil {
			return
		}
	}
	d.odds = fmt.Sprintf("%s serials, %s; near misses %s", number(match), oneIn(match, top), oneIn(near, top))
}

// tooEarly reports whether so little is typed that every serial still fits.
func tooEarly(text string) bool {
	letters := strings.Trim(text, "?")
	return len(letters) < 2 && !strings.ContainsAny(letters, "0123456789") && strings.IndexFunc(letters, func(r rune) bool { return r < 'A' || 'Z' < r }) < 0
}

// filled is the pattern with ? for what is not typed yet, so that its odds can be told all the while.
func (d *draft) filled() string {
	text := d.text
	for n := len([]rune(text)); n < patterns.Places; n++ {
		text += "?"
	}
	return text
}

func (d *draft) own() patterns.OwnNumber {
	return patterns.OwnNumber{Number: d.text, Place: numberPlaces[d.place], Remark: strings.TrimSpace(d.remark)}
}

// enter goes to the next line, or takes the draft into the list.
func (o *own) enter(at time.Time) {
	d := o.draft
	o.judge()
	if d.bad == nil && !d.number { // now it must be whole
		_, _, d.bad = patterns.TemplateOdds(patterns.Template{Pattern: d.text}, o.watch.top())
	}
	switch {
	case d.text == "":
		o.watch.env.hint("nothing is typed yet", at)
		return
	case d.bad != nil:
		o.watch.env.hint(reason(d.bad), at)
		d.field = 0
		return
	case d.field == 0 && d.number:
		d.field = 1
		return
	case d.field < 2:
		d.field = 2
		return
	}
	s := o.watch.choices.Settings
	var id patterns.ID
	if d.number {
		s.Numbers = append(slices.Clone(s.Numbers), d.own())
		id = patterns.OwnNumbers
	} else {
		s.Templates = append(slices.Clone(s.Templates), patterns.Template{Pattern: d.text, Remark: strings.TrimSpace(d.remark)})
		id = patterns.FirstTemplate + patterns.ID(len(s.Templates)-1)
	}
	if err := o.watch.define(s); err != nil {
		o.watch.env.say(reason(err), at)
		return
	}
	first := !d.number || len(s.Numbers) == 1
	if first { // later numbers are watched as the person has set them
		w, def := &o.watch.choices.Watch, o.watch.book.DefaultWatch()
		only := patterns.Set(0).With(id)
		w.Hit, w.Near = w.Hit&^only|def.Hit&only, w.Near&^only|def.Near&only
	}
	o.draft = nil
	o.row = o.rows() - 1
	if !d.number {
		o.row = len(s.Templates) - 1
	}
	o.watch.keep()
	o.watch.env.say(d.text+" is watched for from the next session on", at)
}

// remove takes the line under the cursor out. The rules of later patterns move up by one.
func (o *own) remove(at time.Time) {
	s, w := o.watch.choices.Settings, o.watch.choices.Watch
	before := len(s.Templates)
	what := ""
	if i := o.row; i < len(s.Templates) {
		what = s.Templates[i].Pattern
		s.Templates = slices.Delete(slices.Clone(s.Templates), i, i+1)
		w = patterns.Watch{Hit: without(w.Hit, i), Near: without(w.Near, i)}
	} else {
		i -= len(s.Templates)
		what = s.Numbers[i].Number
		s.Numbers = slices.Delete(slices.Clone(s.Numbers), i, i+1)
	}
	if err := o.watch.define(s); err != nil {
		o.watch.env.say(reason(err), at)
		return
	}
	o.watch.choices.Watch = w
	if i := o.row; i < before {
		o.watch.choices.Wishes = o.watch.choices.Wishes.WithoutTemplate(i)
	}
	o.row = max(min(o.row, o.rows()-1), 0)
	o.watch.keep() // the watch has changed too
	o.watch.env.say(what+" is taken out; sessions begun with it keep it", at)
}

// without takes the rule of template i out of a set and moves those behind it up.
func without(s patterns.Set, i int) patterns.Set {
	below := patterns.Set(1)<<(int(patterns.FirstTemplate)+i) - 1
	return s&below | s>>1&^below
}

// reason is what is wrong with a draft in words that fit beside it.
func reason(err error) string {
	var bad *patterns.PatternError
	if errors.As(err, &bad) {
		return fmt.Sprintf("character %d: %s", bad.Pos+1, bad.Reason)
	}
	var setting *patterns.SettingError
	if errors.As(err, &setting) {
		return setting.Reason
	}
	return err.Error()
}

func (o *own) view(w, h int, at time.Time) []string {
	lines := append(o.watch.price(w), "")
	if o.draft != nil {
		return append(lines, o.draft.view(w)...)
	}
	s := o.watch.choices.Settings
	if o.rows() == 0 {
		lines = append(lines, hang(" ", "Nothing of your own yet. A pattern has eight characters: equal letters stand for equal digits, different letters for different ones, ? for any digit, a digit for itself: ABBACDDC, ??1234??. An own number is one to eight digits that mean something to you.", w)...)
	}
	for i := range o.rows() {
		lines = append(lines, o.line(s, i, w))
	}
	return lines
}

func (o *own) line(s patterns.Settings, i, w int) string {
	mark, text, remark, id := "  ", "", "", patterns.OwnNumbers
	if i < len(s.Templates) {
		t := s.Templates[i]
		text, remark, id = t.Pattern, t.Remark, patterns.FirstTemplate+patterns.ID(i)
	} else {
		n := s.Numbers[i-len(s.Templates)]
		text, remark = n.Number+" "+placeWords[max(slices.Index(numberPlaces, n.Place), 0)], n.Remark
	}
	if i == o.row {
		mark = look.hit.Render(signChoice) + " "
	}
	odds := ""
	if id != patterns.OwnNumbers {
		odds = oneIn(o.watch.book.Count(id, o.watch.top()), o.watch.top())
	}
	return cut(mark+pad(printable(text), 22)+pad(odds, 18)+printable(remark), w)
}

func (d *draft) view(w int) []string {
	what := "a pattern"
	if d.number {
		what = "a number"
	}
	lines := []string{look.strong.Render("new: " + what), "", d.fieldLine(0, what, printable(d.text), w)}
	var bad *patterns.PatternError
	switch {
	case errors.As(d.bad, &bad):
		at := 14 + ansi.StringWidth(printable(string([]rune(d.text)[:min(bad.Pos, len([]rune(d.text)))])))
		lines = append(lines, strings.Repeat(" ", at)+look.near.Render("▲"))
		lines = append(lines, hang(" ", look.near.Render(reason(d.bad)), w)...)
	case d.bad != nil:
		lines = append(lines, hang(" ", look.near.Render(reason(d.bad)), w)...)
	default:
		lines = append(lines, "              "+look.quiet.Render(d.odds))
	}
	if d.number {
		var words []string
		for i, p := range placeWords {
			if i == d.place {
				p = look.strong.Render("[" + p + "]")
			}
			words = append(words, p)
		}
		lines = append(lines, "", d.fieldLine(1, "counts", strings.Join(words, "  "), w))
	}
	if !d.number {
		lines = append(lines, "")
	}
	lines = append(lines, d.fieldLine(2, "remark", printable(d.remark), w), "")
	return append(lines, hang(" ", look.quiet.Render(d.wants()), w)...)
}

// fieldLine draws a line of the draft, with a sign where it is being filled in.
func (d *draft) fieldLine(field int, label, value string, w int) string {
	mark := "  "
	if d.field == field {
		mark = look.hit.Render(signChoice) + " "
		if field != 1 {
			value += look.cursor.Render(" ")
		}
	}
	return cut(mark+pad(label, 12)+value, w)
}

// wants says what the line that is being filled in wants, with an example.
func (d *draft) wants() string {
	switch {
	case d.field == 2:
		return "your own words, such as what it means to you; it may stay empty"
	case d.field == 1:
		return "where in the serial it has to stand: 16072358 has 1607 at the front, 23581607 at the end"
	case d.number:
		return "one to eight digits that mean something to you, as 1607"
	}
	return "equal letters are equal digits, other letters other digits, ? is any digit: 27726116 is ABBACDDC, 90123457 is ??1234??"
}

func (o *own) title() (string, string) { return "the watch list · own patterns", "for new sessions" }

func (o *own) short() []key.Binding {
	if o.draft != nil {
		return draftMap.short()
	}
	return ownMap.short()
}

func (o *own) groups() []keyGroup {
	if o.draft != nil {
		return draftMap.groups()
	}
	return ownMap.groups()
}

func (o *own) ready() time.Time { return time.Time{} }
func (o *own) typing() bool     { return o.draft != nil }
