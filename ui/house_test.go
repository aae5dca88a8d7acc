package ui_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// These tests hold the house rules of DEVELOPERS.md that a compiler does not.

// root is the top of the project, seen from this package.
const root = ".."

const module = "app/unband"

// storeys has the rooms in the order in which they may import: each those after
// it. main stands for the files at the top.
var storeys = []string{"main", "ui", "store", "triage", "patterns"}

// A source is one Go file of ours.
type source struct {
	path string // slashes, from the top
	room string
	test bool
	file *ast.File
}

// sources parses every Go file of the project, with comments.
func sources(t *testing.T) (files []source, positions *token.FileSet) {
	t.Helper()
	positions = token.NewFileSet()
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if d.IsDir() && path != root && (strings.HasPrefix(name, ".") || name == "testdata") {
			return filepath.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(name, ".go") {
			return nil
		}
		file, err := parser.ParseFile(positions, path, nil, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		files = append(files, source{rel, roomOf(rel), strings.HasSuffix(rel, "_test.go"), file})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(files) == 0 {
		t.Fatal("no Go files found")
	}
	return files, positions
}

// roomOf returns the first folder of a path from the top, "main" for the top
// itself.
func roomOf(path string) string {
	room, _, inside := strings.Cut(path, "/")
	if !inside {
		return "main"
	}
	return room
}

// imported returns the import paths of a file.
func imported(s source) []string {
	var paths []string
	for _, spec := range s.file.Imports {
		path, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			panic(err) // the parser has accepted it
		}
		paths = append(paths, path)
	}
	return paths
}

// under reports whether path is the package or module pkg, or lies inside it.
func under(path, pkg string) bool {
	return path == pkg || strings.HasPrefix(path, pkg+"/")
}

func TestImports(t *testing.T) {
	files, _ := sources(t)
	for _, s := range files {
		for _, path := range imported(s) {
			if wrong := importFault(s.room, s.test, path); wrong != "" {
				t.Errorf("%s imports %s: %s", s.path, path, wrong)
			}
		}
	}
}

// importFault says which rule an import breaks, "" for none.
func importFault(room string, test bool, path string) string {
	from := slices.Index(storeys, room)
	if from < 0 {
		return "this folder is no room of the project"
	}
	if under(path, module) {
		to := slices.Index(storeys, roomOf(strings.TrimPrefix(path, module+"/")+"/"))
		if to < from {
			return "imports run one way, " + strings.Join(storeys, " → ")
		}
		return ""
	}
	switch {
	case under(path, "go.etcd.io/bbolt") && room != "store":
		return "only store knows how things are stored"
	case (under(path, "github.com/charmbracelet/bubbletea") || under(path, "github.com/charmbracelet/bubbles")) && from > 1:
		return "only ui and main.go know of the screen"
	case test:
		return ""
	case under(path, "net"):
		return "the program does not use the network"
	case room == "patterns" && strings.Contains(strings.Split(path, "/")[0], "."):
		return "patterns uses the standard library only"
	}
	return ""
}

// TestImportFault holds the rule itself, which would pass on anything if it were
// broken.
func TestImportFault(t *testing.T) {
	for _, c := range []struct {
		room string
		test bool
		path string
		ok   bool
	}{
		{"main", false, "app/unband/store", true},
		{"main", false, "github.com/charmbracelet/bubbletea", true},
		{"ui", false, "app/unband/ui/terminal", true},
		{"ui", false, "app/unband/patterns", true},
		{"store", false, "app/unband/triage/currency", true},
		{"store", false, "go.etcd.io/bbolt/errors", true},
		{"patterns", false, "math/bits", true},
		{"patterns", false, "app/unband/patterns/shape", true},
		{"patterns", true, "github.com/dlclark/regexp2", true},
		{"triage", false, "app/unband/store", false},
		{"triage", true, "app/unband/ui", false},
		{"patterns", false, "app/unband/triage", false},
		{"ui", false, "app/unband", false},
		{"ui", false, "go.etcd.io/bbolt", false},
		{"ui", true, "go.etcd.io/bbolt", false},
		{"store", false, "github.com/charmbracelet/bubbletea", false},
		{"triage", true, "github.com/charmbracelet/bubbles/key", false},
		{"patterns", false, "gonum.org/v1/gonum/stat", false},
		{"main", false, "net/http", false},
		{"ui", false, "net", false},
		{"tools", false, "fmt", false},
	} {
		if got := importFault(c.room, c.test, c.path); (got == "") != c.ok {
			t.Errorf("%s importing %s (test %v): %q, want ok %v", c.room, c.path, c.test, got, c.ok)
		}
	}
}

// TestClock holds that triage is told the time and never looks: what it decides
// then depends on its arguments alone.
func TestClock(t *testing.T) {
	files, positions := sources(t)
	for _, s := range files {
		if s.room != "triage" || s.test {
			continue
		}
		for _, use := range clockUses(s.file) {
			t.Errorf("%s: triage reads the clock", positions.Position(use))
		}
	}
}

// clockUses returns where a file names a function of package time that looks at
// the clock, under whatever name it imports the package.
func clockUses(file *ast.File) (uses []token.Pos) {
	name := ""
	for _, spec := range file.Imports {
		if spec.Path.Value == `"time"` {
			name = "time"
			if spec.Name != nil {
				name = spec.Name.Name
			}
		}
	}
	readers := []string{"Now", "Since", "Until", "After", "AfterFunc", "Tick", "NewTicker", "NewTimer", "Sleep"}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.SelectorExpr:
			if x, ok := n.X.(*ast.Ident); ok && x.Name == name && slices.Contains(readers, n.Sel.Name) {
				uses = append(uses, n.Pos())
			}
		case *ast.Ident:
			if name == "." && slices.Contains(readers, n.Name) {
				uses = append(uses, n.Pos())
			}
		}
		return true
	})
	return uses
}

