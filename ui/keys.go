package ui

import "github.com/charmbracelet/bubbles/key"

// name is what a key is called on the screen.
func name(b key.Binding) string { return b.Help().Key }

func bind(help, words string, keys ...string) key.Binding {
	return key.NewBinding(key.WithKeys(keys...), key.WithHelp(help, words))
}

// A keyGroup is a heading of the help page with the keys under it.
type keyGroup struct {
	title string
	keys  []key.Binding
	lines []string // drawn as they are
	about []string // what else there is to know, a paragraph each
}

// appKeys work on every screen.
type appKeys struct{ Leave, Help, HelpText, Suspend key.Binding }

var everywhere = appKeys{
	Leave:    bind("Ctrl+C", "leave; the strap waits where it is", "ctrl+c"),
	Help:     bind("?", "every key of this screen", "?"),
	HelpText: bind("F1", "every key of this screen, also where text is typed", "f1"),
	Suspend:  bind("Ctrl+Z", "back to the shell for a while; fg returns", "ctrl+z"),
}

func (k appKeys) list() []key.Binding { return []key.Binding{k.Help, k.HelpText, k.Suspend, k.Leave} }

// strapKeys are the keys of the strap screen. No letter decides: letters belong to the serial.
type strapKeys struct {
	Digits, Letters, Star             key.Binding
	Keep, Spend, Aside, Closer        key.Binding
	Back, Earlier, Later              key.Binding
	RowUp, RowDown                    key.Binding
	Enter, Erase, Clear, Drop, ToDesk key.Binding
	Sequence, List, OneByOne          key.Binding
	Hints                             key.Binding
}

