package ui

import (
	"fmt"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/triage"
	"app/unband/triage/currency"
)

// closer is the closer look at one note: which series it is, where it was printed, and whether its
// two serials agree. It changes a copy; leaving it hands the copy over.
type closer struct {
	hand  *triage.InHand
	denom triage.Denomination
	facts triage.Facts
	field int
	typed string // of the series, while it is picked
	pick  int    // the choice under the cursor
	last  string // the series said last in this sitting: the likeliest again
}

// The lines of the closer look.
const (
	closerSeries = iota
	closerFacility
	closerSeal
	closerSecond
	closerFields
)

func newCloser(h *triage.InHand, d triage.Denomination, last string) *closer {
	return &closer{hand: h, denom: d, facts: h.Facts(), last: last}
}

// choices are the series that the keys typed can mean.
func (c *closer) choices() []currency.Choice {
	last, _ := currency.ParseSeries(c.last) // unknown where nothing was said yet
	return currency.Suggest(int(c.denom), c.hand.Entry.Prefix, c.typed, last)
}

// key takes one key; done says that the closer look is left.
func (c *closer) key(k keyMsg, e *env, at time.Time) (done bool) {
	switch {
	case key.Matches(k, closerMap.Leave):
		return c.leave(e, at)
	case key.Matches(k, closerMap.Next):
		c.field = (c.field + 1) % closerFields
	case key.Matches(k, closerMap.Before):
		c.field = (c.field + closerFields - 1) % closerFields
	case c.field == closerSeries:
		c.series(k, e, at)
	case c.field == closerFacility:
		c.facts.Facility = turn(c, k, c.facts.Facility, len(facilityWords))
	case c.field == closerSeal:
		c.facts.Seal = turn(c, k, c.facts.Seal, len(sealWords))
	case c.field == closerSecond:
		c.second(k)
	}
	return false
}

// leave takes a series that is typed and not taken yet, if it can be meant in one way only.
func (c *closer) leave(e *env, at time.Time) bool {
	if c.typed == "" {
		return true
	}
	s, ok := currency.Decided(c.choices())
	if !ok {
		e.hint("which series is meant? "+name(closerMap.Enter)+" takes the one in brackets, "+name(closerMap.More)+" chooses another", at)
		return false
	}
	c.facts.Series, c.typed = s.String(), ""
	return true
}

// series takes a key of the picker: a few digits and a letter, a choice, Enter.
func (c *closer) series(k keyMsg, e *env, at time.Time) {
	list := c.choices()
	switch {
	case key.Matches(k, closerMap.Enter):
		c.take(list, e, at)
	case key.Matches(k, closerMap.More):
		c.pick = min(c.pick+1, max(len(list)-1, 0))
	case key.Matches(k, closerMap.Less):
		c.pick = max(c.pick-1, 0)
	case key.Matches(k, closerMap.Erase):
		if c.typed == "" {
			c.facts.Series = ""
		}
		c.typed, c.pick = c.typed[:max(len(c.typed)-1, 0)], 0
	case k.Type == tea.KeyRunes && len(c.typed) < 5:
		if t := strings.ToUpper(string(k.Runes)); len(t) == 1 && (t[0] >= '0' && t[0] <= '9' || t[0] >= 'A' && t[0] <= 'Z') {
			c.typed, c.pick = c.typed+t, 0
		}
	}
}

// take takes the series under the cursor, or what was typed where nothing on the list fits.
func (c *closer) take(list []currency.Choice, e *env, at time.Time) {
	switch {
	case len(list) > 0:
		c.facts.Series = list[min(c.pick, len(list)-1)].Series.String()
	case c.typed != "":
		s, err := currency.ParseSeries(c.typed)
		if err != nil {
			e.hint(err.Error(), at)
			return
		}
		c.facts.Series = s.String()
	}
	c.typed, c.pick, c.field = "", 0, closerFacility
}

// turn goes to the next choice of a line, or the one before; Enter goes to the next line.
func turn[T ~uint8](c *closer, k keyMsg, value T, choices int) T {
	switch {
	case key.Matches(k, closerMap.Enter):
		c.field++
	case key.Matches(k, closerMap.Less):
		return (value + T(choices) - 1) % T(choices)
	case key.Matches(k, closerMap.More), k.Type == tea.KeyRunes, k.Type == tea.KeySpace:
		return (value + 1) % T(choices)
	}
	return value
}

func (c *closer) second(k keyMsg) {
	text := &c.facts.Second
	switch {
	case key.Matches(k, closerMap.Enter):
		c.field = closerSeries
	case key.Matches(k, closerMap.Clear):
		*text = ""
	case key.Matches(k, closerMap.Erase):
		*text = (*text)[:max(len(*text)-1, 0)]
	case k.Type == tea.KeyRunes && len(*text) < 12:
		if t := strings.ToUpper(string(k.Runes)); len(t) == 1 && strings.Contains("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*", t) {
			*text += t
		}
	}
}

// What the choices are called, by their numbers in package currency.
var (
	facilityWords = []string{"not looked at yet", "no FW: Washington", "FW: Fort Worth"}
	sealWords     = sealNames()
)

func sealNames() []string {
	words := []string{"not said"}
	for c := currency.ColourUnknown + 1; c <= currency.LastColour; c++ {
		words = append(words, c.String())
	}
	return words
}

