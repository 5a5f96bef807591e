package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"
)

// contract is the example of the calculator contract, one field a line, so that
// a test can swap one of them.
var contract = []string{
	`"species":"whitetail"`, `"class":"mature"`, `"form":"whole"`, `"door":"clean"`,
	`"killed_at":"2026-11-07T16:30:00-05:00"`, `"received_at":"2026-11-07T19:10:00-05:00"`, `"now":"2026-11-19T07:00:00-05:00"`,
	`"hanging_weight_kg":40`, `"deep_c_at_door":14.0`, `"kept_before_c":6.0`, `"kept_before":"hung"`,
	`"temperature_of":"air"`, `"readings":[{"at":"2026-11-07T19:00:00-05:00","c":1.7}]`,
	`"looks":[{"at":"2026-11-18T18:05:00-05:00","smell":"clean","surface":"dry","mould":[{"site":"ribs","length_mm":1.8,"colour":"white"}]}]`,
	`"protocol":{"needs_mould_sign":true,"target_fraction":0.8,"ceiling_days":28}`,
}

var room = []string{`"ua_w_per_k":12.26`, `"fan_w":150`, `"fans_on":true`, `"air_kj_per_k":134`, `"ambient_c":25`, `"start_air_c":2`,
	`"start_meat_c":2`, `"animals":12`, `"animal_kg":40`, `"hours":[1,2,4,8,12]`, `"limits_c":[4.4,5,7]`}

// The contract's example of a cure, and the pickle of check value H5.
var (
	mixed   = []string{`"method":"comminuted"`, `"meat_kg":45.36`, `"cure_g":113.4`, `"cure_nitrite_fraction":0.0625`}
	pickled = []string{`"method":"immersed"`, `"pickle_kg":1.266`, `"cure_g":32`, `"cure_nitrite_fraction":0.0588`, `"pump_fraction":0.1`}
)

// with returns the object with the named field replaced, added, or, for "", left
// out.
func with(fields []string, name, field string) string {
	kept := slices.DeleteFunc(slices.Clone(fields), func(f string) bool { return strings.HasPrefix(f, `"`+name+`"`) })
	if field != "" {
		kept = append(kept, field)
	}
	return "{" + strings.Join(kept, ",") + "}"
}

func calculateText(t testing.TB, kind, in string) (map[string]any, int) {
	t.Helper()
	var out bytes.Buffer
	status := calc(kind, strings.NewReader(in), &out)
	result := map[string]any{}
	if err := json.Unmarshal(out.Bytes(), &result); err != nil {
		t.Fatalf("calc %s wrote %q: %v", kind, out.String(), err)
	}
	return result, status
}

func TestCalcReadiness(t *testing.T) {
	got, status := calculateText(t, "readiness", with(contract, "none", ""))
	if status != 0 {
		t.Fatalf("status %d: %v", status, got)
	}
	for _, name := range []string{"condition", "reasons", "assumed", "days_since_kill", "tender_fraction", "degree_days_c", "growth_log10",
		"growth_low_log10", "growth_high_log10", "log_count", "ecoli_log10", "salmonella_log10", "hours_above", "chilled_after_h", "deep_c",
		"gap_hours", "stale_hours", "mould_sign", "ready_from", "cut_by", "cut_by_low", "cut_by_high", "unknown_before_door_h"} {
		if _, ok := got[name]; !ok {
			t.Errorf("%s is missing", name)
		}
	}
	if got["condition"] != "ready" || len(got["reasons"].([]any)) == 0 || len(got["assumed"].([]any)) != 0 {
		t.Errorf("condition %v, reasons %v, assumed %v", got["condition"], got["reasons"], got["assumed"])
	}
	if sign := got["mould_sign"].(map[string]any); sign["reached"] != true || sign["length_mm"] != 1.8 || sign["forecast_at"] != nil {
		t.Errorf("mould sign %v", sign)
	}
	if by := got["cut_by"].(string); by != "2026-12-05T16:30:00-05:00" {
		t.Errorf("cut_by %s, want the kill and 28 days, at the offset of now", by)
	}
	// Kept at 6 °C for 2 h 40 min, wet until the look of day 11: by hand, the walk
	// of package exposure checks the sum itself.
	if days := got["days_since_kill"].(float64); math.Abs(days-(11+14.5/24)) > 1e-9 {
		t.Errorf("days since kill %v", days)
	}
	if stale := got["stale_hours"].(float64); stale != 276 {
		t.Errorf("stale %v h, want 276", stale)
	}
}

