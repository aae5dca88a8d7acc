package ui

import (
	"slices"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
)

// Every colour of the program stands here: one accent for what is looked for and where one is, one for doubt, and
// grey for what is read second. None is needed to understand a screen: whatever a colour says is also said by a sign
// or a word. Each has a contrast of at least 4.5:1 on white and on black (WCAG 2.1, 1.4.3), because the program does
// not know the background; on terminals of 16 colours, whose colours are the owner's, and where no colour is wanted,
// only bold and reverse are used.
var (
	accent = lipgloss.CompleteColor{TrueColor: "#00875f", ANSI256: "29"}  // a green
	doubt  = lipgloss.CompleteColor{TrueColor: "#af5f5f", ANSI256: "131"} // a red
	faint  = lipgloss.CompleteColor{TrueColor: "#767676", ANSI256: "243"} // a grey
)

// look holds the styles. plain is the terminal's own text.
var look = struct {
	plain, strong, quiet, hit, near, bar, cursor lipgloss.Style
}{
	plain:  lipgloss.NewStyle(),
	strong: lipgloss.NewStyle().Bold(true),
	quiet:  lipgloss.NewStyle().Foreground(faint),
	hit:    lipgloss.NewStyle().Foreground(accent).Bold(true),
	near:   lipgloss.NewStyle().Foreground(doubt).Bold(true),
	bar:    lipgloss.NewStyle().Foreground(accent),
	cursor: lipgloss.NewStyle().Reverse(true),
}

// The signs that tell states apart without colour. Each is one cell wide.
const (
	signHit     = "◆"
	signNear    = "≈"
	signDoubt   = "!"
	signMet     = "↺"
	signChoice  = "›"
	signBeside  = "+"
	signHint    = "▹"
	signRule    = "»"
	cellSpent   = "·"
	cellGlance  = "○"
	cellKept    = "◆"
	cellNear    = "≈"
	cellAside   = "!"
	cellApart   = "$"
	cellGone    = "x"
	cellInHand  = "▪"
	cellLooking = "▣"
)

// cut shortens a line to w cells, with an ellipsis where something is missing.
func cut(s string, w int) string {
	if w <= 0 {
		return ""
	}
	return ansi.Truncate(s, w, "…")
}

// pad makes a line exactly w cells wide.
func pad(s string, w int) string {
	s = cut(s, w)
	return s + strings.Repeat(" ", max(w-ansi.StringWidth(s), 0))
}

// wrap breaks text into lines of at most w cells.
func wrap(s string, w int) []string {
	if w <= 0 {
		return nil
	}
	return closed(strings.Split(ansi.Wrap(s, w, ""), "\n"))
}

// closed ends a style that goes over several lines at the end of each and takes it up again in the next. Lines are
// set beside others and are drawn one by one, so that none may depend on the line before.
func closed(lines []string) []string {
	open := ""
	for i, line := range lines {
		lines[i] = open + line
		if open = styleAfter(open, line); open != "" {
			lines[i] += "\x1b[0m"
		}
	}
	return lines
}

// styleAfter is what is still set at the end of a line that began with some style.
func styleAfter(open, line string) string {
	for {
		_, rest, found := strings.Cut(line, "\x1b[")
		if !found {
			return open
		}
		var set string
		set, line, _ = strings.Cut(rest, "m")
		if set == "0" || set == "" {
			open = ""
		} else {
			open += "\x1b[" + set + "m"
		}
	}
}

// inRows sets words of a choice beside each other, as many as fit into w cells, and breaks no line within one.
func inRows(words []string, w int) []string {
	var lines []string
	for _, word := range words {
		last := len(lines) - 1
		if last >= 0 && ansi.StringWidth(lines[last])+2+ansi.StringWidth(word) <= w {
			lines[last] += "  " + word
		} else {
			lines = append(lines, word)
		}
	}
	return lines
}

// spread puts left and right at the two ends of a line.
func spread(left, right string, w int) string {
	gap := w - ansi.StringWidth(left) - ansi.StringWidth(right)
	if gap < 2 {
		return pad(left, w)
	}
	return left + strings.Repeat(" ", gap) + right
}

// beside puts two columns of lines next to each other, the left one w cells wide.
func beside(left, right []string, w int) []string {
	var lines []string
	for i := range max(len(left), len(right)) {
		l, r := "", ""
		if i < len(left) {
			l = left[i]
		}
		if i < len(right) {
			r = right[i]
		}
		lines = append(lines, pad(l, w)+r)
	}
	return lines
}

// firstShown is the first of n lines in a window of room lines around the one under the cursor.
func firstShown(cursor, room, n int) int { return min(max(cursor-room/2, 0), max(n-room, 0)) }

// settled keeps the first line shown of n lines in a window of h: as many keys lead back from the end as led there.
func settled(top, n, h int) int { return max(min(top, n-max(h, 1)), 0) }

// scrolled gives the lines from top on that fit into h, and says where there are more. A top beyond the end shows
// the end.
func scrolled(lines []string, top, h int, more string) []string {
	h = max(h, 1)
	lines = lines[settled(top, len(lines), h):]
	if len(lines) <= h || h < 2 {
		return lines
	}
	return append(slices.Clone(lines[:h-1]), look.quiet.Render(more))
}

// shorten says in the last line how many lines are left out for want of room.
func shorten(lines []string, h int) []string {
	if len(lines) <= h || h < 1 {
		return lines
	}
	more := look.quiet.Render("  … " + number(len(lines)-h+1) + " more in a larger window")
	return append(slices.Clone(lines[:h-1]), more)
}

// fit gives exactly h lines of at most w cells.
func fit(lines []string, w, h int) []string {
	out := make([]string, h)
	for i := range out {
		if i < len(lines) {
			out[i] = cut(lines[i], w)
		}
	}
	return out
}
