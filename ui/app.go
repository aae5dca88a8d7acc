// Package ui is the full-screen program: the desk, the strap on the table, the session's page, the
// second look and the form for a new session.
//
// A screen draws what triage knows and passes keys on to it; it decides nothing about notes itself.
// The App alone owns the clock, the size of the window and the status line. Views are pure: the
// same state, size and time give the same text.
package ui

import (
	"cmp"
	"strconv"
	"strings"
	"sync/atomic"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	_ "app/unband/ui/quiet" // before bubbletea: see there

	"app/unband/patterns"
	"app/unband/store"
	"app/unband/triage"
	"app/unband/ui/terminal"
)

// The smallest window the screens are drawn for, in cells.
const (
	MinWidth  = 60
	MinHeight = 16
)

// widest is how many columns a screen uses at most: longer lines are hard to read.
const widest = 112

// Options is what an App needs from outside.
type Options struct {
	Store  *store.Store
	Now    func() time.Time // the clock; only the App calls it
	Pauses triage.Pauses    // a wait that is not zero holds instead of the one chosen in the program
	Post   func(tea.Msg)    // hands a message to the running program, from any goroutine
	Copy   func(string)     // hands a text to the terminal's clipboard; nil where there is none
	Bell   func()           // rings the terminal's bell; nil where there is none

	Guided bool // the first strap of a file is told what there is to know
	Demo   bool // the file is an invented one that is thrown away: every screen says so

	books *books // made before, nil for none
}

// A screen is one full page between the title and the status line.
type screen interface {
	// update takes a message. It asks for what it wants done by what it returns.
	update(msg tea.Msg, at time.Time) (screen, tea.Cmd)
	// view draws the page in h lines of at most w cells. It is pure.
	view(w, h int, at time.Time) []string
	title() (left, right string)
	short() []key.Binding
	groups() []keyGroup
	// ready is when the pause that is running ends; the zero time when none is.
	ready() time.Time
	// typing reports whether letters and ? are text just now.
	typing() bool
}

// A keeping screen can have a closer look open. Leaving the program keeps what was said in it.
type keeping interface{ closeCloser(at time.Time) }

// A scrolling screen has a page that may be longer than the window. After every message it is told the room there is, and
// takes what was scrolled beyond the end back: a view is pure and cannot.
type scrolling interface{ settle(w, h int, at time.Time) }

// App is the whole program as bubbletea sees it.
type App struct {
	env    *env
	now    func() time.Time
	at     time.Time // of the last message; what View draws
	width  int
	height int
	screen screen
	help   *helpPage // nil while the screen is shown
	demo   bool

	tick    int       // the newest tick asked for; older ones mean nothing
	tickDue time.Time // when it comes; zero when none is under way
}

// env is what every screen shares.
type env struct {
	store  *store.Store
	pauses triage.Pauses // in force
	forced triage.Pauses // given from outside
	guided bool          // see hints.go
	post   func(tea.Msg)
	copy   func(string) // nil where there is no clipboard
	bell   func()       // nil where there is none

	comfort  triage.Comfort // in force
	sitting  triage.Sitting
	reminder statusLine // that a break is due; shown beside what else there is to say
	flash    flash

	books     *books
	ranks     []patterns.ID          // see rarest
	series    string                 // said last in this sitting: the likeliest again
	questions map[asked]string       // asked about notes in this sitting
	passes    map[passOf]triage.Pass // where straps gone through once more were left in this sitting

	errandGate triage.Gate // of saying that an errand is done

	sequence *sequence // a strap in sequence that was begun to be typed, nil if none
	listFile string    // the list taken in last
	form     *form     // a new session that was begun to be typed, nil if none
	status   statusLine
	open     int                     // writes whose results are still to come
	failed   atomic.Pointer[failure] // the last write that failed and whose failure was not shown yet
}

type failure struct{ err error }

// heed puts what was chosen for every session in force; of the pauses only those not given from outside.
func (e *env) heed(c triage.Choices) {
	e.comfort = c.Comfort
	e.pauses = triage.Pauses{
		Plain: cmp.Or(e.forced.Plain, c.Pauses.Plain), Stop: cmp.Or(e.forced.Stop, c.Pauses.Stop), Pace: cmp.Or(e.forced.Pace, c.Pauses.Pace),
	}.Bounded()
}

// A statusLine says the last thing that happened until something else does.
type statusLine struct {
	text  string
	alarm bool // something went wrong with the file
	hint  bool // about the key just pressed: the next key replaces it
	since time.Time
}

