package ui

import "github.com/charmbracelet/bubbles/key"

// watchKeys are the keys of the watch list.
type watchKeys struct {
	Up, Down, PageUp, PageDown, Hit, Near, Rule, Grade, Definitions, Own, Default, Less, More, Leave key.Binding
}

var watchMap = watchKeys{
	Up:          bind("↑", "rule above", "up"),
	Down:        bind("↓", "rule below", "down"),
	PageUp:      bind("PgUp", "ten rules up", "pgup"),
	PageDown:    bind("PgDn", "ten rules down", "pgdown"),
	Hit:         bind("H", "a hit stops you, or is only told", "h", "H", " "),
	Near:        bind("N", "a near miss stops you, or is not looked for", "n", "N"),
	Rule:        bind("K", "your rule for its notes: keep, keep unless worn, only mention", "k", "K"),
	Grade:       bind("G", "of keep unless worn: below which grade a note may go", "g", "G"),
	Definitions: bind("D", "definitions people dispute, pauses, settling early", "d", "D"),
	Own:         bind("O", "own patterns and numbers", "o", "O"),
	Default:     bind("R", "the list as it is for a new user, press twice", "r", "R"),
	Less:        bind("←", "odds for the denomination below", "left"),
	More:        bind("→", "odds for the denomination above", "right"),
	Leave:       bind("Esc", "leave; every change is kept already", "esc", "ctrl+d"),
}

func (k watchKeys) short() []key.Binding {
	return []key.Binding{short(k.Hit, "hit stops"), short(k.Near, "near stops"), short(k.Rule, "your rule"), short(k.Leave, "leave"), short(k.Grade, "grade"), short(k.Definitions, "definitions"), short(k.Own, "own")}
}

func (k watchKeys) groups() []keyGroup {
	return []keyGroup{{title: "The watch list", keys: []key.Binding{k.Up, k.Down, k.PageUp, k.PageDown, k.Hit, k.Near, k.Rule, k.Grade, k.Definitions, k.Own, k.Default, k.Less, k.More, k.Leave},
		about: []string{
			"A near miss that is watched costs a stop and a re-read each time; what the whole list costs stands above it and moves with every change. Your rule decides which decisions take the key twice.",
			definersTold,
		}}}
}

// definitionsKeys are the keys of the definitions.
type definitionsKeys struct{ Up, Down, Less, More, Digits, Enter, Erase, Leave key.Binding }

var definitionsMap = definitionsKeys{
	Up:     bind("↑", "question above", "up"),
	Down:   bind("↓", "question below", "down"),
	Less:   bind("←", "answer before", "left"),
	More:   bind("→", "next answer", "right"),
	Digits: bind("0-9", "type a number where the answer is one", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9"),
	Enter:  bind("Enter", "take the typed number", "enter", "ctrl+j"),
	Erase:  bind("Backspace", "take back a digit", "backspace", "ctrl+h"),
	Leave:  bind("Esc", "back to the list", "esc", "ctrl+d"),
}

func (k definitionsKeys) short() []key.Binding {
	return []key.Binding{k.Down, k.More, short(k.Digits, "type a number"), short(k.Leave, "list")}
}

func (k definitionsKeys) groups() []keyGroup {
	return []keyGroup{{title: "Definitions", keys: []key.Binding{k.Up, k.Down, k.Less, k.More, k.Digits, k.Enter, k.Erase, k.Leave},
		about: []string{
			"Collectors disagree about these. A session keeps the definitions it was begun under, so that its last note is judged as its first was.",
		}}}
}

// ownKeys are the keys of the own patterns, draftKeys those while one is entered.
type ownKeys struct{ Up, Down, Pattern, Number, Remove, Leave key.Binding }

var ownMap = ownKeys{
	Up:      bind("↑", "line above", "up"),
	Down:    bind("↓", "line below", "down"),
	Pattern: bind("P", "new pattern", "p", "P"),
	Number:  bind("N", "new number", "n", "N"),
	Remove:  bind("X", "take the line out, press twice", "x", "X"),
	Leave:   bind("Esc", "back to the list", "esc", "ctrl+d"),
}

func (k ownKeys) short() []key.Binding {
	return []key.Binding{k.Pattern, k.Number, short(k.Remove, "take out"), short(k.Leave, "list")}
}

func (k ownKeys) groups() []keyGroup {
	return []keyGroup{{title: "Own patterns and numbers", keys: []key.Binding{k.Up, k.Down, k.Pattern, k.Number, k.Remove, k.Leave}}}
}

type draftKeys struct{ Enter, Less, More, Leave key.Binding }

var draftMap = draftKeys{
	Enter: bind("Enter", "next line; on the last: take it into the list", "enter", "ctrl+j"),
	Less:  bind("←", "choice before", "left"),
	More:  bind("→", "next choice", "right"),
	Leave: bind("Esc", "back without entering it", "esc"),
}

func (k draftKeys) short() []key.Binding {
	return []key.Binding{short(k.Enter, "next, at the end take it"), short(k.More, "choose"), short(k.Leave, "back")}
}

func (k draftKeys) groups() []keyGroup {
	return []keyGroup{{title: "While one is entered", keys: []key.Binding{k.Enter, k.Less, k.More, textMap.Erase, textMap.Clear, k.Leave},
		about: []string{
			"Equal letters are equal digits, different letters different digits, ? is any digit, and a digit is itself: ABBACDDC, ??1234??.",
		}}}
}
