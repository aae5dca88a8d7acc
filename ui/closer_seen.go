package ui

import (
	"strings"

	"github.com/charmbracelet/x/ansi"

	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

// seenHead stands before what was said in the closer look.
const seenHead = "closer look: "

// seenWords say what was said of a note in the closer look in at most w cells, what bears on a decision first. Long
// texts are shortened before any is left out. Where nothing was said it is "".
func seenWords(f triage.Facts, w int) string {
	parts := seenParts(f)
	if len(parts) == 0 {
		return ""
	}
	return cut(look.quiet.Render(seenHead)+strings.Join(shared(parts, w-len(seenHead)), ", "), w)
}

// seenParts are the facts in a word or two each.
func seenParts(f triage.Facts) []string {
	var parts []string
	add := func(said bool, text string) {
		if said {
			parts = append(parts, text)
		}
	}
	written := func(label, text string) { add(text != "", label+" "+printable(text)) }
	add(f.Flaw != flaws.NoOutcome, f.Flaw.String())
	add(f.Grade != flaws.NoGrade, f.Grade.String())
	add(f.Defects != 0, f.Defects.String())
	add(f.Stamp, "tracking stamp")
	add(f.Neighbours, "neighbours wanted")
	written("why:", f.Reason)
	add(f.Remark != "", `"`+printable(f.Remark)+`"`)
	written("lies:", f.Where)
	written("face:", f.Face)
	written("back:", f.Back)
	written("series", f.Series)
	add(f.Facility != currency.FacilityUnknown, map[bool]string{true: "FW", false: "no FW"}[f.Facility == currency.FortWorth])
	add(f.Seal != currency.ColourUnknown, f.Seal.String()+" seal")
	written("seal letter", f.SealLetter)
	written("corner", f.Corner)
	add(f.Web, "web press")
	written("other serial", f.Second)
	written("position", f.Sheet)
	written("plate", f.Plate)
	written("back plate", f.BackPlate)
	return parts
}

// leastShare is how short a text is cut at most to make room for the others, in cells.
const leastShare = 14

// shared cuts the longest of some texts until all fit into w cells with two cells between them, as far as they can.
func shared(parts []string, w int) []string {
	wide := func(most int) int {
		sum := 2 * (len(parts) - 1)
		for _, p := range parts {
			sum += min(ansi.StringWidth(p), most)
		}
		return sum
	}
	most := max(w, leastShare)
	for most > leastShare && wide(most) > w {
		most--
	}
	var short []string
	for _, p := range parts {
		short = append(short, cut(p, most))
	}
	return short
}
