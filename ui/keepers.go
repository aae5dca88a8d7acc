package ui

import (
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/patterns"
	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/keepers"
)

// keeperList is the screen of everything that was kept. What is typed filters it at once, so that no
// letter is a command here.
type keeperList struct {
	env  *env
	back func(at time.Time) screen

	all    []*keepers.Keeper // in the order chosen
	shown  []*keepers.Keeper // those that the filter lets through
	query  string
	order  keepers.Order
	row    int
	marked map[triage.Place]bool

	form *keeperForm // where they lie or what became of them, nil while it is not asked
	sum  keepers.Sum // of all
}

// openKeepers shows every keeper, with what the filter begins with.
func openKeepers(e *env, back func(time.Time) screen, at time.Time) (screen, tea.Cmd) {
	v := &keeperList{env: e, back: back, marked: map[triage.Place]bool{}}
	if err := v.load(); err != nil {
		e.fail(err, at)
		return back(at), nil
	}
	return v, nil
}

// load reads the keepers anew and stays on the same one.
func (v *keeperList) load() error {
	here, there := v.selected()
	notes, err := v.env.store.Kept()
	if err != nil {
		return err
	}
	sessions, err := v.env.store.Sessions()
	if err != nil {
		return err
	}
	rarest, err := v.env.rarest()
	if err != nil {
		return err
	}
	v.all = keepers.List(notes, sessions, rarest)
	v.sum = keepers.Add(v.all)
	keepers.Sort(v.all, v.order)
	v.filter()
	if there {
		v.to(here.Note.Place())
	}
	return nil
}

// rarest are the built-in rules, the one with the fewest serials first.
func (e *env) rarest() ([]patterns.ID, error) {
	if e.ranks == nil {
		book, err := patterns.NewBook(patterns.DefaultSettings())
		if err != nil {
			return nil, err
		}
		for _, r := range book.Rules() {
			e.ranks = append(e.ranks, r.ID)
		}
	}
	return e.ranks, nil
}

// filter shows what the query lets through. Marks stay on those that are not shown.
func (v *keeperList) filter() {
	v.shown = keepers.Filter(v.all, v.query)
	v.row = max(min(v.row, len(v.shown)-1), 0)
}

// to puts the cursor on a note, if it is shown.
func (v *keeperList) to(p triage.Place) {
	for i, k := range v.shown {
		if k.Note.Place() == p {
			v.row = i
			return
		}
	}
}

func (v *keeperList) selected() (k *keepers.Keeper, ok bool) {
	if v.row >= len(v.shown) {
		return nil, false
	}
	return v.shown[v.row], true
}

// chosen are the marked keepers that are shown, or the one under the cursor where none is: what is not in sight
// is not changed.
func (v *keeperList) chosen() []*keepers.Keeper {
	var all []*keepers.Keeper
	for _, k := range v.shown {
		if v.marked[k.Note.Place()] {
			all = append(all, k)
		}
	}
	if k, ok := v.selected(); ok && len(all) == 0 {
		all = append(all, k)
	}
	return all
}

func (v *keeperList) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	switch m := msg.(type) {
	case stored:
		v.stored(m, at)
	case keyMsg:
		switch {
		case v.env.busy(at): // nothing is touched while what was said is on its way
		case v.form != nil:
			v.formKey(m, at)
		default:
			return v.key(m, at)
		}
	}
	return v, nil
}

func (v *keeperList) stored(m stored, at time.Time) {
	w, ok := m.write.(store.Revise)
	if m.bad() || !ok {
		return
	}
	v.env.say("noted for "+count(len(w.Notes), "note", "notes"), at)
	if v.form != nil { // it was about the marked ones
		v.form, v.marked = nil, map[triage.Place]bool{}
	}
	if err := v.load(); err != nil {
		v.env.fail(err, at)
	}
}

func (v *keeperList) key(k keyMsg, at time.Time) (screen, tea.Cmd) {
	last := max(len(v.shown)-1, 0)
	move := func(to int) { v.row = min(max(to, 0), last) }
	switch {
	case key.Matches(k, keepersMap.Leave) && v.query == "":
		return v.back(at), nil
	case key.Matches(k, keepersMap.Leave, textMap.Clear):
		v.query = ""
		here, ok := v.selected()
		v.filter()
		if ok {
			v.to(here.Note.Place())
		}
	case key.Matches(k, keepersMap.Up):
		move(v.row - 1)
	case key.Matches(k, keepersMap.Down):
		move(v.row + 1)
	case key.Matches(k, keepersMap.PageUp):
		move(v.row - 10)
	case key.Matches(k, keepersMap.PageDown):
		move(v.row + 10)
	case key.Matches(k, keepersMap.First):
		move(0)
	case key.Matches(k, keepersMap.Last):
		move(last)
	case key.Matches(k, keepersMap.Order):
		v.order = v.order.Next()
		here, ok := v.selected()
		keepers.Sort(v.all, v.order)
		v.filter()
		if ok {
			v.to(here.Note.Place())
		}
	case key.Matches(k, keepersMap.Open) && len(v.shown) > 0:
		return openNote(v.env, v.shown[v.row].Session, v.shown[v.row].Note, "", v.comeBack, at)
	default:
		v.act(k, at)
	}
	return v, nil
}