// What may be left out is assumed, and said.
func TestCalcAssumes(t *testing.T) {
	lean := `{"species":"moose","form":"quarters","door":"clean","killed_at":"2026-11-07","received_at":"2026-11-07T10:00:00-05:00",
		"now":"2026-11-07T22:00:00-05:00","temperature_of":"air","readings":[{"at":"2026-11-08T10:00:00-05:00","c":2}]}`
	got, status := calculateText(t, "readiness", lean)
	if status != 0 || len(got["assumed"].([]any)) != 4 {
		t.Fatalf("status %d, assumed %v", status, got["assumed"])
	}
	// The date of the kill counts from its midnight at the offset of the drop-off.
	if got["unknown_before_door_h"] != 10.0 || got["days_since_kill"] != 22.0/24 {
		t.Errorf("unknown %v h, %v days", got["unknown_before_door_h"], got["days_since_kill"])
	}
	if got["condition"] != "chilling" || got["chilled_after_h"] != nil {
		t.Errorf("condition %v, chilled after %v", got["condition"], got["chilled_after_h"])
	}
	hog := `{"species":"hog","form":"whole","door":"clean","killed_at":"2026-11-07","received_at":"2026-11-07T10:00:00Z","now":"2026-11-09T22:00:00Z",
		"temperature_of":"meat","readings":[{"at":"2026-11-08T10:00:00Z","c":2}],"protocol":{"needs_mould_sign":true,"target_fraction":0.5}}`
	got, status = calculateText(t, "readiness", hog)
	if status != 0 || got["tender_fraction"] != nil || got["condition"] != "ready" || got["chilled_after_h"] != 0.0 {
		t.Errorf("status %d: %v", status, got)
	}
	if notes := fmt.Sprint(got["assumed"]); !strings.Contains(notes, "does not wait for growth inside the ribs") || !strings.Contains(notes, "target is not counted") {
		t.Errorf("assumed %s", notes)
	}
}

func TestCalcWarmup(t *testing.T) {
	got, status := calculateText(t, "warmup", with(room, "none", ""))
	at := got["at"].([]any)[2].(map[string]any)
	pass := got["passes"].([]any)[0].(map[string]any)
	if status != 0 || math.Abs(at["air_c"].(float64)-8.68) > 0.05 || math.Abs(at["meat_c"].(float64)-4.81) > 0.05 {
		t.Errorf("after 4 h %v, want 8.68 and 4.81 °C (science.md F5, derived)", at)
	}
	if math.Abs(pass["meat_h"].(float64)-3.5) > 0.05 {
		t.Errorf("meat past 4.4 °C: %v, want 3.5 h (science.md F.4, derived)", pass)
	}
	got, _ = calculateText(t, "warmup", with(room, "animals", `"animals":0`))
	if at := got["at"].([]any)[0].(map[string]any); at["meat_c"] != nil || at["surface_c"] != nil || at["air_c"] == nil {
		t.Errorf("empty room: %v", at)
	}
	got, _ = calculateText(t, "warmup", with(room, "fans_on", `"fans_on":false`))
	if at := got["at"].([]any)[4].(map[string]any); math.Abs(at["air_c"].(float64)-9.5) > 0.06 {
		t.Errorf("fans off: %v, want 9.5 °C after 12 h (science.md F.4, derived)", at)
	}
}

func TestCalcYield(t *testing.T) {
	got, status := calculateText(t, "yield", `{"species":"elk","class":"bull","field_dressed_kg":198.22}`)
	if clean, _ := got["boneless_clean_kg"].(float64); status != 0 || math.Abs(clean-98.88) > 0.5 || got["basis"] == "" {
		t.Errorf("bull elk of 437 lb: %v, want 218 lb (University of Wyoming B-594R)", got)
	}
	got, status = calculateText(t, "yield", `{"species":"whitetail","class":"mature","hanging_kg":45}`)
	if low, _ := got["boneless_typical_kg"].(float64); status != 0 || math.Abs(low-0.469*45) > 1e-9 {
		t.Errorf("45 kg whitetail: %v (classic formula, from memory)", got)
	}
}

