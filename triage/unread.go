package triage

import (
	"fmt"
	"strings"

	"app/unband/patterns"
)

// NothingWatched is how the words on unread digits begin that can be nothing watched.
const NothingWatched = "nothing on the watch list"

// UnreadWords says what a serial with unread digits could be: one watched rule each, the rarest first, as
// "a radar if both are equal", "a ladder up if they are 3 and 7" (in this order, from the left) or "a
// radar in 10 of 100 cases". Each is exactly true and nothing is guessed. A near miss is told where it
// is certain, or where no watched rule can be met: else the digits are to be read for a hit anyway. The
// text is eight characters, digits and ?; of any other, or with nothing unread, it is nil.
func UnreadWords(book *patterns.Book, watch patterns.Watch, text string) []string {
	all, err := book.Unread(text, watch)
	if err != nil {
		return nil
	}
	unread := strings.Count(text, string(patterns.UnreadSign))
	hits := len(all) > 0 && !all[0].Near // they come first
	var words []string
	for _, c := range all {
		if c.Told == 0 || c.Near && hits && !c.Always() {
			continue
		}
		r, _ := book.Rule(c.Rule)
		words = append(words, couldName(r, c.Near)+" "+couldIf(c, unread))
	}
	if words == nil {
		return []string{NothingWatched + ", whatever " + theyAre(unread)}
	}
	return words
}

// couldName puts a or an before a name that is one thing: seven in a row are several, and an own pattern
// is called as its owner calls it.
func couldName(r patterns.Rule, near bool) string {
	name := Printable(r.Name)
	first, _, _ := strings.Cut(name, " ")
	switch first {
	case "four", "five", "six", "seven", "all", "two-digit", "three-digit":
		first = ""
	}
	several := first == "" || r.ID >= patterns.FirstTemplate
	switch {
	case near && several:
		return "nearly " + name
	case near:
		return "a near " + name
	case several:
		return name
	case strings.ContainsRune("aeiou", rune(name[0])):
		return "an " + name
	}
	return "a " + name
}

// couldIf says for which digits a rule holds.
func couldIf(c patterns.Could, unread int) string {
	switch {
	case c.Always():
		return "whatever " + theyAre(unread)
	case c.Equal:
		return "if " + allOf(unread) + " are equal"
	case unread == 1 && c.Fillings == len(c.First):
		return "if it is " + listed(c.First, "or")
	case c.Fillings == 1 && unread > 1:
		digits := strings.Split(c.First[0], "")
		if strings.Count(c.First[0], digits[0]) == unread {
			return "if " + allOf(unread) + " are " + digits[0]
		}
		return "if they are " + listed(digits, "and")
	}
	return fmt.Sprintf("in %s of %s cases", Thousands(c.Fillings), Thousands(c.Of))
}

func theyAre(unread int) string {
	if unread == 1 {
		return "it is"
	}
	return "they are"
}

func allOf(unread int) string {
	if unread == 2 {
		return "both"
	}
	return "all " + [...]string{3: "three", 4: "four", 5: "five", 6: "six", 7: "seven", 8: "eight"}[unread]
}

// listed writes words with commas, and the last with "and" or "or" before it.
func listed(words []string, joint string) string {
	last := len(words) - 1
	if last == 0 {
		return words[0]
	}
	return strings.Join(words[:last], ", ") + " " + joint + " " + words[last]
}
