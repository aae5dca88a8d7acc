package ui

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"app/unband/triage/rates"
	"app/unband/triage/tally"
)

func (v *tallyPage) view(w, h int, at time.Time) []string {
	names := [tallyViews]string{"rates", "found and expected", "pace", "series"}
	var tabs []string
	for i, n := range names {
		if tallyView(i) == v.page {
			tabs = append(tabs, look.strong.Render("["+n+"]"))
		} else {
			tabs = append(tabs, " "+look.quiet.Render(n)+" ")
		}
	}
	lines := []string{cut(strings.Join(tabs, " "), w), ""}
	if v.paper != nil {
		return v.paper.view(v.scope().Session, w)
	}
	if v.form {
		return append(lines, v.dayForm(w)...)
	}
	if len(v.sets) == 0 {
		return append(lines, hang(" ", "Not one note is counted in here yet.", w)...)
	}
	body := v.body(w)
	return append(lines, scrolled(body, v.top, h-len(lines), "  … "+name(tallyMap.Down)+" for more")...)
}

// body draws the page that is shown.
func (v *tallyPage) body(w int) []string {
	return [tallyViews]func(int) []string{v.rates, v.expected, v.pace, v.series}[v.page](w)
}

// settle keeps the page within the window.
func (v *tallyPage) settle(w, h int, at time.Time) {
	if v.top > 0 {
		const tabs = 2 // lines above it
		v.top = settled(v.top, len(v.body(w)), h-tabs)
	}
}

func (v *tallyPage) dayForm(w int) []string {
	var lines []string
	for i, label := range []string{"from", "to"} {
		mark, value := "  ", [2]string{v.from, v.to}[i]
		if i == v.field {
			mark = look.hit.Render(signChoice) + " "
			if v.fresh[i] {
				value = replaceable(value, w-10)
			} else {
				value += look.cursor.Render(" ")
			}
		}
		lines = append(lines, mark+look.quiet.Render(pad(label, 8))+value)
	}
	return append(lines, "", "  "+look.quiet.Render("a day as 2026-03-06, in UTC; empty: no limit"))
}

// rates tells how many of a thousand notes are stars, old and kept, each with its range, and sets the two
// largest groups side by side.
func (v *tallyPage) rates(w int) []string {
	var lines []string
	for _, g := range v.sets {
		t, used := g.Sum, g.Used()
		fresh := t.Sub(used)
		lines = append(lines, look.strong.Render(printable(g.Name))+look.quiet.Render(fmt.Sprintf("  %s, %s looked through, %s unread", count(t.Notes, "note", "notes"), dollars(g.Dollars()), number(t.Glances))))
		for _, r := range []struct {
			label string
			k, n  int
		}{{"stars", used.Stars, used.Read()}, {"old series", used.Old, used.Said}, {"kept", used.Kept, used.Notes}} {
			if used.Notes == 0 {
				break
			}
			i := rates.Of(r.k, r.n)
			text := fmt.Sprintf("  %-12s%6s of %-9s %s", r.label, number(r.k), number(r.n), i)
			lines = append(lines, cut(text, w))
			if bar := intervalBar(i, w-4, v.widest()); bar != "" {
				lines = append(lines, "    "+bar)
			}
		}
		if fresh.Notes > 0 {
			lines = append(lines, hang(" ", fmt.Sprintf("new notes: %s of %s are stars, %s kept. Their numbers follow one another, a strap is one draw of chance: no range",
				number(fresh.Stars), number(fresh.Notes), number(fresh.Kept)), w)...)
		}
		lines = append(lines, "")
	}
	fair := slices.DeleteFunc(slices.Clone(v.sets), func(g tally.Group) bool { return g.Used().Notes == 0 })
	if len(fair) > 1 {
		a, b := fair[0].Used(), fair[1].Used()
		lines = append(lines, look.strong.Render(fmt.Sprintf("%s beside %s", printable(fair[0].Name), printable(fair[1].Name))))
		for _, r := range []struct {
			label          string
			k1, n1, k2, n2 int
		}{{"stars", a.Stars, a.Read(), b.Stars, b.Read()}, {"kept", a.Kept, a.Notes, b.Kept, b.Notes}} {
			lines = append(lines, hang(" ", r.label+": "+rates.Compare(r.k1, r.n1, r.k2, r.n2).String(), w)...)
		}
		lines = append(lines, "")
	}
	return append(lines, hang(" ", look.quiet.Render("Ranges: 95 of 100 hold the true rate (exact, Clopper and Pearson 1934). Old series are counted among the notes whose series was said, stars among those that were read. Two sources: Fisher's exact test."), w)...)
}

