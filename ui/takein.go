package ui

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/listing"
)

// The lines of the page, from the top. Those that nothing is to be asked about are passed over.
const (
	inFile = iota
	inColumn
	inOrder
	inStraps
	inZeros
	inTwice
	inOthers
	inFields
)

// takeIn takes a list from a counting machine or a spreadsheet into a strap or several.
type takeIn struct {
	env     *env
	back    func(time.Time) screen
	session triage.Session
	strap   triage.Strap // the notes go behind those it has; it may be one that is not opened yet
	rules   triage.Rules

	field int
	file  string
	read  string // the file that list is of
	list  *listing.List

	answers listing.Answers
	bottom  bool // the first line is the note at the bottom of the pile
	divide  bool // into straps as their bands have them

	known  map[string]bool // the digits that are listed in the session already
	again  int             // how many notes of the list have them
	taken  listing.Taken
	straps []triage.Strap
	place  func(int) triage.Place
	pulls  []triage.Pull
	top    int // first line of the list below shown
	gate   triage.Gate
	sent   bool
}

// openList asks for a list whose notes go behind those that a strap has.
func openList(e *env, s triage.Session, t triage.Strap, back func(time.Time) screen, at time.Time) screen {
	switch _, held, err := e.store.Hand(s.ID, t.Number); {
	case err != nil:
		e.fail(err, at)
		return back(at)
	case held: // its place would be another note's
		e.hint(fmt.Sprintf("a note of strap %d is in hand: decide it first, or clear it where it is typed", t.Number), at)
		return back(at)
	}
	rules, _, err := rulesOf(e, s)
	if err != nil {
		e.fail(err, at)
		return back(at)
	}
	if t.Opened.IsZero() {
		t.Opened = at
	}
	t.Session, t.Band = s.ID, max(t.Band, 1)
	v := &takeIn{env: e, back: back, session: s, strap: t, rules: rules, file: e.listFile}
	v.answers.Denomination = s.Denomination
	number := t.Number // of the strap that holds the note before the first of the list
	if t.Size() == 0 {
		number--
	}
	if v.rules.Before, err = lastOf(e, s.ID, number); err != nil {
		e.fail(err, at)
	}
	v.known = listedDigits(e, s, at)
	return v
}

// listedDigits are the digits of all notes that are listed in a session and not decided.
func listedDigits(e *env, s triage.Session, at time.Time) map[string]bool {
	known := map[string]bool{}
	straps, err := e.store.Straps(s.ID)
	for _, t := range straps {
		if err != nil || t.Listed == 0 {
			continue
		}
		var list []triage.Listed
		list, err = e.store.Listed(s.ID, t.Number)
		for _, l := range list {
			known[l.Serial.Digits] = true
		}
	}
	if err != nil {
		e.fail(err, at)
	}
	return known
}

func (v *takeIn) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	switch m := msg.(type) {
	case keyMsg:
		return v.key(m, at)
	case stored:
		v.sent = false
		if m.bad() {
			return v, nil
		}
		return v.takenIn(m.result, at)
	case shownMsg:
		v.gate.Open(at, v.env.pauses.Stop)
	}
	return v, nil
}

// takenIn goes on with the first strap that the list went into.
func (v *takeIn) takenIn(r store.Result, at time.Time) (screen, tea.Cmd) {
	straps, err := v.env.store.Straps(v.session.ID)
	if err != nil {
		v.env.fail(err, at)
		return newDesk(v.env, at), nil
	}
	for _, t := range straps {
		if !t.Done && t.Listed > 0 {
			next, cmd := openStrap(v.env, r.Session, t, at)
			v.env.say(fmt.Sprintf("taken in: %s, %s to be pulled", count(len(v.taken.Notes), "note", "notes"), number(len(v.pulls))), at)
			return next, cmd
		}
	}
	return pileOf(v.env, r.Session, at), nil
}

