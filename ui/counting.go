package ui

import (
	"strconv"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/counting"
)

// backPage is where the rest of a session is counted back: what goes back by what was entered, what was
// counted by hand, and why the two may differ. Signing it off closes the session.
type backPage struct {
	env     *env
	session triage.Session
	straps  []triage.Strap
	count   counting.Count

	row, column int
	below       scroll  // of what is told below the straps
	typed       *string // the number being typed, nil while none is
	gate        twice   // of signing off
}

// The columns that are typed.
const (
	columnInPlace = iota
	columnCounted
	backColumns
)

// mostLooked is in how many straps serials that stand twice are looked for: in more it would be felt.
const mostLooked = 200

// openBack counts a session back. All of it must be sorted.
func openBack(e *env, s triage.Session, at time.Time) (screen, tea.Cmd) {
	v := &backPage{env: e, session: s, column: columnCounted}
	if err := v.load(); err != nil {
		e.fail(err, at)
		return pileOf(e, s, at), nil
	}
	v.row = len(v.straps) // the whole pile
	v.gate.Open(at, e.pauses.Plain)
	return v, nil
}

func (v *backPage) load() (err error) {
	if v.session, err = v.env.store.Session(v.session.ID); err != nil {
		return err
	}
	if v.straps, err = v.env.store.Straps(v.session.ID); err != nil {
		return err
	}
	v.count = counting.New(v.session, v.straps, nil)
	if n, ok := v.count.Together().Difference(); ok && n < 0 && len(v.straps) <= mostLooked {
		twice, err := v.twice()
		if err != nil {
			return err
		}
		v.count = counting.New(v.session, v.straps, twice)
	}
	return nil
}

// twice finds the serials that stand twice in the session, by strap.
func (v *backPage) twice() (map[int][]int, error) {
	seen, twice := map[triage.Serial]bool{}, map[int][]int{}
	for _, t := range v.straps {
		notes, err := v.env.store.Notes(t.Session, t.Number)
		if err != nil {
			return nil, err
		}
		for _, n := range notes {
			if _, whole := n.Serial.Whole(); whole && seen[n.Serial] {
				twice[t.Number] = append(twice[t.Number], n.Position)
			}
			seen[n.Serial] = true
		}
	}
	return twice, nil
}

func (v *backPage) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	switch m := msg.(type) {
	case stored:
		if _, signed := m.write.(store.PutSession); signed && !m.bad() {
			return pileOf(v.env, m.result.Session, at), nil
		}
		if err := v.load(); err != nil {
			v.env.fail(err, at)
		}
	case keyMsg:
		if v.env.busy(at) {
			return v, nil
		}
		return v.key(m, at)
	}
	return v, nil
}

func (v *backPage) key(k keyMsg, at time.Time) (screen, tea.Cmd) {
	if !key.Matches(k, backMap.Sign) {
		v.gate.other()
	}
	switch {
	case key.Matches(k, backMap.Leave):
		if v.typed != nil { // the number is dropped, not the page
			v.typed = nil
			return v, nil
		}
		return pileOf(v.env, v.session, at), nil
	case key.Matches(k, backMap.Enter):
		v.take(at)
		v.goTo(v.row + 1)
	case key.Matches(k, backMap.Down):
		v.move(1, 1, at)
	case key.Matches(k, backMap.Up):
		v.move(-1, -1, at)
	case key.Matches(k, backMap.PageDown):
		v.move(10, v.below.page(), at)
	case key.Matches(k, backMap.PageUp):
		v.move(-10, -v.below.page(), at)
	case key.Matches(k, backMap.Less, backMap.More):
		v.take(at)
		if v.column = (v.column + 1) % backColumns; v.row == len(v.straps) && v.column == columnInPlace {
			v.column = columnCounted
			v.env.hint("what was put in place is said for each strap: "+name(backMap.Up)+" leads to them", at)
		}
	case key.Matches(k, backMap.Sign):
		v.take(at)
		v.sign(k, at)
	default:
		v.digit(k, at)
	}
	return v, nil
}

// move goes by so many straps, and from the whole pile on by so many lines of what is told below; up the other way. What
// is typed is taken before.
func (v *backPage) move(straps, lines int, at time.Time) {
	v.take(at)
	if down := straps > 0; down && v.row < len(v.straps) || !down && v.below.top == 0 {
		v.goTo(v.row + straps)
		return
	}
	v.below.by(lines)
}

// settle keeps what is told below the straps within the window.
func (v *backPage) settle(w, h int, at time.Time) {
	l := v.laidOut(w, h)
	v.below.settle(len(l.rest), l.room)
}

// goTo puts the cursor on a strap, or behind the last one on the whole pile.
func (v *backPage) goTo(row int) {
	v.row, v.below.top = max(min(row, len(v.straps)), 0), 0
	if v.row == len(v.straps) { // what was put in place is said for each strap
		v.column = columnCounted
	}
}

