package triage

import (
	"cmp"
	"strings"
	"time"

	"app/unband/patterns"
	"app/unband/triage/currency"
)

// An Origin says how the serial of a note came in.
type Origin uint8

// The origins. Their numbers are stored: never renumber, only add.
const (
	Typed        Origin = 0 // key by key, from the note
	FromList     Origin = 1 // from a list, as a counting machine or a spreadsheet makes one
	FromSequence Origin = 2 // from the first and the last number of a strap in sequence
)

// A Listed is a note of a strap that is not decided, and of which something was taken in before it is in
// hand. Session, Strap and Position name it.
type Listed struct {
	Session  uint64
	Strap    int // 1 or more
	Position int // place in the strap, 1 on top

	Serial Serial // empty where it must be read from the note
	Origin Origin
	Text   string // as a list has it, where Serial is not all of it
	Unread string // eight characters, digits and ?, where a list has unread digits; else empty
	Doubt  string // why it must be looked at whatever its number says; empty for no doubt
	Facts  Facts  // said of it already
}

// Place gives the note's name.
func (l Listed) Place() Place { return Place{l.Session, l.Strap, l.Position} }

// Marks are what a person has said of the note itself. The series of a strap in sequence was said of the strap: with the
// sequence it is gone.
func (l Listed) Marks() Facts {
	if l.Origin == FromSequence && l.Facts == (Facts{Series: l.Facts.Series}) {
		return Facts{}
	}
	return l.Facts
}

// UnreadDigits is how many of the eight digits a list has unread.
func (l Listed) UnreadDigits() int { return strings.Count(l.Unread, string(patterns.UnreadSign)) }

// had is what stands in the list for a note, in one text.
func (l Listed) had() string {
	if l.Text != "" {
		return l.Text
	}
	if l.Serial.Empty() {
		return ""
	}
	return l.Serial.String()
}

// A caller says of listed notes which are to be pulled and looked at by themselves.
type caller struct {
	Rules
	denomination Denomination
	// fine has for the letters of a serial the highest digits that were found to fit them. Every lower number
	// fits them, too, as long as nothing else is known of the note: only how high a serial may be is asked of it.
	fine map[Serial]patterns.Digits
}

func (r Rules) caller(d Denomination) *caller {
	return &caller{r, d, map[Serial]patterns.Digits{}}
}

// calls reports whether a listed note is to be looked at by itself: it cannot be read from the list, is in doubt, is of
// another denomination, or would stop the sorter. A number that is known by the sequence of its strap was read twice, so there is no near
// miss that a wrong digit could hide.
func (c *caller) calls(l Listed) bool {
	digits, whole := l.Serial.Whole()
	switch {
	case l.Facts.Denomination != 0 && l.Facts.Denomination != c.denomination: // it is neither spent nor kept with the others
		return true
	case l.Origin == FromSequence && l.Serial.Star: // a strap of stars is not broken up
		return false
	case !whole, l.Doubt != "", l.Serial.Star, l.Facts.Flaw.Keep(), c.old(l.Facts):
		return true
	case l.Origin == FromSequence:
		match, _ := c.Book.Sets(digits)
		return match&c.Watch.Hit != 0
	}
	return c.Book.Stops(digits, c.Watch) || c.doubtful(digits, l) || c.metAgain(digits, l)
}

// old reports whether a note with the facts is older than the limit the person has set.
func (c *caller) old(f Facts) bool {
	return f.Series != "" && c.OldBefore != "" && InHand{rules: c.Rules, facts: f}.Old()
}

// doubtful reports whether letters and digits of a serial do not fit together.
func (c *caller) doubtful(digits patterns.Digits, l Listed) bool {
	letters := l.Serial
	letters.Digits = ""
	plain := l.Facts == Facts{} && digits > 0
	if plain && digits <= c.fine[letters] {
		return false
	}
	doubt := currency.Worst(RemarksOn(c.denomination, l.Serial, l.Facts)) > currency.Fine
	if plain && !doubt {
		c.fine[letters] = digits
	}
	return doubt
}

// metAgain reports whether a note with this very serial was met before, or in this strap one that may have it.
func (c *caller) metAgain(digits patterns.Digits, l Listed) bool {
	if c.Met == nil {
		return false
	}
	met := c.Met(digits)
	if len(met) == 0 {
		return false
	}
	h := InHand{rules: c.Rules, place: l.Place(), pile: c.denomination}
	h.Entry.Serial = l.Serial
	h.know(l.Facts)
	for _, n := range met {
		switch relation := h.relate(n); {
		case relation == SameSerial, relation == OtherPlant, relation == SameDigits && h.here(n):
			return true
		}
	}
	return false
}

