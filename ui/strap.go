package ui

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/patterns"
	"app/unband/store"
	"app/unband/triage"
	"app/unband/ui/terminal"
)

// strap is the screen of the strap on the table.
type strap struct {
	env    *env
	sorter *triage.Sorter
	book   *patterns.Book
	odds   map[patterns.ID]int // see learn
	names  map[uint64]string   // of the sessions, for notes met before

	resumed string  // what to say until the next note is decided
	closing bool    // the strap is being closed on disk, or sorted one by one from now on
	then    screen  // the screen to go on to, nil for this one
	closer  *closer // the closer look at the note shown, nil while it is not taken
	guide   *guide  // nil where there is nothing to tell
	told    told    // the hit that a bell or a flash was for
}

// told names the digits of a note that a bell or a flash was for.
type told struct {
	place  int
	digits string
}

// beginStrap opens a strap of a session on disk; asker is told when it is there.
func beginStrap(e *env, s triage.Session, number int, asker screen, at time.Time) {
	e.submit(store.OpenStrap{Strap: triage.Strap{Session: s.ID, Number: number, Band: s.StrapNotes, Opened: at}}, asker)
}

// openStrap takes up a strap at the note after the last decided one.
func openStrap(e *env, s triage.Session, t triage.Strap, at time.Time) (screen, tea.Cmd) {
	notes, err := e.store.Notes(s.ID, t.Number)
	if err != nil {
		e.fail(err, at)
		return newDesk(e, at), nil
	}
	list, err := e.store.Listed(s.ID, t.Number)
	if err != nil {
		e.fail(err, at)
		return newDesk(e, at), nil
	}
	hand, held, err := e.store.Hand(s.ID, t.Number)
	if err != nil {
		e.fail(err, at)
	}
	rules, names, err := rulesOf(e, s)
	if err != nil {
		e.fail(err, at)
		return newDesk(e, at), nil
	}
	if rules.Before, rules.After, err = around(e, t); err != nil {
		e.fail(err, at)
	}
	v := &strap{env: e, book: rules.Book, odds: map[patterns.ID]int{}, names: names}
	v.sorter = triage.NewSorter(s, t, notes, list, hand, rules, at)
	onward, err := onwardOf(e, s, t, rules, at)
	if err != nil {
		e.fail(err, at)
	}
	v.sorter.SetOnward(onward)
	v.resumed = resumeWords(notes, len(list) > 0, held && !hand.Serial.Empty()) // a Held may be facts alone
	if len(notes) == 0 && held && !t.First.Empty() && hand.Serial == t.First {
		v.resumed = "The serial above was read already, as the note on top of the strap: another number is typed over it."
	}
	v.guide = newGuide(e, v.sorter)
	v.learn()
	v.told = told{v.sorter.Place(), v.sorter.Hand().Entry.Digits} // a hit that was left in hand is no news
	return v, nil
}

// around gives the notes of the straps before and after that lie beside a strap, nil where there is none.
func around(e *env, t triage.Strap) (before, after *triage.Note, err error) {
	if before, err = lastOf(e, t.Session, t.Number-1); err != nil {
		return nil, nil, err
	}
	next, err := e.store.Notes(t.Session, t.Number+1)
	if err != nil || len(next) == 0 || next[0].Position != 1 {
		return before, nil, err
	}
	return before, &next[0], nil
}

// lastOf is the last note of a strap, nil where there is none or it is listed: it lies beside the first of the next.
func lastOf(e *env, session uint64, strap int) (*triage.Note, error) {
	notes, err := e.store.Notes(session, strap)
	if err != nil || len(notes) == 0 {
		return nil, err
	}
	last := &notes[len(notes)-1]
	list, err := e.store.Listed(session, strap)
	if n := len(list); err != nil || n > 0 && list[n-1].Position > last.Position {
		return nil, err
	}
	return last, nil
}

func (v *strap) learn() {
	v.guide.look(v.env, v)
	learn(v.odds, v.book, v.sorter.Hand(), v.sorter.Session().Denomination.Top())
}

