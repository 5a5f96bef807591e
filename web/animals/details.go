package animals

import (
	"context"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/batch"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"
	"coldrail/domain/message"
	"coldrail/domain/register"
	"coldrail/domain/round"
	"coldrail/web/ui"
)

// detail is how a thing that an act left on the time line is told.
type detail struct {
	name string                         // as the shop says it; "" where the value tells it all
	said map[string]string              // what stands for a code
	by   func(code string) domain.Words // the same, where the domain has the words
}

// words are those of a code; it shows as it was written where there are none, as what
// people typed does.
func (d detail) words(ctx context.Context, code string) string {
	if said := d.said[code]; said != "" {
		return ui.T(ctx, said)
	}
	if d.by != nil {
		if w := d.by(code); w.Format != "" && w.Format != "%s" {
			return ui.Say(ctx, w)
		}
	}
	return code
}

func by[T ~string](words func(T) domain.Words) func(string) domain.Words {
	return func(code string) domain.Words { return words(T(code)) }
}

func fieldNamed(name string) domain.Words {
	at := slices.IndexFunc(register.Fields, func(f register.Field) bool { return f.Name == name })
	if at < 0 {
		return domain.Words{}
	}
	return register.Fields[at].Label
}

var gradeWords = map[string]string{
	string(animal.Clean): "clean", string(animal.SmallFault): "small fault", string(animal.BadFault): "bad fault", string(animal.RefuseGrade): "refuse",
}

// noFault are those grades where clean would not be said.
var noFault = map[string]string{
	string(animal.Clean): "no fault", string(animal.SmallFault): "small fault", string(animal.BadFault): "bad fault", string(animal.RefuseGrade): "refuse",
}