func (v *takeIn) key(k keyMsg, at time.Time) (screen, tea.Cmd) {
	if v.sent {
		return v, nil
	}
	if !key.Matches(k, takeInMap.Done) {
		v.gate.Other()
	}
	switch {
	case key.Matches(k, takeInMap.Leave):
		return v.back(at), nil
	case key.Matches(k, takeInMap.Next):
		v.step(1)
	case key.Matches(k, takeInMap.Before):
		v.step(-1)
	case key.Matches(k, takeInMap.Further):
		v.top += shownAtOnce
	case key.Matches(k, takeInMap.Earlier):
		v.top = max(v.top-shownAtOnce, 0)
	case key.Matches(k, takeInMap.Done):
		v.done(k, at)
	case v.field == inFile:
		textLine{longest: longestPath}.edit(&v.file, k)
	case key.Matches(k, takeInMap.More) || k.Type == tea.KeySpace:
		v.choose(1, at)
	case key.Matches(k, takeInMap.Less):
		v.choose(-1, at)
	}
	return v, nil
}

// longestPath bounds the name of a file that is typed, in characters.
const longestPath = 1024

// shownAtOnce is how many lines the list below moves at once.
const shownAtOnce = 10

// asked reports whether a line of the page has something to ask.
func (v *takeIn) asked(field int) bool {
	switch {
	case field == inFile:
		return true
	case v.list == nil:
		return false
	case field == inColumn:
		return len(v.list.Columns()) > 1
	case field == inStraps:
		return true
	case field == inZeros:
		return v.taken.Asked.Zeros > 0
	case field == inTwice:
		return v.taken.Asked.Twice > 0
	case field == inOthers:
		return v.taken.Asked.Others > 0
	}
	return true
}

// step goes to the next line that asks something.
func (v *takeIn) step(by int) {
	for range inFields {
		v.field = (v.field + by + inFields) % inFields
		if v.asked(v.field) {
			return
		}
	}
}

// choose takes another answer on a line.
func (v *takeIn) choose(by int, at time.Time) {
	turn := func(a *listing.Answer) {
		switch {
		case *a == listing.Yes:
			*a = listing.No
		case *a == listing.No || by > 0:
			*a = listing.Yes
		default:
			*a = listing.No
		}
	}
	switch v.field {
	case inColumn:
		n := len(v.list.Columns())
		v.list = v.list.ByColumn((v.list.Layout().Column + by + n) % n)
	case inOrder:
		v.bottom = !v.bottom
	case inStraps:
		v.divide = !v.divide
	case inZeros:
		turn(&v.answers.Zeros)
	case inTwice:
		turn(&v.answers.Twice)
	case inOthers:
		turn(&v.answers.Others)
	}
	v.take(at)
}

// done reads the file, goes to the first question that is not answered, or takes the list in.
func (v *takeIn) done(k keyMsg, at time.Time) {
	if v.list == nil || v.file != v.read {
		v.open(at)
		return
	}
	if field, open := v.unanswered(); open {
		v.field = field
		v.env.hint("answer what is asked first: "+name(takeInMap.Less)+" and "+name(takeInMap.More), at)
		return
	}
	n := v.gate.Press(triage.KeyEnter, at)
	if k.burst && n == triage.Quiet {
		n = triage.HeldKey
	}
	switch v.env.hint(triage.Notice{Kind: n}.String(), at); {
	case n != triage.Quiet:
	case len(v.taken.Notes) == 0:
		v.env.hint("no line of it is a note: another column, another file?", at)
	case !v.env.busy(at):
		v.sent = true
		v.env.submit(store.List{Straps: v.straps, Notes: v.all()}, v)
	}
}

// unanswered is the first line whose question is not answered.
func (v *takeIn) unanswered() (field int, open bool) {
	for field := inZeros; field < inFields; field++ {
		if v.asked(field) && v.answer(field) == listing.Unanswered {
			return field, true
		}
	}
	return 0, false
}

// answer is what was answered on a line.
func (v *takeIn) answer(field int) listing.Answer {
	switch field {
	case inZeros:
		return v.answers.Zeros
	case inTwice:
		return v.answers.Twice
	}
	return v.answers.Others
}

