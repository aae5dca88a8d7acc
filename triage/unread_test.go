package triage

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"app/unband/patterns"
)

func onlyHits(ids ...patterns.ID) patterns.Watch {
	var w patterns.Watch
	for _, id := range ids {
		w.Hit = w.Hit.With(id)
	}
	return w
}

// The answers are arithmetic, done by hand.
func TestUnreadWords(t *testing.T) {
	book := defaultBook()
	usual := book.DefaultWatch()
	radars := patterns.Watch{Hit: patterns.Set(0).With(patterns.Radar), Near: patterns.Set(0).With(patterns.Radar)}
	for _, c := range []struct {
		why, text string
		watch     patterns.Watch
		want      string
	}{
		{"I04: a radar if they are equal, nothing if not", "3?4554?3", usual, "a radar if both are equal"},
		{"one digit", "344?5443", radars, "a radar if it is 5"},
		{"three values", "4567890?", onlyHits(patterns.AllDifferent), "all different if it is 1, 2 or 3"},
		{"the order is that of the note", "12?4567?", onlyHits(patterns.LadderUp), "a ladder up if they are 3 and 8"},
		{"too many to name", "??11111?", onlyHits(patterns.FiveAlike), "five alike in 729 of 1,000 cases"},
		{"a pair and a digit", "3?4?54?3", onlyHits(patterns.Radar), "a radar in 10 of 1,000 cases"},
		{"two ends that can only be a radar's", "?345543?", onlyHits(patterns.Radar), "a radar if both are equal"},
		{"a solid is told as a solid only", "7777777?", onlyHits(patterns.Radar, patterns.Solid), "a solid if it is 7"},
		{"but as a radar where solids are not watched", "7777777?", onlyHits(patterns.Radar), "a radar if it is 7"},
		{"both one digit", "7?7777?7", onlyHits(patterns.Solid), "a solid if both are 7"},
		{"all three one digit", "7?7?77?7", onlyHits(patterns.Solid), "a solid if all three are 7"},
		{"nothing watched", "12??4321", onlyHits(patterns.Bookends2), "nothing on the watch list, whatever they are"},
		{"certain", "41?3??41", onlyHits(patterns.Bookends2), "two-digit bookends whatever they are"},
		{"near in the other cases, no hit watched", "344?5443", patterns.Watch{Near: radars.Near}, "a near radar in 9 of 10 cases"},
		{"the ten equal pairs, and 4 and 3 by a swap", "3?4554?4", radars, "a near radar in 11 of 100 cases"},
		{"certain, beside a hit", "111?5112", patterns.Watch{Hit: onlyHits(patterns.FourInRow).Hit, Near: onlyHits(patterns.Bookends3).Hit}, "four in a row if it is 1; nearly three-digit bookends whatever it is"},
		{"nothing is", "1??45??2", radars, "nothing on the watch list, whatever they are"},
		{"one, and nothing", "?2457291", radars, "nothing on the watch list, whatever it is"},
		{"not eight", "3?4554?", usual, ""},
		{"letters are not part of it", "K3?4554?3D", usual, ""},
		{"nothing unread", "34455443", usual, ""},
	} {
		if got := strings.Join(UnreadWords(book, c.watch, c.text), "; "); got != c.want {
			t.Errorf("%s: %s is %q, want %q", c.why, c.text, got, c.want)
		}
	}
}

var couldWords = regexp.MustCompile(`^(.*?),? (whatever (?:it is|they are)|if .*|in [0-9,]+ of [0-9,]+ cases)$`)

// Every sentence is taken at its word and tried on every filling; no watched rule is passed over.
func TestUnreadWordsAreTrueOfEveryFilling(t *testing.T) {
	book := defaultBook()
	r := rand.New(rand.NewPCG(4, 1862))
	rules := book.Rules()
	tried := &strings.Builder{}
	for i := range 300 {
		watch := book.DefaultWatch()
		if i%2 == 1 {
			watch = patterns.Watch{Hit: patterns.Set(r.Uint64()), Near: patterns.Set(r.Uint64())}
		}
		text := []byte(rules[r.IntN(len(rules))].Example.String())
		if i%5 == 0 {
			text[r.IntN(8)] = '0' + byte(r.IntN(10))
		}
		unread := 1 + r.IntN(2)
		if i%10 == 0 {
			unread = 3
		}
		for _, place := range r.Perm(8)[:unread] {
			text[place] = '?'
		}
		c := newWordsCheck(t, book, watch, string(text))
		c.everySentence()
		c.nothingPassedOver()
		fmt.Fprintln(tried, strings.Join(c.words, "\n"))
	}
	for _, form := range []string{"whatever it is", "whatever they are", " if it is", " if both are equal", " if they are", " if both are", " of 100 cases", "nothing"} {
		if !strings.Contains(tried.String(), form) {
			t.Errorf("no sentence with %q was tried", form)
		}
	}
}

// A filling is the digits filled in, and what the serial then is.
type filling struct {
	digits string
	judged patterns.Judgement
}

// A wordsCheck compares the words about one text with every filling of it.
type wordsCheck struct {
	t       *testing.T
	book    *patterns.Book
	watch   patterns.Watch
	text    string
	filled  []filling
	words   []string
	subject map[string]patterns.Watch // the watched rule that a name in the words means
	said    map[string]bool           // the names in the words
}

func newWordsCheck(t *testing.T, book *patterns.Book, watch patterns.Watch, text string) *wordsCheck {
	c := &wordsCheck{t: t, book: book, watch: watch, text: text, words: UnreadWords(book, watch, text),
		subject: map[string]patterns.Watch{}, said: map[string]bool{}}
	c.fill(text, "")
	for _, rule := range book.Rules() {
		one := patterns.Set(0).With(rule.ID)
		c.subject[couldName(rule, false)] = patterns.Watch{Hit: one & watch.Hit}
		c.subject[couldName(rule, true)] = patterns.Watch{Near: one & watch.Near}
	}
	return c
}

