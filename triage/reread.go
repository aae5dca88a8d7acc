package triage

import (
	"time"

	"app/unband/patterns"
)

// StartReread blanks the doubtful digits to be read again without deciding anything by it.
func (h *InHand) StartReread(at time.Time) Notice {
	h.gate.Other()
	if !h.Near() {
		return Notice{Kind: RereadNothing}
	}
	return h.startReread(false)
}

func (h *InHand) startReread(decides bool) Notice {
	h.mode, h.answer, h.decides = Rereading, "", decides
	h.blanks = nil
	mask := h.judged.Doubtful(h.rules.Watch.Near)
	for i := 0; i < patterns.Places; i++ {
		if mask>>i&1 == 1 {
			h.blanks = append(h.blanks, i)
		}
	}
	return Notice{Kind: RereadAsked, N: len(h.blanks)}
}

func (h *InHand) typeAnswer(r rune) Notice {
	if r == 'O' || r == 'o' {
		r = '0'
	}
	switch {
	case r < '0' || '9' < r:
		return Notice{Kind: UnknownKey, Text: string(r)}
	case len(h.answer) == len(h.blanks):
		return Notice{Kind: RereadFull}
	}
	h.answer += string(r)
	return Notice{}
}

// Answer ends a re-read or a question. Only where a decision key led into it does it lead on to
// that decision.
func (h *InHand) Answer(at time.Time) (Decision, Notice) {
	switch h.mode {
	case Rereading:
		return h.answerReread(at)
	case AskingStar:
		return h.answerStar(at)
	}
	return Undecided, Notice{}
}

func (h *InHand) answerReread(at time.Time) (Decision, Notice) {
	if open := len(h.blanks) - len(h.answer); open > 0 {
		return Undecided, Notice{Kind: RereadUnended, N: open}
	}
	digits := []byte(h.Entry.Digits)
	for i, place := range h.blanks {
		digits[place] = h.answer[i]
	}
	h.mode = Typing
	if string(digits) == h.Entry.Digits {
		if h.reread == NotReread {
			h.reread = RereadSame
		}
		h.read = h.Entry.Digits
		if h.decides {
			return Spend, Notice{}
		}
		h.gate.Open(at, h.wait())
		return Undecided, Notice{Kind: RereadOver}
	}
	if h.before == "" {
		h.before = h.Entry.Digits
	}
	h.reread = RereadChanged
	h.loaded = false // from here on it is a number that was read from the note: a stray key must not take its place
	h.Entry.Digits = string(digits)
	h.changed(at)
	if h.Hit() {
		return Undecided, Notice{Kind: RereadHit}
	}
	return Undecided, Notice{Kind: RereadCorrect}
}