// placeholder is a listed note among the decided ones.
func (r Rules) placeholder(l Listed) Note {
	n := Note{Session: l.Session, Strap: l.Strap, Position: l.Position, Serial: l.Serial, Origin: l.Origin}.with(l.Facts)
	if digits, whole := l.Serial.Whole(); whole {
		match, _ := r.Book.Sets(digits)
		n.Hits = match & r.Watch.Hit
	}
	return n
}

// A Pull is a listed note that is to be taken out of the pile and looked at.
type Pull struct {
	Listed
	Beside int // the position of the note beside it that wants its neighbours, 0 if it is pulled for itself
}

// Pulls gives those of n listed notes that are to be looked at, in the order of the pile. at gives one of them,
// from 0, by strap and position; it is asked for each a few times, so that a long list need not be held twice. The note
// before the first of them is r.Before.
func Pulls(s Session, n int, at func(i int) Listed, r Rules) []Pull {
	r = r.of(s)
	var pulls []Pull
	calls, c := make([]bool, n+1), r.caller(s.Denomination)
	for i := range n {
		calls[i] = c.calls(at(i))
	}
	for i := range n {
		if calls[i] {
			pulls = append(pulls, Pull{Listed: at(i)})
			continue
		}
		if i == 0 && r.Before != nil && r.Before.WantsBeside(Note{Serial: at(0).Serial}, s.NewNotes) {
			pulls = append(pulls, Pull{at(0), r.Before.Position})
			continue
		}
		for _, j := range []int{i - 1, i + 1} {
			if j < 0 || !calls[j] {
				continue
			}
			l, beside := at(i), r.placeholder(at(j))
			if beside.Strap == l.Strap && beside.WantsBeside(Note{Serial: l.Serial}, s.NewNotes) {
				pulls = append(pulls, Pull{l, beside.Position})
				break
			}
		}
	}
	return pulls
}

// Deal says into which straps n listed notes go that come behind those a strap has already: all into that
// one, or with divide as many into each as its band promises. It gives the straps, and the place of a note, from
// 0, among them. t may be a strap that is not opened yet.
func Deal(s Session, t Strap, n int, divide bool) (straps []Strap, place func(i int) Place) {
	first := n // notes that go into t
	if divide {
		first = min(max(-t.Off(), 0), n)
	}
	straps = []Strap{t}
	band := max(s.StrapNotes, 1)
	for left := n - first; left > 0; left -= band {
		last := straps[len(straps)-1]
		straps = append(straps, Strap{Session: t.Session, Number: last.Number + 1, Band: band, Opened: t.Opened, List: t.List})
	}
	return straps, func(i int) Place {
		if i < first {
			return Place{t.Session, t.Number, t.Size() + i + 1}
		}
		i -= first
		return Place{t.Session, t.Number + 1 + i/band, i%band + 1}
	}
}

// listedNotes is what a sorter knows of the notes that are listed and not decided.
type listedNotes struct {
	notes map[int]Listed // by position
	calls map[int]bool   // those to be looked at for themselves
}

// withListed puts a placeholder for each listed note between the decided ones. A position of neither, which no
// sound file has, ends the strap.
func withListed(notes []Note, list []Listed, r Rules, d Denomination) ([]Note, listedNotes) {
	if len(list) == 0 {
		return notes, listedNotes{}
	}
	known := listedNotes{make(map[int]Listed, len(list)), make(map[int]bool, len(list))}
	all, c := make([]Note, 0, len(notes)+len(list)), r.caller(d)
	for position := 1; ; position++ {
		switch {
		case len(notes) > 0 && notes[0].Position == position:
			all, notes = append(all, notes[0]), notes[1:]
		case len(list) > 0 && list[0].Position == position:
			l := list[0]
			known.notes[position], known.calls[position] = l, c.calls(l)
			all, list = append(all, r.placeholder(l)), list[1:]
		default:
			return all, known
		}
	}
}

// Pulled reports whether the note at a position is listed, not decided, and to be looked at.
func (o *Sorter) Pulled(position int) bool {
	_, open := o.listed.notes[position]
	return open && (o.listed.calls[position] || o.besidePull(position) > 0)
}

