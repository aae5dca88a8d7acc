package finds

import (
	"slices"
	"strings"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
	"app/unband/triage/stars"
)

// What is told of a pattern whose name would give hidden digits away.
const (
	ownVague   = "a pattern of my own"
	otherVague = "a number with a meaning"
)

// item makes the item of a find: what it is in its section, what else it is, and what every note has. What
// the first words have said is not said again.
func (m maker) item(f *find, words []string) Item {
	i := Item{Serial: Hide(f.Serial, f.hidden), Words: words[0]}
	if f.Serial.Digits == "" {
		i.Serial = "serial not read"
	}
	said := append(strings.Split(i.Words, ", "), i.Words)
	for _, text := range slices.Concat(words[1:], m.common(f)) {
		if text = strings.TrimSpace(text); text != "" && !slices.Contains(said, text) {
			i.Also, said = append(i.Also, text), append(said, text)
		}
	}
	return i
}

// common is what is known of a note in any section.
func (m maker) common(f *find) []string {
	words := []string{m.outOfRange(f), seriesWords(f.Note)}
	if f.Grade != flaws.NoGrade {
		words = append(words, "condition "+f.Grade.String())
	}
	if f.Defects != 0 {
		words = append(words, f.Defects.String())
	}
	if f.Stamp {
		words = append(words, stampText)
	}
	words = append(words, m.besideText(f), m.own(f.Remark))
	if f.Fate != triage.StillHere {
		words = append(words, f.Fate.String())
	}
	return words
}

func (m maker) oldWords(f *find) []string {
	words := seriesWords(f.Note)
	if class := currency.ClassOfSeal(int(m.session.Denomination), seriesOf(f.Note), f.Seal); class != currency.ClassUnknown {
		words += ", " + class.String()
	}
	star := ""
	if f.Serial.Star {
		star = "also a star note"
	}
	return slices.Concat([]string{words, star, m.run(f)}, m.alsoPattern(f), m.alsoError(f))
}

func (m maker) starWords(f *find) []string {
	words := "star note"
	if f.Series != "" {
		words += ", " + seriesWords(f.Note)
	}
	if star, _ := stars.Of(f.Note, m.session.Denomination); star.Bank != 0 {
		words += ", " + stars.BankName(star.Bank)
	}
	return slices.Concat([]string{words, m.run(f)}, m.alsoPattern(f), m.alsoError(f))
}

func (m maker) patternWords(f *find) []string {
	names := m.names(f)
	words := []string{names[0]}
	if len(names) > 1 {
		words = append(words, "also "+strings.Join(names[1:], "; "))
	}
	return slices.Concat(words, m.details(f), m.alsoNear(f.near), m.alsoError(f))
}

func (m maker) errorWords(f *find) []string {
	outcome, _ := f.Flaw.Outcome()
	words := []string{f.Flaw.String()}
	if stage := outcome.Stage.String(); stage != "" {
		words = append(words, "stage: "+stage)
	}
	if f.Face == "" && f.Back == "" {
		words = append(words, outcome.See)
	}
	return slices.Concat(words, []string{m.sided("on the face", f.Face), m.sided("on the back", f.Back), flaws.Verdict}, m.alsoNear(f.near))
}

func (m maker) nearWords(f *find) []string {
	told := m.toldNear(f)
	became := ""
	if !f.kept() {
		became = "; " + f.Decision.String()
	}
	if len(told) == 0 {
		return []string{"one change off " + otherVague + became}
	}
	return append([]string{m.nearText(told[0]) + became}, m.otherNear(told[1:])...)
}

// stampText and besideText are what their sections say first, and what any other section says of such a note.
const stampText = "with a tracking stamp"

func (m maker) stampWords(f *find) []string {
	return []string{stampText + ", " + f.Decision.String(), m.own(f.Reason)}
}

func (m maker) besideWords(f *find) []string { return []string{m.besideText(f), m.own(f.Reason)} }

func (m maker) otherWords(f *find) []string {
	if strings.TrimSpace(f.Reason) == "" {
		return slices.Concat([]string{"kept"}, m.alsoNear(f.near))
	}
	return slices.Concat([]string{m.own(f.Reason)}, m.alsoNear(f.near))
}

// alsoPattern tells the patterns of a note that stands in another section.
func (m maker) alsoPattern(f *find) []string {
	if len(f.hits) == 0 {
		return m.alsoNear(f.near)
	}
	return slices.Concat([]string{"also " + strings.Join(m.names(f), "; ")}, m.details(f), m.alsoNear(f.near))
}

// alsoNear tells the near misses of a note that is something already. Where digits are hidden it tells none: they are
// those that are rarer than what the note is, and that may be a name which is not told.
func (m maker) alsoNear(near []nearly) []string {
	if m.hiding() || len(near) == 0 {
		return nil
	}
	return append([]string{"also " + m.nearText(near[0])}, m.otherNear(near[1:])...)
}

