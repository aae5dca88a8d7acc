package ui

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/currency"
)

// The lines of the form, from the top.
const (
	seqFirst = iota
	seqDirection
	seqNotes
	seqSeries
	seqLast
	seqFields
)

// mostInStrap is how many notes a strap in sequence may have.
const mostInStrap = 4000

// sequence takes in a strap of new notes by its first and its last number. What was typed stays when it is left.
type sequence struct {
	env     *env
	back    func(time.Time) screen
	session triage.Session
	strap   triage.Strap // not opened yet, or without a note
	rules   triage.Rules

	field int
	text  [seqFields]string
	down  bool
	fresh bool // the number of notes is the one proposed: typing replaces it

	proof  triage.Proof
	failed bool            // the last number does not follow from the first: proof says how
	found  triage.Sequence // of which proof is given
	proved bool            // what is to be pulled is shown
	pulls  []triage.Pull   // once proved
	coming []triage.Coming // once proved
	top    int             // first line of these shown
	gate   triage.Gate     // of taking it in
	sent   bool            // it is on its way to the disk
	held   *triage.Held    // to be put down as in hand once the strap is open
	wait   time.Duration   // before what is shown can be taken in
}

// openSequence asks for the first and the last number of a strap. first is what was typed of the first already.
func openSequence(e *env, s triage.Session, t triage.Strap, first triage.Serial, back func(time.Time) screen, at time.Time) screen {
	switch {
	case !s.NewNotes:
		e.hint("only new notes come in sequence, and this is a session of used ones: "+name(pileMap.Right)+" on its page puts that right", at)
		return back(at)
	case t.Size() > 0:
		e.hint("notes of this strap are sorted already: the next one can be taken in as a sequence", at)
		return back(at)
	}
	rules, _, err := rulesOf(e, s)
	if err != nil {
		e.fail(err, at)
		return back(at)
	}
	v := e.sequence
	if v == nil || v.session.ID != s.ID || v.strap.Number != t.Number {
		v = &sequence{fresh: true}
		v.text[seqNotes] = strconv.Itoa(t.Band)
	}
	v.env, v.back, v.session, v.strap, v.rules, v.sent, v.proved = e, back, s, t, rules, false, false
	if !first.Empty() {
		v.text[seqFirst] = first.String()
		v.text[seqFirst] = strings.ReplaceAll(v.text[seqFirst], "·", "")
	}
	e.sequence = v
	return v
}

func (v *sequence) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	switch m := msg.(type) {
	case keyMsg:
		return v.key(m, at)
	case stored:
		return v.stored(m, at)
	case shownMsg:
		v.gate.Open(at, v.wait)
	}
	return v, nil
}

func (v *sequence) stored(m stored, at time.Time) (screen, tea.Cmd) {
	v.sent = false
	if m.bad() {
		v.held = nil // the next try may be another: a strap in sequence has nothing in hand
		return v, nil
	}
	if v.held != nil {
		held := *v.held
		v.held, v.sent = nil, true
		v.env.submit(store.SetHand{Session: v.session.ID, Strap: m.result.Strap.Number, Held: held}, v)
		return v, nil
	}
	v.env.sequence = nil
	return openStrap(v.env, m.result.Session, m.result.Strap, at)
}

func (v *sequence) key(k keyMsg, at time.Time) (screen, tea.Cmd) {
	switch {
	case v.sent:
		return v, nil
	case v.proved:
		return v.shownKey(k, at)
	case !key.Matches(k, sequenceMap.Done):
		v.gate.Other()
	}
	switch {
	case key.Matches(k, sequenceMap.Leave):
		return v.back(at), nil
	case key.Matches(k, sequenceMap.OneByOne):
		v.oneByOne(at)
	case key.Matches(k, sequenceMap.Next):
		v.field = (v.field + 1) % seqFields
	case key.Matches(k, sequenceMap.Before):
		v.field = (v.field + seqFields - 1) % seqFields
	case key.Matches(k, sequenceMap.Done):
		if v.field < seqLast {
			if v.field == seqSeries && !v.seriesMeant(at) {
				return v, nil
			}
			v.field++
			return v, nil
		}
		v.prove(at)
	case v.field == seqDirection:
		if key.Matches(k, sequenceMap.Less, sequenceMap.More) || k.Type == tea.KeySpace {
			v.down, v.failed = !v.down, false
		}
	default:
		v.edit(k)
	}
	return v, nil
}

