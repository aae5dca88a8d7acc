package ui

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
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
	file   string
	hidden int    // how many of the last digits are written as x
	over   string // the file that was found there and may be replaced by the same key again
	top    int    // first line of the text that is shown
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
	return &askPage{env: e, hand: h, file: fmt.Sprintf("unband-note-%d-%d-%d.txt", p.Session, p.Strap, p.Position)}
}

// question is what is asked, kept for the sitting.
func (a *askPage) question() string { return a.env.questions[a.hand.Place()] }

func (a *askPage) text() string { return flaws.Help(a.hand.HelpFacts(a.question(), a.hidden)) }

// key takes one key; done says that the page is left.
func (a *askPage) key(k keyMsg, e *env, at time.Time) (done bool) {
	if !key.Matches(k, askMap.Save) {
		a.over = ""
	}
	switch {
	case key.Matches(k, askMap.Leave):
		return true
	case key.Matches(k, askMap.Save):
		a.save(at)
	case key.Matches(k, askMap.Copy):
		a.copy(at)
	case key.Matches(k, askMap.Next):
		a.line = (a.line + 1) % askLines
	case key.Matches(k, askMap.Before):
		a.line = (a.line + askLines - 1) % askLines
	case key.Matches(k, askMap.PageDown):
		a.top += 5
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
			a.env.questions[a.hand.Place()] = text
		}
	default:
		textLine{longest: longestRemark}.edit(&a.file, k)
	}
	return false
}

// save writes the file. One that is there is replaced only when the key comes again.
func (a *askPage) save(at time.Time) {
	path := strings.TrimSpace(a.file)
	if path == "" {
		a.line = askFile
		a.env.hint("the file needs a name", at)
		return
	}
	if full, err := filepath.Abs(path); err == nil {
		path = full
	}
	err := writeNew(path, a.text(), a.over == path)
	switch {
	case errors.Is(err, fs.ErrExist):
		a.over = path
		a.env.hint("there is a file "+printable(path)+" already: "+name(askMap.Save)+" again replaces it, or give another name", at)
	case err != nil:
		a.env.hint("the text was not written: "+printable(err.Error())+". The note is safe; try another name or folder", at)
	default:
		a.over = ""
		a.env.say("written to "+printable(path), at)
	}
}

// writeNew writes a file for its user alone. It never follows a link, and replaces what is there only when
// told to.
func writeNew(path, text string, replace bool) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if errors.Is(err, fs.ErrExist) && replace {
		info, look := os.Lstat(path)
		switch {
		case look != nil:
			return look
		case !info.Mode().IsRegular():
			return fmt.Errorf("%s is no ordinary file", path)
		}
		part, makeErr := os.CreateTemp(filepath.Dir(path), ".unband-*")
		if makeErr != nil {
			return makeErr
		}
		_, err = part.WriteString(text)
		if err = errors.Join(err, part.Close()); err == nil {
			err = os.Rename(part.Name(), path)
		}
		if err != nil {
			return errors.Join(err, os.Remove(part.Name()))
		}
		return nil
	}
	if err != nil {
		return err
	}
	_, err = f.WriteString(text)
	if err = errors.Join(err, f.Close()); err != nil {
		return errors.Join(err, os.Remove(path))
	}
	return nil
}

// copy hands the text to the terminal's clipboard. Whether the terminal has one it never says.
func (a *askPage) copy(at time.Time) {
	if a.env.copy == nil {
		a.env.hint("there is no clipboard here: "+name(askMap.Save)+" writes a file", at)
		return
	}
	a.env.copy(a.text())
	a.env.say("handed to the terminal for the clipboard. If nothing can be pasted, it has none: "+name(askMap.Save)+" writes a file", at)
}

func (a *askPage) view(w, h int) []string {
	values := [askLines]string{printable(a.question()), "none", printable(a.file)}
	if a.hidden > 0 {
		values[askHidden] = fmt.Sprintf("the last %s", count(a.hidden, "digit", "digits"))
	}
	var lines []string
	for i, label := range [askLines]string{"question", "hidden digits", "file"} {
		mark, value := "  ", values[i]
		if i == a.line {
			mark = look.hit.Render(signChoice) + " "
			value = tail(value, w-labelWidth-3) + look.cursor.Render(" ")
		}
		lines = append(lines, cut(mark+look.quiet.Render(pad(label, labelWidth))+value, w))
	}
	lines = append(lines, "")
	var text []string
	for _, line := range strings.Split(strings.TrimRight(a.text(), "\n"), "\n") {
		text = append(text, hang(look.quiet.Render("│"), printable(line), w)...)
	}
	room := max(h-len(lines), 1)
	first := min(a.top, max(len(text)-room, 0))
	text = text[first:]
	if len(text) > room {
		text = append(text[:room-1:room-1], look.quiet.Render("│ … "+name(askMap.PageDown)+" for more"))
	}
	return append(lines, text...)
}

// askKeys are the keys of the page.
type askKeys struct{ Next, Before, More, Less, Save, Copy, PageDown, PageUp, Erase, Clear, Leave key.Binding }

var askMap = askKeys{
	Next:     bind("↓", "next line", "down", "tab", "enter", "ctrl+j"),
	Before:   bind("↑", "line before", "up", "shift+tab"),
	More:     bind("→", "hide one more digit", "right"),
	Less:     bind("←", "hide one digit less", "left"),
	Save:     bind("Ctrl+S", "write the text to the file", "ctrl+s"),
	Copy:     bind("Ctrl+Y", "hand the text to the clipboard, if the terminal has one", "ctrl+y"),
	PageDown: bind("PgDn", "further down in the text", "pgdown"),
	PageUp:   bind("PgUp", "further up in the text", "pgup"),
	Erase:    eraseKey,
	Clear:    clearKey,
	Leave:    bind("Esc", "back to the closer look", "esc"),
}

func (k askKeys) short() []key.Binding {
	return []key.Binding{short(k.Save, "write the file"), short(k.Copy, "to the clipboard"), short(k.Next, "next line"), short(k.Leave, "back")}
}

func (k askKeys) groups() []keyGroup {
	return []keyGroup{{title: "The text to ask with", keys: []key.Binding{k.Next, k.Before, k.More, k.Less, k.Save, k.Copy, k.PageDown, k.PageUp, k.Erase, k.Clear, k.Leave}}}
}
