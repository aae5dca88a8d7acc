package ui

import (
	"regexp"
	"strings"
)

// definers say in plain words who the codes in the sources of the patterns stand for; definersTold names them.
var definers = map[string]string{
	"PF":   "a grading company",
	"PF2":  "", // the same
	"AZ":   "a guide book",
	"NJ":   "a glossary of collectors",
	"VC":   "a newspaper",
	"GL":   "a newspaper",
	"TY":   "a weblog",
	"LT":   "a dealer",
	"ED":   "a dealer",
	"CP1":  "a catalogue",
	"SP3":  "a journal of collectors",
	"CT14": "a forum of collectors",
	"FO":   "a collector's page",
}

// definersTold is for the help page.
const definersTold = "Who defines a pattern so stands below the list. The grading company is Paper Money Guaranty; the guide book one to notes of 1963 to 2009, in a digest on CoinTalk, which is also the forum and has the glossary; the journal Paper Money 274, of the Society of Paper Money Collectors; the newspapers the Boston Globe of 2013 and the Ventura County Star of 2016; the weblog tywkiwdbi of 2013; the dealers Littleton Coin and Edmonton Collections; the catalogue a Canadian one; the collector's page fouani.org. Common practice: no source was found."

// codes are one code in brackets or several without anything between them.
var codes = regexp.MustCompile(`(\[[A-Z0-9]+\])+`)

// sourceWords say in plain words where the definition of a pattern is from.
func sourceWords(source string) string {
	if source == "own" {
		return "It is your own."
	}
	text := codes.ReplaceAllStringFunc(source, func(found string) string {
		var names []string
		for _, code := range strings.Split(strings.Trim(found, "[]"), "][") {
			if name := definers[code]; name != "" {
				names = append(names, name)
			}
		}
		return andWords(names)
	})
	return "Defined so by " + text + "."
}

// andWords writes a list as one says it.
func andWords(names []string) string {
	if n := len(names); n > 1 {
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
	return strings.Join(names, "")
}
