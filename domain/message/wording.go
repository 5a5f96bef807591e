package message

import (
	"regexp"
	"slices"
	"strings"

	"coldrail/domain"
)

// Fields a wording may have, and what stands in their place.
var fieldMeans = map[string]string{
	"name":   "the owner's name",
	"animal": "your deer, your elk, your hog",
	"number": "the shop number",
	"shop":   "the shop's name",
	"phone":  "the shop's phone",
	"link":   "the owner's private page",
	"window": "when it is likely to be cut",
	"boxes":  "how many boxes wait",
	"owed":   "what is to pay",
	"still":  "what is still to come",
	"day":    "the day you promised",
	"before": "the day you named before",
	"result": "what the laboratory wrote",
	"since":  "the day it was boxed",
	"news":   "that a letter comes, or what storage costs from when on",
}

// FieldMeans says in English what stands in the place of a field.
func FieldMeans(field string) domain.Words { return domain.Say(fieldMeans[field]) }

// Fields are the names a wording of this kind may have.
func (k Kind) Fields() []string {
	all := []string{"name", "animal", "number", "shop", "phone", "link"}
	switch k {
	case Ready:
		return append(all, "boxes", "owed", "since")
	case PartReady:
		return append(all, "boxes", "owed", "still", "since")
	case Moved:
		return append(all, "day", "before", "window")
	case Result:
		return append(all, "result", "window")
	case Storage:
		return append(all, "boxes", "owed", "since", "news")
	}
	return nil
}

// Default is what the program says where the shop has written nothing.
func (k Kind) Default() string {
	switch k {
	case Ready:
		return "{shop}: {animal}, number {number}, is cut, frozen and ready to fetch: {boxes}. To pay: {owed}. Please call before you come: {phone}."
	case PartReady:
		return "{shop}: part of {animal}, number {number}, is ready to fetch: {boxes}. Still to come: {still}. We tell you when the rest is ready. {phone}"
	case Moved:
		return "{shop}: the day for {animal}, number {number}, has moved from {before} to {day}. Meat keeps its own calendar; we are sorry if it does not suit you. Questions: {phone}."
	case Result:
		return "{shop}: the laboratory wrote for {animal}, number {number}: {result}. A test is no promise about the meat; your wildlife agency tells you what the result means. {phone}"
	case Storage:
		return "{shop}: {animal}, number {number}, has waited in our freezer since {since}: {boxes}. Please fetch it or call {phone}. {news}"
	}
	return ""
}

// longestWording is about four texts of 160 letters.
const longestWording = 600

var (
	field   = regexp.MustCompile(`\{([^{}]*)\}`)
	promise = regexp.MustCompile(`(?i)\b(safe|safely|cwd[- ]?free|disease[- ]?free)\b`)
)

// CheckWording refuses words that could not be filled in, or that promise what no
// test can.
func (k Kind) CheckWording(words string) error {
	switch n := len([]rune(words)); {
	case strings.TrimSpace(words) == "":
		return domain.Wrong("words", "Write what the owner is told, or take the words that came with the program.")
	case n > longestWording:
		return domain.Wrong("words", "That is %d letters. Keep it below %d, which is four texts.", n, longestWording)
	}
	for _, f := range field.FindAllStringSubmatch(words, -1) {
		if !slices.Contains(k.Fields(), f[1]) {
			return domain.Wrong("words", "There is no {%s} in this message. It may have: {%s}.", f[1], strings.Join(k.Fields(), "}, {"))
		}
	}
	if strings.ContainsAny(field.ReplaceAllString(words, ""), "{}") {
		return domain.Wrong("words", "A { or } stands alone. A field is written like {name}.")
	}
	if w := promise.FindString(words); w != "" {
		return domain.Wrong("words", "Do not write \"%s\": no test and no cooler makes meat that. Say what was done or found.", w)
	}
	return nil
}

// Fill puts values in place of the fields. A field without a value leaves nothing.
func Fill(words string, values map[string]string) string {
	filled := field.ReplaceAllStringFunc(words, func(f string) string { return values[f[1:len(f)-1]] })
	return strings.Join(strings.Fields(filled), " ")
}
