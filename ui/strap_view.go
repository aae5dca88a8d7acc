package ui

import (
	"fmt"
	"strings"
	"time"

	"github.com/charmbracelet/x/ansi"

	"app/unband/triage"
)

// mapWidth is how wide the column with the map and the totals is.
const mapWidth = 26

func (v *strap) view(w, h int, at time.Time) []string {
	if v.closer != nil {
		lines := append([]string{v.headline()}, smallSerial(v.sorter.Hand(), v.sorter.Session().Watch)...)
		return append(lines, v.closer.view(w, h-len(lines), at)...)
	}
	if aside := v.sorter.Hand().Confirming() == triage.SetAside; w >= 78 && h >= 19 && !aside { // the whole width for the caution
		return v.roomy(w, h, at)
	}
	return v.compact(w, h, at)
}

// roomy has the note on the left and the strap on the right.
func (v *strap) roomy(w, h int, at time.Time) []string {
	left := w - mapWidth - 2
	lines := []string{v.headline(), ""}
	lines = append(lines, v.env.serial(v.sorter.Hand(), v.sorter.Session().Watch)...)
	lines = append(lines, v.pauseLine(left, at), "")
	lines = append(lines, shorten(v.body(left, false, at), h-len(lines))...)
	least := 2
	recent := v.coming(h - len(lines) - 1)
	if len(recent) == 0 {
		least, recent = 3, v.recent(h-len(lines)-2)
	}
	if len(recent) >= least {
		lines = append(fit(lines, left, h-len(recent)), recent...)
	}
	right := append(v.strapMap(10), "")
	right = append(right, v.totals()...)
	return beside(fit(lines, left, h), right, left+2)
}

// compact has everything in one column and no map.
func (v *strap) compact(w, h int, at time.Time) []string {
	lines := []string{v.topLine(w)}
	lines = append(lines, smallSerial(v.sorter.Hand(), v.sorter.Session().Watch)...)
	lines = append(lines, v.pauseLine(w, at))
	room := h - len(lines) - 2
	lines = append(lines, fit(shorten(v.body(w, true, at), room), w, room)...)
	t, s := v.sorter.Strap().Totals, v.sorter.Session().Totals
	return append(lines,
		cut("strap    "+totalsLine(t)+fmt.Sprintf("  %s near", number(t.Near)), w),
		cut("session  "+totalsLine(s)+"  "+v.pace(), w))
}

// totalsLine says of what the notes were made up.
func totalsLine(t triage.Totals) string {
	text := fmt.Sprintf("%s  %s kept  %s spent", count(t.Notes, "note", "notes"), number(t.Kept), number(t.Spent))
	if aside := t.Aside + t.Apart; aside > 0 {
		text += fmt.Sprintf("  %s aside", number(aside))
	}
	return text
}

// topLine is the headline of a tight window with what was said in the closer look, where that has room; the bar of the
// strap gives way to it, because the numbers say the same.
func (v *strap) topLine(w int) string {
	line := v.headline()
	if seen := v.seenOnTop(w); seen != "" {
		line += "  " + seen
	}
	if bar := v.progress(); ansi.StringWidth(line)+2+ansi.StringWidth(bar) <= w {
		return spread(line, look.quiet.Render(bar), w)
	}
	return line
}

// seenOnTop is what was said of the note in hand in the closer look, as far as it fits beside the headline; "" where
// nothing was said or too little fits.
func (v *strap) seenOnTop(w int) string {
	room := w - ansi.StringWidth(v.headline()) - 2
	if room < len(seenHead)+leastShare || v.sorter.Ending() && !v.sorter.Back() {
		return ""
	}
	return seenWords(v.sorter.Hand().Facts(), room)
}

func (v *strap) hand() handView {
	s := v.sorter.Session()
	hand := v.sorter.Hand()
	keep, spend := "keep", "spend"
	if hand.AsksTwice(triage.Keep) {
		keep = "twice keeps"
	}
	switch {
	case hand.AsksTwice(triage.Spend) && hand.AsksReread():
		spend = "twice, then read again"
	case hand.AsksTwice(triage.Spend):
		spend = "twice spends"
	case hand.AsksReread():
		spend = "asks to read again"
	}
	return handView{hand: hand, book: v.book, odds: v.odds, watch: s.Watch, denom: s.Denomination, names: v.names, calm: v.env.comfort.Calm, keep: keep, spend: spend, keys: strapMap}
}

// pauseLine is the bar with what it waits for.
func (v *strap) pauseLine(w int, at time.Time) string {
	done, view := v.sorter.PauseAt(at), v.hand()
	if v.sorter.Ending() && !v.closing {
		words := "count the piles"
		if v.sorter.HasListed() {
			words = "all pulled"
		}
		return cut(bar(done, v.env.comfort.Calm)+"  "+look.quiet.Render(words), w)
	}
	return view.pauseLine(done, v.sorter.Pending() || v.closing, w)
}

