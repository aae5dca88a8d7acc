package ui

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"app/unband/triage"
)

// withKeys puts keys in force for one test.
func withKeys(t *testing.T, file string) {
	t.Helper()
	k, err := ReadKeys(strings.NewReader(file), "keys")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(k.Use())
}

// Every key map of the package is on the list: else its keys could be neither changed nor told.
func TestEveryKeyMapIsListed(t *testing.T) {
	paths, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, path := range paths {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range file.Decls {
			g, ok := d.(*ast.GenDecl)
			if !ok || g.Tok != token.TYPE {
				continue
			}
			for _, s := range g.Specs {
				s := s.(*ast.TypeSpec)
				if _, is := s.Type.(*ast.StructType); !is || !strings.HasSuffix(s.Name.Name, "Keys") || s.Name.IsExported() {
					continue
				}
				found++
				if !slices.ContainsFunc(keyMaps(), func(m keyMap) bool { return strings.HasSuffix(typeName(m.keys), "."+s.Name.Name) }) {
					t.Errorf("keyMaps does not list %s", s.Name.Name)
				}
			}
		}
	}
	if found != len(keyMaps()) {
		t.Errorf("%d types of keys, %d key maps listed", found, len(keyMaps()))
	}
}

// typeName is the name of the type of a key map.
func typeName(keys any) string { return reflect.TypeOf(keys).Elem().String() }

// Every key of a map is in its groups, so that help page and README have it.
func TestEveryKeyIsInTheHelp(t *testing.T) {
	for _, m := range keyMaps() {
		shown := map[string]bool{}
		for _, g := range m.groups() {
			for _, k := range g.keys {
				shown[strings.Join(append(k.Keys(), name(k)), " ")] = true
			}
		}
		heard := m.also
		for _, a := range actionsOf(m.keys) {
			heard = append(heard, a.binding)
		}
		for _, b := range heard {
			if in(b, []*key.Binding{&againMap.Onward, &againMap.Backward}) && m.id == "closer" || m.id == "file" && in(b, m.also) {
				continue // only in a strap gone through once more, which adds them; the page that has the file has them
			}
			if !shown[strings.Join(append(b.Keys(), name(*b)), " ")] {
				t.Errorf("the help of %s does not have %s (%s)", m.id, name(*b), b.Help().Desc)
			}
		}
	}
}

// The keys as they come pass what a file of keys must pass, when every line of them is given.
func TestKeysAsTheyComeHaveNoClash(t *testing.T) {
	var all strings.Builder
	if err := WriteKeys(&all); err != nil {
		t.Fatal(err)
	}
	k, err := ReadKeys(strings.NewReader(all.String()), "keys")
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range actions() {
		if a.typedIn() {
			continue
		}
		if !slices.Equal(k.names[a.binding], delivered[a.binding]) {
			t.Errorf("%s was written as %v and read as %v", a, delivered[a.binding], k.names[a.binding])
		}
	}
	defer k.Use()()
	for _, a := range actions() {
		for _, one := range a.binding.Keys() {
			if nameOf(one) == "" {
				t.Errorf("%s: %q has no name", a, one)
			}
		}
	}
	var again strings.Builder
	if err := WriteKeys(&again); err != nil || again.String() != all.String() {
		t.Errorf("written again the keys are\n%s\nwant\n%s (%v)", again.String(), all.String(), err)
	}
}

