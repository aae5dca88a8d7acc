package ui

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// otherKeys is a file in which every action of the program has a key that no action has as it comes, or another of
// Ctrl and a letter where text is typed.
func otherKeys() string {
	var b strings.Builder
	taken := map[string][]string{ // by those that are heard on other screens, too
		"everywhere": {"F9", "Ω", "F10", "F12"},
		"text":       {"Ctrl+T", "Ctrl+V"},
		"file":       {"Ctrl+R", "Ctrl+P"},
	}
	apart := map[string]string{"again onward": "F7", "again backward": "F8", "closer ask": "F6", "put-right drop": "F6", "put-right leave": "F7"}
	for _, m := range keyMaps() {
		free := strings.Split("αβγδεζηθικλμνξοπρστυφχψω", "")
		if m.text == anyText {
			free = strings.Fields("Ctrl+A Ctrl+B Ctrl+C Ctrl+D Ctrl+E Ctrl+F Ctrl+G Ctrl+K Ctrl+L Ctrl+N Ctrl+O Ctrl+Q Ctrl+S Ctrl+U Ctrl+W Ctrl+X Ctrl+Y Ctrl+Z")
		}
		if own, ok := taken[m.id]; ok {
			free = own
		}
		for _, a := range actionsOf(m.keys) {
			if a.typedIn() {
				continue
			}
			name := apart[m.id+" "+a.name]
			if name == "" {
				name, free = free[0], free[1:]
			}
			fmt.Fprintf(&b, "%s %s: %s\n", m.id, a.name, name)
		}
	}
	return b.String()
}

// usualNames are what keys are called that no action has by that file.
var usualNames = regexp.MustCompile(`\b(Enter|Esc|Backspace|PgDn|PgUp|Tab|Home|End|F1)\b|[←→↑↓]`)

// whereUsual are lines that name a key which nothing is done by, or draw a range that goes on.
var whereUsual = regexp.MustCompile(`Esc does nothing here|──`)

// Whatever the keys are set to, no screen and no help page calls one by the name it has as it comes.
func TestNoScreenNamesAKeyThatIsAnother(t *testing.T) {
	other, err := ReadKeys(strings.NewReader(otherKeys()), "keys")
	if err != nil {
		t.Fatal(err)
	}
	tables := &books{}
	for _, s := range scenes {
		if strings.HasPrefix(s.name, "help-") || strings.HasPrefix(s.name, "strap-left") || testing.Short() && len(s.name)%4 != 0 {
			continue
		}
		t.Run(s.name, func(t *testing.T) {
			b := newTable(t)
			b.app.env.books = tables
			s.play(b)
			defer other.Use()()
			b.app.env.status = statusLine{} // what was said before keeps the names of before
			b.size(112, 55)
			lines := strings.Split(b.app.View(), "\n")
			b.app.help = &helpPage{}
			lines = slices.Concat(lines, b.app.helpLines(112), []string{b.app.keyLine(112)})
			for _, line := range lines {
				if usualNames.MatchString(line) && !whereUsual.MatchString(line) {
					t.Errorf("the line %q names a key as it comes", line)
				}
			}
		})
	}
}