// detailWords are the details that acts of package db leave on an animal's time line,
// by the name they are written under.
var detailWords = map[string]detail{
	// drop-off, rail, rounds
	"species":          {name: "species", by: by(domain.Species.Words)},
	"form":             {name: "form", said: map[string]string{string(domain.Whole): "whole, skinned", string(domain.WholeHideOn): "whole, hide on", string(domain.Quarters): "in quarters", string(domain.Boned): "boned"}},
	"door":             {name: "door check", said: map[string]string{"clean": "no bad fault written down", "damaged": "damaged: cut first"}},
	"door-dirt":        {name: "dirt", said: gradeWords},
	"door-gut":         {name: "gut", said: gradeWords},
	"door-shot":        {name: "shot damage", said: gradeWords},
	"door-temperature": {name: "temperature", said: noFault},
	"door-smell":       {name: "smell", said: gradeWords},
	"door-surface":     {name: "surface", said: gradeWords},
	"door-insects":     {name: "insects", said: gradeWords},
	"owed":             {name: "fields owed to the register"},
	"road":             {name: "on the road"},
	"killed":           {name: "killed"},
	"killed_was":       {name: "before"},
	"sentences":        {name: "sentences signed"},
	"place":            {name: "place", said: map[string]string{"old": "an old one", "new": "a new one", "door": "by the door", "middle": "in the middle", "far": "at the far end"}},
	"from":             {name: "from"},
	"left-there":       {name: "left on that hook"},
	"two-on-one-hook":  {name: "two on one hook"},
	"kg":               {},
	"was_kg":           {name: "before"},
	"tare_kg":          {name: "tare"},
	"scale":            {name: "scale"},
	"L":                {name: "left side"},
	"R":                {name: "right side"},
	"smell":            {name: "smell", by: by(round.Smell.Words)},
	"surface":          {name: "surface", by: by(round.Surface.Words)},
	"mould":            {name: "mold"},
	"note":             {name: "note"},
	"why":              {name: "why"},
	"decision":         {name: "decision", by: by(round.Decision.Words)},
	"room":             {name: "room"},
	"meat_c":           {name: "in the meat"},
	"up to day":        {name: "up to day"},
	"humidity %":       {name: "humidity in percent"},
	"air m/s":          {name: "air in m/s"},
	"from version":     {name: "rule before, version"},
	"to version":       {name: "rule now, version"},

	// holds and tests
	"for":       {name: "held for", by: by(hold.Kind.Words)},
	"of":        {name: "hold", by: by(hold.Kind.Words)},
	"tag read":  {name: "number on the tag"},
	"carcass":   {name: "number on the carcass"},
	"card":      {name: "number on the card"},
	"number":    {name: "number"},
	"lab":       {name: "laboratory"},
	"elsewhere": {name: "drawn elsewhere"},
	"result":    {name: "result", by: db.ResultWords},
	"read":      {name: "read in", said: map[string]string{string(hold.AgencySite): "the agency's site", string(hold.AgencyLetter): "a letter of the agency", string(hold.LabReport): "the laboratory's report", string(hold.AgencyCall): "a call to the agency", string(hold.OwnerSays): "what the owner says"}},
	"dated":     {name: "dated"},
	"as":        {name: "meanwhile", said: map[string]string{"boned": "boned", "whole": "whole"}},
	"tag_is":    {name: "the tag is", said: custodyWords},
	"fields":    {name: "fields", by: fieldNamed},

	// the order and the table
	"version":               {name: "version"},
	"order version":         {name: "order version"},
	"lines":                 {name: "lines"},
	"by way of":             {name: "taken", said: map[string]string{"counter": "at the counter", "phone": "by phone", "card": "from the card", "repeat": "same as before"}},
	"share":                 {name: "share", by: by(cutting.Portion.Words)},
	"owners disagree":       {name: "things the owners disagree on"},
	"still to ask":          {name: "still something to ask"},
	"days":                  {name: "days to hang"},
	"days the owner wanted": {name: "days the owner wanted"},
	"not the first":         {name: "why not the first"},
	"instead of":            {name: "instead of"},
	"cut":                   {name: "cut"},
	"packs":                 {name: "packs"},
	"packs in all":          {name: "packs in all"},
	"kind":                  {name: "kind", said: map[string]string{"carcass": "carcass", "card": "card"}, by: cutting.TrimWords},
	"line":                  {name: "line", by: cutting.TrimWords}, // a cut or a price by its own name, or a kind of trim
	"thrown away of":        {name: "part thrown away", by: by(cutting.Part.Words)},
	"all weighed":           {name: "all of it weighed"},
	"piece":                 {name: "piece", said: map[string]string{"L": "left side", "R": "right side"}},
	"what":                  {name: "what", by: by(cutting.PieceKind.Words)},
	"went":                  {name: "went", by: cutting.WayWords},
	"where":                 {name: "lies at"},
	"frozen":                {name: "frozen"},
	"label":                 {name: "label", said: map[string]string{"pack": "pack", "box": "box", "tag": "tag", "piece": "piece"}},
	"labels":                {name: "labels"},

	// the kill of livestock
	"owners":        {name: "owners"},
	"age":           {name: "age", said: map[string]string{"older": "30 months or older", "younger": "younger than 30 months"}},
	"known_by":      {name: "by", said: map[string]string{"teeth": "its teeth", "papers": "its papers"}},
	"barrel":        {name: "barrel"},
	"was in barrel": {name: "barrel before"},
	"not out":       {name: "not taken out after all"},
	"quarters":      {name: "quarters"},
	"marks":         {name: "words stamped"},

	// batches
	"batch":   {name: "batch"},
	"product": {name: "product", by: by(batch.Product.Words)},
	"added":   {name: "added", said: map[string]string{"pork": "pork", "beef": "beef"}},
	"mark":    {name: "inspection mark"},
	"nitrite": {name: "cure"},
	"animals": {name: "animals"},
	"machine": {name: "machine"},
	"was":     {name: "before", by: by(db.BatchStatus.Words)},

	// money, boxes, whoever collects
	"amount":                  {name: "amount"},
	"total":                   {name: "total"},
	"receipt":                 {name: "receipt"},
	"a_day":                   {name: "a day"},
	"unpaid":                  {name: "still to pay"},
	"boxes":                   {name: "boxes"},
	"box":                     {name: "box"},
	"from box":                {name: "from box"},
	"to box":                  {name: "to box"},
	"stays":                   {name: "stays here"},
	"still to come":           {name: "still to come"},
	"given_back":              {name: "things given back"},
	"tag_back":                {name: "official tag given back"},
	"boxes that had not left": {name: "boxes that had not left"},
	"collector":               {name: "collected by", said: map[string]string{string(animal.ByOwner): "the owner", string(animal.ByName): "somebody the owner named", string(animal.ByStub): "whoever had the stub"}},
	"said":                    {name: "the owner said so", said: wayWords},
	"programme":               {name: "food program"},

	// what owners are told
	"way":      {name: "how", said: wayWords},
	"outcome":  {name: "what came of it", said: outcomeWords},
	"about":    {name: "about", by: by(message.Kind.Words)},
	"day":      {name: "day"},
	"before":   {name: "before"},
	"how":      {name: "sent", said: map[string]string{"mail": "by mail", "certified": "certified"}},
	"no_texts": {name: "wants no more texts"},
	"no_mail":  {name: "wants no more mail"},
}

