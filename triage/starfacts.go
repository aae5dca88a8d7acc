package triage

import (
	"strings"
	"time"

	"app/unband/triage/currency"
)

// startStar asks for what a star keeper needs and is not known yet. It reports false when nothing
// is missing.
func (h *InHand) startStar() bool {
	h.typing, h.field = "", 0
	if h.Entry.Prefix != "" || h.Entry.StarFront {
		h.field = 1
	}
	if h.facts.Series == "" && h.listed != nil && h.listed.Origin == FromSequence { // said of the whole strap
		h.facts.Series = h.listed.Facts.Series
	}
	if h.facts.Series == "" && len(h.Entry.Prefix) == 2 { // the first letter names the series [U1]
		if series, _, ok := PickSeries(h.Entry.denomination, h.Entry.Prefix, ""); ok {
			h.facts.Series = series
		}
	}
	if h.field == 1 && h.facts.Series != "" {
		h.field = starPlant
		if !h.plantDecides() {
			return false
		}
	}
	h.mode = AskingStar
	return true
}

func (h *InHand) typeStar(r rune) Notice {
	if 'a' <= r && r <= 'z' {
		r += 'A' - 'a'
	}
	switch letter, digit := 'A' <= r && r <= 'Z', '0' <= r && r <= '9'; {
	case h.field == starSeries && letter && h.typing == "": // a series begins with its year
	case h.field != starSeries && letter && len(h.typing) < 2, h.field == starSeries && (letter || digit) && len(h.typing) < 5:
		h.typing += string(r)
		return Notice{}
	}
	return h.badStar(h.typing + string(r))
}

func (h InHand) badStar(text string) Notice {
	switch h.field {
	case starPrefix:
		return Notice{Kind: BadStarPrefix, Text: text}
	case starPlant:
		return Notice{Kind: BadPlant, Text: text}
	}
	return Notice{Kind: BadSeries, Text: text}
}

// answerStar takes the answer to one question; an empty one passes it over.
func (h *InHand) answerStar(at time.Time) (Decision, Notice) {
	answers := []func() Notice{h.answerPrefix, h.answerSeries, h.answerPlant}
	if n := answers[h.field](); n.Kind != Quiet {
		return Undecided, n
	}
	h.typing, h.insist = "", ""
	for h.field++; h.field < len(answers); h.field++ {
		if h.field == starSeries && h.facts.Series == "" || h.field == starPlant && h.plantDecides() {
			return Undecided, Notice{Kind: StarFacts}
		}
	}
	h.mode, h.asked = Typing, true
	h.changed(at)
	return Keep, Notice{}
}

// The questions about a star.
const (
	starPrefix = iota
	starSeries
	starPlant
)

// plantDecides reports whether the star was printed twice and nobody has looked for the FW yet.
func (h InHand) plantDecides() bool {
	return h.facts.Facility == currency.FacilityUnknown && currency.Twin(h.Reading()) == currency.TwicePrinted
}

// answerPlant takes F for an FW before the plate number and W for none.
func (h *InHand) answerPlant() Notice {
	switch h.typing {
	case "":
	case "F", "FW":
		h.facts.Facility = currency.FortWorth
	case "W", "DC":
		h.facts.Facility = currency.Washington
	default:
		return Notice{Kind: BadPlant, Text: h.typing}
	}
	return Notice{}
}

func (h *InHand) answerPrefix() Notice {
	if n := CheckPrefix(h.Entry.denomination, h.typing); n.Kind != Quiet {
		return n
	}
	h.Entry.Prefix = h.typing
	return Notice{}
}

// CheckPrefix says why letters cannot stand before the digits of a Federal Reserve note: the last is a
// bank's, A to L, and $1 and $2 have one alone (BEP, Serial Numbers). None at all is not refused.
func CheckPrefix(d Denomination, text string) Notice {
	want := 1
	if d > 2 {
		want = 2 // before Series 1996 one letter stood here on every denomination
	}
	for i := 0; i < len(text); i++ {
		if text[i] < 'A' || 'Z' < text[i] {
			return Notice{Kind: BadStarPrefix, Text: text}
		}
	}
	switch {
	case text == "":
		return Notice{}
	case !bankLetter(text[len(text)-1]):
		return Notice{Kind: BadStarPrefix, Text: text}
	case len(text) > want:
		return Notice{Kind: SecondPrefix, Text: text[want:]}
	}
	return Notice{}
}

// answerSeries takes the series: what only one series can be meant by, or four digits insisted on.
func (h *InHand) answerSeries() Notice {
	text := h.typing
	if text == "" {
		return Notice{}
	}
	series, choices, ok := PickSeries(h.Entry.denomination, h.Entry.Prefix, text)
	switch {
	case ok:
	case h.insist == text && series != "":
	case len(choices) > 0:
		h.insist = text
		return Notice{Kind: WhichSeries, Text: strings.Join(choices, " or ")}
	default:
		return h.badStar(text)
	}
	h.facts.Series = series
	return Notice{}
}

// PickSeries finds the series that is meant by what was typed. ok says that only one can be; else
// choices has those that can, likeliest first, and series is what was typed if it is a series by
// its form.
func PickSeries(d Denomination, prefix, typed string) (series string, choices []string, ok bool) {
	list := currency.Suggest(int(d), prefix, typed, currency.Series{})
	if s, decided := currency.Decided(list); decided {
		return s.String(), nil, true
	}
	for _, c := range list {
		if s := c.Series.String(); len(choices) == 0 || choices[len(choices)-1] != s {
			choices = append(choices, s)
		}
	}
	if s, err := currency.ParseSeries(typed); err == nil {
		series = s.String()
		if len(choices) == 0 {
			choices = []string{series + " (not on the list kept here)"}
		}
	}
	const most = 4
	return series, choices[:min(len(choices), most)], false
}