func TestClockUses(t *testing.T) {
	for code, want := range map[string]int{
		`import "time"; var a = time.Now()`:               1,
		`import c "time"; var a = c.Since(c.Time{})`:      1,
		`import . "time"; var a = Until(Time{})`:          1,
		`import "time"; var now = time.Now`:               1,
		`import "time"; func f(t time.Time) { t.Unix() }`: 0,
		`var time struct{ Later func() }`:                 0,
	} {
		file, err := parser.ParseFile(token.NewFileSet(), "", "package p; "+code, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := clockUses(file); len(got) != want {
			t.Errorf("%s: found %d uses, want %d", code, len(got), want)
		}
	}
}

// TestTopLevel holds that the top of the project has what it shall have, besides
// dot files and what git ignores.
func TestTopLevel(t *testing.T) {
	want := []string{"main.go", "ui", "triage", "patterns", "store", "testdata", "README.md", "DEVELOPERS.md", "go.mod", "go.sum"}
	entries, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	var found []string
	for _, e := range entries {
		if name := e.Name(); !strings.HasPrefix(name, ".") {
			found = append(found, name)
		}
	}
	for _, name := range want {
		if !slices.Contains(found, name) {
			t.Errorf("%s is missing", name)
		}
	}
	for _, name := range found {
		if !slices.Contains(want, name) && !ignored(name) {
			t.Errorf("%s does not belong at the top", name)
		}
	}
}

// ignored reports whether git ignores name at the top. Without git, or outside a
// checkout, nothing is ignored.
func ignored(name string) bool {
	return exec.Command("git", "-C", root, "check-ignore", "-q", "--", name).Run() == nil
}

// TestDocComments holds that every package and every exported name at its top
// level, methods included, has a comment. The names of one group may share it.
// Error and Unwrap need none: the language says what they do, and the type's
// comment what the error means.
func TestDocComments(t *testing.T) {
	files, positions := sources(t)
	documented := map[string]bool{} // folder → has a package comment
	for _, s := range files {
		if s.test {
			continue
		}
		dir := filepath.Dir(s.path)
		documented[dir] = documented[dir] || s.file.Doc != nil
		for _, bare := range undocumented(s.file) {
			t.Errorf("%s: %s has no comment", positions.Position(bare.Pos()), bare.Name)
		}
	}
	for dir, ok := range documented {
		if !ok {
			t.Errorf("the package in %s has no comment", dir)
		}
	}
}

// undocumented returns the exported names of a file that have no comment.
func undocumented(file *ast.File) (bare []*ast.Ident) {
	check := func(comments []*ast.CommentGroup, names ...*ast.Ident) {
		for _, c := range comments {
			if c != nil {
				return
			}
		}
		for _, name := range names {
			if name.IsExported() {
				bare = append(bare, name)
			}
		}
	}
	for _, decl := range file.Decls {
		switch decl := decl.(type) {
		case *ast.FuncDecl:
			receiver := receiverOf(decl)
			ofErrors := receiver != nil && (decl.Name.Name == "Error" || decl.Name.Name == "Unwrap")
			if receiver == nil || receiver.IsExported() && !ofErrors {
				check([]*ast.CommentGroup{decl.Doc}, decl.Name)
			}
		case *ast.GenDecl:
			for _, spec := range decl.Specs {
				switch spec := spec.(type) {
				case *ast.TypeSpec:
					check([]*ast.CommentGroup{decl.Doc, spec.Doc, spec.Comment}, spec.Name)
				case *ast.ValueSpec:
					check([]*ast.CommentGroup{decl.Doc, spec.Doc, spec.Comment}, spec.Names...)
				}
			}
		}
	}
	return bare
}

// receiverOf returns the name of the type a method belongs to, nil for a
// function.
func receiverOf(f *ast.FuncDecl) *ast.Ident {
	if f.Recv == nil {
		return nil
	}
	e := f.Recv.List[0].Type
	for {
		switch x := e.(type) {
		case *ast.StarExpr:
			e = x.X
		case *ast.ParenExpr:
			e = x.X
		case *ast.IndexExpr:
			e = x.X
		case *ast.IndexListExpr:
			e = x.X
		case *ast.Ident:
			return x
		default:
			panic(fmt.Sprintf("receiver of kind %T", e))
		}
	}
}

func TestUndocumented(t *testing.T) {
	const code = `package p
		type Bare struct{}
		// Good is good.
		type Good[T any] struct{}
		func (Bare) Method() {}
		func (*Good[T]) Other() {}
		func (*Good[T]) Error() string { return "" }
		func (hidden) Fine() {}
		type hidden int
		// All of these.
		const (
			A = 1
			B = 2
		)
		var (
			C = 1 // c
			D = 2
		)
		func F() {}
		func g() {}`
	file, err := parser.ParseFile(token.NewFileSet(), "", code, parser.ParseComments)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, name := range undocumented(file) {
		got = append(got, name.Name)
	}
	if want := []string{"Bare", "Method", "Other", "D", "F"}; !slices.Equal(got, want) {
		t.Errorf("undocumented are %v, want %v", got, want)
	}
}

// TestQuietFirst holds that whoever runs the screen links package quiet, which
// keeps bubbletea from asking the terminal at the start.
func TestQuietFirst(t *testing.T) {
	files, _ := sources(t)
	for _, s := range files {
		if s.path == "ui/terminal/run.go" && slices.Contains(imported(s), module+"/ui/quiet") {
			return
		}
	}
	t.Error("ui/terminal/run.go does not import ui/quiet: starts may stall for five seconds")
}

// The program opens no connection: nothing of it, on any system, brings the packages that could. On Windows the
// system package needs the names of net's addresses; there none of ours may import it.
func TestNoNetwork(t *testing.T) {
	for _, system := range []string{"linux", "darwin", "windows"} {
		list := exec.Command("go", "list", "-deps", "-f", "{{.ImportPath}} {{join .Imports \" \"}}", "..")
		list.Env = append(os.Environ(), "GOOS="+system, "CGO_ENABLED=0")
		out, err := list.Output()
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
			importer, imports, _ := strings.Cut(line, " ")
			for _, name := range strings.Fields(imports) {
				forbidden := name == "net/http" || name == "net/rpc" || name == "net/smtp" || name == "crypto/tls" || name == "net"
				if forbidden && !(system == "windows" && name == "net" && importer == "golang.org/x/sys/windows") && !strings.HasPrefix(importer, "net") {
					t.Errorf("%s: %s imports %s", system, importer, name)
				}
			}
		}
	}
}

