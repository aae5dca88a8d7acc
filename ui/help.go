package ui

import (
	"strings"

	"github.com/charmbracelet/bubbles/key"
)

// helpKeys are the keys of the help page.
type helpKeys struct{ Close, Up, Down key.Binding }

var helpMap = helpKeys{
	Close: bind("?", "back to the screen", "?", "f1", "esc", "enter", "ctrl+j", "q"),
	Up:    bind("↑", "up", "up", "pgup"),
	Down:  bind("↓", "more", "down", "pgdown", " "),
}

// helpStep is by how many lines the help page moves.
const helpStep = 5

func (a *App) helpKey(k keyMsg) {
	switch {
	case key.Matches(k, helpMap.Close):
		a.help = false
		a.pass(shownMsg{})
	case key.Matches(k, helpMap.Up):
		a.top = max(a.top-helpStep, 0)
	case key.Matches(k, helpMap.Down):
		a.top = min(a.top+helpStep, max(len(a.helpLines(min(a.width, widest)))-(a.height-4), 0))
	}
}

// helpPage is the part of the help that fits.
func (a *App) helpPage(w, h int) []string {
	lines := a.helpLines(w)
	if len(lines) <= h {
		return lines
	}
	top := min(a.top, len(lines)-h)
	lines = lines[top:]
	if len(lines) > h {
		lines[h-1] = look.quiet.Render("  … " + name(helpMap.Down) + " for more")
	}
	return lines
}

// helpLines lists every key of the screen, from the key map.
func (a *App) helpLines(w int) []string {
	groups := append(a.screen.groups(), keyGroup{title: "Everywhere", keys: a.everywhere()})
	var lines []string
	for i, g := range groups {
		if i > 0 {
			lines = append(lines, "")
		}
		lines = append(lines, look.strong.Render(g.title))
		for _, b := range g.keys {
			for j, part := range wrap(b.Help().Desc, w-13) {
				head := strings.Repeat(" ", 13)
				if j == 0 {
					head = "  " + look.hit.Render(pad(name(b), 11))
				}
				lines = append(lines, head+part)
			}
		}
		for _, text := range g.lines {
			lines = append(lines, cut("  "+text, w))
		}
	}
	return lines
}

// everywhere are the keys of every screen; where ? is text, help has another key.
func (a *App) everywhere() []key.Binding {
	keys := everywhere.list()
	if a.screen.typing() {
		keys[0] = everywhere.HelpText
	}
	return keys
}
