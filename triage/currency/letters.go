package currency

// A SeriesLetter ties the first of two prefix letters on a $5 or higher to a series.
type SeriesLetter struct {
	Letter byte
	Series Series
	Sure   Sure
	Source string
}

// SeriesLetters lists the letters as they came, A to Q without O. They do not follow the years: E
// (2004) stands before F (2003A), J (2009) before K (2006A). Series 2006 has two: H on the older
// design, I on the coloured one (which design has which is common practice).
var SeriesLetters = []SeriesLetter{
	{'A', Series{1996, 0}, Published, "[U1][PB][B3]"},
	{'B', Series{1999, 0}, Published, "[U1][PB][B3]"},
	{'C', Series{2001, 0}, Published, "[U1][PB]"},
	{'D', Series{2003, 0}, Published, "[U1][PB]"},
	{'E', Series{2004, 0}, Published, "[U1][PB]"},
	{'F', Series{2003, 'A'}, Published, "[U1][PB]"},
	{'G', Series{2004, 'A'}, Published, "[U1][PB]"},
	{'H', Series{2006, 0}, Published, "[U1][CF2]"},
	{'I', Series{2006, 0}, Published, "[U1][EZ]"},
	{'J', Series{2009, 0}, Published, "[U1]"},
	{'K', Series{2006, 'A'}, Published, "[U1][W3]"},
	{'L', Series{2009, 'A'}, Published, "[U1][CW12]"},
	{'M', Series{2013, 0}, Published, "[U1][CW16]"},
	{'N', Series{2017, 0}, Published, "[U1][CW6]"},
	{'P', Series{2017, 'A'}, Published, "[U1]"},
	{'Q', Series{2021, 0}, Published, "[U1][CW8]"},
}

// SeriesOfLetter gives the row of a series letter.
func SeriesOfLetter(letter byte) (row SeriesLetter, ok bool) {
	for _, row := range SeriesLetters {
		if row.Letter == letter {
			return row, true
		}
	}
	return SeriesLetter{}, false
}

// LettersOfSeries gives the letters of a series in order: none before Series 1996, H and I for 2006.
func LettersOfSeries(s Series) string {
	letters := ""
	for _, row := range SeriesLetters {
		if row.Series == s {
			letters += string(row.Letter)
		}
	}
	return letters
}
