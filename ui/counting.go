package ui

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/counting"
	"app/unband/triage/flaws"
)

// backPage is where the rest of a session is counted back: what goes back by what was entered, what was
// counted by hand, and why the two may differ. Signing it off closes the session.
type backPage struct {
	env     *env
	session triage.Session
	straps  []triage.Strap
	count   counting.Count

	row, column int
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
	case key.Matches(k, backMap.Down, backMap.Enter):
		v.take(at)
		v.row = min(v.row+1, len(v.straps))
	case key.Matches(k, backMap.Up):
		v.take(at)
		v.row = max(v.row-1, 0)
	case key.Matches(k, backMap.Less, backMap.More):
		v.take(at)
		v.column = (v.column + 1) % backColumns
	case key.Matches(k, backMap.Sign):
		v.take(at)
		v.sign(k, at)
	default:
		v.digit(k, at)
	}
	return v, nil
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
	case v.typed == nil && key.Matches(k, backMap.Erase, backMap.Clear):
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
		words = differs(d)
	}
	if v.gate.again(v.env, triage.KeyClose, k, words+": "+name(backMap.Sign)+" again signs it off and closes the session", at) {
		event := triage.Event{Kind: triage.SignedOff, At: at, Back: all.Back(), Counted: all.Counted}
		v.env.submit(store.PutSession{Session: v.session.After(event)}, v)
	}
}

// differs puts a difference into words.
func differs(n int) string {
	if n > 0 {
		return count(n, "note", "notes") + " more than was entered"
	}
	return count(-n, "note", "notes") + " fewer than was entered"
}

func (v *backPage) title() (string, string) {
	state := "not counted"
	switch n, ok := v.count.Together().Difference(); {
	case ok && n == 0:
		state = "agrees"
	case ok:
		state = differs(n)
	}
	return "counting back · " + printable(v.session.Name), state
}

func (v *backPage) view(w, h int, at time.Time) []string {
	all := v.count.Together()
	head := []string{"  " + look.quiet.Render(v.cells(backCells("strap", "band", "entered", "kept", "aside", "in place", "goes back", "counted"), false, w))}
	foot := append([]string{""}, v.verdict(w)...)
	room := max(h-len(head)-1-min(len(foot), max(h-6, 3)), 1)
	first := firstShown(v.row, room, len(v.straps))
	lines := head
	for i := first; i < min(first+room, len(v.straps)); i++ {
		lines = append(lines, v.line(i, strconv.Itoa(v.count.Straps[i].Strap), v.count.Straps[i], w))
	}
	lines = append(lines, v.line(len(v.straps), "together", all, w))
	return append(lines, shorten(foot, h-len(lines))...)
}

// A backCell is one cell of the table; in a narrow window some columns are left out.
type backCell struct {
	text  string
	width int
	roomy bool // only where there is room
	typed int  // the column it is typed in, or -1
}

// backCells are the cells of one line.
func backCells(strap, band, entered, kept, aside, inPlace, back, counted string) []backCell {
	return []backCell{{strap, 9, false, -1}, {band, 7, true, -1}, {entered, 9, false, -1}, {kept, 6, false, -1}, {aside, 7, true, -1},
		{inPlace, 10, false, columnInPlace}, {back, 11, false, -1}, {counted, 9, false, columnCounted}}
}

// cells sets the cells, the one that is typed marked.
func (v *backPage) cells(cells []backCell, selected bool, w int) string {
	text := ""
	for i, c := range cells {
		if c.roomy && w < 78 {
			continue
		}
		room := strings.Repeat(" ", max(c.width-ansi.StringWidth(c.text), 0))
		switch shown := c.text; {
		case i == 0:
			text += shown + room
		case selected && c.typed == v.column:
			text += room + look.cursor.Render(shown)
		default:
			text += room + shown
		}
	}
	return text
}

// line is one strap, or the whole pile, with what is typed and by how much it differs.
func (v *backPage) line(i int, label string, l counting.Line, w int) string {
	selected := i == v.row
	said := func(column, n int, is bool) string {
		switch here := selected && column == v.column; {
		case here && v.typed != nil:
			return *v.typed + "_"
		case here && !is:
			return "_"
		case !is:
			return "·"
		}
		return number(n)
	}
	inPlace := said(columnInPlace, l.InPlace, l.Replaced || l.InPlace > 0)
	if i == len(v.straps) {
		inPlace = number(l.InPlace)
	}
	text := v.cells(backCells(label, number(l.Band), number(l.Entered), number(l.Kept), number(l.Aside), inPlace, number(l.Back()),
		said(columnCounted, l.Counted, l.Said)), selected, w)
	mark := "  "
	if selected {
		mark = look.hit.Render(signChoice) + " "
	}
	switch d, ok := l.Difference(); {
	case ok && d != 0:
		text += "  " + look.near.Render(fmt.Sprintf("%+d", d))
	case ok:
		text += "  " + look.hit.Render("=")
	}
	return mark + text
}

