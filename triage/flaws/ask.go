package flaws

import (
	"fmt"
	"strings"
	"unicode"

	"app/unband/triage/currency"
)

// HelpFacts is what people who help ask for. What is empty has not been said, and the text says so.
type HelpFacts struct {
	Question string // what is asked, in the person's own words; empty gives a plain one

	Denomination int // face amount in dollars
	Class        currency.Class
	Series       string // with its letter, "2017A"
	Serial       string // as printed at the upper right, with letters and star: "B12345678A", "B12345678*"
	Second       string // the other serial, where it was read too
	HideDigits   int    // how many of the last digits are written as x, 0 to 8
	Facility     currency.Facility
	Position     string // note position, "H4"
	FacePlate    string // plate number of the face
	BackPlate    string // plate number of the back
	Seal         currency.Colour

	Grade   Grade
	Defects Defect
	Stamp   bool // the stamp of a bill-tracking hobbyist

	Face  string // what one sees on the face, own words
	Back  string // what one sees on the back, own words
	Trail []Step // what was looked at in the walk-through, with the answers

	From string // where it came from, such as "a new strap, between two ordinary notes"; own words
}

// Help gives a text for people who help: the facts of one note, one a line, as plain text. It gives
// no opinion, not even the outcome of the walk-through: only what was seen. Control characters in
// what a person typed are left out.
func Help(f HelpFacts) string {
	var t lines
	t.add("Question", f.Question, "What is this, an error or damage?")
	t.addKnown("Denomination", amount(f.Denomination))
	t.addKnown("Class", said(f.Class != currency.ClassUnknown, f.Class.String()))
	t.addKnown("Series", f.Series)
	t.addKnown("Serial", hide(printed(f.Serial), f.HideDigits))
	t.add("Second serial", second(f), "")
	t.add("Star", star(f.Serial), "")
	t.addKnown("Facility", facility(f.Facility))
	t.addKnown("Note position", f.Position)
	t.addKnown("Face plate", f.FacePlate)
	t.addKnown("Back plate", f.BackPlate)
	t.addKnown("Seal", said(f.Seal != currency.ColourUnknown, f.Seal.String()))
	t.addKnown("Condition", condition(f.Grade))
	t.add("Defects", said(f.Defects != 0, f.Defects.String()), "")
	t.add("Stamp", said(f.Stamp, "of a bill-tracking hobbyist"), "")
	t.addKnown("On the face", f.Face)
	t.addKnown("On the back", f.Back)
	t.add("It came from", f.From, "")
	t.trail(f.Trail)
	t.missing()
	return t.b.String()
}

// lines builds the text and remembers what was not said.
type lines struct {
	b       strings.Builder
	lacking []string
}

// add writes a line; an empty text is replaced by otherwise, and when that is empty too, left out.
func (l *lines) add(name, text, otherwise string) {
	if text = clean(text); text == "" {
		text = otherwise
	}
	if text != "" {
		fmt.Fprintf(&l.b, "%s: %s\n", name, text)
	}
}

// addKnown writes a line that people who help ask for, and remembers when there is none.
func (l *lines) addKnown(name, text string) {
	if clean(text) == "" {
		l.lacking = append(l.lacking, strings.ToLower(name[:1])+name[1:])
	}
	l.add(name, text, "")
}

// trail writes what was looked at in the walk-through.
func (l *lines) trail(steps []Step) {
	if len(steps) == 0 {
		return
	}
	l.b.WriteString("Looked at:\n")
	for _, s := range steps {
		if q, ok := s.Question.Question(); ok {
			fmt.Fprintf(&l.b, "- %s %s\n", q.Text, s.Answer)
		}
	}
}

// missing writes what was not said, so that nobody takes it for looked at.
func (l *lines) missing() {
	if len(l.lacking) > 0 {
		fmt.Fprintf(&l.b, "Not said: %s\n", strings.Join(l.lacking, ", "))
	}
}

// clean makes one line of plain text: control characters and formatting characters become spaces, so
// that what a person pasted cannot steer the terminal or a forum page it is shown on.
func clean(text string) string {
	plain := strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == unicode.ReplacementChar {
			return ' '
		}
		return r
	}, text)
	return strings.Join(strings.Fields(plain), " ")
}

// said gives the text when it is known.
func said(known bool, text string) string {
	if !known {
		return ""
	}
	return text
}

func amount(dollars int) string { return said(dollars > 0, fmt.Sprintf("$%d", dollars)) }

func condition(g Grade) string {
	f := g.Fact()
	return said(g.Known(), fmt.Sprintf("%s (%s, %s)", f.Name, f.Short, f.Range()))
}

func facility(f currency.Facility) string {
	switch f {
	case currency.Washington:
		return "Washington (no FW)"
	case currency.FortWorth:
		return "Fort Worth (FW)"
	}
	return ""
}

// hide writes the last n digits of a serial as x. Letters and star stay: they tell the block.
func hide(serial string, n int) string {
	shown := len(digitsOf(serial)) - max(n, 0)
	return strings.Map(func(r rune) rune {
		if !isDigit(r) {
			return r
		}
		if shown--; shown < 0 {
			return 'x'
		}
		return r
	}, serial)
}

func isDigit(r rune) bool { return '0' <= r && r <= '9' }

// star says where the star of a serial stands.
func star(serial string) string {
	at := strings.IndexByte(serial, '*')
	switch digit := strings.IndexFunc(serial, isDigit); {
	case at < 0:
		return ""
	case digit >= 0 && at > digit:
		return "behind the digits"
	}
	return "before the digits"
}

// second writes the other serial and where it differs. Hidden digits could hide the difference, so
// their places are named.
func second(f HelpFacts) string {
	first, second := printed(f.Serial), printed(f.Second)
	if second == "" {
		return ""
	}
	text := hide(second, f.HideDigits)
	if first == "" {
		return text
	}
	if second == first {
		return text + " (the same)"
	}
	one, other := digitsOf(first), digitsOf(second)
	if len(one) != len(other) {
		return text + " (differs in length)"
	}
	var places []string
	for i := range one {
		if one[i] != other[i] {
			places = append(places, fmt.Sprint(i+1))
		}
	}
	if len(places) == 0 {
		return text + " (differs in a letter or the star, the digits agree)"
	}
	return text + " (differs in digit " + strings.Join(places, ", ") + ", counted from the left)"
}

// printed gives a serial as it stands on notes: capitals, no blanks.
func printed(serial string) string {
	return strings.ToUpper(strings.ReplaceAll(clean(serial), " ", ""))
}

// digitsOf gives the digits of a serial alone.
func digitsOf(s string) string {
	return strings.Map(func(r rune) rune {
		if isDigit(r) {
			return r
		}
		return -1
	}, s)
}
