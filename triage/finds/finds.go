// Package finds puts a session's finds on one page, in the order in which someone would show them: the
// oldest notes, stars by series and bank, patterns with the rarest first, errors with what one sees, near
// misses worth telling, stamped notes, the notes kept beside another.
//
// It tells where nothing came from: the branch is the person's own business. It appraises nothing. Digits
// that are hidden cannot be read off anything else on the page, see Options. The package is pure.
package finds

import (
	"cmp"
	"fmt"
	"slices"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/stars"
)

// Options are how a page is made.
type Options struct {
	// HideDigits is how many of the last digits are written as x, 0 to 8. What would give them away is then
	// left out or vague: every digit of a patterned note, names that speak of particular digits, dates,
	// which digit a near miss lacks, runs of stars, and each digit in the person's own words. A number
	// that is spelled out in those words stays.
	HideDigits int
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

// rarelyNear is what a rule must stay under, in serials, for its near misses to be worth telling: one in 5,000.
const rarelyNear = patterns.Total / 5000

// mostNear is how many near misses are told.
const mostNear = 10

// Make makes the page of a session of its notes; book is that of its definitions. Each note stands once, in
// the first section that fits. Notes set aside, those of another denomination and those that were not there are no finds.
func Make(s triage.Session, notes []triage.Note, book *patterns.Book, o Options) Page {
	m := maker{session: s, book: book, options: o, top: s.Denomination.Top(), old: oldLimit(s)}
	sections := m.sort(m.finds(notes))
	if m.hiding() {
		hideAll(sections, o.HideDigits)
	}
	p := Page{Title: m.title(), Totals: m.totals()}
	for _, part := range sections {
		one := Section{Title: part.title}
		for _, f := range part.finds {
			one.Items = append(one.Items, m.item(f, part.words(f)))
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
	old     currency.Series // the series before which a note is old
}

func (m maker) hiding() bool { return m.options.HideDigits > 0 }

// oldLimit is what the person said, else what is common practice: a note of 1963 is old to whoever is shown it,
// though the sorter was not to stop for it.
func oldLimit(s triage.Session) currency.Series {
	if limit, err := currency.ParseSeries(s.OldBefore); err == nil && limit.Known() {
		return limit
	}
	return currency.DefaultOldLimit(int(s.Denomination))
}

func (m maker) title() string {
	if m.session.Name == "" {
		return "Finds"
	}
	return "Finds of " + m.own(m.session.Name)
}

func (m maker) totals() string {
	kind := "used"
	if m.session.NewNotes {
		kind = "new"
	}
	return fmt.Sprintf("%s, %s %s notes, %s looked through, %s kept", m.session.Opened.Format("2 January 2006"), m.session.Denomination, kind,
		triage.Thousands(m.session.Totals.Notes), triage.Thousands(m.session.Totals.Kept))
}

// A find is a note with what the book says of it.
type find struct {
	triage.Note
	hits   []patterns.Rule // the watched rules it meets, the rarest first
	near   []nearly        // the near misses worth a word, the rarest first
	beside *find           // the kept note beside it that wants its neighbours; nil for none
	hidden int             // how many of its digits are hidden
}

// A nearly is a rule that a note misses, and what would make it one.
type nearly struct {
	patterns.Rule
	changes []patterns.Change
}

// finds judges the notes that can be finds. What was set aside, is of another denomination than the session, or was not
// there is none, and no neighbour of one either.
func (m maker) finds(notes []triage.Note) []*find {
	var all []*find
	at, last := map[triage.Place]*find{}, map[int]*find{}
	for _, n := range notes {
		switch n.Decision {
		case triage.SetAside, triage.LaidApart, triage.NotThere:
			continue
		}
		f := &find{Note: n}
		f.hits, f.near = m.judge(n)
		all = append(all, f)
		at[n.Place()] = f
		if l := last[n.Strap]; l == nil || l.Position < n.Position {
			last[n.Strap] = f
		}
	}
	for _, f := range all {
		before, after := f.Place(), f.Place()
		before.Position--
		after.Position++
		around := []*find{at[before], at[after]}
		if f.Position == 1 {
			around[0] = last[f.Strap-1]
		}
		for _, k := range around {
			if f.beside == nil && f.kept() && k != nil && k.WantsBeside(f.Note, m.session.NewNotes) {
				f.beside = k
			}
		}
	}
	return all
}

// judge gives the watched rules of a note, and those it misses by one change that are rarer than what it
// already is. A name that another says better is left out: a solid is not called a radar, too.
func (m maker) judge(n triage.Note) (hits []patterns.Rule, near []nearly) {
	watched := n.Hits & m.session.Watch.Hit
	d, whole := n.Serial.Whole()
	if watched == 0 && (n.Near&m.session.Watch.Near == 0 || !whole) {
		return nil, nil
	}
	if whole {
		j := m.book.Judge(d)
		var told patterns.Set
		for _, f := range j.Findings {
			told = told.With(f.Rule)
		}
		watched &= told
		for _, miss := range triage.TellNear(m.book, m.session.Watch, j) {
			if r, ok := m.book.Rule(miss.Rule); ok && r.Total < rarelyNear && n.Origin != triage.FromSequence { // there every number beside a hit is near
				near = append(near, nearly{r, miss.Changes})
			}
		}
	}
	for _, r := range m.book.Rules() {
		if watched.Has(r.ID) {
			hits = append(hits, r)
		}
	}
	slices.SortStableFunc(hits, m.rarest)
	slices.SortStableFunc(near, func(a, b nearly) int { return m.rarest(a.Rule, b.Rule) })
	return hits, near
}

// rarest orders rules by the odds that are told with them.
func (m maker) rarest(a, b patterns.Rule) int {
	return cmp.Or(cmp.Compare(m.book.Count(a.ID, m.top), m.book.Count(b.ID, m.top)), cmp.Compare(a.Total, b.Total))
}

func (f *find) kept() bool { return f.Decision == triage.Keep }

func (f *find) flawed() bool {
	return f.Flaw.Keep() && f.kept()
}

func (m maker) isOld(f *find) bool {
	series := seriesOf(f.Note)
	return f.kept() && series.Known() && m.old.Known() && currency.Old(series, m.old)
}

// A part is a section while its notes are still at hand.
type part struct {
	title string
	is    func(*find) bool
	order func(a, b *find) int
	words func(*find) []string // what it is, and then what else there is to say
	finds []*find
}

// sort puts every find where it belongs and leaves out what is none.
func (m maker) sort(all []*find) []part {
	parts := []part{
		{title: "Old notes, the oldest first", is: m.isOld, order: bySeries, words: m.oldWords},
		{title: "Stars, by series and bank", is: func(f *find) bool { return f.Serial.Star && f.kept() }, order: m.byBank, words: m.starWords},
		{title: patternsTitle, is: func(f *find) bool { return len(f.hits) > 0 && f.kept() }, order: m.byRarity, words: m.patternWords},
		{title: "Errors", is: (*find).flawed, order: func(a, b *find) int { return cmp.Compare(a.Flaw, b.Flaw) }, words: m.errorWords},
		{title: "Near misses worth telling", is: m.nearOf(all), order: m.byNear, words: m.nearWords},
		{title: "With the stamp of someone who tracks notes", is: func(f *find) bool { return f.Stamp }, words: m.stampWords},
		{title: "Kept beside another", is: func(f *find) bool { return f.beside != nil }, words: m.besideWords},
		{title: "Kept for other reasons", is: (*find).kept, words: m.otherWords},
	}
	for _, f := range all {
		if i := slices.IndexFunc(parts, func(p part) bool { return p.is(f) }); i >= 0 {
			parts[i].finds = append(parts[i].finds, f)
		}
	}
	for i, p := range parts {
		if p.order != nil {
			slices.SortStableFunc(p.finds, p.order)
		}
		if p.title == patternsTitle {
			parts[i].title = m.patternsTitle(p.finds)
		}
	}
	return slices.DeleteFunc(parts, func(p part) bool { return len(p.finds) == 0 })
}

const patternsTitle = "Patterns, the rarest first"

// patternsTitle says what order the patterns stand in: where digits are hidden, those that are not named stand last,
// however rare they are.
func (m maker) patternsTitle(all []*find) string {
	unnamed := 0
	for _, f := range all {
		if len(m.toldHits(f.hits)) == 0 {
			unnamed++
		}
	}
	switch unnamed {
	case 0:
		return patternsTitle
	case len(all):
		return "Patterns, not named here"
	}
	return patternsTitle + ", those not named last"
}

// nearOf chooses the near misses that are told: the rarest of those that are nothing more. A kept or stamped
// note that is not among them goes on to a later section.
func (m maker) nearOf(all []*find) func(*find) bool {
	var near []*find
	for _, f := range all {
		more := f.kept() && (len(f.hits) > 0 || f.Serial.Star || f.flawed() || m.isOld(f))
		if len(f.near) > 0 && !more {
			near = append(near, f)
		}
	}
	slices.SortStableFunc(near, func(a, b *find) int { return m.rarest(a.near[0].Rule, b.near[0].Rule) })
	chosen := map[*find]bool{}
	for _, f := range near[:min(len(near), mostNear)] {
		chosen[f] = true
	}
	return func(f *find) bool { return chosen[f] }
}

func bySeries(a, b *find) int { return stars.CompareSeries(a.Series, b.Series) }

// byBank leaves hidden numbers out of it: their order would tell something of them.
func (m maker) byBank(a, b *find) int {
	x, _ := stars.Of(a.Note, m.session.Denomination)
	y, _ := stars.Of(b.Note, m.session.Denomination)
	if m.hiding() {
		x.Number, y.Number = 0, 0
	}
	return cmp.Or(x.Group().Compare(y.Group()), cmp.Compare(x.Number, y.Number))
}

// byRarity puts what has only a vague name last: its place among the others would tell which it is.
func (m maker) byRarity(a, b *find) int {
	return m.compareTold(m.toldHits(a.hits), m.toldHits(b.hits))
}

func (m maker) byNear(a, b *find) int {
	return m.compareTold(rulesOf(m.toldNear(a)), rulesOf(m.toldNear(b)))
}

func (m maker) compareTold(a, b []patterns.Rule) int {
	if len(a) == 0 || len(b) == 0 {
		return cmp.Compare(len(b), len(a))
	}
	return m.rarest(a[0], b[0])
}

func seriesOf(n triage.Note) currency.Series {
	s, _ := currency.ParseSeries(n.Series) // unknown where none was said
	return s
}
