package store

import (
	"errors"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/errands"
	"app/unband/triage/stars"
)

// A model is what the store must do, in plain maps: the slow truth.
type model struct {
	store    *Store
	path     string
	sessions []triage.Session // ID is index+1
	straps   map[triage.Place]triage.Strap
	order    []triage.Place // of straps, as opened
	notes    map[triage.Place][]triage.Note
	listed   map[triage.Place]triage.Listed
	hands    map[triage.Place]triage.Serial
	runs     []stars.Run // in no order
	done     map[errandName]errands.Errand
	gone     map[uint64]bool // sessions that were taken out
}

// An errandName is what an errand is stored under.
type errandName struct {
	kind  errands.Kind
	place triage.Place
}

// Any sequence of writes, accepted and refused, leaves the file equal to the model.
func TestStoreAgreesWithPlainMaps(t *testing.T) {
	folder := t.TempDir()
	file := 0
	rapid.Check(t, func(t *rapid.T) {
		file++
		m := &model{path: filepath.Join(folder, time.Duration(file).String()+".db"),
			straps: map[triage.Place]triage.Strap{}, notes: map[triage.Place][]triage.Note{}, listed: map[triage.Place]triage.Listed{}, hands: map[triage.Place]triage.Serial{},
			done: map[errandName]errands.Errand{}, gone: map[uint64]bool{}}
		m.open(t)
		defer func() { m.store.Close() }()
		t.Repeat(rapid.StateMachineActions(m))
		m.compare(t)
		report, err := m.store.Check()
		if err != nil || !report.Sound() {
			t.Fatalf("check: %v, %q", err, report.Problems)
		}
	})
}

func (m *model) open(t *rapid.T) {
	s, err := Open(m.path)
	if err != nil {
		t.Fatal(err)
	}
	s.commit, s.keep = commitWithoutSync, 0
	m.store = s
}

// Check is run by rapid after every action: cheap comparisons only.
func (m *model) Check(t *rapid.T) {
	if len(m.sessions) == 0 {
		return
	}
	last := m.sessions[len(m.sessions)-1]
	if m.gone[last.ID] {
		return
	}
	if got, err := m.store.Session(last.ID); err != nil || !reflect.DeepEqual(got, last) {
		t.Fatalf("session %d is\n%+v (%v), want\n%+v", last.ID, got, err, last)
	}
}

func (m *model) AddSession(t *rapid.T) {
	s := drawSession().Draw(t, "session")
	got := m.want(t, AddSession{s}, nil)
	s.ID, s.Totals = uint64(len(m.sessions)+1), triage.Totals{}
	m.sessions = append(m.sessions, s)
	m.same(t, "session", got.Session, s)
}

func (m *model) PutSession(t *rapid.T) {
	s := drawSession().Draw(t, "session")
	s.ID = m.someSession(t)
	if rapid.Bool().Draw(t, "open") {
		s.Closed = time.Time{}
	}
	if !m.there(s.ID) {
		m.want(t, PutSession{s}, ErrNoSession)
		return
	}
	if strap, ok := m.straps[triage.Place{Session: s.ID, Strap: 1}]; ok && rapid.Bool().Draw(t, "as its first band says") {
		s.StrapNotes = strap.Band
	}
	got := m.want(t, PutSession{s}, nil)
	old := m.sessions[s.ID-1]
	for p, strap := range m.straps {
		if p.Session == s.ID && strap.Band == old.StrapNotes && !strap.InSequence {
			strap.Band = s.StrapNotes
			m.straps[p] = strap
		}
	}
	s.Opened, s.Totals, s.Touched = old.Opened, old.Totals, latest(old.Touched, s.Touched)
	m.sessions[s.ID-1] = s
	m.same(t, "session", got.Session, s)
}

func (m *model) OpenStrap(t *rapid.T) {
	strap := triage.Strap{Session: m.someSession(t), Number: rapid.IntRange(0, 4).Draw(t, "number"),
		Band: rapid.IntRange(1, 250).Draw(t, "band"), Opened: drawTime().Draw(t, "opened"), Done: rapid.Bool().Draw(t, "done")}
	last := 0
	for p := range m.straps {
		if p.Session == strap.Session {
			last++
		}
	}
	session, err := m.sessionFor(strap.Session)
	if err == nil && strap.Number != 0 && strap.Number != last+1 {
		err = ErrHole
	}
	before, any := m.straps[triage.Place{Session: strap.Session, Strap: last}]
	if err == nil && any && !before.Done {
		err = ErrStrapOpen
	}
	got := m.want(t, OpenStrap{strap}, err)
	if err != nil {
		return
	}
	strap.Number, strap.Done = last+1, false
	m.enterStrap(strap, session)
	m.same(t, "strap", got.Strap, strap)
	m.same(t, "session", got.Session, *session)
}

