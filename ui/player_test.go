package ui

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

// A player plays a key story written in bytes. A printable character is that key, a control character the key that
// sends it, and a byte from 0x80 on one of the deeds.
type player struct {
	b    *table
	w    *witness
	away bool // the file is not under its name
}

// A deed is more than one key, or none.
type deed struct {
	does    func(*player)
	decides bool // notes may be decided by it
}

// deeds are what can happen beside keys, and what random keys would hardly ever come to. Their order is the
// meaning of the stories in testdata/fuzz: new ones go to the end.
var deeds = []deed{
	keysOf("wait"), keysOf("70633607"), keysOf("70633507"), keysOf("48160297"), keysOf("B00250000*"), keysOf("12345678"),
	keysOf("up"), keysOf("down"), keysOf("left"), keysOf("right"), keysOf("pgup"), keysOf("pgdn"), keysOf("home"), keysOf("f1"),
	{func(p *player) { p.b.now = p.b.now.Add(300 * time.Millisecond); p.b.send(tickMsg(p.b.app.tick)) }, false},
	{func(p *player) { p.b.now = p.b.now.Add(26 * time.Hour); p.b.send(tickMsg(p.b.app.tick)) }, false},
	window(80, 24), window(60, 16), window(59, 15), window(200, 60), window(0, 0), window(1, 1),
	typed("70633607", true), typed("+", true), typed("-\r", true), typed("B70633607C+\n-", true), typed("y\x1b[2J", true), typed("1\n\n\n", true),
	typed("48160297", false), typed("48160297-", false), typed("--", false), typed("++", false), typed("12345678+", false), typed("nn", false), typed("xx", false), typed("cc", false),
	{(*player).stall, true}, {(*player).goOn, true}, {(*player).takeAway, true}, {(*player).giveBack, true},
	{(*player).again, true},
	{func(p *player) { p.b.send(tea.ResumeMsg{}) }, false},
	keysOf("wait -"), keysOf("wait +"), keysOf("wait enter"), keysOf("48160297 wait -"), keysOf("70633607 wait +"), keysOf("70633507 wait - 65 enter"),
	keysOf("A wait wait -"), keysOf("2017a"), keysOf("F12344301A"), keysOf("F12344400A"), keysOf("B"), keysOf("17A enter"), keysOf("shift+tab"),
	keysOf("wait ctrl+x wait ctrl+x"), keysOf("wait !"), keysOf("/ m right right esc wait !"), keysOf("/ goto m 5 esc"), keysOf("goto"), keysOf("ctrl+x"),
	keysOf("wait + wait 1 2 enter"), keysOf("desk p e"), keysOf("desk p e wait ctrl+x wait ctrl+x"), keysOf("up enter wait enter"), keysOf("list"),
}

func keysOf(keys string) deed { return deed{func(p *player) { p.b.play(keys) }, true} }

func window(w, h int) deed { return deed{func(p *player) { p.b.size(w, h) }, false} }

// typed is what comes in one message: pasted, or so quickly that the terminal put it together.
func typed(text string, pasted bool) deed {
	return deed{func(p *player) {
		p.b.press(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(text), Paste: pasted})
	}, false}
}

func (p *player) stall() {
	if p.b.release == nil {
		p.b.stall()
	}
}

func (p *player) goOn() {
	if p.b.release != nil {
		p.b.goOn()
	}
}

// takeAway lets every write fail, as when the file lies on a drive that was pulled.
func (p *player) takeAway() {
	if !p.away {
		p.away = os.Rename(p.b.path, p.b.path+".away") == nil
	}
}

func (p *player) giveBack() {
	if p.away {
		p.away = os.Rename(p.b.path+".away", p.b.path) != nil
	}
}

// again leaves the program and starts it anew.
func (p *player) again() {
	p.goOn()
	p.b.app.Leave()
	p.b.send(tickMsg(0)) // what was said in a closer look is written
	p.b.start()
}

// openings are what lies on the disk when a story begins.
var openings = []func(*table){
	func(*table) {},
	func(b *table) { b.begin("Friday float") },
	func(b *table) { b.beginNew("float") },
	func(b *table) { b.sequenced("F12344301A", "F12344400A") },
	func(b *table) { b.begin("Friday float"); b.openList(listFile(b.t, machine()...)); b.play("wait enter") },
	func(b *table) {
		b.play("n down down down u down 1 down right enter") // a strap of 25
		for _, s := range plainSerials(3, 11) {
			b.play(s + " wait - wait")
		}
		b.play("70633507 wait - 65 enter 70633607 wait + B00250000* wait + B enter 2017A enter wait")
	},
	func(b *table) { shortStrap(b, "used") },
}