// headline says which note is in hand, and of an earlier one how it was decided.
func (v *strap) headline() string {
	place, band := v.sorter.Place(), v.sorter.Strap().Band
	words := ""
	if v.sorter.Back() {
		n := v.sorter.Notes()[place-1]
		words = look.near.Render("gone back: " + becameWords(n))
		if n.Decision == triage.Undecided {
			words = look.near.Render("not decided")
		}
		if n.Version > 1 {
			words += look.quiet.Render(fmt.Sprintf(", changed %s", count(n.Version-1, "time", "times")))
		}
	}
	if left := v.sorter.PullsLeft(); left > 0 && !v.sorter.Back() {
		words += look.quiet.Render(count(left, "note", "notes") + " to be pulled")
	}
	if beside := v.sorter.Hand().BesideWords(); beside != "" {
		if words != "" {
			words += "  "
		}
		words += look.hit.Render(signBeside + " " + beside)
	}
	if v.sorter.Ending() && !v.sorter.Back() {
		return look.strong.Render(fmt.Sprintf("%d of %d", band+v.sorter.Strap().Off(), band)) + look.quiet.Render(" notes")
	}
	return headline(place, band, words)
}

// body is the part below the serial: a question, where the strap was left, or the findings. In a tight window what can
// be done comes before what there is to know, because the end may be cut off.
func (v *strap) body(w int, tight bool, at time.Time) []string {
	var lines []string
	if v.resumed != "" {
		lines = append(hang(look.strong.Render(signMet), v.resumed, w), "")
	}
	if v.sorter.Ending() {
		question, details, answers := v.endQuestion(w)
		if tight {
			return append(append(append(lines, question...), answers...), details...)
		}
		return append(append(append(append(lines, question...), details...), ""), answers...)
	}
	lines = append(lines, v.listedLines(w)...)
	if len(v.sorter.Notes()) == 0 && v.sorter.Hand().Entry.Empty() {
		lines = append(lines, v.manyAtOnce(w)...)
	}
	if v.sorter.Back() {
		lines = append(lines, hang(" ", look.quiet.Render("type it anew, or decide it anew; "+name(strapMap.Enter)+" returns to the note in hand"), w)...)
	}
	hand := v.hand()
	hand.told = tight && v.seenOnTop(w) != ""
	return append(append(append(lines, hand.says(w, at)...), v.asListedLines(w)...), v.guide.lines(w)...)
}

// fewShort is how many notes a strap can be short of by such as stick together.
const fewShort = 5

// endQuestion asks whether the band was right. details are what is to be known before it is answered.
func (v *strap) endQuestion(w int) (question, details, answers []string) {
	if wanted := v.sorter.Wanted(); len(wanted) > 0 {
		details = hang(look.near.Render(signBeside), wantedWords(wanted), w)
	}
	t := v.sorter.Strap()
	if v.sorter.HasListed() {
		asked, answered := v.restQuestion()
		return wrap(look.strong.Render(asked), w), append(v.beforeTheRest(w), details...), wrap(answered, w)
	}
	var text []string
	switch off := t.Off(); {
	case off == 0:
		text = []string{fmt.Sprintf("%s, as the band says: is the strap over?", count(t.Totals.Notes, "note", "notes"))}
	case off < 0:
		text = []string{fmt.Sprintf("%s counted, the band says %d: %d short.", count(t.Totals.Notes, "note", "notes"), t.Band, -off),
			"Is it over? Are two stuck together? Count the piles once more, and keep the band with date and initials."}
		if -off > fewShort {
			text[1] = "Is it over, so far from what the band says?"
		}
	default:
		text = []string{fmt.Sprintf("%s counted, the band says %d: %d more.", count(t.Totals.Notes, "note", "notes"), t.Band, off),
			"Was one typed twice? " + name(strapMap.Back) + " and " + name(strapMap.Drop) + " take the last note out again."}
	}
	for _, s := range text {
		question = append(question, wrap(look.strong.Render(s), w)...)
	}
	return question, details, wrap(look.hit.Render(name(strapMap.Enter))+" closes the strap as counted. "+
		"A note more? Type its serial. Something to change? "+look.hit.Render(name(strapMap.Back))+" goes back.", w)
}

// wantedWords names the spent notes that lie beside a keeper which wants them.
func wantedWords(wanted []int) string {
	var names []string
	for _, p := range wanted {
		names = append(names, number(p))
	}
	if len(names) == 1 {
		return "note " + names[0] + " lies beside a keeper that wants its neighbours, and was spent"
	}
	return "notes " + few(names) + " lie beside a keeper that wants its neighbours, and were spent"
}

