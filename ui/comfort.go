package ui

import (
	"fmt"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/store"
	"app/unband/triage"
)

// comfort is the page of what makes long sorting easier. It holds for every session.
type comfort struct {
	env     *env
	back    func(at time.Time) screen
	choices triage.Choices
	row     int
}

// A comfortLine is a question of the page with what its answer does.
type comfortLine struct {
	question
	tells string
}

var comfortLines = []comfortLine{
	{yesNo("what moves by itself", func(c *triage.Choices) *bool { return &c.Comfort.Calm }, "nothing: calm mode", "the bar of the pause"),
		"In calm mode the pause is a word that changes once, from wait to ready; messages stay until the next key, and nothing flashes."},
	{yesNo("the serial is shown", func(c *triage.Choices) *bool { return &c.Comfort.OneLine }, "in one line", "in drawn digits"),
		"Drawn digits are three lines high; in a small window the serial is always one line. The marks under the digits stay."},
	{yesNo("a hit rings the bell", func(c *triage.Choices) *bool { return &c.Comfort.Bell }, "yes", "no"),
		"The terminal's own bell, once when the serial of a watched hit, a star or an old series is typed. What is heard or seen is set in the terminal."},
	{flashQuestion,
		"A short line above the page is lit for a moment, never more than once a second; not in calm mode."},
	{breakQuestion, "Said once beside the last decision when that long was sorted, and again after as long. Five minutes without a decision count as a break."},
}

// flashQuestion asks whether a hit flashes, and says so where calm mode keeps it from it.
var flashQuestion = func() question {
	q := yesNo("a hit flashes", func(c *triage.Choices) *bool { return &c.Comfort.Flash }, "yes", "no")
	plain := q.value
	q.value = func(c triage.Choices) string {
		if c.Comfort.Flash && c.Comfort.Calm {
			return "yes, but not in calm mode"
		}
		return plain(c)
	}
	return q
}()

// breakQuestion asks for the time after which a break is called to mind.
var breakQuestion = question{
	words: "a break is called to mind",
	value: func(c triage.Choices) string {
		if c.Comfort.Break == 0 {
			return "never"
		}
		return fmt.Sprintf("after %d minutes", int(c.Comfort.Break.Minutes()))
	},
	turn: func(c *triage.Choices, by int) { c.Comfort.Break = turnBreak(c.Comfort.Break, by) },
}

// turnBreak goes from never through the times that can be chosen, and round again.
func turnBreak(d time.Duration, by int) time.Duration {
	d += time.Duration(by) * triage.BreakStep
	switch {
	case d > triage.MaxBreak:
		return 0
	case d < 0:
		return triage.MaxBreak
	case d >= triage.MinBreak:
		return d
	case by > 0:
		return triage.MinBreak
	}
	return 0
}

func openComfort(e *env, back func(time.Time) screen, at time.Time) (screen, tea.Cmd) {
	c, err := e.choices()
	if err != nil {
		e.fail(err, at)
		return back(at), nil
	}
	return &comfort{env: e, back: back, choices: c}, nil
}

func (v *comfort) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	k, ok := msg.(keyMsg)
	if m, done := msg.(stored); done && m.bad() { // what is on the disk holds
		return openComfort(v.env, v.back, at)
	}
	if !ok {
		return v, nil
	}
	switch n := len(comfortLines); {
	case key.Matches(k, comfortMap.Leave):
		if v.env.busy(at) {
			return v, nil
		}
		return v.back(at), nil
	case key.Matches(k, comfortMap.Up):
		v.row = (v.row + n - 1) % n
	case key.Matches(k, comfortMap.Down):
		v.row = (v.row + 1) % n
	case key.Matches(k, comfortMap.Less):
		v.turn(-1, at)
	case key.Matches(k, comfortMap.More):
		v.turn(1, at)
	}
	return v, nil
}

// turn takes another answer. A bell or a flash that is chosen shows at once what it is like.
func (v *comfort) turn(by int, at time.Time) {
	before := v.choices.Comfort
	comfortLines[v.row].turn(&v.choices, by)
	now := v.choices.Comfort
	v.env.submit(store.PutChoices{Choices: v.choices}, v)
	v.env.heed(v.choices)
	if now.Bell && !before.Bell {
		v.env.ring()
	}
	switch {
	case now.Flash && now.Calm && (!before.Flash || !before.Calm):
		v.env.hint("nothing flashes in calm mode: the flash waits until it is off", at)
	case now.Flash && !before.Flash:
		v.env.flash.light(at)
	}
}

func (v *comfort) view(w, h int, at time.Time) []string {
	lines := append(wrap("How the screen treats you, in every session", w), "")
	for i, l := range comfortLines {
		mark, value := "  ", "  "+l.value(v.choices)
		if i == v.row {
			mark, value = look.hit.Render(signChoice)+" ", look.strong.Render("‹ "+l.value(v.choices)+" ›")
		}
		lines = append(lines, mark+pad(l.words, 28)+value)
	}
	lines = append(append(lines, ""), hang(" ", look.quiet.Render(comfortLines[v.row].tells), w)...)
	return append(lines, v.example(h-len(lines))...)
}

// example shows a serial and the end of its pause as they will be, where h lines have room for it.
func (v *comfort) example(h int) []string {
	const digits = "70633607"
	places := make([]serialCell, len(digits))
	for i := range places {
		places[i] = serialCell{digit: int(digits[i] - '0'), mark: mark{hit: true}}
	}
	lines := append([]string{"", look.quiet.Render("  as it is then"), ""}, v.env.drawn(triage.Serial{Digits: digits}, places)...)
	lines = append(lines, bar(1, v.env.comfort.Calm)+"  "+name(strapMap.Keep)+" keep   "+name(strapMap.Spend)+" spend")
	if len(lines) > h {
		return nil
	}
	return lines
}

func (v *comfort) title() (string, string) { return "comfort", "" }
func (v *comfort) short() []key.Binding    { return comfortMap.short() }
func (v *comfort) groups() []keyGroup      { return comfortMap.groups() }
func (v *comfort) ready() time.Time        { return time.Time{} }
func (v *comfort) typing() bool            { return false }

// comfortKeys are the keys of the page.
type comfortKeys struct{ Up, Down, Less, More, Leave key.Binding }

var comfortMap = comfortKeys{
	Up:    bind("↑", "line above", "up"),
	Down:  bind("↓", "line below", "down"),
	Less:  bind("←", "answer before", "left"),
	More:  bind("→", "next answer", "right", " "),
	Leave: bind("Esc", "to the desk; every change is kept already", "esc", "ctrl+d"),
}

func (k comfortKeys) short() []key.Binding {
	return []key.Binding{k.Down, k.More, short(k.Leave, "desk")}
}

func (k comfortKeys) groups() []keyGroup {
	return []keyGroup{{title: "Comfort", keys: []key.Binding{k.Up, k.Down, k.Less, k.More, k.Leave}}}
}
