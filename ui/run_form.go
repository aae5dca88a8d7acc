package ui

import (
	"errors"

	"github.com/charmbracelet/bubbles/key"

	"app/unband/triage/stars"
)

// runForm takes one line of a published list of star runs.
type runForm struct {
	group stars.Group
	field int
	text  [runFields]string
}

// The lines of the form.
const (
	runFrom = iota
	runTo
	runQuantity
	runFacility
	runMonth
	runListed
	runFields
)

var runLabels = [runFields]string{"from", "to", "quantity", "facility", "month", "date of the list"}

var runHints = [runFields]string{
	"the first number, as 3200001 or B 03,200,001 *", "the last number", "notes; empty: all numbers of the run",
	"DC or FW; empty: not said", "as 2014-10; empty: not said", "as 2026-11-25; empty: not said",
}

func newRunForm(g stars.Group) *runForm { return &runForm{group: g} }

func (f *runForm) last() bool { return f.field == runFields-1 }

func (f *runForm) key(k keyMsg) {
	switch {
	case key.Matches(k, runFormMap.Next):
		f.field = min(f.field+1, runFields-1)
	case key.Matches(k, runFormMap.Before):
		f.field = max(f.field-1, 0)
	default:
		textLine{longest: 24}.edit(&f.text[f.field], k)
	}
}

// run reads the form; the error says what cannot be read, and the cursor goes there.
func (f *runForm) run() (stars.Run, error) {
	t := f.text
	r, err := stars.TypedRun{From: t[runFrom], To: t[runTo], Quantity: t[runQuantity], Facility: t[runFacility], Month: t[runMonth], Listed: t[runListed]}.Run(f.group)
	var bad *stars.CellError
	if errors.As(err, &bad) {
		f.field = bad.Cell
	}
	return r, err
}

func (f *runForm) view(w int) []string {
	lines := []string{look.strong.Render("a run of " + f.group.String() + " stars"), ""}
	for i := range runFields {
		mark, value := "  ", printable(f.text[i])
		if i == f.field {
			mark, value = look.hit.Render(signChoice)+" ", value+look.cursor.Render(" ")+"  "+look.quiet.Render(runHints[i])
		}
		lines = append(lines, cut(mark+look.quiet.Render(pad(runLabels[i], 18))+value, w))
	}
	lines = append(lines, "")
	return append(lines, hang(" ", look.quiet.Render("As the published monthly production reports list it. One entry serves every star of the group."), w)...)
}

// runFormKeys are the keys of the form.
type runFormKeys struct{ Next, Before, Enter, Leave key.Binding }

var runFormMap = runFormKeys{
	Next:   bind("↓", "next line", "down", "tab"),
	Before: bind("↑", "line before", "up", "shift+tab"),
	Enter:  bind("Enter", "next line; on the last: enter the run", "enter", "ctrl+j"),
	Leave:  bind("Esc", "back to the batch without it", "esc"),
}

func (k runFormKeys) short() []key.Binding {
	return []key.Binding{short(k.Enter, "next, at the end enter it"), short(k.Before, "line before"), short(k.Leave, "back")}
}

func (k runFormKeys) groups() []keyGroup {
	return []keyGroup{{title: "A run", keys: []key.Binding{k.Next, k.Before, k.Enter, textMap.Erase, textMap.Clear, k.Leave},
		about: []string{
			"A run is entered once and serves all stars of its group.",
		}}}
}
