package ui

import (
	"fmt"
	"strings"
	"time"

	"github.com/charmbracelet/x/ansi"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

// handView draws what is known about the note in hand, for the strap and the second look alike.
type handView struct {
	hand  *triage.InHand
	book  *patterns.Book
	odds  map[patterns.ID]int // how many serials up to the denomination's top meet each rule shown
	watch patterns.Watch
	denom triage.Denomination
	names map[uint64]string

	keep, spend string    // what the decision keys do to a note that is no hit, in words
	keys        strapKeys // as they are called on the screen
	told        bool      // what the closer look has found out stands elsewhere on the screen
	calm        bool      // nothing moves by itself
}

// mostTold is how many notes met before are told of.
const mostTold = 3

// learn counts the rules that the note in hand meets, once each, so that drawing need not.
func learn(odds map[patterns.ID]int, book *patterns.Book, h *triage.InHand, top patterns.Digits) {
	for _, f := range h.Judged().Findings {
		if _, known := odds[f.Rule]; !known {
			odds[f.Rule] = book.Count(f.Rule, top)
		}
	}
}

// pauseLine shows how far the pause is, and what a decision key would do after it.
func (v handView) pauseLine(done float64, saving bool, w int) string {
	if v.calm && !v.hand.Entry.Complete() && !v.hand.Settled() {
		done = 1 // nothing can be kept yet, and words that change with each digit would flicker
	}
	return cut(bar(done, v.calm)+"  "+v.pauseWords(done >= 1, saving), w)
}

// bar draws how much of a pause is over, from 0 to 1; in calm mode as a word that changes once.
func bar(done float64, calm bool) string {
	switch {
	case calm && done < 1:
		return look.quiet.Render("wait ")
	case calm:
		return look.bar.Render("ready")
	}
	const wide = 20
	full := int(done * wide)
	return look.bar.Render(strings.Repeat("█", full)) + look.quiet.Render(strings.Repeat("░", wide-full))
}

func (v handView) pauseWords(over, saving bool) string {
	h := v.hand
	switch {
	case saving:
		return "writing to disk"
	case h.Mode() == triage.Rereading:
		return "read the blanks from the note"
	case h.Mode() == triage.AskingStar:
		return "facts about the star"
	case len(h.Entry.Digits) > patterns.Places:
		return "too many digits"
	case over && h.Confirming() == triage.Glance:
		return name(v.keys.Spend) + " again spends it unread"
	case h.Fills():
		return name(v.keys.Enter) + " puts it in its place"
	case h.Apart() && over && name(v.keys.Aside) != "":
		return name(v.keys.Aside) + " lays it apart"
	case h.Apart() && over:
		return "neither kept nor spent here"
	case h.Entry.Empty():
		return "type the serial"
	case !over:
		return "look at the note"
	case h.Confirming() == triage.Spend && h.Against():
		return name(v.keys.Spend) + " again, against your rule"
	case h.Confirming() == triage.Spend && h.AsksReread():
		return name(v.keys.Spend) + " again, then read again"
	case h.Confirming() == triage.Spend:
		return name(v.keys.Spend) + " again spends it after all"
	case h.Confirming() == triage.Keep && h.Against():
		return name(v.keys.Keep) + " again, against your rule"
	case h.Confirming() == triage.SetAside:
		return name(v.keys.Aside) + " again sets it aside"
	case h.Confirming() == triage.Keep:
		return name(v.keys.Keep) + " again keeps it as typed"
	case h.Settled():
		return "settled: " + name(v.keys.Spend) + " spends it"
	case !h.Entry.Complete():
		return count(patterns.Places-len(h.Entry.Digits), "digit", "digits") + " to go"
	}
	return name(v.keys.Keep) + " " + v.keep + "   " + name(v.keys.Spend) + " " + v.spend
}

// says lists what there is to say about the note: doubts first, then findings with the rarest
// leading, near misses, notes met before; or, while digits are missing, what is still possible.
func (v handView) says(w int, at time.Time) []string {
	h := v.hand
	if h.Mode() == triage.AskingStar {
		return v.asks(w)
	}
	if h.Confirming() == triage.SetAside {
		caution, _ := flaws.Counterfeit.Caution()
		return cautionLines(caution, w)
	}
	lines := append(v.rule(w), v.seen(w)...)
	if d := h.Facts().Denomination; h.Apart() {
		lines = append(hang(look.near.Render(signDoubt), fmt.Sprintf("a %v among %v notes: it counts in the strap, but is neither kept nor spent", d, v.denom), w), lines...)
	}
	switch {
	case h.Fills(): // the digits are not the first ones of the serial
		return lines
	case !h.Entry.Complete():
		return append(lines, v.possible(w)...)
	}
	if n, twice := h.Twin(); twice {
		lines = append(lines, hang(look.near.Render(signDoubt), fmt.Sprintf("typed twice? note %d of this strap has these digits", n.Position), w)...)
	}
	lines = append(lines, remarkLines(h.Remarks(), pressing, w)...)
	if h.Old() {
		lines = append(lines, look.hit.Render(signHit+" old series")+"  "+h.Facts().Series)
	}
	lines = append(lines, v.findings(w)...)
	lines = append(lines, v.nearMisses(w)...)
	for i, m := range h.Memories() {
		if i == mostTold {
			break
		}
		lines = append(lines, hang(look.strong.Render(signMet), memory(m, v.names, at), w)...)
	}
	lines = append(lines, remarkLines(h.Remarks(), func(r currency.Remark) bool { return !pressing(r) }, w)...)
	if len(lines) == 0 && !h.Doubtful() {
		lines = append(lines, look.quiet.Render("  nothing remarkable"))
	}
	return lines
}

// rule is what the personal rules say, and what it takes to decide against them.
func (v handView) rule(w int) []string {
	s := v.hand.Said()
	whose := strings.Join(s.Whose, ", ")
	text := ""
	switch s.Ruling {
	case triage.RuledKeep:
		text = look.strong.Render("your rule: keep")
		if v.hand.BesideByNumber() && len(s.Whose) == 1 {
			text += ", if its number is the next one"
		}
		if s.Below != flaws.NoGrade && v.hand.Facts().Grade == flaws.NoGrade {
			text = look.strong.Render("your rule: keep unless worn below "+s.Below.String()) + ", and the condition is not said: so keep"
		}
	case triage.RuledSpend:
		text = look.strong.Render("your rule: spend") + ", it is worn below " + s.Below.String()
	case triage.RuledTell:
		text = "your rule: only mention it, you decide"
	default:
		return nil
	}
	text += look.quiet.Render(" (" + whose + ")")
	if v.hand.Against() {
		text += ". " + name(v.keys.Closer) + " says why"
	}
	return hang(look.hit.Render(signRule), text, w)
}

// seen is what was said in the closer look, in one line, so that one sees that it was taken.
func (v handView) seen(w int) []string {
	if text := seenWords(v.hand.Facts(), w-2); text != "" && !v.told {
		return []string{"  " + text}
	}
	return nil
}

// findings gives each watched hit a line with its odds, the rarest first, and all else that is true
// of the serial one line together, so that it does not drown them.
func (v handView) findings(w int) []string {
	var lines, also []string
	if v.hand.Entry.Star {
		lines = append(lines, look.hit.Render(signHit+" star note")+"  "+look.quiet.Render("replaces a spoiled note or sheet"))
	}
	for _, f := range v.hand.Judged().Findings {
		rule, _ := v.book.Rule(f.Rule)
		odds := oneIn(v.odds[f.Rule], v.denom.Top())
		if !v.watch.Hit.Has(f.Rule) {
			also = append(also, rule.Name+" ("+odds+")")
			continue
		}
		detail := f.Detail
		if detail == "" && f.Places != 0xff {
			detail = places(f.Places)
		}
		line := look.hit.Render(signHit+" "+pad(rule.Name, 20)) + " " + pad(odds, 16)
		if room := w - ansi.StringWidth(line) - 1; ansi.StringWidth(detail) <= room {
			lines = append(lines, line+" "+look.quiet.Render(detail))
		} else {
			lines = append(append(lines, line), hang(" ", look.quiet.Render(detail), w)...)
		}
	}
	switch {
	case len(also) > 0 && len(lines) > 0:
		lines = append(lines, hang(" ", look.quiet.Render("also "+strings.Join(also, ", ")), w)...)
	case len(also) > 0:
		lines = append(lines, hang(" ", strings.Join(also, ", "), w)...)
	}
	return lines
}

func (v handView) nearMisses(w int) []string {
	if !v.hand.Near() { // also where a number cannot have been misread
		return nil
	}
	var lines []string
	for _, n := range triage.TellNear(v.book, v.watch, v.hand.Judged()) {
		rule, _ := v.book.Rule(n.Rule)
		text := triage.ChangesWords(n.Changes)
		if v.hand.Mode() == triage.Rereading {
			text = "what does the note say?" // the answer is not given away
		}
		lines = append(lines, hang(look.near.Render(signNear), look.near.Render("near "+rule.Name)+": "+text, w)...)
	}
	return lines
}

// possible says what the digits typed so far can still become.
func (v handView) possible(w int) []string {
	h := v.hand
	switch {
	case h.Entry.Digits == "":
		return nil
	case h.Settled():
		return hang(" ", look.strong.Render("settled")+": no watched pattern is possible any more, nor near. A star or an old series may still be on it", w)
	case len(h.Entry.Digits) > patterns.Places:
		return nil
	}
	match, near := h.Possible()
	var names, nears []string
	for _, r := range v.book.Rules() {
		switch {
		case match.Has(r.ID):
			names = append(names, r.Name)
		case near.Has(r.ID):
			nears = append(nears, r.Name)
		}
	}
	var lines []string
	if len(names) > 0 {
		lines = append(lines, hang(" ", look.quiet.Render("still possible: ")+few(names), w)...)
	}
	if len(nears) > 0 {
		lines = append(lines, hang(" ", look.quiet.Render("only near: ")+few(nears), w)...)
	}
	return lines
}

// few names the rarest of a list and counts the others.
func few(names []string) string {
	const most = 8
	if len(names) > most+1 {
		return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d others", len(names)-most)
	}
	return strings.Join(names, ", ")
}

// asks draws the two questions about a star keeper.
func (v handView) asks(w int) []string {
	field, answer := v.hand.Asking()
	labels := []string{"prefix", "series", "plate"}
	hints := []string{"the letters in front of the digits", "the year on the face and the letter behind it, if any",
		"this star was printed twice: F if FW stands before the plate number, W if not"}
	values := []string{v.hand.Entry.Prefix, v.hand.Facts().Series, ""}
	if field < 2 {
		labels = labels[:2]
	}
	var lines []string
	for i := range labels {
		mark, value := "  ", values[i]
		if i == field {
			mark, value = look.hit.Render(signChoice+" "), answer+look.cursor.Render(" ")
		}
		lines = append(lines, mark+look.quiet.Render(pad(labels[i], 8))+value)
		if i == field {
			for _, part := range wrap(hints[i], w-10) {
				lines = append(lines, "          "+look.quiet.Render(part))
			}
		}
	}
	return append(append(lines, ""), hang(" ", look.quiet.Render("the note is kept when all is answered or passed over"), w)...)
}

// hang writes a sign and a text beside it, further lines below the text.
func hang(sign, text string, w int) []string {
	lines := wrap(text, w-2)
	for i := range lines {
		if i == 0 {
			lines[i] = sign + " " + lines[i]
		} else {
			lines[i] = "  " + lines[i]
		}
	}
	return lines
}

// headline says which note is in hand.
func headline(place, band int, words string) string {
	line := look.strong.Render(fmt.Sprintf("note %d", place)) + look.quiet.Render(fmt.Sprintf(" of %d", band))
	if words != "" {
		line += "  " + words
	}
	return line
}
