package ui

import (
	"strings"
	"testing"
)

// Beside a ladder only the number tells if a note is its neighbour: the screen does not tell to keep what it has not seen.
func TestANeighbourByItsNumberIsNotToldUnread(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("12345678 wait + wait")
	b.shows("your rule: keep, if its number is the next one", "beside note 1")
	b.play("12345679")
	b.shows("your rule: keep (", "beside note 1")
	b.play("clear 48160297")
	if view := b.app.View(); strings.Contains(view, "your rule") {
		t.Errorf("a note that is no neighbour is told to be one:\n%s", view)
	}
}
