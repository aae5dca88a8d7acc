package ui

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/currency"
)

// definitions is where people disagree: one line for each question, with the answer in force.
type definitions struct {
	watch *watch
	row   int
	typed string // a number being typed into the line
}

// A question is one line of the definitions.
type question struct {
	words string
	value func(triage.Choices) string
	turn  func(c *triage.Choices, by int)     // to the next or the last answer
	set   func(c *triage.Choices, number int) // takes a typed number; nil where none can be typed
}

// pick makes a question whose answers are a list.
func pick[T comparable](words string, of func(*triage.Choices) *T, answers []T, names []string) question {
	at := func(c *triage.Choices) int { return max(slices.Index(answers, *of(c)), 0) }
	return question{
		words: words,
		value: func(c triage.Choices) string {
			if i := slices.Index(answers, *of(&c)); i >= 0 {
				return names[i]
			}
			return fmt.Sprint(*of(&c))
		},
		turn: func(c *triage.Choices, by int) { *of(c) = answers[(at(c)+by+len(answers))%len(answers)] },
	}
}

func yesNo(words string, of func(*triage.Choices) *bool, yes, no string) question {
	return pick(words, of, []bool{true, false}, []string{yes, no})
}

// numeric makes a question whose answer is typed, or turned by steps.
func numeric[T ~int | ~uint32](words string, of func(*triage.Choices) *T, step func(n, by int) int, write func(int) string) question {
	return question{
		words: words,
		value: func(c triage.Choices) string { return write(int(*of(&c))) },
		turn:  func(c *triage.Choices, by int) { *of(c) = T(step(int(*of(c)), by)) },
		set:   func(c *triage.Choices, n int) { *of(c) = T(n) },
	}
}

// seconds makes a question about a pause, turned by tenths of a second up to one and by halves above.
func seconds(words string, of func(*triage.Choices) *time.Duration) question {
	return question{
		words: words,
		value: func(c triage.Choices) string { return fmt.Sprintf("%.1f s", of(&c).Seconds()) },
		turn: func(c *triage.Choices, by int) {
			step := 500 * time.Millisecond
			if d := *of(c); d < time.Second || d == time.Second && by < 0 {
				step = 100 * time.Millisecond
			}
			*of(c) += time.Duration(by) * step
			c.Pauses = c.Pauses.Bounded()
		},
	}
}

// byTens steps a limit through the powers of ten that are in print.
func byTens(n, by int) int {
	limits := []int{0, 10, 100, 1000, 10_000}
	at, found := slices.BinarySearch(limits, n)
	if !found && by > 0 {
		at--
	}
	return limits[min(max(at+by, 0), len(limits)-1)]
}

func byThousands(n, by int) int { return max(n+1000*by, 0) }

func byOne(n, by int) int { return n + by }

// questions lists every question, those about old series for the denomination that is counted under.
func (d *definitions) questions() []question {
	face := triage.Denominations[d.watch.denom]
	return append(slices.Clone(disputed), oldQuestion(face),
		numeric("a star batch is ripe at", func(c *triage.Choices) *int { c.Ripe = c.RipeAt(); return &c.Ripe }, func(n, by int) int { return max(n+10*by, 1) }, number),
		numeric("a short run of stars has at most", func(c *triage.Choices) *int { c.ShortRun = c.ShortUpTo(); return &c.ShortRun }, func(n, by int) int { return max(n+80_000*by, 1) }, number),
	)
}

// oldQuestion asks before which series notes of a denomination are old. The answers are the series on
// the list kept here, and never.
func oldQuestion(face triage.Denomination) question {
	var answers []string
	for _, l := range currency.List(int(face)) {
		if s := l.Series.String(); l.Class == currency.FederalReserveNote && !slices.Contains(answers, s) {
			answers = append(answers, s)
		}
	}
	slices.Sort(answers)
	answers = append([]string{triage.NeverOld}, answers...)
	limit := func(c triage.Choices) string { return cmp.Or(c.OldLimit(face), triage.NeverOld) }
	return question{
		words: "a " + face.String() + " stops you when older than series",
		value: limit,
		turn: func(c *triage.Choices, by int) {
			at, _ := slices.BinarySearch(answers[1:], limit(*c))
			if limit(*c) == triage.NeverOld {
				at = -1
			}
			*c = c.SetOldLimit(face, answers[min(max(at+1+by, 0), len(answers)-1)])
		},
		set: func(c *triage.Choices, n int) {
			if s, err := currency.ParseSeries(strconv.Itoa(n)); err == nil { // else the limit stays as it was
				*c = c.SetOldLimit(face, s.String())
			}
		},
	}
}

