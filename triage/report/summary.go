package report

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/counting"
	"app/unband/triage/finds"
	"app/unband/triage/flaws"
)

// A style writes the parts of a summary.
type style interface {
	heading(level int, text string) string
	line(text string) string
	item(text string) string
}

type plain struct{}

func (plain) heading(level int, text string) string {
	text = triage.Printable(text)
	return text + "\n" + strings.Repeat([]string{"=", "-"}[min(level-1, 1)], len([]rune(text))) + "\n"
}
func (plain) line(text string) string { return triage.Printable(text) + "\n" }
func (plain) item(text string) string { return "  " + triage.Printable(text) + "\n" }

type markdown struct{}

func (markdown) heading(level int, text string) string {
	return strings.Repeat("#", level) + " " + finds.Escape(text) + "\n\n"
}
func (markdown) line(text string) string { return finds.Escape(text) + "\n\n" }
func (markdown) item(text string) string { return "- " + finds.Escape(text) + "\n" }

// summary writes what people want to read: every session with its keepers, and the whole.
func summary(w io.Writer, m Made, s Source, st style) error {
	out := bufio.NewWriterSize(w, flushAt)
	put := func(parts ...string) {
		for _, p := range parts {
			_, _ = out.WriteString(p) // the error is Flush's
		}
	}
	put(st.heading(1, "Straps, sessions and keepers"),
		st.line(fmt.Sprintf("made %s from %s by %s", m.At.Format("2 January 2006 15:04 MST"), m.From, m.By)))
	all, stop := batches(s)
	defer stop()
	for batch := range all {
		if batch.err != nil {
			return batch.err
		}
		if batch.begins() {
			put("\n", st.heading(2, fmt.Sprintf("%s (session %d)", batch.session.Name, batch.session.ID)))
			count := counting.New(*batch.session, batch.straps, nil)
			for _, text := range append(sessionLines(*batch.session), count.Lines(*batch.session)...) {
				put(st.line(text))
			}
		}
		if words := sequenceLine(batch.strap); words != "" {
			put(st.item(words))
		}
		if wholeStars(batch.strap) {
			continue // the line above stands for all of them
		}
		for _, n := range batch.notes {
			switch n.Decision {
			case triage.Keep:
				put(st.item(keeperLine(batch.names, batch.session, n)))
			case triage.SetAside, triage.LaidApart:
				put(st.item(asideLine(n)))
			case triage.NotThere:
				put(st.item(fmt.Sprintf("%s, listed and not in the pile: strap %d note %d", triage.Printable(n.Listed), n.Strap, n.Position)))
			}
		}
	}
	put("\n", st.heading(2, "Together"))
	for _, text := range together(s.Sessions) {
		put(st.line(text))
	}
	return out.Flush()
}

func sessionLines(s triage.Session) []string {
	kind := "used"
	if s.NewNotes {
		kind = "new"
	}
	state := "open"
	if !s.Open() {
		state = "closed " + s.Closed.Format("2 January 2006")
	}
	from := ""
	if s.Source != "" {
		from = ", from " + s.Source
	}
	t, face := s.Totals, int(s.Denomination)
	near := triage.Plural(t.Near, "near miss", "near misses")
	if t.Waiting > 0 && s.Open() {
		near += fmt.Sprintf(" (%s for the second look)", triage.Plural(t.Waiting, "waits", "wait"))
	}
	return []string{
		fmt.Sprintf("%s, %s %s notes%s, %s of %d, %s", s.Opened.Format("2 January 2006"), s.Denomination, kind, from, triage.Plural(s.Straps, "strap", "straps"), s.StrapNotes, state),
		fmt.Sprintf("%s: %s kept ($%s), %s spent ($%s), %s; %s, %s read again, %s changed by it", triage.Plural(t.Notes, "note", "notes"),
			triage.Thousands(t.Kept), triage.Thousands(t.Kept*face), triage.Thousands(t.Spent), triage.Thousands(t.Spent*face), asideWords(t, ""),
			near, triage.Thousands(t.Reread), triage.Thousands(t.Changed)),
	}
}

// sequenceLine tells the first and the last number of a strap in sequence; nothing of another strap.
func sequenceLine(t triage.Strap) string {
	switch {
	case !t.InSequence:
		return ""
	case wholeStars(t):
		return fmt.Sprintf("strap %d, %s kept whole: %s to %s", t.Number, triage.Plural(t.Totals.Kept, "star", "stars"), t.First, t.Last)
	}
	return fmt.Sprintf("strap %d in sequence: %s to %s", t.Number, t.First, t.Last)
}

