package ui

import (
	"strings"
	"testing"

	"app/unband/patterns"
)

// oneLine puts a text that was broken into lines together again.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

func printedOf(t *testing.T, topic string, s *patterns.Settings) string {
	t.Helper()
	var b strings.Builder
	if err := WriteTopic(&b, topic, s); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// What unband help prints is what the help pages say, and each topic is on one of them.
func TestTopicsAreWhatTheScreensSay(t *testing.T) {
	pages := map[string][]string{} // paragraphs of the help pages by their titles
	for _, m := range keyMaps() {
		for _, g := range m.groups() {
			pages[g.title] = append(pages[g.title], g.about...)
		}
	}
	for _, topic := range topics() {
		if !HasTopic(topic.name) || !strings.Contains(TopicList(), "unband help "+topic.name+" ") || !strings.Contains(TopicList(), topic.does) {
			t.Errorf("%s is not listed", topic.name)
		}
		if topic.tells == nil {
			continue
		}
		printed := oneLine(printedOf(t, topic.name, nil))
		if len(pages[topic.title]) == 0 {
			t.Errorf("no help page tells about %s", topic.name)
		}
		for _, paragraph := range pages[topic.title] {
			if !strings.Contains(printed, oneLine(paragraph)) {
				t.Errorf("%s: a help page says %q, and it is not printed", topic.name, paragraph)
			}
		}
	}
	if err := WriteTopic(&strings.Builder{}, "prices", nil); err == nil || HasTopic("prices") {
		t.Error("there is a topic prices")
	}
}

// The printed keys are those in force.
func TestKeysTopicFollowsTheKeys(t *testing.T) {
	withKeys(t, "strap keep: F2 Tab\n")
	if got := printedOf(t, "keys", nil); !strings.Contains(got, "\nstrap keep: F2 Tab ") {
		t.Errorf("the keys are\n%s", got)
	}
}

// The glossary has every rule with its example and its definition, those of a person's own too, by whatever settings.
func TestGlossaryIsComplete(t *testing.T) {
	own := patterns.DefaultSettings()
	own.Templates = []patterns.Template{{Pattern: "??1234??"}, {Pattern: "ABBACDDC"}}
	own.LowLimit = 10
	for what, s := range map[string]patterns.Settings{"as it comes": patterns.DefaultSettings(), "own": own} {
		b, err := patterns.NewBook(s)
		if err != nil {
			t.Fatal(err)
		}
		lines := glossaryOf(b, whoseNext).lines(helpWidth)
		text := oneLine(strings.Join(lines, "\n"))
		for _, r := range b.Rules() {
			if want := oneLine(r.Name + " as in " + r.Example.String() + ": " + r.Definition); !strings.Contains(text, want) {
				t.Errorf("%s: the glossary does not say %q", what, want)
			}
			if match, _ := b.Sets(r.Example); !match.Has(r.ID) {
				t.Errorf("%s: %v is no %s", what, r.Example, r.Name)
			}
		}
		if printed := printedOf(t, "patterns", &s); oneLine(printed) != text {
			t.Errorf("%s: printed is\n%s\nthe screen says\n%s", what, printed, text)
		}
	}
}

// A session keeps the definitions it was begun under: the glossary on its screens has those, the one on the desk those
// for the next session.
func TestGlossaryFollowsTheSession(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("desk w o p ??1234?? enter enter esc")
	b.play("? g")
	has := func() bool {
		for _, e := range b.app.help.patterns {
			if strings.Contains(e.name, "??1234??") {
				return true
			}
		}
		return false
	}
	if !has() {
		t.Errorf("the watch list's glossary lacks the pattern just made:\n%s", b.app.View())
	}
	b.play("? ?")
	if b.app.help != nil {
		t.Fatal("the help is still shown")
	}
	b.play("esc ? g")
	if !has() {
		t.Error("the desk's glossary lacks the pattern of the next session")
	}
	b.play("g ? r wait ? g")
	if has() {
		t.Error("the session's glossary has a pattern that it is not sorted under")
	}
	b.shows("of this session")
}