func (c *closer) view(w int, at time.Time) []string {
	label := func(field int, words, value string) string {
		mark := "  "
		if field == c.field {
			mark = look.hit.Render(signChoice) + " "
		}
		return cut(mark+look.quiet.Render(pad(words, 14))+value, w)
	}
	cursor := func(field int, text string) string {
		if field == c.field {
			return text + look.cursor.Render(" ")
		}
		return text
	}
	series := c.facts.Series
	if c.typed != "" || c.field == closerSeries && series == "" {
		series = cursor(closerSeries, c.typed)
	}
	lines := []string{label(closerSeries, "series", series)}
	if c.field == closerSeries {
		lines = append(lines, c.choiceLines(w)...)
	}
	lines = append(lines,
		label(closerFacility, "plate number", facilityWords[c.facts.Facility]),
		label(closerSeal, "seal", sealWords[c.facts.Seal]),
		label(closerSecond, "other serial", cursor(closerSecond, c.facts.Second)))
	return append(append(lines, ""), c.says(w, at)...)
}

// choiceLines shows the choices of the picker in one or two lines.
func (c *closer) choiceLines(w int) []string {
	list := c.choices()
	if len(list) == 0 {
		return []string{"                " + look.quiet.Render("not on the list kept here; Enter takes it as typed")}
	}
	var words []string
	const most = 7
	first := max(min(c.pick-most/2, len(list)-most), 0)
	for i := first; i < min(first+most, len(list)); i++ {
		text := list[i].Series.String()
		if i == c.pick {
			text = look.strong.Render("[" + text + "]")
		}
		words = append(words, text)
	}
	lines := []string{cut("                "+strings.Join(words, " "), w)}
	if doubt := list[min(c.pick, len(list)-1)].Doubt; doubt != "" {
		lines = append(lines, hang(look.near.Render(signDoubt), doubt, w)...)
	}
	return lines
}

// says tells what follows from what has been said so far.
func (c *closer) says(w int, at time.Time) []string {
	h := *c.hand
	if err := h.SetFacts(c.facts, at); err != nil {
		return hang(look.near.Render(signDoubt), err.Error(), w)
	}
	n := h.Reading()
	lines := remarkLines(h.Remarks(), func(r currency.Remark) bool { return r.Kind != currency.KindWebPress || r.Verdict > currency.Fine }, w)
	if candidate, _, tells, text := currency.WebPress(n); candidate {
		lines = append(lines, hang(" ", text, w)...)
		for _, t := range tells {
			lines = append(lines, hang("-", t, w)...)
		}
	}
	if n.Whole && currency.PositionHolds(n) {
		position, _ := currency.Position(n.Digits)
		lines = append(lines, hang(" ", fmt.Sprintf("by its number, note position %s. %s", position, currency.PositionLimits), w)...)
	}
	if c.facts.Series != "" || c.facts.Seal != currency.ColourUnknown {
		lines = append(hang(" ", look.quiet.Render(currency.Name(n)), w), lines...)
	}
	if h.Old() {
		lines = append(lines, hang(look.hit.Render(signHit), "an old series, by your own limit", w)...)
	}
	return lines
}

func doubtful(r currency.Remark) bool { return r.Verdict > currency.Fine }
func fine(r currency.Remark) bool     { return r.Verdict == currency.Fine }

// remarkLines puts the remarks wanted under one another, what does not fit with a sign.
func remarkLines(remarks []currency.Remark, wanted func(currency.Remark) bool, w int) []string {
	var lines []string
	for _, r := range remarks {
		if !wanted(r) {
			continue
		}
		sign := " "
		text := r.Text
		switch r.Verdict {
		case currency.LookAgain:
			sign = look.near.Render(signDoubt)
		case currency.NotFromCirculation:
			sign, text = look.near.Render(signDoubt), "Not from circulation, as read. "+text
		}
		lines = append(lines, hang(sign, text, w)...)
	}
	return lines
}

// closerKeys are the keys of the closer look.
type closerKeys struct{ Next, Before, More, Less, Enter, Erase, Clear, Leave key.Binding }

var closerMap = closerKeys{
	Next:   bind("↓", "next line", "down", "tab"),
	Before: bind("↑", "line before", "up", "shift+tab"),
	More:   bind("→", "next choice", "right"),
	Less:   bind("←", "choice before", "left"),
	Enter:  bind("Enter", "take the choice, next line", "enter", "ctrl+j"),
	Erase:  bind("Backspace", "take back a key; with nothing typed: the series", "backspace", "ctrl+h"),
	Clear:  bind("Ctrl+U", "clear the line", "ctrl+u"),
	Leave:  bind("/", "back to the note; what was said stays with it", "/", "esc"),
}

func (k closerKeys) short() []key.Binding {
	return []key.Binding{short(k.Enter, "take, next"), short(k.More, "choose"), short(k.Next, "next line"), short(k.Leave, "back to the note")}
}

func (k closerKeys) groups() []keyGroup {
	return []keyGroup{{title: "The closer look", keys: []key.Binding{k.Next, k.Before, k.More, k.Less, k.Enter, k.Erase, k.Clear, k.Leave}}}
}
