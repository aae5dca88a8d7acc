package ui

import (
	"slices"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"app/unband/triage/errands"
)

// errandPage lists every errand: what is to be done, then what was done, the last first.
type errandPage struct {
	env  *env
	back func(at time.Time) screen

	open, done []errandRow
	row        int
	remark     *string // the remark being typed, nil while none is
	asked      bool    // opening one with a remark again was asked for once
}

func openErrandPage(e *env, back func(time.Time) screen, at time.Time) (screen, tea.Cmd) {
	v := &errandPage{env: e, back: back}
	if err := v.load(); err != nil {
		e.fail(err, at)
		return back(at), nil
	}
	return v, nil
}

func (v *errandPage) load() error {
	work, _, err := readWork(v.env.store)
	if err != nil {
		return err
	}
	open, finished, err := openErrands(v.env.store, work)
	if err != nil {
		return err
	}
	slices.SortStableFunc(finished, func(a, b errands.Errand) int { return b.Done.Compare(a.Done) })
	v.open, v.done = open, rowsOf(finished)
	v.row = max(min(v.row, len(v.open)+len(v.done)-1), 0)
	return nil
}

// selected is the errand under the cursor, and whether it was done.
func (v *errandPage) selected() (r errandRow, done, ok bool) {
	switch {
	case v.row < len(v.open):
		return v.open[v.row], false, true
	case v.row < len(v.open)+len(v.done):
		return v.done[v.row-len(v.open)], true, true
	}
	return errandRow{}, false, false
}

func (v *errandPage) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	switch m := msg.(type) {
	case stored:
		v.env.sayErrand(m, "It stands below now, where "+name(errandsMap.Done), at)
		if err := v.load(); err != nil {
			v.env.fail(err, at)
		}
	case keyMsg:
		switch {
		case v.env.busy(at):
		case v.remark != nil:
			v.remarkKey(m, at)
		default:
			return v.key(m, at)
		}
	}
	return v, nil
}

// remarkKey takes a key while the remark is typed.
func (v *errandPage) remarkKey(k keyMsg, at time.Time) {
	switch {
	case key.Matches(k, errandsMap.Leave):
		v.remark = nil
	case key.Matches(k, errandsMap.Open):
		r, done, _ := v.selected()
		if done {
			r.finish(v.env, r.list[0].Done, strings.TrimSpace(*v.remark), v)
		}
		v.remark = nil
	default:
		textLine{longest: longestRemark}.edit(v.remark, k)
	}
}

func (v *errandPage) key(k keyMsg, at time.Time) (screen, tea.Cmd) {
	r, done, ok := v.selected()
	if !key.Matches(k, errandsMap.Done) {
		v.asked = false
		v.env.errandGate.Other()
	}
	switch {
	case key.Matches(k, errandsMap.Leave):
		return v.back(at), nil
	case key.Matches(k, errandsMap.Up):
		v.row = max(v.row-1, 0)
	case key.Matches(k, errandsMap.Down):
		v.row = max(min(v.row+1, len(v.open)+len(v.done)-1), 0)
	case key.Matches(k, errandsMap.PageUp):
		v.row = max(v.row-10, 0)
	case key.Matches(k, errandsMap.PageDown):
		v.row = max(min(v.row+10, len(v.open)+len(v.done)-1), 0)
	case !ok:
	case key.Matches(k, errandsMap.Done) && v.env.heldDone(at):
	case key.Matches(k, errandsMap.Done) && done && r.list[0].Remark != "" && !v.asked:
		v.asked = true
		v.env.hint(name(errandsMap.Done)+" again opens it again, and its remark and date go", at)
		return v, nil
	case key.Matches(k, errandsMap.Done) && done:
		v.asked = false
		r.finish(v.env, time.Time{}, "", v)
	case key.Matches(k, errandsMap.Done):
		r.finish(v.env, at, "", v)
	case key.Matches(k, errandsMap.Remark) && done:
		text := r.list[0].Remark
		v.remark = &text
	case key.Matches(k, errandsMap.Remark):
		v.env.hint("a remark is kept with an errand that is done: "+name(errandsMap.Done)+" first", at)
	case key.Matches(k, errandsMap.Open):
		return r.begin(v.env, v.comeBack, v, at)
	}
	return v, nil
}

// comeBack shows the errands again, read anew.
func (v *errandPage) comeBack(at time.Time) screen {
	if err := v.load(); err != nil {
		v.env.fail(err, at)
	}
	return v
}