// seriesMeant puts the series in place of a few keys that can mean only one, as 17A for 2017A; else it says what is not
// right.
func (v *sequence) seriesMeant(at time.Time) bool {
	typed := v.text[seqSeries]
	if typed == "" {
		return true
	}
	if s, err := currency.ParseSeries(typed); err == nil {
		v.text[seqSeries] = s.String()
		return true
	}
	first, _, _ := triage.ParseSerial(v.text[seqFirst])
	series, choices, ok := triage.PickSeries(v.session.Denomination, first.Prefix, typed)
	switch {
	case ok:
		v.text[seqSeries] = series
		return true
	case len(choices) > 0:
		v.env.hint("which of them: "+strings.Join(choices, ", ")+"?", at)
	default:
		_, err := currency.ParseSeries(typed)
		v.env.hint(printable(err.Error()), at)
	}
	return false
}

func (v *sequence) edit(k keyMsg) {
	line := textLine{longest: 16, allowed: "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789*"}
	switch v.field {
	case seqNotes:
		line = textLine{longest: 5, allowed: "0123456789"}
	case seqSeries:
		line = textLine{longest: 5, allowed: "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"}
	}
	fresh := v.field == seqNotes && v.fresh
	if line.over(&v.text[v.field], &fresh, k, sequenceMap.Less, sequenceMap.More) {
		v.failed = false
	}
	if v.field == seqNotes {
		v.fresh = fresh
	}
}

// read gives the sequence of the form. A line that is not right gets the cursor, and the words why.
func (v *sequence) read(at time.Time) (q triage.Sequence, series string, ok bool) {
	wrong := func(field int, text string) (triage.Sequence, string, bool) {
		v.field = field
		v.env.hint(text, at)
		return triage.Sequence{}, "", false
	}
	first, _, err := triage.ParseSerial(v.text[seqFirst])
	if err != nil {
		return wrong(seqFirst, "the first number: "+printable(err.Error()))
	}
	n, err := strconv.Atoi(v.text[seqNotes])
	if err != nil || n < 2 || n > mostInStrap {
		return wrong(seqNotes, fmt.Sprintf("how many notes? a number from 2 to %s", number(mostInStrap)))
	}
	if v.text[seqSeries] != "" {
		s, err := currency.ParseSeries(v.text[seqSeries])
		if err != nil {
			return wrong(seqSeries, printable(err.Error()))
		}
		series = s.String()
	}
	q = triage.Sequence{First: first, Down: v.down, Notes: n}
	if _, fits := q.Last(); !fits {
		return wrong(seqFirst, "so many notes do not fit between 00000001 and 99999999: read the first number again")
	}
	return q, series, true
}

// prove compares the last number typed with the one that follows from the first.
func (v *sequence) prove(at time.Time) {
	if v.gate.Rests(triage.KeyEnter, at) {
		v.gate.Lock(triage.KeyEnter, at)
		v.env.hint(triage.Notice{Kind: triage.HeldKey}.String(), at)
		return
	}
	v.gate.Lock(triage.KeyEnter, at)
	q, _, ok := v.read(at)
	if !ok {
		return
	}
	last, _, err := triage.ParseSerial(v.text[seqLast])
	if err != nil {
		v.env.hint("the last number: "+printable(err.Error()), at)
		return
	}
	v.proof, v.found, v.top = q.Prove(last), q, 0
	v.failed, v.proved = !v.proof.Proved(), v.proof.Proved()
	if v.failed {
		v.text[seqLast] = "" // it is read again from the note, not looked over
		return
	}
	v.found = v.proof.Sequence
	list := v.list()
	v.pulls = triage.Pulls(v.session, len(list), func(i int) triage.Listed { return list[i] }, v.rules)
	v.coming = v.found.Ahead(v.rules.Book, v.session.Watch, max((v.session.Straps-v.strap.Number)*v.session.StrapNotes, bundleAhead))
	v.wait = v.env.pauses.Stop
	v.gate.Open(at, v.wait)
	v.gate.Lock(triage.KeyEnter, at)
}

// bundleAhead is how many notes a bundle holds besides one strap: so far the numbers are known to go on.
const bundleAhead = 900

// list gives the notes of the strap as they are taken in.
func (v *sequence) list() []triage.Listed {
	_, series, _ := v.read(time.Time{})
	var list []triage.Listed
	for i := 1; i <= v.found.Notes; i++ {
		serial, _ := v.found.At(i)
		list = append(list, triage.Listed{Session: v.session.ID, Strap: v.strap.Number, Position: i, Serial: serial,
			Origin: triage.FromSequence, Facts: triage.Facts{Series: series}})
	}
	return list
}

// opened is the strap as it is entered.
func (v *sequence) opened(at time.Time) triage.Strap {
	t := v.strap
	t.Session, t.Band = v.session.ID, max(t.Band, 1)
	if t.Opened.IsZero() {
		t.Opened = at
	}
	return t
}