// besidePull is the position of the note beside a listed one that wants its neighbours, 0 for none.
func (o *Sorter) besidePull(position int) int {
	for _, k := range besideOf(o.notes, position, o.rules.Before, o.rules.After) {
		if k.WantsBeside(o.notes[position-1], o.session.NewNotes) && (k.Decision == Keep || o.listed.calls[k.Position]) {
			return k.Position
		}
	}
	return 0
}

// BesidePull is the position of the note beside a listed one that wants its neighbours if it is kept, 0 for
// none or where the note is not listed.
func (o *Sorter) BesidePull(position int) int {
	if _, open := o.listed.notes[position]; !open {
		return 0
	}
	return o.besidePull(position)
}

// Pulls are the positions of the listed notes that are still to be looked at.
func (o *Sorter) Pulls() []int {
	var all []int
	if len(o.listed.notes) == 0 {
		return nil
	}
	for i := range o.notes {
		if o.Pulled(i + 1) {
			all = append(all, i+1)
		}
	}
	return all
}

// PullsLeft is how many listed notes are still to be looked at.
func (o *Sorter) PullsLeft() int { return len(o.Pulls()) }

// Listed is what was taken in of the note being looked at; ok is false where it was decided, or nothing was.
func (o *Sorter) Listed() (l Listed, ok bool) {
	l, ok = o.listed.notes[o.place]
	return l, ok
}

// ListedAt is what was taken in of the note at a position; ok is false where it was decided, or nothing was.
func (o *Sorter) ListedAt(position int) (l Listed, ok bool) {
	l, ok = o.listed.notes[position]
	return l, ok
}

// HasListed reports whether notes of the strap are listed and not decided.
func (o *Sorter) HasListed() bool { return len(o.listed.notes) > 0 }

// nextPlace is the next position to be looked at.
func (o *Sorter) nextPlace() int {
	if pulls := o.Pulls(); len(pulls) > 0 {
		return pulls[0]
	}
	return len(o.notes) + 1
}

// pulled takes in the decision on a listed note.
func (o *Sorter) pulled(n Note, at time.Time) []Effect {
	delete(o.listed.notes, n.Position)
	o.notes[n.Position-1] = n
	o.last = n.Decided
	effects := o.hurry(n)
	held := o.put
	o.put = Held{} // the store drops it together with the decision
	o.comeBack(at)
	if held != (Held{}) && o.resume == nil {
		if hand := o.handOut(); hand != nil { // what is in hand is not what was decided
			effects = append(effects, Effect{Hand: hand})
		}
	}
	return effects
}

// comeBack goes on after another note than the one in hand was decided: with what was typed into it if
// anything was, else with the next note there is to look at.
func (o *Sorter) comeBack(at time.Time) {
	if h := o.resume; h != nil && !h.asListed() && (!h.Entry.Empty() || h.facts != Facts{} || len(o.Pulls()) == 0) {
		o.move(h.place.Position, at)
		return
	}
	o.next(at)
}

// RestNotes is how many listed notes are spent in one go when all others are looked at: those of this strap
// and of the straps listed with it.
func (o *Sorter) RestNotes() int { return len(o.listed.notes) + o.onward.Rest }

// Whole reports whether the strap is one of stars in sequence, whose rest is kept.
func (o *Sorter) Whole() bool { return o.strap.Whole() }

// Rest gives the listed notes of the strap, spent as they are listed; those of a strap of stars kept. It means
// something when no pull is left.
func (o *Sorter) Rest(at time.Time) []Note {
	var rest []Note
	decision := Spend
	if o.Whole() {
		decision = Keep
	}
	for i := range o.notes {
		if _, open := o.listed.notes[i+1]; open {
			h := o.take(i+1, at)
			n := h.note(decision, at)
			n.Session, n.Strap, n.Position, n.Version = o.session.ID, o.strap.Number, i+1, 1
			rest = append(rest, n)
		}
	}
	return rest
}

// Onward says what else is listed in the session besides the strap on the table.
type Onward struct {
	Strap int // the next strap with notes to be pulled, 0 for none
	Rest  int // with none: how many notes of the other straps are spent together with the rest of this one
}

// Onward is what else is listed in the session.
func (o *Sorter) Onward() Onward { return o.onward }

// SetOnward says what else is listed in the session.
func (o *Sorter) SetOnward(w Onward) { o.onward = w }

