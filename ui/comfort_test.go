package ui

import (
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"app/unband/triage"
)

// What is chosen for comfort is on the disk, holds at once, and holds after the next start.
func TestStoryOfComfort(t *testing.T) {
	b := newTable(t)
	b.play("c right down right down right down right down left esc")
	want := triage.Comfort{Calm: true, OneLine: true, Bell: true, Flash: true, Break: 120 * time.Minute}
	if b.app.env.comfort != want {
		t.Errorf("in force is %+v, want %+v", b.app.env.comfort, want)
	}
	c, ok, err := b.store.Choices()
	if err != nil || !ok || c.Comfort != want {
		t.Errorf("on the disk is %+v (%v, %v), want %+v", c.Comfort, ok, err, want)
	}
	b.start()
	if b.app.env.comfort != want {
		t.Errorf("after the next start %+v is in force, want %+v", b.app.env.comfort, want)
	}
	b.play("w down h esc") // another page that keeps the choices
	if c, _, _ = b.store.Choices(); c.Comfort != want {
		t.Errorf("after a change on the watch list the comfort is %+v", c.Comfort)
	}
}

// A new user hears nothing, sees no flash and is not reminded; the bar moves and the digits are drawn.
func TestComfortIsOffAtFirst(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("B70633607C")
	if b.bells != 0 || b.app.env.flash != (flash{}) || b.app.env.comfort != (triage.Comfort{}) {
		t.Errorf("%d bells, flash %v, comfort %+v", b.bells, b.app.env.flash, b.app.env.comfort)
	}
	b.shows("━━━", "░░░") // drawn digits, the bar
}

// A break may be never, or 20 to 120 minutes by tens, in both directions.
func TestTurnBreak(t *testing.T) {
	var up, down []time.Duration
	for d, i := time.Duration(0), 0; i < 12; i++ {
		d = turnBreak(d, 1)
		up = append(up, d)
	}
	for d, i := time.Duration(0), 0; i < 12; i++ {
		d = turnBreak(d, -1)
		down = append(down, d)
	}
	for i := range 12 {
		want := time.Duration(10*i+20) * time.Minute
		if i == 11 {
			want = 0
		}
		if up[i] != want {
			t.Errorf("step %d up is %v, want %v", i+1, up[i], want)
		}
		if i < 11 && down[i] != up[10-i] {
			t.Errorf("step %d down is %v, want %v", i+1, down[i], up[10-i])
		}
	}
}

// In calm mode the screen changes by itself exactly once in a pause, when it is over, and asks to be drawn only then.
// Without it the bar moves on with each tick.
func TestCalmPauseChangesOnce(t *testing.T) {
	for calm, want := range map[bool]int{true: 1, false: 20} {
		b := newTable(t)
		b.app.env.comfort.Calm = calm
		b.begin("Friday float")
		b.play("B70633607")
		b.app.env.say("a message", b.now)
		ready := b.app.screen.ready()
		if got := b.app.nextChange(); calm && !got.Equal(ready) {
			t.Errorf("in calm mode the next change is %v before the end of the pause", ready.Sub(got))
		}
		changes, last := 0, b.app.View()
		for b.now.Before(ready.Add(2 * kept)) {
			b.now = b.now.Add(tick)
			b.send(tickMsg(b.app.tick))
			if v := b.app.View(); v != last {
				changes, last = changes+1, v
			}
		}
		if changes < want || calm && changes != want {
			t.Errorf("calm %v: %d changes in a pause, want %d", calm, changes, want)
		}
	}
}

// In calm mode no bar of a pause is drawn in any scene, and nothing flickers while digits are typed.
func TestCalmWhileTyping(t *testing.T) {
	b := newTable(t)
	b.play("c right esc")
	b.begin("Friday float")
	for i, d := range "4816" {
		b.play(string(d))
		early := b.app.View()
		if strings.Contains(early, "░░░") {
			t.Fatalf("after %d digits there is a bar:\n%s", i+1, early)
		}
		b.play("wait")
		if late := b.app.View(); late != early {
			t.Errorf("after %d digits the screen moves by itself:\n%s\nthen\n%s", i+1, early, late)
		}
	}
}

// The bell rings once for each hit that is typed, and for nothing else.
func TestBell(t *testing.T) {
	b := newTable(t)
	b.play("c down down right")
	if b.bells != 1 {
		t.Errorf("%d bells when it is chosen, want one, to hear it", b.bells)
	}
	b.play("esc")
	b.begin("Friday float")
	rings := func(keys string, want int) {
		t.Helper()
		before := b.bells
		b.play(keys)
		if got := b.bells - before; got != want {
			t.Errorf("%q rings %d times, want %d", keys, got, want)
		}
	}
	rings("48160297 wait -", 0)      // plain
	rings("70633507 wait", 0)        // near a radar
	rings("clear 70633607", 1)       // a radar
	rings("C wait bs C", 0)          // the same hit, with its suffix
	rings("wait +", 0)               // decided
	rings(". wait", 0)               // gone back to
	rings("enter wait 35120846*", 1) // a star
	rings("clear wait 70633507 wait", 0)
	rings("- 65 enter", 0)           // read again: the same digits
	rings("wait 70633507 wait -", 0) // near, and typed twice
	b.start()
	b.play("r")
	if b.bells != 3 {
		t.Errorf("%d bells in all, want 3", b.bells)
	}
}

