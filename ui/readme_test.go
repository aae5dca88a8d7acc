package ui

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/charmbracelet/bubbles/key"
)

// TestReadmeKeys keeps the README's tables of keys the same as the key maps.
func TestReadmeKeys(t *testing.T) {
	const path, begin, end = "../README.md", "<!-- keys: written by go test ./ui -run TestReadmeKeys -update -->\n", "<!-- end of keys -->"
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	before, rest, ok := strings.Cut(string(data), begin)
	old, after, ok2 := strings.Cut(rest, end)
	if !ok || !ok2 {
		t.Fatal("the README has lost the marks of its key tables")
	}
	got := keyTables()
	if *update {
		if err := os.WriteFile(path, []byte(before+begin+got+end+after), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if got != old {
		t.Errorf("the README's keys are\n%s\nthe key maps say\n%s", old, got)
	}
}

// TestReadmeSchema keeps the schema in the README the one that reports are tested against.
func TestReadmeSchema(t *testing.T) {
	schema, err := os.ReadFile("../testdata/report/schema.json")
	if err != nil {
		t.Fatal(err)
	}
	readme, err := os.ReadFile("../README.md")
	if err != nil || !strings.Contains(string(readme), "```json\n"+string(schema)+"```") {
		t.Errorf("the README does not have the schema of testdata/report/schema.json (%v)", err)
	}
}

func keyTables() string {
	var b strings.Builder
	b.WriteString("\n## Keys\n")
	for _, m := range keyMaps() {
		fmt.Fprintf(&b, "\n%s (`%s` in a file of keys):\n\n| key | in a file | what it does |\n| --- | --- | --- |\n", m.heading, m.id)
		for _, g := range m.groups() {
			for _, k := range g.keys {
				fmt.Fprintf(&b, "| `%s` | %s | %s |\n", name(k), calledInFile(m, k), everyName(k))
			}
		}
	}
	b.WriteString("\n")
	return b.String()
}

// calledInFile is what a file of keys calls a key of a map.
func calledInFile(m keyMap, k key.Binding) string {
	for _, a := range actionsOf(m.keys) {
		if name(*a.binding) == name(k) {
			if a.typedIn() {
				return ""
			}
			return a.name
		}
	}
	for _, a := range actions() { // it is of another map
		if slices.Equal(a.binding.Keys(), k.Keys()) && in(a.binding, m.also) {
			return "`" + a.String() + "`"
		}
	}
	return ""
}
