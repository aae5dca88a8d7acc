package ui

import (
	"strings"

	"app/unband/patterns"
)

// A glossary is every pattern of a book: what it is called, an example, and what it means by the definitions in force.
// It begins with whose definitions they are.
type glossary []glossaryEntry

type glossaryEntry struct{ name, text string }

// glossaryOf tells the rules of a book, the rarest first; those of a person's own are among them.
func glossaryOf(b *patterns.Book, whose string) glossary {
	g := glossary{{"The patterns", whose}}
	for _, r := range b.Rules() {
		text := "as in " + r.Example.String() + ": " + r.Definition + "; " + count(r.Total, "serial", "serials")
		g = append(g, glossaryEntry{printable(r.Name), printable(text)})
	}
	return g
}

// lines draws it w cells wide.
func (g glossary) lines(w int) []string {
	var lines []string
	for i, e := range g {
		if i > 0 {
			lines = append(lines, "")
		}
		lines = append(lines, cut(look.strong.Render(e.name), w))
		for _, part := range wrap(e.text, w-2) {
			lines = append(lines, "  "+strings.TrimLeft(part, " "))
		}
	}
	return lines
}

// Whose definitions a glossary has.
const (
	whoseSession = "By the definitions that the notes of this session are judged by, the rarest first. A session keeps those it was begun under."
	whoseNext    = "By the definitions in force for the next session, the rarest first. The watch list has those that people dispute, and patterns of your own."
	whoseDefault = "By the definitions of a new user, the rarest first. The watch list of the program has those that people dispute, and patterns of your own."
)

// A defining screen judges by definitions of its own: those of a session, or those just being chosen.
type defining interface{ definitions() patterns.Settings }

// showPatterns turns from the keys to the patterns.
func (a *App) showPatterns() {
	settings, whose := patterns.DefaultSettings(), whoseNext
	switch v := a.screen.(type) {
	case *watch:
		settings = v.definitions()
		if v.locked != "" {
			whose = whoseSession
		}
	case defining:
		settings, whose = v.definitions(), whoseSession
	default:
		if c, err := a.env.choices(); err == nil {
			settings = c.Settings
		} else {
			whose = whoseDefault
		}
	}
	b, err := a.env.books.of(settings)
	if err != nil {
		a.env.fail(err, a.at)
		return
	}
	a.help = &helpPage{patterns: glossaryOf(b, whose)}
}

func (w *watch) definitions() patterns.Settings      { return w.choices.Settings }
func (v *strap) definitions() patterns.Settings      { return v.book.Settings() }
func (v *again) definitions() patterns.Settings      { return v.book.Settings() }
func (v *second) definitions() patterns.Settings     { return v.book.Settings() }
func (p *pile) definitions() patterns.Settings       { return p.session.Settings }
func (v *sequence) definitions() patterns.Settings   { return v.session.Settings }
func (v *takeIn) definitions() patterns.Settings     { return v.session.Settings }
func (v *findsPage) definitions() patterns.Settings  { return v.session.Settings }
func (v *backPage) definitions() patterns.Settings   { return v.session.Settings }
func (v *noteScreen) definitions() patterns.Settings { return v.session.Settings }
