package ui

import (
	"fmt"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/stars"
)

// batch is the star batch: every star that was kept, as a work list with one look-up for each
// series and bank.
type batch struct {
	env  *env
	back func(at time.Time) screen

	list     []stars.Lookup
	findings map[triage.Place]stars.Finding
	runs     []stars.Run
	shortRun int // most notes of a short run
	row      int
	top      int // first star shown of the group
	form     *runForm
	star     *starForm
	dropping stars.Run // the run that the key to take it out was pressed for once
	gate     triage.Gate
}

func openBatch(e *env, back func(time.Time) screen, at time.Time) (screen, tea.Cmd) {
	b := &batch{env: e, back: back}
	c, err := e.choices()
	if err != nil {
		e.fail(err, at)
		return back(at), nil
	}
	b.shortRun = c.ShortUpTo()
	if err := b.load(); err != nil {
		e.fail(err, at)
		return back(at), nil
	}
	return b, nil
}

// load reads the stars and the runs and looks every star up.
func (b *batch) load() error {
	all, runs, err := starsAndRuns(b.env.store)
	if err != nil {
		return err
	}
	b.list, b.runs = stars.Batch(all), runs
	b.findings = map[triage.Place]stars.Finding{}
	for _, f := range stars.ResolveAll(all, runs) {
		b.findings[f.Star.Place] = f
	}
	b.row = max(min(b.row, len(b.list)-1), 0)
	return nil
}

// starsAndRuns reads every kept star and every known run.
func starsAndRuns(s *store.Store) (all []stars.Star, runs []stars.Run, err error) {
	notes, err := s.Stars()
	if err != nil {
		return nil, nil, err
	}
	sessions, err := s.Sessions()
	if err != nil {
		return nil, nil, err
	}
	runs, err = s.Runs()
	return starsOf(notes, sessions), runs, err
}

// starsOf makes stars of kept star notes.
func starsOf(notes []triage.Note, sessions []triage.Session) (all []stars.Star) {
	face := map[uint64]triage.Denomination{}
	for _, session := range sessions {
		face[session.ID] = session.Denomination
	}
	for _, n := range notes {
		star, _ := stars.Of(n, face[n.Session])
		all = append(all, star)
	}
	return all
}

// unanswered reports whether no list of runs has an answer for the star yet. Stars of the older classes have
// no such list.
func unanswered(f stars.Finding) bool {
	return !f.Star.Front && (f.Status == stars.NotReady || f.Status == stars.NoList)
}

func (b *batch) selected() (l stars.Lookup, ok bool) {
	if b.row >= len(b.list) {
		return stars.Lookup{}, false
	}
	return b.list[b.row], true
}

func (b *batch) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	switch m := msg.(type) {
	case stored:
		b.stored(m, at)
	case keyMsg:
		if b.env.busy(at) { // a form is not touched while what it gave is on its way
			return b, nil
		}
		switch {
		case b.form != nil:
			b.formKey(m, at)
			return b, nil
		case b.star != nil:
			b.starKey(m, at)
			return b, nil
		}
		return b.key(m, at)
	}
	return b, nil
}

func (b *batch) key(k keyMsg, at time.Time) (screen, tea.Cmd) {
	l, ok := b.selected()
	if !key.Matches(k, batchMap.Drop) {
		b.dropping = stars.Run{}
	}
	switch {
	case key.Matches(k, batchMap.Leave):
		if b.env.busy(at) {
			return b, nil
		}
		return b.back(at), nil
	case key.Matches(k, batchMap.Up):
		b.row, b.top = max(b.row-1, 0), 0
	case key.Matches(k, batchMap.Down):
		b.row, b.top = max(min(b.row+1, len(b.list)-1), 0), 0
	case key.Matches(k, batchMap.More) && ok:
		b.top = min(b.top+1, max(len(l.Stars)-1, 0))
	case key.Matches(k, batchMap.Less):
		b.top = max(b.top-1, 0)
	case key.Matches(k, batchMap.Facts) && ok:
		b.openStar(l.Stars[min(b.top, len(l.Stars)-1)])
	case key.Matches(k, batchMap.Run) && ok:
		if !l.Known() {
			b.env.hint("series and bank of these stars must be known first: "+name(batchMap.Facts)+" says them", at)
			return b, nil
		}
		b.form = newRunForm(l.Group)
	case key.Matches(k, batchMap.Drop) && ok:
		b.drop(l, at)
	}
	return b, nil
}

