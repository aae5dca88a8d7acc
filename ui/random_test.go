package ui

import (
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

// randomKeys are what a cat on the keyboard may press, with serials among them so that it gets
// somewhere.
var randomKeys = strings.Fields(`70633607 70633507 48160297 B00250000* 12345678 MB2 0 5 9 O A C * + + - - ! . / = ? 1 17A
	goto ctrl+x n r l w s d o x c m h p y u k e g i a a t pgup pgdn tab tab enter enter enter esc esc desk up down left right bs clear space home f1 wait wait wait`)

// randomStories are keys that lead somewhere together, where random ones would hardly ever come to.
var randomStories = []string{"wait ctrl+x wait ctrl+x", "wait ! wait !", "/ m right right esc wait !", "/ goto m 5 esc", "wait + wait 1 2 enter", "wait wait enter wait enter",
	"desk p e", "e down down right right up up", "up enter wait wait enter", "desk p e wait ctrl+x wait ctrl+x", "wait - wait - wait -", "desk p wait enter", "desk p l", "desk p a"}

var randomControls = []tea.KeyType{tea.KeyCtrlX, tea.KeyCtrlA, tea.KeyCtrlW, tea.KeyCtrlG, tea.KeyCtrlO, tea.KeyCtrlT, tea.KeyCtrlS, tea.KeyCtrlY, tea.KeyCtrlL, tea.KeyCtrlN}

// Random keys over the whole program, with windows of random sizes: it never panics, what a witness watches over is true
// after every key, and the file agrees with its notes at the end. The same keys every time, others with
// -long.
func TestRandomKeysEverywhere(t *testing.T) {
	listsHere(t)
	rounds, seed := 12, uint64(20261125)
	if *long {
		rounds, seed = 300, uint64(time.Now().UnixNano())
	}
	for round := range rounds {
		random := rand.New(rand.NewPCG(seed, uint64(round)))
		b := newTable(t)
		switch round % 6 {
		case 4:
			shortStrap(b, "used")
			b.play("a")
		case 5:
			b.begin("Friday float")
			b.openList(listFile(b.t, machine()...))
			b.play("wait enter")
		case 1, 2:
			b.begin("Friday float")
		case 3:
			b.sequenced("F12344301A", "F12344400A")
		}
		w := newWitness(b)
		for range 200 {
			if random.IntN(20) == 0 {
				b.size(random.IntN(150), random.IntN(50))
			}
			if random.IntN(5) == 0 {
				b.size(80, 24)
			}
			key := randomKeys[random.IntN(len(randomKeys))]
			b.play(key)
			if random.IntN(15) == 0 {
				key = randomStories[random.IntN(len(randomStories))]
				b.play(key)
			}
			if random.IntN(20) == 0 {
				b.press(tea.KeyMsg{Type: randomControls[random.IntN(len(randomControls))]})
			}
			w.after(true)
			if t.Failed() {
				t.Fatalf("seed %d, round %d, after %q", seed, round, key)
			}
		}
		b.sound()
		if t.Failed() {
			t.Fatalf("seed %d, round %d", seed, round)
		}
	}
}