// opened are the files that the openings leave.
func opened(f *testing.F) (files [][]byte) {
	for _, open := range openings {
		b := newTable(f)
		open(b)
		if err := b.store.Close(); err != nil {
			f.Fatal(err)
		}
		file, err := os.ReadFile(b.path)
		if err != nil {
			f.Fatal(err)
		}
		files = append(files, file)
	}
	return files
}

// play plays a story, whose opening was taken from it.
func (p *player) play(story []byte) {
	p.b.t.Helper()
	for i, c := range story {
		pending := p.b.release != nil || p.b.app.env.open > 0
		decides, hidden := true, p.b.app.tooSmall()
		switch {
		case c == 3: // Ctrl+C
			p.again()
		case c < ' ' || c == 0x7f:
			p.b.press(tea.KeyMsg{Type: tea.KeyType(c)})
		case c == ' ':
			p.b.play("space")
		case c < 0x80:
			p.b.press(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{rune(c)}})
		default:
			d := deeds[int(c-0x80)%len(deeds)]
			d.does(p)
			decides = d.decides
		}
		p.w.after(decides && !hidden || pending)
		if p.b.t.Failed() {
			p.b.t.Fatalf("after byte %d of the story, %#x, with the screen\n%s", i+1, c, p.b.app.View())
		}
	}
}

// end gives the disk back and wants the file sound and the program able to start on it.
func (p *player) end() {
	p.b.t.Helper()
	p.giveBack()
	p.again()
	p.w.after(true)
	p.b.sound()
}

// listsHere goes to a folder with lists under names that random keys type.
func listsHere(t *testing.T) {
	t.Helper()
	folder := t.TempDir()
	list := strings.Join(machine(), "\n")
	for _, name := range []string{"0", "1", "17A", "n"} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(list), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(folder) // a text to ask with may be written, too
}

// longestStory is how many bytes of a story are played: more of them would be slower, and find little more.
const longestStory = 80

func FuzzKeyStory(f *testing.F) {
	const (
		wait, right, stall, goOn, away, back = "\x80", "\x89", "\xa4", "\xa5", "\xa6", "\xa7"
		resume, small, large, paste, burst   = "\xa8", "\x92", "\x90", "\x96", "\x9e"
	)
	for _, story := range []string{
		"\x01rA48160297C" + wait + "-B35120846D" + wait + "-70633607" + wait + "+.." + wait + "+" + resume + "r",
		"\x01r70633507" + wait + "-65\r" + wait + "\x04l" + wait + "-" + wait + "+",
		"\x01r" + paste + wait + burst + wait + burst + wait + "+",
		"\x01r48160297" + wait + small + wait + "-" + large + wait + "-",
		"\x01r48160297" + wait + stall + "-B35120846D" + wait + "-" + goOn + wait + "+" + away + "12345678" + wait + "+" + back + wait + "+",
		"\x01r48160297" + wait + away + "-" + wait + "-" + back + wait + "-",
		"\x02r\x13F12344301A",
		"\x03r" + wait + "\r" + wait + "+" + wait + wait + "\r" + wait + "\r" + wait + "\r",
		"\x03r" + wait + "\r" + wait + "\x0f" + wait + "\x0f",
		"\x04r" + wait + "+" + wait + wait + "K35455453D" + wait + "+",
		"\x05r.." + wait + "\x18" + wait + "\x18/fink\x1b\x04k\r",
		"\x06\ra17\r/gg\x1bd" + "b\r" + wait + "c" + wait + "c" + wait + "o" + wait + "o",
		"\x06\rk\r" + right + "s" + wait + "et" + "\x1bw" + "\x1bs",
	} {
		f.Add([]byte(story))
	}
	files := opened(f)
	f.Fuzz(func(t *testing.T, story []byte) {
		if len(story) == 0 {
			return
		}
		listsHere(t)
		path := filepath.Join(t.TempDir(), "float.db")
		if err := os.WriteFile(path, files[int(story[0])%len(files)], 0o600); err != nil {
			t.Fatal(err)
		}
		b := openTable(t, path, time.Date(2026, 3, 6, 22, 0, 0, 0, time.UTC))
		p := &player{b: b, w: newWitness(b)}
		p.play(story[1:min(len(story), longestStory)])
		p.end()
	})
}
