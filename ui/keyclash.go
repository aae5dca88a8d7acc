package ui

import (
	"fmt"
	"slices"

	"github.com/charmbracelet/bubbles/key"
)

// This file refuses keys that could not work, or would decide what nobody decided.

// of gives the keys that an action would have.
func (k *keyReader) of(b *key.Binding) []string {
	if names, ok := k.names[b]; ok {
		return names
	}
	return delivered[b]
}

// check looks at every screen for keys that are text there, that could decide by accident, or that have two meanings.
// Of each line the first fault is told.
func (k *keyReader) check() {
	named := map[*key.Binding]action{}
	for _, a := range actions() {
		named[a.binding] = a
	}
	maps := keyMaps()
	for _, m := range maps {
		for _, b := range m.heard() {
			if line := k.lines[b]; line > 0 && !k.told(line) && !k.text(m, named[b]) {
				k.risky(m, named[b])
			}
		}
	}
	for _, m := range maps {
		heard := m.heard()
		for i, b := range heard {
			for _, other := range heard[:i] {
				if line := max(k.lines[b], k.lines[other]); line > 0 && !k.told(line) {
					k.twice(m, named[other], named[b])
				}
			}
		}
	}
}

// told reports whether a line has a fault already.
func (k *keyReader) told(line int) bool {
	return slices.ContainsFunc(k.faults, func(f KeyFault) bool { return f.Line == line })
}

// heard are the bindings that a screen reacts to: its own, those of others, and what works everywhere.
func (m keyMap) heard() []*key.Binding {
	var list []*key.Binding
	for _, a := range actionsOf(m.keys) {
		list = append(list, a.binding)
	}
	list = append(list, m.also...)
	if m.keys == any(&everywhere) {
		return list
	}
	list = append(list, &everywhere.Leave, &everywhere.Suspend)
	if m.keys != any(&helpMap) { // the help page is left by the keys that lead to it
		list = append(list, &everywhere.HelpText)
	}
	if m.keys != any(&helpMap) && (m.text != anyText || m.writing != nil) { // else ? is text
		list = append(list, &everywhere.Help)
	}
	return list
}

// twice tells of a key that two actions of a screen have.
func (k *keyReader) twice(m keyMap, a, b action) {
	for _, n := range k.of(a.binding) {
		if !slices.Contains(k.of(b.binding), n) {
			continue
		}
		if k.lines[a.binding] > k.lines[b.binding] {
			a, b = b, a
		}
		where := "as it comes"
		if line := k.lines[a.binding]; line > 0 {
			where = fmt.Sprintf("line %d", line)
		}
		k.fault(k.lines[b.binding], fmt.Sprintf("%s is the key of %s and of %s (%s), and both are heard at once (screen %s)", sign(n), b, a, where, m.id),
			"Give one of them another key")
		return
	}
}

// text tells of a key that is a character where that is text. What is so as the program comes, as / among the
// keepers, may stay.
func (k *keyReader) text(m keyMap, a action) bool {
	if m.writing != nil && !in(a.binding, m.writing) && !in(a.binding, []*key.Binding{&everywhere.Leave, &everywhere.Suspend, &everywhere.HelpText}) &&
		(m.text == anyText || a.binding != &everywhere.Help) {
		return false
	}
	for _, n := range k.of(a.binding) {
		r, ok := isCharacter(n)
		if !ok || !m.text.takes(r) || slices.Contains(delivered[a.binding], n) {
			continue
		}
		what := "text"
		if m.text == serialText {
			what = "part of a serial"
		}
		k.fault(k.lines[a.binding], fmt.Sprintf("%s is %s on the screen %s, so it cannot be the key of %s", sign(n), what, m.id, a),
			"Give it a key that types nothing there, as Tab, F2 or Ctrl with a letter")
		return true
	}
	return false
}

// risky tells of a key that could decide a note by accident.
func (k *keyReader) risky(m keyMap, a action) {
	for _, n := range k.of(a.binding) {
		switch {
		case m.text == serialText && n == "Esc" && a.screen == m.id:
			k.fault(k.lines[a.binding], "a terminal may send Esc when another key is cut short, so it does nothing on the screen "+m.id, "Give "+a.String()+" another key")
			return
		case in(a.binding, m.decide) && slices.Contains(cursorBlock, n):
			k.fault(k.lines[a.binding], fmt.Sprintf("a keypad sends %s for a digit while NumLock is off, and %s decides", sign(n), a), "Give it another key")
			return
		}
	}
}