// open reads the file. One that cannot be read leaves what was there.
func (v *takeIn) open(at time.Time) {
	path := strings.TrimSpace(v.file)
	if path == "" {
		v.env.hint("the name of the file with the list, please", at)
		return
	}
	if home, err := os.UserHomeDir(); err == nil && strings.HasPrefix(path, "~/") {
		path = filepath.Join(home, path[2:])
	}
	list, err := readList(path)
	if err != nil {
		v.field = inFile
		v.env.hint(err.Error(), at)
		return
	}
	v.list, v.read, v.env.listFile = list, v.file, v.file
	v.answers = listing.Answers{Denomination: v.session.Denomination}
	v.strap.List = filepath.Base(path)
	v.divide = len(list.Take(v.answers).Notes) > v.strap.Band-v.strap.Size()+mostOver
	v.take(at)
	v.field = inColumn
	if !v.asked(inColumn) {
		v.step(1)
	}
	if field, open := v.unanswered(); open {
		v.field = field
	}
	v.gate.Lock(triage.KeyEnter, at) // the key that read it may still be down
}

// mostOver is how many notes more than its band says are still taken for one strap.
const mostOver = 10

// readList reads a list from a file, and says in plain words why it could not.
func readList(path string) (*listing.List, error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("there is no file %s", printable(path))
	}
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read: %s", printable(path), printable(err.Error()))
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s is no ordinary file", printable(path))
	}
	list, err := listing.Read(f)
	if err != nil {
		return nil, fmt.Errorf("%s was not taken in: %s", printable(path), printable(err.Error()))
	}
	return list, nil
}

// take applies the answers anew.
func (v *takeIn) take(at time.Time) {
	v.taken, v.top = v.list.Take(v.answers), 0
	n := len(v.taken.Notes)
	v.straps, v.place = triage.Deal(v.session, v.strap, n, v.divide)
	v.again = 0
	for i := range v.taken.Notes {
		if d := v.taken.Notes[i].Serial.Digits; d != "" && v.known[d] {
			v.again++
		}
	}
	v.pulls = triage.Pulls(v.session, n, v.listed, v.rules)
	v.gate.Open(at, v.env.pauses.Stop)
}

// listed is one note of the list, from 0 on top of the pile, as it is taken in.
func (v *takeIn) listed(i int) triage.Listed {
	p := v.place(i)
	if v.bottom {
		i = len(v.taken.Notes) - 1 - i
	}
	n := v.taken.Notes[i]
	l := triage.Listed{Session: p.Session, Strap: p.Strap, Position: p.Position, Serial: n.Serial, Origin: triage.FromList, Unread: n.Unread, Doubt: n.Reason}
	if l.Unread != "" {
		l.Serial = triage.Serial{}
	}
	if l.Serial.String() != n.Text {
		l.Text = n.Text
	}
	return l
}

// all gives every note of the list as it is taken in.
func (v *takeIn) all() []triage.Listed {
	all := make([]triage.Listed, len(v.taken.Notes))
	for i := range all {
		all[i] = v.listed(i)
	}
	return all
}

func (v *takeIn) view(w, h int, at time.Time) []string {
	if v.list == nil {
		return v.begin(w, h)
	}
	lines := []string{labelled("file", printable(v.file), v.field == inFile, w)}
	for field := inColumn; field < inFields; field++ {
		if v.asked(field) {
			lines = append(lines, v.line(field, w))
		}
	}
	lines = append(lines, hang(" ", look.quiet.Render(inHints[v.field]), w)...)
	lines = append(lines, v.sum(w, at), "")
	body := v.body(w, h)
	return append(lines, scrolled(body, v.top, h-len(lines), "  … "+name(takeInMap.Further)+" goes on")...)
}

// inHints say what a line is about.
var inHints = [inFields]string{
	inColumn: "the column with the serials", inOrder: "where the note of the first line lies", inStraps: "the pile may be one strap, or several one upon the other",
	inZeros:  "yes: zeros are put in front up to eight digits; no: read from the note",
	inTwice:  "yes: both are notes, and looked at; no: the repeated line is left out",
	inOthers: "yes: they lie in this pile, and are looked at; no: taken out of it first",
}