// refusals are files that are refused, with the line that is named and words of the reason.
var refusals = []struct {
	file string
	line int
	says string
}{
	{"desk resum: F2", 1, `"resum" is nothing that is done on the screen desk`},
	{"# mine\n\ntill keep: F2", 3, `no screen "till"`},
	{"strap keep: Hyper", 1, `"Hyper" is no key`},
	{"strap keep: ++", 1, `"++" is no key`},
	{"strap keep: Alt+K", 1, `is no key`},
	{"strap keep: Ctrl+1", 1, `is no key`},
	{"strap keep:", 1, "would have no key"},
	{"strap keep: # only a comment", 1, "would have no key"},
	{"strap keep = +", 1, "is no line of keys"},
	{"strap: +", 1, "is no line of keys"},
	{"strap keep: F2\nstrap keep: F3", 2, "has its keys in line 1 already"},
	{"strap digits: F2", 1, "is what is typed"},
	{"strap keep: -", 1, "- is the key of strap keep and of strap spend (as it comes)"},
	{"strap keep: F2\nstrap spend: F2", 2, "F2 is the key of strap spend and of strap keep (line 1)"},
	{"desk new: R", 1, "R is the key of desk new and of desk resume"},
	{"desk new: r", 1, "R is the key of desk new"},
	{"desk new: ?", 1, "everywhere help"},
	{"desk new: Ctrl+C", 1, "everywhere leave"},
	{"strap keep: F1", 1, "everywhere help-text"},
	{"everywhere leave: R", 1, "R is"},
	{"everywhere help: R", 1, "R is"},
	{"everywhere help: 7", 1, "part of a serial"},
	{"text erase: Ctrl+T", 1, "closer ask"},
	{"again onward: Down", 1, "Down"},
	{"strap keep: K", 1, "K is part of a serial on the screen strap"},
	{"strap keep: 0", 1, "0 is part of a serial"},
	{"strap keep: *", 1, "* is part of a serial"},
	{"second-look keep: k", 1, "part of a serial"},
	{"form next: +", 1, "+ is text on the screen form"},
	{"form done: Space", 1, "Space is text"},
	{"errands leave: Q", 1, "Q is text on the screen errands"},
	{"text clear: @", 1, "@ is text"},
	{"strap spend: Esc", 1, "cut short"},
	{"strap spend: Home", 1, "NumLock"},
	{"strap enter: Ctrl+M", 1, "cannot tell Ctrl+M from Enter"},
	{"strap keep: \xff", 1, "UTF-8"},
	{"strap keep: \u00a0 \u200b", 1, "is no key"},
	{strings.Repeat("# x\n", longestKeyFile/4+1), 0, "longer than"},
}

func TestKeysRefused(t *testing.T) {
	for _, c := range refusals {
		k, err := ReadKeys(strings.NewReader(c.file), "mine")
		wrong, ok := err.(*KeysError)
		if !ok || len(k.names) > 0 {
			t.Errorf("%.60q was not refused", c.file)
			continue
		}
		f := wrong.Faults[0]
		if len(wrong.Faults) != 1 || f.Line != c.line || f.Next == "" || !strings.Contains(strings.ReplaceAll(f.What, "↓", "Down"), c.says) || !strings.Contains(err.Error(), "mine") {
			t.Errorf("%.60q is refused by\n%v\nwant line %d, %q", c.file, err, c.line, c.says)
		}
	}
}

// What is meant is read, however it is written.
func TestKeysRead(t *testing.T) {
	for file, want := range map[string][]string{
		"strap keep: F2 ↑ # up, too":               nil, // the arrow decides nothing
		"strap keep: F2 # keep it":                 {"f2"},
		"\ufeffSTRAP Keep:f2 ctrl+k shift+TAB\r\n": {"f2", "ctrl+k", "shift+tab"},
		"strap keep: + #":                          {"+", "#"},
		"strap keep: : ;":                          {":", ";"},
		"strap keep: ß ;":                          {"ß", ";"},
		"strap keep: -\nstrap spend: +":            {"-"},
		"strap keep: F2 F2":                        {"f2"},
	} {
		k, err := ReadKeys(strings.NewReader(file), "keys")
		if (err != nil) != (want == nil) {
			t.Errorf("%q: %v", file, err)
			continue
		}
		undo := k.Use()
		if got := strapMap.Keep.Keys(); want != nil && !slices.Equal(got, want) {
			t.Errorf("%q gives %q, want %q", file, got, want)
		}
		undo()
	}
	if got := strapMap.Keep.Keys(); !slices.Equal(got, []string{"+", "="}) || name(strapMap.Keep) != "+" {
		t.Errorf("afterwards keep is %q", got)
	}
}