// strapMap draws the strap as rows of ten, at most rows of them, around the note in hand.
func (v *strap) strapMap(rows int) []string {
	notes, band, place := v.sorter.Notes(), v.sorter.Strap().Band, v.sorter.Place()
	cellsTotal := max(band, len(notes), place)
	all := (cellsTotal + 9) / 10
	wanted := v.wanted()
	first := firstShown((place-1)/10, rows, all)
	var lines []string
	for row := first; row < min(all, first+rows); row++ {
		line := look.quiet.Render(fmt.Sprintf("%4d ", row*10+1))
		for i := row*10 + 1; i <= row*10+10; i++ {
			line += " " + v.mapCell(i, notes, place, cellsTotal, wanted)
		}
		lines = append(lines, line)
	}
	for len(lines) < rows {
		lines = append(lines, "")
	}
	return lines
}

// wanted are the places beside a keeper that wants them: those spent so far, and the next one.
func (v *strap) wanted() map[int]bool {
	notes, wanted := v.sorter.Notes(), map[int]bool{}
	for _, p := range v.sorter.Wanted() {
		wanted[p] = true
	}
	if n := len(notes); n > 0 && notes[n-1].Decision == triage.Keep && notes[n-1].WantsNeighbours() {
		wanted[n+1] = true
	}
	return wanted
}

func (v *strap) mapCell(i int, notes []triage.Note, place, total int, wanted map[int]bool) string {
	switch {
	case i == place && i <= len(notes) && v.sorter.Back():
		return look.cursor.Render(cellLooking)
	case i == place:
		return look.hit.Render(cellInHand)
	case wanted[i]:
		return look.near.Render(signBeside)
	case i > len(notes):
		if i > total {
			return " "
		}
		return look.quiet.Render("-")
	case notes[i-1].Decision == triage.Undecided && v.sorter.Pulled(i):
		return look.hit.Render(signChoice)
	case notes[i-1].Decision == triage.Undecided:
		return look.quiet.Render("-")
	}
	return noteSign(notes[i-1])
}

// noteSign is the one cell that stands for a decided note.
func noteSign(n triage.Note) string {
	switch {
	case n.Decision == triage.Keep:
		return look.hit.Render(cellKept)
	case n.Decision == triage.SetAside:
		return look.near.Render(cellAside)
	case n.Decision == triage.LaidApart:
		return look.near.Render(cellApart)
	case n.Decision == triage.NotThere:
		return look.near.Render(cellGone)
	case n.Look != triage.NoLook:
		return look.near.Render(cellNear)
	case n.Decision == triage.Glance:
		return look.quiet.Render(cellGlance)
	}
	return cellSpent
}

// totals sets strap and session side by side.
func (v *strap) totals() []string {
	t, s := v.sorter.Strap().Totals, v.sorter.Session().Totals
	face := int(v.sorter.Session().Denomination)
	row := func(label, a, b string) string { return fmt.Sprintf("  %-7s%7s%9s", label, a, b) }
	lines := []string{look.quiet.Render(row("", "strap", "session")), row("notes", number(t.Notes), number(s.Notes))}
	for _, rare := range []struct {
		label string
		t, s  int
	}{{"aside", t.Aside + t.Apart, s.Aside + s.Apart}, {"missing", t.NotThere, s.NotThere}} {
		if rare.s > 0 {
			lines = append(lines, row(rare.label, number(rare.t), number(rare.s)))
		}
	}
	lines = append(lines,
		row("kept", number(t.Kept), number(s.Kept)),
		row("", dollars(t.Kept*face), dollars(s.Kept*face)),
		row("spent", number(t.Spent), number(s.Spent)),
		row("", dollars(t.Spent*face), dollars(s.Spent*face)),
		row("near", number(t.Near), number(s.Near)))
	if n := v.sorter.Strap().Listed; n > 0 {
		label := "listed"
		if v.sorter.Strap().InSequence {
			label = "to come"
		}
		lines = append(lines, row(label, number(n), ""))
	}
	return append(lines, "", "  "+look.quiet.Render(v.pace()))
}

// pace is how long a note took lately.
func (v *strap) pace() string {
	takes := v.sorter.Pace()
	if len(takes) == 0 {
		return "pace: not yet known"
	}
	var sum time.Duration
	for _, d := range takes {
		sum += d
	}
	return fmt.Sprintf("pace %.1f s a note", (sum / time.Duration(len(takes))).Seconds())
}

func (v *strap) progress() string {
	n, band := v.sorter.Strap().Totals.Notes, v.sorter.Strap().Band
	const wide = 10
	full := min(n*wide/max(band, 1), wide)
	return strings.Repeat("█", full) + strings.Repeat("░", wide-full)
}

// recent lists the last decided notes, the newest first, in at most h lines.
func (v *strap) recent(h int) []string {
	const most = 12
	notes := v.sorter.Notes()
	lines := []string{look.quiet.Render("lately")}
	for i := len(notes) - 1; i >= 0 && len(lines) < min(h, most+1); i-- {
		n := notes[i]
		if n.Decision == triage.Undecided {
			continue
		}
		lines = append(lines, fmt.Sprintf("%s %4d  %-14s %s", noteSign(n), n.Position, n.Serial, n.Decision))
	}
	return lines
}
