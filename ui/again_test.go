package ui

// shortStrap sorts a strap of 25, closes it and goes to the page of its session: note 3 a radar, note 4 spent
// unread, note 5 settled early, note 6 a near miss, note 9 a near miss kept after all, the others plain.
func shortStrap(b *table, kind string) {
	b.play("n")
	b.typed("Friday float")
	b.play("down")
	b.typed("Harbour branch")
	b.play("down down " + kind[:1] + " down 1 down right enter")
	plain := plainSerials(25, 11)
	for i, s := range plain {
		switch i + 1 {
		case 3:
			b.play("B70633607C wait + wait")
		case 4:
			b.play("wait - wait")
		case 5:
			b.play("481602 wait - wait")
		case 6:
			b.play("B70633507C wait - 65 enter wait")
		default:
			b.play("B" + s + "C wait - wait")
		}
	}
	b.play("wait enter wait")
}
