package patterns

import (
	"fmt"
	"strings"
)

// Serials that read as a day of the Gregorian calendar, which is taken to hold for every year.

// A dateOrder is one way to write a day in eight digits.
type dateOrder struct {
	name             string
	day, month, year int // where each begins
}

// The orders, the usual one of the United States first.
var (
	monthFirst = dateOrder{"month first", 2, 0, 4}
	dayFirst   = dateOrder{"day first", 0, 2, 4}
	yearFirst  = dateOrder{"year first", 6, 4, 0}
)

// orders gives the orders the settings allow, in the order they are told.
func (s Settings) orders() []dateOrder {
	var list []dateOrder
	for _, o := range []struct {
		on    bool
		order dateOrder
	}{{s.MonthFirst, monthFirst}, {s.DayFirst, dayFirst}, {s.YearFirst, yearFirst}} {
		if o.on {
			list = append(list, o.order)
		}
	}
	return list
}

var monthNames = [13]string{"", "January", "February", "March", "April", "May", "June", "July",
	"August", "September", "October", "November", "December"}

// daysIn is how long a month is; 0 when there is no such month.
func daysIn(month int, leap bool) int {
	switch {
	case month < 1 || month > 12:
		return 0
	case month == 2 && leap:
		return 29
	}
	return [13]int{0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}[month]
}

func isLeap(year int) bool { return year%4 == 0 && year%100 != 0 || year%400 == 0 }

func dateRule(s Settings) spec {
	var names []string
	for _, o := range s.orders() {
		names = append(names, o.name)
	}
	return spec{
		Rule: Rule{ID: Date, Name: "date", Source: "[ED]; orders and calendar common practice", Sure: "P", Example: s.exampleDate(),
			Definition: fmt.Sprintf("reads as a day of the years %d to %d: %s", s.FromYear, s.ToYear, strings.Join(names, ", "))},
		tree: func(f *forest) tree {
			all := none
			for _, o := range s.orders() {
				all = f.union(all, s.dates(f, o))
			}
			return all
		},
		detail: s.readDate,
	}
}

// dates gives every day of the year window in one order.
func (s Settings) dates(f *forest, o dateOrder) tree {
	if o == yearFirst {
		common := f.numbers(4, func(v int) tree { return bit(v%100 <= daysIn(v/100, false) && v%100 > 0) })
		leap := f.numbers(4, func(v int) tree { return bit(v%100 <= daysIn(v/100, true) && v%100 > 0) })
		return f.numbers(4, func(year int) tree {
			switch {
			case year < s.FromYear || year > s.ToYear:
				return none
			case isLeap(year):
				return leap
			}
			return common
		})
	}
	years := f.between(s.FromYear, s.ToYear, 4)
	leapYears := f.numbers(4, func(y int) tree { return bit(s.FromYear <= y && y <= s.ToYear && isLeap(y)) })
	return f.numbers(4, func(v int) tree {
		month, day := v/100, v%100
		if o == dayFirst {
			month, day = day, month
		}
		switch {
		case day < 1 || day > daysIn(month, true):
			return none
		case day > daysIn(month, false):
			return leapYears
		}
		return years
	})
}

// bit is the set of the empty string, or no string.
func bit(yes bool) tree {
	if yes {
		return every
	}
	return none
}

// readDate writes the days a serial can be read as, the United States order first.
func (s Settings) readDate(d Digits) string {
	text := d.String()
	var days, told []string
	for _, o := range s.orders() {
		day, month, year := number(text[o.day:o.day+2]), number(text[o.month:o.month+2]), number(text[o.year:o.year+4])
		if year < s.FromYear || year > s.ToYear || day < 1 || day > daysIn(month, isLeap(year)) {
			continue
		}
		name := fmt.Sprintf("%d %s %d", day, monthNames[month], year)
		if len(days) > 0 && days[len(days)-1] == name { // 05051990 is one day in both orders
			told[len(told)-1] = name
			continue
		}
		days = append(days, name)
		told = append(told, name+" ("+o.name+")")
	}
	return strings.Join(told, ", ")
}

// number reads digits.
func number(s string) (n int) {
	for i := 0; i < len(s); i++ {
		n = n*10 + int(s[i]-'0')
	}
	return n
}

// exampleDate is 29 February of a leap year of the window, or 4 July of its first year.
func (s Settings) exampleDate() Digits {
	day, month, year := 4, 7, s.FromYear
	for y := s.ToYear; y >= s.FromYear; y-- {
		if isLeap(y) {
			day, month, year = 29, 2, y
			break
		}
	}
	switch s.orders()[0] {
	case monthFirst:
		return Digits(month*1_000_000 + day*10_000 + year)
	case dayFirst:
		return Digits(day*1_000_000 + month*10_000 + year)
	}
	return Digits(year*10_000 + month*100 + day)
}
