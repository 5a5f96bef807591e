package logger

import (
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"coldrail/domain"
)

// Unit is the unit a file is written in.
type Unit string

// The units.
const (
	Fahrenheit Unit = "F"
	Celsius    Unit = "C"
)

// Told is what a person adds where the file itself is silent.
type Told struct {
	Unit Unit           // "": the file must say
	Zone *time.Location // of the logger's clock; nil: the file's times must carry an offset
}

// Row is one reading as it stands in the file.
type Row struct {
	Line     int // in the file, from 1
	At       time.Time
	C        domain.Celsius // of no use where Read is false
	Read     bool           // the value is a number
	RawAt    string
	RawValue string
	Unit     Unit
}

// mostRows is the most one file may hold: a reading a second for eleven days, or
// every five minutes for nine years.
const mostRows = 1_000_000

// Parse reads a logger's file. What cannot be read is an Invalid error that names
// the line; the fields are "file", "unit" and "zone".
func Parse(text []byte, told Told) ([]Row, error) {
	rows, _, err := Read(text, told)
	return rows, err
}

// Found is what a file says of itself, for a person to look at before its
// readings are kept.
type Found struct {
	Line        int    // of the header, from 1
	Time, Value string // the columns' names
	Unit        Unit   // as the header names it; "": a person named it, or each row does
	Zoned       bool   // the times carry an offset
}

// Read is Parse, and says what was found.
func Read(text []byte, told Told) ([]Row, Found, error) {
	plain, err := decode(text)
	if err != nil {
		return nil, Found{}, err
	}
	t := table{told: told}
	if err := t.read(plain); err != nil {
		return nil, t.found, err
	}
	t.found.Zoned = t.walls[0].offset
	return t.rows, t.found, t.settle()
}

func (t *table) read(plain string) error {
	n := 0
	for line := range strings.Lines(plain) {
		n++
		line = strings.TrimRight(line, "\r\n")
		if strings.TrimSpace(line) == "" {
			continue
		}
		if t.delimiter == 0 {
			if err := t.header(n, line); err != nil {
				return err
			}
			continue
		}
		if err := t.row(n, line); err != nil {
			return err
		}
	}
	switch {
	case t.delimiter == 0:
		return domain.Wrong("file", "No line of this file names a time and a temperature column. Export it from the logger again as text (CSV), with its header.")
	case len(t.rows) == 0:
		return domain.Wrong("file", "The file has a header in line %d and no reading below it.", t.headerLine)
	}
	return nil
}

// table is a file being read.
type table struct {
	told       Told
	delimiter  byte
	headerLine int
	found      Found
	unit       Unit
	date, hour int // columns; hour is -1 where date holds both
	value      int
	unitColumn int // -1: none

	rows  []Row
	walls []wall // beside rows
}

// header looks whether a line names the columns. Lines above it are preamble.
func (t *table) header(n int, line string) error {
	for _, d := range []byte{'\t', ';', ','} {
		names := split(line, d)
		if len(names) < 2 || !t.columns(names) {
			continue
		}
		t.delimiter, t.headerLine = d, n
		t.found = Found{Line: n, Time: names[t.date], Value: names[t.value], Unit: t.unit}
		if t.hour >= 0 {
			t.found.Time += " + " + names[t.hour]
		}
		if t.unit != "" && t.told.Unit != "" && t.unit != t.told.Unit {
			return domain.Wrong("unit", "Line %d says °%s, but °%s was given. Leave the unit to the file, or look whether it is the right file.", n, string(t.unit), string(t.told.Unit))
		}
		if t.unit == "" {
			t.unit = t.told.Unit
		}
		return nil
	}
	return nil
}

// columns finds the columns by their names.
func (t *table) columns(names []string) bool {
	t.date, t.hour, t.value, t.unitColumn, t.unit = -1, -1, -1, -1, ""
	for i, name := range names {
		name = strings.ToLower(name)
		unit, isTemperature := temperatureColumn(name)
		switch {
		case isTemperature && t.value < 0:
			t.value, t.unit = i, unit
		case isTemperature: // a second probe: another sensor's matter
		case name == "unit" || name == "units":
			t.unitColumn = i
		case strings.Contains(name, "date") || strings.Contains(name, "stamp"):
			if t.date < 0 {
				t.date = i
			}
		case strings.Contains(name, "time") || name == "clock":
			t.hour = i
		}
	}
	if t.date < 0 || t.hour >= 0 && strings.Contains(strings.ToLower(names[t.date]), "time") {
		if t.date < 0 {
			t.date = t.hour
		}
		t.hour = -1 // one column holds both
	}
	return t.date >= 0 && t.value >= 0
}

