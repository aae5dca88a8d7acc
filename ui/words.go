package ui

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"app/unband/patterns"
	"app/unband/triage"
)

// number writes n with commas.
func number(n int) string { return triage.Thousands(n) }

// count writes n and the word for so many.
func count(n int, one, many string) string { return triage.Plural(n, one, many) }

// oneIn writes how rare count serials among top are.
func oneIn(n int, top patterns.Digits) string { return triage.OneIn(n, top) }

// dollars writes an amount of whole dollars.
func dollars(n int) string {
	if n < 0 {
		return "-$" + number(-n)
	}
	return "$" + number(n)
}

// ago says how long before now a moment was, in the coarsest words that help.
func ago(t, now time.Time) string {
	if t.IsZero() {
		return ""
	}
	switch d := now.Sub(t); {
	case d < time.Minute:
		return "just now"
	case d < time.Hour:
		return fmt.Sprintf("%d min ago", int(d.Minutes()))
	case sameDay(t, now):
		return "today " + t.In(now.Location()).Format("15:04")
	}
	return t.In(now.Location()).Format("2 Jan 2006")
}

func sameDay(a, b time.Time) bool {
	a = a.In(b.Location())
	return a.Year() == b.Year() && a.YearDay() == b.YearDay()
}

// becameWords say how a note was decided, or what became of it since.
func becameWords(n triage.Note) string {
	if n.Fate != triage.StillHere {
		return n.Fate.String()
	}
	return n.Decision.String()
}

// places writes which digits a mask names: "places 1-4 8".
func places(mask uint8) string {
	var parts []string
	for i := 0; i < patterns.Places; i++ {
		if mask>>i&1 == 0 {
			continue
		}
		j := i
		for j+1 < patterns.Places && mask>>(j+1)&1 == 1 {
			j++
		}
		part := strconv.Itoa(i + 1)
		if j > i {
			part += "-" + strconv.Itoa(j+1)
		}
		parts = append(parts, part)
		i = j
	}
	if mask&(mask-1) == 0 {
		return "place " + strings.Join(parts, " ")
	}
	return "places " + strings.Join(parts, " ")
}

// memory says how a note met before stands to the one in hand, where it is and what became of it.
func memory(m triage.Memory, names map[uint64]string, now time.Time) string {
	n := m.Note
	where := fmt.Sprintf("%s, strap %d note %d, %s %s", printable(names[n.Session]), n.Strap, n.Position, n.Decision, ago(n.Decided, now))
	if m.Here {
		where = fmt.Sprintf("note %d of this strap, %s: it can still be found", n.Position, n.Decision)
	}
	what := map[triage.Relation]string{
		triage.SameDigits:  "the same digits",
		triage.OtherBlock:  "the same digits on another note",
		triage.OtherSeries: "the same serial in series " + printable(n.Series),
		triage.SameSerial:  "the same serial, perhaps this very note met again",
		triage.OtherPlant:  "its twin from the other plant, a pair to keep together",
		triage.OneBefore:   "the serial before this one",
		triage.OneAfter:    "the serial after this one",
	}[m.Relation]
	return fmt.Sprintf("%s: %s, %s", what, n.Serial, where)
}

// laterApart says of a decided note that was found to be of another denomination afterwards that its decision stays, and
// what lays it apart; aside is the key that does, "" where none is. Of any other note it is "".
func laterApart(n triage.Note, s triage.Session, aside string) string {
	switch {
	case n.Denomination == 0 || n.Denomination == s.Denomination || !s.Open():
		return ""
	case n.Decision != triage.Keep && n.Decision != triage.Spend && n.Decision != triage.Glance:
		return ""
	case aside == "":
		return fmt.Sprintf(". It stays %s: its strap gone through once more can lay it apart", n.Decision)
	}
	return fmt.Sprintf(". It stays %s: %s lays it apart", n.Decision, aside)
}

// blankedWords name the digits that are to be read again.
func blankedWords(n int) string {
	if n == 1 {
		return "the blanked digit"
	}
	return fmt.Sprintf("the %d blanked digits", n)
}

// notice puts a notice into words. Those that name a key are worded here, as the key map calls it;
// the others say themselves what happened.
func notice(n triage.Notice, k strapKeys) string {
	switch n.Kind {
	case triage.TooManyDigits:
		return n.String() + ": " + name(k.Erase) + " takes one back. Was one typed twice?"
	case triage.RereadAsked:
		return fmt.Sprintf("read %s from the note again, then %s", blankedWords(n.N), name(k.Enter))
	case triage.RereadFull:
		return fmt.Sprintf("every blank has its digit: %s answers, %s takes one back", name(k.Enter), name(k.Erase))
	case triage.EndAsked:
		return fmt.Sprintf("the strap is asked about: %s closes it; for a note more, type its serial", name(k.Enter))
	case triage.RereadFirst:
		return fmt.Sprintf("finish the re-read with %s, or leave it with %s", name(k.Enter), name(k.Clear))
	case triage.StarFacts:
		return fmt.Sprintf("a star is looked up by its prefix and series: %s goes on, also with nothing typed", name(k.Enter))
	case triage.OtherDenomination:
		words := fmt.Sprintf("a $%d does not belong into this pile, and is neither kept nor spent", n.N)
		if name(k.Aside) == "" {
			return words + ": its strap gone through once more can lay it apart"
		}
		return words + ": " + name(k.Aside) + " lays it apart"
	case triage.SecondPrefix:
		return n.String() + ". Is it another denomination? Say so in the closer look, " + name(k.Closer) + ", then type it again"
	case triage.EnterDecidesNot:
		if n.N != patterns.Places {
			return fmt.Sprintf("%s decides nothing. A serial has eight digits, %d typed so far", name(k.Enter), n.N)
		}
		return fmt.Sprintf("%s decides nothing: %s keeps, %s spends", name(k.Enter), name(k.Keep), name(k.Spend))
	case triage.FillUnread:
		return fmt.Sprintf("type the %s from the note, then %s; or the whole number", unreadWords(n.N), name(k.Enter))
	case triage.NotThereAsked:
		return fmt.Sprintf("note %d was taken in: %s again says that it is not in the pile", n.N, name(k.Drop))
	case triage.AskAgain:
		return "press the same key once more after the pause if you mean it"
	}
	return n.String()
}

// printable shows text from outside without letting it move the cursor.
func printable(s string) string { return triage.Printable(s) }
