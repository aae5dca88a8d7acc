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
	going bool // a letter goes to the line that has it: when the closer look is opened, and when it is asked for

	typed      string     // of the series, while it is picked
	faceDigits string     // of a denomination, as they are typed
	asked      string     // what was typed when both forms of a year were asked about
	pick       int        // the choice under the cursor, of the series and of the defects
	last       string     // the series said last in this sitting: the likeliest again
	errors     *errorWalk // the walk through the printing errors, nil while it is not taken
	aside      bool       // the note is set aside: the caution stays in sight
	asking     *askPage   // the text for people who help, nil while it is not shown
}

func newCloser(h *triage.InHand, d triage.Denomination, last string) *closer {
	return &closer{hand: h, denom: d, facts: h.Facts(), last: last, pick: unpicked, going: true}
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
	going := c.going
	switch {
	case c.asking != nil:
		if c.asking.key(k, e, at) {
			c.asking = nil
		}
		return false
	case c.errors != nil && !key.Matches(k, closerMap.Ask):
		c.walk(k)
		return false
	case going && c.goes(k, e, at):
		return false
	}
	c.going = false
	switch l := closerLines[c.line]; {
	case key.Matches(k, closerMap.Ask):
		c.ask(e, at)
	case key.Matches(k, closerMap.Leave) && !(k.Type == tea.KeyRunes && l.kind == textLines):
		return c.leave(e, at)
	case key.Matches(k, closerMap.Go):
		c.going = true
	case key.Matches(k, closerMap.Enter):
		c.enter(l.kind, e, at)
	case key.Matches(k, closerMap.Next):
		c.move(1, e, at)
	case key.Matches(k, closerMap.Before):
		c.move(-1, e, at)
	default:
		l.key(c, k, e, at)
	}
	return false
}

// enter takes what stands on the line and goes on, or begins the questions.
func (c *closer) enter(kind lineKind, e *env, at time.Time) {
	switch {
	case kind == errorLine:
		c.startWalk()
	case kind != seriesLine || c.takeSeries(e, at):
		c.move(1, e, at)
	}
}

// goes goes to the line that a letter belongs to. It reports false for a key that is no letter: that one means what
// it means anyway.
func (c *closer) goes(k keyMsg, e *env, at time.Time) bool {
	if k.Type != tea.KeyRunes || len(k.Runes) != 1 || !unicode.IsLetter(k.Runes[0]) {
		return false
	}
	for i, l := range closerLines {
		if l.letter == unicode.ToLower(k.Runes[0]) {
			c.part(e, at)
			c.to(i)
			return true
		}
	}
	e.hint("no line has the letter "+printable(string(k.Runes)), at)
	return true
}

// move goes up or down. It stops at the first line and at the last, so that nobody is lost among twenty.
func (c *closer) move(by int, e *env, at time.Time) {
	switch next := c.line + by; {
	case next < 0:
		e.hint("this is the first line", at)
	case next >= closerCount:
		e.hint("this is the last line; "+name(closerMap.Leave)+" goes back, and what was said stays", at)
	default:
		c.part(e, at)
		c.to(next)
	}
}

// part says of the line that is left whether what is typed there cannot be whole. It stays as it is.
func (c *closer) part(e *env, at time.Time) {
	e.hint(closerLines[c.line].doubt(c), at)
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

func (c *closer) to(line int) { c.line, c.pick, c.going, c.faceDigits = line, unpicked, false, "" }

// unpicked says that the cursor is on no choice yet: Enter then leaves what was said.
const unpicked = -1

// leave takes a series that is typed and not taken yet, if it can be meant in one way only.
func (c *closer) leave(e *env, at time.Time) bool {
	if c.typed == "" {
		c.part(e, at)
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
	if closerLines[c.line].kind == seriesLine && c.pick != unpicked {
		c.takeSeries(e, at)
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
type closerKeys struct{ Next, Before, Letter, Go, More, Less, Mark, Enter, Ask, Leave key.Binding }

var closerMap = closerKeys{
	Next:   bind("↓", "next line", "down", "tab"),
	Before: bind("↑", "line before", "up", "shift+tab"),
	Letter: bind("a-z", "of a choice: the next that begins so; else it is text"),
	Go:     bind("Ctrl+G", "go to a line: its letter is the next key", "ctrl+g"),
	More:   bind("→", "next choice", "right"),
	Less:   bind("←", "choice before", "left"),
	Mark:   bind("Space", "next choice; a defect is there, or is not", " "),
	Enter:  bind("Enter", "take the choice, next line; on the printing error: the questions", "enter", "ctrl+j"),
	Ask:    bind("Ctrl+T", "a text with these facts for people who help: to a file or the clipboard", "ctrl+t"),
	Leave:  bind("Esc", "back; what was said stays with the note", "esc", "/"),
}

// short are the keys that do something on a line of a kind.
func (k closerKeys) short(kind lineKind) []key.Binding {
	leave, enter, more := short(k.Leave, "back"), short(k.Enter, "next"), short(k.More, "choose")
	line, ask := short(k.Go, "line"), short(k.Ask, "a text to ask with")
	switch kind {
	case seriesLine:
		return []key.Binding{leave, short(k.Enter, "take"), more, line, ask}
	case choiceLine:
		return []key.Binding{leave, enter, more, line, short(k.Letter, "what begins so"), ask}
	case defectLine:
		return []key.Binding{leave, short(k.Mark, "mark"), more, line, enter, ask}
	case errorLine:
		return []key.Binding{leave, short(k.Enter, "questions"), line, short(k.Next, "next"), ask}
	}
	return []key.Binding{leave, enter, line, short(textMap.Clear, "clear"), ask}
}

func (k closerKeys) groups() []keyGroup {
	return []keyGroup{{title: "The closer look", keys: []key.Binding{k.Go, k.Letter, k.Next, k.Before, k.More, k.Less, k.Mark, k.Enter, short(textMap.Erase, "take back a character; with none typed: the series"), short(textMap.Clear, "take back all that is said on the line"), k.Ask, k.Leave},
		about: []string{
			"What you type belongs to the line you are on: on a line of text every character is text, on one of choices a letter picks the next choice that begins so. " + name(k.Go) + " and a letter go to another line; the letters are shown then, as they are when the closer look is opened.",
			"Nothing of it has to be said, and nothing carries over to the next note. What cannot be whole is asked about and stays as typed.",
		}}}
}

// shortKeys are the keys that do something in the closer look just now.
func (c *closer) shortKeys() []key.Binding {
	switch {
	case c.asking != nil:
		return askMap.short()
	case c.errors == nil && c.going:
		return []key.Binding{short(closerMap.Letter, "to its line"), short(closerMap.Leave, "back"), short(closerMap.Next, "next line"), short(closerMap.Ask, "a text to ask with")}
	case c.errors == nil:
		return closerMap.short(closerLines[c.line].kind)
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