// widest is the highest rate that the bars have room for.
func (v *tallyPage) widest() float64 {
	top := 0.001
	for _, g := range v.sets {
		t := g.Used()
		for _, i := range []rates.Interval{rates.Of(t.Stars, t.Read()), rates.Of(t.Old, t.Said), rates.Of(t.Kept, t.Notes)} {
			if i.N > 0 {
				top = max(top, min(i.Top, 10*i.Rate+0.01))
			}
		}
	}
	return top
}

// intervalBar draws a rate as a mark within its range.
func intervalBar(i rates.Interval, w int, widest float64) string {
	if i.N == 0 || w < 10 {
		return ""
	}
	w = min(w, 72)
	at := func(x float64) int { return min(int(x/widest*float64(w-1)), w-1) }
	cells := []rune(strings.Repeat(" ", w))
	for c := at(i.Low); c <= at(i.Top); c++ {
		cells[c] = '─'
	}
	cells[at(i.Low)] = '├'
	if cells[at(i.Top)] = '┤'; i.Top > widest {
		cells[at(i.Top)] = '→' // it goes on beyond the picture
	}
	text := string(cells)
	mark := at(i.Rate)
	return look.quiet.Render(string(cells[:mark])) + look.hit.Render(signHit) + look.quiet.Render(strings.TrimRight(string([]rune(text)[mark+1:]), " "))
}

// seldom is how few must be expected of a rule for it to stand with the other rare ones while none was found.
const seldom = 0.05

// expected lists the rules with what was found, what was to be expected and the range of luck.
func (v *tallyPage) expected(w int) []string {
	name := min(max(w-60, 14), 22)
	worded := w >= name+60
	lines := []string{look.quiet.Render(fmt.Sprintf("  %-*s%9s%8s%10s%14s", name, "", "tested", "found", "expected", "luck"))}
	rare, hoped := 0, 0.0
	for _, f := range v.found {
		if f.found == 0 && f.luck.Expected < seldom {
			rare, hoped = rare+1, hoped+f.luck.Expected
			continue
		}
		sign := "  "
		word := ""
		switch f.luck.Surprise(f.found) {
		case 1:
			sign, word = look.hit.Render("▲")+" ", "more than luck"
		case -1:
			sign, word = look.near.Render("▼")+" ", "fewer than luck"
		}
		row := sign + fmt.Sprintf("%-*s%9s%8s%10s%14s  ", name, cut(f.name, name), number(f.tested), number(f.found), expectedWords(f.luck.Expected), fmt.Sprintf("%d to %d", f.luck.Low, f.luck.Top))
		if worded {
			row += word
		}
		lines = append(lines, cut(strings.TrimRight(row, " "), w))
	}
	if rare > 0 {
		lines = append(lines, hang(" ", look.quiet.Render(fmt.Sprintf("%s of which none was found; %s of them together were to be expected", count(rare, "rare rule", "rare rules"), expectedWords(hoped))), w)...)
	}
	if len(v.found) == 0 {
		lines = append(lines, "  no used note was tested for a pattern yet")
	}
	lines = append(lines, "")
	notes := "Luck is the exact range that 95 of 100 such piles fall in; ▲ is more than that, ▼ fewer. A rule is counted on the notes that were tested for it: not those passed over unread; where notes are settled early, the watched rules alone, for notes typed to the end are no fair sample for the others."
	if len(v.found) > 10 {
		notes += fmt.Sprintf(" Of %d rules about one is outside by chance for every twenty that are common enough.", len(v.found))
	}
	lines = append(lines, hang(" ", look.quiet.Render(notes), w)...)
	if v.left > 0 {
		lines = append(lines, hang(" ", look.quiet.Render(fmt.Sprintf("%s of new straps are left out: their numbers follow one another, so a hundred of them are one draw of chance.", count(v.left, "note", "notes"))), w)...)
	}
	return lines
}

