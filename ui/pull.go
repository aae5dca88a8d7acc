package ui

import (
	"fmt"
	"slices"
	"strings"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/currency"
)

// pullLine says which note is to be pulled and why. strap says that notes of several straps are listed.
func pullLine(book *patterns.Book, s triage.Session, p triage.Pull, strap bool) string {
	where := fmt.Sprintf("%4d", p.Position)
	if strap {
		where = fmt.Sprintf("%9s", fmt.Sprintf("%d:%d", p.Strap, p.Position))
	}
	sign := look.hit.Render(signHit)
	digits, whole := p.Serial.Whole()
	match, _ := book.Sets(digits)
	serial := p.Serial.String()
	switch {
	case !whole || p.Doubt != "":
		sign = look.near.Render(signDoubt)
	case p.Beside > 0:
		sign = look.hit.Render(signBeside)
	case match&s.Watch.Hit == 0 && !p.Serial.Star:
		sign = look.near.Render(signNear)
	}
	if p.Serial.Digits == "" {
		serial = printable(p.Text)
	}
	reason := pullReason(book, s, p.Listed, p.Beside)
	if reason == metBefore {
		sign = look.strong.Render(signMet)
	}
	return fmt.Sprintf("%s %s  %s %s", sign, where, pad(serial, 14), reason)
}

// metBefore is why a note is pulled about which nothing else is to be said.
const metBefore = "met before"

// pullReason says why a listed note is to be looked at.
func pullReason(book *patterns.Book, s triage.Session, l triage.Listed, beside int) string {
	var parts []string
	if d := l.Facts.Denomination; d != 0 && d != s.Denomination {
		parts = append(parts, "of another denomination, "+d.String())
	}
	if l.Unread != "" {
		parts = append(parts, "unread")
		parts = append(parts, triage.UnreadWords(book, s.Watch, l.Unread)...)
	} else if l.Doubt != "" {
		parts = append(parts, printable(l.Doubt))
	}
	if l.Serial.Star {
		parts = append(parts, "star note")
	}
	if d, whole := l.Serial.Whole(); whole {
		judged := book.Judge(d)
		for _, f := range judged.Findings {
			if !s.Watch.Hit.Has(f.Rule) {
				continue
			}
			rule, _ := book.Rule(f.Rule)
			odds := ""
			if len(parts) == 0 { // of the rarest alone
				odds = " (" + oneIn(book.Count(f.Rule, s.Denomination.Top()), s.Denomination.Top()) + ")"
			}
			parts = append(parts, rule.Name+odds)
		}
		if l.Origin != triage.FromSequence {
			for _, n := range triage.TellNear(book, s.Watch, judged) {
				rule, _ := book.Rule(n.Rule)
				parts = append(parts, "near "+rule.Name+", to be read again")
			}
		}
	}
	if beside > 0 {
		parts = append(parts, fmt.Sprintf("beside note %d, which wants its neighbours", beside))
	}
	if len(parts) == 0 {
		if currency.Worst(triage.RemarksOn(s.Denomination, l.Serial, l.Facts)) > currency.Fine {
			return "its letters do not fit: look at it"
		}
		return metBefore
	}
	return strings.Join(slices.Compact(parts), ", ")
}