func TestCalcCure(t *testing.T) {
	for _, tt := range []struct {
		in      string
		ppm     float64
		limit   float64
		verdict string
	}{
		{with(mixed, "none", ""), 156.25, 156, "ok"},
		{with(mixed, "cure_g", `"cure_g":70`), 96.45, 156, "under"},
		{with(mixed, "cure_g", `"cure_g":141.7`), 195.25, 156, "over"},
		{with(mixed, "cure_g", `"cure_g":170`), 234.24, 156, "refused"},
		{with(mixed, "method", `"method":"dry-cured"`), 156.25, 625, "ok"},
		{with(pickled, "none", ""), 148.62, 200, "ok"},
		{with(pickled, "method", `"method":"bacon-immersed"`), 148.62, 120, "over"},
		{with(pickled, "meat_kg", `"meat_kg":12`), 148.62, 200, "ok"},
	} {
		got, status := calculateText(t, "cure", tt.in)
		if ppm, _ := got["nitrite_ppm"].(float64); status != 0 || math.Abs(ppm-tt.ppm) > 0.01 || got["limit_ppm"] != tt.limit || got["verdict"] != tt.verdict {
			t.Errorf("%s: %d %v, want %v ppm of %v, %s (by hand from FSIS 7620.3)", tt.in, status, got, tt.ppm, tt.limit, tt.verdict)
		}
	}
}

