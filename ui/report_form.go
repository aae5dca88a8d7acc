package ui

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"

	"app/unband/triage"
	"app/unband/triage/report"
)

// reportForm writes a report of what the tally shows: of the session, or of everything.
type reportForm struct {
	form  int // index into report.Forms
	field int
	out   handOver
}

// endings are what files of each form are called.
var endings = map[report.Form]string{report.TextForm: ".txt", report.MarkdownForm: ".md", report.CSVForm: ".csv", report.JSONForm: ".json"}

func newReportForm(e *env, session uint64) *reportForm {
	what := "all"
	if session != 0 {
		what = fmt.Sprint(session)
	}
	return &reportForm{out: handOver{env: e, file: "unband-report-" + what + ".txt"}}
}

// key takes one key; done says that the form is left.
func (f *reportForm) key(k keyMsg, e *env, session uint64, at time.Time) (done bool) {
	n := len(report.Forms)
	if !key.Matches(k, outMap.Save) {
		f.out.other()
	}
	switch {
	case key.Matches(k, reportMap.Leave):
		return true
	case key.Matches(k, outMap.Save):
		f.save(e, session, at)
	case key.Matches(k, reportMap.Next):
		f.field = 1 - f.field
	case f.field == 0 && key.Matches(k, reportMap.More):
		f.turn((f.form + 1) % n)
	case f.field == 0 && key.Matches(k, reportMap.Less):
		f.turn((f.form + n - 1) % n)
	case f.field == 1:
		f.out.edit(k, reportMap.Less, reportMap.More)
	}
	return false
}

// turn takes another form; the ending of the file goes along.
func (f *reportForm) turn(to int) {
	f.out.file = strings.TrimSuffix(f.out.file, endings[report.Forms[f.form]]) + endings[report.Forms[to]]
	f.form = to
}

func (f *reportForm) save(e *env, session uint64, at time.Time) {
	sessions, err := e.store.Sessions()
	if err != nil {
		e.fail(err, at)
		return
	}
	sessions = slices.DeleteFunc(sessions, func(s triage.Session) bool { return session != 0 && s.ID != session })
	slices.SortFunc(sessions, func(a, b triage.Session) int { return cmp.Compare(a.ID, b.ID) })
	made := report.Made{At: at, From: e.store.Path(), By: "unband"}
	source := report.Source{Sessions: sessions, Straps: e.store.Straps, Notes: e.store.Notes}
	f.out.write(func(w io.Writer) error { return report.Write(w, report.Forms[f.form], made, source) }, at)
}

// view draws the form; session is what is reported, 0 for every one.
func (f *reportForm) view(session uint64, w int) []string {
	var forms []string
	for i, form := range report.Forms {
		if i == f.form {
			forms = append(forms, look.strong.Render("["+string(form)+"]"))
		} else {
			forms = append(forms, " "+look.quiet.Render(string(form))+" ")
		}
	}
	lines := []string{look.strong.Render("a report"), ""}
	for i, value := range []string{strings.Join(forms, " "), tail(printable(f.out.file), w-12)} {
		mark := "  "
		if i == f.field {
			mark = look.hit.Render(signChoice) + " "
		}
		if i == 1 && f.field == 1 {
			value = f.out.named(w - 11)
		}
		lines = append(lines, cut(mark+look.quiet.Render(pad([]string{"form", "file"}[i], 8))+value, w))
	}
	of := "every session with its keepers, what was off its band and how it was counted back"
	if session != 0 {
		of = strings.Replace(of, "every session", "the session", 1)
	}
	words := [...]string{"what people want to read: " + of, "the same as Markdown",
		"one row a note, for a spreadsheet; digits keep their zeros, no cell is a formula", "one object a line, for other programs"}[f.form]
	return append(append(lines, ""), hang(" ", look.quiet.Render(words), w)...)
}

// reportKeys are the keys of the form.
type reportKeys struct{ Next, Less, More, Leave key.Binding }

var reportMap = reportKeys{
	Next:  bind("↓", "the other line", "down", "up", "tab", "enter", "ctrl+j"),
	Less:  bind("←", "form before", "left"),
	More:  bind("→", "next form: text, Markdown, CSV, JSON", "right"),
	Leave: bind("Esc", "back to the tally", "esc"),
}

func (k reportKeys) short() []key.Binding {
	return []key.Binding{short(outMap.Save, "write the file"), short(k.Leave, "back"), short(k.More, "form"), short(k.Next, "file name")}
}

func (k reportKeys) groups() []keyGroup {
	return []keyGroup{{title: "A report", keys: []key.Binding{k.Next, k.Less, k.More, short(outMap.Save, "write the report to the file"), textMap.Erase, textMap.Clear, k.Leave},
		about: []string{
			"A file that is there is replaced only when the key comes twice.",
		}}}
}