// unlist has the notes of the strap sorted one by one when the key comes twice, each time after the pause.
func (o *Sorter) unlist(at time.Time) Effect {
	if len(o.listed.notes) == 0 {
		return Effect{Notice: Notice{Kind: NothingListed}}
	}
	if n := o.hand.gate.Press(KeyOneByOne, at); n != Quiet {
		return Effect{Notice: Notice{Kind: n}}
	}
	if !o.unlisting {
		o.unlisting = true
		o.hand.gate.Open(at, o.rules.Pauses.Stop)
		return Effect{Notice: Notice{Kind: UnlistAsked, N: len(o.listed.notes)}}
	}
	return Effect{Unlist: true}
}

// readBefore is the number that was read of the note at a place before the others were looked at: of the one on top and of
// the one at the bottom of a strap that was taken for one in sequence and is none. It is empty of all others, and of those
// that are decided.
func (o *Sorter) readBefore(place int) Serial {
	switch {
	case o.strap.InSequence || place <= len(o.notes):
		return Serial{}
	case place == 1:
		return o.strap.First
	case place == o.strap.Band:
		return o.strap.Last
	}
	return Serial{}
}

// readLast reports whether the number of the note at a place was read as that of the one at the bottom, and is not to be
// typed again.
func (o *Sorter) readLast(place int) bool { return place > 1 && !o.readBefore(place).Empty() }

// ReadOtherwise is the number that was read of the note before the others were looked at; ok is false where none was, or the
// one typed is that number.
func (h InHand) ReadOtherwise() (s Serial, ok bool) {
	if h.readAs.Empty() || !h.Entry.Complete() {
		return Serial{}, false
	}
	return h.readAs, h.Entry.Digits != h.readAs.Digits || !mayBeSame(h.Entry.Serial, h.readAs)
}

// ReadLast reports whether the number in hand is the one that was read of the note at the bottom.
func (o *Sorter) ReadLast() bool { return o.readLast(o.place) && o.hand.Entry.Serial == o.strap.Last }

// takeListed takes up what was taken in of the note.
func (h *InHand) takeListed(l Listed) {
	h.listed = &l
	h.Entry.Serial = l.Serial
	h.know(l.Facts)
	h.loaded = !l.Serial.Empty() // the first key typed takes its place
	h.had = l.had() != ""        // to pass it over unread takes the key twice
	if l.Origin == FromSequence {
		h.read = l.Serial.Digits // read twice already
	}
}

// takenIn is the number that was taken in of the note in hand, or of the one taken up; empty for none.
func (h InHand) takenIn() string {
	if h.listed != nil {
		return h.listed.had()
	}
	return cmp.Or(h.was.Listed, h.was.takenInAs())
}

// asListed reports whether the note in hand is a listed one whose serial stands as it was taken in.
func (h InHand) asListed() bool { return h.listed != nil && h.Entry.Serial == h.listed.Serial }

// asStored reports whether the note in hand was decided before and its serial stands as it is stored.
func (h InHand) asStored() bool { return h.was.Version > 0 && h.Entry.Serial == h.was.Serial }

// bySequence reports whether the serial is known by the sequence of its strap, and so beyond misreading.
func (h InHand) bySequence() bool {
	return h.asListed() && h.listed.Origin == FromSequence || h.asStored() && h.was.Origin == FromSequence
}

// takenInAs is the serial of a note that was not typed; empty of one that was.
func (n Note) takenInAs() string {
	if n.Origin == Typed {
		return ""
	}
	return n.Serial.String()
}

// InPlaceOf is the number that the sequence of the strap has in the place of the one typed; ok is false where
// it is that number, or the strap is in no sequence.
func (h InHand) InPlaceOf() (s Serial, ok bool) {
	if h.listed == nil || h.listed.Origin != FromSequence || !h.Entry.Complete() || h.asListed() || h.Entry.Digits == h.listed.Serial.Digits && !h.Entry.Star {
		return Serial{}, false
	}
	return h.listed.Serial, true
}

// Fills reports whether as many digits are typed as a list has unread ones, so that Enter puts them in their places.
func (h InHand) Fills() bool {
	return h.listed != nil && h.listed.Unread != "" && h.Entry.Serial == (Serial{Digits: h.Entry.Digits}) &&
		len(h.Entry.Digits) == h.listed.UnreadDigits()
}

// filling reports whether something is typed of a number that a list has with unread digits, and less than the whole number.
func (h InHand) filling() bool {
	return h.listed != nil && h.listed.Unread != "" && h.Entry.Partial()
}

