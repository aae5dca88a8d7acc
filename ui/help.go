package ui

import (
	"github.com/charmbracelet/bubbles/key"
)

// helpKeys are the keys of the help page.
type helpKeys struct{ Close, Up, Down key.Binding }

var helpMap = helpKeys{
	Close: bind("?", "back to the screen", "?", "f1", "esc", "enter", "ctrl+j", "q"),
	Up:    bind("↑", "up", "up"),
	Down:  bind("↓", "down", "down"),
}

func (a *App) helpKey(k keyMsg) {
	switch {
	case key.Matches(k, helpMap.Close):
		a.help = false
	case key.Matches(k, helpMap.Up):
		a.top = max(a.top-1, 0)
	case key.Matches(k, helpMap.Down):
		a.top = min(a.top+1, max(len(a.helpLines(min(a.width, widest)))-(a.height-4), 0))
	}
}

// helpPage is the part of the help that fits.
func (a *App) helpPage(w, h int) []string {
	lines := a.helpLines(w)
	if len(lines) <= h {
		return lines
	}
	return lines[min(a.top, len(lines)-h):]
}

// helpLines lists every key of the screen, from the key map.
func (a *App) helpLines(w int) []string {
	groups := append(a.screen.groups(), keyGroup{"Everywhere", everywhere.list()})
	var lines []string
	for i, g := range groups {
		if i > 0 {
			lines = append(lines, "")
		}
		lines = append(lines, look.strong.Render(g.title))
		for _, b := range g.keys {
			lines = append(lines, cut("  "+look.hit.Render(pad(name(b), 11))+b.Help().Desc, w))
		}
	}
	return lines
}
