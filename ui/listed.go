package ui

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/store"
	"app/unband/triage"
)

// This file is what the strap screen has to do with notes that were taken in beforehand.

// onwardOf says what else is listed in the session besides a strap. A strap that is kept whole goes by itself:
// what is spent and what is kept are two acts.
func onwardOf(e *env, s triage.Session, t triage.Strap, rules triage.Rules, at time.Time) (triage.Onward, error) {
	if t.Whole() {
		return triage.Onward{}, nil
	}
	others, err := listedBeside(e, s, t)
	if err != nil {
		return triage.Onward{}, err
	}
	rest := 0
	for _, other := range others {
		sorter, err := sorterOf(e, s, other, rules, at)
		if err != nil {
			return triage.Onward{}, err
		}
		if sorter.PullsLeft() > 0 {
			return triage.Onward{Strap: other.Number}, nil
		}
		rest += other.Listed
	}
	return triage.Onward{Rest: rest}, nil
}

// listedBeside are the other straps of a session with listed notes that are not kept whole, those after the strap
// first.
func listedBeside(e *env, s triage.Session, t triage.Strap) (after []triage.Strap, err error) {
	straps, err := e.store.Straps(s.ID)
	if err != nil {
		return nil, err
	}
	var before []triage.Strap
	for _, other := range straps {
		switch {
		case other.Done || other.Listed == 0 || other.Whole() || other.Number == t.Number:
		case other.Number > t.Number:
			after = append(after, other)
		default:
			before = append(before, other)
		}
	}
	return append(after, before...), nil
}

// sorterOf takes up a strap that is not on the table.
func sorterOf(e *env, s triage.Session, t triage.Strap, rules triage.Rules, at time.Time) (*triage.Sorter, error) {
	notes, err := e.store.Notes(s.ID, t.Number)
	if err != nil {
		return nil, err
	}
	list, err := e.store.Listed(s.ID, t.Number)
	if err != nil {
		return nil, err
	}
	if rules.Before, rules.After, err = around(e, t); err != nil {
		return nil, err
	}
	return triage.NewSorter(s, t, notes, list, triage.Held{}, rules, at), nil
}

// goOn takes up the next strap that has notes to be pulled.
func (v *strap) goOn(at time.Time) {
	s, number := v.sorter.Session(), v.sorter.Onward().Strap
	straps, err := v.env.store.Straps(s.ID)
	if err != nil {
		v.env.fail(err, at)
		return
	}
	for _, t := range straps {
		if t.Number == number {
			v.then, _ = openStrap(v.env, s, t, at)
			return
		}
	}
}

// decideRest decides what is listed and was not to be pulled, in this strap and in those listed with it. A note of
// another strap may have to be pulled by now: a keeper at the end of this one that wants its neighbours. Then the
// question is put anew.
func (v *strap) decideRest(at time.Time) {
	s, t := v.sorter.Session(), v.sorter.Strap()
	rules, _, err := rulesOf(v.env, s)
	var now triage.Onward
	if err == nil {
		now, err = onwardOf(v.env, s, t, rules, at)
	}
	if err == nil && now != v.sorter.Onward() {
		v.sorter.SetOnward(now)
		v.sorter.Shown(at)
		v.env.hint("the other straps are not as they were: read the question once more", at)
		return
	}
	rest := v.sorter.Rest(at)
	if err == nil && now.Rest > 0 {
		var more []triage.Note
		more, err = restBeside(v.env, s, t, rules, at)
		rest = append(rest, more...)
	}
	if err != nil {
		v.env.fail(err, at)
		return
	}
	v.closing = true
	v.env.submit(store.DecideRest{Notes: rest}, v)
}

// restBeside is the rest of the other listed straps.
func restBeside(e *env, s triage.Session, t triage.Strap, rules triage.Rules, at time.Time) (rest []triage.Note, err error) {
	others, err := listedBeside(e, s, t)
	if err != nil {
		return nil, err
	}
	for _, other := range others {
		sorter, err := sorterOf(e, s, other, rules, at)
		if err != nil {
			return nil, err
		}
		rest = append(rest, sorter.Rest(at)...)
	}
	return rest, nil
}

// heldFirst is the first note of a strap that is sorted one by one after all, where its number was read.
func heldFirst(t triage.Strap) triage.Held { return triage.Held{Serial: t.First} }

// listDone goes on after the rest of a list is decided, or a strap is sorted one by one.
func (v *strap) listDone(m stored, at time.Time) (screen, tea.Cmd) {
	v.closing = false
	if m.bad() {
		v.sorter.Shown(at)
		return v, nil
	}
	if w, rest := m.write.(store.DecideRest); rest {
		did := "spent as listed"
		switch {
		case v.sorter.Whole():
			did = "kept whole"
		case v.sorter.Strap().InSequence:
			did = "spent by their sequence"
		}
		v.env.say(count(len(w.Notes), "note", "notes")+" "+did, at)
		return pileOf(v.env, m.result.Session, at), nil
	}
	next, _ := openStrap(v.env, m.result.Session, m.result.Strap, at)
	v.env.say("the notes are sorted one by one from here", at)
	return next, nil
}

