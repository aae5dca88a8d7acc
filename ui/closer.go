package ui

import (
	"time"
	"unicode"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/triage"
	"app/unband/triage/currency"
)

// closer is the closer look at one note: everything that is known of it besides its serial, one line
// each. It changes a copy; leaving it hands the copy over.
type closer struct {
	hand  *triage.InHand
	denom triage.Denomination
	facts triage.Facts
	line  int

	typed  string     // of the series, while it is picked
	asked  string     // what was typed when both forms of a year were asked about
	pick   int        // the choice under the cursor, of the series and of the defects
	last   string     // the series said last in this sitting: the likeliest again
	errors *errorWalk // the walk through the printing errors, nil while it is not taken
	aside  bool       // the note is set aside: the caution stays in sight
	asking *askPage   // the text for people who help, nil while it is not shown
}

func newCloser(h *triage.InHand, d triage.Denomination, last string) *closer {
	return &closer{hand: h, denom: d, facts: h.Facts(), last: last, pick: unpicked}
}

// on puts the cursor on the line with a name.
func (c *closer) on(label string) *closer {
	for i, l := range closerLines {
		if l.label == label {
			c.to(i)
		}
	}
	return c
}

// key takes one key; done says that the closer look is left.
func (c *closer) key(k keyMsg, e *env, at time.Time) (done bool) {
	switch {
	case c.asking != nil:
		if c.asking.key(k, e, at) {
			c.asking = nil
		}
	case c.errors != nil && !key.Matches(k, closerMap.Ask):
		c.walk(k)
	case key.Matches(k, closerMap.Ask):
		c.ask(e, at)
	case key.Matches(k, closerMap.Leave) && !(k.Type == tea.KeyRunes && closerLines[c.line].text):
		return c.leave(e, at)
	case key.Matches(k, closerMap.Next):
		c.to(c.line + 1)
	case key.Matches(k, closerMap.Before):
		c.to(c.line - 1)
	case c.jumps(k):
	default:
		closerLines[c.line].key(c, k, e, at)
	}
	return false
}

// takesLetters reports whether a letter is text just now.
func (c *closer) takesLetters() bool {
	return closerLines[c.line].letters || c.typed != ""
}

// jumps goes to the line whose letter was pressed, where letters are no text.
func (c *closer) jumps(k keyMsg) bool {
	if c.takesLetters() || k.Type != tea.KeyRunes || len(k.Runes) != 1 {
		return false
	}
	for i, l := range closerLines {
		if l.letter == unicode.ToLower(k.Runes[0]) {
			c.to(i)
			return true
		}
	}
	return false
}

// ask shows the text for people who help, with what is said so far.
func (c *closer) ask(e *env, at time.Time) {
	h := *c.hand
	if err := h.SetFacts(c.facts, at); err != nil {
		e.hint(err.Error(), at)
		return
	}
	c.asking = newAskPage(e, h)
}

func (c *closer) to(line int) {
	c.line = (line + closerCount) % closerCount
	c.pick = unpicked
}

// unpicked says that the cursor is on no choice yet: Enter then leaves what was said.
const unpicked = -1

// leave takes a series that is typed and not taken yet, if it can be meant in one way only.
func (c *closer) leave(e *env, at time.Time) bool {
	if c.typed == "" {
		return true
	}
	list := c.choices()
	s, ok := currency.Decided(list)
	if len(list) == 0 {
		var err error
		if s, err = currency.ParseSeries(c.typed); err != nil {
			e.say(err.Error()+": it was left out", at)
			c.typed = ""
			return true
		}
		ok = true
	}
	if !ok {
		e.hint("which series is meant? type its letter, or choose it with "+name(closerMap.More)+" and "+name(closerMap.Enter), at)
		c.to(0)
		return false
	}
	c.facts.Series, c.typed = s.String(), ""
	return true
}

// take takes what stands on the line and is not taken yet, as Enter does of a choice under the cursor; the cursor
// stays. It reports false, and says why, where it can be meant in more than one way.
func (c *closer) take(e *env, at time.Time) bool {
	line := c.line
	if closerLines[line].label == "series" && c.pick != unpicked {
		c.takeSeries(c.choices(), e, at)
		c.to(line)
	}
	return c.leave(e, at)
}

// handOver gives what was said to the note in hand. The series said is the likeliest for the next note. ok is
// false, and the reason said, where the note cannot take it.
func (c *closer) handOver(e *env, at time.Time) (ok bool) {
	if c.facts.Series != "" {
		e.series = c.facts.Series
	}
	if err := c.hand.SetFacts(c.facts, at); err != nil {
		e.say(err.Error(), at)
		return false
	}
	return true
}

// choices are the series that the keys typed can mean.
func (c *closer) choices() []currency.Choice {
	last, _ := currency.ParseSeries(c.last) // unknown where nothing was said yet
	return currency.Suggest(int(c.face()), c.hand.Entry.Prefix, c.typed, last)
}

// closerKeys are the keys of the closer look.
type closerKeys struct{ Next, Before, Letter, More, Less, Mark, Enter, Ask, Leave key.Binding }

var closerMap = closerKeys{
	Next:   bind("↓", "next line", "down", "tab"),
	Before: bind("↑", "line before", "up", "shift+tab"),
	Letter: bind("a-z", "to the line with this letter, where letters are not text"),
	More:   bind("→", "next choice", "right"),
	Less:   bind("←", "choice before", "left"),
	Mark:   bind("Space", "a defect is there, or is not", " "),
	Enter:  bind("Enter", "take the choice, next line; on the printing error: the questions", "enter", "ctrl+j"),
	Ask:    bind("Ctrl+T", "a text with these facts for people who help: to a file or the clipboard", "ctrl+t"),
	Leave:  bind("Esc", "back; what was said stays with the note", "esc", "/"),
}

func (k closerKeys) short() []key.Binding {
	return []key.Binding{short(k.Leave, "back"), short(k.Enter, "take, next"), short(k.More, "choose"), short(k.Letter, "to a line"), short(k.Ask, "a text to ask with")}
}

func (k closerKeys) groups() []keyGroup {
	return []keyGroup{{title: "The closer look", keys: []key.Binding{k.Letter, k.Next, k.Before, k.More, k.Less, k.Mark, k.Enter, short(textMap.Erase, "take back a key; with nothing typed: the series"), textMap.Clear, k.Ask, k.Leave},
		about: []string{
			"Nothing of it has to be said, and nothing carries over to the next note. On a line of text every character is text; on one of choices the space bar takes the next.",
		}}}
}

// shortKeys are the keys that do something in the closer look just now.
func (c *closer) shortKeys() []key.Binding {
	switch {
	case c.asking != nil:
		return askMap.short()
	case c.errors == nil:
		return closerMap.short()
	}
	if _, _, done := c.errors.walk.At(); done {
		return []key.Binding{short(walkMap.Done, "back to the closer look"), short(walkMap.Back, "question before"), short(closerMap.Ask, "a text to ask with")}
	}
	return walkMap.short()
}

// groups are all keys of what the closer look shows just now.
func (c *closer) groups() []keyGroup {
	switch {
	case c.asking != nil:
		return askMap.groups()
	case c.errors != nil:
		return walkMap.groups()
	}
	return closerMap.groups()
}
