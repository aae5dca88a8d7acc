package ui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

// A closerLine is one line of the closer look.
type closerLine struct {
	letter rune // leads to it, where a line is gone to by its letter
	label  string
	kind   lineKind
	tells  string                   // what is wanted there, in a few words
	words  []string                 // the choices, where there are some
	of     func(c *closer) []string // the same where they depend on the note
	value  func(c *closer) string
	key    func(c *closer, k keyMsg, e *env, at time.Time) // but for Enter
	doubts func(c *closer) []currency.Remark               // what is typed there and cannot be whole; nil where nothing can be said
}

// A lineKind says what keys are on a line: it is always the line's own matter what a letter is there.
type lineKind int

const (
	seriesLine lineKind = iota // a year and a letter, or one of those suggested
	choiceLine                 // one of a few words
	defectLine                 // any of a few words
	errorLine                  // leads to the questions
	shortLine                  // characters of a serial
	textLines                  // a text: every character is text, / too
)

// The longest texts, in characters.
const (
	longestRemark = 200
	longestWhere  = 60
)

const serialKeys = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*"

const closerCount = 21

// reasonLine is where it is said why a note is kept or spent.
const reasonLine = "why so"

// closerLines are the lines in the order in which a note is looked over.
var closerLines = [closerCount]closerLine{
	{letter: 'y', label: "series", kind: seriesLine, value: (*closer).seriesValue, key: (*closer).seriesKey},
	chosen('w', "FW mark", func(c *closer) *currency.Facility { return &c.facts.Facility }, facilityWords).
		telling("before the plate number, at the lower right of the face"),
	chosen('c', "seal", func(c *closer) *currency.Colour { return &c.facts.Seal }, sealWords).
		telling("the colour of the Treasury seal"),
	written('l', "seal letter", 1, "ABCDEFGHIJKL", func(c *closer) *string { return &c.facts.SealLetter }).
		telling("A to L, in the round seal, or of a mark such as L12"),
	written('n', "corner number", 2, "0123456789", func(c *closer) *string { return &c.facts.Corner }).
		telling("the number of the district at the corners of the face, 1 to 12"),
	toggled('v', "web press", func(c *closer) *bool { return &c.facts.Web }, "yes, by three tells", "no").
		telling("$1 of Series 1988A, 1993 and 1995 alone; of those the three tells stand here"),
	written('o', "other serial", 12, serialKeys, func(c *closer) *string { return &c.facts.Second }).
		telling("the same serial as it is printed the second time, where it differs or was compared"),
	written('p', "note position", 3, serialKeys, func(c *closer) *string { return &c.facts.Sheet }).
		telling("the small letter and digit at the upper left of the face, as F4").
		doubting(func(c *closer) []currency.Remark {
			return currency.CheckPosition(c.facts.Sheet, c.series(), c.facts.Web)
		}),
	written('a', "face plate", 10, serialKeys+" ", func(c *closer) *string { return &c.facts.Plate }).
		telling("at the lower right of the face, letter and number, as F 12").
		doubting(func(c *closer) []currency.Remark {
			return currency.CheckFacePlate(c.facts.Plate, c.facts.Sheet, c.facts.Web)
		}),
	written('k', "back plate", 10, serialKeys+" ", func(c *closer) *string { return &c.facts.BackPlate }).
		telling("the small number on the back, as 295").
		doubting(func(c *closer) []currency.Remark { return currency.CheckBackPlate(c.facts.BackPlate) }),
	chosen('g', "condition", func(c *closer) *flaws.Grade { return &c.facts.Grade }, gradeWords),
	{letter: 'd', label: "defects", kind: defectLine, value: func(c *closer) string { return c.facts.Defects.String() }, key: (*closer).defectKey},
	toggled('t', "tracking stamp", func(c *closer) *bool { return &c.facts.Stamp }, "yes: look it up", "no").
		telling("a stamp of people who follow notes; to look it up is put among the errands"),
	{letter: 'e', label: "printing error", kind: errorLine, value: (*closer).flawValue, key: (*closer).flawKey},
	{letter: 'm', label: "denomination", kind: choiceLine, of: (*closer).faceWords, value: (*closer).faceValue, key: (*closer).faceKey},
	written('f', "on the face", longestRemark, "", func(c *closer) *string { return &c.facts.Face }).
		telling("what one sees there, in your own words: people who help ask for it"),
	written('b', "on the back", longestRemark, "", func(c *closer) *string { return &c.facts.Back }).
		telling("what one sees there, in your own words: people who help ask for it"),
	toggled('s', "neighbours", func(c *closer) *bool { return &c.facts.Neighbours }, "yes: wanted, too", "no: as the rule says").
		telling("the note before and the note after are wanted with this one, as with an error, a ladder or a low number. Nothing ties a star to those beside it"),
	written('i', reasonLine, longestRemark, "", func(c *closer) *string { return &c.facts.Reason }).
		telling("why it is kept, or spent against your rule: your own words"),
	written('r', "remark", longestRemark, "", func(c *closer) *string { return &c.facts.Remark }).
		telling("your own words; a keeper is found by them"),
	written('h', "where it lies", longestWhere, "", func(c *closer) *string { return &c.facts.Where }).
		telling("your own words, as album 1, page 3; a keeper is found by them"),
}

