package ui

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/charmbracelet/bubbles/key"
	"github.com/charmbracelet/x/ansi"
)

// A namedKey is a key that is no character, and what bubbletea calls it. Where a key comes under two names, as keypad
// Enter does inside tmux, both are it.
type namedKey struct {
	name, sign string // sign is what the screen calls it, empty where that is the name
	keys       []string
}

var namedKeys = append([]namedKey{
	{"Enter", "", []string{"enter", "ctrl+j"}},
	{"Backspace", "", []string{"backspace", "ctrl+h"}},
	{"Tab", "", []string{"tab"}},
	{"Shift+Tab", "", []string{"shift+tab"}},
	{"Esc", "", []string{"esc"}},
	{"Space", "", []string{" "}},
	{"Up", "↑", []string{"up"}},
	{"Down", "↓", []string{"down"}},
	{"Left", "←", []string{"left"}},
	{"Right", "→", []string{"right"}},
	{"PgUp", "", []string{"pgup"}},
	{"PgDn", "", []string{"pgdown"}},
	{"Home", "", []string{"home"}},
	{"End", "", []string{"end"}},
	{"Insert", "", []string{"insert"}},
	{"Delete", "", []string{"delete"}},
}, functionKeys()...)

// cursorBlock are the keys that a keypad sends for digits while NumLock is off.
var cursorBlock = []string{"Up", "Down", "Left", "Right", "PgUp", "PgDn", "Home", "End", "Insert", "Delete"}

func functionKeys() []namedKey {
	var list []namedKey
	for i := 1; i <= 12; i++ {
		n := strconv.Itoa(i)
		list = append(list, namedKey{"F" + n, "", []string{"f" + n}})
	}
	return list
}

// sameKey says under which other name a terminal sends some keys with Ctrl: they cannot be told apart.
var sameKey = map[string]string{"Ctrl+H": "Backspace", "Ctrl+I": "Tab", "Ctrl+J": "Enter", "Ctrl+M": "Enter"}

// keyNamed reads the name of a key, in capitals or not, and gives the name as it is written here; ok is false where
// there is no such key. A letter is the same key in both cases.
func keyNamed(text string) (name string, ok bool) {
	for _, k := range namedKeys {
		if strings.EqualFold(text, k.name) || text == k.sign && text != "" {
			return k.name, true
		}
	}
	if with, letter, cut := strings.Cut(text, "+"); cut && strings.EqualFold(with, "ctrl") && len(letter) == 1 {
		letter = strings.ToUpper(letter)
		return "Ctrl+" + letter, letter >= "A" && letter <= "Z"
	}
	if r := []rune(text); len(r) == 1 && character(r[0]) {
		if r[0] < unicode.MaxASCII {
			return strings.ToUpper(text), true
		}
		return text, true
	}
	return "", false
}

// character reports whether one press can type it and one cell or two can show it.
func character(r rune) bool {
	return unicode.IsGraphic(r) && !unicode.IsSpace(r) && r != unicode.ReplacementChar && ansi.StringWidth(string(r)) > 0
}

// pressesOf gives what bubbletea calls the key of a name that keyNamed has given.
func pressesOf(name string) []string {
	for _, k := range namedKeys {
		if k.name == name {
			return k.keys
		}
	}
	lower := strings.ToLower(name)
	if len(name) == 1 && lower != name {
		return []string{lower, name}
	}
	return []string{lower} // ctrl+a, or a character that is no letter
}

// namesOf gives the names of keys in bubbletea's words, each once, in their order.
func namesOf(keys []string) []string {
	var names []string
	for _, k := range keys {
		if n := nameOf(k); !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	return names
}

func nameOf(one string) string {
	for _, k := range namedKeys {
		if slices.Contains(k.keys, one) {
			return k.name
		}
	}
	if letter, ok := strings.CutPrefix(one, "ctrl+"); ok {
		return "Ctrl+" + strings.ToUpper(letter)
	}
	if len(one) == 1 {
		return strings.ToUpper(one)
	}
	return one
}

// sign is what the screen calls a key.
func sign(name string) string {
	for _, k := range namedKeys {
		if k.name == name && k.sign != "" {
			return k.sign
		}
	}
	return name
}

// isCharacter reports whether a key is a character, which is text where text is typed.
func isCharacter(name string) (rune, bool) {
	if name == "Space" {
		return ' ', true
	}
	r := []rune(name)
	return r[0], len(r) == 1
}

// rebind gives a binding other keys; its words stay.
func rebind(b *key.Binding, names []string) {
	var keys []string
	for _, n := range names {
		keys = append(keys, pressesOf(n)...)
	}
	b.SetKeys(keys...)
	b.SetHelp(sign(names[0]), b.Help().Desc)
}

// everyName is what the help page says of a key: its words, and the other keys that do the same.
func everyName(b key.Binding) string {
	names := namesOf(b.Keys())
	if len(names) < 2 || sign(names[0]) != name(b) { // 0-9 stands for all of them
		return b.Help().Desc
	}
	var others []string
	for _, n := range names[1:] {
		others = append(others, sign(n))
	}
	return b.Help().Desc + " (also " + strings.Join(others, " ") + ")"
}