func (c *wordsCheck) fill(text, digits string) {
	i := strings.IndexByte(text, '?')
	if i < 0 {
		d, err := patterns.ParseDigits(text)
		if err != nil {
			c.t.Fatal(err)
		}
		c.filled = append(c.filled, filling{digits, c.book.Judge(d)})
		return
	}
	for digit := '0'; digit <= '9'; digit++ {
		c.fill(text[:i]+string(digit)+text[i+1:], digits+string(digit))
	}
}

func (c *wordsCheck) everySentence() {
	for _, sentence := range c.words {
		parts := couldWords.FindStringSubmatch(sentence)
		if parts == nil {
			c.t.Fatalf("%s: %q is not understood", c.text, sentence)
		}
		name, when := parts[1], parts[2]
		if c.said[name] {
			c.t.Errorf("%s: %q is told twice", c.text, name)
		}
		c.said[name] = true
		n := 0
		for _, f := range c.filled {
			is := c.is(f, name)
			if is {
				n++
			}
			if want, counted := holds(c.t, when, f.digits); !counted && is != want {
				c.t.Fatalf("%s: %q, but filled with %q it is %v", c.text, sentence, f.digits, is)
			}
		}
		if want := fmt.Sprintf("in %s of %s cases", Thousands(n), Thousands(len(c.filled))); strings.HasPrefix(when, "in ") && when != want {
			c.t.Errorf("%s: %q, counted %s", c.text, sentence, want)
		}
	}
}

// is reports whether a filling is what the words call it.
func (c *wordsCheck) is(f filling, name string) bool {
	match, near := f.judged.Match(), f.judged.NearSet()
	if name == "nothing on the watch list" {
		return match&c.watch.Hit == 0 && near&c.watch.Near == 0
	}
	one := c.subject[name]
	return match&one.Hit != 0 || near&one.Near != 0
}

func (c *wordsCheck) nothingPassedOver() {
	hits := false
	for _, f := range c.filled {
		hits = hits || f.judged.Match()&c.watch.Hit != 0
	}
	for _, f := range c.filled {
		for _, found := range f.judged.Findings {
			rule, _ := c.book.Rule(found.Rule)
			if c.watch.Hit.Has(rule.ID) && !c.said[couldName(rule, false)] {
				c.t.Errorf("%s: filled with %q it is a hit, %s, but the words are %q", c.text, f.digits, rule.Name, c.words)
			}
		}
		for _, near := range f.judged.Near {
			rule, _ := c.book.Rule(near.Rule)
			if c.watch.Near.Has(rule.ID) && !hits && !c.said[couldName(rule, true)] {
				c.t.Errorf("%s: filled with %q it is near %s, but the words are %q", c.text, f.digits, rule.Name, c.words)
			}
		}
	}
}

var plainDigits = regexp.MustCompile(`[0-9]`)

// holds says whether the digits are what the sentence asks for; counted when it only counts.
func holds(t *testing.T, when, digits string) (ok, counted bool) {
	same := strings.Count(digits, digits[:1]) == len(digits)
	said := plainDigits.FindAllString(when, -1)
	for all, n := range map[string]int{"if both are": 2, "if all three are": 3} {
		if strings.HasPrefix(when, all) {
			if n != len(digits) {
				t.Errorf("%q of %d digits", when, len(digits))
			}
			return same && (strings.HasSuffix(when, " equal") || digits[:1] == said[0]), false
		}
	}
	switch {
	case strings.HasPrefix(when, "in "):
		return false, true
	case when == "whatever it is" && len(digits) == 1, when == "whatever they are" && len(digits) > 1:
		return true, false
	case strings.HasPrefix(when, "if it is ") && len(digits) == 1:
		return slices.Contains(said, digits), false
	case strings.HasPrefix(when, "if they are ") && len(digits) == len(said):
		return digits == strings.Join(said, ""), false
	}
	t.Errorf("%q is not understood for %d digits", when, len(digits))
	return false, false
}

func TestUnreadWordsOfAnOwnPattern(t *testing.T) {
	s := patterns.DefaultSettings()
	s.Templates = []patterns.Template{{Pattern: "ABBACDDC"}, {Pattern: "A?A?A???"}}
	s.Numbers = []patterns.OwnNumber{{Number: "1607"}}
	book, err := patterns.NewBook(s)
	if err != nil {
		t.Fatal(err)
	}
	watch := onlyHits(patterns.FirstTemplate, patterns.FirstTemplate+1, patterns.OwnNumbers)
	rule, _ := book.Rule(patterns.FirstTemplate)
	other, _ := book.Rule(patterns.FirstTemplate + 1)
	for text, want := range map[string]string{
		"2?321??1": rule.Name + " in 7 of 1,000 cases", // a 3, and two equal digits that are not 1, 2 or 3
		"233?1661": rule.Name + " if it is 2",
		"?1?2?345": other.Name + " if all three are equal",
		"82?60?35": "an own number if they are 1 and 7",
		"82?60735": "an own number if it is 1",
	} {
		if got := strings.Join(UnreadWords(book, watch, text), "; "); got != want {
			t.Errorf("%s is %q, want %q", text, got, want)
		}
	}
}

func BenchmarkUnreadWords(b *testing.B) {
	book := defaultBook()
	watch := book.DefaultWatch()
	for b.Loop() {
		UnreadWords(book, watch, "3?4554?3")
	}
}