// begin asks for the file.
func (v *takeIn) begin(w, h int) []string {
	lines := append(wrap(look.strong.Render("A list of serials from a counting machine or a spreadsheet: text, CSV or TSV, one note a line, in the order of the pile"), w), "")
	lines = append(lines, labelled("file", printable(v.file), true, w), "")
	for _, text := range []string{
		"Its columns are found by what looks like serials; times, running numbers and totals may stand beside them.",
		"What cannot be read is asked about or pulled from the pile, never guessed. Nothing is dropped silently.",
	} {
		lines = append(lines, hang(" ", look.quiet.Render(text), w)...)
	}
	return shorten(lines, h)
}

// line draws one line of the page with its choices.
func (v *takeIn) line(field, w int) string {
	label, value := "", ""
	switch field {
	case inColumn:
		label, value = "column", v.columns(w-labelWidth-4)
	case inOrder:
		label, value = "first line", oneOf(v.bottom, "on top of the pile", "at its bottom")
	case inStraps:
		label = "into"
		one := fmt.Sprintf("strap %d", v.strap.Number)
		first, last := v.straps[0].Number, v.straps[len(v.straps)-1].Number
		many := fmt.Sprintf("straps of %d", v.session.StrapNotes)
		if v.divide && last > first {
			many = fmt.Sprintf("straps %d to %d", first, last)
		}
		value = oneOf(v.divide, one, many)
		if v.divide && last > v.session.Straps {
			value += look.quiet.Render(fmt.Sprintf("  the session had %d", v.session.Straps))
		}
	case inZeros:
		label, value = "lost zeros", v.yesNo(v.answers.Zeros)+look.quiet.Render(fmt.Sprintf("  %s short: zeros lost?", count(v.taken.Asked.Zeros, "number", "numbers")))
	case inTwice:
		label, value = "twice", v.yesNo(v.answers.Twice)+look.quiet.Render(fmt.Sprintf("  %s again: second notes?", count(v.taken.Asked.Twice, "serial", "serials")))
	case inOthers:
		label, value = "not "+v.session.Denomination.String(), v.yesNo(v.answers.Others)+look.quiet.Render(fmt.Sprintf("  %s by the list: left in?", count(v.taken.Asked.Others, "note", "notes")))
	}
	mark := "  "
	if field == v.field {
		mark = look.hit.Render(signChoice) + " "
	}
	return cut(mark+look.quiet.Render(pad(label, labelWidth))+value, w)
}

// oneOf draws two choices.
func oneOf(second bool, a, b string) string {
	if second {
		return " " + look.quiet.Render(a) + "  " + look.strong.Render("["+b+"]")
	}
	return look.strong.Render("["+a+"]") + "  " + look.quiet.Render(b) + " "
}

// yesNo draws a question that may be unanswered.
func (v *takeIn) yesNo(a listing.Answer) string {
	switch a {
	case listing.Yes:
		return oneOf(false, "yes", "no")
	case listing.No:
		return oneOf(true, "yes", "no")
	}
	return look.near.Render("?") + look.quiet.Render(" yes   no")
}

// columns draws the column of the serials, with the first one as an example.
func (v *takeIn) columns(w int) string {
	all, l := v.list.Columns(), v.list.Layout()
	c := all[min(l.Column, len(all)-1)]
	text := fmt.Sprintf("%s of %d", printable(c.Name), len(all))
	if c.Example != "" {
		text += ", as " + printable(c.Example)
	}
	if l.Prefix >= 0 || l.Suffix >= 0 {
		text += ", with its letters from the columns beside it"
	}
	return cut(look.strong.Render("["+cut(text, w-2)+"]"), w)
}

// sum says how many notes come in, and what the key does.
func (v *takeIn) sum(w int, at time.Time) string {
	if len(v.taken.Notes) == 0 {
		return cut(look.near.Render(signDoubt)+" no line is a note: another column, another file?", w)
	}
	if _, open := v.unanswered(); open {
		return cut(look.near.Render(signDoubt)+" answer what is asked: then the list can be taken in", w)
	}
	pull := "be pulled"
	if w < 72 {
		pull = "pull"
	}
	return cut(bar(v.gate.Done(at), v.env.comfort.Calm)+"  "+look.hit.Render(name(takeInMap.Done))+fmt.Sprintf(" takes in %s, %s to %s", count(len(v.taken.Notes), "note", "notes"), number(len(v.pulls)), pull), w)
}

