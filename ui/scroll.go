package ui

import "github.com/charmbracelet/bubbles/key"

// A scroll is a text that may be longer than its room, and the first line of it that is shown. Keys move it freely; the
// screen settles it after every message, see scrolling: a key pressed too often at the end needs no other as often to take
// it back.
type scroll struct {
	top  int
	room int // lines there were for it when it was settled
}

// by moves it so many lines down, or up where n is negative.
func (s *scroll) by(n int) { s.top = max(s.top+n, 0) }

// moves moves it by a key, and reports whether it was one of those that do.
func (s *scroll) moves(k keyMsg, down, up, pageDown, pageUp key.Binding) bool {
	switch {
	case key.Matches(k, down):
		s.by(1)
	case key.Matches(k, up):
		s.by(-1)
	case key.Matches(k, pageDown):
		s.by(s.page())
	case key.Matches(k, pageUp):
		s.by(-s.page())
	default:
		return false
	}
	return true
}

// page is by how many lines it is moved at once: the last line in sight says that there are more, so the page after it
// begins with what stood there.
func (s scroll) page() int { return max(s.room-1, 1) }

// settle keeps it within so many lines in a room.
func (s *scroll) settle(lines, room int) { s.top, s.room = settled(s.top, lines, room), room }

// shown gives the lines that are in sight, and says with a key where there are more.
func (s scroll) shown(lines []string, room int, key string) []string {
	if room < 1 {
		return nil
	}
	return scrolled(lines, s.top, room, "  … "+key+" for more")
}