// leads takes the keys that lead to many notes at once.
func (v *strap) leads(k keyMsg, at time.Time) screen {
	sequence := key.Matches(k, strapMap.Sequence)
	if !sequence && !key.Matches(k, strapMap.List) {
		return nil
	}
	s, t := v.sorter.Session(), v.sorter.Strap()
	switch {
	case v.sorter.Pending() || v.sorter.Hand().Asks():
		v.env.hint(answerFirst, at)
	case v.env.busy(at):
	case !sequence && t.Whole() && v.sorter.HasListed():
		v.env.hint("a strap of stars in sequence is kept whole: "+name(strapMap.Enter)+" keeps it, then a list can be taken in", at)
	case v.sorter.HasListed():
		v.env.hint("numbers were taken in for this strap already: "+name(strapMap.OneByOne)+", twice, forgets them", at)
	case sequence:
		return openSequence(v.env, s, t, v.sorter.Hand().Entry.Serial, v.again, at)
	default:
		return openList(v.env, s, t, v.again, at)
	}
	return v
}

// again takes up the strap on the table anew, as it is on disk.
func (v *strap) again(at time.Time) screen {
	next, _ := openStrap(v.env, v.sorter.Session(), v.sorter.Strap(), at)
	return next
}

// listedLines says what was taken in of the note in hand, and why it is looked at.
func (v *strap) listedLines(w int) []string {
	if v.sorter.ReadLast() {
		return hang(" ", look.quiet.Render("read already, as the note at the bottom of the strap: another number is typed over it"), w)
	}
	if s, other := v.sorter.Hand().ReadOtherwise(); other && v.sorter.Hand().Mode() != triage.Rereading {
		return hang(look.near.Render(signDoubt), s.String()+" was read of this note before the others: is it this note? "+name(strapMap.Clear)+", twice, brings it back", w)
	}
	l, listed := v.sorter.Listed()
	if !listed {
		return nil
	}
	var lines []string
	add := func(sign, text string) { lines = append(lines, hang(sign, text, w)...) }
	h := v.sorter.Hand()
	if h.Mode() == triage.Rereading {
		return nil // what the list has must not be read off the screen
	}
	if p := h.ListedAt(); p > 0 {
		add(look.near.Render(signDoubt), fmt.Sprintf("this number is listed as note %d: did you pull the note beside?", p))
	}
	if s, other := h.InPlaceOf(); other {
		if h.Entry.Star {
			add(look.hit.Render(signHit), "stands for "+s.String()+", whose number is missing here; nothing ties the notes beside it to it")
		} else {
			add(look.near.Render(signDoubt), "by the sequence "+s.String()+" lies here. Another place? A gap? "+name(strapMap.OneByOne)+" sorts the strap one by one")
		}
		return lines
	}
	if had, whole := l.Serial.Whole(); whole && h.Entry.Serial != l.Serial {
		text := "the list has " + l.Serial.String() + " here"
		if l.Origin == triage.FromSequence {
			text = "by the sequence " + l.Serial.String() + " lies here"
		}
		match, near := v.book.Sets(had)
		if w := v.sorter.Session().Watch; match&w.Hit != 0 || near&w.Near != 0 && l.Origin == triage.FromList {
			text += ", " + pullReason(v.book, v.sorter.Session(), l, 0)
		}
		if h.Contradicts() {
			text += ": is it this note?"
		} else {
			text += "."
		}
		back := " " + name(strapMap.Clear) + " brings it back"
		if !h.Entry.Empty() {
			back = " " + name(strapMap.Clear) + ", twice, brings it back"
		}
		add(look.near.Render(signDoubt), text+back)
	}
	if l.Unread != "" && h.Entry.Complete() {
		add(" ", look.quiet.Render("the list has "+printable(l.Text)))
	} else if l.Unread != "" {
		add(look.near.Render(signDoubt), fmt.Sprintf("the list has %s: type the %s from the note and %s, or the whole number",
			printable(l.Text), unreadWords(l.UnreadDigits()), name(strapMap.Enter)))
		for _, words := range triage.UnreadWords(v.book, v.sorter.Session().Watch, l.Unread) {
			sign := look.near.Render(signNear)
			if strings.HasPrefix(words, triage.NothingWatched) {
				sign = " "
			}
			add(sign, words)
		}
	} else if l.Doubt != "" {
		text := printable(l.Doubt)
		if l.Text != "" {
			text = "the list has " + printable(l.Text) + ": " + text
		}
		add(look.near.Render(signDoubt), text)
	}
	if k := v.sorter.BesidePull(v.sorter.Place()); k > 0 && !v.sorter.Hand().Stops() {
		add(look.hit.Render(signBeside), fmt.Sprintf("pulled because it lies beside note %d, which wants its neighbours if it is kept", k))
	}
	return lines
}

