package ui

import (
	"time"

	"app/unband/store"
	"app/unband/triage"
)

// A guide tells the hints of the first strap. Each is put down as told when it appears, so that it never comes twice.
type guide struct {
	choices triage.Choices // with the hints told so far; the others are put down with them
	now     triage.Hints   // on the screen, 0 for none
	place   int            // the note it was told at
}

// newGuide gives the guide through a strap, nil where there is nothing more to tell.
func newGuide(e *env, v *triage.Sorter) *guide {
	if !e.guided || v.Session().ID != 1 || v.Strap().Number != 1 {
		return nil
	}
	c, err := e.choices()
	if err != nil || c.Hints == triage.AllHints {
		return nil // what is damaged is told elsewhere: a hint is not worth an alarm
	}
	return &guide{choices: c}
}

// look finds out whether something is to be told now. What was told goes when its note is decided.
func (g *guide) look(e *env, v *strap) {
	if g == nil {
		return
	}
	if g.now != 0 && g.place != v.sorter.Place() {
		g.now = 0
	}
	// One at a time, but what is said of the note in hand takes the place of what could be said at any.
	if h := v.sorter.FirstHint(g.choices.Hints); h != 0 && (g.now == 0 || h < triage.HintBack && g.now >= triage.HintBack) {
		g.now, g.place = h, v.sorter.Place()
		g.put(e, v, g.choices.Hints|h)
	}
}

// put writes down what was told.
func (g *guide) put(e *env, v *strap, told triage.Hints) {
	g.choices.Hints = told
	e.submit(store.PutChoices{Choices: g.choices}, v)
}

// endGuide has no more hints told, now or later.
func (v *strap) endGuide(at time.Time) {
	if v.guide == nil {
		v.env.hint("there are no more hints to come: "+name(everywhere.Help)+" shows every key", at)
		return
	}
	v.guide.put(v.env, v, triage.AllHints)
	v.guide = nil
	v.env.say("no more hints: "+name(everywhere.Help)+" shows every key", at)
}

// lines is the hint, ready for the screen.
func (g *guide) lines(w int) []string {
	if g == nil || g.now == 0 {
		return nil
	}
	return append([]string{""}, hang(look.hit.Render(signHint), hintWords(g.now)+" "+look.quiet.Render("("+name(strapMap.Hints)+": no more hints)"), w)...)
}

// hintWords is what a hint says.
func hintWords(h triage.Hints) string {
	switch h {
	case triage.HintPause:
		return "Until the pause is over no key decides: look at the note. Then " + name(strapMap.Keep) + " keeps it, " + name(strapMap.Spend) + " spends it."
	case triage.HintNear:
		return "One digit off. Before it is spent you read the number once more; the second look shows it again."
	case triage.HintStar:
		return "A star note, printed in place of a spoiled one. Those you keep are looked up together: " + name(deskMap.Stars) + " on the desk."
	case triage.HintBack:
		return "A slip? " + name(strapMap.Back) + " goes back to the note before, to type or decide it anew."
	case triage.HintLeaving:
		return "Every decision is on the disk. " + name(everywhere.Leave) + " leaves at any time; the strap goes on at the right note."
	}
	return ""
}