// How long a message stays although other keys come: it must be possible to read it. An alarm is
// not replaced by other messages either until its time is over.
const (
	kept    = 4 * time.Second
	alarmed = 12 * time.Second
)

func (e *env) say(text string, at time.Time) {
	if text == "" || e.status.alarm && at.Sub(e.status.since) < alarmed {
		return
	}
	e.status = statusLine{text: text, since: at}
}

// hint says what the key just pressed did not do.
func (e *env) hint(text string, at time.Time) {
	e.say(text, at)
	e.status.hint = e.status.text == text && text != ""
}

// notice says what a note in hand has to say. What stays true while the next keys come is said; what
// is about one key goes with the next.
func (e *env) notice(n triage.Notice, k strapKeys, at time.Time) {
	switch n.Kind {
	case triage.OTakenAsZero, triage.LetterAmongDigits, triage.SecondPrefix, triage.NoSuchSuffix, triage.DigitBehind,
		triage.PastBand, triage.SlowDown, triage.RereadCorrect, triage.RereadHit:
		e.say(notice(n, k), at)
	default:
		e.hint(notice(n, k), at)
	}
}

// forget drops a message that is about what is gone now.
func (e *env) forget() {
	if !e.status.alarm {
		e.status = statusLine{}
	}
}

// fail says what went wrong with the file, in the words of the store.
func (e *env) fail(err error, at time.Time) {
	what, safe, next := store.Explain(err)
	e.alarm(strings.TrimSpace(strings.Join([]string{what, safe, next}, " ")), at)
}

// alarm says what must not be overlooked.
func (e *env) alarm(text string, at time.Time) {
	e.status = statusLine{text: text, since: at, alarm: true}
}

// quieten drops a message that has been readable for long enough.
func (e *env) quieten(at time.Time) {
	if !e.status.alarm && at.Sub(e.status.since) >= kept {
		e.status = statusLine{}
	}
}

// next makes room for what the next key has to say.
func (e *env) next(at time.Time) {
	e.quieten(at)
	if e.status.hint {
		e.forget()
	}
}

// stored is a result of the store's writer, for the screen that asked.
type stored struct {
	result store.Result
	write  store.Write
	asker  screen
}

// bad reports whether what was asked for is not on the disk.
func (m stored) bad() bool { return m.result.Err != nil && !m.result.Written }

// submit hands a write to the store; its result comes back to the asker as a stored message.
func (e *env) submit(w store.Write, asker screen) {
	e.open++
	e.store.Submit(w, func(r store.Result) {
		if r.Err != nil {
			e.failed.Store(&failure{r.Err})
		}
		e.post(stored{r, w, asker})
	})
}

// busy reports whether a result is still to come, and says so. A screen is not left before: what
// comes next would be built on a file that is about to change.
func (e *env) busy(at time.Time) bool {
	if e.open > 0 {
		e.say("still writing to disk: one moment", at)
	}
	return e.open > 0
}

// noBackup says that the backup after a strap could not be made.
type noBackup struct{ err error }

// tickMsg moves the pause bar. It carries the number of the tick that asked for it.
type tickMsg int

// tick is how often the bar moves while a pause runs; in calm mode it does not.
const tick = 50 * time.Millisecond

// New gives the program at its desk.
func New(o Options) *App {
	e := &env{store: o.Store, forced: o.Pauses, post: o.Post, copy: o.Copy, bell: o.Bell, books: o.books, guided: o.Guided, questions: map[asked]string{}, passes: map[passOf]triage.Pass{}}
	e.heed(triage.Choices{Pauses: triage.DefaultPauses()})
	if e.books == nil {
		e.books = &books{}
	}
	settings := patterns.DefaultSettings()
	if c, ok, err := o.Store.Choices(); ok && err == nil {
		e.heed(c)
		settings = c.Settings
	}
	e.books.ahead(settings) // those of the session that is most likely gone on with
	o.Store.WhenBackedUp(func(_ store.Backup, err error) {
		if err != nil {
			o.Post(noBackup{err})
		}
	})
	a := &App{env: e, now: o.Now, at: o.Now(), demo: o.Demo}
	a.screen = newDesk(e, a.at)
	if a.demo {
		e.say("An invented float, richer than life: its file is thrown away when you leave", a.at)
	}
	return a
}

// Leave keeps what stands in an open closer look when the program ends in another way than by its key, as when
// the window is closed. It does nothing the second time.
func (a *App) Leave() {
	a.at = a.now()
	a.leave()
}

