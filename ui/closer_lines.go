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
	letter  rune // leads to it, where letters are no text
	label   string
	text    bool // every character is text here, / too
	letters bool // letters are text here
	value   func(c *closer) string
	key     func(c *closer, k keyMsg, e *env, at time.Time)
}

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
	{'y', "series", false, false, func(c *closer) string { return c.seriesValue() }, (*closer).seriesKey},
	chosen('w', "FW mark", func(c *closer) *currency.Facility { return &c.facts.Facility }, facilityWords),
	chosen('c', "seal", func(c *closer) *currency.Colour { return &c.facts.Seal }, sealWords),
	written('l', "seal letter", 1, "ABCDEFGHIJKL", func(c *closer) *string { return &c.facts.SealLetter }),
	written('n', "corner number", 2, "0123456789", func(c *closer) *string { return &c.facts.Corner }),
	toggled('v', "web press", func(c *closer) *bool { return &c.facts.Web }, "by the three tells", "no"),
	written('o', "other serial", 12, serialKeys, func(c *closer) *string { return &c.facts.Second }),
	written('p', "note position", 3, serialKeys, func(c *closer) *string { return &c.facts.Sheet }),
	written('a', "face plate", 10, serialKeys+" ", func(c *closer) *string { return &c.facts.Plate }),
	written('k', "back plate", 10, serialKeys+" ", func(c *closer) *string { return &c.facts.BackPlate }),
	chosen('g', "condition", func(c *closer) *flaws.Grade { return &c.facts.Grade }, gradeWords),
	{'d', "defects", false, false, func(c *closer) string { return c.facts.Defects.String() }, (*closer).defectKey},
	toggled('t', "tracking stamp", func(c *closer) *bool { return &c.facts.Stamp }, "yes: look it up", "no"),
	{'e', "printing error", false, false, func(c *closer) string { return c.flawValue() }, (*closer).flawKey},
	{'m', "denomination", false, false, func(c *closer) string { return c.faceValue() }, (*closer).faceKey},
	written('f', "on the face", longestRemark, "", func(c *closer) *string { return &c.facts.Face }),
	written('b', "on the back", longestRemark, "", func(c *closer) *string { return &c.facts.Back }),
	toggled('s', "neighbours", func(c *closer) *bool { return &c.facts.Neighbours }, "wanted, too", "as the rule says"),
	written('i', reasonLine, longestRemark, "", func(c *closer) *string { return &c.facts.Reason }),
	written('r', "remark", longestRemark, "", func(c *closer) *string { return &c.facts.Remark }),
	written('h', "where it lies", longestWhere, "", func(c *closer) *string { return &c.facts.Where }),
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
	n := T(len(words))
	return closerLine{letter, label, false, false,
		func(c *closer) string { return words[min(int(*of(c)), len(words)-1)] },
		func(c *closer, k keyMsg, e *env, at time.Time) {
			switch v := of(c); {
			case key.Matches(k, closerMap.Enter):
				c.to(c.line + 1)
			case key.Matches(k, closerMap.Less):
				*v = (*v + n - 1) % n
			case key.Matches(k, textMap.Clear):
				*v = 0
			case key.Matches(k, closerMap.More), k.Type == tea.KeySpace:
				*v = (*v + 1) % n
			}
		}}
}

// written makes a line of text. allowed are its characters, all that can be printed if it is empty;
// a line of serial characters is written in capitals.
func written(letter rune, label string, longest int, allowed string, of func(*closer) *string) closerLine {
	return closerLine{letter, label, allowed == "", allowed == "" || strings.ContainsAny(allowed, "ABCDEFGHIJKLMNOPQRSTUVWXYZ"),
		func(c *closer) string { return printable(*of(c)) },
		func(c *closer, k keyMsg, e *env, at time.Time) {
			if key.Matches(k, closerMap.Enter) {
				c.to(c.line + 1)
				return
			}
			textLine{longest, allowed}.edit(of(c), k)
		}}
}

