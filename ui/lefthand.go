package ui

// LeftHand is the name of the built-in set of keys for the left hand.
const LeftHand = "left"

// leftHand puts the keys of the common path under the left hand; those of the program as it comes work, too. Letters and
// digits belong to the serial. Beside Tab lies ` on US and UK keyboards, and left of the bottom row \ on UK and < on
// German ones, where the key above Tab waits for another.
const leftHand = "" +
	"strap keep: Tab + =\n" +
	"strap spend: ` \\ < -\n" +
	"strap enter: Space Enter\n" +
	"strap back: Shift+Tab . ,\n" +
	"strap closer: Ctrl+E /\n" +
	"strap erase: Ctrl+W Backspace\n" +
	"strap clear: Ctrl+R Ctrl+U\n" +
	"second-look keep: Tab + =\n" +
	"second-look spend: ` \\ < -\n" +
	"second-look enter: Space Enter\n" +
	"second-look before: Shift+Tab Left . ,\n" +
	"second-look after: Ctrl+F Right\n" +
	"second-look closer: Ctrl+E /\n" +
	"second-look erase: Ctrl+W Backspace\n" +
	"second-look clear: Ctrl+R Ctrl+U\n" +
	"again keep: Tab + =\n" +
	"again spend: ` \\ < -\n" +
	"again enter: Space Enter\n" +
	"again before: Shift+Tab Left . ,\n" +
	"again after: Ctrl+F Right\n" +
	"again closer: Ctrl+E /\n" +
	"again erase: Ctrl+W Backspace\n" +
	"again clear: Ctrl+R Ctrl+U\n" +
	"session next: Space Enter\n" +
	"desk open: Space Enter\n"