// temperatureColumn says whether a column's name, in lower case, is that of a
// temperature, and its unit if it names one.
func temperatureColumn(name string) (unit Unit, is bool) {
	for _, u := range []struct {
		unit  Unit
		words []string
	}{
		{Fahrenheit, []string{"°f", "ºf", "deg f", "degf", "fahrenheit", "(f)", "[f]", "_f", " f"}},
		{Celsius, []string{"°c", "ºc", "deg c", "degc", "celsius", "(c)", "[c]", "_c", " c"}},
	} {
		for _, w := range u.words {
			if strings.HasSuffix(name, w) || len(w) > 2 && strings.Contains(name, w) || strings.Contains(name, w) && w[0] > 127 {
				unit = u.unit
			}
		}
		if name == strings.ToLower(string(u.unit)) {
			unit = u.unit
		}
	}
	return unit, unit != "" || strings.Contains(name, "temp") || name == "reading" || name == "value"
}

// row reads one line below the header.
func (t *table) row(n int, line string) error {
	cells := split(line, t.delimiter)
	cell := func(i int) string {
		if i < 0 || i >= len(cells) {
			return ""
		}
		return cells[i]
	}
	if len(t.rows) >= mostRows {
		return domain.Wrong("file", "Line %d: this is more than %d readings. Cut the file into pieces.", n, mostRows)
	}
	r := Row{Line: n, RawAt: strings.TrimSpace(cell(t.date) + " " + cell(t.hour)), RawValue: cell(t.value), Unit: t.unit}
	w, ok := readWall(r.RawAt)
	if !ok {
		return domain.Wrong("file", "Line %d: %q is no date and time that can be read. Write dates as 2026-11-07, 11/7/2026 or 7.11.2026.", n, short(r.RawAt))
	}
	number := strings.TrimSpace(r.RawValue)
	if t.unitColumn >= 0 {
		number += " " + strings.TrimSpace(cell(t.unitColumn))
	}
	number, said := cutUnit(number)
	if said != "" && t.unit != "" && said != t.unit {
		return domain.Wrong("unit", "Line %d says °%s where the rest of the file is in °%s.", n, string(said), string(t.unit))
	}
	if said != "" {
		r.Unit = said
	}
	if r.Unit == "" {
		return domain.Wrong("unit", "Neither the header in line %d nor the reading in line %d says whether it is °F or °C. Give the unit.", t.headerLine, n)
	}
	r.C, r.Read = readNumber(number, r.Unit)
	t.rows, t.walls = append(t.rows, r), append(t.walls, w)
	return nil
}

// cutUnit takes a unit off the end of a value such as "38.1 °F". The last letter of a
// word is none: "sync" is no reading in °C.
func cutUnit(s string) (number string, u Unit) {
	for _, u := range []Unit{Fahrenheit, Celsius} {
		for _, end := range []string{string(u), strings.ToLower(string(u))} {
			cut, ok := strings.CutSuffix(s, end)
			if last, _ := utf8.DecodeLastRuneInString(cut); ok && !unicode.IsLetter(last) {
				return strings.TrimSpace(strings.TrimRight(strings.TrimSpace(cut), "°º")), u
			}
		}
	}
	return s, ""
}

// readNumber reads a value with decimal point or comma. Thousands do not occur
// among temperatures, so a comma can only be the decimal one.
func readNumber(s string, u Unit) (domain.Celsius, bool) {
	s = strings.Replace(strings.Replace(s, "−", "-", 1), ",", ".", 1)
	if strings.Trim(s, "+-.0123456789") != "" { // no words, no exponents, no hexadecimals
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || v > 1e6 || v < -1e6 {
		return 0, false
	}
	if u == Fahrenheit {
		return domain.Fahrenheit(v), true
	}
	return domain.Celsius(v), true
}

// split parts a line at the delimiter; a cell in double quotes may hold it, and
// a doubled quote in it is one quote.
func split(line string, delimiter byte) []string {
	if strings.IndexByte(line, '"') < 0 {
		cells := strings.Split(line, string(delimiter))
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
		}
		return cells
	}
	var cells []string
	var cell strings.Builder
	quoted := false
	for i := 0; i < len(line); i++ {
		switch c := line[i]; {
		case c == '"' && quoted && i+1 < len(line) && line[i+1] == '"':
			cell.WriteByte('"')
			i++
		case c == '"':
			quoted = !quoted
		case c == delimiter && !quoted:
			cells = append(cells, strings.TrimSpace(cell.String()))
			cell.Reset()
		default:
			cell.WriteByte(c)
		}
	}
	return append(cells, strings.TrimSpace(cell.String()))
}

// short keeps what is quoted in a sentence short.
func short(s string) string {
	if r := []rune(s); len(r) > 30 {
		return string(r[:30]) + "…"
	}
	return s
}