// DropSession takes a session out, mostly the newest: it is the one without a note more often.
func (m *model) DropSession(t *rapid.T) {
	id := uint64(len(m.sessions))
	if rapid.IntRange(0, 3).Draw(t, "any session") == 0 {
		id = m.someSession(t)
	}
	var err error
	if !m.there(id) {
		err = ErrNoSession
	}
	for p := range m.straps {
		if err == nil && p.Session == id && len(m.notesOf(p)) > 0 {
			err = ErrHasNotes
		}
	}
	m.want(t, DropSession{id}, err)
	if err != nil {
		return
	}
	m.gone[id] = true
	m.sessions[id-1].Totals = triage.Totals{}
	for _, p := range m.order {
		if p.Session == id {
			delete(m.straps, p)
			delete(m.hands, p)
		}
	}
	m.order = slices.DeleteFunc(m.order, func(p triage.Place) bool { return p.Session == id })
	for e := range m.done {
		if e.place.Session == id {
			delete(m.done, e)
		}
	}
	if aside, err := m.store.TakenOut(id); err != nil || len(aside) != 0 {
		t.Fatalf("of a session that is gone %d notes are kept aside (%v)", len(aside), err)
	}
}

// enterStrap puts a new strap into the model.
func (m *model) enterStrap(strap triage.Strap, session *triage.Session) {
	p := triage.Place{Session: strap.Session, Strap: strap.Number}
	m.straps[p], m.order = strap, append(m.order, p)
	session.Touched = latest(session.Touched, strap.Opened)
}

// List takes in a few notes into the last strap of a session and those after it.
func (m *model) List(t *rapid.T) {
	id := m.someSession(t)
	last := 0
	for p := range m.straps {
		if p.Session == id {
			last++
		}
	}
	session, err := m.sessionFor(id)
	w := List{}
	number := last + rapid.IntRange(0, 1).Draw(t, "a new one")
	if rapid.IntRange(0, 9).Draw(t, "far off") == 0 {
		number = last + rapid.SampledFrom([]int{-1, 2}).Draw(t, "off")
	}
	number = max(number, 1) // 0 for "the next" is not for a list: its notes name their strap
	bad := 0                // the strap that is refused
	for i := range rapid.IntRange(1, 3).Draw(t, "straps") {
		s := triage.Strap{Session: id, Number: number + i, Band: rapid.IntRange(1, 100).Draw(t, "band"), Opened: drawTime().Draw(t, "opened"),
			List: rapid.SampledFrom([]string{"", "a.csv", "b.csv"}).Draw(t, "list"), InSequence: rapid.Bool().Draw(t, "in sequence"), First: drawSerial().Draw(t, "first")}
		w.Straps = append(w.Straps, s)
		p := triage.Place{Session: id, Strap: s.Number}
		switch known, there := m.straps[p]; {
		case err != nil:
		case there && known.Done:
			err, bad = ErrStrapDone, s.Number
		case there && len(m.listedOf(p)) > 0:
			err, bad = ErrListed, s.Number
		case !there && s.Number != last+1:
			err, bad = ErrHole, s.Number
		case !there:
			last++
		}
		size := len(m.notesOf(p))
		for range rapid.IntRange(0, 3).Draw(t, "notes") {
			size++
			w.Notes = append(w.Notes, triage.Listed{Session: id, Strap: s.Number, Position: size, Serial: drawSerial().Draw(t, "serial"),
				Origin: triage.FromList, Text: rapid.String().Draw(t, "text"), Doubt: rapid.String().Draw(t, "doubt")})
		}
	}
	if len(w.Notes) > 0 && rapid.IntRange(0, 9).Draw(t, "a hole") == 0 {
		w.Notes[0].Position++
		if err == nil || w.Notes[0].Strap < bad { // the straps are taken one after another
			err = ErrHole
		}
	}
	m.want(t, w, err)
	if err != nil {
		return
	}
	for _, s := range w.Straps {
		p := triage.Place{Session: id, Strap: s.Number}
		if there, ok := m.straps[p]; ok {
			there.List, there.InSequence, there.First, there.Last, there.Down = s.List, s.InSequence, s.First, s.Last, s.Down
			m.straps[p] = there
			delete(m.hands, p)
		} else {
			m.enterStrap(s, session)
		}
		session.Straps = max(session.Straps, s.Number)
	}
	for _, l := range w.Notes {
		m.listed[l.Place()] = l
	}
	for _, s := range w.Straps {
		m.recount(triage.Place{Session: id, Strap: s.Number})
	}
}

