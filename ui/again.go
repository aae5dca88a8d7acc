package ui

import (
	"fmt"
	"slices"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/patterns"
	"app/unband/store"
	"app/unband/triage"
	"app/unband/ui/terminal"
)

// again is one strap gone through once more, note by note: for the backs, say, or for what was not looked at when
// it was sorted.
type again struct {
	env   *env
	again *triage.Again
	book  *patterns.Book
	odds  map[patterns.ID]int // see learn
	names map[uint64]string

	closer *closer // the closer look at the note shown, nil while it is not taken
	line   int     // of the closer look, when it was left

	// What was said in the closer look is on its way to the disk; then it is taken at the next note. The keys that
	// come meanwhile are meant for that one.
	onward  int      // by how many notes, 0 while none is under way
	said    string   // what to say when it is stored
	waiting []keyMsg // the keys
}

// passOf names a strap that is gone through once more.
type passOf struct {
	session uint64
	strap   int
}

// openAgain goes through a strap once more, from where that was left; with no note in it it stays.
func openAgain(e *env, s triage.Session, t triage.Strap, from screen, at time.Time) (screen, tea.Cmd) {
	notes, err := e.store.Notes(s.ID, t.Number)
	if err == nil && len(notes) == 0 {
		e.hint(fmt.Sprintf("not one note of strap %d is decided yet", t.Number), at)
		return from, nil
	}
	var rules triage.Rules
	var names map[uint64]string
	if err == nil {
		rules, names, err = rulesOf(e, s)
	}
	if err == nil {
		rules.Before, rules.After, err = around(e, t)
	}
	if err != nil {
		e.fail(err, at)
		return from, nil
	}
	left, before := e.passes[passOf{s.ID, t.Number}]
	v := &again{env: e, book: rules.Book, odds: map[patterns.ID]int{}, names: names}
	v.again = triage.NewAgain(s, t, notes, left, rules, at)
	switch {
	case before:
		e.say(fmt.Sprintf("from note %d, where it was left", v.again.Pass().Position), at)
	case !s.Open():
		e.say(triage.Notice{Kind: triage.StaysClosed}.String(), at)
	}
	v.learn()
	return v, nil
}

func (v *again) learn() {
	learn(v.odds, v.book, v.again.Hand(), v.again.Session().Denomination.Top())
}

func (v *again) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	defer v.remember()
	switch m := msg.(type) {
	case keyMsg:
		return v.key(m, at)
	case stored:
		return v.stored(m, at)
	case shownMsg:
		v.again.Shown(at)
	case terminal.BeginMsg:
		v.env.hint(numLockOff, at)
	}
	return v, nil
}

// remember keeps for this sitting where the pass stands.
func (v *again) remember() {
	v.learn()
	t := v.again.Strap()
	v.env.passes[passOf{t.Session, t.Number}] = v.again.Pass()
}

func (v *again) key(k keyMsg, at time.Time) (screen, tea.Cmd) {
	switch {
	case v.onward != 0:
		v.waiting = append(v.waiting, k)
		return v, nil
	case v.closer != nil:
		return v.closerKey(k, at)
	case key.Matches(k, againMap.Closer):
		v.openCloser(at)
		return v, nil
	case key.Matches(k, againMap.Leave):
		return v.leave(at), nil
	case !v.takesLetters() && key.Matches(k, againMap.Turn, againMap.Serial):
		v.letter(k, at)
		return v, nil
	}
	press, ok := means(k, againMeanings())
	switch {
	case k.Paste || !ok:
		v.env.hint(fmt.Sprintf("that means nothing here: %s shows every key", name(everywhere.Help)), at)
	case k.burst && decides(press):
		v.again.Deaf(press.Kind, at)
		v.env.hint(fmt.Sprintf("%s came in one burst with other keys: it decides nothing", k), at)
	default:
		v.effect(v.again.Press(press, at), at)
	}
	return v, nil
}

// takesLetters reports whether a letter is text just now.
func (v *again) takesLetters() bool { return v.again.Retyping() || v.again.Hand().Asks() }

