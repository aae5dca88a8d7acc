package ui

import (
	"reflect"
	"strings"
	"unicode"

	"github.com/charmbracelet/bubbles/key"
)

// A textKind says which characters are text on a screen, so that they can be no keys there.
type textKind int

const (
	noText     textKind = iota
	serialText          // digits, letters and the star of a serial
	anyText
)

// takes reports whether a character is text.
func (t textKind) takes(r rune) bool {
	switch t {
	case serialText:
		return r == '*' || r < unicode.MaxASCII && (unicode.IsLetter(r) || unicode.IsDigit(r))
	case anyText:
		return true
	}
	return false
}

// A keyMap is the keys that are heard on one screen, or on one page of it.
type keyMap struct {
	id      string // what a file of keys calls it
	heading string // what the README calls it
	keys    any    // the map, a pointer to a struct of bindings
	groups  func() []keyGroup
	text    textKind
	writing []*key.Binding // those that are heard while text is written; nil: all
	also    []*key.Binding // of other maps, heard here too
	decide  []*key.Binding // those that decide something
}

// keyMaps are all keys of the program. What a file of keys can change, what it is checked for and the tables in the
// README come from here; a test finds a map that is missing.
func keyMaps() []keyMap {
	text := []*key.Binding{&textMap.Erase, &textMap.Clear}
	out := []*key.Binding{&outMap.Save, &outMap.Copy}
	both := append(text[:2:2], out...)
	return []keyMap{
		{id: "desk", heading: "On the desk", keys: &deskMap, groups: deskMap.groups},
		{id: "form", heading: "In a form", keys: &formMap, groups: formMap.groups, text: anyText, also: text},
		{id: "put-right", heading: "In a session put right", keys: &rightMap, groups: rightMap.groups, text: anyText,
			also: append(text[:2:2], &formMap.Next, &formMap.Before, &formMap.Less, &formMap.More, &formMap.Done)},
		{id: "strap", heading: "On the strap", keys: &strapMap, groups: strapMap.groups, text: serialText,
			decide: []*key.Binding{&strapMap.Keep, &strapMap.Spend, &strapMap.Aside, &strapMap.Drop}},
		{id: "session", heading: "On a session's page", keys: &pileMap, groups: pileMap.groups},
		{id: "sequence", heading: "A strap in sequence", keys: &sequenceMap, groups: sequenceMap.groups, text: anyText, also: text},
		{id: "list", heading: "Taking in a list", keys: &takeInMap, groups: takeInMap.groups, text: anyText, also: text},
		{id: "counting", heading: "Counting back", keys: &backMap, groups: backMap.groups, also: text},
		{id: "second-look", heading: "In the second look", keys: &lookMap, groups: lookMap.groups, text: serialText,
			decide: []*key.Binding{&lookMap.Keep, &lookMap.Spend}},
		{id: "again", heading: "In a strap gone through once more", keys: &againMap, groups: againMap.groups, text: serialText,
			writing: except(&againMap, &againMap.Turn, &againMap.Serial),
			decide:  []*key.Binding{&againMap.Keep, &againMap.Spend, &againMap.Aside}},
		{id: "closer", heading: "In the closer look", keys: &closerMap, groups: closerMap.groups, text: anyText,
			also: append(text[:2:2], &againMap.Onward, &againMap.Backward)},
		{id: "questions", heading: "In the questions about a printing error", keys: &walkMap, groups: walkMap.groups, also: []*key.Binding{&closerMap.Ask}},
		{id: "ask", heading: "In the text to ask with", keys: &askMap, groups: askMap.groups, text: anyText, also: both},
		{id: "set-aside", heading: "Before the closer look at a note set aside", keys: &cautionMap, groups: cautionMap.groups},
		{id: "finds", heading: "Among the finds", keys: &findsMap, groups: findsMap.groups, text: anyText, also: both,
			writing: append([]*key.Binding{&findsMap.Take, &findsMap.Leave}, both...)},
		{id: "tally", heading: "On the tally", keys: &tallyMap, groups: tallyMap.groups, text: anyText, also: text,
			writing: append([]*key.Binding{&tallyMap.Take, &tallyMap.Leave}, text...)},
		{id: "report", heading: "In a report", keys: &reportMap, groups: reportMap.groups, text: anyText, also: append(text[:2:2], &outMap.Save)},
		{id: "keepers", heading: "Among the keepers", keys: &keepersMap, groups: keepersMap.groups, text: anyText, also: text},
		{id: "keepers-form", heading: "In what is said about keepers", keys: &keeperFormMap, groups: keeperFormMap.groups, text: anyText, also: text},
		{id: "errands", heading: "Among the errands", keys: &errandsMap, groups: errandsMap.groups, text: anyText, also: text,
			writing: append([]*key.Binding{&errandsMap.Open, &errandsMap.Leave}, text...)},
		{id: "stars", heading: "In the star batch", keys: &batchMap, groups: batchMap.groups},
		{id: "star-facts", heading: "In the facts of a star", keys: &starFormMap, groups: starFormMap.groups, text: anyText, also: text},
		{id: "star-run", heading: "In a run of stars", keys: &runFormMap, groups: runFormMap.groups, text: anyText, also: text},
		{id: "watch-list", heading: "On the watch list", keys: &watchMap, groups: watchMap.groups},
		{id: "definitions", heading: "Among the definitions", keys: &definitionsMap, groups: definitionsMap.groups},
		{id: "own", heading: "Among own patterns", keys: &ownMap, groups: ownMap.groups},
		{id: "own-entry", heading: "While an own pattern is entered", keys: &draftMap, groups: draftMap.groups, text: anyText, also: text},
		{id: "comfort", heading: "On the comfort page", keys: &comfortMap, groups: comfortMap.groups},
		{id: "help", heading: "On the help page", keys: &helpMap, groups: helpMap.groups},
		{id: "text", heading: "Wherever text is typed", keys: &textMap, groups: textMap.groups, text: anyText},
		{id: "file", heading: "Wherever a text goes to a file", keys: &outMap, groups: outMap.groups, text: anyText, also: text},
		{id: "everywhere", heading: "Everywhere", keys: &everywhere, groups: everywhere.groups, text: anyText,
			writing: except(&everywhere, &everywhere.Help)},
	}
}