// wayWords are the ways in which owners are told and in which they pay.
var wayWords = map[string]string{
	"call": "by phone", "text": "by text", "e-mail": "mail", "mail": "letter", "in person": "in person",
	"cash": "cash", "check": "check", "card": "card", "other": "other",
}

var outcomeWords = map[string]string{
	"spoke": "spoke", "left word": "left word", "no answer": "no answer", "busy": "line busy", "sent": "sent", "failed": "did not go through",
	"noted before": "noted before",
}

var custodyWords = map[string]string{"on-carcass": "on the carcass", "on-card": "on the card", "with-boxes": "with the boxes", "returned": "given back", "lost": "lost"}

// typedAs names what was typed with an act where it is no reason: it stands beside the
// time line as its "why" (db/record.go, TimeLine).
var typedAs = map[string]string{
	"look": "note", "hand-over": "note", "start": "not the first", "give-line": "line",
	"sign-owner": "note", "sign-extend": "note", "sign-weekly": "note", "sign-end": "note",
}

// left is what an act left on the time line and beside it, by the names it is told under.
func left(h db.Happening) map[string]any {
	as, why := typedAs[h.What], h.Detail["why"]
	if as == "" || why == nil {
		return h.Detail
	}
	told := maps.Clone(h.Detail)
	delete(told, "why")
	told[as] = why
	return told
}

// details words what an act left on the time line. What is empty is left out.
func details(ctx context.Context, left map[string]any) []string {
	var said []string
	for _, key := range slices.Sorted(maps.Keys(left)) {
		d, known := detailWords[key]
		name := key
		if known {
			name = ui.T(ctx, d.name)
		}
		value, alone := d.value(ctx, key, left[key])
		switch {
		case value == "" && !alone:
		case alone:
			said = append(said, name)
		case name == "":
			said = append(said, value)
		default:
			said = append(said, ui.T(ctx, "%s: %s", name, value))
		}
	}
	return said
}

// value is what stands behind the name; alone says that the name tells it all.
func (d detail) value(ctx context.Context, key string, v any) (said string, alone bool) {
	switch v := v.(type) {
	case string:
		if day, err := time.Parse(time.DateOnly, v); err == nil {
			return ui.Day(ctx, ui.Calendar(ctx, day)), false
		}
		if at, err := time.Parse(db.RegisterTime, v); err == nil {
			return ui.Moment(ctx, at), false
		}
		return strings.TrimSuffix(d.words(ctx, v), "."), false // it stands in a row of them
	case bool:
		return "", v
	case float64:
		switch {
		case key == "owed" && v == 0:
			return "", false // nothing is owed: nothing to say
		case key == "kg" || strings.HasSuffix(key, "_kg"):
			return ui.Weight(ctx, domain.Kilogram(v)), false
		case strings.HasSuffix(key, "_c"):
			return ui.Temp1(ctx, domain.Celsius(v)), false
		}
		return strconv.FormatFloat(v, 'f', -1, 64), false
	case []any:
		list := make([]string, len(v))
		for i, one := range v {
			list[i], _ = d.value(ctx, key, one)
		}
		return strings.Join(list, ", "), false
	}
	if w, is := domain.KeptWords(v); is {
		return strings.TrimSuffix(ui.Say(ctx, w), "."), false // it stands in a row of them
	}
	return "", false
}
