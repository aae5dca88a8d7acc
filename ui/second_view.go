package ui

import (
	"fmt"
	"time"

	"app/unband/triage"
)

func (v *second) view(w, h int, at time.Time) []string {
	n, ok := v.look.Note()
	if !ok {
		return nil
	}
	s, hand := v.look.Session(), v.look.Hand()
	if v.closer != nil {
		lines := append([]string{look.strong.Render(fmt.Sprintf("strap %d, note %d", n.Strap, n.Position))}, smallSerial(hand, s.Watch)...)
		return append(lines, v.closer.view(w, h-len(lines), at)...)
	}
	lines := []string{look.strong.Render(fmt.Sprintf("strap %d, note %d", n.Strap, n.Position)) + "  " + look.quiet.Render("spent "+ago(n.Decided, at)), ""}
	if h >= 14 {
		lines = append(lines, v.env.serial(hand, s.Watch)...)
	} else {
		lines = append(lines, smallSerial(hand, s.Watch)...)
	}
	view := handView{hand: hand, book: v.book, odds: v.odds, watch: s.Watch, denom: s.Denomination, names: v.names, calm: v.env.comfort.Calm, keep: "keep after all", spend: "still spend", keys: lookWords()}
	lines = append(lines, view.pauseLine(hand.Pause(at), v.look.Pending(), w), "")
	lines = append(lines, hang(" ", lies(v.above, v.pulled, n), w)...)
	if n.Before != "" {
		lines = append(lines, "  "+n.Before+" at first; the re-read changed it")
	}
	return append(append(lines, ""), view.says(w, at)...)
}

// lies says where a spent note is to be found.
func lies(above int, pulled bool, n triage.Note) string {
	where := fmt.Sprintf("it lies in the spend pile of strap %d, ", n.Strap)
	switch {
	case pulled: // in the order of the pulls, and the rest of the strap was laid on them or beside
		return where + "among the notes that were pulled"
	case above == 0:
		return where + "on top"
	default:
		return where + fmt.Sprintf("under %s if they were laid one upon another", count(above, "note", "notes"))
	}
}
