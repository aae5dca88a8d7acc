package ui

import (
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/triage"
)

// This file is the closer look in a strap gone through once more. It can stay open on one line from note to note,
// so that one kind of thing, such as the plate numbers of the backs, is typed for a whole strap.

// openCloser takes a closer look, unless the disk or a question is waited for.
func (v *again) openCloser(at time.Time) {
	if v.again.Pending() || v.again.Hand().Asks() {
		v.env.hint(answerFirst, at)
		return
	}
	v.closer = v.newCloser()
}

func (v *again) newCloser() *closer {
	c := newCloser(v.again.Hand(), v.again.Session().Denomination, v.env.series)
	c.aside = v.again.Note().Decision == triage.SetAside
	return c
}

// onLines reports whether the lines of the closer look are shown, not the questions or the text to ask with.
func (v *again) onLines() bool { return v.closer.asking == nil && v.closer.errors == nil }

func (v *again) closerKey(k keyMsg, at time.Time) (screen, tea.Cmd) {
	switch {
	case v.onLines() && key.Matches(k, againMap.Onward):
		return v.carry(1, at)
	case v.onLines() && key.Matches(k, againMap.Backward):
		return v.carry(-1, at)
	}
	if v.closer.key(k, v.env, at) {
		v.endCloser(at)
	}
	return v, nil
}

func (v *again) closeCloser(at time.Time) {
	if v.closer != nil && v.onward == 0 { // else what was said is on its way already
		v.closer.leave(v.env, at)
		v.endCloser(at)
	}
}

// endCloser hands over what was said and stores it.
func (v *again) endCloser(at time.Time) {
	c := v.closer
	v.closer, v.line = nil, c.line
	if !c.handOver(v.env, at) {
		return
	}
	v.again.Shown(at)
	if v.again.Retyping() && v.again.Undone() {
		v.env.say("it is kept with the note once its serial is decided", at)
	}
	v.effect(v.again.SaveFacts(at), at)
}

// carry stores what was said and takes the closer look on the same line of the note n further on.
func (v *again) carry(n int, at time.Time) (screen, tea.Cmd) {
	v.line = v.closer.line
	if !v.closer.take(v.env, at) {
		return v, nil
	}
	if v.again.Undone() {
		v.env.notice(triage.Notice{Kind: triage.DecideFirst}, againWords(), at)
		return v, nil
	}
	v.said = v.saidWords()
	if !v.closer.handOver(v.env, at) {
		return v, nil
	}
	v.onward = n
	e := v.again.SaveFacts(at)
	if e.Decide == nil { // nothing new was said
		return v.goOn(at)
	}
	v.effect(e, at)
	return v, nil
}

// saidWords repeat what was said on the line, because the note will be out of sight.
func (v *again) saidWords() string {
	l := closerLines[v.line]
	was, now := l.value(newCloser(v.again.Hand(), v.closer.denom, "")), l.value(v.closer)
	if now == was || now == "" {
		return ""
	}
	if l.doubt(v.closer) != "" { // it goes on to the next note at once, so it is asked here
		now += ", is that all?"
	}
	return ", " + l.label + ": " + now
}

// goOn takes the closer look at the note that was gone on to, and plays the keys that came meanwhile.
func (v *again) goOn(at time.Time) (screen, tea.Cmd) {
	n, keys := v.onward, v.waiting
	v.onward, v.waiting = 0, nil
	e := v.again.Press(triage.Key{Kind: triage.KeyMove, N: n}, at)
	v.closer = v.newCloser()
	v.closer.to(v.line)
	if e.Notice.Kind != triage.Quiet { // the last note: what was said of it stays in sight, and so does the note
		v.env.say(v.sofar(at)+triage.Notice{Kind: e.Notice.Kind}.String(), at)
		return v, nil
	}
	for _, k := range keys { // one of them may lead on again: the rest waits once more
		if s, cmd := v.key(k, at); s != v {
			return s, cmd
		}
	}
	return v, nil
}

// sofar is what was said just now, with room for more.
func (v *again) sofar(at time.Time) string {
	if s := v.env.status; s.since.Equal(at) && s.text != "" && !s.alarm {
		return s.text + ". "
	}
	return ""
}
