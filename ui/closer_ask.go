package ui

import (
	"fmt"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"

	"app/unband/triage"
	"app/unband/triage/flaws"
)

// askPage shows the facts of one note as a text for people who help, and hands it over as a file or to
// the clipboard.
type askPage struct {
	env    *env
	hand   triage.InHand
	line   int
	out    handOver
	hidden int // how many of the last digits are written as x
	top    int // first line of the text that is shown
}

// The lines of the page.
const (
	askQuestion = iota
	askHidden
	askFile
	askLines
)

func newAskPage(e *env, h triage.InHand) *askPage {
	p := h.Place()
	return &askPage{env: e, hand: h, out: handOver{env: e, file: fmt.Sprintf("unband-note-%d-%d-%d.txt", p.Session, p.Strap, p.Position)}}
}

// asked names a note that a question is about: another serial at its place is another note.
type asked struct {
	place  triage.Place
	serial triage.Serial
}

// question is what is asked, kept for the sitting.
func (a *askPage) question() string {
	return a.env.questions[asked{a.hand.Place(), a.hand.Entry.Serial}]
}

func (a *askPage) text() string { return flaws.Help(a.hand.HelpFacts(a.question(), a.hidden)) }

// key takes one key; done says that the page is left.
func (a *askPage) key(k keyMsg, e *env, at time.Time) (done bool) {
	if !key.Matches(k, outMap.Save) {
		a.out.other()
	}
	switch {
	case key.Matches(k, askMap.Leave):
		return true
	case key.Matches(k, outMap.Save):
		a.out.save(a.text(), at)
	case key.Matches(k, outMap.Copy):
		a.out.copy(a.text(), at)
	case key.Matches(k, askMap.Next):
		a.line = (a.line + 1) % askLines
	case key.Matches(k, askMap.Before):
		a.line = (a.line + askLines - 1) % askLines
	case key.Matches(k, askMap.PageDown):
		a.top = min(a.top+5, strings.Count(a.text(), "\n"))
	case key.Matches(k, askMap.PageUp):
		a.top = max(a.top-5, 0)
	case a.line == askHidden:
		switch {
		case key.Matches(k, askMap.More):
			a.hidden = min(a.hidden+1, 8)
		case key.Matches(k, askMap.Less):
			a.hidden = max(a.hidden-1, 0)
		}
	case a.line == askQuestion:
		text := a.question()
		if (textLine{longest: longestRemark}).edit(&text, k) {
			a.env.questions[asked{a.hand.Place(), a.hand.Entry.Serial}] = text
		}
	default:
		a.out.edit(k, askMap.Less, askMap.More)
	}
	return false
}

func (a *askPage) view(w, h int) []string {
	values := [askLines]string{printable(a.question()), "none", printable(a.out.file)}
	if a.hidden > 0 {
		values[askHidden] = fmt.Sprintf("the last %s", count(a.hidden, "digit", "digits"))
	}
	var lines []string
	for i, label := range [askLines]string{"question", "hidden digits", "file"} {
		line := labelled(label, values[i], i == a.line, w)
		if i == askFile && i == a.line {
			line = look.hit.Render(signChoice) + " " + look.quiet.Render(pad(label, labelWidth)) + a.out.named(w-labelWidth-2)
		}
		lines = append(lines, line)
	}
	lines = append(lines, "")
	var text []string
	for _, line := range strings.Split(strings.TrimRight(a.text(), "\n"), "\n") {
		text = append(text, hang(look.quiet.Render("│"), printable(line), w)...)
	}
	return append(lines, scrolled(text, a.top, h-len(lines), "│ … "+name(askMap.PageDown)+" for more")...)
}

// askKeys are the keys of the page.
type askKeys struct{ Next, Before, More, Less, PageDown, PageUp, Leave key.Binding }

var askMap = askKeys{
	Next:     bind("↓", "next line", "down", "tab", "enter", "ctrl+j"),
	Before:   bind("↑", "line before", "up", "shift+tab"),
	More:     bind("→", "hide one more digit", "right"),
	Less:     bind("←", "hide one digit less", "left"),
	PageDown: bind("PgDn", "further down in the text", "pgdown"),
	PageUp:   bind("PgUp", "further up in the text", "pgup"),
	Leave:    bind("Esc", "back to the closer look", "esc"),
}

func (k askKeys) short() []key.Binding {
	return []key.Binding{short(outMap.Save, "write the file"), short(outMap.Copy, "to the clipboard"), short(k.Next, "next line"), short(k.Leave, "back")}
}

func (k askKeys) groups() []keyGroup {
	return []keyGroup{{title: "The text to ask with", keys: []key.Binding{k.Next, k.Before, k.More, k.Less, outMap.Save, outMap.Copy, k.PageDown, k.PageUp, textMap.Erase, textMap.Clear, k.Leave},
		about: []string{
			"It names neither bank nor session. The last digits of the serial can be hidden before it is shown to strangers.",
		}}}
}