// lookFile is where every colour and every style stands.
const lookFile = "ui/look.go"

// qualified is the name of a selector expression as package.Name; empty for another expression.
func qualified(e ast.Expr) string {
	sel, ok := e.(*ast.SelectorExpr)
	if !ok {
		return ""
	}
	x, ok := sel.X.(*ast.Ident)
	if !ok {
		return ""
	}
	return x.Name + "." + sel.Sel.Name
}

// paints returns what a file does that only look.go may do: make a style, name a colour, set one, or write a control
// sequence of its own.
func paints(file *ast.File) (uses []ast.Node) {
	paint := regexp.MustCompile(`^(lipgloss\.(NewStyle|\w*Color)|termenv\.\w*Color|.*\.(Foreground|Background|\w*(Border|Margin)\w*ground))$`)
	allowed := []string{"lipgloss.ColorProfile", "lipgloss.SetColorProfile"}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.SelectorExpr:
			name := qualified(n)
			if name == "" {
				name = "?." + n.Sel.Name
			}
			if paint.MatchString(name) && !slices.Contains(allowed, name) {
				uses = append(uses, n)
			}
		case *ast.BasicLit:
			if strings.Contains(n.Value, `\x1b[`) || strings.Contains(n.Value, `\033[`) || strings.Contains(n.Value, `\u001b[`) || strings.Contains(n.Value, "\x1b[") {
				uses = append(uses, n)
			}
		}
		return true
	})
	return uses
}

// No colour and no style is made anywhere but in look.go. ui/terminal speaks to the terminal, but draws nothing.
func TestColoursStandInOnePlace(t *testing.T) {
	files, positions := sources(t)
	for _, s := range files {
		if s.test || s.room != "ui" || s.path == lookFile || filepath.Dir(s.path) == "ui/terminal" {
			continue
		}
		for _, use := range paints(s.file) {
			t.Errorf("%s: a colour, a style or a control sequence outside %s", positions.Position(use.Pos()), lookFile)
		}
	}
}

// TestPaints holds the rule itself, which would pass on anything if it were broken.
func TestPaints(t *testing.T) {
	for code, want := range map[string]int{
		`var a = lipgloss.Color("29")`:                                1,
		`var a = lipgloss.CompleteColor{TrueColor: "#000000"}`:        1,
		`var a = lipgloss.AdaptiveColor{}`:                            1,
		`var a = lipgloss.NewStyle()`:                                 1,
		`var a = look.plain.Foreground(accent)`:                       1,
		`var a = f().Background(accent)`:                              1,
		`var a = "\x1b[31mred"`:                                       1,
		`var a = look.hit.Render("x")`:                                0,
		`func f(s lipgloss.Style) { _ = lipgloss.Width(s.String()) }`: 0,
	} {
		file, err := parser.ParseFile(token.NewFileSet(), "", "package p; "+code, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := len(paints(file)); got != want {
			t.Errorf("%s: found %d uses, want %d", code, got, want)
		}
	}
}