// againMeanings puts the keys of the screen into triage's terms.
func againMeanings() []meaning {
	return []meaning{
		{againMap.Keep, triage.Key{Kind: triage.KeyKeep}},
		{againMap.Spend, triage.Key{Kind: triage.KeySpend}},
		{againMap.Aside, triage.Key{Kind: triage.KeySetAside}},
		{againMap.Enter, triage.Key{Kind: triage.KeyEnter}},
		{againMap.After, triage.Key{Kind: triage.KeyMove, N: 1}},
		{againMap.Before, triage.Key{Kind: triage.KeyMove, N: -1}},
		{againMap.RowDown, triage.Key{Kind: triage.KeyMove, N: 10}},
		{againMap.RowUp, triage.Key{Kind: triage.KeyMove, N: -10}},
		{againMap.Onward, triage.Key{Kind: triage.KeyMove, N: 1}},
		{againMap.Backward, triage.Key{Kind: triage.KeyMove, N: -1}},
		{againMap.Erase, triage.Key{Kind: triage.KeyErase}},
		{againMap.Clear, triage.Key{Kind: triage.KeyClear}},
	}
}

// letter takes the keys that are letters.
func (v *again) letter(k keyMsg, at time.Time) {
	if v.env.busy(at) {
		return
	}
	if key.Matches(k, againMap.Serial) {
		v.env.notice(v.again.Retype(at), againWords(), at)
		return
	}
	n := v.again.Turn(at)
	if n.Kind == triage.Quiet {
		v.env.say("turned over: now it runs "+wayWords(v.again.Pass()), at)
	}
	v.env.notice(n, againWords(), at)
}

// wayWords say which way a pass runs.
func wayWords(p triage.Pass) string {
	if p.Turned {
		return "from the last note to the first"
	}
	return "from the first note to the last"
}

// leave goes back to the page of the session.
func (v *again) leave(at time.Time) screen {
	switch {
	case v.env.busy(at):
		return v
	case v.again.Undone():
		v.env.notice(triage.Notice{Kind: triage.DecideFirst}, againWords(), at)
		return v
	}
	p := pileOf(v.env, v.again.Session(), at)
	for i, t := range p.straps {
		if t.Number == v.again.Strap().Number {
			p.row = i
		}
	}
	return p
}

func (v *again) effect(e triage.Effect, at time.Time) {
	v.env.notice(e.Notice, againWords(), at)
	if e.Decide != nil {
		v.env.submit(store.Decide{Note: *e.Decide}, v)
	}
}

// againWords are the keys that the notices of a note in hand name, as they are called here.
func againWords() strapKeys {
	return strapKeys{Keep: againMap.Keep, Spend: againMap.Spend, Aside: againMap.Aside, Closer: againMap.Closer, Enter: againMap.Enter, Erase: againMap.Erase, Clear: againMap.Clear}
}

// stored takes the result of a write. Only now is a change shown as made.
func (v *again) stored(m stored, at time.Time) (screen, tea.Cmd) {
	if m.bad() {
		v.failed(at)
		return v, nil
	}
	before, n := v.again.Note(), m.result.Note
	effects := v.again.Stored(m.result.Session, m.result.Strap, at)
	words := decidedWords(n)
	if !n.Changed.IsZero() {
		words = fmt.Sprintf("note %d: noted%s", n.Position, v.said) + laterApart(n, m.result.Session, name(againMap.Aside))
	}
	if n.WantsNeighbours() && !(before.WantsNeighbours() && before.Decision == n.Decision) {
		words += v.advice(n)
	}
	v.env.say(words, at)
	for _, e := range effects {
		v.effect(e, at)
	}
	v.said = ""
	if v.onward != 0 {
		return v.goOn(at)
	}
	return v, nil
}

// advice says what is to be done about the notes around one that is wanted with them.
func (v *again) advice(n triage.Note) string {
	return adviceWords(triage.AdviceOn(v.again.Session(), v.again.Notes(), n.Position), n, 0, slices.Contains(v.again.Wanted(), n.Position-1))
}

// failed goes back to what was said, so that it can be handed over again.
func (v *again) failed(at time.Time) {
	v.again.Failed(at)
	v.onward, v.said, v.waiting = 0, "", nil
	if v.closer == nil && v.again.Hand().Facts() != v.again.Note().Facts() {
		v.closer = v.newCloser()
		v.closer.to(v.line)
	}
}

func (v *again) title() (string, string) {
	way := "first note to last"
	if v.again.Pass().Turned {
		way = "last note to first"
	}
	return "once more · " + printable(v.again.Session().Name), fmt.Sprintf("strap %d · %s", v.again.Strap().Number, way)
}