// listedOf are the listed notes of a strap by position.
func (m *model) listedOf(p triage.Place) (all []triage.Listed) {
	for i := 1; i <= len(m.notesOf(p)); i++ {
		if l, ok := m.listed[triage.Place{Session: p.Session, Strap: p.Strap, Position: i}]; ok {
			all = append(all, l)
		}
	}
	return all
}

func (m *model) PutListed(t *rapid.T) {
	p := m.someStrap(t)
	p.Position = rapid.IntRange(1, len(m.notesOf(p))+1).Draw(t, "position")
	facts := triage.Facts{Remark: rapid.String().Draw(t, "remark")}
	_, err := m.strapFor(triage.Place{Session: p.Session, Strap: p.Strap})
	l, ok := m.listed[p]
	if err == nil && !ok {
		err = ErrNoNote
	}
	given := l
	given.Session, given.Strap, given.Position, given.Facts, given.Text = p.Session, p.Strap, p.Position, facts, "not taken"
	m.want(t, PutListed{given}, err)
	if err == nil {
		l.Facts = facts
		m.listed[p] = l
	}
}

func (m *model) Unlist(t *rapid.T) {
	p := m.someStrap(t)
	_, err := m.strapFor(p)
	if err == nil && m.straps[p].Done {
		err = ErrStrapDone
	}
	held := triage.Held{Serial: drawSerial().Draw(t, "held")}
	m.want(t, Unlist{p.Session, p.Strap, held}, err)
	if err != nil {
		return
	}
	last := 0
	for _, n := range m.notesOf(p) {
		if n.Decision != triage.Undecided {
			last = n.Position
		}
	}
	delete(m.hands, p)
	if last == 0 && !held.Serial.Empty() {
		m.hands[p] = held.Serial
	}
	for q, other := range m.straps {
		if q == p || q.Session == p.Session && !other.Done && other.List != "" && other.List == m.straps[p].List {
			m.unlist(q)
			if q != p {
				delete(m.hands, q)
			}
		}
	}
}

// unlist forgets what is listed of a strap.
func (m *model) unlist(p triage.Place) {
	last := 0
	for _, n := range m.notesOf(p) {
		if n.Decision != triage.Undecided {
			last = n.Position
		}
	}
	for _, l := range m.listedOf(p) {
		if l.Facts != (triage.Facts{}) {
			last = max(last, l.Position)
		}
	}
	for _, l := range m.listedOf(p) {
		delete(m.listed, l.Place())
		if l.Position <= last {
			m.listed[l.Place()] = triage.Listed{Session: l.Session, Strap: l.Strap, Position: l.Position, Facts: l.Facts}
		}
	}
	strap := m.straps[p]
	strap.InSequence = false
	m.straps[p] = strap
	m.recount(p)
}

// DecideRest decides all that is listed of a strap, or tries it with one too few.
func (m *model) DecideRest(t *rapid.T) {
	p := m.someStrap(t)
	list := m.listedOf(p)
	if len(list) == 0 {
		return
	}
	at := drawTime().Draw(t, "at")
	var rest []triage.Note
	for _, l := range list {
		n := drawNote().Draw(t, "note")
		n.Session, n.Strap, n.Position, n.Version, n.Serial, n.Decided = p.Session, p.Strap, l.Position, 1, l.Serial, at
		rest = append(rest, n)
	}
	session, err := m.strapFor(p)
	if len(rest) > 1 && rapid.Bool().Draw(t, "one too few") {
		rest = rest[1:]
		if err == nil {
			err = ErrListed
		}
	}
	m.want(t, DecideRest{rest}, err)
	if err != nil {
		return
	}
	for _, n := range rest {
		delete(m.listed, n.Place())
		m.notes[n.Place()] = append(m.notes[n.Place()], n)
	}
	m.recount(p)
	delete(m.hands, p)
	strap := m.straps[p]
	strap.Done, strap.Closed = true, at
	m.straps[p] = strap
	session.Touched = latest(session.Touched, at)
}

