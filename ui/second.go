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
)

// second is the second look: the near misses that were spent, one after another.
type second struct {
	env   *env
	look  *triage.SecondLook
	book  *patterns.Book
	odds  map[patterns.ID]int // see learn
	names map[uint64]string
	back  screen // where to go when it is left before the end

	closer *closer // the closer look at the note shown, nil while it is not taken

	above  int  // spent notes on top of the one shown, in its strap's spend pile
	pulled bool // its strap was a listed one: pulled notes lie apart
}

// openLook begins or takes up the second look of a session; with nothing to look at it stays.
func openLook(e *env, s triage.Session, from screen, at time.Time) (screen, tea.Cmd) {
	waiting, err := e.store.Waiting(s.ID)
	if err != nil {
		e.fail(err, at)
		return from, nil
	}
	switch {
	case len(waiting) == 0:
		e.say("no near miss waits in this session", at)
		return from, nil
	case !s.Open():
		e.say("the session is closed: its near misses stay as they are", at)
		return from, nil
	}
	rules, names, err := rulesOf(e, s)
	if err != nil {
		e.fail(err, at)
		return from, nil
	}
	v := &second{env: e, book: rules.Book, odds: map[patterns.ID]int{}, names: names, back: from}
	v.look = triage.NewSecondLook(s, waiting, rules, at)
	v.count(at)
	v.learn()
	return v, nil
}

func (v *second) learn() {
	learn(v.odds, v.book, v.look.Hand(), v.look.Session().Denomination.Top())
}

// count finds out where the note shown lies in the spend pile of its strap. It changes when a note
// that lay above is kept after all.
func (v *second) count(at time.Time) {
	n, ok := v.look.Note()
	if !ok {
		return
	}
	notes, err := v.env.store.Notes(n.Session, n.Strap)
	if err != nil {
		v.env.fail(err, at)
	}
	v.above = triage.Above(notes, n.Position)
	v.pulled = slices.ContainsFunc(notes, func(n triage.Note) bool { return n.Origin != triage.Typed })
}

func (v *second) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	defer v.learn()
	switch m := msg.(type) {
	case keyMsg:
		return v.key(m, at)
	case shownMsg:
		v.look.Shown(at)
	case stored:
		if m.bad() {
			v.look.Failed(at)
			return v, nil
		}
		if m.result.Note.Look == triage.Waiting {
			v.env.say("noted"+laterApart(m.result.Note, m.result.Session, ""), at)
		} else {
			v.env.say(decidedWords(m.result.Note)+v.advice(m.result, at), at)
		}
		for _, e := range v.look.Stored(m.result.Session, at) {
			v.effect(e, at)
		}
		if v.look.Left() == 0 {
			return v.end(at), nil
		}
		v.count(at)
	}
	return v, nil
}

// advice says what is to be done about the notes around one that was kept after all, while they can be found.
func (v *second) advice(r store.Result, at time.Time) string {
	notes, err := v.env.store.Notes(r.Note.Session, r.Note.Strap)
	if err != nil {
		v.env.fail(err, at)
		return ""
	}
	return adviceWords(triage.AdviceOn(r.Session, notes, r.Note.Position), r.Note, 0, true)
}

// end goes to the session's page and says how the second look came out.
func (v *second) end(at time.Time) screen {
	notes, kept := v.look.Answered()
	done := fmt.Sprintf("The second look is done: %s this time, %d of them kept after all", count(notes, "note", "notes"), kept)
	if v.env.status.since.Equal(at) && v.env.status.text != "" { // what was said of the last note stays in sight
		done = v.env.status.text + ". " + done
	}
	v.env.say(done, at)
	return v.leave(at)
}

// leave goes back to where the second look was taken from, read anew.
func (v *second) leave(at time.Time) screen {
	if _, desk := v.back.(*desk); desk {
		return newDesk(v.env, at)
	}
	return pileOf(v.env, v.look.Session(), at)
}

// openCloser takes a closer look, unless the disk or a question is waited for.
func (v *second) openCloser(at time.Time) {
	if v.look.Pending() || v.look.Hand().Asks() {
		v.env.hint(answerFirst, at)
		return
	}
	v.closer = newCloser(v.look.Hand(), v.look.Session().Denomination, v.env.series)
}