// rulesOf makes the rules a session is sorted under, and gives the names of all sessions by their
// number, for the notes met in others before.
func rulesOf(e *env, s triage.Session) (triage.Rules, map[uint64]string, error) {
	book, err := e.books.of(s.Settings)
	if err != nil {
		return triage.Rules{}, nil, fmt.Errorf("the definitions of session %q: %w", s.Name, err)
	}
	met := func(d patterns.Digits) []triage.Note {
		notes, err := e.store.Met(d, mostMet)
		if err != nil {
			return nil // a damaged old record must not stop the note in hand; unband check names it
		}
		return notes
	}
	faces := map[uint64]triage.Denomination{}
	names := map[uint64]string{}
	sessions, err := e.store.Sessions()
	if err != nil {
		return triage.Rules{}, nil, err
	}
	for _, other := range sessions {
		faces[other.ID] = other.Denomination
		names[other.ID] = other.Name + " (" + other.Denomination.String() + ")"
	}
	face := func(id uint64) triage.Denomination { return faces[id] }
	return triage.Rules{Book: book, Watch: s.Watch, Pauses: e.pauses, Met: met, Face: face}, names, nil
}

// mostMet is how many notes met before are looked up.
const mostMet = 20

// resumeWords says where the strap was left, so that the pile and the program agree on the note. Listed notes are
// not decided in the order of the pile.
func resumeWords(notes []triage.Note, listed, held bool) string {
	const inHand = "The serial above was complete but undecided: it is still in hand."
	switch {
	case len(notes) == 0 && held:
		return inHand
	case len(notes) == 0:
		return ""
	}
	n := notes[len(notes)-1]
	for _, other := range notes { // of a list one far down may have been pulled before one further up
		if listed && other.Decision != triage.NotThere && (n.Decision == triage.NotThere || other.Decided.After(n.Decided)) {
			n = other
		}
	}
	where := "Put your finger on it: it lies on top of the spend pile."
	switch {
	case n.Fate.Gone():
		where = "It has gone its way since."
	case n.Decision == triage.Keep:
		where = "Put your finger on it: it lies on top of the keep pile."
	case n.Decision == triage.SetAside, n.Decision == triage.LaidApart:
		where = "It lies apart from both piles."
	case n.Decision == triage.NotThere:
		where = ""
	}
	what := n.Serial.String()
	if n.Serial.Empty() {
		what = "unread"
	}
	words := fmt.Sprintf("last decided: note %d, %s, %s. %s", n.Position, what, becameWords(n), where)
	if held {
		words += " " + inHand
	}
	return words
}

func (v *strap) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	defer func() {
		v.learn()
		v.signal(at)
	}()
	switch m := msg.(type) {
	case keyMsg:
		next, cmd := v.key(m, at)
		if v.then != nil {
			return v.then, cmd
		}
		return next, cmd
	case stored:
		next, cmd := v.stored(m, at)
		if v.then != nil {
			return v.then, cmd
		}
		return next, cmd
	case shownMsg:
		v.sorter.Shown(at)
	case terminal.BeginMsg:
		v.env.hint(numLockOff, at)
	}
	return v, nil
}

// signal tells a hit that was just typed, once, by bell and flash where they are wanted. Listed notes are known
// to be hits before they are pulled, and a note gone back to was told when it was typed.
func (v *strap) signal(at time.Time) {
	h := v.sorter.Hand()
	now := told{v.sorter.Place(), h.Entry.Digits}
	if !h.Hit() || now == v.told {
		return
	}
	v.told = now
	if !v.sorter.Back() && !v.sorter.HasListed() {
		v.env.signal(at)
	}
}

const numLockOff = "a cursor key came: if that was a digit, NumLock is off"

func (v *strap) key(k keyMsg, at time.Time) (screen, tea.Cmd) {
	switch {
	case v.closing:
		return v, nil
	case v.closer != nil:
		if v.closer.key(k, v.env, at) {
			v.endCloser(at)
		}
		return v, nil
	case key.Matches(k, strapMap.Closer):
		v.openCloser(at)
		return v, nil
	}
	if key.Matches(k, strapMap.ToDesk) {
		if v.env.busy(at) {
			return v, nil
		}
		return newDesk(v.env, at), nil
	}
	if key.Matches(k, strapMap.Hints) {
		v.endGuide(at)
		return v, nil
	}
	if next := v.leads(k, at); next != nil {
		return next, nil
	}
	if k.Paste {
		v.paste(string(k.Runes), at)
		return v, nil
	}
	press, ok := v.meaning(k)
	if !ok {
		v.strange(k, at)
		return v, nil
	}
	if k.burst && decides(press) {
		v.sorter.Deaf(press.Kind, at)
		v.env.hint(fmt.Sprintf("%s came in one burst with other keys: it decides nothing", k), at)
		return v, nil
	}
	if press.Kind == triage.KeyRune {
		v.resumed = "" // the pile has been found
	}
	v.press(press, at)
	return v, nil
}

