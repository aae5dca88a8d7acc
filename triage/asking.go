package triage

import (
	"fmt"

	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

// Place names the note.
func (h InHand) Place() Place { return h.place }

// HelpFacts gives the facts of the note for a text to people who help, with the question in the person's own
// words and hidden of its last digits written as x. It names neither bank nor session: those are the
// person's own business.
func (h InHand) HelpFacts(question string, hidden int) flaws.HelpFacts {
	f, serial := h.facts, ""
	if !h.Entry.Serial.Empty() {
		serial = h.Entry.Serial.String()
	}
	n := h.Reading()
	kind := "used"
	if h.rules.NewNotes {
		kind = "new"
	}
	return flaws.HelpFacts{
		Question: question, Denomination: n.Denomination, Class: currency.ClassOfSeal(n.Denomination, n.Series, f.Seal),
		Series: f.Series, Serial: serial, Second: f.Second, HideDigits: hidden,
		Facility: f.Facility, Position: f.Sheet, FacePlate: f.Plate, BackPlate: f.BackPlate, Seal: f.Seal,
		Grade: f.Grade, Defects: f.Defects, Stamp: f.Stamp, Face: f.Face, Back: f.Back,
		Trail: WalkOf(f.Walk).Trail(), From: fmt.Sprintf("a bank strap of %s notes, note %d of it", kind, h.place.Position),
	}
}
