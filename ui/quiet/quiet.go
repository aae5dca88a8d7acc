// Package quiet answers the terminal's background question before anybody
// asks it.
//
// bubbletea v1 calls lipgloss.HasDarkBackground in an init function, so every
// program that links it writes a query to the terminal and waits up to five
// seconds for the answer; keys typed meanwhile are lost. A terminal that never
// answers (a serial line, some multiplexers) makes each start that slow. Once
// lipgloss has been told the answer it does not ask.
//
// Telling it must happen before bubbletea's init runs. Go initialises the
// packages that are ready in the order of their import paths
// (https://go.dev/ref/spec#Program_initialization), so this works only while
//   - this package imports lipgloss and nothing else, and
//   - its path sorts before github.com/charmbracelet/bubbletea.
//
// That is why the module is called app/unband: a module named unband sorts
// after github.com and stalls again. TestInitOrder holds this.
//
// The price is that the background is not detected, so colours have to serve on
// light and dark alike.
package quiet

import "github.com/charmbracelet/lipgloss"

func init() {
	lipgloss.SetHasDarkBackground(true)
}