var strapMap = strapKeys{
	Digits:   bind("0-9", "the serial's digits", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9"),
	Letters:  bind("A-Z", "before the digits the prefix, after the eighth the suffix"),
	Star:     bind("*", "star: behind the digits, in front on old classes"),
	Keep:     bind("+", "keep", "+", "="),
	Aside:    bind("!", "suspected counterfeit: set it aside, press twice; another denomination, said in the closer look: lay it apart", "!"),
	Closer:   bind("/", "closer look: series, condition, errors, remarks", "/"),
	Spend:    bind("-", "spend; with nothing typed: spent unread, a glance", "-"),
	Back:     bind(".", "back to the note before, to change it", ".", ","),
	Earlier:  bind("←", "gone back, or with listed notes: one note earlier", "left"),
	Later:    bind("→", "gone back, or with listed notes: one note later", "right"),
	RowUp:    bind("↑", "gone back, or with listed notes: ten notes earlier", "up"),
	RowDown:  bind("↓", "gone back, or with listed notes: ten notes later", "down"),
	Enter:    bind("Enter", "answers a question; with nothing typed: is the strap over?", "enter", "ctrl+j"),
	Erase:    bind("Backspace", "take back a key", "backspace", "ctrl+h"),
	Clear:    bind("Ctrl+U", "clear the entry", "ctrl+u"),
	Sequence: bind("Ctrl+S", "new notes: the strap is in sequence, its first and last number are enough", "ctrl+s"),
	List:     bind("Ctrl+L", "take in a list from a counting machine or a spreadsheet", "ctrl+l"),
	OneByOne: bind("Ctrl+O", "listed notes: forget the list, or the sequence, and sort the strap one by one, press twice", "ctrl+o"),
	Hints:    bind("Ctrl+G", "first strap: no more hints", "ctrl+g"),
	Drop:     bind("Ctrl+X", "at a listed note: it is not in the pile; gone back to the last decided one: take it out; press twice", "ctrl+x"),
	ToDesk:   bind("Ctrl+D", "to the desk; the strap waits where it is", "ctrl+d"),
}

func (k strapKeys) short() []key.Binding {
	return []key.Binding{k.Keep, short(k.Spend, "spend"), short(k.Back, "back"), short(k.Closer, "closer look"), short(k.ToDesk, "desk"), short(k.Clear, "clear")}
}

func (k strapKeys) groups() []keyGroup {
	return []keyGroup{
		{title: "The serial", keys: []key.Binding{k.Digits, k.Letters, k.Star, k.Erase, k.Clear},
			about: []string{"Eight digits are enough to decide. Esc does nothing here: a terminal may send it when another key is cut short."}},
		{title: "The decision, after the pause", keys: []key.Binding{k.Keep, k.Spend, k.Closer, k.Aside, k.Enter},
			about: []string{"No letter decides, because letters belong to the serial. The key that answers neither keeps nor spends the note in hand: it is pressed by habit."}},
		{title: "Other notes", keys: []key.Binding{k.Back, k.Earlier, k.Later, k.RowUp, k.RowDown, k.Drop, k.ToDesk, k.Hints}},
		{title: "Many notes at once", keys: []key.Binding{k.Sequence, k.List, k.OneByOne},
			about: []string{"Either way the notes that are worth a look are told by their place in the pile, and only those are taken out."}},
		{title: "The map of the strap", lines: []string{
			cellSpent + " spent   " + cellGlance + " spent unread   " + cellNear + " spent as a near miss   " + cellKept + " kept   " + cellAside + " set aside   " + cellApart + " of another denomination, laid apart   " + cellGone + " listed, not there   " + cellInHand + " in hand   " + signBeside + " wanted: beside a keeper",
			signHit + " a watched hit   " + signNear + " a watched near miss   " + signDoubt + " a doubt   " + signMet + " the same digits were met before   " + signRule + " your own rule",
			signChoice + " listed, to be pulled   - listed, or not yet there"}},
		aboutPause.group(), aboutNear.group(), aboutWords.group(),
	}
}

// short gives a binding with fewer words, for the line at the foot of a screen.
func short(b key.Binding, words string) key.Binding {
	b.SetHelp(b.Help().Key, words)
	return b
}

// deskKeys are the keys of the desk.
type deskKeys struct{ Up, Down, Open, Resume, Page, New, Look, Watch, Stars, Keepers, Errands, Done, Tally, Comfort key.Binding }

var deskMap = deskKeys{
	Up:      bind("↑", "line above", "up"),
	Down:    bind("↓", "line below: sessions, then errands", "down"),
	Open:    bind("Enter", "open the session, or go about the errand", "enter", "ctrl+j"),
	Resume:  bind("R", "resume the last open strap", "r", "R"),
	Page:    bind("P", "the session's page: its straps, also while one is being sorted", "p", "P"),
	New:     bind("N", "new session", "n", "N"),
	Look:    bind("L", "second look at the session's near misses", "l", "L"),
	Watch:   bind("W", "the watch list for new sessions", "w", "W"),
	Stars:   bind("S", "the star batch: every kept star, to be looked up", "s", "S"),
	Keepers: bind("K", "keepers: everything kept, where it lies, what became of it", "k", "K"),
	Errands: bind("E", "errands: all of them, those done too", "e", "E"),
	Done:    bind("X", "the errand is done", "x", "X"),
	Tally:   bind("T", "the tally: found and expected, rates, pace, series", "t", "T"),
	Comfort: bind("C", "comfort: calm, drawn digits, bell, flash, breaks", "c", "C"),
}

func (k deskKeys) short() []key.Binding {
	return []key.Binding{short(k.Resume, "resume"), short(k.Open, "open"), k.New, short(everywhere.Leave, "leave"), short(k.Keepers, "keepers"), short(k.Errands, "errands"), short(k.Look, "second look"), short(k.Watch, "watch list"), short(k.Stars, "stars"), short(k.Comfort, "comfort")}
}

func (k deskKeys) groups() []keyGroup {
	return []keyGroup{{title: "The desk", keys: []key.Binding{k.Resume, k.Up, k.Down, k.Open, k.Page, k.New, k.Look, k.Keepers, k.Errands, k.Done, k.Stars, k.Tally, k.Watch, k.Comfort}}, aboutFile.group()}
}

// formKeys are the keys of a form.
type formKeys struct{ Next, Before, Less, More, Done, Leave key.Binding }

var formMap = formKeys{
	Next:   bind("↓", "next line", "down", "tab"),
	Before: bind("↑", "line before", "up", "shift+tab"),
	Less:   bind("←", "choice before", "left"),
	More:   bind("→", "next choice", "right"),
	Done:   bind("Enter", "next line; on the last line: begin", "enter", "ctrl+j"),
	Leave:  bind("Esc", "to the desk; what is typed stays", "esc"),
}

func (k formKeys) short() []key.Binding {
	return []key.Binding{short(k.Leave, "desk"), short(k.Done, "next, at the end begin"), short(k.More, "choose")}
}

func (k formKeys) groups() []keyGroup {
	return []keyGroup{{title: "The form", keys: []key.Binding{k.Next, k.Before, k.Less, k.More, k.Done, textMap.Erase, textMap.Clear, k.Leave},
		about: []string{
			"On a line of choices, what is typed goes to the choice that begins so, and the space bar to the next.",
			"The number in a band and the count of bands are what is counted back against at the end. A session keeps the watch list it is begun under.",
		}}}
}

// pileKeys are the keys of the page of one session.
type pileKeys struct{ Next, Up, Down, PageUp, PageDown, First, Last, Again, Sequence, List, Look, Back, Keepers, Finds, Tally, More, Close, Reopen, Watch, Right, Desk key.Binding }

var pileMap = pileKeys{
	Next:     bind("Enter", "go on: the next strap, the second look, counting back", "enter", "ctrl+j"),
	Up:       bind("↑", "strap above", "up"),
	Down:     bind("↓", "strap below; after the last, further down in what is told below", "down"),
	PageUp:   bind("PgUp", "ten straps up, or a page of what is told below", "pgup"),
	PageDown: bind("PgDn", "ten straps down, then a page of what is told below", "pgdown"),
	First:    bind("Home", "to the first strap", "home"),
	Last:     bind("End", "to the end of the page", "end"),
	Again:    bind("A", "go through the strap under the cursor once more, note by note", "a", "A"),
	Look:     bind("L", "second look at the near misses", "l", "L"),
	Keepers:  bind("K", "keepers: everything kept, where it lies, what became of it", "k", "K"),
	Finds:    bind("F", "the finds of the session, to show", "f", "F"),
	Tally:    bind("T", "the tally of the session", "t", "T"),
	Sequence: bind("S", "new notes: the next strap is in sequence, its first and last number are enough", "s", "S", "ctrl+s"),
	List:     bind("I", "take in a list from a counting machine or a spreadsheet", "i", "I", "ctrl+l"),
	More:     bind("M", "take in one more strap than was said", "m", "M"),
	Close:    bind("C", "close the session without counting back, press twice", "c", "C"),
	Reopen:   bind("O", "open a closed session again, press twice; it leaves a trace", "o", "O"),
	Back:     bind("B", "count back what goes to the bank", "b", "B"),
	Watch:    bind("W", "the watch list the session is sorted under", "w", "W"),
	Right:    bind("E", "what was entered wrongly of the session put right: its name, bank, notes, straps; or the session taken out", "e", "E"),
	Desk:     bind("D", "to the desk", "d", "D", "ctrl+d", "esc"),
}

func (k pileKeys) short() []key.Binding {
	return []key.Binding{short(k.Next, "go on"), short(k.Desk, "desk"), short(k.Look, "second look"), short(k.Back, "count back"), short(k.Keepers, "keepers"), short(k.More, "one more strap"), short(k.Right, "put right")}
}

func (k pileKeys) groups() []keyGroup {
	return []keyGroup{{title: "The session", keys: []key.Binding{k.Next, k.Up, k.Down, k.PageUp, k.PageDown, k.First, k.Last, k.Again, k.Sequence, k.List, k.Look, k.Back, k.Keepers, k.Finds, k.Tally, k.More, k.Close, k.Reopen, k.Watch, k.Right, k.Desk},
		about: []string{
			"Counting back shows whether notes and dollars agree before they leave the house; to close without it leaves that unsaid. A bank may hand over a strap more than was asked for: it can be taken in as well.",
		}}}
}

// lookKeys are the keys of the second look.
type lookKeys struct{ Spend, Keep, Closer, Before, After, Enter, Erase, Clear, Leave key.Binding }

var lookMap = lookKeys{
	Spend:  bind("-", "still spend", "-"),
	Keep:   bind("+", "keep after all", "+", "="),
	Closer: bind("/", "closer look: series, condition, errors, remarks", "/"),
	Before: bind("←", "near miss before", "left", ".", ","),
	After:  bind("→", "next near miss, this one waits", "right"),
	Enter:  bind("Enter", "read the doubtful digits again; answers the re-read", "enter", "ctrl+j"),
	Erase:  bind("Backspace", "take back a key", "backspace", "ctrl+h"),
	Clear:  bind("Ctrl+U", "clear, then leave the re-read", "ctrl+u"),
	Leave:  bind("Ctrl+D", "leave; the rest waits", "ctrl+d"),
}

func (k lookKeys) short() []key.Binding {
	return []key.Binding{k.Spend, k.Keep, short(k.Enter, "read again"), short(k.Closer, "closer look"), short(k.After, "next"), short(k.Leave, "leave")}
}

func (k lookKeys) groups() []keyGroup {
	return []keyGroup{{title: "The second look", keys: []key.Binding{k.Spend, k.Keep, k.Enter, k.Closer, k.Erase, k.Clear, k.Before, k.After, k.Leave},
		about: []string{"Each says in which strap it lies and how deep, so that it can be found before the pile goes back."}}, aboutNear.group()}
}
