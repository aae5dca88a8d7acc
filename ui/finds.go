package ui

import (
	"fmt"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/triage"
	"app/unband/triage/finds"
	"app/unband/triage/stars"
)

// findsPage is the page of a session's finds to show: on the screen, as plain text or Markdown, with as many
// digits hidden as one likes.
type findsPage struct {
	env      *env
	back     func(at time.Time) screen
	session  triage.Session
	make     func(hidden int) finds.Page
	page     finds.Page
	hidden   int
	markdown bool
	naming   bool // the name of the file is being typed
	out      handOver
	top      scroll
}

// openFinds makes the page of a session.
func openFinds(e *env, s triage.Session, back func(time.Time) screen, at time.Time) (screen, tea.Cmd) {
	v := &findsPage{env: e, back: back, session: s, out: handOver{env: e, file: fmt.Sprintf("unband-finds-%d.txt", s.ID)}}
	straps, err := e.store.Straps(s.ID)
	if err != nil {
		e.fail(err, at)
		return back(at), nil
	}
	var notes []triage.Note
	for _, t := range straps {
		some, err := e.store.Notes(s.ID, t.Number)
		if err != nil {
			e.fail(err, at)
			return back(at), nil
		}
		notes = append(notes, some...)
	}
	book, err := e.books.of(s.Settings)
	if err != nil {
		e.fail(err, at)
		return back(at), nil
	}
	star, err := starTeller(e)
	if err != nil {
		e.fail(err, at)
		return back(at), nil
	}
	v.make = func(hidden int) finds.Page {
		return finds.Make(s, notes, book, finds.Options{HideDigits: hidden, Star: star})
	}
	v.page = v.make(0)
	return v, nil
}

// starTeller says of a star what the lists of runs say.
func starTeller(e *env) (func(triage.Note) string, error) {
	all, runs, err := starsAndRuns(e.store)
	if err != nil {
		return nil, err
	}
	c, err := e.choices()
	if err != nil {
		return nil, err
	}
	said := map[triage.Place]string{}
	for _, f := range stars.ResolveAll(all, runs) {
		if !unanswered(f) {
			said[f.Star.Place] = strings.Join(f.Sentences(c.ShortUpTo()), " ")
		}
	}
	return func(n triage.Note) string { return said[n.Place()] }, nil
}

// text is the page as it is handed over.
func (v *findsPage) text() string {
	if v.markdown {
		return finds.Markdown(v.page)
	}
	return finds.Text(v.page)
}

func (v *findsPage) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	k, ok := msg.(keyMsg)
	if !ok {
		return v, nil
	}
	if !key.Matches(k, outMap.Save) {
		v.out.other()
	}
	switch {
	case key.Matches(k, outMap.Save):
		v.out.save(v.text(), at)
	case key.Matches(k, outMap.Copy):
		v.out.copy(v.text(), at)
	case v.naming && key.Matches(k, findsMap.Leave, findsMap.Take):
		v.naming = false
	case v.naming:
		v.out.edit(k)
	case key.Matches(k, findsMap.Leave):
		return v.back(at), nil
	case v.top.moves(k, findsMap.Down, findsMap.Up, findsMap.PageDown, findsMap.PageUp):
	case key.Matches(k, findsMap.Hide):
		v.hidden = (v.hidden + 1) % 9
		v.page = v.make(v.hidden)
	case key.Matches(k, findsMap.Form):
		v.markdown = !v.markdown
		v.out.file = strings.TrimSuffix(strings.TrimSuffix(v.out.file, ".txt"), ".md") + map[bool]string{true: ".md", false: ".txt"}[v.markdown]
	case key.Matches(k, findsMap.Name):
		v.naming = true
	}
	return v, nil
}

// settle keeps the finds within the window.
func (v *findsPage) settle(w, h int, at time.Time) {
	head, body := v.laidOut(w)
	v.top.settle(len(body), h-len(head))
}

func (v *findsPage) view(w, h int, at time.Time) []string {
	head, body := v.laidOut(w)
	return append(head, v.top.shown(body, h-len(head), name(findsMap.Down))...)
}