// strapMeanings puts the keys of the strap screen into the sorter's terms.
func strapMeanings() []meaning {
	return []meaning{
		{strapMap.Keep, triage.Key{Kind: triage.KeyKeep}},
		{strapMap.Spend, triage.Key{Kind: triage.KeySpend}},
		{strapMap.Aside, triage.Key{Kind: triage.KeySetAside}},
		{strapMap.Back, triage.Key{Kind: triage.KeyBack}},
		{strapMap.Enter, triage.Key{Kind: triage.KeyEnter}},
		{strapMap.Erase, triage.Key{Kind: triage.KeyErase}},
		{strapMap.Clear, triage.Key{Kind: triage.KeyClear}},
		{strapMap.Drop, triage.Key{Kind: triage.KeyTakeOut}},
		{strapMap.OneByOne, triage.Key{Kind: triage.KeyOneByOne}},
	}
}

// backMeanings are those that mean something only while an earlier note is looked at.
func backMeanings() []meaning {
	return []meaning{
		{strapMap.Earlier, triage.Key{Kind: triage.KeyMove, N: -1}},
		{strapMap.Later, triage.Key{Kind: triage.KeyMove, N: 1}},
		{strapMap.RowUp, triage.Key{Kind: triage.KeyMove, N: -10}},
		{strapMap.RowDown, triage.Key{Kind: triage.KeyMove, N: 10}},
	}
}

func (v *strap) meaning(k keyMsg) (triage.Key, bool) {
	if v.sorter.Back() || v.sorter.HasListed() {
		return means(k, strapMeanings(), backMeanings())
	}
	return means(k, strapMeanings())
}

// strange says what a key without a meaning may have been. A keypad with NumLock off sends the keys
// of the cursor block.
func (v *strap) strange(k keyMsg, at time.Time) {
	switch k.Type {
	case tea.KeyUp, tea.KeyDown, tea.KeyLeft, tea.KeyRight, tea.KeyHome, tea.KeyEnd, tea.KeyPgUp, tea.KeyPgDown, tea.KeyInsert, tea.KeyDelete:
		v.env.hint(numLockOff, at)
	case tea.KeySpace:
	case tea.KeyEsc:
		v.env.hint(name(strapMap.ToDesk)+" leads to the desk, "+name(everywhere.Leave)+" leaves; the strap waits where it is", at)
	default:
		v.env.hint(fmt.Sprintf("%s means nothing here: %s shows every key", printable(k.String()), name(everywhere.Help)), at)
	}
}

// paste takes exactly eight digits and nothing else.
func (v *strap) paste(text string, at time.Time) {
	digits := strings.TrimSpace(text)
	if _, err := patterns.ParseDigits(digits); err != nil || !v.sorter.Hand().Entry.Empty() {
		v.env.hint("only exactly eight digits can be pasted, into an empty entry: nothing was taken", at)
		return
	}
	for _, r := range digits {
		v.press(triage.Key{Kind: triage.KeyRune, Rune: r}, at)
	}
}

func (v *strap) press(k triage.Key, at time.Time) {
	if k.Kind == triage.KeyClear { // what was said was about what is cleared
		v.env.forget()
	}
	v.effect(v.sorter.Press(k, at), at)
}

