package ui

import (
	"strings"
	"testing"
)

// The page of the finds is read to its end by lines and by pages, and a key pressed too often there needs no other as
// often to take it back, whatever form the page has.
func TestTheFindsAreReadToTheirEnd(t *testing.T) {
	b := newTable(t)
	market(b)
	b.play("enter wait f")
	for _, size := range [][2]int{{MinWidth, MinHeight}, {80, 24}} {
		b.size(size[0], size[1])
		for range 2 {
			first := b.app.View()
			b.shows("↓ for more")
			b.play("pgdn pgdn pgdn pgdn pgdn pgdn pgdn pgdn pgdn pgdn")
			end := b.app.View()
			if strings.Contains(end, "for more") {
				t.Errorf("after ten PgDn there is more:\n%s", end)
			}
			b.play("up")
			if b.app.View() == end {
				t.Errorf("after PgDn too often ↑ does nothing:\n%s", end)
			}
			for range 30 {
				b.play("down")
			}
			if b.app.View() != end {
				t.Errorf("↓ ends at\n%s\nwant\n%s", b.app.View(), end)
			}
			b.play("pgup pgup pgup pgup pgup pgup pgup pgup pgup pgup")
			if b.app.View() != first {
				t.Errorf("PgUp ends at\n%s\nwant\n%s", b.app.View(), first)
			}
			b.play("m")
		}
	}
}

// No line of the finds is passed over from one page to the next.
func TestPagesOfFindsLeaveNothingOut(t *testing.T) {
	b := newTable(t)
	market(b)
	b.play("enter wait f")
	v := b.app.screen.(*findsPage)
	b.size(MinWidth, MinHeight)
	_, body := v.laidOut(MinWidth)
	seen := map[string]bool{}
	for range len(body) {
		for line := range strings.Lines(b.app.View()) {
			seen[strings.TrimRight(line, " \n")] = true
		}
		b.play("pgdn")
	}
	for _, line := range body {
		if !seen[strings.TrimRight(line, " ")] {
			t.Errorf("%q was in sight on no page", line)
		}
	}
}