// drop takes a run of the group out again, the one of the star shown or else the highest. It is named,
// and taken out when the key comes a second time.
func (b *batch) drop(l stars.Lookup, at time.Time) {
	run, ok := b.runToDrop(l)
	switch {
	case !ok:
		b.env.hint("no run of this group is known", at)
	case b.deaf(at):
	case b.dropping != run:
		b.dropping = run
		b.gate.Open(at, b.env.pauses.Stop)
		b.env.hint(fmt.Sprintf("%s again takes the run %v out", name(batchMap.Drop), run), at)
	default:
		b.dropping = stars.Run{}
		b.env.submit(store.DropRuns{Runs: []stars.Run{run}}, b)
	}
}

// deaf reports whether the key came too early or is held, and says so.
func (b *batch) deaf(at time.Time) bool {
	n := b.gate.Press(triage.KeyTakeOut, at)
	b.env.hint(triage.Notice{Kind: n}.String(), at)
	return n != triage.Quiet
}

func (b *batch) runToDrop(l stars.Lookup) (run stars.Run, ok bool) {
	if f := b.findings[l.Stars[min(b.top, len(l.Stars)-1)].Place]; f.Status == stars.InRun {
		return f.Run, true
	}
	for _, r := range b.runs {
		if r.Group() == l.Group {
			run, ok = r, true
		}
	}
	return run, ok
}

func (b *batch) formKey(k keyMsg, at time.Time) {
	switch {
	case key.Matches(k, runFormMap.Leave):
		b.form = nil
	case key.Matches(k, runFormMap.Enter):
		if !b.form.last() {
			b.form.field++
			return
		}
		run, err := b.form.run()
		if err == nil {
			err = b.fits(run)
		}
		if err != nil {
			b.env.hint(err.Error(), at)
			return
		}
		b.env.submit(store.PutRuns{Runs: run.Split()}, b)
	default:
		b.form.key(k)
	}
}

// fits reports why a run cannot stand beside those that are known.
func (b *batch) fits(run stars.Run) error {
	list := stars.NewList(b.runs)
	for _, part := range run.Split() {
		if _, err := list.Add(part); err != nil {
			return err
		}
	}
	return nil
}

func (b *batch) stored(m stored, at time.Time) {
	if m.bad() {
		return
	}
	switch w := m.write.(type) {
	case store.PutRuns:
		if b.form != nil {
			b.form = newRunForm(b.form.group) // the next run of the same group
		}
		b.env.say("the run is entered; every star of the group knows it", at)
	case store.DropRuns:
		b.env.say(fmt.Sprintf("the run %v is taken out", w.Runs[0]), at)
	case store.Decide:
		b.star = nil
		b.env.say("noted", at)
	}
	if err := b.load(); err != nil {
		b.env.fail(err, at)
	}
}

func (b *batch) title() (string, string) {
	n := 0
	for _, l := range b.list {
		n += len(l.Stars)
	}
	return "the star batch", count(n, "star", "stars") + ", " + count(len(b.list), "look-up", "look-ups")
}

func (b *batch) short() []key.Binding {
	switch {
	case b.form != nil:
		return runFormMap.short()
	case b.star != nil:
		return starFormMap.short()
	}
	return batchMap.short()
}

func (b *batch) groups() []keyGroup {
	switch {
	case b.form != nil:
		return runFormMap.groups()
	case b.star != nil:
		return starFormMap.groups()
	}
	return batchMap.groups()
}

func (b *batch) ready() time.Time { return b.gate.Ready() }
func (b *batch) typing() bool     { return b.form != nil || b.star != nil }

// batchKeys are the keys of the star batch.
type batchKeys struct{ Up, Down, Less, More, Facts, Run, Drop, Leave key.Binding }

var batchMap = batchKeys{
	Up:    bind("↑", "group above", "up", "k", "K"),
	Down:  bind("↓", "group below", "down", "j", "J"),
	Less:  bind("←", "star before", "left"),
	More:  bind("→", "next star of the group", "right"),
	Facts: bind("Enter", "say prefix, series and plant of the star", "enter", "ctrl+j"),
	Run:   bind("R", "enter a run of the group, from a published list", "r", "R"),
	Drop:  bind("X", "take a run of the group out, press twice", "x", "X"),
	Leave: bind("Esc", "to the desk", "esc", "ctrl+d"),
}

func (k batchKeys) short() []key.Binding {
	return []key.Binding{k.Down, short(k.More, "next star"), short(k.Facts, "its facts"), short(k.Run, "enter a run"), short(k.Leave, "desk")}
}

func (k batchKeys) groups() []keyGroup {
	return []keyGroup{{title: "The star batch", keys: []key.Binding{k.Up, k.Down, k.Less, k.More, k.Facts, k.Run, k.Drop, k.Leave}}, aboutStars.group()}
}
