package terminal

import (
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
)

// styled lets bold and reversed text through where lipgloss would draw plain text alone: with NO_COLOR, which asks for
// no colour and says nothing against bold (no-color.org), and on terminals it does not know by name. Without reversed
// text the place of the cursor in a line could not be seen. That no colour is among what is drawn in 16 colours is
// held by a test of package ui.
func styled() {
	if lipgloss.ColorProfile() == termenv.Ascii {
		lipgloss.SetColorProfile(termenv.ANSI)
	}
}