// effect does what the sorter asks for.
func (v *strap) effect(e triage.Effect, at time.Time) {
	v.env.notice(e.Notice, strapMap, at)
	t := v.sorter.Strap()
	switch {
	case e.TakeOut != nil:
		v.env.submit(store.TakeOut{Place: e.TakeOut.Place(), Version: e.TakeOut.Version, At: at}, v)
	case e.Decide != nil:
		v.env.submit(store.Decide{Note: *e.Decide}, v)
	case e.GoOn:
		v.goOn(at)
	case e.Rest:
		v.decideRest(at)
	case e.Unlist:
		v.closing = true
		v.env.submit(store.Unlist{Session: t.Session, Strap: t.Number, Held: heldFirst(t)}, v)
	case e.Listed != nil:
		v.env.submit(store.PutListed{Listed: *e.Listed}, v)
	case e.EndStrap:
		v.closing = true
		v.env.submit(store.CloseStrap{Session: t.Session, Number: t.Number, At: at}, v)
	case e.Hand != nil:
		v.env.submit(store.SetHand{Session: t.Session, Strap: t.Number, Held: *e.Hand}, v)
	}
}

// stored takes the result of a write. Only now is a decision shown as made.
func (v *strap) stored(m stored, at time.Time) (screen, tea.Cmd) {
	bad := m.bad()
	switch w := m.write.(type) {
	case store.PutListed:
		if bad {
			v.sorter.ListedFailed(w.Listed.Position)
		}
	case store.Decide, store.TakeOut:
		if bad {
			v.sorter.Failed(at)
			return v, nil
		}
		v.resumed = ""
		done := decidedWords(m.result.Note)
		if m.result.Note.Decision == triage.NotThere {
			done = fmt.Sprintf("note %d is not there: the notes below it lie one place higher in the pile than their numbers say", m.result.Note.Position)
		}
		if !m.result.Note.Changed.IsZero() {
			done = fmt.Sprintf("note %d: noted", m.result.Note.Position) + laterApart(m.result.Note, m.result.Session, name(strapMap.Aside))
		}
		if m.result.Note.Listed != "" && m.result.Note.Serial.Star {
			done += ", it stands for " + printable(m.result.Note.Listed)
		}
		if _, out := m.write.(store.TakeOut); out {
			done = fmt.Sprintf("note %d is taken out of the strap", m.result.Note.Position)
		}
		effects := v.sorter.Stored(m.result.Session, m.result.Strap, at)
		if _, out := m.write.(store.TakeOut); !out {
			done += adviceWords(triage.AdviceOn(m.result.Session, v.sorter.Notes(), m.result.Note.Position), m.result.Note, v.sorter.Place(), slices.Contains(v.sorter.Wanted(), m.result.Note.Position-1))
		}
		v.env.say(done, at)
		for _, e := range effects {
			if e.Notice.Kind == triage.SlowDown {
				v.env.say(done+"; "+e.Notice.String(), at)
				continue
			}
			v.effect(e, at)
		}
	case store.SetHand:
		if bad {
			v.sorter.HandFailed()
		}
	case store.CloseStrap:
		v.closing = false
		if bad {
			return v, nil
		}
		return pileOf(v.env, m.result.Session, at), nil
	case store.DecideRest, store.Unlist:
		return v.listDone(m, at)
	}
	return v, nil
}

const answerFirst = "not now: answer what is asked first"

// openCloser takes a closer look, unless the disk or a question is waited for.
func (v *strap) openCloser(at time.Time) {
	if v.sorter.Pending() || v.sorter.Ending() || v.sorter.Hand().Asks() {
		v.env.hint(answerFirst, at)
		return
	}
	v.closer = newCloser(v.sorter.Hand(), v.sorter.Session().Denomination, v.env.series)
	if v.sorter.Back() {
		v.closer.aside = v.sorter.Notes()[v.sorter.Place()-1].Decision == triage.SetAside
	}
	if v.sorter.Hand().Against() {
		v.closer.on(reasonLine)
	}
}

func (v *strap) closeCloser(at time.Time) {
	if v.closer != nil {
		v.closer.leave(v.env, at)
		v.endCloser(at)
	}
}

// endCloser hands over what was said. Of a note that is decided already it is stored at once.
func (v *strap) endCloser(at time.Time) {
	c := v.closer
	v.closer = nil
	if !c.handOver(v.env, at) {
		return
	}
	v.sorter.Shown(at)
	if v.sorter.Back() && v.sorter.Hand().Entry.Serial != v.sorter.Notes()[v.sorter.Place()-1].Serial {
		v.env.say("it is kept with the note once the serial typed anew is decided", at)
	}
	v.effect(v.sorter.KeepHand(), at)
	v.effect(v.sorter.SaveFacts(at), at)
}

