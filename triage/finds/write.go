package finds

import (
	"strings"

	"app/unband/triage"
)

// nothing is what a page without finds says.
const nothing = "Nothing to show this time. Most straps hold nothing: that is what makes the others worth it."

// Text writes the page as plain text, safe on any terminal.
func Text(p Page) string {
	var b strings.Builder
	title := triage.Printable(p.Title)
	b.WriteString(title + "\n" + strings.Repeat("=", len([]rune(title))) + "\n" + triage.Printable(p.Totals) + "\n")
	if p.Empty() {
		b.WriteString("\n" + nothing + "\n")
	}
	for _, s := range p.Sections {
		b.WriteString("\n" + s.Title + "\n" + strings.Repeat("-", len([]rune(s.Title))) + "\n")
		for _, i := range s.Items {
			b.WriteString(i.Serial + "  " + triage.Printable(i.Words) + "\n")
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
		b.WriteString("\n" + nothing + "\n")
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
// section 2.4; the dollar for readers that know formulas), at the beginning also what would make a list or a
// line; control characters are written out.
func Escape(text string) string {
	text = triage.Printable(text)
	var b strings.Builder
	digits := 0 // how many the line begins with
	for i, r := range []rune(text) {
		start := i == digits
		switch {
		case strings.ContainsRune("\\`*_[]<>#|~&!$", r), i == 0 && strings.ContainsRune("-+=", r), start && i > 0 && (r == '.' || r == ')'):
			b.WriteByte('\\')
		case start && '0' <= r && r <= '9':
			digits++
		}
		b.WriteRune(r)
	}
	return b.String()
}