// seriesKey takes a key of the picker: a few digits and a letter, a choice, Enter.
func (c *closer) seriesKey(k keyMsg, e *env, at time.Time) {
	list := c.choices()
	switch {
	case key.Matches(k, closerMap.Enter):
		c.takeSeries(list, e, at)
	case key.Matches(k, closerMap.More):
		c.pick = min(c.pick+1, max(len(list)-1, 0))
	case key.Matches(k, closerMap.Less):
		c.pick = max(c.pick-1, 0)
	case key.Matches(k, textMap.Clear):
		c.typed, c.pick = "", unpicked
	case key.Matches(k, textMap.Erase):
		if c.typed == "" {
			c.facts.Series = ""
		}
		c.typed, c.pick = c.typed[:max(len(c.typed)-1, 0)], unpicked
	case k.Type == tea.KeyRunes && len(c.typed) < 5:
		t := strings.ToUpper(string(k.Runes))
		if c.typed == "" && !strings.Contains("0123456789", t) { // a series begins with its year
			return
		}
		if len(t) == 1 && strings.Contains(serialKeys, t) && t != "*" {
			c.typed, c.pick = c.typed+t, unpicked
		}
	}
}

// takeSeries takes the series under the cursor, or what was typed where nothing on the list fits.
func (c *closer) takeSeries(list []currency.Choice, e *env, at time.Time) {
	switch {
	case c.typed == "" && c.pick == unpicked: // nothing was asked for: what was said stays
	case len(list) > 0 && c.pick == unpicked && c.twoForms(list) && c.asked != c.typed:
		c.asked = c.typed
		e.hint(fmt.Sprintf("%s or %s? Look for a small letter behind the year. %s again: there is none; %s chooses", list[0].Series, list[1].Series, name(closerMap.Enter), name(closerMap.More)), at)
		return
	case len(list) > 0:
		c.facts.Series = list[min(max(c.pick, 0), len(list)-1)].Series.String()
	default:
		s, err := currency.ParseSeries(c.typed)
		if err != nil {
			e.hint(err.Error(), at)
			return
		}
		c.facts.Series = s.String()
	}
	c.typed = ""
	c.to(c.line + 1)
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
	case key.Matches(k, closerMap.Enter):
		c.to(c.line + 1)
	case key.Matches(k, closerMap.More):
		c.pick = min(c.pick+1, len(flaws.Defects)-1)
	case key.Matches(k, closerMap.Less):
		c.pick = max(c.pick-1, 0)
	case key.Matches(k, textMap.Clear):
		c.facts.Defects = 0
	case key.Matches(k, closerMap.Mark):
		c.pick = max(c.pick, 0)
		c.facts.Defects ^= flaws.Defects[c.pick].Defect
	}
}

// toggled makes a line that is so or not.
func toggled(letter rune, label string, of func(*closer) *bool, yes, no string) closerLine {
	return closerLine{letter, label, false, false,
		func(c *closer) string { return map[bool]string{true: yes, false: no}[*of(c)] },
		func(c *closer, k keyMsg, e *env, at time.Time) {
			switch v := of(c); {
			case key.Matches(k, closerMap.Enter):
				c.to(c.line + 1)
			case key.Matches(k, textMap.Clear):
				*v = false
			case key.Matches(k, closerMap.More, closerMap.Less, closerMap.Mark):
				*v = !*v
			}
		}}
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

func (c *closer) faceKey(k keyMsg, e *env, at time.Time) {
	list := c.faces()
	i := slices.Index(list, c.face())
	switch {
	case key.Matches(k, closerMap.Enter):
		c.to(c.line + 1)
		return
	case key.Matches(k, textMap.Clear):
		i = 0
	case key.Matches(k, closerMap.More), k.Type == tea.KeySpace:
		i = (i + 1) % len(list)
	case key.Matches(k, closerMap.Less):
		i = (i + len(list) - 1) % len(list)
	}
	c.facts.Denomination = 0
	if d := list[max(i, 0)]; d != c.denom {
		c.facts.Denomination = d
	}
}

func (c *closer) flawValue() string {
	if c.facts.Flaw == flaws.NoOutcome {
		return "not looked for"
	}
	return c.facts.Flaw.String()
}

func (c *closer) flawKey(k keyMsg, e *env, at time.Time) {
	switch {
	case key.Matches(k, closerMap.Enter):
		c.startWalk()
	case key.Matches(k, textMap.Clear):
		c.facts.Flaw, c.facts.Walk = flaws.NoOutcome, ""
	}
}
