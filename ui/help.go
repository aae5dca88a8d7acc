package ui

import (
	"strings"

	"github.com/charmbracelet/bubbles/key"
	"github.com/charmbracelet/x/ansi"
)

// helpKeys are the keys of the help page.
type helpKeys struct{ Close, Up, Down, PageUp, PageDown, Patterns key.Binding }

var helpMap = helpKeys{
	Close:    bind("?", "back to the screen, or from the patterns to its keys", "?", "f1", "esc", "enter", "ctrl+j", "q", "Q"),
	Up:       bind("↑", "a line up", "up"),
	Down:     bind("↓", "a line down", "down"),
	PageUp:   bind("PgUp", "the page before", "pgup"),
	PageDown: bind("PgDn", "more", "pgdown", " "),
	Patterns: bind("G", "what every pattern is, with an example, by the definitions in force here", "g", "G"),
}

func (k helpKeys) groups() []keyGroup {
	return []keyGroup{{title: "This page", keys: []key.Binding{k.Close, k.PageDown, k.PageUp, k.Down, k.Up, k.Patterns},
		about: []string{"unband help prints these texts; unband help keys has every key of every screen as a line of a file in which keys can be changed."}}}
}

func (k helpKeys) short(patterns bool) []key.Binding {
	if patterns {
		return []key.Binding{short(k.Close, "back to the keys"), k.PageDown}
	}
	return []key.Binding{short(k.Close, "back to the screen"), short(k.Patterns, "the patterns"), k.PageDown}
}

// A helpPage lies over a screen and tells its keys, or the patterns.
type helpPage struct {
	top      int      // first line shown
	patterns glossary // shown instead of the keys, where it is not empty
}

func (a *App) helpKey(k keyMsg) {
	h := a.help
	switch {
	case key.Matches(k, helpMap.Up):
		h.top = max(h.top-1, 0)
	case key.Matches(k, helpMap.PageUp):
		h.top = max(h.top-a.helpRoom(), 0)
	case key.Matches(k, helpMap.Down):
		h.top = min(h.top+1, a.helpEnd())
	case key.Matches(k, helpMap.PageDown):
		h.top = min(h.top+a.helpRoom(), a.helpEnd())
	case h.patterns == nil && key.Matches(k, helpMap.Patterns):
		a.showPatterns()
	case h.patterns != nil && key.Matches(k, helpMap.Close, helpMap.Patterns):
		a.help = &helpPage{}
	case key.Matches(k, helpMap.Close, everywhere.Help, everywhere.HelpText):
		a.help = nil
		a.pass(shownMsg{})
	}
}

// helpRoom is by how many lines a page of the help goes on: the last one in sight says that there are more.
func (a *App) helpRoom() int { return max(a.height-5, 1) }

// helpEnd is the first line shown when the last one is in sight.
func (a *App) helpEnd() int { return max(len(a.helpLines(min(a.width, widest)))-(a.height-4), 0) }

// helpView is the part of the help that fits.
func (a *App) helpView(w, h int) []string {
	lines := a.helpLines(w)
	if len(lines) <= h {
		return lines
	}
	top := min(a.help.top, len(lines)-h)
	lines = lines[top:]
	if len(lines) > h {
		lines[h-1] = look.quiet.Render("  … " + name(helpMap.PageDown) + " for more")
	}
	return lines
}

// helpLines lists every key of the screen, from the key map, and of the help page itself.
func (a *App) helpLines(w int) []string {
	if a.help.patterns != nil {
		return a.help.patterns.lines(w)
	}
	groups := append(a.screen.groups(), keyGroup{title: "Everywhere", keys: a.everywhere()})
	var lines []string
	for i, g := range append(groups, helpMap.groups()...) {
		if i > 0 {
			lines = append(lines, "")
		}
		lines = append(lines, g.lined(w)...)
	}
	return lines
}

// legendGap stands between the signs of a legend, each with its words.
const legendGap = "   "

// flow puts pieces beside each other, as many as fit into a line, and none is parted.
func flow(pieces []string, w int) (lines []string) {
	line := ""
	for _, p := range pieces {
		if line != "" && ansi.StringWidth(line+legendGap+p) > w-2 {
			lines, line = append(lines, "  "+line), ""
		}
		if line != "" {
			line += legendGap
		}
		line += p
	}
	return append(lines, cut("  "+line, w))
}

// lined draws a group.
func (g keyGroup) lined(w int) []string {
	lines := []string{look.strong.Render(g.title)}
	for _, b := range g.keys {
		for j, part := range wrap(everyName(b), w-13) {
			head := strings.Repeat(" ", 13)
			if j == 0 {
				head = "  " + look.hit.Render(pad(name(b), 11))
			}
			lines = append(lines, head+part)
		}
	}
	for _, text := range g.lines {
		lines = append(lines, flow(strings.Split(text, legendGap), w)...)
	}
	for _, text := range g.about {
		for i, part := range wrap(text, w-4) {
			lines = append(lines, map[bool]string{true: "  ", false: "    "}[i == 0]+part)
		}
	}
	return lines
}

// everywhere are the keys of every screen; where ? is text, help has another key.
func (a *App) everywhere() []key.Binding {
	keys := everywhere.list()
	if a.screen.typing() {
		return keys[1:]
	}
	return keys
}