func (l closerLine) telling(text string) closerLine {
	l.tells = text
	return l
}

func (l closerLine) doubting(of func(*closer) []currency.Remark) closerLine {
	l.doubts = of
	return l
}

// doubt is the first thing that shows that what is typed on a line cannot be whole; "" where nothing does.
func (l closerLine) doubt(c *closer) string {
	if l.doubts != nil {
		for _, r := range l.doubts(c) {
			return r.Text
		}
	}
	return ""
}

// What the choices are called, by their numbers in packages currency and flaws.
var (
	facilityWords = []string{"not looked at yet", "no FW: Washington", "FW: Fort Worth"}
	sealWords     = sealNames()
	gradeWords    = gradeNames()
)

func sealNames() []string {
	words := []string{"not said"}
	for c := currency.ColourUnknown + 1; c <= currency.LastColour; c++ {
		words = append(words, c.String())
	}
	return words
}

// gradeNames are the words of the grades by their numbers, which are also their order.
func gradeNames() []string {
	words := []string{"not said"}
	for _, f := range flaws.Grades {
		words = append(words, f.Name+" ("+f.Range()+")")
	}
	return words
}

// chosen makes a line whose value is one of some words.
func chosen[T ~uint8](letter rune, label string, of func(*closer) *T, words []string) closerLine {
	return closerLine{letter: letter, label: label, kind: choiceLine, words: words,
		value: func(c *closer) string { return words[min(int(*of(c)), len(words)-1)] },
		key: func(c *closer, k keyMsg, e *env, at time.Time) {
			now := of(c)
			*now = T(c.choose(words, int(*now), k, e, at))
		}}
}

// toggled makes a line that is so or not.
func toggled(letter rune, label string, of func(*closer) *bool, yes, no string) closerLine {
	words := []string{no, yes}
	return closerLine{letter: letter, label: label, kind: choiceLine, words: words,
		value: func(c *closer) string { return words[choiceOf(*of(c))] },
		key: func(c *closer, k keyMsg, e *env, at time.Time) {
			now := of(c)
			*now = c.choose(words, choiceOf(*now), k, e, at) == 1
		}}
}

