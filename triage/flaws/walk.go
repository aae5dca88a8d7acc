package flaws

import "slices"

// An Answer is what a person says to a question.
type Answer uint8

// The answers. Their numbers are stored: never renumber, only add.
const (
	NoAnswer Answer = 0
	Yes      Answer = 1
	No       Answer = 2
	Unsure   Answer = 3
)

// String gives the answer as a word.
func (a Answer) String() string {
	switch a {
	case Yes:
		return "yes"
	case No:
		return "no"
	case Unsure:
		return "unsure"
	}
	return "not answered"
}

// A Step is one question with its answer. Steps are what is stored of a walk.
type Step struct {
	Question QuestionID
	Answer   Answer
}

// A Walk is a way through the questions. It is a value: Answer and Back give another walk and leave
// this one as it is. The zero value stands at the first question.
type Walk struct {
	steps []Step
}

// Start gives a walk that stands at the first question.
func Start() Walk { return Walk{} }

// Resume gives the walk of stored steps. Where a step does not belong to the questions as they are
// now, the walk stands at the last question before it, and whole is false.
func Resume(trail []Step) (w Walk, whole bool) {
	for _, s := range trail {
		q, _, done := w.At()
		if done || q.ID != s.Question || !s.Answer.valid() {
			return w, false
		}
		w = w.Answer(s.Answer)
	}
	return w, true
}

// valid reports whether a is one of the three answers.
func (a Answer) valid() bool { return a == Yes || a == No || a == Unsure }

// At gives where the walk stands: at a question, or when it is done at an outcome.
func (w Walk) At() (q Question, o Outcome, done bool) {
	t := w.turn()
	if t.ask != NoQuestion {
		q, _ = t.ask.Question()
		return q, Outcome{}, false
	}
	o, _ = t.end.Outcome()
	return Question{}, o, true
}

// turn gives where the last answer led.
func (w Walk) turn() turn {
	if len(w.steps) == 0 {
		return ask(nodes[0].ID)
	}
	last := w.steps[len(w.steps)-1]
	n, _ := find(last.Question)
	t := n.to(last.Answer)
	if t.ask == NoQuestion && n.denies && w.leftOpen() {
		return end(NotSure)
	}
	return t
}

// to gives where an answer leads.
func (n node) to(a Answer) turn {
	switch a {
	case Yes:
		return n.yes
	case No:
		return n.no
	}
	return n.unsure
}

// leftOpen reports whether an answer of the walk was unsure.
func (w Walk) leftOpen() bool {
	return slices.ContainsFunc(w.steps, func(s Step) bool { return s.Answer == Unsure })
}

// Answer gives the walk after an answer. A walk that is done, or an answer that is none of the three,
// changes nothing.
func (w Walk) Answer(a Answer) Walk {
	q, _, done := w.At()
	if done || !a.valid() {
		return w
	}
	// Clip, so that two walks from the same place never write into one array.
	return Walk{append(slices.Clip(w.steps), Step{q.ID, a})}
}

// Back gives the walk before its last answer; at the first question it changes nothing.
func (w Walk) Back() Walk {
	if len(w.steps) == 0 {
		return w
	}
	return Walk{w.steps[:len(w.steps)-1]}
}

// Trail gives the answers so far, the first one first. The slice is the caller's own.
func (w Walk) Trail() []Step { return slices.Clone(w.steps) }
