// Package finds puts a session's finds on one page, in the order in which someone would show them: the
// oldest notes, stars by series and bank, patterns with the rarest first, errors with what one sees, near
// misses worth telling, stamped notes.
//
// It tells where nothing came from: the branch is the person's own business. It appraises nothing. The
// package is pure.
package finds

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
	"app/unband/triage/stars"
)

// Options are how a page is made.
type Options struct {
	HideDigits int                      // how many of the last digits are written as x, 0 to 8
	Star       func(triage.Note) string // what the lists of runs say of a star; may be nil
}

// A Page is the finds of one session.
type Page struct {
	Title    string
	Totals   string
	Sections []Section
}

// A Section is one kind of find.
type Section struct {
	Title string
	Items []Item
}

// An Item is one note.
type Item struct {
	Serial string   // with the digits that are shown
	Words  string   // what it is
	Also   []string // what else there is to say of it
}

// Empty reports whether there is nothing to show.
func (p Page) Empty() bool { return len(p.Sections) == 0 }

// rarelyNear is how many serials meet a rule at most whose near misses are worth telling: one in 5,000.
const rarelyNear = patterns.Total / 5000

// mostNear is how many near misses are told.
const mostNear = 10

// Make makes the page of a session of its notes; book is that of its definitions. Each note stands once, in
// the first section that fits. Notes set aside are no finds.
func Make(s triage.Session, notes []triage.Note, book *patterns.Book, o Options) Page {
	m := maker{session: s, book: book, options: o, top: s.Denomination.Top()}
	kind := "used"
	if s.NewNotes {
		kind = "new"
	}
	p := Page{Title: "Finds of " + s.Name}
	p.Totals = fmt.Sprintf("%s, %s %s notes, %s looked through, %s kept", s.Opened.Format("2 January 2006"), s.Denomination, kind,
		triage.Thousands(s.Totals.Notes), triage.Thousands(s.Totals.Kept))
	left := slices.DeleteFunc(slices.Clone(notes), func(n triage.Note) bool { return n.Decision == triage.SetAside })
	for _, section := range []struct {
		title string
		is    func(triage.Note) bool
		order func(a, b triage.Note) int
		item  func(triage.Note) Item
		most  int
	}{
		{"Old notes, the oldest first", m.old, func(a, b triage.Note) int { return stars.CompareSeries(a.Series, b.Series) }, m.oldItem, 0},
		{"Stars, by series and bank", m.star, m.byBank, m.starItem, 0},
		{"Patterns, the rarest first", m.pattern, m.byRarity, m.patternItem, 0},
		{"Errors", m.flawed, func(a, b triage.Note) int { return cmp.Compare(a.Flaw, b.Flaw) }, m.flawItem, 0},
		{"Near misses worth telling", m.near, m.byNear, m.nearItem, mostNear},
		{"With the stamp of someone who tracks notes", func(n triage.Note) bool { return n.Stamp }, nil, m.plainItem, 0},
		{"Kept for other reasons", func(n triage.Note) bool { return n.Decision == triage.Keep }, nil, m.plainItem, 0},
	} {
		var here []triage.Note
		left = slices.DeleteFunc(left, func(n triage.Note) bool {
			if section.is(n) {
				here = append(here, n)
				return true
			}
			return false
		})
		if section.order != nil {
			slices.SortStableFunc(here, section.order)
		}
		if section.most > 0 && len(here) > section.most {
			here = here[:section.most]
		}
		if len(here) == 0 {
			continue
		}
		one := Section{Title: section.title}
		for _, n := range here {
			one.Items = append(one.Items, section.item(n))
		}
		p.Sections = append(p.Sections, one)
	}
	return p
}

// A maker knows what notes are judged by.
type maker struct {
	session triage.Session
	book    *patterns.Book
	options Options
	top     patterns.Digits
}

// old, star, pattern, flawed and near say which section a note is of.
func (m maker) old(n triage.Note) bool {
	series, err := currency.ParseSeries(n.Series)
	limit, bad := currency.ParseSeries(m.session.OldBefore)
	return n.Series != "" && err == nil && bad == nil && m.session.OldBefore != "" && n.Decision == triage.Keep && currency.Old(series, limit)
}

func (m maker) star(n triage.Note) bool { return n.Serial.Star && n.Decision == triage.Keep }

func (m maker) pattern(n triage.Note) bool {
	return n.Decision == triage.Keep && n.Hits&m.session.Watch.Hit != 0
}