// Every bad input is refused with its field, and nothing is guessed.
func TestCalcRefuses(t *testing.T) {
	swap := func(name, field string) string { return with(contract, name, field) }
	look := func(s string) string { return swap("looks", `"looks":[`+s+`]`) }
	read := func(s string) string {
		return swap("readings", `"readings":[{"at":"2026-11-08T10:00:00Z","c":2},`+s+`]`)
	}
	for _, tt := range []struct{ name, kind, in, field string }{
		{"nothing", "readiness", ``, ""},
		{"no object", "readiness", `[1]`, ""},
		{"a number", "readiness", `7`, ""},
		{"half an object", "readiness", `{"species":"whitetail"`, ""},
		{"text after it", "readiness", swap("none", "") + `{}`, ""},
		{"a letter after it", "readiness", swap("none", "") + `x`, ""},
		{"not UTF-8", "readiness", "{\"species\":\"\xff\"}", ""},
		{"a comma too many", "readiness", `{"species":"whitetail",}`, ""},
		{"unknown kind", "horoscope", `{}`, ""},
		{"unknown name", "readiness", swap("colour", `"colour":"brown"`), "colour"},
		{"other case", "readiness", swap("form", `"Form":"whole"`), "Form"},
		{"twice", "readiness", swap("none", `"species":"elk"`), "species"},
		{"twice below", "readiness", read(`{"at":"2026-11-08T11:00:00Z","c":2,"c":3}`), "readings[1].c"},
		{"null", "readiness", swap("hanging_weight_kg", `"hanging_weight_kg":null`), "hanging_weight_kg"},
		{"null below", "readiness", look(`{"at":"2026-11-08T11:00:00Z","smell":null,"surface":"dry"}`), "looks[0].smell"},
		{"missing", "readiness", swap("door", ""), "door"},
		{"no readings", "readiness", swap("readings", ""), "readings"},
		{"empty readings", "readiness", swap("readings", `"readings":[]`), "readings"},
		{"readings no list", "readiness", swap("readings", `"readings":{"at":1}`), "readings"},
		{"reading no object", "readiness", read(`3`), "readings[1]"},
		{"reading too hot", "readiness", read(`{"at":"2026-11-08T11:00:00Z","c":60.1}`), "readings[1].c"},
		{"reading too cold", "readiness", read(`{"at":"2026-11-08T11:00:00Z","c":-40.1}`), "readings[1].c"},
		{"reading as text", "readiness", read(`{"at":"2026-11-08T11:00:00Z","c":"2"}`), "readings[1].c"},
		{"reading beyond numbers", "readiness", read(`{"at":"2026-11-08T11:00:00Z","c":1e999}`), "readings[1].c"},
		{"reading without time", "readiness", read(`{"c":2}`), "readings[1].at"},
		{"time without offset", "readiness", read(`{"at":"2026-11-08T11:00:00","c":2}`), "readings[1].at"},
		{"a day that is none", "readiness", swap("killed_at", `"killed_at":"2026-02-30"`), "killed_at"},
		{"killed after the door", "readiness", swap("killed_at", `"killed_at":"2026-11-07T19:10:01-05:00"`), "killed_at"},
		{"received after now", "readiness", swap("now", `"now":"2026-11-07T19:09:59-05:00"`), "received_at"},
		{"a year that cannot be", "readiness", read(`{"at":"0026-11-08T11:00:00Z","c":2}`), "readings[1].at"},
		{"a time as number", "readiness", swap("now", `"now":7`), "now"},
		{"unknown species", "readiness", swap("species", `"species":"unicorn"`), "species"},
		{"class of another", "readiness", swap("class", `"class":"bull"`), "class"},
		{"unknown form", "readiness", swap("form", `"form":"minced"`), "form"},
		{"unknown door", "readiness", swap("door", `"door":"open"`), "door"},
		{"weight too small", "readiness", swap("hanging_weight_kg", `"hanging_weight_kg":0.99`), "hanging_weight_kg"},
		{"weight too large", "readiness", swap("hanging_weight_kg", `"hanging_weight_kg":1500.1`), "hanging_weight_kg"},
		{"deep too hot", "readiness", swap("deep_c_at_door", `"deep_c_at_door":61`), "deep_c_at_door"},
		{"kept too cold", "readiness", swap("kept_before_c", `"kept_before_c":-41`), "kept_before_c"},
		{"kept otherwise", "readiness", swap("kept_before", `"kept_before":"thrown"`), "kept_before"},
		{"of neither", "readiness", swap("temperature_of", `"temperature_of":"wall"`), "temperature_of"},
		{"look to come", "readiness", look(`{"at":"2026-11-19T07:00:01-05:00","smell":"clean","surface":"dry"}`), "looks[0].at"},
		{"unknown smell", "readiness", look(`{"at":"2026-11-08T11:00:00Z","smell":"nice","surface":"dry"}`), "looks[0].smell"},
		{"unknown surface", "readiness", look(`{"at":"2026-11-08T11:00:00Z","smell":"clean","surface":"shiny"}`), "looks[0].surface"},
		{"unknown site", "readiness", look(`{"at":"2026-11-08T11:00:00Z","smell":"clean","surface":"dry","mould":[{"site":"hoof","length_mm":1,"colour":"white"}]}`), "looks[0].mould[0].site"},
		{"negative length", "readiness", look(`{"at":"2026-11-08T11:00:00Z","smell":"clean","surface":"dry","mould":[{"site":"ribs","length_mm":-1,"colour":"white"}]}`), "looks[0].mould[0].length_mm"},
		{"unknown colour", "readiness", look(`{"at":"2026-11-08T11:00:00Z","smell":"clean","surface":"dry","mould":[{"site":"ribs","length_mm":1,"colour":"mauve"}]}`), "looks[0].mould[0].colour"},
		{"target above one", "readiness", swap("protocol", `"protocol":{"target_fraction":1.01}`), "protocol.target_fraction"},
		{"no ceiling", "readiness", swap("protocol", `"protocol":{"ceiling_days":0}`), "protocol.ceiling_days"},
		{"truth as text", "readiness", swap("protocol", `"protocol":{"needs_mould_sign":"yes"}`), "protocol.needs_mould_sign"},
		{"protocol unknown name", "readiness", swap("protocol", `"protocol":{"days":3}`), "protocol.days"},
		{"protocol no object", "readiness", swap("protocol", `"protocol":3`), "protocol"},
		{"nested for ever", "readiness", `{"a":` + strings.Repeat("[", 5000) + strings.Repeat("]", 5000) + `}`, "a" + strings.Repeat("[0]", 16)},
		{"two weights", "yield", `{"species":"elk","field_dressed_kg":100,"hanging_kg":90}`, "field_dressed_kg"},
		{"no weight", "yield", `{"species":"elk"}`, "field_dressed_kg"},
		{"beef in the field", "yield", `{"species":"beef","field_dressed_kg":100}`, "field_dressed_kg"},
		{"hanging too light", "yield", `{"species":"beef","hanging_kg":0}`, "hanging_kg"},
		{"unknown method", "cure", with(mixed, "method", `"method":"boiled"`), "method"},
		{"no method", "cure", with(mixed, "method", ""), "method"},
		{"too little meat", "cure", with(mixed, "meat_kg", `"meat_kg":0.5`), "meat_kg"},
		{"no meat", "cure", with(mixed, "meat_kg", ""), "meat_kg"},
		{"cure below nothing", "cure", with(mixed, "cure_g", `"cure_g":-1`), "cure_g"},
		{"more cure than meat", "cure", with(mixed, "cure_g", `"cure_g":45361`), "cure_g"},
		{"per cent for a fraction", "cure", with(mixed, "cure_nitrite_fraction", `"cure_nitrite_fraction":6.25`), "cure_nitrite_fraction"},
		{"a cure without nitrite", "cure", with(mixed, "cure_nitrite_fraction", `"cure_nitrite_fraction":0`), "cure_nitrite_fraction"},
		{"pickle for a sausage", "cure", with(mixed, "pickle_kg", `"pickle_kg":10`), "pickle_kg"},
		{"no pickle", "cure", with(pickled, "pickle_kg", ""), "pickle_kg"},
		{"no pick-up", "cure", with(pickled, "pump_fraction", ""), "pump_fraction"},
		{"a pick-up of ten", "cure", with(pickled, "pump_fraction", `"pump_fraction":10`), "pump_fraction"},
		{"nothing taken up", "cure", with(pickled, "pump_fraction", `"pump_fraction":0`), "pump_fraction"},
		{"half an animal", "warmup", with(room, "animals", `"animals":1.5`), "animals"},
		{"fewer than none", "warmup", with(room, "animals", `"animals":-1`), "animals"},
		{"no air", "warmup", with(room, "air_kj_per_k", `"air_kj_per_k":0`), "air_kj_per_k"},
		{"hours no list", "warmup", with(room, "hours", `"hours":4`), "hours"},
		{"hour as text", "warmup", with(room, "hours", `"hours":[1,"2"]`), "hours[1]"},
		{"limit too hot", "warmup", with(room, "limits_c", `"limits_c":[61]`), "limits_c[0]"},
		{"missing below", "warmup", with(room, "ambient_c", ""), "ambient_c"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, status := calculateText(t, tt.kind, tt.in)
			problem, _ := got["error"].(map[string]any)
			if status != 2 || len(got) != 1 || problem["field"] != tt.field || problem["message"] == "" {
				t.Errorf("status %d, %v; want 2 and field %q", status, got, tt.field)
			}
		})
	}
}

