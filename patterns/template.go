package patterns

import (
	"fmt"
	"strings"
)

// A Template is an own pattern of eight characters: equal letters stand for equal digits, different
// letters for different digits, a digit for itself and ? for any digit. A letter may stand for a
// digit that is also written out. Small letters are the same as capitals.
type Template struct {
	Pattern string `json:"pattern"`          // "ABBACDDC"
	Remark  string `json:"remark,omitempty"` // told with every finding
}

// MaxTemplates is how many own templates a book can have.
const MaxTemplates = int(LastTemplate-FirstTemplate) + 1

// A PatternError says what is wrong with an own pattern or an own number, and where.
type PatternError struct {
	Text   string // as it was given
	Pos    int    // the character that is wrong, 0 for the first; the length of Text if something is missing
	Reason string // "a pattern has eight characters, this one has 5; fill up with ?"
}

func (e *PatternError) Error() string {
	return fmt.Sprintf("%q, character %d: %s", e.Text, e.Pos+1, e.Reason)
}

// parseTemplate gives the eight characters in capitals.
func parseTemplate(text string) (p [Places]byte, err error) {
	at := 0
	for _, r := range text {
		if r >= 'a' && r <= 'z' {
			r -= 'a' - 'A'
		}
		switch {
		case at == Places:
			return p, &PatternError{text, at, "a pattern has eight characters, this one has more"}
		case r != '?' && (r < '0' || r > '9') && (r < 'A' || r > 'Z'):
			return p, &PatternError{text, at, fmt.Sprintf("%q cannot be used; use letters, digits, and ? for any digit", r)}
		}
		p[at] = byte(r)
		at++
	}
	if at < Places {
		return p, &PatternError{text, at, fmt.Sprintf("a pattern has eight characters, this one has %d; fill up with ?", at)}
	}
	if !limits(p) {
		return p, &PatternError{text, 0, "every serial fits this; repeat a letter, use a second one, or write a digit"}
	}
	return p, nil
}

// limits reports whether there is a serial the pattern does not fit.
func limits(p [Places]byte) bool {
	letters := 0
	for _, c := range p {
		switch {
		case c >= 'A':
			letters++
		case c != '?':
			return true
		}
	}
	return letters > 1
}

// TemplateOdds gives how many of the serials 1 to top fit a template and how many are near misses of
// it, without a book. The error is a *PatternError.
func TemplateOdds(t Template, top Digits) (match, near int, err error) {
	r, err := templateRule(FirstTemplate, t)
	if err != nil {
		return 0, 0, err
	}
	b := bind(Settings{}, []spec{r})
	return b.Count(r.ID, top), b.NearCount(r.ID, top), nil
}

func templateRules(list []Template) ([]spec, error) {
	if len(list) > MaxTemplates {
		return nil, &SettingError{"templates", fmt.Sprintf("there can be %d own patterns, these are %d; take some out", MaxTemplates, len(list))}
	}
	var rules []spec
	for i, t := range list {
		r, err := templateRule(FirstTemplate+ID(i), t)
		if err != nil {
			return nil, err
		}
		rules = append(rules, r)
	}
	return rules, nil
}

func templateRule(id ID, t Template) (spec, error) {
	p, err := parseTemplate(t.Pattern)
	if err != nil {
		return spec{}, err
	}
	name := string(p[:])
	rule := spec{
		Rule: Rule{ID: id, Name: name, Source: "own", Sure: "own", Example: exampleOf(p),
			Definition: "fits " + name + ": equal letters are equal digits, different letters different digits, ? is any digit"},
		places: func([Places]uint8) uint8 { return written(p) },
		detail: func(Digits) string { return t.Remark },
	}
	if strings.ContainsAny(name, "0123456789") {
		rule.tree = func(f *forest) tree { return templateTree(f, p) }
	} else {
		rule.shape = func(f *form) bool { return fits(f, p) }
	}
	return rule, nil
}

// written gives the places that are not left open.
func written(p [Places]byte) (mask uint8) {
	for i, c := range p {
		if c != '?' {
			mask |= 1 << i
		}
	}
	return mask
}

// exampleOf gives a serial that fits: 1 for the first letter, 2 for the second, 0 for ?.
func exampleOf(p [Places]byte) Digits {
	var d Digits
	letters := ""
	for _, c := range p {
		d *= 10
		switch {
		case c >= 'A':
			if !strings.Contains(letters, string(c)) {
				letters += string(c)
			}
			d += Digits(strings.IndexByte(letters, c)+1) % 10
		case c != '?':
			d += Digits(c - '0')
		}
	}
	return d
}

// fits tests a pattern of letters and ? on a shape.
func fits(f *form, p [Places]byte) bool {
	for i, c := range p {
		for j := 0; c != '?' && j < i; j++ {
			if p[j] != '?' && (p[j] == c) != (f[j] == f[i]) {
				return false
			}
		}
	}
	return true
}

// A templateState is what must be remembered of the digits read: which digit stands for each
// letter that comes again, and, while a new letter is still to come, which digits are taken.
type templateState struct {
	at    int8
	taken uint16
	digit [Places]int8 // by the place where the letter came first; -1 when not needed
}

var failed = templateState{at: -1}

func templateTree(f *forest, p [Places]byte) tree {
	start := templateState{}
	for i := range start.digit {
		start.digit[i] = -1
	}
	read := func(s templateState, digit int) templateState { return s.read(p, digit) }
	return scan(f, Places, start, read, func(s templateState) bool { return s != failed })
}

func (s templateState) read(p [Places]byte, digit int) templateState {
	if s == failed {
		return failed
	}
	at := int(s.at)
	c := p[at]
	s.at++
	switch first := strings.IndexByte(string(p[:]), c); {
	case c == '?':
	case c < 'A':
		if digit != int(c-'0') {
			return failed
		}
	case first < at:
		if s.digit[first] != int8(digit) {
			return failed
		}
	case s.taken>>digit&1 == 1:
		return failed
	default:
		s.digit[first] = int8(digit)
		s.taken |= 1 << digit
	}
	return s.forget(p)
}

// forget drops what does not matter for the rest, so that states that mean the same are the same.
func (s templateState) forget(p [Places]byte) templateState {
	rest := string(p[s.at:])
	fresh := false
	for i, c := range p {
		switch {
		case c < 'A':
		case i < int(s.at) && !strings.Contains(rest, string(c)):
			s.digit[i] = -1
		case i >= int(s.at) && !strings.Contains(string(p[:s.at]), string(c)):
			fresh = true
		}
	}
	if !fresh {
		s.taken = 0
	}
	return s
}