// fill puts the digits typed where a list has unread ones, if they are as many: the rest is as the list has it.
func (h *InHand) fill(at time.Time) Notice {
	if !h.Fills() {
		return Notice{Kind: FillUnread, N: h.listed.UnreadDigits()}
	}
	typed := h.Entry.Digits
	h.Entry.Serial = Serial{Digits: filled(h.listed.Unread, typed)}
	if s, _, err := ParseSerial(filled(h.listed.Text, typed)); err == nil && s.Digits == h.Entry.Digits {
		h.Entry.Serial = s // with its letters, which were read
	}
	h.mode, h.loaded = Typing, false
	h.changed(at)
	return Notice{}
}

// filled is a text with digits put where it has unread ones.
func filled(text, digits string) string {
	for _, d := range digits {
		text = strings.Replace(text, string(patterns.UnreadSign), string(d), 1)
	}
	return text
}

// mostMisread is in how many digits a list may differ from the note and still be taken for misread.
const mostMisread = 1

// Contradicts reports whether the number typed is another one than was taken in for its place: more than a misread
// digit apart from what a list has, or not the number of the sequence. A star in a sequence stands for its number.
func (h InHand) Contradicts() bool {
	if _, other := h.ReadOtherwise(); other {
		return true
	}
	if _, other := h.InPlaceOf(); other {
		return !h.Entry.Star
	}
	if h.listed == nil || h.listed.Origin != FromList || !h.Entry.Complete() || h.asListed() {
		return false
	}
	had := h.listed.Unread
	if had == "" {
		had = h.listed.Serial.Digits
	}
	if h.reread == RereadChanged && h.before == had { // what was asked for is answered: it is this note
		return false
	}
	return otherDigits(had, h.Entry.Digits) > mostMisread
}

// otherDigits is in how many places the digits of a list, some of them perhaps unread, are not those of a note.
func otherDigits(had, digits string) (n int) {
	for i := range had {
		if had[i] != patterns.UnreadSign && had[i] != digits[i] {
			n++
		}
	}
	return n
}

// ListedAt is the position at which the number typed is listed, where that is not its own; 0 where it is listed nowhere
// else. One note taken too many or too few is the likeliest slip of a hand that pulls.
func (h InHand) ListedAt() int {
	if h.elsewhere == nil || !h.Entry.Complete() || h.asListed() {
		return 0
	}
	return h.elsewhere(h.Entry.Serial)
}

// elsewhere finds the position at which a serial is listed.
func (o *Sorter) elsewhere(s Serial) int {
	for position, l := range o.listed.notes {
		if position != o.place && l.Serial.Digits == s.Digits && mayBeSame(l.Serial, s) {
			return position
		}
	}
	return 0
}

// met has a listed note looked at whose number was typed elsewhere: one of the two is not what it is taken for.
func (o *Sorter) met(n Note) {
	if n.Origin != Typed || len(n.Serial.Digits) < patterns.Places {
		return
	}
	for position, l := range o.listed.notes {
		if position != n.Position && l.Serial.Digits == n.Serial.Digits && mayBeSame(l.Serial, n.Serial) {
			o.listed.calls[position] = true
		}
	}
}

// A Missed is a listed number that would have stopped the sorter, in whose place another one was typed or none.
type Missed struct {
	Position int
	Listed   string // as the list, or the sequence, had it
}

// Missed gives the listed hits and near misses of the strap that were not found: another number was typed at their
// place, or the note was spent unread, and theirs was typed nowhere. A near miss that was misread in one digit was found.
// In a strap in sequence near misses are known to be none. A note beside the one that was looked at may be it.
func (o *Sorter) Missed() (all []Missed) {
	found := map[string]bool{}
	for _, n := range o.notes {
		if n.Decision != Undecided {
			found[n.Serial.Digits] = true
		}
	}
	for _, n := range o.notes {
		if n.Decision == Undecided || n.Listed == "" || n.Serial.Star {
			continue
		}
		s, _, err := ParseSerial(n.Listed)
		d, whole := s.Whole()
		if err != nil || !whole || found[s.Digits] {
			continue
		}
		match, near := o.rules.Book.Sets(d)
		hit := match&o.rules.Watch.Hit != 0
		misread := n.Before == s.Digits || len(n.Serial.Digits) == patterns.Places && otherDigits(s.Digits, n.Serial.Digits) <= mostMisread
		if hit || near&o.rules.Watch.Near != 0 && !misread && !o.strap.InSequence {
			all = append(all, Missed{n.Position, n.Listed})
		}
	}
	return all
}