func (v *again) short() []key.Binding {
	k := againMap
	mode := v.again.Hand().Mode()
	switch {
	case v.closer != nil && v.onLines():
		return append([]key.Binding{short(k.Onward, "note it, next note")}, v.closer.shortKeys()...)
	case v.closer != nil:
		return v.closer.shortKeys()
	case mode == triage.Rereading:
		return []key.Binding{short(k.Enter, "answer"), k.Erase, short(k.Clear, "clear, then leave it")}
	case mode == triage.AskingStar:
		return []key.Binding{short(k.Enter, "next"), k.Erase, short(k.Clear, "clear, then leave it undecided")}
	case v.again.Retyping():
		return []key.Binding{k.Keep, k.Spend, k.Erase, short(k.Clear, "clear, then as it was")}
	case v.again.Jump() != "":
		return []key.Binding{short(k.Enter, "go there"), k.Erase, short(k.Clear, "clear")}
	case v.again.Session().Open() && v.again.Hand().Apart():
		return []key.Binding{short(k.Aside, "lay it apart"), short(k.Enter, "next"), short(k.Closer, "closer look"), short(k.Leave, "leave")}
	}
	return k.short(v.again.Session().Open())
}

func (v *again) groups() []keyGroup {
	switch {
	case v.closer != nil && v.onLines():
		return append([]keyGroup{againMap.closerGroup()}, v.closer.groups()...)
	case v.closer != nil:
		return v.closer.groups()
	}
	return againMap.groups()
}

func (v *again) ready() time.Time { return v.again.Hand().Ready() }
func (v *again) typing() bool     { return v.closer != nil }

// againKeys are the keys of a strap gone through once more.
type againKeys struct {
	Enter, After, Before, RowDown, RowUp, Position, Turn key.Binding
	Closer, Onward, Backward                             key.Binding
	Keep, Spend, Aside, Serial, Erase, Clear, Leave      key.Binding
}

var againMap = againKeys{
	Enter:    bind("Enter", "next note; goes to the position typed; answers a question", "enter", "ctrl+j"),
	After:    bind("→", "next note, the way the pile lies", "right"),
	Before:   bind("←", "note before", "left", ".", ","),
	RowDown:  bind("↓", "ten notes on", "down"),
	RowUp:    bind("↑", "ten notes back", "up"),
	Position: bind("0-9", "the position of a note; with the key of the next note on to it", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9"),
	Turn:     bind("T", "the pile was turned over: on from the last note to the first, or back again", "t", "T"),
	Closer:   bind("/", "closer look: series, plate numbers, condition, errors, remarks", "/"),
	Onward:   bind("PgDn", "next note; a closer look stays open on the same line", "pgdown", "ctrl+n"),
	Backward: bind("PgUp", "the same with the note before", "pgup", "ctrl+p"),
	Keep:     bind("+", "keep", "+", "="),
	Spend:    bind("-", "spend", "-"),
	Aside:    bind("!", "suspected counterfeit: set it aside, press twice; another denomination, said in the closer look: lay it apart", "!"),
	Serial:   bind("N", "type on at the serial: of a note not read to the end, to keep it, or typed wrong", "n", "N"),
	Erase:    bind("Backspace", "take back a key", "backspace", "ctrl+h"),
	Clear:    bind("Ctrl+U", "clear what is typed; then the note as it was", "ctrl+u"),
	Leave:    bind("Ctrl+D", "to the session's page; it goes on from this note later", "ctrl+d"),
}

func (k againKeys) short(open bool) []key.Binding {
	keys := []key.Binding{short(k.Enter, "next"), short(k.Closer, "closer look"), short(k.Position, "a note"), short(k.Turn, "turned"),
		short(k.Leave, "leave"), short(k.Before, "before")}
	if open {
		keys = append(keys, short(k.Serial, "its serial"), k.Keep, k.Spend)
	}
	return keys
}

func (k againKeys) groups() []keyGroup {
	return []keyGroup{
		{title: "A strap once more", keys: []key.Binding{k.Enter, k.After, k.Before, k.RowDown, k.RowUp, k.Position, k.Turn, k.Leave},
			about: []string{
				"Fronts first, then the pile is turned over for the backs: then its last note comes first, and the map lies as the pile does.",
			}},
		{title: "The note", keys: []key.Binding{k.Closer, k.Onward, k.Backward, k.Keep, k.Spend, k.Aside, k.Serial, k.Erase, k.Clear}},
	}
}

// closerGroup are the keys that lead from one closer look to the next.
func (k againKeys) closerGroup() keyGroup {
	return keyGroup{title: "One line through the whole strap", keys: []key.Binding{
		short(k.Onward, "what was said is stored, and the next note taken up on the same line"),
		short(k.Backward, "the same with the note before"),
	}}
}
