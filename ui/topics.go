package ui

import (
	"fmt"
	"io"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/flaws"
)

// A topic is something the help pages tell besides the keys. unband help prints the same text.
type topic struct {
	name, does string // what follows unband help, and what it tells
	title      string
	tells      func() []string // a paragraph each; nil where the text is made from what is in force
}

var (
	aboutWords = topic{"words", "what the words on the screens mean", "The words", func() []string {
		return []string{
			"Hit: a serial that is one of the patterns on the watch list. Near miss: one other digit, or two neighbours swapped, would make it one.",
			"Settled: no pattern you watch is possible any more, nor near, whatever digits follow. Glance: a note that is spent unread.",
			"Pause: the wait before a decision key counts. Re-read: the doubtful digits are typed once more from the note. Second look: the near misses that were spent are gone through at the end. Closer look: everything about one note besides its serial.",
			"Sitting: one evening. Session: one pile from one place on one day, over as many sittings as it takes. Errand: what is left to do afterwards.",
		}
	}}
	aboutPause = topic{"pause", "why a decision key waits", "The pause", func() []string {
		p := triage.DefaultPauses()
		return []string{
			fmt.Sprintf("When the last digit is in, the decision keys are deaf while the bar fills: %v s for an ordinary note, %v s for one that stops you, unless you chose otherwise on the watch list. So the note is looked at, and not only the screen.",
				p.Plain.Seconds(), p.Stop.Seconds()),
			"A key that comes too early is dropped, not saved up, and has to rest before it counts: a key held down decides at most one note.",
			"Against your own rule, and where the serial is in doubt, it takes the same key twice, each time after a pause. What comes in one burst or is pasted decides nothing.",
		}
	}}
	aboutNear = topic{"near", "near misses, the re-read and the second look", "Near misses", func() []string {
		return []string{
			"A near miss may be the pattern itself, misread. Before it is spent, the digits in doubt are blanked and read from the note again.",
			"The same digits: it is spent, and comes up once more in the second look, while it can still be found. The digit that completes the pattern: it is a hit now. Another: it is judged anew.",
			"Misread one digit of a pattern whose near misses are watched, or swap two neighbours, and you are stopped. What that costs stands on the watch list.",
		}
	}}
	aboutStars = topic{"stars", "star notes, their batch and their runs", "Stars", func() []string {
		return []string{
			"A star note was printed in place of a spoiled one. How many were made is said by its run, in the published monthly lists, and not by its digits; so stars wait here and are looked up together, once for each denomination, series and bank.",
			"A star is in a run; or in a gap that was never printed, so that it has to be read again; or beyond what the list knows, which is not the same as rare.",
			"unband runs import FILE reads a whole list of runs.",
		}
	}}
	aboutCounting = topic{"counting", "counting back what goes to the bank", "Counting back", func() []string {
		return []string{
			"What the bands promised, less what was kept and set aside, and with what you put in place of keepers, is what goes back. Count it by hand before it leaves: afterwards no difference can be found.",
			"A difference is named with what may be behind it: a note stuck to another, one entered twice, a keeper that was not replaced. The straps to look at first are named, too.",
		}
	}}
	aboutCautions = topic{"cautions", "suspected counterfeits, damaged notes, cash, clean hands", "Cautions", func() []string {
		var list []string
		for _, c := range flaws.Cautions() {
			text := c.Title + " (" + c.Authority + "):"
			for _, p := range c.Points {
				text += " " + p.Text
			}
			list = append(list, text)
		}
		return list
	}}
	aboutFile = topic{"file", "where everything is, backups, what to do when the disk fails", "The file", func() []string {
		return []string{
			"Everything is in one file, and a decision is on the disk before the screen says so: the program can be left, or the plug pulled, at any key.",
			"After each strap a copy is made beside the file. unband backup makes one more, unband check compares every total with the notes, unband rescue saves what can be read of a damaged file.",
			"Keep the file on a disk of this machine, not in a folder that a cloud program copies; backups may lie there.",
		}
	}}
	aboutPatterns = topic{"patterns", "every pattern with an example, by the definitions in force", "The patterns", nil}
	aboutKeys     = topic{"keys", "the keys in force, as a file of keys", "The keys", nil}
)

// topics are all there are.
func topics() []topic {
	return []topic{aboutKeys, aboutPatterns, aboutWords, aboutPause, aboutNear, aboutStars, aboutCounting, aboutCautions, aboutFile}
}

// group is a topic as a part of a help page.
func (t topic) group() keyGroup { return keyGroup{title: t.title, about: t.tells()} }

// helpWidth is how wide the texts are printed, in cells.
const helpWidth = 79

// TopicList lists what WriteTopic tells about, a line each.
func TopicList() string {
	var b strings.Builder
	for _, t := range topics() {
		fmt.Fprintf(&b, "  unband help %-10s %s\n", t.name, t.does)
	}
	return b.String()
}

// HasTopic reports whether WriteTopic tells about a topic.
func HasTopic(name string) bool {
	for _, t := range topics() {
		if t.name == name {
			return true
		}
	}
	return false
}

// WriteTopic writes what the help pages tell about a topic of TopicList. The patterns are those of the settings; nil
// stands for the settings of a new user. The error is that of a topic there is not, of settings that cannot be
// used, or of the writer.
func WriteTopic(w io.Writer, name string, s *patterns.Settings) error {
	for _, t := range topics() {
		switch {
		case t.name != name:
			continue
		case t.name == aboutKeys.name:
			return WriteKeys(w)
		case t.name == aboutPatterns.name:
			return writePatterns(w, s)
		}
		return writeLines(w, t.group().lined(helpWidth))
	}
	return fmt.Errorf("there is no topic %q", printable(name))
}

func writePatterns(w io.Writer, s *patterns.Settings) error {
	whose := whoseNext
	if s == nil {
		usual := patterns.DefaultSettings()
		s, whose = &usual, whoseDefault
	}
	b, err := patterns.NewBook(*s)
	if err != nil {
		return err
	}
	return writeLines(w, glossaryOf(b, whose).lines(helpWidth))
}

// writeLines writes lines of a screen without colours.
func writeLines(w io.Writer, lines []string) error {
	var b strings.Builder
	for _, line := range lines {
		b.WriteString(strings.TrimRight(ansi.Strip(line), " ") + "\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}