// act takes the keys that are about keepers, and what is typed into the filter.
func (v *keeperList) act(k keyMsg, at time.Time) {
	here, ok := v.selected()
	switch {
	case key.Matches(k, keepersMap.Mark, keepersMap.MarkAll, keepersMap.Where, keepersMap.Fate, keepersMap.Open) && !ok:
		v.env.hint("there is no keeper here", at)
	case key.Matches(k, keepersMap.Mark):
		v.mark(here.Note.Place(), !v.marked[here.Note.Place()])
		v.row = min(v.row+1, len(v.shown)-1)
	case key.Matches(k, keepersMap.MarkAll):
		v.markAll()
	case key.Matches(k, keepersMap.Where):
		v.form = newWhereForm(v.chosen())
	case key.Matches(k, keepersMap.Fate):
		v.form = newFateForm(v.chosen(), at)
	default:
		if (textLine{longest: longestText}).edit(&v.query, k) {
			v.row = 0
			v.filter()
		}
	}
}

func (v *keeperList) mark(p triage.Place, on bool) {
	if on {
		v.marked[p] = true
	} else {
		delete(v.marked, p)
	}
}

// markAll marks all that are shown, or takes the marks away where all have one.
func (v *keeperList) markAll() {
	all := true
	for _, k := range v.shown {
		all = all && v.marked[k.Note.Place()]
	}
	for _, k := range v.shown {
		v.mark(k.Note.Place(), !all)
	}
}

// comeBack shows the keepers again as they were, read anew.
func (v *keeperList) comeBack(at time.Time) screen {
	if err := v.load(); err != nil {
		v.env.fail(err, at)
	}
	return v
}

func (v *keeperList) title() (string, string) {
	return "keepers", v.order.String()
}

func (v *keeperList) short() []key.Binding {
	if v.form != nil {
		return keeperFormMap.short()
	}
	return keepersMap.short()
}

func (v *keeperList) groups() []keyGroup {
	if v.form != nil {
		return keeperFormMap.groups()
	}
	return keepersMap.groups()
}

func (v *keeperList) ready() time.Time { return time.Time{} }
func (v *keeperList) typing() bool     { return true }

// keepersKeys are the keys of the keepers.
type keepersKeys struct {
	Filter, Up, Down, PageUp, PageDown, First, Last key.Binding
	Open, Mark, MarkAll, Where, Fate, Order, Leave  key.Binding
}

var keepersMap = keepersKeys{
	Filter:   bind("a-z 0-9", "filter: every word must be found in serial, pattern, series, bank, place, session, defect or remark"),
	Up:       bind("↑", "keeper above", "up"),
	Down:     bind("↓", "keeper below", "down"),
	PageUp:   bind("PgUp", "ten up", "pgup"),
	PageDown: bind("PgDn", "ten down", "pgdown"),
	First:    bind("Home", "to the first", "home"),
	Last:     bind("End", "to the last", "end"),
	Open:     bind("Enter", "closer look at the keeper", "enter", "ctrl+j", "/"),
	Mark:     bind("Tab", "mark it for what is done to many at once, or take the mark away, and go on to the next", "tab"),
	MarkAll:  bind("Ctrl+A", "mark all that are shown, or none", "ctrl+a"),
	Where:    bind("Ctrl+W", "say where the marked ones lie, or this one", "ctrl+w"),
	Fate:     bind("Ctrl+G", "say what became of them: sold, traded, sent to be graded, spent after all", "ctrl+g"),
	Order:    bind("Ctrl+O", "another order: newest, oldest, series and bank, place, what they are", "ctrl+o"),
	Leave:    bind("Esc", "clear the filter; with none: to the desk", "esc"),
}

func (k keepersKeys) short() []key.Binding {
	return []key.Binding{short(k.Open, "open"), short(k.Leave, "back"), short(k.Mark, "mark"), short(k.Where, "where"), short(k.Fate, "gone"), short(k.Order, "order")}
}

func (k keepersKeys) groups() []keyGroup {
	return []keyGroup{{title: "The keepers", keys: []key.Binding{k.Filter, k.Up, k.Down, k.PageUp, k.PageDown, k.First, k.Last,
		k.Open, k.Mark, k.MarkAll, k.Where, k.Fate, k.Order, textMap.Erase, textMap.Clear, k.Leave},
		about: []string{
			"Letters and digits filter, so what is done here are other keys.",
		}}}
}