// laidOut gives what stands above the page, and the page.
func (v *findsPage) laidOut(w int) (head, body []string) {
	hidden := "all digits shown"
	switch {
	case v.hidden == 1:
		hidden = "the last digit hidden, all where a pattern is told"
	case v.hidden > 1:
		hidden = fmt.Sprintf("the last %d digits hidden, all where a pattern is told", v.hidden)
	}
	file := printable(v.out.file)
	if v.naming {
		file = v.out.named(w - 11)
	}
	head = append(wrap(look.quiet.Render(v.page.Totals), w), look.quiet.Render(cut(hidden, w)), cut(look.quiet.Render("file ")+file, w), "")
	if !v.markdown {
		return head, v.styled(w)
	}
	for _, line := range strings.Split(strings.TrimRight(v.text(), "\n"), "\n") {
		body = append(body, wrap(line, w)...)
	}
	return head, body
}

// styled draws the page for the screen.
func (v *findsPage) styled(w int) []string {
	if v.page.Empty() {
		return hang(" ", finds.Nothing, w)
	}
	const indent = 15 // a sign and a serial
	var lines []string
	for _, s := range v.page.Sections {
		lines = append(lines, wrap(look.strong.Render(s.Title), w)...)
		for _, i := range s.Items {
			for j, part := range wrap(printable(i.Words), w-indent) {
				head := strings.Repeat(" ", indent)
				if j == 0 {
					head = look.hit.Render(signHit) + " " + pad(printable(i.Serial), indent-2)
				}
				lines = append(lines, head+part)
			}
			for _, also := range i.Also {
				for _, part := range wrap(printable(also), w-indent) {
					lines = append(lines, strings.Repeat(" ", indent)+look.quiet.Render(part))
				}
			}
		}
		lines = append(lines, "")
	}
	return lines
}

func (v *findsPage) title() (string, string) {
	form := "plain text"
	if v.markdown {
		form = "Markdown"
	}
	return "finds · " + printable(v.session.Name), form
}

func (v *findsPage) short() []key.Binding {
	if v.naming {
		return []key.Binding{short(findsMap.Take, "take the name"), short(outMap.Save, "write the file"), short(findsMap.Leave, "back")}
	}
	other := "Markdown"
	if v.markdown {
		other = "plain text"
	}
	return []key.Binding{short(findsMap.Leave, "back"), short(outMap.Save, "to a file"), short(findsMap.Hide, "hide digits"), short(findsMap.Form, other), short(outMap.Copy, "clipboard"), short(findsMap.Name, "file name")}
}
func (v *findsPage) groups() []keyGroup { return findsMap.groups() }
func (v *findsPage) ready() time.Time   { return time.Time{} }
func (v *findsPage) typing() bool       { return v.naming }

// findsKeys are the keys of the finds.
type findsKeys struct{ Down, Up, PageDown, PageUp, Hide, Form, Name, Take, Leave key.Binding }

var findsMap = findsKeys{
	Down:     bind("↓", "further down", "down"),
	Up:       bind("↑", "further up", "up"),
	PageDown: bind("PgDn", "a page down", "pgdown", " "),
	PageUp:   bind("PgUp", "a page up", "pgup"),
	Hide:     bind("H", "hide one more of the last digits; after eight none", "h", "H"),
	Form:     bind("M", "Markdown or plain text", "m", "M"),
	Name:     bind("N", "another name for the file", "n", "N"),
	Take:     bind("Enter", "take the name", "enter", "ctrl+j"),
	Leave:    bind("Esc", "back", "esc", "ctrl+d"),
}

func (k findsKeys) groups() []keyGroup {
	return []keyGroup{{title: "The finds", keys: []key.Binding{k.Down, k.Up, k.PageDown, k.PageUp, k.Hide, k.Form, k.Name, k.Take, textMap.Erase, textMap.Clear, outMap.Save, outMap.Copy, k.Leave},
		about: []string{
			"Half a radar is the whole of it: where a pattern is told, all digits are hidden. A file that is there is replaced only when the key comes twice.",
		}}}
}