// body lists what is to be pulled, what was done to the lines, and what is left out. Only what can be seen
// from here on is drawn.
func (v *takeIn) body(w, h int) []string {
	var lines []string
	if v.again > 0 {
		lines = append(lines, hang(look.near.Render(signDoubt), count(v.again, "of these numbers is", "of these numbers are")+" listed in this session already: is it the same list again?", w)...)
	}
	if n := v.taken.Beside.Lines; n > 0 { // which column is right decides what is found
		lines = append(lines, hang(look.near.Render(signDoubt), fmt.Sprintf("in %s another column has another serial: is this the right column?", count(n, "line", "lines")), w)...)
	}
	if len(v.pulls) > 0 {
		lines = append(lines, look.quiet.Render("to be pulled, counted from the top"))
	}
	last := v.top + h // no more can be seen
	for i, p := range v.pulls {
		if i > last {
			lines = append(lines, make([]string, len(v.pulls)-i)...)
			break
		}
		lines = append(lines, cut(pullLine(v.rules.Book, v.session, p, len(v.straps) > 1), w))
	}
	for _, text := range v.taken.Remarks() {
		if len(lines) > last+1 {
			lines = append(lines, "")
			continue
		}
		lines = append(lines, hang(" ", look.quiet.Render(text), w)...)
	}
	if len(v.taken.LeftOut) > 0 {
		lines = append(lines, look.quiet.Render(count(len(v.taken.LeftOut), "line is left out", "lines are left out")))
	}
	for i, out := range v.taken.LeftOut {
		if len(lines) > last+1 {
			lines = append(lines, make([]string, len(v.taken.LeftOut)-i)...)
			break
		}
		lines = append(lines, cut("  "+out.String(), w))
	}
	return lines
}

func (v *takeIn) title() (string, string) {
	return "take in a list", fmt.Sprintf("%s · strap %d · %s", printable(v.session.Name), v.strap.Number, v.session.Denomination)
}

func (v *takeIn) short() []key.Binding {
	k := takeInMap
	if v.list == nil {
		return []key.Binding{short(k.Done, "read it"), short(k.Leave, "back")}
	}
	return []key.Binding{short(k.Done, "take it in"), short(k.More, "choose"), short(k.Next, "next line"), short(k.Further, "the list"), short(k.Leave, "back")}
}
func (v *takeIn) groups() []keyGroup { return takeInMap.groups() }
func (v *takeIn) ready() time.Time {
	if v.list == nil {
		return time.Time{}
	}
	return v.gate.Ready()
}
func (v *takeIn) typing() bool { return v.field == inFile }

// takeInKeys are the keys of a list that is taken in.
type takeInKeys struct{ Next, Before, Less, More, Further, Earlier, Done, Leave key.Binding }

var takeInMap = takeInKeys{
	Next:    bind("↓", "next line", "down", "tab"),
	Before:  bind("↑", "line before", "up", "shift+tab"),
	Less:    bind("←", "choice before", "left"),
	More:    bind("→", "next choice", "right"),
	Further: bind("PgDn", "further down the list of what is pulled and left out", "pgdown"),
	Earlier: bind("PgUp", "further up", "pgup"),
	Done:    bind("Enter", "read the file; then, when all is answered: take the list in", "enter", "ctrl+j"),
	Leave:   bind("Esc", "back; nothing is taken in", "esc"),
}

func (k takeInKeys) groups() []keyGroup {
	return []keyGroup{{title: "Take in a list", keys: []key.Binding{k.Next, k.Before, k.Less, k.More, k.Further, k.Earlier, k.Done, textMap.Erase, textMap.Clear, k.Leave},
		about: []string{
			"The space bar takes the next choice, too. Nothing is taken in before every question is answered, and every line that is left out is listed with the reason.",
		}}}
}
