package ui

import (
	"fmt"
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
	fresh bool   // the name stood there already: typing replaces it
	wrong string // why the file was not read, "" if nothing was wrong
	read  string // the file that list is of
	list  *listing.List

	answers listing.Answers
	bottom  bool // the first line is the note at the bottom of the pile
	divide  bool // into straps as their bands have them

	known  map[string]bool // the digits that are listed in the session already
	again  int             // how many notes of the list have them
	met    int             // how many are pulled because they were met before
	taken  listing.Taken
	straps []triage.Strap
	place  func(int) triage.Place
	pulls  []triage.Pull
	top    int // first line of the list below shown
	room   int // how many lines of it can be seen
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
	v := &takeIn{env: e, back: back, session: s, strap: t, rules: rules, file: e.listFile, fresh: e.listFile != ""}
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
		v.step(1, at)
	case key.Matches(k, takeInMap.Before):
		v.step(-1, at)
	case key.Matches(k, takeInMap.Further):
		v.top += max(v.room-1, 1) // the last line says that there are more
	case key.Matches(k, takeInMap.Earlier):
		v.top = max(v.top-max(v.room-1, 1), 0)
	case key.Matches(k, takeInMap.Done):
		v.done(k, at)
	case v.field == inFile:
		textLine{longest: longestPath}.over(&v.file, &v.fresh, k, takeInMap.Less, takeInMap.More)
	case key.Matches(k, takeInMap.More) || k.Type == tea.KeySpace:
		v.choose(1, at)
	case key.Matches(k, takeInMap.Less):
		v.choose(-1, at)
	case k.Type == tea.KeyRunes:
		v.byLetter(strings.ToLower(string(k.Runes)), at)
	}
	return v, nil
}

// byLetter takes y or n on a line that asks, and says of every other character that it chooses nothing.
func (v *takeIn) byLetter(typed string, at time.Time) {
	asked := map[int]*listing.Answer{inZeros: &v.answers.Zeros, inTwice: &v.answers.Twice, inOthers: &v.answers.Others}[v.field]
	said, ok := map[string]listing.Answer{"y": listing.Yes, "n": listing.No}[typed]
	if asked == nil || !ok {
		v.env.hint("nothing here begins with "+printable(typed)+": "+name(takeInMap.Less)+" and "+name(takeInMap.More)+" choose", at)
		return
	}
	*asked = said
	v.take(at)
}

// longestPath bounds the name of a file that is typed, in characters.
const longestPath = 1024

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

// step goes to the next line that asks something. A name that was not read is left with its line: the list is the one
// before.
func (v *takeIn) step(by int, at time.Time) {
	for range inFields {
		v.field = (v.field + by + inFields) % inFields
		if v.asked(v.field) {
			break
		}
	}
	switch {
	case v.list == nil:
	case v.field == inFile: // come to for another list
		v.fresh = true
	case !v.named():
		v.env.hint("this is the list read before: "+printable(v.file)+" was not read", at)
		v.file, v.wrong = v.read, ""
	}
}

// named reports whether the line of the file names the list that was read.
func (v *takeIn) named() bool { return v.list != nil && v.file == v.read }

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
	if !v.named() || v.field == inFile {
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
	if strings.TrimSpace(v.file) == "" {
		v.env.hint("the name of the file with the list, please", at)
		return
	}
	path := listPath(v.file)
	list, err := readList(path)
	if err != nil {
		v.field, v.wrong = inFile, err.Error()
		return
	}
	v.wrong, v.fresh = "", false
	v.list, v.read, v.env.listFile = list, v.file, v.file
	v.answers = listing.Answers{Denomination: v.session.Denomination}
	v.strap.List = filepath.Base(path)
	v.divide = len(list.Take(v.answers).Notes) > mostOver-v.strap.Off()
	v.take(at)
	v.field = inColumn
	if !v.asked(inColumn) {
		v.step(1, at)
	}
	if field, open := v.unanswered(); open {
		v.field = field
	}
	v.gate.Lock(triage.KeyEnter, at) // the key that read it may still be down
}

// mostOver is how many notes more than its band says are still taken for one strap.
const mostOver = 10

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
	v.pulls, v.met = triage.Pulls(v.session, n, v.listed, v.rules), 0
	for _, p := range v.pulls {
		if pullReason(v.rules.Book, v.session, p.Listed, p.Beside) == metBefore {
			v.met++
		}
	}
	v.gate.Open(at, v.env.pauses.Stop)
}

// turned is where in the pile a note of the list lies, from 0 on top, and the other way round.
func (v *takeIn) turned(i int) int {
	if v.bottom {
		return len(v.taken.Notes) - 1 - i
	}
	return i
}

// pile names the notes of the list by their places.
func (v *takeIn) pile() listing.Pile {
	lies := func(i int) string {
		p := v.place(i)
		if len(v.straps) > 1 {
			return fmt.Sprintf("note %d of strap %d", p.Position, p.Strap)
		}
		return fmt.Sprintf("note %d", p.Position)
	}
	return listing.Pile{
		Note: func(i int) string { return lies(v.turned(i)) },
		Behind: func(n int) string {
			above := n - 1 // the note above it, from 0 on top of the pile
			if v.bottom {
				above = len(v.taken.Notes) - 1 - n
			}
			if above < 0 {
				return "above " + lies(0)
			}
			return "behind " + lies(above)
		},
	}
}

// listed is one note of the list, from 0 on top of the pile, as it is taken in.
func (v *takeIn) listed(i int) triage.Listed {
	p := v.place(i)
	i = v.turned(i)
	n := v.taken.Notes[i]
	l := triage.Listed{Session: p.Session, Strap: p.Strap, Position: p.Position, Serial: n.Serial, Origin: triage.FromList, Unread: n.Unread, Doubt: v.taken.Why(i, v.pile())}
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

func (v *takeIn) title() (string, string) {
	return "take in a list", fmt.Sprintf("%s · strap %d · %s", printable(v.session.Name), v.strap.Number, v.session.Denomination)
}

func (v *takeIn) short() []key.Binding {
	k := takeInMap
	switch {
	case v.list == nil:
		return []key.Binding{short(k.Done, "read it"), short(k.Leave, "back")}
	case v.field == inFile:
		return []key.Binding{short(k.Done, "read it"), short(k.Next, "next line"), short(k.Leave, "back"), short(k.Further, "the list")}
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
			"The space bar takes the next choice, too. Nothing is taken in before every question is answered, and every line that is left out is listed with the reason, and where in the pile it would lie.",
			"A name that stands in the line already is replaced by the first character typed; " + name(textMap.Erase) + ", " + name(k.Less) + " and " + name(k.More) + " keep it to be changed. ~ is your home folder.",
		}}}
}