// asListedLines ask if the number on the note is the one that was taken in. It is asked of every such note, so it comes last.
func (v *strap) asListedLines(w int) []string {
	l, listed := v.sorter.Listed()
	h := v.sorter.Hand()
	switch {
	case !listed || h.Entry.Serial != l.Serial || h.Mode() == triage.Rereading:
		return nil
	case l.Origin == triage.FromSequence:
		return hang(" ", look.quiet.Render("by the sequence of the strap: is it the number on the note? A star in its place is typed over it"), w)
	case l.Unread != "":
		return nil
	}
	return hang(" ", look.quiet.Render("from the list: is it the number on the note? Another one is typed over it. Not in the pile? "+name(strapMap.Drop)), w)
}

// unreadWords names the digits that a list has not.
func unreadWords(n int) string {
	if n == 1 {
		return "unread digit"
	}
	return fmt.Sprintf("%d unread digits", n)
}

// coming lists the notes that are to be pulled after the one in hand, in at most h lines.
func (v *strap) coming(h int) []string {
	var lines []string
	for _, p := range v.sorter.Pulls() {
		if p == v.sorter.Place() && !v.sorter.Back() {
			continue
		}
		if len(lines) == 0 {
			lines = append(lines, look.quiet.Render("to be pulled"))
		}
		if len(lines) >= h {
			break
		}
		l, _ := v.sorter.ListedAt(p)
		serial := l.Serial.String()
		if l.Serial.Digits == "" {
			serial = cmp.Or(printable(l.Text), "to be read")
		}
		lines = append(lines, fmt.Sprintf("%s %4d  %s %s", look.hit.Render(signChoice), p, pad(serial, 12), pullReason(v.book, v.sorter.Session(), l, v.sorter.BesidePull(p))))
	}
	return lines
}

// beforeTheRest says what to look for once more before the rest goes.
func (v *strap) beforeTheRest(w int) (lines []string) {
	for _, m := range v.sorter.Missed() {
		lines = append(lines, hang(look.near.Render(signDoubt), fmt.Sprintf("listed as note %d, and not found: %s", m.Position, printable(m.Listed)), w)...)
	}
	if v.sorter.Strap().InSequence && !v.sorter.Whole() {
		lines = append(lines, hang(signHit, "a star among them? Look along the edge once more: it is typed at its place, "+name(strapMap.Back)+", "+name(strapMap.Earlier)+" and "+name(strapMap.RowUp)+" go there", w)...)
	}
	return lines
}

// restQuestion asks about what is listed and was not to be pulled.
func (v *strap) restQuestion() (question, answers string) {
	t, onward := v.sorter.Strap(), v.sorter.Onward()
	if onward.Strap > 0 {
		return fmt.Sprintf("Nothing more is to be pulled from strap %d.", t.Number),
			fmt.Sprintf("%s goes on to strap %d. The rest of all straps is spent at the end, in one go.", look.hit.Render(name(strapMap.Enter)), onward.Strap)
	}
	n := v.sorter.RestNotes()
	question = "All that was to be pulled is looked at."
	straps := "strap"
	if n > t.Listed {
		straps = "straps they are in"
	}
	does := "spends the other " + count(n, "note", "notes")
	switch {
	case !v.sorter.Strap().InSequence:
		does += " as listed"
	case v.sorter.Whole():
		question = "A strap of stars in sequence: keep it whole, with its band."
		does = "keeps " + count(n, "star", "stars") + ", " + t.First.String() + " to " + t.Last.String()
	}
	if off := t.Off(); off != 0 {
		question += fmt.Sprintf(" %s, the band says %d: count the pile.", count(t.Band+off, "note", "notes")+" in all", t.Band)
	}
	return question, look.hit.Render(name(strapMap.Enter)) + ", twice, " + does + " and closes the " + straps + ". A note more? Type its serial. Something to change? " +
		look.hit.Render(name(strapMap.Back)) + " goes back."
}

// manyAtOnce says before the first note how a strap need not be typed note by note.
func (v *strap) manyAtOnce(w int) []string {
	text := name(strapMap.List) + " takes in a list from a counting machine or a spreadsheet"
	if v.sorter.Session().NewNotes {
		text = "all in sequence? " + name(strapMap.Sequence) + ": the first and the last number are enough. " + text
	}
	return hang(" ", look.quiet.Render(text), w)
}