// shownKey takes a key while what is to be pulled is shown.
func (v *sequence) shownKey(k keyMsg, at time.Time) (screen, tea.Cmd) {
	switch {
	case key.Matches(k, sequenceMap.Done):
		n := v.gate.Press(triage.KeyEnter, at)
		if k.burst && n == triage.Quiet {
			n = triage.HeldKey
		}
		if v.env.hint(triage.Notice{Kind: n}.String(), at); n != triage.Quiet {
			return v, nil
		}
		t := v.opened(at)
		t.First, t.InSequence, t.Down = v.found.First, true, v.found.Down
		t.Last, _ = v.found.Last()
		v.sent = true
		v.env.submit(store.List{Straps: []triage.Strap{t}, Notes: v.list()}, v)
		return v, nil
	case key.Matches(k, sequenceMap.Leave):
		v.proved = false
	case key.Matches(k, sequenceMap.Next):
		v.top = min(v.top+1, max(len(v.pulls)+len(v.coming)-1, 0))
	case key.Matches(k, sequenceMap.Before):
		v.top = max(v.top-1, 0)
	}
	v.gate.Other()
	return v, nil
}

// oneByOne opens the strap as an ordinary one. What was read of its first and its last note is kept.
func (v *sequence) oneByOne(at time.Time) {
	if v.env.busy(at) {
		return
	}
	t := v.opened(at)
	if first, _, err := triage.ParseSerial(v.text[seqFirst]); err == nil {
		t.First = first
		v.held = &triage.Held{Serial: first, Facts: triage.Facts{Series: v.text[seqSeries]}}
		if _, err := currency.ParseSeries(v.text[seqSeries]); err != nil {
			v.held.Facts = triage.Facts{}
		}
	}
	if v.failed {
		t.Last = v.proof.Last
	} else if last, _, err := triage.ParseSerial(v.text[seqLast]); err == nil {
		t.Last = last
	}
	v.sent = true
	v.env.submit(store.List{Straps: []triage.Strap{t}}, v)
}

func (v *sequence) view(w, h int, at time.Time) []string {
	if v.proved {
		return v.shown(w, h, at)
	}
	var lines []string
	if !v.failed || h >= 16 { // a small window is for what went wrong
		lines = append(wrap(look.strong.Render("Two reads and no guess: the number of the note on top, then that of the note at the bottom of the strap"), w), "")
	}
	labels := [seqFields]string{"first note", "from the top", "notes", "series", "last note"}
	helps := [seqFields]string{"as it stands on the note on top", "the numbers rise, or they fall", "as the band says",
		"as printed, for all of them; empty: not said", "from the note at the bottom: take it in your hand"}
	for i := range seqFields {
		value := v.text[i]
		if i == seqDirection {
			value = v.directions()
		}
		line := labelled(labels[i], value, i == v.field && i != seqDirection, w)
		if i == v.field && i == seqNotes && v.fresh {
			line = labelledFresh(labels[i], value, w)
		}
		if i == seqDirection && i == v.field {
			line = cut(look.hit.Render(signChoice)+" "+look.quiet.Render(pad(labels[i], labelWidth))+value, w)
		}
		if i == v.field {
			line = cut(line+"  "+look.quiet.Render(helps[i]), w)
		}
		lines = append(lines, line)
	}
	lines = append(lines, "")
	for _, r := range v.remarks() {
		lines = append(lines, hang(look.near.Render(signDoubt), r, w)...)
	}
	if v.failed {
		lines = append(lines, hang(look.near.Render(signDoubt), v.proof.String(), w)...)
		lines = append(lines, hang(" ", look.quiet.Render("typed of the last note: "+v.proof.Last.String()+". Read it again from the note"), w)...)
		lines = append(lines, hang(" ", look.hit.Render(name(sequenceMap.OneByOne))+" sorts the strap one by one; what was read of its first and its last note is kept", w)...)
	}
	return shorten(lines, h)
}

// directions are the two ways the numbers can run.
func (v *sequence) directions() string {
	words := []string{"they rise", "they fall"}
	for i := range words {
		if (i == 1) == v.down {
			words[i] = look.strong.Render("[" + words[i] + "]")
		} else {
			words[i] = " " + look.quiet.Render(words[i]) + " "
		}
	}
	return strings.Join(words, " ")
}