func (m maker) flawed(n triage.Note) bool {
	outcome, ok := n.Flaw.Outcome()
	return ok && outcome.Keep() && n.Decision == triage.Keep
}

func (m maker) near(n triage.Note) bool { return len(m.nearRules(n)) > 0 }

// lead is how many serials meet the rarest watched rule of a note.
func (m maker) lead(n triage.Note) int {
	least := patterns.Total
	for _, id := range (n.Hits & m.session.Watch.Hit).IDs() {
		if r, ok := m.book.Rule(id); ok {
			least = min(least, r.Total)
		}
	}
	return least
}

func (m maker) byRarity(a, b triage.Note) int { return cmp.Compare(m.lead(a), m.lead(b)) }

func (m maker) byBank(a, b triage.Note) int {
	x, _ := stars.Of(a, m.session.Denomination)
	y, _ := stars.Of(b, m.session.Denomination)
	return cmp.Or(stars.CompareSeries(x.Series, y.Series), cmp.Compare(x.Bank, y.Bank), cmp.Compare(x.Number, y.Number))
}

// nearRules are the rare rules that the note misses by one change, the rarest first.
func (m maker) nearRules(n triage.Note) []patterns.Rule {
	var rules []patterns.Rule
	for _, r := range m.book.Rules() {
		if n.Near.Has(r.ID) && m.session.Watch.Near.Has(r.ID) && r.Total <= rarelyNear {
			rules = append(rules, r)
		}
	}
	return rules
}

func (m maker) byNear(a, b triage.Note) int {
	return cmp.Compare(m.nearRules(a)[0].Total, m.nearRules(b)[0].Total)
}

// item begins an item with what every note has: its serial, and what is known of it.
func (m maker) item(n triage.Note, words string) Item {
	i := Item{Serial: Hide(n.Serial, m.hidden(n)), Words: words}
	add := func(text string) {
		if text = strings.TrimSpace(text); text != "" {
			i.Also = append(i.Also, text)
		}
	}
	if n.Series != "" && !strings.Contains(words, "series "+n.Series) {
		add("series " + n.Series)
	}
	if n.Grade != flaws.NoGrade {
		add("condition " + n.Grade.String())
	}
	if n.Defects != 0 {
		add(n.Defects.String())
	}
	if n.Stamp && !strings.Contains(words, "stamp") {
		add("with a tracking stamp")
	}
	add(n.Remark)
	if n.Fate != triage.StillHere {
		add(n.Fate.String())
	}
	return i
}

// hidden is how many digits of a note are hidden: all of them where a pattern is told, because half of a radar
// is the whole of it.
func (m maker) hidden(n triage.Note) int {
	if m.options.HideDigits > 0 && (n.Hits&m.session.Watch.Hit != 0 || m.near(n)) {
		return patterns.Places
	}
	return m.options.HideDigits
}

// with adds what else a note is to its item.
func (i Item) with(also ...string) Item {
	var all []string
	for _, text := range also {
		if text != "" {
			all = append(all, text)
		}
	}
	i.Also = append(all, i.Also...)
	return i
}

func (m maker) oldItem(n triage.Note) Item {
	words := "series " + n.Series
	if class := currency.ClassOfSeal(int(m.session.Denomination), seriesOf(n), n.Seal); class != currency.ClassUnknown {
		words += ", " + class.String()
	}
	return m.item(n, words).with(append([]string{m.starWords(n), m.patternWords(n)}, m.flawLines(n)...)...)
}

func (m maker) starItem(n triage.Note) Item {
	words := "star note"
	if n.Series != "" {
		words += ", series " + n.Series
	}
	if star, _ := stars.Of(n, m.session.Denomination); star.Bank != 0 {
		words += ", " + stars.BankName(star.Bank)
	}
	run := ""
	if m.options.Star != nil && m.options.HideDigits == 0 { // the run gives the first digits away
		run = m.options.Star(n)
	}
	return m.item(n, words).with(append([]string{run, m.patternWords(n)}, m.flawLines(n)...)...)
}

func (m maker) patternItem(n triage.Note) Item {
	names := m.names(n)
	i := m.item(n, names[0])
	if len(names) > 1 {
		i = i.with("also " + strings.Join(names[1:], ", "))
	}
	return i.with(append([]string{m.details(n)}, m.flawLines(n)...)...)
}

func (m maker) flawItem(n triage.Note) Item {
	outcome, _ := n.Flaw.Outcome()
	see := outcome.See
	if n.Face != "" || n.Back != "" {
		see = ""
	}
	return m.item(n, n.Flaw.String()).with(stageWords(outcome), see, sided("on the face", n.Face), sided("on the back", n.Back), flaws.Verdict)
}