func (m *model) TakeOut(t *rapid.T) {
	strap := m.someStrap(t)
	session, err := m.strapFor(strap)
	p := strap
	p.Position = len(m.notesOf(strap)) - rapid.IntRange(0, 1).Draw(t, "before the last")
	history := m.notes[p]
	version := len(history) + rapid.IntRange(0, 1).Draw(t, "version off")
	at := drawTime().Draw(t, "at")
	switch {
	case err != nil:
	case m.straps[strap].Done:
		err = ErrStrapDone
	case history == nil || p.Position != len(m.notesOf(strap)):
		err = ErrNotLast
	case version != len(history):
		var e *StaleError
		if r := m.store.Do(TakeOut{p, version, at}); !errors.As(r.Err, &e) {
			t.Fatalf("taking out version %d of %d was answered %v", version, len(history), r.Err)
		}
		return
	}
	m.want(t, TakeOut{p, version, at}, err)
	if err != nil {
		return
	}
	delete(m.notes, p)
	m.forgetErrands(p)
	m.recount(strap)
	session.Touched = latest(session.Touched, at)
	aside, err := m.store.TakenOut(p.Session)
	if err != nil || len(aside) < len(history) {
		t.Fatalf("%d versions taken out, %d kept aside (%v)", len(history), len(aside), err)
	}
}

func (m *model) PutChoices(t *rapid.T) {
	c := triage.Choices{Whole: rapid.Bool().Draw(t, "whole"), Settings: patterns.DefaultSettings(),
		Pauses: triage.Pauses{Plain: time.Duration(rapid.IntRange(0, 1e9).Draw(t, "plain"))},
		Watch:  patterns.Watch{Hit: patterns.Set(rapid.Uint64().Draw(t, "hit"))}}
	m.want(t, PutChoices{c}, nil)
	if got, ok, err := m.store.Choices(); err != nil || !ok || !reflect.DeepEqual(got, c) {
		t.Fatalf("choices are %+v (%v, %v), want %+v", got, ok, err, c)
	}
}

// PutRuns enters some runs, of which none or all come in.
func (m *model) PutRuns(t *rapid.T) {
	given := rapid.SliceOfN(drawRun(), 0, 4).Draw(t, "runs")
	want := slices.Clone(m.runs)
	for _, r := range given {
		if !slices.ContainsFunc(want, func(known stars.Run) bool { return sameRun(known, r) }) {
			if slices.ContainsFunc(want, func(known stars.Run) bool { return mayNotStandBeside(known, r) }) {
				var e *RunError
				if got := m.store.Do(PutRuns{given}); !errors.As(got.Err, &e) {
					t.Fatalf("%v beside %v was answered %v", r, want, got.Err)
				}
				return
			}
			want = append(want, r)
			continue
		}
		i := slices.IndexFunc(want, func(known stars.Run) bool { return sameRun(known, r) })
		want[i] = stars.Merge(want[i], r)
	}
	m.want(t, PutRuns{given}, nil)
	m.runs = want
}

// sameRun and mayNotStandBeside are the slow truth of stars.List, for valid runs.
func sameRun(a, b stars.Run) bool {
	unsaid := func(x, y int) bool { return x == y || x == 0 || y == 0 }
	return a.Group() == b.Group() && a.From == b.From && a.To == b.To && unsaid(int(a.Facility), int(b.Facility)) &&
		unsaid(a.Quantity, b.Quantity) && unsaid(int(a.Month), int(b.Month))
}

func mayNotStandBeside(a, b stars.Run) bool {
	twice := a.Denomination == 1 && a.Series == "2013" && a.Bank == 'B' && a.Facility != b.Facility && a.Facility != 0 && b.Facility != 0
	return a.Group() == b.Group() && a.From <= b.To && b.From <= a.To && !twice
}

func (m *model) DropRuns(t *rapid.T) {
	var given []stars.Run
	if len(m.runs) > 0 {
		given = rapid.SliceOfN(rapid.SampledFrom(m.runs), 0, 2).Draw(t, "known")
	}
	given = append(given, drawRun().Draw(t, "any"))
	m.want(t, DropRuns{given}, nil)
	for _, r := range given {
		m.runs = slices.DeleteFunc(m.runs, func(known stars.Run) bool {
			return known.Group() == r.Group() && known.From == r.From && known.Facility == r.Facility
		})
	}
}