// wholeStars reports whether a strap in sequence is made of stars and was kept as it is.
func wholeStars(t triage.Strap) bool {
	return t.InSequence && t.First.Star && t.Totals.Kept > 0 && t.Totals.Kept == t.Totals.Notes
}

// keeperLine tells one keeper: what it is, and where it lies or went.
func keeperLine(names *names, s *triage.Session, n triage.Note) string {
	parts := []string{n.Serial.String()}
	add := func(text string) {
		if text != "" {
			parts = append(parts, text)
		}
	}
	add(names.join(n.Hits & s.Watch.Hit))
	add(nearWords(names.book, s, n))
	if n.Look == triage.KeptAfter {
		add("kept after all")
	}
	if n.Serial.Star {
		add("star")
	}
	if n.Series != "" {
		add("series " + n.Series)
	}
	add(known(n.Flaw != flaws.NoOutcome, n.Flaw))
	add(known(n.Grade != flaws.NoGrade, n.Grade))
	add(n.Remark)
	if n.Fate != triage.StillHere {
		fate := n.Fate.String()
		if !n.FateDay.IsZero() {
			fate += " " + n.FateDay.Format("2 January 2006")
		}
		add(fate)
		add(n.FateRemark)
	} else if n.Where != "" {
		add("lies in " + n.Where)
	}
	return strings.Join(parts, ", ")
}

// asideLine tells one note set aside, or of another denomination: neither a keeper nor spent, it may have to be found again.
func asideLine(n triage.Note) string {
	serial := serialText(n.Serial)
	if serial == "" {
		serial = "serial not read"
	}
	what := n.Decision.String()
	if n.Denomination != 0 {
		what = n.Denomination.String() + ", " + what
	}
	text := fmt.Sprintf("%s, %s: strap %d note %d", serial, what, n.Strap, n.Position)
	if n.Remark != "" {
		text += ", " + n.Remark
	}
	return text
}

// nearWords say what a note is near to that was kept without being something, or only in the second look: the same
// names that stopped the sorter. Beside a hit of a strap in sequence every number is near, and that says nothing.
func nearWords(book *patterns.Book, s *triage.Session, n triage.Note) string {
	after := n.Look == triage.KeptAfter
	d, whole := n.Serial.Whole()
	if book == nil || !whole || n.Near&s.Watch.Near == 0 || !after && (n.Hits&s.Watch.Hit != 0 || n.Origin == triage.FromSequence) {
		return ""
	}
	var parts []string
	for _, miss := range triage.TellNear(book, s.Watch, book.Judge(d)) {
		if r, ok := book.Rule(miss.Rule); ok {
			parts = append(parts, r.Name+" ("+triage.ChangesWords(miss.Changes)+")")
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "near " + strings.Join(parts, ", ")
}

// asideWords say how many notes were neither kept nor spent, and what those set aside are worth by their face.
func asideWords(t triage.Totals, face string) string {
	words := triage.Thousands(t.Aside) + " set aside" + face
	if t.Apart > 0 {
		words += ", " + triage.Thousands(t.Apart) + " of another denomination laid apart"
	}
	if t.NotThere > 0 {
		words += ", " + triage.Plural(t.NotThere, "listed note", "listed notes") + " not in the pile"
	}
	return words
}

func together(all []triage.Session) []string {
	var sum triage.Totals
	kept, spent, aside := 0, 0, 0
	for _, s := range all {
		face := int(s.Denomination)
		sum = sum.Add(s.Totals)
		kept, spent, aside = kept+s.Totals.Kept*face, spent+s.Totals.Spent*face, aside+s.Totals.Aside*face
	}
	return []string{fmt.Sprintf("%s, %s: %s kept ($%s), %s spent ($%s), %s, %s", triage.Plural(len(all), "session", "sessions"), triage.Plural(sum.Notes, "note", "notes"),
		triage.Thousands(sum.Kept), triage.Thousands(kept), triage.Thousands(sum.Spent), triage.Thousands(spent), asideWords(sum, " ($"+triage.Thousands(aside)+")"), triage.Plural(sum.Stars, "star", "stars"))}
}