func (v *second) closeCloser(at time.Time) {
	if v.closer != nil {
		v.closer.leave(v.env, at)
		v.endCloser(at)
	}
}

// endCloser stores what was said; the note waits on.
func (v *second) endCloser(at time.Time) {
	c := v.closer
	v.closer = nil
	if !c.handOver(v.env, at) {
		return
	}
	v.look.Shown(at)
	v.effect(v.look.SaveFacts(at), at)
}

func (v *second) key(k keyMsg, at time.Time) (screen, tea.Cmd) {
	switch {
	case v.closer != nil:
		if v.closer.key(k, v.env, at) {
			v.endCloser(at)
		}
		return v, nil
	case key.Matches(k, lookMap.Closer):
		v.openCloser(at)
		return v, nil
	}
	if key.Matches(k, lookMap.Leave) {
		if v.env.busy(at) {
			return v, nil
		}
		return v.leave(at), nil
	}
	press, ok := means(k, lookMeanings())
	switch {
	case k.Paste || !ok:
		v.env.hint(fmt.Sprintf("that means nothing here: %s shows every key", name(everywhere.Help)), at)
	case k.burst && decides(press):
		v.look.Deaf(press.Kind, at)
		v.env.hint(fmt.Sprintf("%s came in one burst with other keys: it decides nothing", k), at)
	default:
		v.effect(v.look.Press(press, at), at)
		v.count(at) // another note may be shown
	}
	return v, nil
}

// lookMeanings puts the keys of the second look into triage's terms.
func lookMeanings() []meaning {
	return []meaning{
		{lookMap.Keep, triage.Key{Kind: triage.KeyKeep}},
		{lookMap.Spend, triage.Key{Kind: triage.KeySpend}},
		{lookMap.Before, triage.Key{Kind: triage.KeyMove, N: -1}},
		{lookMap.After, triage.Key{Kind: triage.KeyMove, N: 1}},
		{lookMap.Enter, triage.Key{Kind: triage.KeyEnter}},
		{lookMap.Erase, triage.Key{Kind: triage.KeyErase}},
		{lookMap.Clear, triage.Key{Kind: triage.KeyClear}},
	}
}

func (v *second) effect(e triage.Effect, at time.Time) {
	v.env.notice(e.Notice, lookWords(), at)
	if e.Decide != nil {
		v.env.submit(store.Decide{Note: *e.Decide}, v)
	}
}

// lookWords are the keys that the notices of a note in hand name, as they are called here.
func lookWords() strapKeys {
	return strapKeys{Keep: lookMap.Keep, Spend: lookMap.Spend, Closer: lookMap.Closer, Enter: lookMap.Enter, Erase: lookMap.Erase, Clear: lookMap.Clear}
}

func (v *second) title() (string, string) {
	notes, _ := v.look.Answered()
	return "second look · " + printable(v.look.Session().Name), fmt.Sprintf("%d of %d", notes+v.look.Index()+1, notes+v.look.Left())
}

func (v *second) short() []key.Binding {
	if v.closer != nil {
		return v.closer.shortKeys()
	}
	k := lookMap
	if v.look.Hand().Mode() == triage.AskingStar {
		return []key.Binding{short(k.Enter, "next"), k.Erase, short(k.Clear, "clear, then leave it undecided")}
	}
	if v.look.Hand().Mode() == triage.Rereading {
		return []key.Binding{short(k.Enter, "answer"), k.Erase, short(k.Clear, "clear, then leave it")}
	}
	if v.look.Hand().Apart() {
		return []key.Binding{short(k.Closer, "closer look"), short(k.After, "next"), short(k.Leave, "leave")}
	}
	return k.short()
}
func (v *second) groups() []keyGroup {
	if v.closer != nil {
		return v.closer.groups()
	}
	return lookMap.groups()
}
func (v *second) ready() time.Time { return v.look.Hand().Ready() }
func (v *second) typing() bool     { return v.closer != nil }
