package ui

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
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
	for _, screen := range []struct {
		name   string
		groups []keyGroup
	}{
		{"On the desk", deskMap.groups()},
		{"In a form", formMap.groups()},
		{"On the strap", strapMap.groups()},
		{"On a session's page", pileMap.groups()},
		{"A strap in sequence", sequenceMap.groups()},
		{"Taking in a list", takeInMap.groups()},
		{"Counting back", backMap.groups()},
		{"In the second look", lookMap.groups()},
		{"In a strap gone through once more", againMap.groups()},
		{"In the closer look", slices.Concat(closerMap.groups(), walkMap.groups(), askMap.groups())},
		{"Among the finds", findsMap.groups()},
		{"On the tally", append(tallyMap.groups(), reportMap.groups()...)},
		{"Among the keepers", append(keepersMap.groups(), keeperFormMap.groups()...)},
		{"Among the errands", errandsMap.groups()},
		{"In the star batch", append(append(batchMap.groups(), starFormMap.groups()...), runFormMap.groups()...)},
		{"On the watch list", watchMap.groups()},
		{"Among the definitions", definitionsMap.groups()},
		{"Among own patterns", append(ownMap.groups(), draftMap.groups()...)},
		{"On the comfort page", comfortMap.groups()},
		{"Everywhere", []keyGroup{{keys: everywhere.list()}}},
	} {
		fmt.Fprintf(&b, "\n%s:\n\n| key | what it does |\n| --- | --- |\n", screen.name)
		for _, g := range screen.groups {
			for _, k := range g.keys {
				fmt.Fprintf(&b, "| `%s` | %s |\n", name(k), k.Help().Desc)
			}
		}
	}
	b.WriteString("\n")
	return b.String()
}