func TestCalcNamesItsKinds(t *testing.T) {
	got, _ := calculateText(t, "horoscope", `{}`)
	message := got["error"].(map[string]any)["message"].(string)
	for _, k := range kinds {
		if !strings.Contains(message, k.name) {
			t.Errorf("%q does not name %s", message, k.name)
		}
	}
}

// A date counts from midnight at the offset of the drop-off, also where the
// machine stands in a zone that changed its clocks in between.
func TestCalcDateOfKill(t *testing.T) {
	local, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	was := time.Local
	time.Local = local
	defer func() { time.Local = was }()
	in := `{"species":"elk","form":"whole","door":"clean","killed_at":"2026-11-01","received_at":"2026-11-01T12:00:00-05:00",
		"now":"2026-11-01T12:00:00-05:00","temperature_of":"air","readings":[{"at":"2026-11-01T10:00:00-05:00","c":2}]}`
	if got, _ := calculateText(t, "readiness", in); got["unknown_before_door_h"] != 12.0 {
		t.Errorf("%v h before the door, want 12: clocks went back that night", got["unknown_before_door_h"])
	}
}

// The order of readings does not matter, and the first of two at one instant counts.
func TestCalcOrder(t *testing.T) {
	rows := []string{`{"at":"2026-11-08T10:00:00Z","c":2}`, `{"at":"2026-11-09T10:00:00Z","c":6}`, `{"at":"2026-11-09T10:00:00Z","c":1}`, `{"at":"2026-11-12T10:00:00Z","c":0}`}
	in := func(order ...int) string {
		var list []string
		for _, i := range order {
			list = append(list, rows[i])
		}
		return with(contract, "readings", `"readings":[`+strings.Join(list, ",")+`]`)
	}
	first, _ := calculateText(t, "readiness", in(0, 1, 2, 3))
	mixed, _ := calculateText(t, "readiness", in(3, 1, 0, 2))
	other, _ := calculateText(t, "readiness", in(0, 2, 1, 3))
	if fmt.Sprint(first) != fmt.Sprint(mixed) {
		t.Errorf("another order, another result:\n%v\n%v", first, mixed)
	}
	if fmt.Sprint(first) == fmt.Sprint(other) {
		t.Error("of two readings at one instant the first given must count")
	}
}

// Whatever is typed, the answer is one JSON object without NaN, and bad input
// names what is bad.
func FuzzCalc(f *testing.F) {
	f.Add("readiness", with(contract, "none", ""))
	f.Add("warmup", with(room, "none", ""))
	f.Add("yield", `{"species":"elk","class":"bull","field_dressed_kg":198.22}`)
	f.Add("cure", with(mixed, "none", ""))
	f.Add("cure", with(pickled, "none", ""))
	f.Add("plan", cutPlan)
	f.Add("readiness", `{"readings":[{"at":"","c":null}]}`)
	f.Add("warmup", with(room, "ua_w_per_k", `"ua_w_per_k":0`))
	f.Fuzz(func(t *testing.T, kind, in string) {
		started := time.Now()
		got, status := calculateText(t, kind, in)
		_, failed := got["error"]
		if status != 0 && status != 2 || failed != (status == 2) {
			t.Errorf("status %d, %v", status, got)
		}
		if time.Since(started) > 5*time.Second {
			t.Errorf("took %v", time.Since(started))
		}
	})
}