// A hit left in hand is no news at the next start.
func TestBellIsSilentOnResuming(t *testing.T) {
	b := newTable(t)
	b.play("c down down right esc")
	b.begin("Friday float")
	b.play("70633607 wait")
	before := b.bells
	b.start()
	b.play("r wait")
	b.shows("radar")
	if b.bells != before {
		t.Error("the bell rings for a hit that was in hand before")
	}
}

// Never more than three flashes in a second (WCAG 2.1, 2.3.1, "Three Flashes or Below Threshold"), however fast hits
// are typed, each no higher than one line and narrower than half of the smallest window.
func TestFlashes(t *testing.T) {
	b := newTable(t)
	b.play("c down down down right esc")
	b.begin("Friday float")
	b.now = b.now.Add(time.Minute)
	lit := func() bool {
		line := strings.Split(b.app.View(), "\n")[1]
		if len([]rune(line)) > MinWidth/2 {
			t.Fatalf("a flash is %d cells wide", len([]rune(line)))
		}
		return strings.TrimSpace(line) != ""
	}
	var begins []time.Time
	was := false
	look := func() {
		if now := lit(); now != was {
			if was = now; now {
				begins = append(begins, b.now)
			}
		}
	}
	for i := range 600 { // five seconds of hits, one every 50 ms, drawn 120 times a second
		if i%6 == 0 {
			b.app.Update(tea.KeyMsg{Type: tea.KeyCtrlU})
			for _, r := range []string{"70633607", "27722772"}[i/6%2] {
				b.app.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
			}
		}
		b.now = b.now.Add(time.Second / 120)
		b.send(tickMsg(b.app.tick))
		look()
	}
	if len(begins) < 4 {
		t.Errorf("%d flashes in five seconds of hits, want some", len(begins))
	}
	for i := range begins {
		n := 0
		for _, other := range begins[i:] {
			if other.Sub(begins[i]) < time.Second {
				n++
			}
		}
		if n > 3 {
			t.Errorf("%d flashes in the second from %v on", n, begins[i])
		}
	}
	b.play("desk c right esc r") // calm: nothing flashes
	b.now = b.now.Add(time.Minute)
	b.play("clear 70633607")
	if lit() {
		t.Error("it flashes in calm mode")
	}
}

// A flash ends by itself: its end is asked for.
func TestFlashEnds(t *testing.T) {
	b := newTable(t)
	b.app.env.comfort.Flash = true
	b.begin("Friday float")
	b.app.env.comfort.Calm = false
	b.now = b.now.Add(time.Minute)
	b.play("70633607")
	b.shows("◆ a hit")
	if b.app.env.flash.line(b.now) == "" {
		t.Fatal("no flash")
	}
	for range 100 {
		next := b.app.nextChange()
		if next.IsZero() {
			break
		}
		b.now = next
		b.send(tickMsg(b.app.tick))
	}
	if line := strings.Split(b.app.View(), "\n")[1]; line != "" {
		t.Errorf("the flash stays: %q", line)
	}
}

// A break is called to mind beside what is said of a decision, once, takes no key, and goes by itself.
func TestBreakIsCalledToMind(t *testing.T) {
	b := newTable(t)
	b.play("c down down down down right esc")
	b.begin("Friday float")
	said := 0
	for i, s := range plainSerials(300, 5) {
		b.play(s)
		b.now = b.now.Add(4 * time.Second)
		b.play("-")
		if n := len(b.notes(1, 1)); n != i%100+1 && i < 100 {
			t.Fatalf("after %d notes %d are decided", i+1, n)
		}
		if strings.Contains(b.app.View(), "time for a break") {
			said++
			b.shows("note ", "spent", "20 minutes sorted")
		}
		if i == 250 {
			break
		}
		if i%100 == 99 {
			b.play("enter wait enter wait enter")
		}
	}
	if said < 1 || said > 3 { // it stands for twelve seconds, in which up to three notes are decided
		t.Errorf("a break is called to mind on %d screens in 21 minutes", said)
	}
	b.now = b.now.Add(time.Minute)
	b.send(tickMsg(b.app.tick))
	if strings.Contains(b.app.View(), "time for a break") {
		t.Error("the reminder stays")
	}
}

// Who wants flashes in calm mode is told that there are none, on the line and when it is chosen, in either order.
func TestStoryOfAFlashInCalmMode(t *testing.T) {
	const said = "nothing flashes in calm mode"
	for _, keys := range []string{"c right down down down right", "c down down down right up up up right"} {
		b := newTable(t)
		b.play(keys)
		b.shows("yes, but not in calm mode", said)
		if b.app.env.flash.line(b.now) != "" && strings.HasPrefix(keys, "c right") {
			t.Error("it flashes in calm mode")
		}
		if c := b.app.env.comfort; !c.Flash || !c.Calm {
			t.Errorf("chosen is %+v", c)
		}
	}
	b := newTable(t)
	b.play("c down down down right")
	if view := b.app.View(); strings.Contains(view, said) || strings.Contains(view, "but not") {
		t.Errorf("it is said without calm mode:\n%s", view)
	}
}