func expectedWords(x float64) string {
	switch {
	case x < 0.01:
		return fmt.Sprintf("%.4f", x)
	case x < 10:
		return fmt.Sprintf("%.2f", x)
	}
	return fmt.Sprintf("%.0f", x)
}

// pace tells how fast it went, how many keys it took, and how often the care paid.
func (v *tallyPage) pace(w int) []string {
	var lines []string
	for _, g := range v.sets {
		t := g.Sum
		lines = append(lines, look.strong.Render(printable(g.Name)))
		if hours, in := t.Took.Hours(), t.InHand(); hours > 0 && in > 0 {
			lines = append(lines, fmt.Sprintf("  %s notes and %s an hour; %.1f s a note, %.1f keys a note", number(int(float64(in)/hours)),
				dollars(int(float64(g.Dollars())/hours*float64(in)/float64(max(t.Notes, 1)))), t.Took.Seconds()/float64(in), float64(t.Keys)/float64(in)))
			if unseen := t.Notes - in; unseen > 0 {
				lines = append(lines, hang(" ", count(unseen, "note", "notes")+" more went with the rest of a list or a sequence, and took no time", w)...)
			}
		}
		care := "  no note was read again yet"
		if t.Reread > 0 {
			care = fmt.Sprintf("  %s read again, %s of them changed by it: that is how often the care paid", count(t.Reread, "note was", "notes were"), number(t.Changed))
		}
		lines = append(lines, hang(" ", strings.TrimSpace(care), w)...)
		lines = append(append(lines, paceBars(t, w)...), "")
	}
	return append(lines, hang(" ", look.quiet.Render("Keys are the characters of the serials and one for each decision. A note is counted with at most two minutes: supper is not part of the pace. Quarters of an hour in UTC."), w)...)
}

// paceBars draws the notes an hour of each quarter of an hour that had some.
func paceBars(t tally.Tally, w int) []string {
	var at []int
	most := 0
	rate := func(p tally.Pace) int { return p.Notes * 3600 / max(p.Seconds, 1) }
	for q, p := range t.Pace {
		if p.Seconds > 0 {
			at = append(at, q)
			most = max(most, rate(p))
		}
	}
	slices.Sort(at)
	var lines []string
	for _, q := range at {
		p := t.Pace[q]
		lines = append(lines, cut(fmt.Sprintf("  %02d:%02d %5s/h ", q/4, q%4*15, number(rate(p)))+look.bar.Render(barOf(rate(p), most, w-30))+fmt.Sprintf(" %d", p.Notes), w))
	}
	return lines
}

// barOf draws n of most in at most w cells; what is there at all is seen.
func barOf(n, most, w int) string {
	if n <= 0 || most <= 0 || w <= 0 {
		return ""
	}
	return strings.Repeat("█", max(n*w/most, 1))
}

// series draws how many notes of each series were seen.
func (v *tallyPage) series(w int) []string {
	sum := tally.Tally{}
	for _, g := range v.sets {
		sum.Count(g.Sum)
	}
	var years []string
	most := 0
	for s, n := range sum.Series {
		years = append(years, s)
		most = max(most, n)
	}
	slices.Sort(years)
	var lines []string
	for _, y := range years {
		n := sum.Series[y]
		lines = append(lines, cut(fmt.Sprintf("  %-7s", printable(y))+look.bar.Render(barOf(n, most, w-20))+" "+number(n), w))
	}
	if len(years) == 0 {
		lines = append(lines, "  no series was said yet")
	}
	return append(lines, "", look.quiet.Render(cut(fmt.Sprintf("  of %s whose series was said, of %s in all", count(sum.Said, "note", "notes"), number(sum.Notes)), w)))
}