// otherNear tells what a note is near to besides the rarest: one with what would make it so, several by their names
// alone, for one change often makes it all of them.
func (m maker) otherNear(near []nearly) []string {
	if m.hiding() || len(near) < 2 {
		return m.alsoNear(near)
	}
	var changes []patterns.Change
	var names []string
	for _, n := range near {
		changes, names = append(changes, n.changes...), append(names, m.nearName(n))
	}
	last := len(names) - 1
	return []string{"also " + changeWord(changes) + " off " + strings.Join(names[:last], ", ") + " and " + names[last]}
}

// alsoError tells the error of a note that stands in another section.
func (m maker) alsoError(f *find) []string {
	if !f.flawed() {
		return nil
	}
	words := m.errorWords(&find{Note: f.Note}) // its near misses are told with its patterns
	words[0] = "also " + words[0]
	return words
}

// names are the watched rules of a note with their odds, the rarest first.
func (m maker) names(f *find) (names []string) {
	for _, r := range m.toldHits(f.hits) {
		names = append(names, r.Name+", "+m.odds(r))
	}
	if len(names) > 0 {
		return names
	}
	if slices.ContainsFunc(f.hits, func(r patterns.Rule) bool { return r.ID >= patterns.FirstTemplate }) {
		return []string{ownVague}
	}
	return []string{otherVague}
}

func (m maker) odds(r patterns.Rule) string { return triage.OneIn(m.book.Count(r.ID, m.top), m.top) }

// details are what the names alone do not say, such as which date, in the order of the names.
func (m maker) details(f *find) (details []string) {
	d, ok := f.Serial.Whole()
	if !ok || m.hiding() {
		return nil
	}
	said := map[patterns.ID]string{}
	for _, finding := range m.book.Judge(d).Findings {
		said[finding.Rule] = finding.Detail
	}
	for _, r := range f.hits {
		details = append(details, said[r.ID])
	}
	return details
}

// nearText is "one digit off a radar (1 in 10,001): a 6 at place 6".
func (m maker) nearText(n nearly) string {
	text := changeWord(n.changes) + " off " + m.nearName(n)
	if len(n.changes) > 0 {
		text += ": " + triage.ChangesWords(n.changes)
	}
	return text
}

// nearName is "a radar (1 in 10,001)".
func (m maker) nearName(n nearly) string { return article(n.Name) + " (" + m.odds(n.Rule) + ")" }

// changeWord is what a note is off by: a digit, or where it may be two that are swapped, or is not told, a change.
func changeWord(changes []patterns.Change) string {
	if len(changes) == 0 || slices.ContainsFunc(changes, func(c patterns.Change) bool { return c.Swap }) {
		return "one change"
	}
	return "one digit"
}

// run is what the lists say of a star. Its run gives the first digits of the number away.
func (m maker) run(f *find) string {
	if !f.Serial.Star || m.options.Star == nil || m.hiding() {
		return ""
	}
	return m.options.Star(f.Note)
}

// outOfRange says of a kept number that it should not come from a bank strap, whatever its pattern is. This, too, tells
// the first digits.
func (m maker) outOfRange(f *find) string {
	d, ok := f.Serial.Whole()
	if !ok || m.hiding() || !f.kept() {
		return ""
	}
	s := f.Serial
	for _, r := range currency.Check(currency.Note{Denomination: int(m.session.Denomination), Series: seriesOf(f.Note), Seal: f.Seal,
		Prefix: s.Prefix, Digits: d, Whole: true, Suffix: s.Suffix, Star: s.Star, StarFront: s.StarFront}) {
		if r.Kind == currency.KindAllZero || r.Kind == currency.KindHighest {
			return r.Text
		}
	}
	return ""
}

// besideText says which kept note this one lies beside. Where digits are hidden it does not say which.
func (m maker) besideText(f *find) string {
	switch {
	case f.beside == nil:
		return ""
	case m.hiding():
		return "beside another find"
	}
	return "beside " + f.beside.Serial.String()
}

func seriesWords(n triage.Note) string {
	if n.Series == "" {
		return ""
	}
	return "series " + n.Series
}

func (m maker) sided(where, text string) string {
	if text == "" {
		return ""
	}
	return where + ": " + m.own(text)
}

// article puts a or an before a name that is one thing: seven in a row are several.
func article(name string) string {
	switch first, _, _ := strings.Cut(name, " "); first {
	case "four", "five", "six", "seven":
		return name
	}
	if strings.ContainsRune("aeiou", rune(name[0])) {
		return "an " + name
	}
	return "a " + name
}
