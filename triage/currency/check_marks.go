package currency

import "fmt"

// bankMarks compares the bank's letter in the serial, the letter of the seal and the corner number.
func bankMarks(r reading) []Remark {
	if !r.bank() {
		return nil
	}
	if r.Corner < 0 || r.Corner > len(Banks) {
		return one(LookAgain, KindBank, Published, "[U1]", fmt.Sprintf("%d is no district: these run from 1 to 12. Look at the corner number again.", r.Corner))
	}
	if _, ok := BankOf(r.SealLetter); r.SealLetter != 0 && !ok {
		return one(LookAgain, KindBank, Published, "[U1]", fmt.Sprintf("%c in the seal is no bank: these run from A to L.%s Look at it again.", r.SealLetter, perhaps(r.SealLetter)))
	}
	return agree(r.marks())
}

// A mark is a bank as one place on the note names it.
type mark struct {
	place string
	bank  Bank
}

// marks gives the bank of every place that was read. When the two serials differ in their bank's
// letter, that is told elsewhere and the serial is left out here.
func (r reading) marks() (marks []mark) {
	if bank, ok := BankOf(r.bankLetter()); ok && !r.prefixesDiffer() {
		marks = append(marks, mark{"the serial", bank})
	}
	if bank, ok := BankOf(r.SealLetter); ok {
		marks = append(marks, mark{"the seal", bank})
	}
	if bank, ok := BankNumber(r.Corner); ok {
		marks = append(marks, mark{"the corner number", bank})
	}
	return marks
}

// agree looks for two marks that name different banks.
func agree(marks []mark) []Remark {
	for i, a := range marks {
		for _, b := range marks[i+1:] {
			if a.bank.Letter != b.bank.Letter {
				return one(LookAgain, KindBank, Published, "[U1][PM2]", fmt.Sprintf("In %s the bank is %s; by %s it is %s. Look at both again; if the note really shows both, it is an error for a specialist.", a.place, a.bank.named(), b.place, b.bank.named()))
			}
		}
	}
	return nil
}

// facility compares FW or none with what is on record about the plants.
func facility(r reading) []Remark {
	switch {
	case r.FW == FacilityUnknown || !r.bank():
		return nil
	case r.FW == FortWorth && r.series.Known() && r.series.Compare(Series{1985, 'Y'}) <= 0:
		return one(LookAgain, KindFacility, Memory, fromMemory, fmt.Sprintf("Fort Worth began in 1991, and Series %s is remembered as older. Look again at the year and for the FW.", r.series))
	case r.FW == FortWorth && washington1995(r), r.FW == Washington && fortWorth1995(r):
		return one(LookAgain, KindFacility, Published, "[PX3]", "Series 1995 ones of A to E usually came from Washington (no FW), of G to L from Fort Worth, of F from both. Look again for the FW, at the letter and at the series.")
	case r.FW == Washington && r.Denomination == 2 && r.series == Series{2017, 'A'}:
		return one(LookAgain, KindFacility, Published, "[CW10]", "On record, the $2 of Series 2017A was printed in Fort Worth. Look again for the FW and at the series.")
	}
	return nil
}

// washington1995 and fortWorth1995 report whether a Series 1995 $1 usually came from that plant [PX3].
func washington1995(r reading) bool {
	return ones1995(r) && 'A' <= r.bankLetter() && r.bankLetter() <= 'E'
}

func fortWorth1995(r reading) bool {
	return ones1995(r) && 'G' <= r.bankLetter() && r.bankLetter() <= 'L'
}

func ones1995(r reading) bool { return r.Denomination == 1 && r.series == Series{1995, 0} }

// oldClass tells what an older class is. In a session of ones to tens it turns up now and then.
func oldClass(r reading) []Remark {
	if issue, ok := IssueOf(r.Denomination, r.series, r.Seal); ok && (r.certain || r.Seal == Yellow) {
		return one(Fine, KindClass, issue.Sure, issue.Source, fmt.Sprintf("A %s note of the war years, a %s: %s. Take a closer look.", issue.Name, issue.Class, issue.Tell))
	}
	if !r.old() {
		return openClass(r)
	}
	text := fmt.Sprintf("A %s, %s seal: an older class of note", r.class, SealOf(r.class))
	if r.Star && r.StarFront && r.class.starInFront() {
		text += ", and with the star in front a replacement"
	}
	if r.class.lettered() {
		text += ". Its letters name no bank"
	}
	return one(Fine, KindClass, Published, "[SE][DB]", text+". Take a closer look.")
}

// openClass names the classes a series was printed in while the seal has not been looked at.
func openClass(r reading) []Remark {
	found := find(r.Denomination, r.series)
	if r.certain || len(found) < 2 {
		return nil
	}
	sure, source := found[0].Sure, found[0].Source
	var classes []string
	for _, l := range found {
		classes = append(classes, fmt.Sprintf("a %s (%s seal)", l.Class, SealOf(l.Class)))
		if l.Sure < sure {
			sure, source = l.Sure, l.Source
		}
	}
	return one(Fine, KindClass, sure, source, fmt.Sprintf("A $%d of Series %s may be %s: the colour of the seal tells.", r.Denomination, r.series, enumerate(classes, "or")))
}

// sealColour compares the colour of the seal with class and series.
func sealColour(r reading) []Remark {
	if r.Seal == ColourUnknown || r.Seal == SealOf(r.class) {
		return nil
	}
	if issue, ok := IssueOf(r.Denomination, r.series, r.Seal); ok && issue.Class == r.class {
		return nil
	}
	if r.Seal == Brown && !r.certain {
		return one(LookAgain, KindSealColour, Published, "[SE][SE2]", "A brown seal is on the notes of 1929 and on those for Hawaii, which have that word on both sides. Look at the series and at the back.")
	}
	if !r.certain && !r.bank() {
		return one(LookAgain, KindSealColour, Published, "[SE]", fmt.Sprintf("No $%d of Series %s with a %s seal is known here. Look again at the seal and at the series.", r.Denomination, r.series, r.Seal))
	}
	text := fmt.Sprintf("A %s has a %s seal, this one is said to be %s. Look again at the seal and at the series", r.class, SealOf(r.class), r.Seal)
	if r.bank() && (r.Seal == Yellow || r.Seal == Blue) {
		text += "; green ink that has turned yellow or blue is a chemical change, not an error"
	}
	return one(LookAgain, KindSealColour, Published, "[SE][SE2][CT18]", text+".")
}
