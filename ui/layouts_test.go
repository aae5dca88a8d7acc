package ui

import (
	"slices"
	"strings"
	"testing"

	"github.com/charmbracelet/bubbles/key"
)

// A layout is what a keyboard without a keypad types without AltGr: its plain characters and those with Shift. From the
// X keyboard configuration database, xkeyboard-config 2.35.1, symbols us(basic), gb(basic) and de(basic), with dead keys
// left out: a terminal gets nothing of them until another key comes.
type layout struct{ name, plain, shifted string }

var layouts = []layout{
	{"US", "`1234567890-=qwertyuiop[]asdfghjkl;'\\zxcvbnm,./", "~!@#$%^&*()_+QWERTYUIOP{}ASDFGHJKL:\"|ZXCVBNM<>?"},
	{"UK", "`1234567890-=qwertyuiop[]asdfghjkl;'#\\zxcvbnm,./", "¬!\"£$%^&*()_+QWERTYUIOP{}ASDFGHJKL:@~|ZXCVBNM<>?"},
	{"German", "1234567890ßqwertzuiopü+asdfghjklöä#<yxcvbnm,.-", "°!\"§$%&/()=?QWERTZUIOPÜ*ASDFGHJKLÖÄ'>YXCVBNM;:_"},
}

// everyBoard has what is on every keyboard besides characters.
var everyBoard = []string{"Enter", "Tab", "Shift+Tab", "Space", "Backspace", "Esc", "Up", "Down", "Left", "Right"}

// onBoard reports whether one of the keys of a binding is on a keyboard with these characters.
func onBoard(b key.Binding, characters string) bool {
	return slices.ContainsFunc(namesOf(b.Keys()), func(n string) bool {
		_, one := isCharacter(n)
		return one && strings.Contains(strings.ToUpper(characters), n) || slices.Contains(everyBoard, n) || strings.HasPrefix(n, "Ctrl+")
	})
}

// commonPath are the keys that sorting a strap takes, note after note.
func commonPath() []key.Binding {
	k := strapMap
	return []key.Binding{k.Keep, k.Spend, k.Closer, k.Back, k.Enter, k.Erase, k.Clear, k.Aside, k.ToDesk, lookMap.Keep, lookMap.Spend, lookMap.Enter,
		lookMap.Before, lookMap.After, lookMap.Closer, everywhere.Help, everywhere.Leave}
}

// Everything that a strap takes can be typed on a laptop, with and without the keys for the left hand; keep or spend in
// one press without Shift.
func TestCommonPathOnLaptops(t *testing.T) {
	for _, file := range []string{"", leftHand} {
		k, err := ReadKeys(strings.NewReader(file), "keys")
		if err != nil {
			t.Fatal(err)
		}
		undo := k.Use()
		for _, l := range layouts {
			for _, b := range commonPath() {
				if !onBoard(b, l.plain+l.shifted) {
					t.Errorf("%s: nothing types %v (%s)", l.name, b.Keys(), b.Help().Desc)
				}
			}
			for _, b := range []key.Binding{strapMap.Keep, strapMap.Spend, lookMap.Keep, lookMap.Spend, strapMap.Back} {
				if !onBoard(b, l.plain) {
					t.Errorf("%s: %v takes Shift (%s)", l.name, b.Keys(), b.Help().Desc)
				}
			}
			if !strings.Contains(l.plain+l.shifted, "*") {
				t.Errorf("%s: no star", l.name)
			}
		}
		undo()
	}
}

// leftSide is what the left hand reaches on each keyboard without moving: the left half of the rows, and what lies
// left of them (the places TLDE, AE01 to AE05, AD01 to AD05, AC01 to AC05, LSGT, AB01 to AB05 of the same database).
var leftSide = map[string]string{
	"US": "`12345", "UK": "`12345\\", "German": "12345<",
}

// The keys for the left hand are under it, letters and digits aside: those are the serial.
func TestLeftHandIsLeft(t *testing.T) {
	withKeys(t, leftHand)
	k := strapMap
	for board, characters := range leftSide {
		for _, b := range []key.Binding{k.Keep, k.Spend, k.Closer, k.Back, k.Enter, k.Erase, k.Clear,
			lookMap.Keep, lookMap.Spend, lookMap.Enter, lookMap.Before, lookMap.After, lookMap.Closer, againMap.Keep, againMap.Spend, againMap.Enter} {
			if !slices.ContainsFunc(namesOf(b.Keys()), func(n string) bool {
				return strings.Contains(characters, n) || slices.Contains([]string{"Tab", "Shift+Tab", "Space"}, n) ||
					strings.HasPrefix(n, "Ctrl+") && strings.Contains("QWERTASDFGXCVB", n[5:]) // German has Y for Z there
			}) {
				t.Errorf("%s: the left hand does not reach %v (%s)", board, b.Keys(), b.Help().Desc)
			}
		}
	}
}

// Everything that a strap takes is on a numeric keypad. Where the layout writes decimals with a comma, as kpdl(comma) of
// the same database for German, it has a comma instead of the point.
func TestCommonPathOnTheKeypad(t *testing.T) {
	k := strapMap
	for _, decimal := range []string{".", ","} {
		for _, b := range []key.Binding{k.Digits, k.Keep, k.Spend, k.Closer, k.Back, lookMap.Keep, lookMap.Spend, lookMap.Before, againMap.Before} {
			if !slices.ContainsFunc(b.Keys(), func(one string) bool { return strings.Contains("0123456789+-*/"+decimal, one) }) {
				t.Errorf("the keypad with %s has none of %v (%s)", decimal, b.Keys(), b.Help().Desc)
			}
		}
	}
	if !slices.Contains(k.Enter.Keys(), "enter") || !slices.Contains(k.Enter.Keys(), "ctrl+j") { // keypad Enter inside tmux
		t.Errorf("the keypad's Enter is not among %v", k.Enter.Keys())
	}
}