func (a *App) leave() {
	if v, ok := a.screen.(keeping); ok {
		v.closeCloser(a.at)
	}
}

// Farewell is what is left on the terminal when the program ends: where the work waits. The path has a line of its own, so
// that it can be taken whole.
func (a *App) Farewell(path string) string {
	if a.demo {
		return "That was the demo: its file is thrown away, and nothing of it is kept. unband without --demo begins with your own notes."
	}
	if v, ok := a.screen.(*strap); ok {
		return "Strap " + strconv.Itoa(v.sorter.Strap().Number) + " of " + printable(v.sorter.Session().Name) +
			" waits where it is. Everything is in\n" + path
	}
	return "Everything is in\n" + path
}

// Unsaid is the error of a write that failed after the screen was gone, nil if there was none.
func (a *App) Unsaid() error {
	if f := a.env.failed.Load(); f != nil {
		return f.err
	}
	return nil
}

// Init starts nothing: the first message is the size of the window.
func (a *App) Init() tea.Cmd { return nil }

// Update takes one message. Keys that bubbletea delivers as one burst are taken one by one.
func (a *App) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	a.at = a.now()
	var cmds []tea.Cmd
	switch m := msg.(type) {
	case tea.WindowSizeMsg:
		hidden := a.tooSmall()
		a.width, a.height = m.Width, m.Height
		if hidden && !a.tooSmall() {
			cmds = append(cmds, a.pass(shownMsg{}))
		}
	case tea.ResumeMsg:
		cmds = append(cmds, a.pass(shownMsg{}))
	case tickMsg:
		if int(m) == a.tick {
			a.tickDue = time.Time{}
		}
		if !a.env.comfort.Calm { // else with the next key
			a.env.quieten(a.at)
		}
	case tea.KeyMsg:
		for _, k := range unburst(m) {
			a.env.next(a.at)
			cmds = append(cmds, a.key(k))
		}
	case stored:
		a.env.open--
		if m.result.Err != nil { // said here, because the screen that asked may be gone
			a.env.fail(m.result.Err, a.at)
			a.env.failed.Store(nil)
		}
		a.env.sorted(m, a.at)
		if m.asker == a.screen {
			cmds = append(cmds, a.pass(msg))
		}
	case noBackup:
		what, _, _ := store.Explain(m.err)
		a.env.alarm("The strap is closed and stored, but no backup of the file could be made. "+printable(what)+" unband backup makes one when the cause is gone.", a.at)
	case terminal.NoShellMsg:
		a.env.say("there is no shell to go back to: "+name(everywhere.Leave)+" leaves, the strap waits where it is", a.at)
	default:
		cmds = append(cmds, a.pass(msg))
	}
	if v, ok := a.screen.(scrolling); ok && !a.tooSmall() {
		w, h := a.room()
		v.settle(w, h, a.at)
	}
	cmds = append(cmds, a.animate())
	return a, tea.Batch(cmds...)
}

// room is how large the page of a screen is.
func (a *App) room() (w, h int) {
	w = min(a.width, widest)
	return w, a.height - 3 - len(a.statusLines(w))
}

// shownMsg says that the screen can be seen again after it could not: a pause begins anew.
type shownMsg struct{}

func (a *App) pass(msg tea.Msg) tea.Cmd {
	before := a.env.status
	s, cmd := a.screen.update(msg, a.at)
	if s != a.screen && a.env.status == before { // what was said belongs to the screen before
		a.env.forget()
	}
	a.screen = s
	return cmd
}

func (a *App) key(k keyMsg) tea.Cmd {
	switch {
	case key.Matches(k, everywhere.Leave):
		a.leave()
		return tea.Quit
	case key.Matches(k, everywhere.Suspend):
		return tea.Suspend
	case a.tooSmall(): // nothing is decided that cannot be seen
		return nil
	case a.help != nil:
		a.helpKey(k)
		return nil
	case key.Matches(k, everywhere.HelpText), !a.screen.typing() && key.Matches(k, everywhere.Help):
		a.help = &helpPage{}
		return nil
	}
	return a.pass(k)
}

// animate asks for a tick when the screen changes next without a key.
func (a *App) animate() tea.Cmd {
	due := a.nextChange()
	if due.IsZero() || !a.tickDue.IsZero() && !a.tickDue.After(due) {
		return nil // nothing changes, or one comes in time
	}
	a.tick, a.tickDue = a.tick+1, due
	n := a.tick
	return tea.Tick(due.Sub(a.at), func(time.Time) tea.Msg { return tickMsg(n) })
}