// decidedWords confirms a decision that is on the disk.
func decidedWords(n triage.Note) string {
	if n.Serial.Empty() {
		return fmt.Sprintf("note %d: %s", n.Position, n.Decision) // a Glance names itself spent unread
	}
	words := fmt.Sprintf("note %d: %s %s", n.Position, n.Serial, n.Decision)
	if n.Look == triage.Waiting {
		words += ", to be looked at again at the end"
	}
	return words
}

// adviceWords says what is to be done about the notes around the one just decided.
func adviceWords(a triage.Advice, n triage.Note, place int, beforeWanted bool) string {
	if (a == triage.KeepNeighbours || a == triage.KeepIfNeighbours) && n.Position > 1 && !beforeWanted {
		return ". Keep the note after it, too" + map[bool]string{true: ", where its number is the next one"}[a == triage.KeepIfNeighbours] + "; the note before it is kept already, lies apart, or is no neighbour by its number"
	}
	before := "the note before it"
	if n.Position == 1 && n.Strap > 1 {
		before = fmt.Sprintf("the last note of strap %d", n.Strap-1)
	}
	back := ""
	if place == n.Position+1 && n.Position > 1 {
		back = ": " + name(strapMap.Back) + " twice goes back to the one before"
	}
	switch a {
	case triage.KeepNeighbours:
		return ". Keep " + before + " and the note after it, too" + back
	case triage.KeepIfNeighbours:
		return ". Keep " + before + " and the note after it, too, where their numbers are the next ones" + back
	case triage.WholeStarStrap:
		return ". A strap of stars? Keep it whole with its band, and write down the first and the last number"
	}
	return ""
}

func (v *strap) title() (string, string) {
	s, t := v.sorter.Session(), v.sorter.Strap()
	kind := "used"
	if s.NewNotes {
		kind = "new"
	}
	return printable(s.Name), fmt.Sprintf("strap %d of %d · %s %s", t.Number, s.Straps, s.Denomination, kind)
}

// short are the keys that do something just now.
func (v *strap) short() []key.Binding {
	if v.closer != nil {
		return v.closer.shortKeys()
	}
	k := strapMap
	switch mode := v.sorter.Hand().Mode(); {
	case v.sorter.Ending() && v.sorter.HasListed() && v.sorter.Onward().Strap > 0:
		return []key.Binding{short(k.Enter, "to the next strap"), short(k.Back, "back to a note")}
	case v.sorter.Ending() && v.sorter.Whole():
		return []key.Binding{short(k.Enter, "keep the strap whole"), short(k.Back, "back to a note"), short(k.OneByOne, "one by one")}
	case v.sorter.Ending() && v.sorter.HasListed():
		return []key.Binding{short(k.Enter, "spend the rest"), short(k.Back, "back to a note"), short(k.OneByOne, "one by one")}
	case v.sorter.Ending():
		return []key.Binding{short(k.Enter, "close the strap"), short(k.Back, "back to a note")}
	case mode == triage.Rereading:
		return []key.Binding{short(k.Digits, "from the note"), short(k.Enter, "answer"), k.Erase, short(k.Clear, "clear, then leave it")}
	case mode == triage.AskingStar:
		return []key.Binding{short(k.Enter, "next"), k.Erase, short(k.Clear, "clear, then leave it undecided")}
	case v.sorter.Hand().Apart():
		return []key.Binding{short(k.Aside, "lay it apart"), short(k.Closer, "closer look"), short(k.Back, "back"), short(k.ToDesk, "desk")}
	case v.sorter.Back():
		return []key.Binding{k.Keep, short(k.Spend, "spend"), short(k.Earlier, "earlier"), short(k.Later, "later"), short(k.Enter, "return"), short(k.Drop, "take out")}
	}
	return k.short()
}
func (v *strap) groups() []keyGroup {
	if v.closer != nil {
		return v.closer.groups()
	}
	return strapMap.groups()
}
func (v *strap) ready() time.Time { return v.sorter.Ready() }
func (v *strap) typing() bool     { return v.closer != nil }
