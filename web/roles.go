package web

import (
	"net/http"
	"strings"

	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// The people of the shop, as they are taken on (domain.Roles). Lead and owner do
// everybody's work (domain.May), so they stand only where nobody else may.
var (
	everyone = []string{"counter", "cooler", "cutter"}
	counter  = []string{"counter"}
	cooler   = []string{"cooler"}
	cutter   = []string{"cutter"}
	meat     = []string{"cooler", "cutter"} // whoever has the carcass in hand
	door     = []string{"counter", "cooler"}
	orders   = []string{"counter", "cutter"}
	lead     = []string{"lead"}
	owner    = []string{"owner"}
)

// work says whose work each address is: a method, then a route as in routes.go, or
// the beginning of routes and "...". The longest that fits counts. An address that
// nobody's work covers is nobody's, and the test beside this fails.
//
// Everyone reads what hangs where and how it keeps. Money, drop-off and pick-up are
// the counter's; what changes the meat's record is done by whoever has it in hand;
// what was stopped, the lead decides; what the shop is, the owner.
var work = map[string][]string{
	"GET /...":         everyone,
	"GET /dropoff/...": door,
	"GET /pickup/...":  counter,
	"GET /bookings":    counter,

	"POST /alarms/...":   everyone,
	"POST /rail/move":    everyone,
	"POST /dropoff":      door, // a tablet in the cooler keeps a drop-off too
	"POST /dropoff/...":  counter,
	"POST /skinning/...": meat,
	"POST /cutting/...":  cutter,
	"POST /batches/...":  cutter,
	"POST /machines/...": cutter,
	"POST /pickup/...":   counter,
	"POST /bookings/...": counter,

	"POST /pickup/{number}/letters/approve": owner,
	"POST /pickup/{number}/give-away":       owner,
	"POST /pickup/{number}/storage":         owner,
	"POST /pickup/{number}/storage/stop":    lead,
	"POST /round/...":                       cooler,
	"POST /round/shift":                     everyone,
	"POST /round/look":                      meat,
	"POST /round/discard":                   everyone,
	"POST /round/actions/{id}/done":         everyone,
	"POST /round/actions/{id}/close":        everyone,

	"POST /cutting/{number}/shelf":        everyone,
	"POST /cutting/plan/{number}/promise": orders,
	"POST /cutting/plan/day":              lead,
	"POST /cutting/plan/works":            lead,

	"GET /animals/{number}/money":          counter,
	"GET /animals/{number}/payments/...":   counter,
	"GET /animals/{number}/receipt":        counter,
	"POST /animals/{number}/call":          everyone,
	"POST /animals/{number}/holds/...":     everyone, // each may stop an animal; what closes it is asked there
	"POST /animals/{number}/sample/...":    everyone,
	"POST /animals/{number}/printed":       everyone,
	"POST /labels/ruler":                   everyone,
	"POST /animals/{number}/promise":       counter,
	"POST /animals/{number}/weight":        meat,
	"POST /animals/{number}/money/...":     counter,
	"POST /animals/{number}/money/keep":    lead,
	"POST /animals/{number}/order":         orders,
	"POST /animals/{number}/pieces":        meat,
	"POST /animals/{number}/pieces/...":    everyone, // what becomes of a piece: the bench for tubs, the counter for a head
	"POST /animals/{number}/kill":          everyone,
	"POST /animals/{number}/kill/...":      meat,
	"POST /animals/{number}/kill/told":     counter,
	"POST /animals/{number}/look":          meat,
	"POST /animals/{number}/decide":        lead,
	"POST /animals/{number}/signoff/owner": counter,
	"POST /animals/{number}/signoff/...":   lead,

	"POST /round/thermometers":             lead,
	"POST /round/thermometers/{id}/retire": lead,
	"POST /coolers/{name}/load":            door,
	"POST /coolers/incidents/{id}/measure": meat,
	"POST /coolers/incidents/{id}/decide":  lead,
	"POST /coolers/incidents/{id}/close":   lead,
	"GET /coolers/{name}/fit":              lead,
	"POST /coolers/{name}/fit/...":         lead,
	"GET /coolers/{name}/limits":           lead,
	"POST /coolers/{name}/limits":          lead,
	"GET /coolers/{name}/import":           lead,
	"POST /coolers/{name}/import":          lead,

	"GET /visits":                         counter,
	"POST /visits":                        counter,
	"POST /visits/...":                    counter,
	"POST /disposal":                      everyone,
	"GET /programmes":                     counter,
	"POST /programmes/add":                owner,
	"POST /programmes/over":               counter,
	"POST /programmes/deliver":            counter,
	"GET /messages":                       counter,
	"POST /messages/...":                  counter,
	"GET /animals/{number}/messages":      counter,
	"POST /animals/{number}/messages/...": counter,

	"GET /notices":                  counter,
	"POST /notices/...":             counter,
	"POST /notices":                 counter,
	"POST /animals/{number}/tags":   everyone,
	"GET /animals/{number}/reached": lead,

	"GET /close/...":              lead,
	"POST /close/...":             lead,
	"GET /office":                 lead,
	"GET /office/...":             owner,
	"POST /office/...":            owner,
	"GET /office/staff/...":       lead,
	"POST /office/staff":          lead,
	"POST /office/staff/{id}":     lead,
	"POST /office/staff/{id}/pin": lead,
	"GET /setup/...":              owner,
	"POST /setup/...":             owner,
}

// workOf finds whose work a route is; nobody's where no line fits.
func workOf(method, pattern string) []string {
	if roles, ok := work[method+" "+pattern]; ok {
		return roles
	}
	for at := len(pattern); at >= 0; at = strings.LastIndexByte(pattern[:at], '/') {
		if roles, ok := work[method+" "+pattern[:at]+"/..."]; ok {
			return roles
		}
	}
	return nil
}

// onlyTheirs lets through whose work the address is. It stands around every screen
// of the shop's people and is the one place where that is decided.
func onlyTheirs(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		method := r.Method
		if method == http.MethodHead {
			method = http.MethodGet
		}
		staff := signin.Holder(r.Context()).Staff
		if !staff.Has(workOf(method, chi.RouteContext(r.Context()).RoutePattern())...) {
			e := domain.Refuse("role", "This is not in %s's work here. Hand the tablet to somebody who does it, or ask the lead.", staff.Name)
			ui.ShowProblem(w, r, http.StatusForbidden, e, "")
			return
		}
		next.ServeHTTP(w, r)
	})
}
