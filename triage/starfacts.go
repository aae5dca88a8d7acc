package triage

import (
	"regexp"
	"time"
)

// startStar asks for what a star keeper needs and is not known yet. It reports false when nothing
// is missing.
func (h *InHand) startStar() bool {
	h.typing, h.field = "", 0
	if h.Entry.Prefix != "" || h.Entry.StarFront {
		h.field = 1
	}
	if h.field == 1 && h.Series != "" {
		return false
	}
	h.mode = AskingStar
	return true
}

func (h *InHand) typeStar(r rune) Notice {
	if 'a' <= r && r <= 'z' {
		r += 'A' - 'a'
	}
	switch letter, digit := 'A' <= r && r <= 'Z', '0' <= r && r <= '9'; {
	case h.field == 0 && letter && len(h.typing) < 2, h.field == 1 && (letter || digit) && len(h.typing) < 5:
		h.typing += string(r)
		return Notice{}
	}
	return h.badStar(h.typing + string(r))
}

func (h InHand) badStar(text string) Notice {
	if h.field == 0 {
		return Notice{Kind: BadStarPrefix, Text: text}
	}
	return Notice{Kind: BadSeries, Text: text}
}

// seriesForm is a year of the small-size notes and the letter that may follow it. Which series
// exist for which denomination is not asked here.
var seriesForm = regexp.MustCompile(`^(19[2-9][0-9]|20[0-9][0-9])[A-HJ-Y]?$`)

// answerStar takes the answer to one question; an empty one passes it over.
func (h *InHand) answerStar(at time.Time) (Decision, Notice) {
	text := h.typing
	if h.field == 0 {
		if text != "" && !bankLetter(text[len(text)-1]) {
			return Undecided, h.badStar(text)
		}
		want := 1
		if h.Entry.denomination > 2 {
			want = 2 // before Series 1996 one letter stood here on every denomination
		}
		if len(text) > want {
			return Undecided, Notice{Kind: SecondPrefix, Text: text[want:]}
		}
		h.Entry.Prefix = text
		h.typing, h.field = "", 1
		if h.Series == "" {
			return Undecided, Notice{Kind: StarFacts}
		}
		text = h.Series
	}
	if text != "" && !seriesForm.MatchString(text) {
		return Undecided, h.badStar(text)
	}
	h.Series, h.mode, h.asked = text, Typing, true
	return Keep, Notice{}
}