// remarks are doubts about the first number, once it is whole.
func (v *sequence) remarks() []string {
	first, _, err := triage.ParseSerial(v.text[seqFirst])
	if err != nil {
		return nil
	}
	var lines []string
	for _, r := range triage.RemarksOn(v.session.Denomination, first, triage.Facts{}) {
		if r.Verdict > currency.Fine {
			lines = append(lines, r.Text)
		}
	}
	n, _ := strconv.Atoi(v.text[seqNotes])
	if words := (triage.Sequence{First: first, Down: v.down, Notes: n}).Begins(); words != "" {
		lines = append(lines, words)
	}
	return lines
}

// shown says what is to be pulled from the strap, and what lies ahead.
func (v *sequence) shown(w, h int, at time.Time) []string {
	last, _ := v.found.Last()
	proof := fmt.Sprintf("%s to %s, %s: the last number proves it", v.found.First, last, count(v.found.Notes, "note", "notes"))
	lines := append(wrap(look.strong.Render(proof), w),
		bar(v.gate.Done(at), v.env.comfort.Calm)+"  "+look.hit.Render(name(sequenceMap.Done))+" takes it in   "+look.hit.Render(name(sequenceMap.Leave))+" the numbers", "")
	var body []string
	switch {
	case v.found.Stars():
		body = append(body, hang(look.hit.Render(signHit), "a strap of stars: it is kept whole, with its band; its first and last number are written down", w)...)
	case len(v.pulls) == 0:
		body = append(body, "  nothing is to be pulled from it")
	default:
		body = append(body, look.quiet.Render(count(len(v.pulls), "note is", "notes are")+" to be pulled, counted from the top"))
	}
	for _, p := range v.pulls {
		body = append(body, pullLine(v.rules.Book, v.session, p, false))
	}
	body = append(body, "")
	if len(v.coming) > 0 {
		body = append(body, look.quiet.Render("just ahead, if the next straps go on where this one ends"))
		for _, c := range v.coming {
			body = append(body, "  "+v.comingWords(c))
		}
	} else {
		body = append(body, look.quiet.Render("nothing watched lies just ahead"))
	}
	return append(lines, scrolled(body, v.top, h-len(lines), "  … "+name(sequenceMap.Next)+" goes on")...)
}

// comingWords say where in the straps to come a number lies.
func (v *sequence) comingWords(c triage.Coming) string {
	strap := v.strap.Number + 1 + (c.On-1)/v.session.StrapNotes
	where := ""
	if strap <= v.session.Straps {
		where = fmt.Sprintf(" (strap %d, note %d)", strap, (c.On-1)%v.session.StrapNotes+1)
	}
	return c.String() + look.quiet.Render(where)
}

func (v *sequence) title() (string, string) {
	return "a strap in sequence", fmt.Sprintf("strap %d · %s new", v.strap.Number, v.session.Denomination)
}

func (v *sequence) short() []key.Binding {
	k := sequenceMap
	if v.proved {
		return []key.Binding{short(k.Done, "take it in"), short(k.Next, "further"), short(k.Leave, "the numbers")}
	}
	if v.failed {
		return []key.Binding{short(k.Done, "prove"), short(k.OneByOne, "one by one"), short(k.More, "the other way"), short(k.Leave, "back")}
	}
	return []key.Binding{short(k.Done, "next, at the end prove"), short(k.More, "the other way"), short(k.OneByOne, "one by one"), short(k.Leave, "back")}
}
func (v *sequence) groups() []keyGroup { return sequenceMap.groups() }
func (v *sequence) ready() time.Time {
	if v.proved {
		return v.gate.Ready()
	}
	return time.Time{}
}
func (v *sequence) typing() bool { return !v.proved }

// sequenceKeys are the keys of a strap in sequence.
type sequenceKeys struct{ Next, Before, Less, More, Done, OneByOne, Leave key.Binding }

var sequenceMap = sequenceKeys{
	Next:     bind("↓", "next line", "down", "tab"),
	Before:   bind("↑", "line before", "up", "shift+tab"),
	Less:     bind("←", "the other direction", "left"),
	More:     bind("→", "the other direction", "right"),
	Done:     bind("Enter", "next line; on the last line: prove it; then: take the strap in", "enter", "ctrl+j"),
	OneByOne: bind("Ctrl+O", "sort the strap one by one; what was read is kept", "ctrl+o"),
	Leave:    bind("Esc", "back; what is typed stays", "esc"),
}

func (k sequenceKeys) groups() []keyGroup {
	return []keyGroup{{title: "A strap in sequence", keys: []key.Binding{k.Next, k.Before, k.Less, k.More, k.Done, k.OneByOne, textMap.Erase, textMap.Clear, k.Leave},
		about: []string{
			"The space bar turns the direction, too. The number of the last note is shown nowhere before it is typed: two reads and no guess.",
		}}}
}