// verdict says what goes back in notes, straps and dollars, and what may be behind a difference.
func (v *backPage) verdict(w int) []string {
	all := v.count.Together()
	straps, rest := v.count.Whole(all.Back())
	text := fmt.Sprintf("%s go back, %s: %s of %d and %s.", count(all.Back(), "note", "notes"), dollars(v.count.Dollars(all.Back())),
		count(straps, "full strap", "full straps"), v.count.StrapNotes, count(rest, "note", "notes"))
	lines := hang(" ", look.strong.Render(text), w)
	if v.row < len(v.count.Straps) {
		l := v.count.Straps[v.row]
		lines = append(lines, hang(" ", fmt.Sprintf("Of strap %d go back %s, %s.", l.Strap, count(l.Back(), "note", "notes"), dollars(v.count.Dollars(l.Back()))), w)...)
	}
	lines = append(lines, hang(" ", look.quiet.Render(fmt.Sprintf("%s received by the bands, %s entered, %s kept, %s set aside, %s put in place of keepers",
		number(all.Band), number(all.Entered), number(all.Kept), number(all.Aside), number(all.InPlace))), w)...)
	if n := v.session.Totals.Waiting; n > 0 && v.session.Open() {
		lines = append(lines, hang(look.near.Render(signNear), count(n, "near miss of this pile waits", "near misses of this pile wait")+" for the second look", w)...)
	}
	switch n, ok := all.Difference(); {
	case !ok:
		return append(lines, hang(" ", "Count the pile by hand and type it under counted: the whole pile, or strap by strap.", w)...)
	case n != 0:
		lines = append(lines, hang(look.near.Render(signDoubt), look.strong.Render(fmt.Sprintf("Counted are %s: %s, %s.", number(all.Counted), differs(n), dollars(v.count.Dollars(max(n, -n))))), w)...)
	case v.session.Open():
		lines = append(lines, hang(look.hit.Render(signHit), "Counted are as many. "+name(backMap.Sign)+" signs it off and closes the session.", w)...)
	default:
		lines = append(lines, hang(look.hit.Render(signHit), "Counted are as many.", w)...)
	}
	if caution, large := flaws.ForCash(v.count.Dollars(all.Back())); large {
		lines = append(lines, cautionLines(caution, w)...)
	}
	for _, c := range v.count.Causes() {
		lines = append(lines, hang("-", c.String(), w)...)
	}
	return lines
}

func (v *backPage) short() []key.Binding {
	if !v.session.Open() {
		return []key.Binding{short(backMap.Leave, "session")}
	}
	return []key.Binding{short(backMap.Digits, "a number"), short(backMap.More, "in place, counted"), short(backMap.Sign, "sign off"), short(backMap.Leave, "session")}
}
func (v *backPage) groups() []keyGroup { return backMap.groups() }
func (v *backPage) ready() time.Time   { return v.gate.Ready() }
func (v *backPage) typing() bool       { return false }

// backKeys are the keys of counting back.
type backKeys struct{ Up, Down, Less, More, Digits, Enter, Erase, Clear, Sign, Leave key.Binding }

var backMap = backKeys{
	Up:     bind("↑", "strap above", "up"),
	Down:   bind("↓", "strap below; the last line is the whole pile", "down"),
	Less:   bind("←", "the other column", "left"),
	More:   bind("→", "the other column: put in place of keepers, counted by hand", "right", "tab"),
	Digits: bind("0-9", "the number of notes", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9"),
	Enter:  bind("Enter", "take the number, next line", "enter", "ctrl+j"),
	Erase:  eraseKey,
	Clear:  clearKey,
	Sign:   bind("S", "sign the count off and close the session, press twice", "s", "S"),
	Leave:  bind("Esc", "to the session's page; what was typed stays", "esc", "ctrl+d"),
}

func (k backKeys) groups() []keyGroup {
	return []keyGroup{{title: "Counting back", keys: []key.Binding{k.Up, k.Down, k.Less, k.More, k.Digits, k.Enter, k.Erase, k.Clear, k.Sign, k.Leave}}}
}