// choiceOf is the place of yes and no among the words of a line.
func choiceOf(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// choose takes a key of a line of choices, where now is chosen, and gives what is chosen then.
func (c *closer) choose(words []string, now int, k keyMsg, e *env, at time.Time) int {
	n := len(words)
	switch {
	case key.Matches(k, closerMap.Less):
		return (now + n - 1) % n
	case key.Matches(k, closerMap.More, closerMap.Mark):
		return (now + 1) % n
	case key.Matches(k, textMap.Clear):
		return 0
	case k.Type == tea.KeyRunes:
		if i := nextBeginning(words, now, string(k.Runes)); i >= 0 {
			return i
		}
		e.hint(noneBegins(k)+": "+name(closerMap.Less)+" and "+name(closerMap.More)+" choose. "+goesElsewhere(), at)
	case key.Matches(k, textMap.Erase):
		e.hint(name(textMap.Clear)+" takes back what is said on this line", at)
	}
	return now
}

// nextBeginning is the next of the words behind one that begins with a text, round from the last to the first; 2 is
// how $20 begins. It is -1 where none does.
func nextBeginning(words []string, now int, text string) int {
	for i := range words {
		at := (now + 1 + i) % len(words)
		if strings.HasPrefix(strings.ToLower(strings.TrimPrefix(words[at], "$")), strings.ToLower(text)) {
			return at
		}
	}
	return -1
}

func noneBegins(k keyMsg) string { return "nothing here begins with " + printable(string(k.Runes)) }

// goesElsewhere says how another line is come to by its letter, for whoever typed one that means nothing here.
func goesElsewhere() string { return name(closerMap.Go) + " and a letter go to another line" }

// written makes a line of text. allowed are its characters, all that can be printed if it is empty;
// a line of serial characters is written in capitals.
func written(letter rune, label string, longest int, allowed string, of func(*closer) *string) closerLine {
	kind := shortLine
	if allowed == "" {
		kind = textLines
	}
	return closerLine{letter: letter, label: label, kind: kind,
		value: func(c *closer) string { return printable(*of(c)) },
		key: func(c *closer, k keyMsg, e *env, at time.Time) {
			text, line := of(c), textLine{longest, allowed}
			before, erases := *text, key.Matches(k, textMap.Erase, textMap.Clear)
			if heard := line.edit(text, k); heard && (erases || *text != before) {
				return
			}
			switch {
			case key.Matches(k, closerMap.More, closerMap.Less):
				e.hint("a text has no choices: "+name(textMap.Erase)+" takes back a character", at)
			case k.Type != tea.KeyRunes && k.Type != tea.KeySpace:
			case line.takes(k):
				e.hint(fmt.Sprintf("no more than %s fit here; %s takes one back", count(longest, "character", "characters"), name(textMap.Erase)), at)
			default:
				e.hint(onlyWords(allowed)+". "+goesElsewhere(), at)
			}
		}}
}

// takes reports whether the characters of a key can be written on an empty line.
func (l textLine) takes(k keyMsg) bool {
	empty := ""
	return l.edit(&empty, k) && empty != ""
}

// onlyWords say which characters a line takes.
func onlyWords(allowed string) string {
	switch {
	case allowed == "":
		return "that cannot be written here"
	case !strings.ContainsAny(allowed, "ABC"):
		return "only digits are written here"
	case !strings.ContainsAny(allowed, "0123456789"):
		return "only a letter from " + allowed[:1] + " to " + allowed[len(allowed)-1:] + " is written here"
	}
	return "only letters and digits are written here"
}

// series is what was said of it; nothing where it was not said.
func (c *closer) series() currency.Series {
	s, _ := currency.ParseSeries(c.facts.Series)
	return s
}

// seriesKey takes a key of the picker: a few digits and a letter, or a choice.
func (c *closer) seriesKey(k keyMsg, e *env, at time.Time) {
	switch {
	case key.Matches(k, closerMap.More, closerMap.Mark):
		c.pick = min(c.pick+1, max(len(c.choices())-1, 0))
	case key.Matches(k, closerMap.Less):
		c.pick = max(c.pick-1, 0)
	case key.Matches(k, textMap.Clear):
		c.unsay(0)
	case key.Matches(k, textMap.Erase):
		c.unsay(max(len(c.typed)-1, 0))
	case k.Type == tea.KeyRunes:
		c.typeSeries(strings.ToUpper(string(k.Runes)), e, at)
	}
}

// unsay takes back what is typed of a series but for its first characters; with nothing typed, the series said.
func (c *closer) unsay(but int) {
	if c.typed == "" {
		c.facts.Series = ""
	}
	c.typed, c.pick = c.typed[:but], unpicked
}

// typeSeries takes a character of a series, which begins with its year.
func (c *closer) typeSeries(t string, e *env, at time.Time) {
	const longest = 5 // 2017A
	switch digit := strings.Contains("0123456789", t); {
	case len(t) != 1 || !strings.Contains(serialKeys, t) || t == "*" || c.typed == "" && !digit:
		e.hint("a series begins with its year, as 2017A or 17A. "+goesElsewhere(), at)
	case len(c.typed) >= longest:
		e.hint("a series is a year and a letter at most; "+name(textMap.Erase)+" takes back a character", at)
	default:
		c.typed, c.pick = c.typed+t, unpicked
	}
}

// takeSeries takes the series under the cursor, or what was typed where nothing on the list fits. It reports false, and
// says why, where none can be taken yet.
func (c *closer) takeSeries(e *env, at time.Time) bool {
	switch list := c.choices(); {
	case c.typed == "" && c.pick == unpicked: // nothing was asked for: what was said stays
	case len(list) > 0 && c.pick == unpicked && c.twoForms(list) && c.asked != c.typed:
		c.asked = c.typed
		e.hint(fmt.Sprintf("%s or %s? Look for a small letter behind the year. %s again: there is none; %s chooses", list[0].Series, list[1].Series, name(closerMap.Enter), name(closerMap.More)), at)
		return false
	case len(list) > 0:
		c.facts.Series = list[min(max(c.pick, 0), len(list)-1)].Series.String()
	default:
		s, err := currency.ParseSeries(c.typed)
		if err != nil {
			e.hint(err.Error(), at)
			return false
		}
		c.facts.Series = s.String()
	}
	c.typed, c.pick = "", unpicked
	return true
}

// twoForms reports whether the likeliest year exists both with and without a letter behind it.
func (c *closer) twoForms(list []currency.Choice) bool {
	return len(list) > 1 && list[0].Series.Year == list[1].Series.Year && list[0].Series != list[1].Series
}

func (c *closer) seriesValue() string {
	if c.typed != "" {
		return c.typed
	}
	return c.facts.Series
}

// defectKey goes through the defects and says of each whether it is there.
func (c *closer) defectKey(k keyMsg, e *env, at time.Time) {
	switch {
	case key.Matches(k, closerMap.More):
		c.pick = min(c.pick+1, len(flaws.Defects)-1)
	case key.Matches(k, closerMap.Less):
		c.pick = max(c.pick-1, 0)
	case key.Matches(k, textMap.Clear):
		c.facts.Defects = 0
	case key.Matches(k, closerMap.Mark):
		c.pick = max(c.pick, 0)
		c.facts.Defects ^= flaws.Defects[c.pick].Defect
	case k.Type == tea.KeyRunes:
		if i := nextBeginning(defectNames(), c.pick, string(k.Runes)); i >= 0 {
			c.pick = i
			return
		}
		e.hint(noneBegins(k)+": "+name(closerMap.Less)+" and "+name(closerMap.More)+" choose. "+goesElsewhere(), at)
	case key.Matches(k, textMap.Erase):
		e.hint(name(closerMap.Mark)+" takes one back, "+name(textMap.Clear)+" all of them", at)
	}
}

func defectNames() []string {
	var names []string
	for _, d := range flaws.Defects {
		names = append(names, d.Name)
	}
	return names
}

// faces are the denominations the note can be of, first of them that of its pile.
func (c *closer) faces() []triage.Denomination {
	list := []triage.Denomination{c.denom}
	for _, d := range triage.Denominations {
		if d != c.denom {
			list = append(list, d)
		}
	}
	return list
}

// face is the denomination of the note.
func (c *closer) face() triage.Denomination { return cmp.Or(c.facts.Denomination, c.denom) }

func (c *closer) faceValue() string {
	if c.face() == c.denom {
		return c.denom.String() + " as the pile"
	}
	return c.face().String() + " among " + c.denom.String() + " notes"
}

// faceWords are the denominations the note can be of.
func (c *closer) faceWords() []string {
	var words []string
	for _, d := range c.faces() {
		words = append(words, d.String())
	}
	return words
}

func (c *closer) faceKey(k keyMsg, e *env, at time.Time) {
	list := c.faces()
	if d, ok := c.faceTyped(k); ok {
		c.facts.Denomination = 0
		if d != c.denom {
			c.facts.Denomination = d
		}
		return
	}
	c.faceDigits = ""
	d := list[c.choose(c.faceWords(), max(slices.Index(list, c.face()), 0), k, e, at)]
	c.facts.Denomination = 0
	if d != c.denom {
		c.facts.Denomination = d
	}
}

// faceTyped is the denomination that is typed in digits: 5 is $5, and 5 0 is $50.
func (c *closer) faceTyped(k keyMsg) (triage.Denomination, bool) {
	if k.Type != tea.KeyRunes {
		return 0, false
	}
	for _, text := range []string{c.faceDigits + string(k.Runes), string(k.Runes)} {
		for _, d := range triage.Denominations {
			if d.String() == "$"+text {
				c.faceDigits = text
				return d, true
			}
		}
	}
	return 0, false
}

func (c *closer) flawValue() string {
	if c.facts.Flaw == flaws.NoOutcome {
		return "not looked for"
	}
	return c.facts.Flaw.String()
}

func (c *closer) flawKey(k keyMsg, e *env, at time.Time) {
	switch {
	case key.Matches(k, textMap.Clear):
		c.facts.Flaw, c.facts.Walk = flaws.NoOutcome, ""
	case key.Matches(k, closerMap.Less, closerMap.More, closerMap.Mark) || k.Type == tea.KeyRunes:
		e.hint(name(closerMap.Enter)+" asks the questions, "+name(closerMap.Next)+" passes them over. "+goesElsewhere(), at)
	case key.Matches(k, textMap.Erase):
		e.hint(name(textMap.Clear)+" takes back what is said on this line", at)
	}
}