// forgetErrands drops what was done about a note whose place is another note's now.
func (m *model) forgetErrands(p triage.Place) {
	for _, k := range errands.Kinds {
		if k.OfNote() {
			delete(m.done, errandName{k, p})
		}
	}
}

// PutErrands says of some errands that they are done, or open again.
func (m *model) PutErrands(t *rapid.T) {
	var all []errands.Errand
	var err error
	for range rapid.IntRange(0, 3).Draw(t, "errands") {
		e := errands.Errand{Kind: rapid.SampledFrom(errands.Kinds).Draw(t, "kind"), Remark: rapid.String().Draw(t, "remark"), Since: drawTime().Draw(t, "since")}
		if rapid.Bool().Draw(t, "done") {
			e.Done = drawTime().Draw(t, "at")
		}
		e.Place = triage.Place{Session: m.someSession(t)}
		there := m.there(e.Place.Session)
		if e.Kind.OfNote() {
			e.Place = m.someStrap(t)
			e.Place.Position = rapid.IntRange(1, len(m.notesOf(e.Place))+1).Draw(t, "position")
			there = m.notes[e.Place] != nil
		}
		all = append(all, e)
		switch {
		case err != nil || there:
		case e.Kind.OfNote():
			err = ErrNoNote
		default:
			err = ErrNoSession
		}
	}
	m.want(t, PutErrands{all}, err)
	if err != nil {
		return
	}
	for _, e := range all {
		m.done[errandName{e.Kind, e.Place}] = e
		if e.Done.IsZero() {
			delete(m.done, errandName{e.Kind, e.Place})
		}
	}
}

// Revise changes what is known of some notes at once.
func (m *model) Revise(t *rapid.T) {
	p := m.someStrap(t)
	var all []triage.Note
	for _, n := range m.notesOf(p) {
		if n.Decision != triage.Undecided && rapid.Bool().Draw(t, "this one") {
			n.Version++
			n.Where, n.Changed = rapid.String().Draw(t, "where"), drawTime().Draw(t, "changed")
			n.Fate, n.Stamp = triage.Fate(rapid.IntRange(0, 4).Draw(t, "fate")), rapid.Bool().Draw(t, "stamp")
			all = append(all, n)
		}
	}
	if rapid.IntRange(0, 9).Draw(t, "one that is not there") == 0 {
		m.want(t, Revise{append(all, triage.Note{Session: p.Session, Strap: p.Strap, Position: 1 << 20, Version: 1})}, ErrNoNote)
		return
	}
	m.want(t, Revise{all}, nil)
	for _, n := range all {
		m.notes[n.Place()] = append(m.notes[n.Place()], n)
		session := &m.sessions[p.Session-1]
		session.Touched = latest(session.Touched, n.Decided)
	}
	if len(all) > 0 {
		m.recount(p)
	}
}

func (m *model) CloseStrap(t *rapid.T) {
	p, at := m.someStrap(t), drawTime().Draw(t, "at")
	session, err := m.strapFor(p)
	strap := m.straps[p]
	if err == nil && strap.Done {
		err = ErrStrapDone
	}
	if err == nil && len(m.listedOf(p)) > 0 {
		err = ErrListed
	}
	got := m.want(t, CloseStrap{p.Session, p.Strap, at}, err)
	if err != nil {
		return
	}
	strap.Done, strap.Closed = true, at
	m.straps[p] = strap
	session.Touched = latest(session.Touched, at)
	delete(m.hands, p)
	m.same(t, "strap", got.Strap, strap)
}

func (m *model) PutBack(t *rapid.T) {
	p, back := m.someStrap(t), rapid.Make[triage.Back]().Draw(t, "back")
	if rapid.Bool().Draw(t, "the whole pile") || p.Strap == 0 {
		p.Strap = 0
		session, err := m.sessionFor(p.Session)
		m.want(t, PutBack{p.Session, 0, back}, err)
		if err == nil {
			session.Back = back
		}
		return
	}
	_, err := m.strapFor(p)
	m.want(t, PutBack{p.Session, p.Strap, back}, err)
	if err == nil {
		strap := m.straps[p]
		strap.Back = back
		m.straps[p] = strap
	}
}

func (m *model) SetHand(t *rapid.T) {
	p := m.someStrap(t)
	var serial triage.Serial
	if rapid.Bool().Draw(t, "a serial") {
		serial = drawSerial().Draw(t, "serial")
	}
	_, err := m.strapFor(p)
	if err == nil && m.straps[p].Done {
		err = ErrStrapDone
	}
	m.want(t, SetHand{p.Session, p.Strap, triage.Held{Serial: serial}}, err)
	if err != nil {
		return
	}
	m.hands[p] = serial
	if serial.Empty() {
		delete(m.hands, p)
	}
}

