package flaws

import (
	"slices"

	"app/unband/triage/currency"
)

// A CautionID names a caution.
type CautionID uint8

// The cautions. They are not stored.
const (
	NoCaution   CautionID = iota
	Counterfeit           // a note that may be counterfeit
	Redemption            // damaged and mutilated notes
	Defacing              // writing on, cutting or joining notes
	CleanHands            // what sticks to money
	LargeCash             // cash above CashReport
)

// CashReport is the amount in dollars above which a bank reports cash, in one day (31 CFR 1010.311,
// from memory).
const CashReport = 10_000

// A Point is one sentence or two of a caution, with its own source.
type Point struct {
	Text   string
	Source string
	Sure   currency.Sure
}

// A Caution is a short text to show where it matters.
type Caution struct {
	ID        CautionID
	Title     string
	Authority string // who says so or whom to call
	Points    []Point
}

const (
	published = currency.Published
	common    = currency.Common
	memory    = currency.Memory
)

var cautions = []Caution{
	{Counterfeit, "A note that may be counterfeit", "local police or a U.S. Secret Service field office", []Point{
		{"Never spend it, never hand it back. It is set aside and counted apart.", "[SS1][SS2]", published},
		{"Do not put yourself in danger. If someone just passed it to you, delay, and note what the person and any car look like.", "[SS1][SS2]", published},
		{"Handle it little. Write your initials and the date on its white border, and put it in an envelope.", "[SS1][SS2]", published},
		{"Call the local police or a U.S. Secret Service field office. Hand it only to an identified officer or agent.", "[SS1][SS2]", published},
		{"From a bank strap: the same, and tell the bank, with the band, the branch and the date.", "common practice, no source", common},
		{"There is no refund for a counterfeit. One that reaches a Federal Reserve Bank goes to the Secret Service and is charged to the bank that sent it in.", "[SS1][F1]", published},
		{"Passing one on knowingly is a crime (18 U.S.C. 472 and 473).", "from memory; section list [L4]", memory},
	}},
	{Redemption, "Damaged notes", "U.S. Treasury, 31 CFR 100.5", []Point{
		{"Clearly more than half of the note left: it is exchanged for its full amount.", "[L2], older text; revised 29 May 2014 [L3]", published},
		{"Half or less: only if the Treasury is satisfied that the rest was totally destroyed. Keep every scrap.", "[L2], older text; revised 29 May 2014 [L3]", published},
		{"Whole but unfit, such as limp, dirty or torn: any ordinary bank takes it.", "[L2]", published},
	}},
	{Defacing, "Do not mark or cut notes", "18 U.S.C. 333", []Point{
		{"Cutting, defacing, perforating or joining a Federal Reserve note with the intent to make it unfit to be issued again: a fine, up to six months, or both.", "[L1]", published},
		{"Do not clean, press or mend a keeper either: it can usually be told.", "[IB2]", published},
	}},
	{CleanHands, "Clean hands", "a PLOS ONE study of 2017, as summed up in the press", []Point{
		{"Hundreds of kinds of microbes were found on $1 notes in New York.", "[HY]", published},
		{"Wash your hands after sorting, do not lick your fingers, eat afterwards.", "common practice, no source", common},
	}},
	{LargeCash, "Cash above $10,000", "31 CFR 1010.311 and 31 U.S.C. 5324", []Point{
		{"A bank reports cash above $10,000 in one day. That is routine, and no reason to avoid it.", "31 CFR 1010.311, from memory", memory},
		{"Splitting amounts to stay below it is itself an offence, whatever the money is for.", "31 U.S.C. 5324, from memory", memory},
		{"Keep your record of date, branch, amount and straps.", "common practice, no source", common},
	}},
}

// Cautions gives every caution, the gravest first.
func Cautions() []Caution { return slices.Clone(cautions) }

// Caution gives what the number stands for, false for one that is not known.
func (id CautionID) Caution() (Caution, bool) {
	for _, c := range cautions {
		if c.ID == id {
			return c, true
		}
	}
	return Caution{}, false
}

// ForCash gives the caution that belongs to an amount of cash in dollars; false up to CashReport.
func ForCash(dollars int) (Caution, bool) {
	if dollars <= CashReport {
		return Caution{}, false
	}
	return LargeCash.Caution()
}

// ForDefects gives the cautions that belong to the defects of a note, none for most.
func ForDefects(d Defect) []Caution {
	var found []Caution
	for _, belongs := range []struct {
		to Defect
		id CautionID
	}{
		{PieceGone | Tear, Redemption},
		{Ink | Trimmed | Tape | Washed, Defacing},
	} {
		if c, ok := belongs.id.Caution(); ok && d&belongs.to != 0 {
			found = append(found, c)
		}
	}
	return found
}
