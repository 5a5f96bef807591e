package web_test

import (
	"net/http"
	"strings"
	"testing"

	"coldrail/web/webtest"

	"github.com/go-chi/chi/v5"
)

// waysBack says of every act what mends a slip of it: an address where it is put right,
// always by a new line with its reason, or after a dash why there is none. Whoever adds
// an act says here how it is mended.
var waysBack = map[string]string{
	// looked up, or of no consequence to any animal
	"/s":                    "- only looks a page up",
	"/manifest.webmanifest": "- a file of the page, nothing is done by asking",
	"/sw.js":                "- a file of the page, nothing is done by asking",
	"/readings":             "- a sensor's; a reading that is wrong is flagged and left out, never changed",
	"/scales/{name}":        "- a scale's; a weight nobody takes lapses",
	"/who":                  "/who",
	"/who/language":         "/who/language",
	"/enrol":                "/office/tablets/{id}/away",
	"/setup/open":           "/office/shop",
	"/setup/prices":         "/office/prices/new",

	// drop-off
	"/dropoff":                  "/dropoff/owed/{number}",
	"/dropoff/forms":            "/dropoff/forms",
	"/dropoff/night":            "/dropoff/night",
	"/dropoff/owed/{number}":    "/dropoff/owed/{number}",
	"/dropoff/refused":          "- nothing came in; whoever was turned away by a slip is taken in at /dropoff, and both stand",
	"/dropoff/{number}/receipt": "- says that a sheet of paper was handed over; it is printed again from the animal's page",
	"/dropoff/{number}/same":    "/animals/{number}/order",
	"/dropoff/{number}/sign":    "/dropoff/{number}/sign",
	"/bookings":                 "/bookings/drop",
	"/bookings/day":             "/bookings/day",
	"/bookings/drop":            "/bookings",
	"/skinning/{number}":        "/animals/{number}/weight",
	"/rail/move":                "/rail/move",

	// the animal's record
	"/alarms/{id}":                          "- says who looks after it; the room's record goes on by itself",
	"/animals/{number}/call":                "/animals/{number}/call",
	"/animals/{number}/decide":              "/animals/{number}/decide",
	"/animals/{number}/holds":               "/animals/{number}/holds/{hold}",
	"/animals/{number}/holds/{hold}":        "/animals/{number}/holds",
	"/animals/{number}/kill":                "/animals/{number}/kill/correct",
	"/animals/{number}/kill/correct":        "/animals/{number}/kill/correct",
	"/animals/{number}/kill/spine":          "/animals/{number}/kill/spine/right",
	"/animals/{number}/kill/spine/right":    "/animals/{number}/kill/spine/right",
	"/animals/{number}/kill/stamp":          "/animals/{number}/kill/stamp/off",
	"/animals/{number}/kill/stamp/off":      "/animals/{number}/kill/stamp",
	"/animals/{number}/kill/told":           "/animals/{number}/call",
	"/animals/{number}/look":                "/animals/{number}/look",
	"/animals/{number}/messages/{person}":   "/animals/{number}/messages/{person}",
	"/animals/{number}/order":               "/animals/{number}/order",
	"/animals/{number}/pieces":              "/animals/{number}/pieces/{mark}",
	"/animals/{number}/pieces/{mark}":       "/animals/{number}/pieces/{mark}/back",
	"/animals/{number}/pieces/{mark}/back":  "/animals/{number}/pieces/{mark}",
	"/animals/{number}/pieces/{mark}/place": "/animals/{number}/pieces/{mark}/place",
	"/animals/{number}/printed":             "- counts a label as printed; printing it again counts again",
	"/animals/{number}/promise":             "/animals/{number}/promise",
	"/animals/{number}/sample":              "/animals/{number}/sample",
	"/animals/{number}/sample/meanwhile":    "/animals/{number}/sample/meanwhile",
	"/animals/{number}/sample/result":       "/animals/{number}/holds",
	"/animals/{number}/sample/send":         "/animals/{number}/sample/result",
	"/animals/{number}/signoff/end":         "/animals/{number}/signoff/owner",
	"/animals/{number}/signoff/extend":      "/animals/{number}/signoff/end",
	"/animals/{number}/signoff/owner":       "/animals/{number}/signoff/end",
	"/animals/{number}/signoff/week":        "/animals/{number}/signoff/end",
	"/animals/{number}/tags":                "/animals/{number}/tags",
	"/animals/{number}/weight":              "/animals/{number}/weight",

	// money: asks a PIN, and every cent goes back by a line of its own
	"/animals/{number}/money/bill":    "/animals/{number}/money/charge",
	"/animals/{number}/money/charge":  "/animals/{number}/money/charge",
	"/animals/{number}/money/deposit": "/animals/{number}/money/refund",
	"/animals/{number}/money/give":    "/animals/{number}/money/give",
	"/animals/{number}/money/keep":    "/animals/{number}/money/charge",
	"/animals/{number}/money/pay":     "/animals/{number}/money/refund",
	"/animals/{number}/money/refund":  "/animals/{number}/money/pay",
	"/animals/{number}/money/rest":    "/animals/{number}/money/charge",

	// batches
	"/batches/new":              "/batches/{batch}/destroy",
	"/batches/{batch}/accept":   "/batches/{batch}/destroy",
	"/batches/{batch}/add":      "/batches/{batch}/take-out",
	"/batches/{batch}/cure":     "/batches/{batch}/cure",
	"/batches/{batch}/destroy":  "- meat in the barrel is not taken out again; it asks a second person",
	"/batches/{batch}/finish":   "/batches/{batch}/reopen",
	"/batches/{batch}/reopen":   "/batches/{batch}/mix",
	"/batches/{batch}/give":     "/cutting/{number}/shelf",
	"/batches/{batch}/lot":      "/batches/{batch}/lot",
	"/batches/{batch}/machine":  "/machines/clean",
	"/batches/{batch}/mix":      "/batches/{batch}/reopen",
	"/batches/{batch}/probe":    "/batches/{batch}/probe",
	"/batches/{batch}/take-out": "/batches/{batch}/add",
	"/machines/clean":           "/machines/run",
	"/machines/run":             "/machines/clean",

	// coolers and rounds
	"/coolers/incidents/{id}/close":    "- asks the lead's PIN; the room's next warm hour opens another",
	"/coolers/incidents/{id}/decide":   "/animals/{number}/decide",
	"/coolers/incidents/{id}/measure":  "/coolers/incidents/{id}/measure",
	"/coolers/{name}/fit":              "/coolers/{name}/fit/drop",
	"/coolers/{name}/fit/drop":         "/coolers/{name}/fit",
	"/coolers/{name}/import":           "- looked at before it is kept; a reading of the same moment is kept once, one that cannot be is flagged",
	"/coolers/{name}/limits":           "/coolers/{name}/limits",
	"/coolers/{name}/load":             "- excuses an hour at most, and ends by itself",
	"/round/actions/{id}/close":        "/round/{room}/room",
	"/round/actions/{id}/done":         "- stays open until a second person closes it",
	"/round/discard":                   "- says why; the tablet's words stay in the list of what was given up",
	"/round/look":                      "/animals/{number}/look",
	"/round/look-back/{check}/{round}": "/animals/{number}/look",
	"/round/shift":                     "- ends by itself after twelve hours",
	"/round/thermometers":              "/round/thermometers/{id}/retire",
	"/round/thermometers/{id}/ice":     "/round/thermometers/{id}/ice",
	"/round/thermometers/{id}/retire":  "/round/thermometers",
	"/round/{room}/end":                "/round/{room}/room",
	"/round/{room}/looks":              "/animals/{number}/look",
	"/round/{room}/paper":              "/round/{room}/room",
	"/round/{room}/rails/{rail}":       "/round/{room}/rails/{rail}",
	"/round/{room}/rails/{rail}/tags":  "/round/{room}/rails/{rail}/tags",
	"/round/{room}/room":               "/round/{room}/room",

	// cutting
	"/cutting/plan/day":              "/cutting/plan/day",
	"/cutting/plan/works":            "/cutting/plan/works",
	"/cutting/plan/{number}/promise": "/animals/{number}/promise",
	"/cutting/tubs":                  "/cutting/tubs",
	"/cutting/{number}/boxes":        "/cutting/{number}/packs",
	"/cutting/{number}/packs":        "/cutting/{number}/packs",
	"/cutting/{number}/shelf":        "/cutting/{number}/shelf",
	"/cutting/{number}/finish":       "/cutting/{number}/pack",
	"/cutting/{number}/join":         "/cutting/{number}/stop",
	"/cutting/{number}/pack":         "/cutting/{number}/take-back",
	"/cutting/{number}/start":        "/cutting/{number}/stop",
	"/cutting/{number}/stop":         "/cutting/{number}/start",
	"/cutting/{number}/take-back":    "/cutting/{number}/pack",
	"/cutting/{number}/trim":         "/cutting/{number}/take-back",

	// pick-up, messages, the law
	"/pickup/{number}":                      "/pickup/{number}/handovers/{handover}",
	"/pickup/{number}/handovers/{handover}": "/pickup/{number}/handovers/{handover}",
	"/pickup/{number}/call":                 "/pickup/{number}/call",
	"/pickup/{number}/give-away":            "- the owner's PIN and a signature, after letter and days; the meat is gone",
	"/pickup/{number}/letters":              "/pickup/{number}/call",
	"/pickup/{number}/letters/approve":      "- a letter approved and not sent yet is stopped by not sending it",
	"/pickup/{number}/link":                 "/pickup/{number}/link",
	"/pickup/{number}/named":                "/pickup/{number}/named",
	"/pickup/{number}/storage":              "/pickup/{number}/storage/stop",
	"/pickup/{number}/storage/stop":         "/pickup/{number}/storage",
	"/messages/{message}/call":              "/messages/{message}/called",
	"/messages/{message}/called":            "/animals/{number}/call",
	"/messages/{message}/now":               "/animals/{number}/call",
	"/notices":                              "/notices/{id}",
	"/notices/again":                        "/notices/{id}",
	"/notices/{id}":                         "/notices/again",
	"/visits":                               "/visits/{id}/end",
	"/visits/{id}/end":                      "/visits",
	"/visits/{id}/shown":                    "/visits/{id}/shown",
	"/disposal":                             "/disposal",
	"/programmes/add":                       "- takes nothing by itself; a deer is signed over by its owner",
	"/programmes/deliver":                   "- at most what is packed for it and here; the programme counts what comes and the next load makes up",
	"/programmes/over":                      "- the owner's signature; to take it back is between the two",
	"/labels/ruler":                         "/labels/ruler",
	"/close":                                "/close/{day}/recount",
	"/close/{day}/recount":                  "/close/{day}/recount",

	// office: what is set is set again, the old version stays to be read
	"/office/alarms":                  "/office/alarms",
	"/office/alarms/test":             "- a message that says it is a test",
	"/office/answers":                 "/office/answers",
	"/office/backups":                 "/office/backups",
	"/office/fetching":                "/office/fetching",
	"/office/forget":                  "- names blanked for good, which the law asks; the list is shown first, and a PIN asked",
	"/office/learned":                 "/office/learned",
	"/office/messages":                "/office/messages",
	"/office/messages/{kind}":         "/office/messages/{kind}",
	"/office/pieces":                  "/office/pieces",
	"/office/prices":                  "/office/prices/leave",
	"/office/prices/in-force":         "/office/prices",
	"/office/prices/leave":            "/office/prices",
	"/office/prices/new":              "/office/prices/new/{code}",
	"/office/prices/new/{code}":       "/office/prices/new/{code}",
	"/office/prices/new/{code}/drop":  "/office/prices/new",
	"/office/protocols/{key}":         "/office/protocols/{key}",
	"/office/protocols/{key}/hanging": "/office/protocols/{key}",
	"/office/rooms":                   "- an empty room stops nothing and is walked past; its limits and rails are set on",
	"/office/rooms/{name}/rails":      "- rails stay; an empty one is passed over on the round",
	"/office/rounds":                  "/office/rounds",
	"/office/rules/{rule}":            "/office/rules/{rule}",
	"/office/scales":                  "/office/scales/{id}/revoke",
	"/office/scales/{id}/revoke":      "/office/scales",
	"/office/sensors":                 "/office/sensors/{id}/out",
	"/office/sensors/{id}/out":        "/office/sensors",
	"/office/shop":                    "/office/shop",
	"/office/staff":                   "/office/staff/{id}",
	"/office/staff/{id}":              "/office/staff/{id}",
	"/office/staff/{id}/password":     "/office/staff/{id}/password",
	"/office/staff/{id}/pin":          "/office/staff/{id}/pin",
	"/office/tablets/{id}/away":       "/enrol",
	"/office/storage":                 "/office/storage",
	"/office/tax":                     "/office/tax",
}

// Every act has a way back that is an act of the program too, or a reason why not.
func TestEveryActHasAWayBack(t *testing.T) {
	t.Parallel()
	acts := map[string]bool{}
	err := chi.Walk(webtest.Open(t).Routes(), func(method, pattern string, _ http.Handler, _ ...func(http.Handler) http.Handler) error {
		if method == http.MethodPost && !strings.HasSuffix(pattern, "/*") {
			acts[pattern] = true
		}
		return nil
	})
	if err != nil || len(acts) < 150 {
		t.Fatalf("%d acts walked, %v", len(acts), err)
	}
	for act := range acts {
		switch back, said := waysBack[act]; {
		case !said:
			t.Errorf("POST %s: say in waysBack what mends a slip of it", act)
		case strings.HasPrefix(back, "- ") && len(back) > 12:
		case !acts[back]:
			t.Errorf("POST %s is mended by %q, which is no act of the program", act, back)
		}
	}
	for act := range waysBack {
		if !acts[act] {
			t.Errorf("waysBack tells of %s, which is no act of the program", act)
		}
	}
}