// Decide enters the next note most of the time, so that straps grow.
func (m *model) Decide(t *rapid.T) { m.decide(t, m.someStrap(t), -1) }

// Next is Decide again: rapid draws actions alike, and this is the one that matters.
func (m *model) Next(t *rapid.T) { m.decide(t, m.someStrap(t), -1) }

func (m *model) Correct(t *rapid.T) {
	p := m.someStrap(t)
	m.decide(t, p, rapid.IntRange(0, len(m.notesOf(p))+2).Draw(t, "position"))
}

func (m *model) decide(t *rapid.T, p triage.Place, position int) {
	count := len(m.notesOf(p))
	if position < 0 {
		position = count + 1
	}
	n := drawNote().Draw(t, "note")
	if rapid.IntRange(0, 3).Draw(t, "met before") == 0 {
		n.Serial.Digits = "00000007" // often met, by several notes
	}
	n.Session, n.Strap, n.Position = p.Session, p.Strap, position
	history := m.notes[n.Place()]
	if len(history) > 0 && rapid.IntRange(0, 2).Draw(t, "facts only") == 0 {
		last := history[len(history)-1]
		last.Series, last.Remark = n.Series, n.Remark
		n = last
	}
	_, waits := m.listed[n.Place()]
	n.Version = len(history) + 1
	if rapid.IntRange(0, 9).Draw(t, "stale") == 0 {
		n.Version = rapid.IntRange(-1, 4).Draw(t, "version")
	}
	session, err := m.strapFor(p)
	if errors.Is(err, ErrSessionClosed) && len(history) > 0 && countedAlike(n, history[len(history)-1]) {
		session, err = &m.sessions[p.Session-1], nil // nothing that was counted changes
	}
	stale := false
	switch {
	case err != nil:
	case len(history) == 0 && !waits && m.straps[p].Done:
		err = ErrStrapDone
	case len(history) == 0 && !waits && position != count+1:
		err = ErrHole
	case n.Version != len(history)+1:
		stale = true
	}
	if stale {
		var e *StaleError
		if r := m.store.Do(Decide{n}); !errors.As(r.Err, &e) || e.Want != len(history)+1 {
			t.Fatalf("version %d after %d was answered %v", n.Version, len(history), r.Err)
		}
		return
	}
	got := m.want(t, Decide{n}, err)
	if err != nil {
		return
	}
	m.notes[n.Place()] = append(history, n)
	delete(m.listed, n.Place())
	if len(history) == 0 {
		delete(m.hands, p)
	} else if last := history[len(history)-1].Serial.Digits; !strings.HasPrefix(n.Serial.Digits, last) && n.Before != last {
		m.forgetErrands(n.Place())
	}
	m.recount(p)
	session.Touched = latest(session.Touched, n.Decided)
	m.same(t, "note", got.Note, n)
	m.same(t, "strap", got.Strap, m.straps[p])
	m.same(t, "session", got.Session, *session)
}

// countedAlike reports whether two versions differ in no count but that of what became of a keeper.
func countedAlike(a, b triage.Note) bool {
	a.Fate, b.Fate = 0, 0
	return reflect.DeepEqual(a.Totals(), b.Totals())
}

// recount adds everything up from nothing.
func (m *model) recount(p triage.Place) {
	strap := m.straps[p]
	strap.Totals, strap.Listed = triage.Totals{}, len(m.listedOf(p))
	for _, n := range m.notesOf(p) {
		if n.Decision == triage.Undecided {
			continue
		}
		strap.Totals = strap.Totals.Add(n.Totals())
	}
	m.straps[p] = strap
	session := &m.sessions[p.Session-1]
	session.Totals = triage.Totals{}
	for q, s := range m.straps {
		if q.Session == p.Session {
			session.Totals = session.Totals.Add(s.Totals)
		}
	}
}

// Reopen closes the file and opens it again.
func (m *model) Reopen(t *rapid.T) {
	if err := m.store.Close(); err != nil {
		t.Fatal(err)
	}
	m.open(t)
}