// nextChange is when the screen looks different although no key comes: the pause bar moves on, a message is dropped, a
// flash ends; in calm mode only when the pause is over. It is the zero time when nothing is to come.
func (a *App) nextChange() (next time.Time) {
	sooner := func(t time.Time) {
		if t.After(a.at) && (next.IsZero() || t.Before(next)) {
			next = t
		}
	}
	sooner(a.env.flash.ends)
	soon, ready := a.at.Add(tick), a.screen.ready()
	if a.env.comfort.Calm {
		sooner(ready)
		return next
	}
	if a.at.Before(ready) {
		sooner(soon)
	}
	if s := a.env.status; s.text != "" && !s.alarm {
		end := s.since.Add(kept)
		if end.Before(soon) {
			end = soon
		}
		sooner(end)
	}
	sooner(a.env.reminder.since.Add(alarmed))
	return next
}

// keyMsg is one key as the screens get it.
type keyMsg struct {
	tea.KeyMsg
	burst bool // came in one message with others: it may be part of a serial, but never decides
}

// unburst splits a message into single keys. Terminals hand over quickly typed characters as one
// message; a paste stays whole, so that a screen can refuse it.
func unburst(m tea.KeyMsg) []keyMsg {
	if m.Type != tea.KeyRunes || len(m.Runes) <= 1 || m.Paste {
		return []keyMsg{{KeyMsg: m}}
	}
	keys := make([]keyMsg, len(m.Runes))
	for i, r := range m.Runes {
		keys[i] = keyMsg{tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}, Alt: m.Alt}, true}
	}
	return keys
}

// View draws the whole window.
func (a *App) View() string {
	if a.tooSmall() {
		return tooSmall(a.width, a.height)
	}
	w, body := a.room()
	lines := []string{a.titleLine(w), a.env.flash.line(a.at)}
	status := a.statusLines(w)
	if a.help != nil {
		lines = append(lines, fit(a.helpView(w, body), w, body)...)
	} else {
		lines = append(lines, fit(a.screen.view(w, body, a.at), w, body)...)
	}
	lines = append(lines, status...)
	lines = append(lines, a.keyLine(w))
	margin := strings.Repeat(" ", (a.width-w)/2)
	if margin != "" {
		for i := range lines {
			lines[i] = margin + lines[i]
		}
	}
	return strings.Join(lines, "\n")
}

func (a *App) titleLine(w int) string {
	left, right := a.screen.title()
	name := "unband"
	if a.demo {
		name += " demo"
	}
	left = cut(look.strong.Render(name)+"  "+left, w-ansi.StringWidth(right)-2)
	return spread(left, look.quiet.Render(right), w)
}

func (a *App) tooSmall() bool { return a.width < MinWidth || a.height < MinHeight }

// statusLines is the last message, one line or a few: an alarm has as many as it needs.
func (a *App) statusLines(w int) []string {
	s := a.env.status
	style, most := look.plain, 3
	if s.alarm {
		style, most = look.near, 8
	}
	lines := wrap(a.env.reminded(s.text, a.at), w)
	lines = fit(lines, w, min(max(len(lines), 1), most))
	for i := range lines {
		lines[i] = style.Render(lines[i])
	}
	return lines
}

// keyLine shows as many keys as fit, and always the way to all of them.
func (a *App) keyLine(w int) string {
	all := keyWords(everywhere.Help, "all keys")
	if a.screen.typing() {
		all = keyWords(everywhere.HelpText, "all keys")
	}
	keys := a.screen.short()
	if a.help != nil {
		all, keys = keyWords(everywhere.Leave, "leave"), helpMap.short(a.help.patterns != nil)
	}
	line := ""
	for _, b := range keys {
		next := line + keyWords(b, "") + "   "
		if ansi.StringWidth(next)+ansi.StringWidth(all) > w {
			break
		}
		line = next
	}
	return line + all
}

func keyWords(b key.Binding, words string) string {
	if words == "" {
		words = b.Help().Desc
	}
	return look.strong.Render(name(b)) + " " + look.quiet.Render(words)
}

// tooSmall says what size is needed in whatever room there is.
func tooSmall(w, h int) string {
	if w <= 0 || h <= 0 {
		return ""
	}
	text := "unband needs a window of 60 columns and 16 lines. Nothing is lost: make the window larger."
	return strings.Join(fit(wrap(text, w), w, min(h, len(wrap(text, w)))), "\n")
}
