package finds

import (
	"strings"

	"app/unband/triage"
)

// Nothing is what a page without finds says.
const Nothing = "Nothing to show this time. Most straps hold nothing: that is what makes the others worth it."

// Text writes the page as plain text, safe on any terminal.
func Text(p Page) string {
	var b strings.Builder
	title := triage.Printable(p.Title)
	b.WriteString(title + "\n" + strings.Repeat("=", len([]rune(title))) + "\n" + triage.Printable(p.Totals) + "\n")
	if p.Empty() {
		b.WriteString("\n" + Nothing + "\n")
	}
	for _, s := range p.Sections {
		b.WriteString("\n" + s.Title + "\n" + strings.Repeat("-", len([]rune(s.Title))) + "\n")
		for _, i := range s.Items {
			b.WriteString(triage.Printable(i.Serial) + "  " + triage.Printable(i.Words) + "\n")
			for _, also := range i.Also {
				b.WriteString("    " + triage.Printable(also) + "\n")
			}
		}
	}
	return b.String()
}

// Markdown writes the page as CommonMark. Everything from outside is escaped: no name or remark makes a
// heading, a link or HTML of itself.
func Markdown(p Page) string {
	var b strings.Builder
	b.WriteString("# " + Escape(p.Title) + "\n\n" + Escape(p.Totals) + "\n")
	if p.Empty() {
		b.WriteString("\n" + Nothing + "\n")
	}
	for _, s := range p.Sections {
		b.WriteString("\n## " + Escape(s.Title) + "\n\n")
		for _, i := range s.Items {
			b.WriteString("- **" + Escape(i.Serial) + "** " + Escape(i.Words) + "\n")
			for _, also := range i.Also {
				b.WriteString("  - " + Escape(also) + "\n")
			}
		}
	}
	return b.String()
}

// Escape makes one line of text plain CommonMark: what can mean something gets a backslash (CommonMark 0.31,
// section 2.4; dollar, caret, braces and the at sign for readers that know formulas, attributes or names), at
// the beginning also what would make a list or a line; so does what would make a bare address a link.
// Control characters are written out, blanks at both ends left out: four of them would make code.
func Escape(text string) string {
	runes := []rune(triage.Printable(strings.TrimSpace(text)))
	var b strings.Builder
	digits := 0 // how many the line begins with
	for i, r := range runes {
		start := i == digits
		switch {
		case strings.ContainsRune(special, r), i == 0 && strings.ContainsRune("-+=", r), start && i > 0 && (r == '.' || r == ')'), address(runes, i):
			b.WriteByte('\\')
		case start && '0' <= r && r <= '9':
			digits++
		}
		b.WriteRune(r)
	}
	return b.String()
}

// special are the characters that can mean something anywhere in a line.
const special = "\\`*_[]<>{}#|~^&!$@"

// address reports whether the rune makes a link of a bare address (GitHub Flavored Markdown, section 6.9): the
// colon before two slashes, the dot after www.
func address(line []rune, i int) bool {
	switch line[i] {
	case ':':
		return i+2 < len(line) && line[i+1] == '/' && line[i+2] == '/'
	case '.':
		return i >= 3 && strings.EqualFold(string(line[i-3:i]), "www")
	}
	return false
}