// disputed lists every disputed definition of patterns.Settings, and how notes are gone through.
var disputed = []question{
	pick("after nine in a ladder comes", func(c *triage.Choices) *patterns.LadderZero { return &c.Settings.LadderZero },
		[]patterns.LadderZero{patterns.NoZero, patterns.ZeroAsTen, patterns.AnyWrap}, []string{"nothing: it ends", "zero, as ten", "zero, and on from one"}),
	yesNo("a 1 upside down", func(c *triage.Choices) *bool { return &c.Settings.OneTurns }, "is a 1", "is none"),
	pick("binary means", func(c *triage.Choices) *patterns.BinaryMeaning { return &c.Settings.Binary },
		[]patterns.BinaryMeaning{patterns.AnyTwo, patterns.ZeroAndOne}, []string{"any two digits", "only 0 and 1"}),
	yesNo("1, 10, 100 … as true binaries", func(c *triage.Choices) *bool { return &c.Settings.BinaryPowers }, "count", "do not count"),
	yesNo("a solid is a radar, a repeater … too", func(c *triage.Choices) *bool { return &c.Settings.SolidAlso }, "yes", "no"),
	numeric("low numbers go up to", func(c *triage.Choices) *patterns.Digits { return &c.Settings.LowLimit }, byTens, number),
	yesNo("four pairs are", func(c *triage.Choices) *bool { return &c.Settings.FourDifferent }, "four different digits", "any digits"),
	numeric("high numbers begin at", func(c *triage.Choices) *patterns.Digits { return &c.Settings.HighFrom }, byThousands, number),
	numeric("high numbers end at", func(c *triage.Choices) *patterns.Digits { return &c.Settings.HighTo }, byThousands, number),
	yesNo("dates with the month first", func(c *triage.Choices) *bool { return &c.Settings.MonthFirst }, "count", "do not count"),
	yesNo("dates with the day first", func(c *triage.Choices) *bool { return &c.Settings.DayFirst }, "count", "do not count"),
	yesNo("dates with the year first", func(c *triage.Choices) *bool { return &c.Settings.YearFirst }, "count", "do not count"),
	numeric("dates from the year", func(c *triage.Choices) *int { return &c.Settings.FromYear }, byOne, strconv.Itoa),
	numeric("dates to the year", func(c *triage.Choices) *int { return &c.Settings.ToYear }, byOne, strconv.Itoa),
	yesNo("a note that can become nothing any more", func(c *triage.Choices) *bool { return &c.Whole }, "is typed to the end", "is settled early"),
	seconds("pause before an ordinary note", func(c *triage.Choices) *time.Duration { return &c.Pauses.Plain }),
	seconds("pause before a hit, a near miss, a doubt", func(c *triage.Choices) *time.Duration { return &c.Pauses.Stop }),
}

func (d *definitions) update(msg tea.Msg, at time.Time) (screen, tea.Cmd) {
	k, ok := msg.(keyMsg)
	if !ok {
		return d, nil
	}
	q := d.questions()[d.row]
	switch {
	case key.Matches(k, definitionsMap.Leave):
		d.take(q, at)
		return d.watch, nil
	case key.Matches(k, definitionsMap.Up):
		d.take(q, at)
		d.move(-1)
	case key.Matches(k, definitionsMap.Down):
		d.take(q, at)
		d.move(1)
	case key.Matches(k, definitionsMap.Less):
		d.try(func(c *triage.Choices) { q.turn(c, -1) }, at)
	case key.Matches(k, definitionsMap.More):
		d.try(func(c *triage.Choices) { q.turn(c, 1) }, at)
	case key.Matches(k, definitionsMap.Erase):
		d.typed = d.typed[:max(len(d.typed)-1, 0)]
	case key.Matches(k, definitionsMap.Enter):
		d.take(q, at)
	case q.set != nil && key.Matches(k, definitionsMap.Digits) && len(d.typed) < patterns.Places:
		d.typed += k.String()
	}
	return d, nil
}

// take takes the number that was typed; leaving the line takes it too.
func (d *definitions) take(q question, at time.Time) {
	if d.typed == "" {
		return
	}
	n, _ := strconv.Atoi(d.typed) // eight digits at most
	d.try(func(c *triage.Choices) { q.set(c, n) }, at)
	d.typed = ""
}

func (d *definitions) move(by int) {
	d.row = min(max(d.row+by, 0), len(d.questions())-1)
	d.typed = ""
}

// try takes a changed answer if a book can be made of it.
func (d *definitions) try(change func(*triage.Choices), at time.Time) {
	before := d.watch.choices
	c := before
	change(&c)
	if err := d.watch.define(c.Settings); err != nil {
		d.watch.env.say(reason(err)+": it stays as it was", at)
		return
	}
	c.Settings = d.watch.choices.Settings
	d.watch.choices = c
	d.watch.put()
}

func (d *definitions) view(w, h int, at time.Time) []string {
	lines := append(d.watch.price(w), "")
	room := max(h-len(lines)-1, 1)
	questions := d.questions()
	first := firstShown(d.row, room, len(questions))
	for i := first; i < min(first+room, len(questions)); i++ {
		q := questions[i]
		mark, value := "  ", q.value(d.watch.choices)
		if i == d.row {
			mark = look.hit.Render(signChoice) + " "
			value = look.strong.Render("‹ " + value + " ›")
			if d.typed != "" {
				value = look.strong.Render(d.typed) + look.cursor.Render(" ")
			}
		} else {
			value = "  " + value
		}
		lines = append(lines, mark+pad(q.words, 42)+value)
	}
	return lines
}

func (d *definitions) title() (string, string) {
	return "the watch list · definitions", "for new sessions"
}

func (d *definitions) short() []key.Binding { return definitionsMap.short() }
func (d *definitions) groups() []keyGroup   { return definitionsMap.groups() }
func (d *definitions) ready() time.Time     { return time.Time{} }
func (d *definitions) typing() bool         { return strings.TrimSpace(d.typed) != "" }
