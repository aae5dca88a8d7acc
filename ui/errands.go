package ui

import (
	"errors"
	"fmt"
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/counting"
	"app/unband/triage/errands"
	"app/unband/triage/flaws"
	"app/unband/triage/stars"
)

// An errandRow is one line to do, or that was done. Stars looked up at one time are one line together.
type errandRow struct {
	kind errands.Kind
	list []errands.Errand // one, but of stars any number
	text string
}

// since is when it came up; of stars when the first did.
func (r errandRow) since() time.Time { return r.list[0].Since }

// rowsOf puts errands into lines.
func rowsOf(all []errands.Errand) []errandRow {
	var rows []errandRow
	for _, o := range all {
		if n := len(rows); o.Kind == errands.Star && n > 0 && rows[n-1].kind == errands.Star && rows[n-1].list[0].Done.Equal(o.Done) {
			rows[n-1].list = append(rows[n-1].list, o)
			continue
		}
		rows = append(rows, errandRow{o.Kind, []errands.Errand{o}, o.What})
	}
	return rows
}

// readWork reads what errands come of. stars is how many star notes are kept, whether they are looked up or not.
// What is damaged is left out, and the error names it: the rest is there all the same.
func readWork(s *store.Store) (w errands.Work, stars int, err error) {
	sessions, err := s.Sessions()
	errs := []error{err}
	for _, one := range sessions {
		work := errands.Session{Session: one}
		work.Straps, err = s.Straps(one.ID)
		errs = append(errs, err)
		if one.Totals.Waiting > 0 {
			work.Waiting, err = s.Waiting(one.ID)
			errs = append(errs, err)
		}
		w.Sessions = append(w.Sessions, work)
	}
	w.Notes, err = s.Todo()
	errs = append(errs, err)
	w.Stars, stars, err = unknownStars(s, sessions)
	return w, stars, errors.Join(append(errs, err)...)
}

// unknownStars are the kept stars that no list of runs has an answer for; kept is how many there are in all.
func unknownStars(s *store.Store, sessions []triage.Session) (unknown []triage.Note, kept int, err error) {
	notes, err := s.Stars()
	if err != nil {
		return nil, 0, err
	}
	runs, err := s.Runs()
	if err != nil {
		return nil, 0, err
	}
	open := map[triage.Place]bool{}
	for _, f := range stars.ResolveAll(starsOf(notes, sessions), runs) {
		open[f.Star.Place] = unanswered(f)
	}
	kept = len(notes)
	return slices.DeleteFunc(notes, func(n triage.Note) bool { return !open[n.Place()] }), kept, nil
}

// openErrands finds what is to be done, in lines, and gives errands that were done as they are stored.
func openErrands(s *store.Store, w errands.Work) (rows []errandRow, finished []errands.Errand, err error) {
	if finished, err = s.ErrandsDone(); err != nil {
		return nil, nil, err
	}
	done := map[errands.Errand]time.Time{}
	for _, f := range finished {
		done[errands.Errand{Kind: f.Kind, Place: f.Place}] = f.Done
	}
	sessions, notes := map[uint64]errands.Session{}, map[triage.Place]triage.Note{}
	for _, one := range w.Sessions {
		sessions[one.Session.ID] = one
	}
	for _, n := range w.Notes {
		notes[n.Place()] = n
	}
	rows = rowsOf(errands.Open(w, func(k errands.Kind, p triage.Place) time.Time { return done[errands.Errand{Kind: k, Place: p}] }))
	for i, r := range rows {
		p := r.list[0].Place
		rows[i].text = errandText(r, sessions[p.Session], notes[p])
	}
	return rows, finished, nil
}

// errandText says what is to be done.
func errandText(r errandRow, of errands.Session, n triage.Note) string {
	s := of.Session
	name, face := printable(s.Name), int(s.Denomination)
	where := fmt.Sprintf("%s, %s strap %d note %d", printable(n.Serial.String()), name, n.Strap, n.Position)
	switch r.kind {
	case errands.Pile:
		branch := "it came from"
		if s.Source != "" {
			branch = printable(s.Source)
		}
		back := counting.New(s, of.Straps, nil).Together().Back()
		if n := len(s.Log); n > 0 && s.Log[n-1].Kind == triage.SignedOff { // what was found in the hand
			back = s.Log[n-1].Counted
		}
		return fmt.Sprintf("take %s of %s to another branch than %s", dollars(back*face), name, branch)
	case errands.Report:
		c, _ := flaws.Counterfeit.Caution()
		return where + ", set aside: call " + c.Authority + ", and tell the bank"
	case errands.Look:
		return "take the second look: " + count(s.Totals.Waiting, "near miss waits", "near misses wait") + " in " + name
	case errands.Study:
		return "study or show: " + n.Flaw.String() + ", " + where
	case errands.Stamp:
		return "look the stamp up: " + where
	}
	return count(len(r.list), "star", "stars") + " to look up"
}

// heldDone reports whether the key that says done is held down: it says so of one errand at a time.
func (e *env) heldDone(at time.Time) bool {
	held := e.errandGate.Rests(triage.KeyTakeOut, at)
	e.errandGate.Lock(triage.KeyTakeOut, at)
	if held {
		e.hint(triage.Notice{Kind: triage.HeldKey}.String(), at)
	}
	return held
}

// finish says that the errand is done, or with a zero time that it is open again.
func (r errandRow) finish(e *env, done time.Time, remark string, asker screen) {
	var all []errands.Errand
	for _, o := range r.list {
		o.Done, o.What, o.Remark = done, r.text, remark
		all = append(all, o)
	}
	e.submit(store.PutErrands{Errands: all}, asker)
}

// sayErrand says that an errand is done, or open again, when that is on the disk, and how it is opened again.
func (e *env) sayErrand(m stored, how string, at time.Time) {
	w, ok := m.write.(store.PutErrands)
	switch {
	case m.bad() || !ok || len(w.Errands) == 0:
	case w.Errands[0].Remark != "":
		e.say("the remark is noted", at)
	case w.Errands[0].Done.IsZero():
		e.say("open again: "+w.Errands[0].What, at)
	default:
		e.say("done: "+w.Errands[0].What+". "+how+" opens it again", at)
	}
}

// begin goes about an errand: to the screen where it is done.
func (r errandRow) begin(e *env, back func(time.Time) screen, from screen, at time.Time) (screen, tea.Cmd) {
	p := r.list[0].Place
	if r.kind == errands.Star {
		return openBatch(e, back, at)
	}
	s, err := e.store.Session(p.Session)
	if err != nil {
		e.fail(err, at)
		return from, nil
	}
	switch r.kind {
	case errands.Pile:
		return pileOf(e, s, at), nil
	case errands.Look:
		return openLook(e, s, from, at)
	}
	notes, err := e.store.Notes(p.Session, p.Strap)
	switch {
	case err != nil:
		e.fail(err, at)
		return from, nil
	case p.Position < 1 || p.Position > len(notes):
		e.say("the note is not there any more", at)
		return back(at), nil
	}
	line := map[errands.Kind]string{errands.Stamp: "tracking stamp", errands.Study: "printing error", errands.Report: "remark"}[r.kind]
	return openNote(e, s, notes[p.Position-1], line, back, at)
}
