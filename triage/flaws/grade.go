package flaws

import (
	"fmt"
	"slices"

	"app/unband/triage/currency"
)

// A Grade is one of the trade's words for the condition of a note.
type Grade uint8

// The grades. Their numbers are stored: never renumber, only add. Which is the better one is said by
// their order in Grades, not by the number.
const (
	NoGrade            Grade = 0 // nobody has said it
	Poor               Grade = 1
	Fair               Grade = 2
	Good               Grade = 3
	VeryGood           Grade = 4
	Fine               Grade = 5
	VeryFine           Grade = 6
	ExtremelyFine      Grade = 7
	AboutUncirculated  Grade = 8
	Uncirculated       Grade = 9
	ChoiceUncirculated Grade = 10
	GemUncirculated    Grade = 11
	SuperbGem          Grade = 12
	Seventy            Grade = 13
)

// A GradeFact is what the trade says about one grade.
type GradeFact struct {
	Grade    Grade
	Name     string
	Short    string
	Points   []int  // the steps of the 70-point scale that belong to it, worst first
	Deciding string // what decides for it against its neighbours
	Source   string
	Sure     currency.Sure
}

// Grades lists the grades from the worst to the best. The steps of the 70-point scale are those of
// [PGa]. How many folds that scale allows from 20 to 55 was not seen; the counts of folds here are
// the words of the collectors' society [IB]. The short forms are common practice, no source.
var Grades = []GradeFact{
	{Poor, "Poor", "P", []int{1}, "damaged, the lower of two grades for a note that only fills a place", "[PGa][IB]", currency.Published},
	{Fair, "Fair", "FR", []int{2}, "damaged, the upper of two grades for a note that only fills a place", "[PGa][IB]", currency.Published},
	{Good, "Good", "G", []int{4, 6}, "very worn; small pieces may be gone, writing possible", "[PGa][IB]", currency.Published},
	{VeryGood, "Very Good", "VG", []int{8, 10}, "limp; tears into the design and stains possible, but the whole look holds", "[PGa][WG]", currency.Published},
	{Fine, "Fine", "F", []int{12, 15}, "many folds, soft; only small tears at the edge", "[PGa][IB]", currency.Published},
	{VeryFine, "Very Fine", "VF", []int{20, 25, 30, 35}, "several folds both ways, still fairly crisp; no tear into the border", "[PGa][IB]", currency.Published},
	{ExtremelyFine, "Extremely Fine", "EF", []int{40, 45}, "at most three light folds, or one strong crease", "[PGa][IB]", currency.Published},
	{AboutUncirculated, "About Uncirculated", "AU", []int{50, 53, 55, 58}, "a counting fold at a corner or one light fold in the middle, not both; no hard crease", "[PGa][IB][PGo]", currency.Published},
	{Uncirculated, "Uncirculated", "UNC", []int{60, 61, 62}, "no fold through the design; flaws of look, margins or handling", "[PGo]", currency.Published},
	{ChoiceUncirculated, "Choice Uncirculated", "CU", []int{63, 64}, "no fold in the design; off centre", "[PGb]", currency.Published},
	{GemUncirculated, "Gem Uncirculated", "GEM", []int{65, 66}, "centred better than most, one or two small distractions; the paper is as it was made", "[PGb]", currency.Published},
	{SuperbGem, "Superb Gem Uncirculated", "SG", []int{67, 68, 69}, "better centred still, almost no handling", "[PGb]", currency.Published},
	{Seventy, "Seventy", "70", []int{70}, "no handling under a lens of five times, centred to the eye", "[PGb]", currency.Published},
}

// rank gives a grade's place in Grades, -1 for one that is not in it.
func (g Grade) rank() int {
	return slices.IndexFunc(Grades, func(f GradeFact) bool { return f.Grade == g })
}

// Fact gives what the trade says about the grade; its zero value for NoGrade or a number not known.
func (g Grade) Fact() GradeFact {
	if i := g.rank(); i >= 0 {
		return Grades[i]
	}
	return GradeFact{}
}

// String gives the grade's name, "not said" for NoGrade.
func (g Grade) String() string {
	switch name := g.Fact().Name; {
	case name != "":
		return name
	case g == NoGrade:
		return "not said"
	}
	return fmt.Sprintf("grade %d", uint8(g))
}

// Known reports whether the grade is one of Grades.
func (g Grade) Known() bool { return g.rank() >= 0 }

// Worse reports whether g is a worse grade than h. It is false while either has not been said: what
// is not known does not decide.
func (g Grade) Worse(h Grade) bool {
	return g.Known() && h.Known() && g.rank() < h.rank()
}

// Range gives the points of the grade as they are written, "40-45"; "" for NoGrade.
func (f GradeFact) Range() string {
	if len(f.Points) == 0 {
		return ""
	}
	first, last := f.Points[0], f.Points[len(f.Points)-1]
	if first == last {
		return fmt.Sprint(first)
	}
	return fmt.Sprintf("%d-%d", first, last)
}

// OfPoints gives the grade that a step of the 70-point scale belongs to, NoGrade for a number that is
// no step of it.
func OfPoints(points int) Grade {
	for _, f := range Grades {
		if slices.Contains(f.Points, points) {
			return f.Grade
		}
	}
	return NoGrade
}