// Fail lets the next commit fail, before or after it is on disk, and believes the store about it.
func (m *model) Fail(t *rapid.T) {
	after := rapid.Bool().Draw(t, "after the commit")
	p := m.someStrap(t)
	if _, err := m.strapFor(p); err != nil || m.straps[p].Done {
		return
	}
	serial := triage.Serial{Digits: rapid.StringMatching(`[0-9]{8}`).Draw(t, "digits"), Prefix: "X"}
	if serial == m.hands[p] {
		return
	}
	fail(m.store, after)
	r := m.store.Do(SetHand{p.Session, p.Strap, triage.Held{Serial: serial}})
	if r.Err == nil || r.Written != after {
		t.Fatalf("a commit that failed (after: %v) was answered %v, written %v", after, r.Err, r.Written)
	}
	if r.Written {
		m.hands[p] = serial
	}
	m.store.commit = commitWithoutSync
}

// compare reads everything and compares it with the model.
func (m *model) compare(t *rapid.T) {
	all, err := m.store.Sessions()
	if want := len(m.sessions) - len(m.gone); err != nil || len(all) != want {
		t.Fatalf("%d sessions, %v, want %d", len(all), err, want)
	}
	for i, s := range all {
		m.same(t, "session", s, m.sessions[s.ID-1])
		if i > 0 && (!all[i-1].Open() && s.Open() || all[i-1].Open() == s.Open() && s.Touched.After(all[i-1].Touched)) {
			t.Fatalf("session %d comes after session %d", s.ID, all[i-1].ID)
		}
	}
	m.compareStars(t)
	m.compareErrands(t)
	met := map[patterns.Digits][]triage.Note{}
	for _, s := range m.sessions {
		var waiting []triage.Note
		got, err := m.store.Straps(s.ID)
		if err != nil {
			t.Fatal(err)
		}
		for i, strap := range got {
			p := triage.Place{Session: s.ID, Strap: i + 1}
			m.same(t, "strap", strap, m.straps[p])
			waiting = append(waiting, m.compareStrap(t, p, met)...)
		}
		gotWaiting, err := m.store.Waiting(s.ID)
		if err != nil {
			t.Fatal(err)
		}
		m.same(t, "waiting", gotWaiting, waiting)
	}
	for d, want := range met {
		slices.SortStableFunc(want, func(a, b triage.Note) int { return b.Decided.Compare(a.Decided) })
		got, err := m.store.Met(d, 0)
		if err != nil {
			t.Fatal(err)
		}
		m.same(t, "met", got, want)
		if got, err := m.store.Met(d, 1); err != nil || len(got) != 1 || !got[0].Decided.Equal(want[0].Decided) {
			t.Fatalf("met %v, at most one: %+v, %v", d, got, err)
		}
	}
	if got, err := m.store.Met(31415926, 0); err != nil || len(met[31415926]) != len(got) {
		t.Fatalf("met 31415926: %d notes, %v", len(got), err)
	}
}

// compareStars compares the batch of stars and the runs.
func (m *model) compareStars(t *rapid.T) {
	var want []triage.Note
	for _, history := range m.notes {
		if n := history[len(history)-1]; n.Decision == triage.Keep && n.Serial.Star && n.Fate != triage.SpentAfter {
			want = append(want, n)
		}
	}
	slices.SortFunc(want, func(a, b triage.Note) int { return comparePlaces(a.Place(), b.Place()) })
	got, err := m.store.Stars()
	if err != nil {
		t.Fatal(err)
	}
	m.same(t, "the batch of stars", got, want)
	wantRuns := slices.SortedFunc(slices.Values(m.runs), stars.Run.Compare)
	gotRuns, err := m.store.Runs()
	if err != nil {
		t.Fatal(err)
	}
	m.same(t, "runs", gotRuns, wantRuns)
}

// compareErrands compares the list of keepers and the errands, done and open.
func (m *model) compareErrands(t *rapid.T) {
	var kept, todo []triage.Note
	for _, history := range m.notes {
		n := history[len(history)-1]
		if n.Decision == triage.Keep {
			kept = append(kept, n)
		}
		for _, k := range errands.Of(n) {
			if _, done := m.done[errandName{k, n.Place()}]; !done {
				todo = append(todo, n)
				break
			}
		}
	}
	byPlace := func(a, b triage.Note) int { return comparePlaces(a.Place(), b.Place()) }
	slices.SortFunc(kept, byPlace)
	slices.SortFunc(todo, byPlace)
	got, err := m.store.Kept()
	if err != nil {
		t.Fatal(err)
	}
	m.same(t, "keepers", got, kept)
	if got, err = m.store.Todo(); err != nil {
		t.Fatal(err)
	}
	m.same(t, "notes with an errand", got, todo)
	done, err := m.store.ErrandsDone()
	if err != nil || len(done) != len(m.done) {
		t.Fatalf("%d errands done, %v, want %d", len(done), err, len(m.done))
	}
	for _, e := range done {
		m.same(t, "errand", e, m.done[errandName{e.Kind, e.Place}])
	}
}

