package ui

import (
	"strings"
	"unicode"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
)

// A textLine says what can be written into a line of text.
type textLine struct {
	longest int
	allowed string // the characters, written in capitals; empty: everything that can be printed
}

// textKeys change a line of text. Every form has the same.
type textKeys struct{ Erase, Clear key.Binding }

var textMap = textKeys{
	Erase: bind("Backspace", "take back a character", "backspace", "ctrl+h"),
	Clear: bind("Ctrl+U", "clear the line", "ctrl+u"),
}

// labelled draws a line of a form: its label, and its value with a cursor behind it where it is being written.
func labelled(label, value string, writing bool, w int) string {
	mark := "  "
	if writing {
		mark = look.hit.Render(signChoice) + " "
		value = tail(value, w-labelWidth-3) + look.cursor.Render(" ")
	}
	return cut(mark+look.quiet.Render(pad(label, labelWidth))+value, w)
}

// labelledFresh is labelled for a line being written whose words the first character typed replaces.
func labelledFresh(label, value string, w int) string {
	return cut(look.hit.Render(signChoice)+" "+look.quiet.Render(pad(label, labelWidth))+replaceable(value, w-labelWidth-2), w)
}

// replaceable draws words that the first character typed replaces, and says so.
func replaceable(value string, w int) string {
	const says = "  typing replaces it"
	return look.cursor.Render(tail(value, max(w-len(says), 1))) + look.quiet.Render(says)
}

// edit takes a key into a line of text, and reports whether it meant something there. What is not
// allowed is left out.
func (l textLine) edit(text *string, k keyMsg) bool {
	switch {
	case key.Matches(k, textMap.Clear):
		*text = ""
	case key.Matches(k, textMap.Erase):
		if r := []rune(*text); len(r) > 0 {
			*text = string(r[:len(r)-1])
		}
	case k.Type == tea.KeyRunes || k.Type == tea.KeySpace:
		for _, r := range k.Runes {
			if l.allowed != "" {
				r = unicode.ToUpper(r)
			}
			fits := l.allowed == "" && unicode.IsPrint(r) || l.allowed != "" && strings.ContainsRune(l.allowed, r)
			if fits && len([]rune(*text)) < l.longest {
				*text += string(r)
			}
		}
	default:
		return false
	}
	return true
}

// over is edit for a line that had words in it before anything was typed: while they are fresh, the first character
// takes their place. Backspace and the keys of stay, which are the arrows of the screen, keep them to be changed.
func (l textLine) over(text *string, fresh *bool, k keyMsg, stay ...key.Binding) bool {
	if *fresh && key.Matches(k, stay...) {
		*fresh = false
		return true
	}
	if typed := ""; *fresh && l.edit(&typed, k) && typed != "" {
		*text, *fresh = typed, false
		return true
	}
	before := *text
	meant := l.edit(text, k)
	*fresh = *fresh && *text == before
	return meant
}
