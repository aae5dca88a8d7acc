package ui

import (
	"fmt"
	"slices"

	"github.com/charmbracelet/bubbles/key"

	"app/unband/triage"
	"app/unband/triage/flaws"
)

// errorWalk is the way through the questions about a printing error.
type errorWalk struct{ walk flaws.Walk }

// startWalk goes on with the answers the note has already, or begins.
func (c *closer) startWalk() { c.errors = &errorWalk{triage.WalkOf(c.facts.Walk)} }

// walk takes a key of the walk. Where it ends is kept with the note at once.
func (c *closer) walk(k keyMsg) {
	w := &c.errors.walk
	_, _, done := w.At()
	switch {
	case key.Matches(k, walkMap.Leave), done && key.Matches(k, walkMap.Done):
		c.errors = nil
		return
	case key.Matches(k, walkMap.Back):
		*w = w.Back()
	case done:
	case key.Matches(k, walkMap.Yes):
		*w = w.Answer(flaws.Yes)
	case key.Matches(k, walkMap.No):
		*w = w.Answer(flaws.No)
	case key.Matches(k, walkMap.Unsure):
		*w = w.Answer(flaws.Unsure)
	}
	c.facts.Walk, c.facts.Flaw = triage.WalkText(w.Trail()), flaws.NoOutcome
	if _, outcome, done := w.At(); done {
		c.facts.Flaw = outcome.ID
	}
}

func (e *errorWalk) view(w int) []string {
	q, outcome, done := e.walk.At()
	var lines []string
	if done {
		lines = append(lines, hang(look.hit.Render(signHit), look.strong.Render(outcome.Name), w)...)
		if stage := outcome.Stage.String(); stage != "" {
			lines = append(lines, hang(" ", look.quiet.Render("stage: ")+stage, w)...)
		}
		for _, part := range [][2]string{{"what one sees", outcome.See}, {"mistaken for", outcome.MistakenFor}, {"next", outcome.Next}} {
			if part[1] != "" {
				lines = append(lines, hang(" ", look.quiet.Render(part[0]+": ")+part[1], w)...)
			}
		}
	} else {
		lines = append(lines, hang("?", look.strong.Render(q.Text), w)...)
		lines = append(lines, hang(" ", look.quiet.Render(q.Help), w)...)
		lines = append(lines, "", "  "+keyWords(walkMap.Yes, "yes")+"   "+keyWords(walkMap.No, "no")+"   "+keyWords(walkMap.Unsure, "not sure"))
	}
	lines = append(lines, "", look.quiet.Render("so far, the last first"))
	trail := e.walk.Trail()
	slices.Reverse(trail)
	for _, s := range trail {
		asked, _ := s.Question.Question()
		lines = append(lines, hang(" ", fmt.Sprintf("%s %s", asked.Text, look.strong.Render(s.Answer.String())), w)...)
	}
	return lines
}

// walkKeys are the keys of the walk.
type walkKeys struct{ Yes, No, Unsure, Back, Done, Leave key.Binding }

var walkMap = walkKeys{
	Yes:    bind("Y", "yes", "y", "Y"),
	No:     bind("N", "no", "n", "N"),
	Unsure: bind("U", "not sure", "u", "U"),
	Back:   bind("Backspace", "back to the question before", "backspace", "ctrl+h", "left"),
	Done:   bind("Enter", "at the end: back to the closer look", "enter", "ctrl+j"),
	Leave:  bind("Esc", "back to the closer look; the answers stay", "esc"),
}

func (k walkKeys) short() []key.Binding {
	return []key.Binding{k.Yes, k.No, k.Unsure, short(k.Leave, "back"), short(k.Back, "question before")}
}

func (k walkKeys) groups() []keyGroup {
	return []keyGroup{{title: "The questions about a printing error", keys: []key.Binding{k.Yes, k.No, k.Unsure, k.Back, k.Done, closerMap.Ask, k.Leave},
		about: []string{
			"Not sure is an answer, too: it leads on to what can be checked.",
		}}}
}
