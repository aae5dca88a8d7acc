package ui

import (
	"fmt"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/flaws"
)

// noteScreen is the closer look at a note that is decided already, from the keepers or an errand.
type noteScreen struct {
	env     *env
	back    func(at time.Time) screen
	session triage.Session
	note    triage.Note // as it is stored
	hand    triage.InHand
	closer  *closer
	caution bool   // the caution about a note set aside is shown first, on the whole page
	below   scroll // of the caution
}

// openNote takes a closer look at a stored note, under the rules of its session, with the cursor on a line;
// "" for the first.
func openNote(e *env, s triage.Session, n triage.Note, line string, back func(time.Time) screen, at time.Time) (screen, tea.Cmd) {
	rules, _, err := rulesOf(e, s)
	if err != nil {
		e.fail(err, at)
		return back(at), nil
	}
	v := &noteScreen{env: e, back: back, session: s, note: n, hand: triage.TakeUp(rules, s, n, at)}
	v.closer = newCloser(&v.hand, s.Denomination, e.series).on(line)
	v.caution = n.Decision == triage.SetAside
	v.closer.aside = v.caution
	return v, nil
}

func (v *noteScreen) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	switch m := msg.(type) {
	case stored:
		if !m.bad() {
			back := v.back(at)
			if !v.note.WantsNeighbours() {
				v.env.say("noted"+v.advice(m.result)+laterApart(m.result.Note, v.session, ""), at)
			}
			return back, nil
		}
	case keyMsg:
		if v.caution {
			return v.cautionKey(m, at)
		}
		if v.env.busy(at) || !v.closer.key(m, v.env, at) {
			return v, nil
		}
		if !v.save(at) {
			return v.back(at), nil
		}
	}
	return v, nil
}

// advice says to keep the notes beside one that has turned out to be wanted with them.
func (v *noteScreen) advice(r store.Result) string {
	if r.Note.WantsNeighbours() {
		return ". If the notes before and after it can still be found, keep them, too"
	}
	return ""
}

// cautionKey leaves the caution: to the closer look, or back.
func (v *noteScreen) cautionKey(k keyMsg, at time.Time) (screen, tea.Cmd) {
	switch {
	case key.Matches(k, cautionMap.Leave):
		return v.back(at), nil
	case key.Matches(k, cautionMap.Closer):
		v.caution = false
	default:
		v.below.moves(k, cautionMap.Down, cautionMap.Up, cautionMap.PageDown, cautionMap.PageUp)
	}
	return v, nil
}

// settle keeps the caution within the window.
func (v *noteScreen) settle(w, h int, at time.Time) {
	if v.caution {
		v.below.settle(len(cautionAside(w)), h-len(v.head(at)))
	}
}

// save stores what was said; it reports false when there is nothing to store.
func (v *noteScreen) save(at time.Time) bool {
	if !v.closer.handOver(v.env, at) {
		return false
	}
	facts := v.hand.Facts()
	if facts == v.note.Facts() {
		return false
	}
	v.env.submit(store.Revise{Notes: []triage.Note{v.note.Revised(facts, at)}}, v)
	return true
}

func (v *noteScreen) closeCloser(at time.Time) {
	if v.env.open == 0 { // else what was said is on its way already
		v.closer.leave(v.env, at)
		v.save(at)
	}
}

// head says which note it is, and has its serial.
func (v *noteScreen) head(at time.Time) []string {
	n := v.note
	return append([]string{look.strong.Render(fmt.Sprintf("strap %d, note %d", n.Strap, n.Position)) + "  " +
		look.quiet.Render(becameWords(n)+" "+ago(n.Decided, at))}, smallSerial(&v.hand, v.session.Watch)...)
}

// cautionAside is what to do with a note set aside.
func cautionAside(w int) []string {
	caution, _ := flaws.Counterfeit.Caution()
	return cautionLines(caution, w)
}

func (v *noteScreen) view(w, h int, at time.Time) []string {
	lines := v.head(at)
	if v.caution {
		return append(lines, v.below.shown(cautionAside(w), h-len(lines), name(cautionMap.Down))...)
	}
	return append(lines, v.closer.view(w, h-len(lines), at)...)
}

func (v *noteScreen) title() (string, string) {
	return "closer look", printable(v.session.Name) + " · " + v.session.Denomination.String()
}
func (v *noteScreen) short() []key.Binding {
	if v.caution {
		return []key.Binding{short(cautionMap.Closer, "closer look"), short(cautionMap.Leave, "back")}
	}
	return v.closer.shortKeys()
}

func (v *noteScreen) groups() []keyGroup {
	if v.caution {
		return cautionMap.groups()
	}
	return v.closer.groups()
}

func (v *noteScreen) ready() time.Time { return time.Time{} }
func (v *noteScreen) typing() bool     { return !v.caution }

// cautionKeys are the keys of the caution about a note set aside.
type cautionKeys struct{ Closer, Down, Up, PageDown, PageUp, Leave key.Binding }

var cautionMap = cautionKeys{
	Closer:   bind("Enter", "closer look at the note", "enter", "ctrl+j", "/"),
	Down:     bind("↓", "further down", "down"),
	Up:       bind("↑", "further up", "up"),
	PageDown: bind("PgDn", "a page down", "pgdown"),
	PageUp:   bind("PgUp", "a page up", "pgup"),
	Leave:    bind("Esc", "back", "esc"),
}

func (k cautionKeys) groups() []keyGroup {
	return []keyGroup{{title: "A note set aside", keys: []key.Binding{k.Closer, k.Down, k.Up, k.PageDown, k.PageUp, k.Leave}}, aboutCautions.group()}
}
