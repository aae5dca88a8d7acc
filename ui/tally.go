package ui

import (
	"fmt"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/rates"
	"app/unband/triage/tally"
)

// tallyPage sets what was found beside what was to be expected: of one session, a range of days, or
// everything.
type tallyPage struct {
	env  *env
	back func(at time.Time) screen

	session  triage.Session // of the scope this session; its ID is 0 where none was come from
	sessions []triage.Session
	days     []tally.SessionDay

	whole bool // everything, not the session
	from  string
	to    string
	form  bool        // the days are being typed
	fresh [2]bool     // they are those typed before: typing replaces them
	paper *reportForm // a report being written, nil while none is
	field int

	by    tally.By
	page  tallyView
	top   int
	sets  []tally.Group
	found []foundLine
	left  int // notes of new straps, left out of found
}

// A tallyView is one page of the tally.
type tallyView uint8

const (
	ratesView tallyView = iota
	foundView
	paceView
	seriesView
	tallyViews
)

// A foundLine is one rule: how often it was found and how often it was to be.
type foundLine struct {
	name   string
	tested int
	found  int
	luck   rates.Luck
}

// openTally shows the tally of a session, or with none of everything.
func openTally(e *env, s triage.Session, back func(time.Time) screen, at time.Time) (screen, tea.Cmd) {
	v := &tallyPage{env: e, back: back, session: s, whole: s.ID == 0}
	if err := v.load(); err != nil {
		e.fail(err, at)
		return back(at), nil
	}
	return v, nil
}

func (v *tallyPage) load() (err error) {
	if v.sessions, err = v.env.store.Sessions(); err != nil {
		return err
	}
	if v.days, err = v.env.store.Tallies(0); err != nil {
		return err
	}
	return v.sum()
}

// scope is what is counted.
func (v *tallyPage) scope() tally.Scope {
	s := tally.Scope{}
	if !v.whole {
		s.Session = v.session.ID
	}
	if day, err := time.Parse(time.DateOnly, v.from); err == nil {
		s.From = tally.DayOf(day)
	}
	if day, err := time.Parse(time.DateOnly, v.to); err == nil {
		s.To = tally.DayOf(day)
	}
	return s
}

// sum counts anew after the scope or the grouping has changed.
func (v *tallyPage) sum() error {
	parts := tally.Parts(v.days, v.sessions, v.scope())
	v.sets = tally.Groups(parts, v.by)
	v.top = 0
	return v.expect(parts)
}

// expect sets every rule's count beside what chance makes of the notes that were tested for it.
func (v *tallyPage) expect(parts []tally.Part) error {
	lines := map[patterns.ID]*foundLine{}
	chances := map[patterns.ID][]rates.Part{}
	v.left = 0
	for _, p := range parts {
		if p.Session.NewNotes {
			v.left += p.Tally.Notes
			continue
		}
		book, err := v.env.books.of(p.Session.Settings)
		if err != nil {
			return err
		}
		top := p.Session.Denomination.Top()
		tested := tally.Tested(p.Session)
		for _, r := range book.Rules() {
			if !tested.Has(r.ID) {
				continue
			}
			if lines[r.ID] == nil {
				lines[r.ID] = &foundLine{name: r.Name}
			}
			lines[r.ID].tested += p.Tally.Read()
			lines[r.ID].found += p.Tally.Found[r.ID]
			chances[r.ID] = append(chances[r.ID], rates.Part{N: p.Tally.Read(), P: float64(book.Count(r.ID, top)) / float64(top)})
		}
	}
	rarest, err := v.env.rarest()
	if err != nil {
		return err
	}
	v.found = nil
	add := func(id patterns.ID) {
		if l := lines[id]; l != nil {
			l.luck = rates.LuckOf(chances[id])
			v.found = append(v.found, *l)
			delete(lines, id)
		}
	}
	for id := patterns.FirstTemplate; id <= patterns.LastTemplate && id != 0; id++ {
		add(id)
	}
	add(patterns.OwnNumbers)
	for _, id := range rarest {
		add(id)
	}
	return nil
}

func (v *tallyPage) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	k, ok := msg.(keyMsg)
	switch {
	case !ok:
	case v.form:
		v.formKey(k, at)
	case v.paper != nil:
		if v.paper.key(k, v.env, v.scope().Session, at) {
			v.paper = nil
		}
	default:
		return v.key(k, at)
	}
	return v, nil
}