// compareStrap compares the notes of a strap, gives those that wait and collects the serials met.
func (m *model) compareStrap(t *rapid.T, p triage.Place, met map[patterns.Digits][]triage.Note) (waiting []triage.Note) {
	got, err := m.store.Notes(p.Session, p.Strap)
	if err != nil {
		t.Fatal(err)
	}
	var decided []triage.Note
	for _, n := range m.notesOf(p) {
		if n.Decision != triage.Undecided {
			decided = append(decided, n)
		}
	}
	m.same(t, "notes", got, decided)
	list, err := m.store.Listed(p.Session, p.Strap)
	if err != nil {
		t.Fatal(err)
	}
	m.same(t, "listed", list, m.listedOf(p))
	for _, n := range got {
		earlier, err := m.store.Versions(n.Session, n.Strap, n.Position)
		if err != nil {
			t.Fatal(err)
		}
		history := m.notes[n.Place()]
		m.same(t, "versions", append(earlier, n), history)
		if n.Look == triage.Waiting {
			waiting = append(waiting, n)
		}
		if d, ok := n.Serial.Whole(); ok {
			met[d] = append(met[d], n)
		}
	}
	held, ok, err := m.store.Hand(p.Session, p.Strap)
	serial := held.Serial
	want, there := m.hands[p]
	if err != nil || ok != there || serial != want {
		t.Fatalf("in hand: %v %v %v, want %v %v", serial, ok, err, want, there)
	}
	return waiting
}

func (m *model) want(t *rapid.T, w Write, want error) Result {
	r := m.store.Do(w)
	if !errors.Is(r.Err, want) {
		t.Fatalf("%T was answered %v, want %v", w, r.Err, want)
	}
	return r
}

func (m *model) same(t *rapid.T, what string, got, want any) {
	if !reflect.DeepEqual(got, want) {
		t.Fatalf("%s is\n%+v, want\n%+v", what, got, want)
	}
}

func (m *model) someSession(t *rapid.T) uint64 {
	return uint64(rapid.IntRange(0, len(m.sessions)+1).Draw(t, "which session"))
}

// someStrap is one that exists, most of the time, and often the newest.
func (m *model) someStrap(t *rapid.T) triage.Place {
	if len(m.order) == 0 || rapid.IntRange(0, 19).Draw(t, "no such strap") == 0 {
		return triage.Place{Session: m.someSession(t), Strap: rapid.SampledFrom([]int{-1, 0, 9, 1 << 33}).Draw(t, "which strap")}
	}
	if rapid.Bool().Draw(t, "newest") {
		return m.order[len(m.order)-1]
	}
	return rapid.SampledFrom(m.order).Draw(t, "which strap")
}

// notesOf are the notes of a strap by position; a listed one has no decision.
func (m *model) notesOf(p triage.Place) (all []triage.Note) {
	for i := 1; ; i++ {
		at := triage.Place{Session: p.Session, Strap: p.Strap, Position: i}
		history := m.notes[at]
		if _, waits := m.listed[at]; waits {
			history = []triage.Note{{Session: at.Session, Strap: at.Strap, Position: i}} // without a decision
		}
		if history == nil {
			return all
		}
		all = append(all, history[len(history)-1])
	}
}

// there reports whether the session exists.
func (m *model) there(id uint64) bool {
	return id > 0 && id <= uint64(len(m.sessions)) && !m.gone[id]
}

func (m *model) sessionFor(id uint64) (*triage.Session, error) {
	if !m.there(id) {
		return nil, ErrNoSession
	}
	s := &m.sessions[id-1]
	if !s.Closed.IsZero() {
		return nil, ErrSessionClosed
	}
	return s, nil
}

func (m *model) strapFor(p triage.Place) (*triage.Session, error) {
	s, err := m.sessionFor(p.Session)
	if _, ok := m.straps[p]; err == nil && !ok {
		err = ErrNoStrap
	}
	return s, err
}

func latest(times ...time.Time) time.Time { return slices.MaxFunc(times, time.Time.Compare) }
