package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"coldrail/domain"
)

// The largest text and the deepest nesting the calculator reads.
const (
	longestText = 64 << 20
	deepestText = 16
)

// object is one JSON object, read strictly: every name once, nothing null. Its
// methods take a field, refuse it by its path if it is not what is asked for, and
// keep the first refusal in the form.
type object struct {
	form   *form
	path   string // "" at the top, "readings[3]." below
	names  []string
	values map[string]any
}

// form is one text being read. The first thing wrong with it stays.
type form struct{ err error }

func (f *form) wrong(path, format string, args ...any) {
	if f.err == nil {
		f.err = domain.Wrong(path, format, args...)
	}
}

// readObject reads exactly one JSON object and nothing else.
func readObject(in io.Reader) (*object, error) {
	text, err := io.ReadAll(io.LimitReader(in, longestText+1))
	if err != nil {
		return nil, fmt.Errorf("read the input: %w", err)
	}
	switch {
	case len(text) > longestText:
		return nil, domain.Wrong("", "The text is longer than 64 MB.")
	case !utf8.Valid(text):
		return nil, domain.Wrong("", "The text is not UTF-8.")
	case !json.Valid(text):
		return nil, domain.Wrong("", "The text is not one JSON object.")
	}
	f := &form{}
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.UseNumber()
	o, ok := f.value(decoder, "", 0).(*object)
	if f.err != nil {
		return nil, f.err
	}
	if !ok {
		return nil, domain.Wrong("", "The text must be one JSON object, in braces.")
	}
	return o, nil
}

// value reads the next value of a text known to be valid JSON.
func (f *form) value(d *json.Decoder, path string, depth int) any {
	token, err := d.Token()
	switch {
	case err != nil:
		f.wrong("", "The text is not one JSON object.")
		return nil
	case depth > deepestText:
		f.wrong(path, "The text is nested too deeply.")
		return nil
	case token == nil:
		f.wrong(path, "null is not taken. Leave the name out instead.")
	case token == json.Delim('{'):
		return f.object(d, path, depth)
	case token == json.Delim('['):
		list := []any{}
		for d.More() && f.err == nil {
			list = append(list, f.value(d, fmt.Sprintf("%s[%d]", path, len(list)), depth+1))
		}
		if f.err == nil {
			_, _ = d.Token() // the closing bracket: the text is valid JSON
		}
		return list
	}
	return token
}

func (f *form) object(d *json.Decoder, path string, depth int) *object {
	o := &object{form: f, path: path, values: map[string]any{}}
	if path != "" {
		o.path += "."
	}
	for d.More() && f.err == nil {
		token, err := d.Token()
		name, ok := token.(string)
		if err != nil || !ok {
			f.wrong(path, "A name is missing.")
			return o
		}
		if slices.Contains(o.names, name) {
			f.wrong(o.path+name, "This name stands here twice.")
			return o
		}
		o.names = append(o.names, name)
		o.values[name] = f.value(d, o.path+name, depth+1)
	}
	if f.err == nil {
		_, _ = d.Token() // the closing brace: the text is valid JSON
	}
	return o
}

// only refuses every name not in known.
func (o *object) only(known ...string) {
	for _, name := range o.names {
		if slices.Contains(known, name) {
			continue
		}
		for _, k := range known {
			if strings.EqualFold(k, name) {
				o.form.wrong(o.path+name, "This name is written %s.", k)
			}
		}
		o.form.wrong(o.path+name, "This name is not known here. Known are: %s.", strings.Join(known, ", "))
	}
}

// has reports whether the name is there.
func (o *object) has(name string) bool { return slices.Contains(o.names, name) }

// take returns the value of a name that must be there.
func take[T any](o *object, name, kind string) (v T, ok bool) {
	if !o.has(name) {
		o.form.wrong(o.path+name, "This is missing.")
		return v, false
	}
	if v, ok = o.values[name].(T); !ok {
		o.form.wrong(o.path+name, "This must be %s.", kind)
	}
	return v, ok
}

// number returns a number from lo to hi.
func (o *object) number(name string, lo, hi float64) float64 {
	n, ok := take[json.Number](o, name, "a number")
	if !ok {
		return 0
	}
	return o.inRange(name, n, lo, hi)
}

func (o *object) inRange(name string, n json.Number, lo, hi float64) float64 {
	v, err := n.Float64()
	if err != nil || v < lo || v > hi {
		o.form.wrong(o.path+name, "This must be from %g to %g, not %s.", lo, hi, shorten(n.String()))
		return 0
	}
	return v
}

// numbers returns a list of numbers from lo to hi.
func (o *object) numbers(name string, lo, hi float64) []float64 {
	list, _ := take[[]any](o, name, "a list of numbers")
	var out []float64
	for i, item := range list {
		at := fmt.Sprintf("%s[%d]", name, i)
		n, ok := item.(json.Number)
		if !ok {
			o.form.wrong(o.path+at, "This must be a number.")
			return nil
		}
		out = append(out, o.inRange(at, n, lo, hi))
	}
	return out
}

// count returns a whole number from 0 to hi.
func (o *object) count(name string, hi float64) int {
	v := o.number(name, 0, hi)
	if v != math.Trunc(v) {
		o.form.wrong(o.path+name, "This must be a whole number.")
		return 0
	}
	return int(v)
}

// truth returns true or false.
func (o *object) truth(name string) bool {
	v, _ := take[bool](o, name, "true or false")
	return v
}

// text returns a text.
func (o *object) text(name string) string {
	v, _ := take[string](o, name, "a text")
	return v
}

// word returns one of the known words.
func word[T ~string](o *object, name string, known []T) T {
	v := T(o.text(name))
	if o.form.err == nil && !slices.Contains(known, v) {
		list := make([]string, len(known))
		for i, k := range known {
			list[i] = string(k)
		}
		o.form.wrong(o.path+name, "%q is not known here. Known are: %s.", shorten(string(v)), strings.Join(list, ", "))
	}
	return v
}

// instant returns a moment written as in RFC 3339, at the offset it is written
// with, never at the machine's own zone: that one may change its clocks between
// two moments of the same text.
func (o *object) instant(name string) time.Time {
	s := o.text(name)
	var t time.Time
	switch {
	case o.form.err != nil:
	case t.UnmarshalText([]byte(s)) != nil:
		o.form.wrong(o.path+name, "%q is not a moment as in 2026-11-07T16:30:00-05:00.", shorten(s))
	case t.Year() < 1900 || t.Year() > 2199:
		o.form.wrong(o.path+name, "The year %d cannot be right.", t.Year())
	}
	_, offset := t.Zone()
	return t.In(time.FixedZone("", offset))
}

// objects returns a list of objects; none where the name is absent.
func (o *object) objects(name string) []*object {
	if !o.has(name) {
		return nil
	}
	list, _ := take[[]any](o, name, "a list")
	out := make([]*object, 0, len(list))
	for i, item := range list {
		each, ok := item.(*object)
		if !ok {
			o.form.wrong(fmt.Sprintf("%s%s[%d]", o.path, name, i), "This must be an object, in braces.")
			return nil
		}
		out = append(out, each)
	}
	return out
}

// shorten keeps a long value from filling the message.
func shorten(s string) string {
	if runes := []rune(s); len(runes) > 40 {
		return string(runes[:40]) + "..."
	}
	return s
}
