// Package report writes what is in the file for people and for other programs: a summary as text or
// Markdown, every note as CSV or as JSON, one object a line.
//
// It reads one strap at a time, so that a million notes need no more memory than a hundred, and nothing of the
// file is held fast that a decision made meanwhile would have to write around. What is changed meanwhile is in the
// report as it was when its strap was read; the totals of a session are those the Source began with.
package report

import (
	"cmp"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
	"time"

	"app/unband/patterns"
	"app/unband/triage"
)

// A Source gives what is reported.
type Source struct {
	Sessions []triage.Session
	Straps   func(session uint64) ([]triage.Strap, error)
	Notes    func(session uint64, strap int) ([]triage.Note, error)
}

// Made says when and from what a report was made.
type Made struct {
	At   time.Time
	From string // the file, as the person named it or its own name
	By   string // program and version
}

// A Form is how a report is written.
type Form string

// The forms.
const (
	TextForm     Form = "text"
	MarkdownForm Form = "markdown"
	CSVForm      Form = "csv"
	JSONForm     Form = "json"
)

// Forms lists every form.
var Forms = []Form{TextForm, MarkdownForm, CSVForm, JSONForm}

// Write writes a report in a form. An error is of the source, of w, or says that there is no such form.
func Write(w io.Writer, f Form, m Made, s Source) error {
	switch f {
	case TextForm:
		return summary(w, m, s, plain{})
	case MarkdownForm:
		return summary(w, m, s, markdown{})
	case CSVForm:
		return writeCSV(w, m, s)
	case JSONForm:
		return writeJSON(w, m, s)
	}
	return fmt.Errorf("there is no form %q", f)
}

// A batch is the notes of one strap on their way to the writer. The first of a session has no strap: it says that
// the session begins.
type batch struct {
	session *triage.Session
	straps  []triage.Strap // of the session, where it begins
	names   *names
	strap   triage.Strap
	notes   []triage.Note
	err     error
}

// begins reports whether the session begins here.
func (b batch) begins() bool { return b.strap.Number == 0 }

// batches reads strap after strap in a goroutine of its own, a few ahead of the writer. stop ends it.
func batches(s Source) (all <-chan batch, stop func()) {
	c, done := make(chan batch, 4), make(chan struct{})
	send := func(b batch) bool {
		select {
		case c <- b:
			return true
		case <-done:
			return false
		}
	}
	go func() {
		defer close(c)
		var made []*names
		for i := range s.Sessions {
			session := &s.Sessions[i]
			var names *names
			made, names = namesOf(session.Settings, made)
			straps, err := s.Straps(session.ID)
			if !send(batch{session: session, straps: straps, names: names, err: err}) || err != nil {
				return
			}
			for _, t := range straps {
				notes, err := s.Notes(session.ID, t.Number)
				if !send(batch{session: session, names: names, strap: t, notes: notes, err: err}) || err != nil {
					return
				}
			}
		}
	}()
	return c, func() { close(done) }
}

// maxJoined is how many different sets of rules are kept joined. Those of real notes are far fewer; without a
// limit a file with all too many would take memory for each.
const maxJoined = 4096

// names are the names of the rules of a session, joined for each set of them once.
type names struct {
	settings patterns.Settings
	book     *patterns.Book // nil where the definitions cannot be read
	of       [64]string
	rank     [64]int // the rarest is 0
	joined   map[patterns.Set]string
}

// namesOf finds the names under the settings among those made before, or makes them: sessions mostly share
// their definitions, and ranking rules by how rare they are takes a book.
func namesOf(s patterns.Settings, made []*names) ([]*names, *names) {
	for _, n := range made {
		if reflect.DeepEqual(n.settings, s) {
			return made, n
		}
	}
	n := &names{settings: s, joined: map[patterns.Set]string{}}
	if book, err := patterns.NewBook(s); err == nil { // definitions that cannot be read leave the names empty
		n.book = book
		for i, r := range book.Rules() {
			n.of[r.ID&63], n.rank[r.ID&63] = r.Name, i
		}
	}
	return append(made, n), n
}

// list gives the names of a set, the rarest first.
func (n *names) list(s patterns.Set) []string {
	ids := s.IDs()
	slices.SortFunc(ids, func(a, b patterns.ID) int { return cmp.Compare(n.rank[a&63], n.rank[b&63]) })
	var all []string
	for _, id := range ids {
		if name := n.of[id&63]; name != "" {
			all = append(all, name)
		}
	}
	return all
}

// join gives the names in one cell.
func (n *names) join(s patterns.Set) string {
	if s == 0 {
		return ""
	}
	text, known := n.joined[s]
	if !known {
		if len(n.joined) == maxJoined {
			clear(n.joined)
		}
		text = strings.Join(n.list(s), "; ")
		n.joined[s] = text
	}
	return text
}
