package ui

import (
	"slices"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/triage"
)

// A meaning is what a key is in the terms of triage.
type meaning struct {
	binding key.Binding
	key     triage.Key
}

// means finds what a key means on a screen that takes serials: the first of its meanings, or a
// character.
func means(k keyMsg, lists ...[]meaning) (triage.Key, bool) {
	for _, m := range slices.Concat(lists...) {
		if key.Matches(k, m.binding) {
			return m.key, true
		}
	}
	if k.Type == tea.KeyRunes && len(k.Runes) == 1 && !k.Alt {
		return triage.Key{Kind: triage.KeyRune, Rune: k.Runes[0]}, true
	}
	return triage.Key{}, false
}

// decides reports whether a key does more than type a character, so that it must not come in a burst: of the keys as they
// come that are characters all but the serial's decide, and any may be set to be one.
func decides(k triage.Key) bool { return k.Kind != triage.KeyRune }