// digit takes a digit of the number under the cursor, or takes one back.
func (v *backPage) digit(k keyMsg, at time.Time) {
	switch {
	case !v.session.Open():
		v.env.hint("the session is closed: what was counted stays. "+name(pileMap.Reopen)+" on its page opens it again", at)
		return
	case v.row == len(v.straps) && v.column == columnInPlace:
		v.env.hint("what was put in place is said for each strap", at)
		return
	case v.typed == nil && key.Matches(k, textMap.Erase, textMap.Clear):
		v.put(nil, at)
		return
	}
	text := ""
	if v.typed != nil {
		text = *v.typed
	}
	if (textLine{longest: 7, allowed: "0123456789"}).edit(&text, k) {
		v.typed = &text
	}
}

// take puts down the number that is typed.
func (v *backPage) take(at time.Time) {
	if v.typed == nil {
		return
	}
	n, err := strconv.Atoi(*v.typed)
	v.typed = nil
	if err != nil {
		v.put(nil, at)
		return
	}
	v.put(&n, at)
}

// put stores what was said in the cell under the cursor; nil takes it back.
func (v *backPage) put(n *int, at time.Time) {
	w := store.PutBack{Session: v.session.ID, Back: v.session.Back}
	if v.row < len(v.straps) {
		w.Strap, w.Back = v.straps[v.row].Number, v.straps[v.row].Back
	}
	number, said := 0, n != nil
	if said {
		number = *n
	}
	if v.column == columnInPlace {
		w.Back.InPlace, w.Back.Replaced = number, said
	} else {
		w.Back.Counted, w.Back.Said = number, said
	}
	v.env.submit(w, v)
}

// sign signs the count off and closes the session when it was asked for twice, each time after a pause.
func (v *backPage) sign(k keyMsg, at time.Time) {
	all := v.count.Together()
	switch {
	case v.env.busy(at):
		return
	case !v.session.Open():
		v.env.hint("the session is closed already", at)
		return
	case !all.Said:
		v.env.hint("nothing is counted yet: type how many notes go back, counted by hand. "+name(pileMap.Close)+" on the session's page closes without it", at)
		return
	}
	words := "it agrees"
	if d, _ := all.Difference(); d != 0 {
		words = counting.Differs(d)
	}
	if v.gate.again(v.env, triage.KeyClose, k, words+": "+name(backMap.Sign)+" again signs it off and closes the session", at) {
		event := triage.Event{Kind: triage.SignedOff, At: at, Back: all.Back(), Counted: all.Counted}
		v.env.submit(store.PutSession{Session: v.session.After(event)}, v)
	}
}

func (v *backPage) title() (string, string) {
	state := "not counted"
	switch n, ok := v.count.Together().Difference(); {
	case ok && n == 0:
		state = "agrees"
	case ok && n > 0:
		state = count(n, "note", "notes") + " too many"
	case ok:
		state = count(-n, "note", "notes") + " too few"
	}
	return "counting back · " + printable(v.session.Name), state
}

func (v *backPage) short() []key.Binding {
	if !v.session.Open() {
		return []key.Binding{short(backMap.Leave, "session")}
	}
	return []key.Binding{short(backMap.Digits, "a number"), short(backMap.Leave, "session"), short(backMap.Sign, "sign off"), short(backMap.More, "in place, counted")}
}
func (v *backPage) groups() []keyGroup { return backMap.groups() }
func (v *backPage) ready() time.Time   { return v.gate.Ready() }
func (v *backPage) typing() bool       { return false }

// backKeys are the keys of counting back.
type backKeys struct{ Up, Down, PageUp, PageDown, Less, More, Digits, Enter, Sign, Leave key.Binding }

var backMap = backKeys{
	Up:       bind("↑", "strap above", "up"),
	Down:     bind("↓", "strap below; after the last line, the whole pile, further down in what is told", "down"),
	PageUp:   bind("PgUp", "ten straps up, or a page of what is told", "pgup"),
	PageDown: bind("PgDn", "ten straps down, then a page of what is told", "pgdown"),
	Less:     bind("←", "the other column", "left"),
	More:     bind("→", "the other column: put in place of keepers, counted by hand", "right", "tab"),
	Digits:   bind("0-9", "the number of notes", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9"),
	Enter:    bind("Enter", "take the number, next line", "enter", "ctrl+j"),
	Sign:     bind("S", "sign the count off and close the session, press twice", "s", "S"),
	Leave:    bind("Esc", "to the session's page; what was typed stays", "esc", "ctrl+d"),
}

func (k backKeys) groups() []keyGroup {
	return []keyGroup{{title: "Counting back", keys: []key.Binding{k.Up, k.Down, k.PageUp, k.PageDown, k.Less, k.More, k.Digits, k.Enter, textMap.Erase, textMap.Clear, k.Sign, k.Leave}}, aboutCounting.group()}
}