func (v *tallyPage) key(k keyMsg, at time.Time) (screen, tea.Cmd) {
	switch {
	case key.Matches(k, tallyMap.Leave):
		return v.back(at), nil
	case key.Matches(k, tallyMap.Next):
		v.page, v.top = (v.page+1)%tallyViews, 0
	case key.Matches(k, tallyMap.Before):
		v.page, v.top = (v.page+tallyViews-1)%tallyViews, 0
	case key.Matches(k, tallyMap.Down):
		v.top++
	case key.Matches(k, tallyMap.Up):
		v.top = max(v.top-1, 0)
	case key.Matches(k, tallyMap.By):
		v.by = v.by.Next()
		v.again(at)
	case key.Matches(k, tallyMap.Scope) && v.session.ID == 0:
		v.env.hint("it is everything already: from a session's page it can be that session", at)
	case key.Matches(k, tallyMap.Scope):
		v.whole = !v.whole
		v.again(at)
	case key.Matches(k, tallyMap.Report):
		v.paper = newReportForm(v.env, v.scope().Session)
	case key.Matches(k, tallyMap.Days):
		v.form, v.field, v.fresh = true, 0, [2]bool{v.from != "", v.to != ""}
	}
	return v, nil
}

func (v *tallyPage) again(at time.Time) {
	if err := v.sum(); err != nil {
		v.env.fail(err, at)
	}
}

// formKey takes a key while the days are typed.
func (v *tallyPage) formKey(k keyMsg, at time.Time) {
	text := &v.from
	if v.field == 1 {
		text = &v.to
	}
	switch {
	case key.Matches(k, tallyMap.Leave):
		v.from, v.to, v.form = "", "", false
		v.again(at)
	case key.Matches(k, tallyMap.Take):
		if _, err := time.Parse(time.DateOnly, *text); err != nil && *text != "" {
			v.env.hint("a day is written as "+at.Format(time.DateOnly)+", or left empty", at)
			return
		}
		if v.field++; v.field > 1 {
			v.form = false
			v.again(at)
		}
	default:
		textLine{longest: 10, allowed: "0123456789-"}.over(text, &v.fresh[v.field], k)
	}
}

func (v *tallyPage) title() (string, string) {
	what := "everything"
	if !v.whole {
		what = printable(v.session.Name)
	}
	if v.from != "" || v.to != "" {
		what += fmt.Sprintf(", %s to %s", orWord(v.from, "the first day"), orWord(v.to, "now"))
	}
	return "tally · " + what, v.by.String()
}

func orWord(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

func (v *tallyPage) short() []key.Binding {
	if v.paper != nil {
		return reportMap.short()
	}
	if v.form {
		return []key.Binding{short(tallyMap.Take, "next"), short(tallyMap.Leave, "all days")}
	}
	return []key.Binding{short(tallyMap.Next, "next page"), short(tallyMap.By, "tell apart"), short(tallyMap.Scope, "session or all"), short(tallyMap.Days, "days"), short(tallyMap.Report, "report"), short(tallyMap.Leave, "back")}
}
func (v *tallyPage) groups() []keyGroup {
	if v.paper != nil {
		return reportMap.groups()
	}
	return tallyMap.groups()
}
func (v *tallyPage) ready() time.Time { return time.Time{} }
func (v *tallyPage) typing() bool     { return v.form || v.paper != nil }

// tallyKeys are the keys of the tally.
type tallyKeys struct{ Next, Before, Down, Up, By, Scope, Days, Report, Take, Leave key.Binding }

var tallyMap = tallyKeys{
	Next:   bind("→", "next page: rates, found and expected, pace, series", "right", "tab"),
	Before: bind("←", "page before", "left", "shift+tab"),
	Down:   bind("↓", "further down", "down", "pgdown"),
	Up:     bind("↑", "further up", "up", "pgup"),
	By:     bind("G", "tell apart: by source, denomination, used and new", "g", "G"),
	Scope:  bind("A", "all sessions, or the one come from", "a", "A"),
	Days:   bind("D", "only some days", "d", "D"),
	Report: bind("R", "write a report of the session, or of everything, to a file", "r", "R"),
	Take:   bind("Enter", "take the day typed", "enter", "ctrl+j"),
	Leave:  bind("Esc", "back; while days are typed: all days", "esc"),
}

func (k tallyKeys) groups() []keyGroup {
	return []keyGroup{{title: "The tally", keys: []key.Binding{k.Next, k.Before, k.Down, k.Up, k.By, k.Scope, k.Days, k.Report, k.Take, textMap.Erase, textMap.Clear, k.Leave},
		about: []string{
			"Each rate has the range that luck alone leaves it. Two that are not told apart may be the same.",
		}}}
}