func (m maker) nearItem(n triage.Note) Item {
	rule := m.nearRules(n)[0]
	words := "one change off " + article(m.named(rule))
	if d, ok := n.Serial.Whole(); ok && m.options.HideDigits == 0 { // which digit it lacks gives it away
		for _, near := range m.book.Judge(d).Near {
			if near.Rule == rule.ID {
				words += ": " + triage.ChangesWords(near.Changes)
			}
		}
	}
	return m.item(n, words)
}

func (m maker) plainItem(n triage.Note) Item {
	words := n.Reason
	switch {
	case n.Stamp:
		words = "stamped, " + n.Decision.String()
	case words == "":
		words = "kept"
	}
	return m.item(n, words)
}

// named is a rule with its odds. Where digits are hidden it is left vague if the name itself gives digits away,
// as that of an own pattern with digits in it.
func (m maker) named(r patterns.Rule) string {
	switch {
	case m.options.HideDigits > 0 && r.ID >= patterns.FirstTemplate:
		return "pattern of my own"
	case m.options.HideDigits > 0 && tells.Has(r.ID):
		return "number with a meaning"
	}
	return r.Name + ", " + m.odds(r)
}

// names are the watched rules of a note with their odds, the rarest first.
func (m maker) names(n triage.Note) []string {
	var names []string
	for _, r := range m.book.Rules() {
		if !n.Hits.Has(r.ID) || !m.session.Watch.Hit.Has(r.ID) {
			continue
		}
		names = append(names, m.named(r))
	}
	if len(names) == 0 {
		return []string{"a pattern"}
	}
	return names
}

// tells are the rules whose name alone leaves so few serials that it gives digits away: of a low number the
// first six, of a million number the last six, of a ladder most.
var tells = patterns.Set(0).With(patterns.LadderUp).With(patterns.LadderDown).With(patterns.LowNumber).With(patterns.RoundMillion).
	With(patterns.TenMillion).With(patterns.HighNumber).With(patterns.Solid).With(patterns.Date).With(patterns.OwnNumbers).
	With(patterns.SevenSteps).With(patterns.SixSteps).With(patterns.StutteringLadder).With(patterns.SkippingLadder).
	With(patterns.PartialLadder).With(patterns.LadderRadar)

func (m maker) odds(r patterns.Rule) string { return triage.OneIn(m.book.Count(r.ID, m.top), m.top) }

func (m maker) patternWords(n triage.Note) string {
	if n.Hits&m.session.Watch.Hit == 0 {
		return ""
	}
	return "also " + strings.Join(m.names(n), ", ")
}

// details are what the names alone do not say, such as which date; nothing where digits are hidden.
func (m maker) details(n triage.Note) string {
	d, ok := n.Serial.Whole()
	if !ok || m.options.HideDigits > 0 {
		return ""
	}
	var parts []string
	for _, f := range m.book.Judge(d).Findings {
		if f.Detail != "" && m.session.Watch.Hit.Has(f.Rule) {
			parts = append(parts, f.Detail)
		}
	}
	return strings.Join(parts, "; ")
}

func (m maker) starWords(n triage.Note) string {
	if !n.Serial.Star {
		return ""
	}
	return "star note"
}

// flawLines tell the error of a note that stands in another section, and what one sees.
func (m maker) flawLines(n triage.Note) []string {
	if !m.flawed(n) {
		return nil
	}
	return []string{n.Flaw.String(), sided("on the face", n.Face), sided("on the back", n.Back)}
}

func stageWords(o flaws.Outcome) string {
	if s := o.Stage.String(); s != "" {
		return "stage: " + s
	}
	return ""
}

func sided(where, text string) string {
	if text == "" {
		return ""
	}
	return where + ": " + text
}

func article(name string) string {
	if strings.ContainsRune("aeiou", rune(name[0])) {
		return "an " + name
	}
	return "a " + name
}

func seriesOf(n triage.Note) currency.Series {
	s, _ := currency.ParseSeries(n.Series) // unknown where none was said
	return s
}

// Hide writes a serial with the last n of its digits as x. Letters and star stay: they tell the block.
func Hide(s triage.Serial, n int) string {
	n = min(max(n, 0), len(s.Digits))
	s.Digits = s.Digits[:len(s.Digits)-n] + strings.Repeat("x", n)
	return s.String()
}