// A file that is not there is no fault unless it was named; one that cannot be read always is.
func TestKeysNamed(t *testing.T) {
	folder := t.TempDir()
	mine := filepath.Join(folder, "mine")
	if err := os.WriteFile(mine, []byte("strap keep: F2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if k, err := KeysNamed(StandardKeys); err != nil || len(k.names) > 0 {
		t.Errorf("the standard keys: %v, %d changed", err, len(k.names))
	}
	for name, refused := range map[string]bool{mine: false, LeftHand: false, folder: true, filepath.Join(folder, "none"): true} {
		k, err := KeysNamed(name)
		if (err != nil) != refused || err == nil && len(k.names) == 0 {
			t.Errorf("%s: %v, %d keys", name, err, len(k.names))
		}
	}
}

// A strap is sorted with the keys for the left hand: every screen on the way says which they are, and the old ones
// work, too.
func TestStrapWithTheLeftHand(t *testing.T) {
	withKeys(t, leftHand)
	b := newTable(t)
	b.begin("Friday float")
	b.play("48160297C wait")
	b.shows("Tab keep", "` spend", "Shift+Tab back", "Ctrl+E closer look")
	b.play("` B70633607C wait tab 70633507 wait `")
	b.shows("read the 2 blanked digits from the note again, then Space")
	b.play("65 space wait 35120846 wait <")
	b.play("wait shift+tab")
	b.shows("note 4", "Space returns to")
	b.play("space L35120847D")
	b.press(words["ctrl+w"])
	b.press(words["ctrl+w"])
	b.play("wait")
	b.shows("settled", "Tab keep")
	if at := b.app.screen.(*strap).sorter.Hand().Entry.Digits; at != "3512084" {
		t.Errorf("two keys taken back leave %s", at)
	}
	b.press(words["ctrl+r"])
	b.play("wait `") // a glance
	b.play("12345679 wait -")
	b.play("?")
	b.shows("Tab        keep (also + =)")
	b.play("? ")
	var got []string
	for _, n := range b.notes(1, 1) {
		got = append(got, n.Serial.String()+" "+n.Decision.String())
	}
	want := []string{"48160297C spent", "B70633607C kept", "70633507 spent", "35120846 spent", "········ spent unread"}
	if len(got) < len(want) || !slices.Equal(got[:len(want)], want) {
		t.Errorf("the file has %q, want %q", got, want)
	}
	b.sound()
	if n := b.notes(1, 1)[2]; n.Reread == triage.NotReread {
		t.Errorf("the near miss was never read again: %+v", n)
	}
}

// A key that is set to be a character can come in a burst with others, which no Enter can: it does nothing then.
func TestKeysInABurst(t *testing.T) {
	withKeys(t, "strap enter: ;\nstrap erase: ~\nsecond-look enter: ;\n")
	b := newTable(t)
	b.begin("Friday float")
	b.play("70633507 wait -")
	b.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("65;")})
	if n := len(b.notes(1, 1)); n != 0 {
		t.Errorf("a burst decided %d notes", n)
	}
	b.shows("; came in one burst")
	b.play("wait ;")
	if n := len(b.notes(1, 1)); n != 1 {
		t.Errorf("the key alone decided %d notes", n)
	}
}

// FuzzKeysFile reads anything: no panic, and what is accepted has no key with two meanings, can be written and read
// again, and is gone when undone.
func FuzzKeysFile(f *testing.F) {
	f.Add(leftHand)
	for _, c := range refusals {
		if len(c.file) < 1000 {
			f.Add(c.file)
		}
	}
	f.Add("\ufeffstrap keep: - # less\r\nstrap spend: +\r\n")
	var before strings.Builder
	if err := WriteKeys(&before); err != nil {
		f.Fatal(err)
	}
	f.Add(before.String())
	f.Fuzz(func(t *testing.T, file string) {
		k, err := ReadKeys(strings.NewReader(file), "keys")
		if err != nil {
			if wrong, ok := err.(*KeysError); !ok || len(wrong.Faults) == 0 || strings.ContainsAny(err.Error(), "\x1b\x07\r\x00") {
				t.Fatalf("%q", err)
			}
			return
		}
		undo := k.Use()
		for _, m := range keyMaps() {
			meant := map[string]*key.Binding{}
			for _, b := range m.heard() {
				for _, one := range b.Keys() {
					if other := meant[one]; other != nil && other != b {
						t.Fatalf("%q has two meanings on %s", one, m.id)
					}
					meant[one] = b
				}
			}
		}
		for b := range delivered {
			if named := name(*b); named == "" {
				t.Fatalf("a key has no name: %q", b.Help().Desc)
			}
		}
		var written, again strings.Builder
		WriteKeys(&written)
		undo()
		same, err := ReadKeys(strings.NewReader(written.String()), "keys")
		if err != nil {
			t.Fatalf("what was written is refused: %v\n%s", err, written.String())
		}
		undo = same.Use()
		WriteKeys(&again)
		undo()
		if again.String() != written.String() {
			t.Fatalf("written again it differs:\n%s\nand\n%s", written.String(), again.String())
		}
		again.Reset()
		if WriteKeys(&again); again.String() != before.String() {
			t.Fatal("the keys were not put back")
		}
	})
}