func (k textKeys) groups() []keyGroup {
	return []keyGroup{{title: "Text", keys: []key.Binding{k.Erase, k.Clear}}}
}

func (k outKeys) groups() []keyGroup {
	return []keyGroup{{title: "A text for others", keys: []key.Binding{k.Save, k.Copy}}}
}

func (k appKeys) groups() []keyGroup { return []keyGroup{{title: "Everywhere", keys: k.list()}} }

// except gives the bindings of a map without some.
func except(keys any, without ...*key.Binding) []*key.Binding {
	var rest []*key.Binding
	for _, a := range actionsOf(keys) {
		if !in(a.binding, without) {
			rest = append(rest, a.binding)
		}
	}
	return rest
}

func in(b *key.Binding, list []*key.Binding) bool {
	for _, other := range list {
		if b == other {
			return true
		}
	}
	return false
}

// An action is one thing that can be done on a screen: a field of its key map.
type action struct {
	screen  string // the id of its map
	name    string // the field's, as one-by-one of OneByOne
	binding *key.Binding
}

func (a action) String() string { return a.screen + " " + a.name }

// typedIn reports whether it stands for characters that are typed, so that no other key can do it.
func (a action) typedIn() bool {
	names := namesOf(a.binding.Keys())
	return len(names) == 0 || len(names) > 1 && names[0] == "0"
}

// actionsOf gives the fields of a key map in their order, without the id of the map.
func actionsOf(keys any) []action {
	v := reflect.ValueOf(keys).Elem()
	var list []action
	for i := range v.NumField() {
		list = append(list, action{name: dashed(v.Type().Field(i).Name), binding: v.Field(i).Addr().Interface().(*key.Binding)})
	}
	return list
}

// actions are all of the program.
func actions() []action {
	var all []action
	for _, m := range keyMaps() {
		for _, a := range actionsOf(m.keys) {
			a.screen = m.id
			all = append(all, a)
		}
	}
	return all
}

// dashed writes OneByOne as one-by-one.
func dashed(field string) string {
	var b strings.Builder
	for i, r := range field {
		if i > 0 && unicode.IsUpper(r) {
			b.WriteByte('-')
		}
		b.WriteRune(unicode.ToLower(r))
	}
	return b.String()
}
