package flaws

import (
	"iter"
	"strings"

	"app/unband/triage/currency"
)

// A Defect is a set of things that lower the condition of a note, one bit each. The stamp of a
// bill-tracking hobbyist is no defect here: it is kept by itself.
type Defect uint32

// The defects. Their bits are stored: never renumber, only add.
const (
	Fold          Defect = 1 << 0 // bent, fibres whole
	Crease        Defect = 1 << 1 // bent so that the surface broke
	Tear          Defect = 1 << 2
	Stain         Defect = 1 << 3
	Ink           Defect = 1 << 4 // ink or writing
	Pinhole       Defect = 1 << 5
	Trimmed       Defect = 1 << 6
	OffCentre     Defect = 1 << 7
	Tape          Defect = 1 << 8
	Washed        Defect = 1 << 9  // washed or pressed
	Rounded       Defect = 1 << 10 // corners
	StapleHole    Defect = 1 << 11
	RubberStamp   Defect = 1 << 12 // of a bank or a shop
	PieceGone     Defect = 1 << 13
	ColourChanged Defect = 1 << 14
)

// A DefectFact says what a defect is and what it means for the grade.
type DefectFact struct {
	Defect Defect // one bit
	Name   string
	See    string // how to tell it
	Means  string // what it means for the grade
	Best   Grade  // the best grade still possible by the words of Grades; NoGrade where they do not say
	Source string
	Sure   currency.Sure
}

// Defects lists every defect once, in the order of the closer look.
var Defects = []DefectFact{
	{Fold, "fold", "a bend; the fibres are whole and the surface is not broken", "one light fold is still About Uncirculated, up to three are Extremely Fine, several are Very Fine", AboutUncirculated, "[IB][PGo]", currency.Published},
	{Crease, "crease", "a bend whose line has broken the surface: ink or fibres are gone along it", "one strong crease is Extremely Fine at best; fold or crease is what Extremely Fine and About Uncirculated part on", ExtremelyFine, "[IB]", currency.Published},
	{Tear, "tear", "the paper is torn; look at the edge, and at the ends of folds against the light", "a small one at the edge: Very Fine at best while it stays out of the border, Fine once it reaches it; into the design: Very Good", VeryFine, "[PGa][IB][WG]", currency.Published},
	{Stain, "stain", "a spot or a tide line that belongs to no print", "lowers the grade or must be named with it", NoGrade, "[FN][IB]", currency.Published},
	{Ink, "ink or writing", "pen, pencil, marker, or the ink of something the note lay against", "lowers the grade or must be named with it", NoGrade, "[FN][IB]", currency.Published},
	{Pinhole, "pinhole", "a point of light when the note is held against a lamp", "lowers the grade or must be named with it", NoGrade, "[FN][IB]", currency.Published},
	{Trimmed, "trimmed", "smaller than a note beside it, or an edge cut anew", "must be named with the grade", NoGrade, "[FN][IB]", currency.Published},
	{OffCentre, "off centre", "the margins of one side are plainly unequal", "parts the grades from Uncirculated upwards; named below that only when it is plain", NoGrade, "[FN][IB][PGb]", currency.Published},
	{Tape, "tape", "tape, or the shine it left", "must be named with the grade; do not pull it off", NoGrade, "[FN][IB]", currency.Published},
	{Washed, "washed or pressed", "limp but clean, folds flattened, the relief of the print gone", "must be named with the grade and can usually be told; do not wash or press a note", NoGrade, "[FN][IB][IB2]", currency.Published},
	{Rounded, "rounded corners", "the corners are worn round", "lowers the grade", NoGrade, "[FN][IB]", currency.Published},
	{StapleHole, "staple holes", "two small holes side by side, often with rust", "lowers the grade or must be named with it", NoGrade, "[FN][IB]", currency.Published},
	{RubberStamp, "rubber stamp", "the stamp of a bank or a shop; one that tracks notes is written down by itself", "lowers the grade or must be named with it", NoGrade, "[FN][IB]", currency.Published},
	{PieceGone, "piece missing", "a corner or a piece of the edge is gone", "small pieces gone: Good at best", Good, "[PGa][IB]", currency.Published},
	{ColourChanged, "colour changed", "seal, serial or paper has another colour than its class", "a change by chemicals; graders refuse it", NoGrade, "[CT18][CT21]", currency.Published},
}

// Has reports whether d holds every defect of e.
func (d Defect) Has(e Defect) bool { return d&e == e }

// With gives d and the defects of e.
func (d Defect) With(e Defect) Defect { return d | e }

// Without gives d less the defects of e.
func (d Defect) Without(e Defect) Defect { return d &^ e }

// Facts gives what is known of each defect in the set, in the order of Defects. A bit that this
// version does not know is passed over.
func (d Defect) Facts() iter.Seq[DefectFact] {
	return func(yield func(DefectFact) bool) {
		for _, f := range Defects {
			if d.Has(f.Defect) && !yield(f) {
				return
			}
		}
	}
}

// String names the defects, "fold, tear"; "none" for the empty set.
func (d Defect) String() string {
	var names []string
	for f := range d.Facts() {
		names = append(names, f.Name)
		d = d.Without(f.Defect)
	}
	if d != 0 {
		names = append(names, "something this version has no word for")
	}
	if len(names) == 0 {
		return "none"
	}
	return strings.Join(names, ", ")
}

// Against gives the defects of d that do not go together with grade g by the words of Grades, so that
// a screen can ask to look again. It judges nothing by itself.
func Against(g Grade, d Defect) []DefectFact {
	var against []DefectFact
	for f := range d.Facts() {
		if f.Best.Worse(g) {
			against = append(against, f)
		}
	}
	return against
}