func (v *errandPage) view(w, h int, at time.Time) []string {
	if len(v.open)+len(v.done) == 0 {
		return append([]string{""}, hang(" ", "Nothing is to be done. Stamps to look up, errors to study, stars, second looks left open and the pile to take back stand here by themselves.", w)...)
	}
	foot := v.foot(w)
	room, n := max(h-len(foot), 1), len(v.open)+len(v.done)
	block := func(i int) []string {
		switch {
		case i < len(v.open):
			return errandLines(v.open[i], i == v.row, false, w, at)
		case i == len(v.open):
			return append([]string{"", look.quiet.Render("  done")}, errandLines(v.done[0], i == v.row, true, w, at)...)
		}
		return errandLines(v.done[i-len(v.open)], i == v.row, true, w, at)
	}
	lines, _, after := inSight(n, v.row, room, block)
	if after < n {
		lines, _, _ = inSight(n, v.row, room-1, block)
		lines = append(lines, look.quiet.Render("  … "+name(errandsMap.Down)+" for more"))
	}
	return append(fit(lines, w, room), foot...)
}

// foot has the remark that is being typed.
func (v *errandPage) foot(w int) []string {
	if v.remark == nil {
		return nil
	}
	lines := []string{""}
	for i, part := range wrap(printable(*v.remark)+look.cursor.Render(" "), w-10) {
		label := "remark"
		if i > 0 {
			label = ""
		}
		lines = append(lines, "  "+look.quiet.Render(pad(label, 8))+part)
	}
	return lines
}

// errandLines are one errand in full, with its date: when it came up, or when it was done.
func errandLines(r errandRow, selected, done bool, w int, at time.Time) []string {
	when, text, widestDate := ago(r.since(), at), r.text, len("22 Oct 2026")
	if done {
		when, widestDate = "done "+ago(r.list[0].Done, at), len("done 22 Oct 2026")
		if remark := r.list[0].Remark; remark != "" {
			text += " (" + printable(remark) + ")"
		}
	}
	lines := wrap(text, w-4-max(widestDate, ansi.StringWidth(when)))
	for i, part := range lines {
		mark, line := "  ", part
		if i == 0 {
			line = spread(part, when, w-2)
		}
		if selected {
			line = look.cursor.Render(pad(line, w-2))
		}
		if selected && i == 0 {
			mark = look.hit.Render(signChoice) + " "
		}
		lines[i] = mark + line
	}
	return lines
}

// inSight gives the blocks of lines around the chosen one that fit into the room whole: the first, and the one after the
// last, of n. Only those in sight are made.
func inSight(n, chosen, room int, block func(i int) []string) (lines []string, first, after int) {
	lines, first, after = block(chosen), chosen, chosen+1
	up := func(to int) {
		for first > 0 && len(lines) < to {
			more := block(first - 1)
			if len(lines)+len(more) > room {
				return
			}
			first, lines = first-1, append(more, lines...)
		}
	}
	up(room / 2)
	for after < n {
		more := block(after)
		if len(lines)+len(more) > room {
			break
		}
		after, lines = after+1, append(lines, more...)
	}
	if after == n {
		up(room)
	}
	return lines, first, after
}

func (v *errandPage) title() (string, string) {
	return "errands", count(len(v.open), "is open", "are open")
}

func (v *errandPage) short() []key.Binding {
	if v.remark != nil {
		return []key.Binding{short(errandsMap.Open, "keep the remark"), short(errandsMap.Leave, "back")}
	}
	if _, done, _ := v.selected(); done {
		return []key.Binding{short(errandsMap.Open, "go about it"), short(errandsMap.Leave, "desk"), short(errandsMap.Done, "open again"), short(errandsMap.Remark, "remark")}
	}
	return errandsMap.short()
}
func (v *errandPage) groups() []keyGroup { return errandsMap.groups() }
func (v *errandPage) ready() time.Time   { return time.Time{} }
func (v *errandPage) typing() bool       { return v.remark != nil }

// errandsKeys are the keys of the errands.
type errandsKeys struct{ Up, Down, PageUp, PageDown, Open, Done, Remark, Leave key.Binding }

var errandsMap = errandsKeys{
	Up:       bind("↑", "errand above", "up"),
	Down:     bind("↓", "errand below", "down"),
	PageUp:   bind("PgUp", "ten up", "pgup"),
	PageDown: bind("PgDn", "ten down", "pgdown"),
	Open:     bind("Enter", "go about it: to the note, the stars, the second look, the session", "enter", "ctrl+j"),
	Done:     bind("X", "it is done; of one that is done: it is open again", "x", "X"),
	Remark:   bind("R", "a remark on one that is done: how it came out", "r", "R"),
	Leave:    bind("Esc", "to the desk", "esc", "ctrl+d"),
}

func (k errandsKeys) short() []key.Binding {
	return []key.Binding{short(k.Open, "go about it"), short(k.Leave, "desk"), short(k.Done, "done"), short(k.Remark, "remark")}
}

func (k errandsKeys) groups() []keyGroup {
	return []keyGroup{{title: "Errands", keys: []key.Binding{k.Up, k.Down, k.PageUp, k.PageDown, k.Open, k.Done, k.Remark, textMap.Erase, textMap.Clear, k.Leave},
		about: []string{
			"An errand comes up by itself from what is known of the notes. One that is done by mistake can be opened again.",
		}}}
}
